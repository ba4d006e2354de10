package reading

import (
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// Replay takes the entries of a book through the rules, in the order in which
// they are given. It is for one goroutine.
//
// A book has two readings: as it stands, which is what Take, Look and Finish tell,
// and as it was written. What was found of an entry before it was corrected, and
// no longer stands, stays on record: Answered tells it.
type Replay struct {
	run      *block.Runner
	box      *block.Box
	branches []branch
	answered []block.Finding
}

// branch is the book as it was read until a correction was written.
type branch struct {
	run   *block.Runner
	until int64           // number of the correction
	only  []block.Finding // found in it
	also  []block.Finding // found meanwhile in the book as it stands
}

// maxBranches is how many corrections that are still to come are followed at once:
// of more, what was found last is let go with the oldest.
const maxBranches = 16

// NewReplay begins with the state before the first entry, which it will not change.
func NewReplay(box *block.Box, from block.State) *Replay {
	return &Replay{run: block.NewRunner(box, from), box: box}
}

// Take applies an entry as it stands and returns what is found.
func (r *Replay) Take(e *Entry) []block.Finding {
	r.answered = nil
	if len(r.branches) == 0 && len(e.Before) == 0 {
		return r.run.Step(&e.Event)
	}
	r.end(e)
	old := len(r.branches)
	for _, v := range e.Before {
		r.branches = append(r.branches, branch{run: block.NewRunner(r.box, r.run.State()), until: v.Until})
	}
	found := r.run.Step(&e.Event)
	for i := range r.branches {
		b, ev := &r.branches[i], e.Event
		if i >= old {
			ev = e.Before[i-old].Event
			ev.Seq = e.Event.Seq
		}
		b.only = append(b.only, b.run.Step(&ev)...)
		b.also = append(b.also, found...)
	}
	if n := len(r.branches) - maxBranches; n > 0 {
		r.branches = slices.Delete(r.branches, 0, n)
	}
	return found
}

// end closes the branches that an entry ends, which corrects what they rest on.
func (r *Replay) end(e *Entry) {
	r.branches = slices.DeleteFunc(r.branches, func(b branch) bool {
		if b.until != e.Seq {
			return false
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
			f.Answered = e.Event.Seq
			r.answered = append(r.answered, f)
		}
		return true
	})
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

// Answered is what was found before the entry last taken was written and no longer
// stands since, because it corrects what that rested on.
func (r *Replay) Answered() []block.Finding { return r.answered }

// Look gives the present state for reading until the next entry.
func (r *Replay) Look() *block.State { return r.run.Look() }

// State gives the present state to keep.
func (r *Replay) State() block.State { return r.run.State() }

// Finish gives what the end of the book leaves undone.
func (r *Replay) Finish() []block.Finding { return r.run.Finish() }
