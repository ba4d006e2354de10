package block

import (
	"slices"
	"strconv"

	"fairhand/block/rulebook"
)

// Near is a train on its way to a crossing.
type Near struct {
	Train   int
	Name    string
	At      Time // the earliest it can be there; the moment asked about when no running minutes are given
	Known   bool // At rests on running minutes
	Entered bool // between its last report and the crossing; else line clear stands for it
	Behind  bool // it is here itself, and what it may have left behind is not
}

// Words says how far away the train is.
func (n Near) Words(now Time) string {
	switch {
	case n.Behind && n.Entered:
		return "part of " + n.Name + " may have been left in the section"
	case n.Behind:
		return n.Name + " is not known to be complete, nor the section clear"
	case !n.Entered:
		return "line clear stands for " + n.Name
	case !n.Known:
		return n.Name + " is on its way, not booked past"
	case n.At <= now:
		return n.Name + " may be there now, not booked past"
	}
	return n.Name + " may be there in " + minutesWords(n.At-now)
}

func minutesWords(t Time) string {
	n := int((t + Minute/2) / Minute)
	switch n {
	case 0:
		return "less than a minute"
	case 1:
		return "1 minute"
	}
	return strconv.Itoa(n) + " minutes"
}

// NextAtCrossing is the train that can be first at a crossing: one in section
// towards it and not booked past, else one for which line clear stands. A train is
// placed by its last report before the crossing, the report after it, and the
// running minutes of the box file; without these it may be there at any moment.
func (s *State) NextAtCrossing(b *Box, i int, now Time) (next Near, ok bool) {
	c := &b.Crossings[i]
	for _, t := range s.Trains {
		if slices.Contains(s.Crossings[i].Past, t.ID) {
			continue
		}
		for _, dir := range [...]Dir{Inward, Outward} {
			n, comes := s.near(b, c, t, dir, now)
			if !comes && dir == Inward {
				n, comes = s.behind(b, c, t, now)
			}
			if comes && (!ok || n.Entered && !next.Entered || n.Entered == next.Entered && n.At < next.At) {
				next, ok = n, true
			}
		}
	}
	for _, g := range s.Crossings[i].Gone {
		if now <= g.Until && (!ok || !next.Entered || g.From < next.At) {
			next, ok = Near{Name: g.Name, At: g.From, Known: true, Entered: true}, true
		}
	}
	return next, ok
}

// towards is what may be at the crossing by a time.
func (x atCrossing) towards(until Time) (over []inWay) {
	for _, t := range x.s.Trains {
		for _, dir := range [...]Dir{Inward, Outward} {
			n, comes := x.s.near(x.b, x.c, t, dir, x.e.At)
			if comes && n.Entered && n.At <= until && !slices.Contains(x.s.Crossings[x.i].Past, t.ID) {
				over = append(over, inWay{t, dir})
			}
		}
	}
	for range x.s.Crossings[x.i].Gone {
		over = append(over, inWay{})
	}
	return over
}

// behind is what a train that is here may have left on its way over the crossing: vehicles,
// until it is found complete or given out of section. A tail lamp that is not booked proves
// nothing yet; one that was not there is a train that may have divided.
func (s *State) behind(b *Box, c *Crossing, t *Train, now Time) (Near, bool) {
	l := &t.In
	if c.section < 0 || l.Section != c.section || !l.open() || l.Arrived == 0 || l.Aside || l.Presumed || t.whole() || b.Sections[l.Section].OnlyReported || b.Sections[l.Section].Method.Is().Described {
		return Near{}, false
	}
	return Near{Train: t.ID, Name: t.Label(b), At: now, Behind: true, Entered: t.Divided || t.Proof == NoTailLamp}, true
}

// near places one train on one of its legs.
func (s *State) near(b *Box, c *Crossing, t *Train, dir Dir, now Time) (Near, bool) {
	l := t.leg(dir)
	if !l.open() || l.Aside || l.Presumed || !c.usedBy(b, l.Section, dir) || t.Where == Unaccounted {
		return Near{}, false
	}
	n := Near{Train: t.ID, Name: t.Label(b)}
	from := b.Sections[l.Section].Neighbour
	if dir == Outward {
		from = FromHere
	}
	run, known := c.from(from)
	n.Known = known
	switch {
	case dir == Inward && (l.Arrived != 0 || t.clearOfSection()):
		return n, false
	case l.Entered != 0:
		if dir == Outward && (t.Returned || c.section < 0) {
			return n, false // one that has left crosses the crossing at the box as it goes
		}
		n.Entered, n.At = true, l.Entered+run
	case l.Accepted != 0:
		n.At = now + run
		if m := b.Sections[l.Section].Method.Is(); dir == Inward && (m.Described || m.Counter) {
			// No report of its entering is to come. A description is of a train about to
			// pass; where line clear was given, it may stand there yet.
			n.Entered, n.At = m.Described, l.Accepted+run
		}
		if dir == Outward && c.section < 0 {
			n.Entered = slices.ContainsFunc(c.guards, func(k int) bool {
				g := &b.Signals[k]
				return g.Kind == sectionSignal && g.Section == b.Sections[l.Section].Neighbour && slices.Contains(s.SignalsOff, g.Name)
			})
		}
	default:
		return n, false
	}
	if !known {
		n.At = now
	}
	return n, true
}

// usedBy says whether trains of section i, coming here or going there, run over
// the crossing. At a crossing at the box its protecting signals tell the way.
func (c *Crossing) usedBy(b *Box, i int, dir Dir) bool {
	if c.section >= 0 {
		return i == c.section
	}
	if i < 0 || len(c.guards) == 0 {
		return i >= 0
	}
	name := b.Sections[i].Neighbour
	if _, ok := c.from(name); ok && dir == Inward {
		return true
	}
	return slices.ContainsFunc(c.guards, func(k int) bool {
		g := &b.Signals[k]
		return g.Section == name && (g.Kind == sectionSignal) == (dir == Outward)
	})
}

// over says whether a line runs over the crossing; section -1 for any of that name.
func (x atCrossing) over(line string, section int) bool {
	if x.c.section >= 0 {
		return (section < 0 || section == x.c.section) && slices.ContainsFunc(x.b.Sections[x.c.section].Lines, func(l Line) bool { return l.Name == line })
	}
	return len(x.c.guards) == 0 || slices.ContainsFunc(x.c.guards, func(k int) bool {
		g := &x.b.Signals[k]
		return (section < 0 || x.b.SectionIndex(g.Section) == section) && (g.Line == line || g.Line == "")
	})
}

// atCrossings judges an act on a line by the level crossings on the way.
func (d *action) atCrossings(fresh bool) {
	d.eachCrossing(func(x atCrossing) {
		if !x.c.usedBy(d.b, d.ref().section, d.dir) {
			x.clearingPoint(d)
			return
		}
		switch d.act {
		case ActAccept, ActAcceptRestricted:
			x.consent(d.train)
			if d.mine {
				x.sentOver(x.nameOf(d.train))
			}
			x.clearingPoint(d)
			if d.dir == Inward && (d.mine || d.section().Method.Is().Described) {
				x.givenToo(d.train)
				x.givenInDoubt(d.train)
			}
		case ActEnter, ActDepart:
			if d.train == nil || !fresh {
				return
			}
			if n, ok := x.s.near(x.b, x.c, d.train, d.dir, x.e.At); ok {
				x.during(n)
			} else if x.c.section < 0 && d.dir == Outward {
				x.during(Near{Train: d.train.ID, Name: d.train.Label(x.b), At: x.e.At})
			}
			if d.dir == Outward && x.c.section >= 0 {
				x.runOver(d.train)
			}
		case ActOut:
			if d.train != nil && d.dir == Outward {
				x.over1(d.train.ID)
			}
			x.ranClear(d)
		case ActUnblock:
			if d.mine && x.now().Obstructed.is() {
				x.edit().Removed = x.present()
			}
		case ActCancel:
			x.changed(d.train)
			if d.train != nil {
				x.over1(d.train.ID)
			}
		}
	})
}

func (x atCrossing) nameOf(t *Train) string {
	if t == nil {
		return ""
	}
	return t.Label(x.b)
}

// clearingPoint judges a full acceptance with the road open over a crossing within
// the clearing point. From memory, so no danger is raised on it.
func (x atCrossing) clearingPoint(d *action) {
	if d.act == ActAccept && d.mine && d.dir == Inward && x.now().Road == RoadOpen && x.c.within(d.s.section(d.b, d.ref().section)) {
		f := x.find(rulebook.AcceptedClearingPointFouled, x.nameOf(d.train), "the crossing closed to the road before a train is accepted in full")
		f.Severity, f.Ref = rulebook.Irregular, rulebook.FromMemory
	}
}

// givenToo raises line clear given, or a description taken, for a train that may be at
// the crossing before a user with leave is clear: as leave with line clear standing is
// (LC-39), it is worth a thought as long as the train is not on its way.
func (x atCrossing) givenToo(t *Train) {
	n, ok := x.s.near(x.b, x.c, t, Inward, x.e.At)
	if !ok {
		return
	}
	for _, o := range x.now().Out {
		if n.At > o.Until || x.e.At > o.Until {
			continue
		}
		f := x.find(rulebook.CrossingTrainLetTowards, n.Name, "the user reported clear, or his time past, or so long a run that he will be")
		when := "at any time"
		if n.Known {
			when = "in " + minutesWords(n.At-x.e.At)
		}
		f.Text = words("Line clear was given for a train while a user has leave to cross", x.c.Section, n.Name) + "; at " + x.c.Name + ": " + o.words() + ", and the train may come " + when
		f.Severity, f.Rests = rulebook.Advice, []int64{o.GivenSeq, x.e.Seq}
		return
	}
}

// givenInDoubt raises line clear given to a train that comes over a crossing in doubt: the
// box in rear lets it go, and its driver is cautioned there or not at all. That this box
// must ask for it is by inference, so it is worth a thought.
func (x atCrossing) givenInDoubt(t *Train) {
	why := x.doubt()
	if why == "" || x.c.section < 0 || t != nil && slices.Contains(x.now().Cautioned, t.ID) {
		return
	}
	box := x.b.Sections[x.c.section].Neighbour
	f := x.find(rulebook.CrossingNotCautioned, x.nameOf(t), box+" asked to have the driver cautioned, and the crossing known to be clear before it is lifted")
	f.Text = words("Line clear was given for a train with the crossing on its way in doubt", x.c.Section, x.nameOf(t)) + "; at " + x.c.Name + ": " + why
	f.Severity = rulebook.Advice
}

// during raises a train let towards the crossing that may be there while a user is.
func (x atCrossing) during(n Near) {
	for k := range x.now().Out {
		o := x.now().Out[k]
		if o.Let || n.At > o.Until || x.e.At > o.Until {
			continue
		}
		s := x.edit()
		s.Out = slices.Clone(s.Out)
		s.Out[k].Let = true
		f := x.find(rulebook.CrossingTrainLetTowards, n.Name, "the user reported clear, or his time past, before a train is let towards the crossing")
		f.Rests = []int64{o.GivenSeq, x.e.Seq}
	}
}

// goesUnreported keeps a train that leaves over a section where nothing will report it
// past, for as long as it takes to the other end.
func (x atCrossing) goesUnreported(t *Train) {
	i := x.c.section
	if i < 0 || !x.b.Sections[i].Method.Is().Described {
		return
	}
	run, _ := x.c.from(FromHere)
	s := x.edit()
	s.Gone = slices.DeleteFunc(slices.Clone(s.Gone), func(g SentOver) bool { return g.Until < x.e.At })
	s.Gone = append(s.Gone, SentOver{t.Label(x.b), x.e.At + run, x.e.At + x.s.running(x.b, i, t.Class)})
}

// sentOver raises a train sent towards a crossing that is obstructed by the book. Where
// obstruction removed was given, the end of that may be what is not booked.
func (x atCrossing) sentOver(train string) {
	if !x.now().Obstructed.is() {
		return
	}
	if f := x.find(rulebook.CrossingObstructedTrainSent, train, ""); x.now().Removed.is() {
		x.unclosed(f)
	}
}

// runOver judges a train that this box sends over the crossing. A gate whose keeper is
// told when the train has gone is open to the road until then. Source: General and
// Subsidiary Rules (India), Appendix II, annexure I, 2.
func (x atCrossing) runOver(t *Train) {
	told := slices.Contains(x.now().Cautioned, t.ID)
	x.sent(t)
	x.goesUnreported(t)
	if why := x.doubt(); why != "" && !told {
		x.findDoubt(rulebook.CrossingNotCautioned, t.Label(x.b), why)
	}
	x.sentOver(t.Label(x.b))
	open := x.open(t.Label(x.b))
	s := x.now()
	if s.Road == RoadOpen {
		open = x.c.Kind != UserWorked && x.c.ToldBefore != toldDeparture
	} else if slices.Contains(s.Cautioned, t.ID) {
		open = false
	}
	if open && !slices.ContainsFunc(s.Cleared, func(c Clearance) bool { return c.Train == t.ID }) {
		x.findOpen(t.Label(x.b), "the crossing closed to the road before a train runs over it")
	}
	x.brings(rulebook.CrossingClosedLong)
}
