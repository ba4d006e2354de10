package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// A level crossing in doubt: a user of whom no word came, gates open, equipment failed.

// crossingDoubt says why a crossing is in doubt, "" when it is not. Sources: study
// cards, level crossings; of barriers that failed, unless they are down, General and
// Subsidiary Rules (India), Appendix II, section 4, and RAIB report 20/2011, Lydney.
func (s *State) crossingDoubt(b *Box, i int, now Time) string {
	why := s.crossingInDoubt(i, now)
	x := &s.Crossings[i]
	if x.Attended.is() || x.Secured.is() {
		return strings.Join(why, ", ")
	}
	if !x.Means && s.failedAt(&b.Crossings[i], b, "crossing-telephone") {
		why = append(why, "its telephone failed")
	}
	if x.Road != RoadClosed && s.failedAt(&b.Crossings[i], b, "crossing") {
		why = append(why, "its gates or barriers failed")
	}
	return strings.Join(why, ", ")
}

// failedAt says whether equipment of a kind is booked as failed at a crossing; what has
// the crossing's own name is the crossing.
func (s *State) failedAt(c *Crossing, b *Box, kind string) bool {
	return slices.ContainsFunc(s.Gear, func(g GearState) bool {
		k := b.gearNamed(g.Name)
		return g.Failed && (k != nil && k.Kind == kind && k.Crossing == c.Name || kind == "crossing" && g.Name == c.Name)
	})
}

// crossingInDoubt is crossingDoubt but for what failed: to a user who has just asked it
// makes no odds by what he spoke.
func (s *State) crossingInDoubt(i int, now Time) (why []string) {
	x := &s.Crossings[i]
	if x.Secured.is() {
		return nil
	}
	if slices.ContainsFunc(x.Out, func(o Call) bool { return o.Due && now > o.Until }) {
		why = append(why, "a user not reported clear")
	}
	if x.GatesOpen.is() {
		why = append(why, "gates reported open")
	}
	if x.NotHeard.is() {
		why = append(why, "a call not understood")
	}
	return why
}

// ranClear ends the doubt about users of whom no report came: a train that went into the
// section after their time has run over the crossing since (by inference: the driver
// would have told of them). That the report is missing has been found; where another was
// told that the crossing is clear, it was made, and that is the one slip.
func (x atCrossing) ranClear(d *action) {
	if d.train == nil || x.c.section < 0 {
		return
	}
	l := d.train.leg(d.dir)
	if removed := x.now().Removed; l.Line == d.line && l.Section == x.c.section && removed.is() && l.Entered >= removed.At {
		x.notBooked(StepFreed, "", "the crossing booked as free before obstruction removed is given", removed.Seq, x.answerUnclosed(rulebook.CrossingObstructedTrainSent))
		x.edit().Obstructed, x.edit().Removed = Since{}, Since{}
	}
	overdue := func(o Call) bool { return o.Due && o.Until < l.Entered }
	if l.Line == d.line && l.Section == x.c.section && slices.ContainsFunc(x.now().Out, overdue) {
		if said := x.now().Said; said.is() {
			x.notBooked(StepReport, "", "the user's report booked before anybody is told that the crossing is clear", said.Seq, x.answerUnclosed(rulebook.CrossingNotCautioned))
		}
		s := x.edit()
		s.Out = slices.DeleteFunc(slices.Clone(s.Out), overdue)
	}
}

// over1 ends the clearance of a train at the crossing.
func (x atCrossing) over1(id int) {
	s := x.edit()
	s.Cleared = slices.DeleteFunc(slices.Clone(s.Cleared), func(c Clearance) bool { return c.Train == id || c.Train == 0 })
	x.brings(rulebook.CrossingClosedLong)
}

// wasReminded takes a reminder that is lifted from the signal protecting the crossing, and was
// put on by no entry: it was, and showed the signal kept at danger. Common practice.
func (x atCrossing) wasReminded() {
	if !slices.Equal(x.c.ProtectedBy, []string{x.e.Subject}) {
		return
	}
	if list := x.answerUnclosed(rulebook.CrossingNotProtected); len(list) > 0 {
		x.notBooked(StepReminder, "", "the reminder booked when it is put on", list[0].Seq, list)
	}
}
