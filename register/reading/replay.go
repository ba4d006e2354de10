package reading

import (
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
)

// Replay takes the entries of a book through the rules, in the order in which
// they are given. It is for one goroutine.
//
// A book has two readings: as it stands, which is what Take, Look and Finish tell,
// and as it was written. What was found of an entry before it was corrected, and
// no longer stands, stays on record: Answered tells it.
type Replay struct {
	run      *block.Runner
	order    order
	branches []branch
	answered []block.Finding
	undo     undo
	day      calendar.Day // that the book is in
}

// branch is the book as it was read until a correction, or a late entry, was
// written.
type branch struct {
	run   *block.Runner
	until int64           // number of the correction or of the late entry
	late  *block.Event    // the late entry; nil for a correction
	only  []block.Finding // found in it
	also  []block.Finding // found meanwhile in the book as it stands
}

// maxBranches is how many corrections that are still to come are followed at once:
// of more, what was found last is let go with the oldest.
const maxBranches = 16

// NewReplay begins with the state before the first entry, which it will not change.
func NewReplay(box *block.Box, from block.State) *Replay {
	return &Replay{run: block.NewRunner(box, from)}
}

// Take applies an entry as it stands and returns what is found.
func (r *Replay) Take(e *Entry) []block.Finding {
	r.answered = nil
	if u := &r.undo; u.next == e.Event.Seq && u.next != 0 {
		u.next = 0
		return u.found
	}
	r.unread()
	if e.Begins(r.day) {
		r.day, r.undo = e.Day, undo{since: r.undo.since[:0]}
	}
	if len(r.branches) == 0 && len(e.Before) == 0 && !e.Odd {
		return r.misread(r.step(&e.Event))
	}
	now := e.Event
	now.Relief = e.Relief
	now.OutOfOrder, now.Ahead, now.Redated, now.Run = e.Slip, e.Slip && !e.Early, e.Redated, e.Others
	if e.As != 0 {
		now.At, now.Ahead, now.Relief = e.As, e.Slip && e.Event.At > e.As, "" // a time that is a slip says nothing of who was on duty
	}
	r.end(e.Event.Seq, func(b *branch) bool {
		if b.late != nil {
			return !e.Early && e.Seq > b.until
		}
		return b.until == e.Seq
	})
	fresh := len(r.branches)
	for _, v := range e.Before {
		r.branches = append(r.branches, branch{run: r.run.Fork(), until: v.Until})
	}
	if e.Early {
		r.branches = append(r.branches, branch{run: r.run.Fork(), until: e.Seq, late: &now})
	}
	found := r.step(&now)
	for i := range found {
		if found[i].Rule == rulebook.EntryOutOfOrder && found[i].Seq == e.Event.Seq {
			found[i].At = e.Event.At // as it is written: that is what is wrong
		}
	}
	for i := range r.branches {
		b, ev := &r.branches[i], now
		b.also = append(b.also, found...)
		switch {
		case i >= fresh && b.late != nil || e.Seq > b.until:
			continue // not written yet
		case i >= fresh:
			ev = e.Before[i-fresh].Event
			ev.Seq = e.Event.Seq
		}
		b.only = append(b.only, b.run.Step(&ev)...)
	}
	if n := len(r.branches) - maxBranches; n > 0 {
		r.branches = slices.Delete(r.branches, 0, n)
	}
	return found
}

// Box is the description of the box in force at present.
func (r *Replay) Box() *block.Box { return r.run.Box() }

// end closes branches: what is found only in them no longer stands. What another
// branch has found as well, which is still followed, stood until that one ends; it is
// told once.
func (r *Replay) end(correction int64, over func(*branch) bool) {
	r.branches = slices.DeleteFunc(r.branches, func(b branch) bool {
		if !over(&b) {
			return false
		}
		by := correction
		if b.late != nil {
			b.only, by = append(b.only, b.run.Step(b.late)...), b.late.Seq
		}
		stand := map[findingKey]int{}
		for i := range b.also {
			stand[keyOf(&b.also[i])]++
		}
		for _, f := range b.only {
			if k := keyOf(&f); stand[k] > 0 {
				stand[k]--
				continue
			}
			f.Answered = by
			r.answered = append(r.answered, f)
		}
		return true
	})
	if len(r.answered) == 0 {
		return // nothing that could be told twice
	}
	told := map[findingKey]bool{}
	for i := range r.branches {
		for j := range r.branches[i].only {
			told[keyOf(&r.branches[i].only[j])] = true
		}
	}
	slices.Reverse(r.answered) // of several that end together the last is told
	r.answered = slices.DeleteFunc(r.answered, func(f block.Finding) bool {
		k := keyOf(&f)
		again := told[k]
		told[k] = true
		return again
	})
	slices.Reverse(r.answered)
}

// findingKey says whether two findings are of one fact.
type findingKey struct {
	seq           int64
	rule          rulebook.RuleID
	severity      rulebook.Severity
	section, line string
}

func keyOf(f *block.Finding) findingKey {
	return findingKey{f.Seq, f.Rule, f.Severity, f.Section, f.Line}
}

// Answered is what was found before the entry last taken, or the one above it, was
// written and no longer stands since: because it corrects what that rested on, or
// tells late what was missing.
func (r *Replay) Answered() []block.Finding { return r.answered }

// Begin goes on from another state, as if the entries before it had led there.
func (r *Replay) Begin(from block.State) {
	r.run, r.undo = block.NewRunner(r.run.Box(), from), undo{}
}

// Look gives the present state for reading until the next entry.
func (r *Replay) Look() *block.State {
	r.unread()
	return r.run.Look()
}

// State gives the present state to keep.
func (r *Replay) State() block.State {
	r.unread()
	return r.run.State()
}

// Finish gives what the end of the book leaves undone. What the last entries
// answer is then in Answered.
func (r *Replay) Finish() []block.Finding {
	r.answered = nil
	r.end(0, func(b *branch) bool { return b.late != nil })
	return r.run.Finish()
}
