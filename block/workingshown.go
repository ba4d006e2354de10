package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// Working otherwise than the section is described begins and ends by entries. One that is
// not booked shows in the first entry that can be of no other working: the pilot rides, an
// inquiry has its number, a message lets a train go while the instrument is out; or trains
// are worked without all that, with what was out of order booked as right again.

// workingShown presumes working otherwise of the section of this entry as begun, or ended.
func (st *step) workingShown() {
	i := st.sectionMeant()
	if i < 0 {
		return
	}
	switch c := &st.s.Circuits[i]; {
	case st.e.Kind == WorkingPilot, st.e.Kind == WorkingMessage, st.e.Kind == WorkingNormal:
		st.workingContradicted(i)
	case c.Pilot == "" && !c.Message:
		st.workingContradicted(i)
		st.begunShown(i)
	case c.Over != "" && st.singleEnded(i), c.unbelled() && c.Repaired && st.asBefore(i):
		st.endShown(i)
	case c.byPilot() && c.Otherwise.Alone != nil && !c.Otherwise.Belled && st.asBefore(i):
		alone := c.Otherwise.Alone
		st.endShown(i)
		st.answered(alone)
	}
}

// Otherwise is what tells of working otherwise than is booked. Should trains have run without the pilot
// who is booked to work the section, and had line clear by bell, where those with him had not, the next
// of which line clear is rung shows that he was withdrawn; and should two have had line clear in words
// alone, and been reported in words, trains are worked by message.
type Otherwise struct {
	Belled bool     `json:",omitempty"` // a train that came with the pilot had line clear by bell
	Alone  []Answer `json:",omitempty"` // what was found of those that ran without
	Words  []Answer `json:",omitempty"` // and of those in words alone
}

// ranAlone notes what was found of a train that had line clear by bell and ran without the pilot.
func (st *step) ranAlone(f *Finding) {
	if f.Rule != rulebook.PilotMissing {
		return
	}
	t, i := st.trainOf(f), st.b.SectionIndex(f.Section)
	if t == nil || i < 0 || !st.s.Circuits[i].byPilot() {
		return
	}
	if t.In.Section == i && t.In.Accepted != 0 || t.Out.Section == i && t.Out.Accepted != 0 {
		c := st.editCircuit(i)
		c.Otherwise.Alone = append(slices.Clip(c.Otherwise.Alone), *f.answer())
	}
}

// sectionMeant is the section that an entry is about, -1 for none.
func (st *step) sectionMeant() int {
	name := st.e.Neighbour()
	switch st.e.Kind {
	case MessageTo, MessageFrom:
		name = st.e.Subject
	case TrainArrived, TrainDeparted, TrainPassed:
		if t := st.s.TrainNamed(st.e.Train); name == "" && t != nil {
			return t.leg(dirOf(st.e.Kind == TrainArrived)).Section
		}
	case Bells, TicketToTrain, WorkingPilot, WorkingMessage, WorkingNormal:
	default:
		return -1
	}
	return st.b.SectionIndex(name)
}

// begunShown presumes that working by a pilot, or by message, has begun.
func (st *step) begunShown(i int) {
	pilot, over, message, went := "", "", false, []Answer(nil)
	switch name := st.pilotSaid(i); {
	case name != "":
		ok := false
		if over, ok = st.overShown(i); !ok {
			return
		}
		pilot = name
	case st.e.Kind == Bells && st.e.Number != 0:
		message = true
	case st.e.Kind == MessageTo || st.e.Kind == MessageFrom:
		message = leaveIn(st.e.Text) == leaveGiven && len(namesIn(st.e.Text)) > 0 &&
			first(st.s.Gear, func(g *GearState) bool { return g.Failed && st.gearOf(g.Name, i) }) != nil // something of the section is out of order
		if !message {
			went = st.wentByWord(i)
			message = len(went) > 0
		}
	}
	if !message && pilot == "" {
		return
	}
	c := st.editCircuit(i)
	if c.Message, c.Begun = message, st.e.Seq; message {
		c.Why = "its beginning is not booked"
	} else if c.Pilot, c.Over = pilot, over; over != "" {
		c.Form = "not booked"
	}
	st.b = st.base.Worked(st.s)
	st.workedFrom(i)
	rule := rulebook.EnteredWithoutAcceptance
	if c.Over != "" && st.e.Kind != TrainArrived {
		rule = rulebook.EnteredWhileBlocked
	}
	st.shownWorking(i, StepBegun, rule)
	if st.answered(went); went != nil {
		st.endDoubts(func(o *Doubt) bool { return o.Step == StepAccepted && st.b.sectionOf(o.Line) == i })
	}
}

// wentByWord is what was found of two trains that had line clear in words alone, when the arrival of
// the second is reported in words as well: both boxes work so.
func (st *step) wentByWord(i int) []Answer {
	if !reportsArrival(st.e.Text) {
		return nil
	}
	dir := dirOf(st.e.Kind == MessageTo)
	t := firstTrain(st.s.Trains, func(t *Train) bool {
		l := t.leg(dir)
		given := l.Told && dir == Outward || dir == Inward && t.Name != "" && allowing(st.s.Circuits[i].Given, t.Name) >= 0
		return given && l.Section == i && l.inSection() && l.Accepted == 0 && speaksOf(st.e.Text, t.Name)
	})
	if t == nil {
		return nil
	}
	before := st.s.answers(func(f *Finding) bool {
		return st.e.At-f.At <= presumedFor && slices.Contains(st.s.Circuits[i].Otherwise.Words, *f.answer())
	})
	c := st.editCircuit(i)
	c.Otherwise.Words = slices.Concat(before, st.foundOf(t, t.leg(dir), ofLineClear))
	if len(before) == 0 {
		return nil
	}
	return c.Otherwise.Words
}

// pilotSaid is the pilot that an entry has on a train which has no line clear, or with it
// where the line it would take is blocked; or whose ticket it gives out where there are no
// others, and only one can be.
func (st *step) pilotSaid(i int) string {
	ticket := st.e.Kind == TicketToTrain
	if ticket && st.b.Sections[i].Method.Is().Carries == rulebook.CarriesStaff || !ticket && st.e.Kind == Bells {
		return ""
	}
	pilots, names := 0, []string(nil)
	for _, p := range st.b.People {
		if p.Role == "pilot" {
			pilots++
			elsewhere := slices.ContainsFunc(st.s.Circuits, func(c Circuit) bool { return c.Pilot == p.Name && c.Pilot != st.s.Circuits[i].Pilot })
			if !elsewhere && (ticket || saysName(st.e.Text, p.Name)) {
				names = append(names, p.Name)
			}
		}
	}
	if rides, ok := strings.CutSuffix(st.e.Text, " riding"); ok && pilots == 0 && !st.b.Sections[i].Method.Is().Single {
		return rides
	}
	if len(names) != 1 {
		return ""
	}
	return names[0]
}

// overShown is the line of a pair over which a pilot can work, the other being blocked; ""
// on a single line, where no line clear is in force.
func (st *step) overShown(i int) (over string, ok bool) {
	how := st.b.Sections[i].Method.Is()
	free, blocked := 0, 0
	for l, ln := range st.b.linesOf(i) {
		if d := st.online(l); st.s.Lines[l].Phase.Blocked() || d.obstructed() {
			blocked++
		} else {
			over = ln.Name
			free++
		}
		if how.Single {
			return "", st.s.Lines[l].Phase == Normal && how.Offers && !how.Described
		}
	}
	return over, st.b.Sections[i].Method == rulebook.Absolute && free == 1 && blocked == 1 && st.b.Rules.Covers(rulebook.SingleLineWorking)
}

// gearOf says whether gear is of section i: by the box file, or by its name.
func (st *step) gearOf(name string, i int) bool {
	who := st.b.Sections[i].Neighbour
	return strings.Contains(name, who) || slices.ContainsFunc(st.b.Gear, func(g Gear) bool { return g.Name == name && g.Section == who })
}

// workedFrom has the lines of section i as other working finds them: no answer will come by
// bell, and over the one line that is used go the trains of both.
func (st *step) workedFrom(i int) {
	for l, ln := range st.b.linesOf(i) {
		p := st.s.Lines[l].Phase
		if p == Offered || p == CounterDoubt {
			st.settle(l)
		}
		for _, t := range slices.Clone(st.s.Trains) {
			if ln.Way == Shut && t.Out.Line == l && t.Out.open() && t.Out.Entered == 0 {
				for o := range st.b.linesOf(i) {
					if o != l {
						st.goOver(t, Outward, o)
					}
				}
			}
		}
	}
}

// goOver has a train that was offered on one line of a pair go over the other.
func (st *step) goOver(t *Train, dir Dir, to int) {
	t = st.touch(t)
	was := t.leg(dir).Line
	t.leg(dir).Line = to
	if !st.s.Lines[was].Phase.Blocked() {
		st.settle(was)
	}
	st.settle(to)
}

// singleEnded says whether trains are worked over both lines of section i again: one goes,
// or comes, without the pilot, and the line that was shut is free.
func (st *step) singleEnded(i int) bool {
	c := &st.s.Circuits[i]
	for l, ln := range st.b.linesOf(i) {
		if d := st.online(l); ln.Way == Shut && (st.s.Lines[l].Phase != Normal || st.s.Lines[l].Seq <= c.Begun || d.obstructed() || first(st.s.Blockages, func(k *LineBlockage) bool { return k.Over(ln.Name, i) }) != nil) {
			return false
		}
	}
	t, k := st.s.TrainNamed(st.e.Train), st.e.Kind
	goes := k == TrainDeparted || k == TrainPassed || k == TrainArrived && c.PilotAt == PilotHere
	return goes && !saysName(st.e.Text, c.Pilot) && (t == nil || !st.s.Staffs[i].ticketed(t.ID))
}

// asBefore says whether an entry works a train of section i as before: line clear is rung
// again, or given in words without the number of an inquiry that others have.
func (st *step) asBefore(i int) bool {
	given := 0
	for _, bell := range st.e.Bells {
		row := st.b.lookup(i, bell.Code, rulebook.Offer)
		switch c := &st.s.Circuits[i]; {
		case row == nil:
		case !bell.Code.Spoken() && !st.b.ByWord(i):
			given++
		case c.Worded && st.e.Number == 0 && c.Inquiries[Inward].Number+c.Inquiries[Outward].Number > 0:
			return true
		}
	}
	return given == 2
}

// endShown presumes that other working of section i has ended: what is signalled over the
// line of both ways goes over its own.
func (st *step) endShown(i int) {
	own, freed := st.base.pairOver(i, st.s.Circuits[i].Over), Time(0)
	for _, l := range own {
		if st.online(l).shut() {
			freed = st.s.Lines[l].Since
		}
	}
	was := st.e
	e := *was
	e.Kind, e.Section, e.Text = WorkingNormal, st.b.Sections[i].Neighbour, ""
	st.e = &e
	st.working(i)
	st.e = was
	st.found = slices.DeleteFunc(st.found, func(f Finding) bool { // of what was signalled since
		t := st.trainOf(&f)
		came := t != nil && len(own) > 0 && (max(t.In.Entered, t.Out.Entered) >= freed)
		return f.Seq == e.Seq && (f.Rule == rulebook.WorkingChangedTrainSignalled || f.Rule == rulebook.SectionNotProvedClear && came)
	})
	for _, t := range slices.Clone(st.s.Trains) {
		for _, dir := range [...]Dir{Inward, Outward} {
			for _, l := range own {
				way := st.base.lineAt(l).Way
				if k := t.leg(dir); k.Section == i && k.open() && k.Line != l && (way == Both || way == In == (dir == Inward)) {
					st.goOver(t, dir, l)
				}
			}
		}
	}
	if st.contradict(st.b.presumedIn(i, StepBegun)) { // of that and the end not both are forgotten
		return
	}
	st.shownWorking(i, StepEnded, rulebook.PilotMissing)
}

// shownWorking says that the beginning, or the end, of other working is not booked, and
// keeps the rule that a train broke should it not have been so.
func (st *step) shownWorking(i int, missing Step, broken rulebook.RuleID) {
	box := st.b.Sections[i].Neighbour
	f := st.note(rulebook.StepNotBooked, box, "", "")
	f.Text = words(capital(missing.String())+shownDone, box, "")
	p := Presumption{Line: st.b.firstLine(i), Steps: []Step{missing}, Said: *f.answer()}
	if k := st.e.Kind; k == TrainDeparted || k == TrainPassed || k == TrainArrived {
		p.Found = []Finding{st.wouldBreak(broken, box, st.e.Line, st.e.Train)}
	}
	st.presumption(p)
}

// presumedIn matches the presumptions of a step in section i.
func (b *Box) presumedIn(i int, missing Step) func(*Presumption) bool {
	return func(p *Presumption) bool {
		return slices.Contains(p.Steps, missing) && b.sectionOf(p.Line) == i // others may be of no line
	}
}

// workingContradicted takes back that other working of section i had begun, when that is
// booked now, or that it had ended, when the pilot is at work again or it is ended only now.
func (st *step) workingContradicted(i int) {
	if len(st.s.Presumed) == 0 {
		return
	}
	if st.e.Kind == WorkingPilot || st.e.Kind == WorkingMessage {
		st.contradict(st.b.presumedIn(i, StepBegun))
	} else if st.e.Kind == WorkingNormal || st.pilotSaid(i) != "" {
		st.contradict(st.b.presumedIn(i, StepEnded))
	}
}
