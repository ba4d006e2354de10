package block

import (
	"cmp"
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// crossingEntry takes an entry about a level crossing, and looks at any other from
// each crossing. One about a crossing the box does not have is only written down.
func (st *step) crossingEntry() {
	if do := crossingEntries[st.e.Kind]; do != nil {
		if x, ok := st.crossingOf(); ok {
			x.edit().Said = Since{}
			do(x)
			x.doubt()
		}
		return
	}
	switch st.e.Kind {
	case SignalOff, SignalOn:
		st.guardMoved()
	case TrainPassed, TrainDeparted, TrainArrived, TrainMoved, TrainPutAway, TrainOff:
		st.movedAtCrossings()
	case TrainWarned, TrainAuthorised:
		st.warnedAtCrossings()
	case MessageTo, MessageFrom:
		st.eachCrossing(atCrossing.talk)
	case Failure:
		st.eachCrossing(atCrossing.failed)
	case Restored:
		st.eachCrossing(func(x atCrossing) { x.doubt() }) // one that ends is forgotten
	case Blockage, WorkingPilot:
		i := st.b.SectionIndex(st.e.Section)
		st.eachCrossing(func(x atCrossing) {
			blocks, pilot := st.e.Kind == Blockage && x.over(st.e.Line, i), st.e.Kind == WorkingPilot
			if x.now().Attended.is() && (blocks || pilot && (x.c.usedBy(st.b, i, Inward) || x.c.usedBy(st.b, i, Outward))) {
				x.owes(rulebook.CrossingAttendantNotTold, Pending{})
			}
		})
	case DutyOn:
		st.eachCrossing(func(x atCrossing) { x.edit().Between = 0 })
	}
	for _, t := range st.s.Closed {
		st.eachCrossing(func(x atCrossing) { x.gone(t.ID) })
	}
}

// gone forgets a train whose row has closed.
func (x atCrossing) gone(id int) {
	is := func(n *int) bool { return *n == id }
	s := x.edit()
	s.Past, s.Cautioned = left(s.Past, is), left(s.Cautioned, is)
	s.Cleared = left(s.Cleared, func(c *Clearance) bool { return c.Train == id })
}

// guardMoved follows the signals that protect a crossing.
func (st *step) guardMoved() {
	k := slices.IndexFunc(st.b.Signals, func(g Signal) bool { return g.Name == st.e.Subject })
	guards := false
	st.eachCrossing(func(x atCrossing) {
		if !slices.Contains(x.c.guards, k) {
			return
		}
		guards = true
		if st.e.Kind == SignalOff {
			x.cleared(&st.b.Signals[k])
			return
		}
		s := x.edit()
		s.Cleared = slices.Clone(s.Cleared)
		for i := range s.Cleared {
			if c := &s.Cleared[i]; c.Signal == st.e.Subject && c.On == 0 {
				c.On = st.e.At
			}
		}
	})
	if !guards {
		return
	}
	s, is := st.s, func(n string) bool { return n == st.e.Subject }
	s.SignalsOff = slices.DeleteFunc(slices.Clone(s.SignalsOff), is)
	if st.e.Kind == SignalOff {
		s.SignalsOff = append(s.SignalsOff, st.e.Subject)
	}
	if !slices.ContainsFunc(s.SignalsKept, is) {
		s.SignalsKept = append(slices.Clone(s.SignalsKept), st.e.Subject)
	}
}

// cleared judges a protecting signal taken off.
func (x atCrossing) cleared(g *Signal) {
	dir := dirOf(g.Kind != sectionSignal)
	t := x.signalled(x.b.SectionIndex(g.Section), dir)
	if x.open(x.nameOf(t)) {
		x.findOpen(x.nameOf(t), "the crossing closed to the road before "+g.Name+" is cleared")
	}
	n := Near{Name: x.nameOf(t), At: x.e.At}
	if run, ok := x.c.from(FromHere); ok && dir == Outward && x.c.section >= 0 {
		n.At += run
	}
	x.during(n)
	name, c := "", Clearance{Signal: g.Name, Line: -1, At: x.e.At, Seq: x.e.Seq}
	if t != nil {
		name, c.Train = t.Name, t.ID
	}
	if x.c.Kind == KeeperCrossing && x.c.ToldBefore == toldSignals && !x.now().Secured.is() &&
		!slices.ContainsFunc(x.now().Told, func(a Advice) bool { return mayBeSame(a.Train, name) }) {
		x.find(rulebook.CrossingKeeperNotTold, name, "the keeper told before the signals are taken off")
	}
	s := x.edit()
	if i := slices.IndexFunc(s.Cleared, func(o Clearance) bool { return o.Train == c.Train && (c.Train != 0 || o.Signal == c.Signal) }); i >= 0 {
		s.Cleared = slices.Clone(s.Cleared)
		s.Cleared[i].On = 0
		return
	}
	s.Cleared = append(slices.Clone(s.Cleared), c)
}

// signalled is the train for which a signal of section i is cleared: the one
// in section coming here, else the one accepted; nil when none is known.
func (x atCrossing) signalled(i int, dir Dir) *Train {
	var accepted *Train
	for _, t := range x.s.Trains {
		l := t.leg(dir)
		if l.Section != i || !l.open() || l.Aside {
			continue
		}
		switch {
		case dir == Inward && l.Entered != 0 && !t.clearOfSection():
			return t
		case l.Entered == 0 && l.Accepted != 0 && accepted == nil:
			accepted = t
		}
	}
	return accepted
}

// movedAtCrossings follows a train here past the crossings.
func (st *step) movedAtCrossings() {
	t := st.s.latest(st.e.Train)
	if t == nil {
		return
	}
	goes := st.e.Kind == TrainPassed || st.e.Kind == TrainDeparted
	st.eachCrossing(func(x atCrossing) {
		if goes && x.c.section < 0 && x.crosses(t) {
			if st.e.Kind == TrainDeparted {
				x.during(Near{Train: t.ID, Name: t.Label(st.b), At: st.e.At})
			}
			x.runOver(t)
			x.over1(t.ID)
			return
		}
		if st.e.Kind == TrainDeparted && x.overSometime(t) {
			x.runOver(t)
		}
		if _, far := x.c.from(FromHere); goes && x.c.section >= 0 && (far || x.c.Kind != WorkedCrossing) && x.c.usedBy(st.b, t.Out.Section, Outward) {
			return // it has still to reach it
		}
		x.over1(t.ID)
	})
}

// overSometime says whether a train that stopped here and leaves has run over a crossing at the
// box, on its way in or now, that was open to the road or failed all that time.
func (x atCrossing) overSometime(t *Train) bool {
	if s := x.now(); x.c.section >= 0 || t.In.Arrived == 0 || !x.c.usedBy(x.b, t.In.Section, Inward) || s.Road == RoadClosed {
		return false
	} else if s.Road == RoadOpen && s.Since.At <= t.In.Arrived {
		return x.s.open(func(f *Finding) bool { return f.Rule == rulebook.CrossingOpenSignalCleared && f.Train == t.Label(x.b) }) == nil
	}
	return first(x.s.Gear, func(g *GearState) bool { return g.Failed && g.Name == x.c.Name && g.At <= t.In.Arrived }) != nil
}

// crosses says whether a train that passes or leaves here runs over a crossing at
// the box.
func (x atCrossing) crosses(t *Train) bool {
	if len(x.c.guards) > 0 {
		return x.e.Kind == TrainPassed && x.c.usedBy(x.b, t.In.Section, Inward) || x.c.usedBy(x.b, t.Out.Section, Outward)
	}
	return x.e.Place == "" || x.e.Place == x.c.Place
}

// warnedAtCrossings judges authority past a signal at danger with the road open.
// Source: RAIB, Redcar, 1 May 2024.
func (st *step) warnedAtCrossings() {
	t := st.s.TrainNamed(st.e.Train)
	if t == nil {
		return
	}
	st.eachCrossing(func(x atCrossing) {
		if strings.Contains(st.e.Text, x.c.Name) {
			s := x.edit()
			s.Cautioned = append(slices.Clone(s.Cautioned), t.ID)
		}
		_, in := st.s.near(st.b, x.c, t, Inward, st.e.At)
		_, out := st.s.near(st.b, x.c, t, Outward, st.e.At)
		if (in || out || x.c.section < 0 && t.Where == Here && t.Place == x.c.Place) && x.open(t.Label(st.b)) {
			x.findOpen(t.Label(st.b), "the crossing closed to the road before a train is given authority past its signal")
			s := x.edit()
			s.Cleared = append(slices.Clone(s.Cleared), Clearance{Train: t.ID, At: st.e.At, Seq: st.e.Seq, Line: -1})
		}
	})
}

// cautioned notes that a driver was told to approach and pass a crossing at caution.
func (st *step) cautioned() {
	t := st.named()
	if x, ok := st.crossingOf(); ok {
		s := x.edit()
		s.Cautioned = append(slices.Clone(s.Cautioned), t.ID)
	}
}

// holdsUnasked takes the word of the next box that it holds trains, for a large movement that has
// asked for leave, as showing that it was asked to. By inference.
func (x atCrossing) holdsUnasked(c *Circuit, text []string) {
	call := first(x.now().Asked, func(o *Call) bool { return x.c.isLarge(o) })
	if call == nil || c.SaidAt >= call.At || !saysHeld(x.e.Text) || says(text, denies) {
		return
	}
	c.SaidAt = x.e.At
	x.find(rulebook.StepNotBooked, "", "the message booked by which trains were to be held").Text = "That " + x.e.Subject + " was asked to hold trains for " + x.c.Name + " is not booked; its answer shows it"
}

// talk follows messages with the neighbours, the crossing and its attendant. The neighbour
// who is told that the crossing is clear holds trains no more.
func (x atCrossing) talk() {
	text := wordsIn(x.e.Text)
	free := x.e.Kind == MessageTo && strings.Contains(x.e.Text, x.c.Name) && says(text, saidFree) && !says(text, denies) && !says(text, notYet)
	if i := x.b.SectionIndex(x.e.Subject); i >= 0 {
		switch c := x.editCircuit(i); {
		case free:
			c.SaidAt = 0
		case x.e.Kind == MessageTo:
			c.SaidAt = x.e.At
		default:
			c.HeardAt = x.e.At
			x.holdsUnasked(c, text)
		}
	}
	if free {
		x.edit().Said = x.present()
	} else if says(text, saidStands) {
		x.edit().Removed = Since{} // what obstructs it, for all that is told
	}
	if x.e.Subject == x.c.Name || x.now().Attendant != "" && x.e.Subject == x.now().Attendant {
		x.edit().Means = true
		if x.e.Kind == MessageTo {
			x.brings(rulebook.CrossingAttendantNotTold)
		}
	}
}

// saidFree are the words of a message that says a crossing is clear: its user has said so,
// then. Common practice.
var saidFree = phrases("clear/normal working")

// failed takes a failure of the crossing's telephone, and judges one booked for a
// signal that an open crossing keeps at danger. Source: RAIB, Redcar, 1 May 2024.
func (x atCrossing) failed() {
	if g := x.b.gearNamed(x.e.Subject); g != nil && g.Crossing == x.c.Name && g.Kind == "crossing-telephone" {
		x.edit().Means = false
	}
	if x.now().Road == RoadOpen && slices.Contains(x.c.ProtectedBy, x.e.Subject) {
		x.find(rulebook.CrossingOpenFailureBooked, "", "")
	}
}

// Stands says in words what stands at crossing i, "" when nothing does that a
// relief must be told at the moment now. Doubt is said first.
func (s *State) Stands(b *Box, i int, now Time) string {
	x := &s.Crossings[i]
	var out []string
	say := func(is bool, words string) {
		if is {
			out = append(out, words)
		}
	}
	why := s.crossingDoubt(b, i, now)
	say(why != "", "in doubt: "+why)
	for _, o := range x.Out {
		say(o.Due || o.Until >= now, strings.TrimSpace("crossing: "+o.words()))
	}
	for _, a := range x.Asked {
		say(true, "waiting: "+a.words())
	}
	say(x.Obstructed.is(), "obstructed")
	say(x.Attended.is(), strings.TrimSpace("attended "+x.Attendant))
	say(x.Road == RoadLocal, "under local control")
	say(x.Secured.is(), "secured out of use")
	return strings.Join(out, "; ")
}

// words is a call in words.
func (c *Call) words() string {
	return strings.Join(WordsOf(cmp.Or(c.What, "a user"), So(c.Large, "large"), So(c.Minutes > 0, minutesWords(c.Minutes))), ", ")
}

// lastSeq is the last entry that what stands rests on.
func (x *CrossingState) lastSeq() int64 {
	seq := max(x.NotHeard.Seq, x.GatesOpen.Seq, x.Obstructed.Seq, x.Attended.Seq, x.Secured.Seq, x.Since.Seq)
	for _, c := range slices.Concat(x.Asked, x.Out) {
		seq = max(seq, c.Seq, c.GivenSeq)
	}
	return seq
}
