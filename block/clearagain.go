package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// What is booked as standing on a line or within its clearing point, and is not
// booked as gone, is found once: when the boxes go on working over it. A train
// that has been let in since and is out of the section shows the line clear again.

// clears are the rules whose findings may rest on something that was gone.
var clears = map[rulebook.RuleID]bool{
	rulebook.AcceptedWhileBlocked:        true,
	rulebook.OfferedWhileBlocked:         true,
	rulebook.EnteredWhileBlocked:         true,
	rulebook.ObstructionDangerNotRemoved: true,
	rulebook.AcceptedClearingPointFouled: true,
	rulebook.PartyNotProtected:           true,

	rulebook.OutOfSectionClearingPointFouled: true,
}

// online looks at a line outside an act.
func (st *step) online(line int) *action { return &action{step: st, line: line} }

// standing says whether the book has anything on the line that should not be.
func (st *step) standing(line int) bool {
	d := st.online(line)
	return d.obstructed() || d.blockaded() || d.fouling(0) != nil
}

// goneAgain is the least time in which a train that has come to a stand is moved clear of
// where it stands: common practice, since the road is set and its driver told.
const goneAgain = 2 * Minute

// clearAgain presumes, when a train let in after the doubt arose is out of the
// section, that what stood on the line was gone.
func (d *action) clearAgain() {
	for _, o := range d.s.Doubts {
		l := d.train.leg(d.dir)
		if o.Line != d.line || o.Step != StepClear || l.Accepted < o.At || l.Entered < o.At || !d.onlyUncleared() {
			continue
		}
		gone := d.fouling(0)
		if gone != nil {
			if d.train.Out.Entered == 0 || d.dir == Outward {
				o.Found = nil // it has not run over where that stood
			}
			o.Found = slices.DeleteFunc(slices.Clone(o.Found), func(a Answer) bool {
				f := d.s.open(func(f *Finding) bool { return a.Of(f) })
				return f != nil && f.At-gone.PlaceAt < goneAgain
			})
			gone = d.touch(gone)
			if len(o.Found) > 0 {
				o.Found = slices.Concat(o.Found, d.s.answers(func(f *Finding) bool { return f.liftedFor(gone) }))
			}
			gone.Place, gone.PlaceSeq = "", 0
		}
		d.s.Obstructions = left(d.s.Obstructions, d.isOn)
		d.s.Blockages = left(d.s.Blockages, func(k *LineBlockage) bool {
			return len(k.Parties) == 0 && (!k.Key || k.Ended) && d.under(k) // people, and the key they have, do not go unsaid
		})
		if d.standing(d.line) {
			return
		}
		d.notBooked(o, gone, StepClear)
		return
	}
}

// presumedOver is the presumption that what stood on the line of this entry was gone, where
// the book has it there no more; nil for none.
func (st *step) presumedOver() *Presumption {
	return first(st.s.Presumed, func(p *Presumption) bool {
		i := st.b.sectionOf(p.Line)
		return i >= 0 && i == st.b.SectionIndex(st.e.Section) && (st.e.Line == "" || st.b.lineAt(p.Line).Name == st.e.Line) && slices.Contains(p.Steps, StepClear) && !st.standing(p.Line)
	})
}

// liftedFor says whether it was found of a reminder lifted with the train standing where it was for it.
func (f *Finding) liftedFor(t *Train) bool {
	return f.Rule == rulebook.ReminderRemovedEarly && t.Name != "" && strings.Contains(f.Expected, t.Name) && f.At >= t.PlaceAt
}

// onlyUncleared says whether nothing but the end of an obstruction is missing: obstruction
// removed is booked. One that is booked here and of which nothing more is, is there.
func (d *action) onlyUncleared() bool {
	return first(d.s.Obstructions, func(o *Obstruction) bool { return d.isOn(o) && !o.Removed }) == nil
}

// ends are the acts by which a block ends that line clear was given over: each with the
// step that was then thought missing.
var ends = [actCount]Step{ActUnblock: StepRemoval, ActShuntBack: StepWithdrawn, ActReplaced: StepWithdrawn, ActKeyIn: StepWithdrawn}

// madeLate takes the end of a block, booked when the boxes have worked on over it. It was
// not missing, then: the doubt ends, and what was found stands. It says whether that is all
// of the act, the line having gone on.
func (d *action) madeLate() bool {
	step, n := ends[d.act], len(d.s.Doubts)
	if step == StepNone {
		return false
	}
	d.endDoubts(func(o *Doubt) bool {
		return o.Line == d.line && (o.Step == step || step == StepRemoval && o.Step == StepStopped)
	})
	return len(d.s.Doubts) < n && !d.ls().Phase.Blocked() && !d.ls().Phase.shunting() && !(d.act == ActReplaced && shuntedOut.holds(d))
}

// shunting says whether a line is given up to shunting.
func (p Phase) shunting() bool { return p == Shunting || p == ShuntReleased || p == ShuntKeyOut }

// removes says whether a signal that is train out of section and obstruction removed, of
// a line on which the boxes have worked on over an obstruction, is the second: no train is
// in the section that it could be of, nor has one come since the removal was presumed. It
// came only now, then, and not before line clear was given.
func (st *step) removes(line int, bell Bell) bool {
	at, open := Time(0), false
	for _, o := range st.s.Doubts {
		if o.Line == line && o.Step == StepRemoval {
			at, open = o.At, true
		}
	}
	for _, p := range st.s.Presumed {
		if p.Line == line && slices.Contains(p.Steps, StepRemoval) && st.e.At > p.At {
			at, open = p.At, true
		}
	}
	t, d, ls := st.s.occupied(line), st.online(line), st.s.Lines[line]
	if bell.Sent && t == nil && ls.Phase == Normal && slices.ContainsFunc(unsaidBlocks, func(u unsaid) bool { return len(d.unsaid(u)) > 0 }) {
		at, open = 0, true
	}
	if !open || st.e.Train != "" || st.e.At < at {
		return false
	}
	switch {
	case t == nil:
		return true
	case t.In.Line == line && t.In.inSection():
		return bell.Sent && !t.clearOfSection() && !t.In.Falsely
	}
	return !bell.Sent && st.e.At-t.Out.Entered <= st.least(&t.Out, t.Class)
}

// unsaid is what the end of a block shows to have begun before, where that is not booked:
// the other box answers it.
type unsaid struct {
	rule            rulebook.RuleID // broken by what was done without
	from, to        Phase
	words, expected string
}

var (
	unsaidBlocks = []unsaid{
		{rulebook.NotBlockedBack, Normal, BlockedInside, "Blocking back", "blocking back booked before the movement"},
		{rulebook.ObstructionDangerNotSent, Normal, Obstructed, "Obstruction danger", "obstruction danger, or blocking back, booked at once"},
	}
	unsaidBefore = [actCount][]unsaid{
		ActUnblock:   unsaidBlocks,
		ActShuntBack: {{rulebook.EnteredWithoutAcceptance, InSection, Shunting, "Shunting into the section", "shunting into the section booked before the movement"}},
	}
)

// unsaid are those found on this line, as it has been since, of what was done without.
func (d *action) unsaid(u unsaid) []Answer {
	since := d.ls().Since
	return d.without(u.rule, func(f *Finding) bool { return since <= f.At })
}

// without are those found on this line to have broken a rule, of which more holds.
func (d *action) without(rule rulebook.RuleID, more func(*Finding) bool) []Answer {
	return d.s.answers(func(f *Finding) bool {
		return f.Rule == rule && f.Section == d.section().Neighbour && (f.Line == d.lineName() || f.Line == "") && more(f)
	})
}

// begunUnsaid presumes a block that this box ends and that the book does not show, with the
// line as it was since it was found to be wanting. By inference.
func (d *action) begunUnsaid() {
	for _, u := range unsaidBefore[d.act] {
		list := d.unsaid(u)
		if len(list) == 0 || !d.mine || d.ls().Phase != u.from || u.from == InSection && d.s.occupied(d.line) != d.train {
			continue
		}
		d.answered(list)
		f := d.noteSaying(rulebook.StepNotBooked, d.section().Neighbour, list[0].Train, u.words+shownDone, u.expected)
		f.Rests = []int64{list[0].Seq, d.e.Seq}
		d.enter(u.to, true)
	}
}

// blockedBack takes blocking back sent below the movement that it is for, where one of the
// two has a wrong minute: then which was first is not told, and that is the one slip.
func (d *action) blockedBack(regular bool) {
	if !d.mine || !regular {
		return
	}
	list := d.without(rulebook.NotBlockedBack, func(f *Finding) bool {
		return d.e.OutOfOrder || slices.ContainsFunc(d.s.Open, func(o *Finding) bool { return o.Rule == rulebook.EntryOutOfOrder && o.Seq == f.Seq })
	})
	d.answered(list)
	for _, a := range list {
		d.strike(rulebook.ReminderMissing, func(p *Pending) bool { return p.Seq == a.Seq }, false)
	}
}

// removedElsewhere takes obstruction removed, of a box with which nothing is blocked, as of the one
// other with which obstruction danger stands, and nothing is booked on the line there.
func (d *action) removedElsewhere() bool {
	if d.foundNow(rulebook.NothingToRemove) < 0 {
		return false
	}
	k, n := *d, 0
	for l, ls := range d.s.Lines {
		if ls.Phase == Obstructed && d.b.lines[l].section != d.ref().section {
			k.line, k.dir = l, ls.Dir
			n++
		}
	}
	if n != 1 || k.obstructed() || d.s.occupied(k.line) != nil {
		return false
	}
	d.unfind(rulebook.NothingToRemove)
	d.noteSaying(rulebook.TrainNameDiffers, d.section().Neighbour, "", "Obstruction removed is written against "+d.section().Neighbour+", and was of "+k.section().Neighbour, whereItBelongs)
	k.moved = true
	k.do(ActUnblock)
	return true
}

// unblocked ends the section of a train that was in it when obstruction danger
// was sent: obstruction removed is given only when the train, too, is complete
// and past the clearing point. Source: signaller study cards, obstruction danger.
func (d *action) unblocked(regular bool) {
	if !d.onlyUncleared() {
		d.s.Obstructions = slices.Clone(d.s.Obstructions)
		for i := range d.s.Obstructions {
			o := &d.s.Obstructions[i]
			o.Removed = o.Removed || d.isOn(o)
		}
	}
	if d.ls().Phase != Obstructed || d.mine && !regular {
		return
	}
	for _, t := range d.s.On(d.line) {
		dir := dirOn(t, d.line, true)
		if (dir == Inward) != d.mine || dir == Outward && t.Out.Entered > d.ls().Since {
			continue // it runs towards the other box, or was let in since
		}
		d.train = d.touch(t)
		l := d.train.leg(dir)
		l.OutOf = d.e.At
		d.tokenHome(d.train, l)
		if o := d.s.doubtOf(d.line, t.ID, StepOut); o != nil {
			d.takeAsMade(o)
		}
		if dir == Outward || d.train.PutAway && !d.train.Out.open() {
			d.close(d.train)
		}
	}
}
