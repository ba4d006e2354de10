package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Whether a crossing is open to the road: barriers and gates, and local control.

func (x atCrossing) down() {
	if s := x.now(); s.Road == RoadClosed && s.Twice {
		x.turnedOver()
	}
	x.road(RoadClosed)
	x.owes(rulebook.CrossingClosedLong, Pending{})
}

func (x atCrossing) road(r Road) {
	s := x.edit()
	s.Road, s.Since, s.Left = r, x.present(), Since{}
}

// up opens the crossing to the road. A train for which a signal was cleared may
// still be coming, whatever the signal shows now. Source: RAIB, Moreton-on-Lugg,
// 16 January 2010; Little London, 1957.
func (x atCrossing) up() {
	x.opens()
	x.brings(rulebook.CrossingClosedLong)
	for _, c := range x.now().Cleared {
		f := x.find(rulebook.CrossingOpenedTrainComing, x.nameOf(x.s.Train(c.Train)), "the train booked past, or at a stand, before the crossing is opened")
		how := c.Signal + " was cleared"
		if c.Signal == "" {
			how = "authority past its signal was given"
		}
		f.Text += "; " + how + " for it" + So(c.On != 0, " and put back "+minutesWords(x.e.At-c.On)+" ago")
		f.Rests = []int64{c.Seq, x.e.Seq}
		if t := x.s.Train(c.Train); t != nil && t.Out.Entered != 0 { // its going on is belled
			x.rests(f, []inWay{{t, Inward}})
		}
	}
}

// opens opens the crossing to the road, or gives its keeper leave to.
func (x atCrossing) opens() {
	s := x.edit()
	if s.Twice = s.Road == RoadOpen; s.Twice {
		x.turnedOver()
	}
	s.Unclosed = nil
	x.road(RoadOpen)
}

// notBooked says of a step at the crossing that it was made and not booked, and keeps what
// that answers: booked later after all, it came only then.
func (x atCrossing) notBooked(missing Step, train, expected string, shown int64, answers []Finding) {
	f := x.find(rulebook.StepNotBooked, train, expected)
	f.Text = words(capital(missing.String())+shownDone, f.Section, train) + "; at " + x.c.Name
	f.Rests = []int64{shown, x.e.Seq}
	x.presumption(Presumption{Crossing: x.i + 1, Line: x.b.firstLine(x.c.section), Steps: []Step{missing}, Said: *f.answer(), Found: answers})
}

// onlyNow takes a step at the crossing that was presumed and is booked now, and says whether
// there is one.
func (x atCrossing) onlyNow(step Step) bool {
	return x.contradict(func(p *Presumption) bool { return p.Crossing == x.i+1 && slices.Contains(p.Steps, step) })
}

// open says whether the crossing is open to the road for a train, or under local control.
// An attendant who has given up duty has given that up with it: if no more is booked of it
// when a train comes, that is the one slip. By inference.
func (x atCrossing) open(train string) bool {
	if left := x.now().Left; left.is() {
		f := x.wouldBreak(rulebook.CrossingOpenSignalCleared, x.c.Section, x.e.Line, train)
		f.Text, f.Rests = f.Text+"; at "+x.c.Name, []int64{left.Seq, x.e.Seq}
		x.notBooked(StepRemote, train, "local control booked as given up before the attendant goes", left.Seq, []Finding{f})
		x.road(RoadUnknown)
	}
	r := x.now().Road
	return r == RoadOpen || r == RoadLocal
}

// findOpen raises a train sent, or a signal cleared, over a crossing open to the road.
func (x atCrossing) findOpen(train, expected string) {
	if f := x.find(rulebook.CrossingOpenSignalCleared, train, expected); x.now().Road == RoadOpen {
		x.unclosed(f)
	}
}

// unclosable are the rules broken at a crossing unless a step there is not booked.
var unclosable = map[rulebook.RuleID]bool{rulebook.CrossingOpenSignalCleared: true, rulebook.CrossingNotCautioned: true, rulebook.CrossingNotProtected: true, rulebook.CrossingObstructedTrainSent: true}

// unclosed keeps what a later entry may show to have been no more than a step not booked.
func (x atCrossing) unclosed(f *Finding) *Finding {
	s := x.edit()
	s.Unclosed = append(slices.Clone(s.Unclosed), f.Seq)
	return f
}

// turnedOver reads barriers that are put up when they are up by the book, or down when
// they are down after that: they were down when the trains found ran, or the two entries
// were turned. Then that is the one slip. Common practice.
func (x atCrossing) turnedOver() {
	list := x.answerUnclosed(rulebook.CrossingOpenSignalCleared)
	if len(list) == 0 {
		return
	}
	was := list[0]
	x.notBooked(StepShut, was.Train, "the crossing booked closed to the road before the train", was.Seq, list)
	x.edit().Twice = false
}

// answerUnclosed answers what was found of the trains that have run over the crossing.
func (x atCrossing) answerUnclosed(rule rulebook.RuleID) (list []Finding) {
	var answers []Answer
	for _, f := range x.s.Open {
		if f.Rule == rule && slices.Contains(x.now().Unclosed, f.Seq) {
			list, answers = append(list, *f), append(answers, *f.answer())
		}
	}
	if len(list) > 0 {
		x.answered(answers)
		x.edit().Unclosed = nil
	}
	return list
}

// gatesOpen notes gates found or reported open. Where the railway works them, they are
// open with a train on its way by whoever opened them. Source: RAIU recommendations
// 2011-007 and 2011-008, Buttevant, 2 July 2010.
func (x atCrossing) gatesOpen() {
	x.edit().GatesOpen = x.present()
	if near, ok := x.s.NextAtCrossing(x.b, x.i, x.e.At); ok && near.Entered && x.c.Kind != UserWorked {
		x.find(rulebook.CrossingOpenedTrainComing, near.Name, "the gates kept across the road until the train is booked past").Text += "; " + near.Words(x.e.At)
	}
}

func (x atCrossing) local() {
	x.road(RoadLocal)
	for _, k := range x.c.guards {
		if name := x.b.Signals[k].Name; slices.Contains(x.s.SignalsOff, name) {
			x.find(rulebook.CrossingLocalSignalsOff, "", name+" at danger before local control is taken")
		}
	}
}

func (x atCrossing) remote() {
	if x.onlyNow(StepRemote); x.now().Road == RoadLocal {
		x.road(RoadUnknown)
	}
}
