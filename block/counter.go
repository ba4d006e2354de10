package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// The axle counter that proves a section clear. Sources: Block Working Manual
// (South Central Railway) part B 1.4 and 3.5(A); Subsidiary Rule 3.68.8 as amended
// in 2024 for the reset.

// counterRows go before those of the block. A train's time in section ends with
// the section shown free, which is train out of section for both ends.
var counterRows = []Row{
	{From: Normal, Act: ActOccupied, To: CounterDoubt, For: counted},
	{From: Offered, Both: true, Act: ActOccupied, To: CounterDoubt, For: counted},
	{From: anyPhase, Both: true, Act: ActOccupied, To: stay, For: counted}, // by the train that is signalled
	{From: CounterDoubt, Both: true, Act: ActAccept, To: stay, For: counted, Rule: rulebook.AcceptedSectionOccupied,
		Says: "Line clear was given with the section shown occupied, and not proved clear since"},
	{From: CounterDoubt, Both: true, Act: ActDepart, To: InSection, For: counted, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{onAuthority}},

	// Cancelled for a train that is back: nothing is proved until the lamp shows it.
	{From: InSection, Act: ActCancel, To: CounterDoubt, For: counted, Guards: []Guard{setBack, tokenBackFirst}},

	{From: InSection, Both: true, Act: ActReset, To: settled, For: counted, Guards: []Guard{noneInSection, bothAssured}},
	{From: CounterDoubt, Both: true, Act: ActReset, To: Normal, For: counted, Guards: []Guard{bothAssured}},
	{From: anyPhase, Both: true, Act: ActReset, To: stay, For: counted, Guards: []Guard{bothAssured}},
}

// keyRows are those of the shunt key: nothing is signalled with it out. Sources: Block
// Working Manual (South Central Railway) part B 1.2(l), tokenless; 1.4, axle counter.
var keyRows = []Row{
	{From: ShuntKeyOut, Both: true, Act: ActAccept, To: stay, For: keyed, Rule: rulebook.AcceptedSectionOccupied,
		Says: "Line clear was given with the shunt key out"},
	{From: ShuntKeyOut, Both: true, Act: ActOffer, To: stay, For: keyed, Rule: rulebook.OfferedBeforeOutOfSection,
		Says: "A train was offered with the shunt key out"},
	{From: Normal, Act: ActKeyOut, To: ShuntKeyOut, For: keyed},
	{From: Offered, Both: true, Act: ActKeyOut, To: ShuntKeyOut, For: keyed}, // which refuses it
	{From: ShuntKeyOut, Both: true, Act: ActKeyOut, To: stay, For: keyed},
	{From: anyPhase, Both: true, Act: ActKeyOut, To: stay, For: keyed, Rule: rulebook.ShuntKeyTrainSignalled},
	{From: ShuntKeyOut, Both: true, Act: ActKeyIn, To: Normal, For: keyed},
	{From: anyPhase, Both: true, Act: ActKeyIn, To: stay, For: keyed},
}

var noneInSection = Guard{
	Name: "no train in the section", Rule: rulebook.CounterResetTrainInSection,
	Expected: "the last train booked arrived complete, or reported so from the other end, before the reset",
	holds: func(d *action) bool {
		return !slices.ContainsFunc(d.s.On(d.line), func(t *Train) bool { return t.In.Line != d.line || !t.clearOfSection() || t.Proof != Complete })
	},
}

// bothAssured: the other end's private number, or a message each way since the
// line came to be as it is.
var bothAssured = Guard{
	Name: "assurance of both ends", Rule: rulebook.CounterNotProved,
	Expected: "the last trains of both ends exchanged, with a private number or a message each way",
	holds: func(d *action) bool {
		c := &d.s.Circuits[d.ref().section]
		return d.e.PN != "" || c.SaidAt != 0 && c.HeardAt != 0 && min(c.SaidAt, c.HeardAt) >= d.ls().Since
	},
}

var onAuthority = Guard{
	Name:  "driver authorised past the signal, and that booked",
	holds: func(d *action) bool { return d.train != nil && d.train.Warned },
}

// resetFirst: the first train after a reset sweeps the section, on a written
// authority past the last stop signal.
var resetFirst = Guard{
	Name: "written authority for the first train after a reset", Rule: rulebook.EnteredWithoutAcceptance, For: counted, Mine: true,
	Says:     "The first train after the reset of the axle counter left without a written authority",
	Expected: "the driver authorised past the signal at danger, or his paper ticket, and that booked",
	holds: func(d *action) bool {
		return !d.ls().Reset || onAuthority.holds(d) || d.train != nil && d.staff().ticketed(d.train.ID)
	},
}

// counterLine is the line of section i that an entry about its counter concerns:
// the one named; else that of a train in the section, one that has arrived first;
// else the first on which something is signalled.
func (st *step) counterLine(i int) int {
	best, rank := st.lineFor(i, Inward, NoAct), 0
	if st.e.Line != "" {
		return best
	}
	for l := range st.b.linesOf(i) {
		n := 0
		switch t := st.s.occupied(l); {
		case t != nil && t.In.Line == l && t.clearOfSection():
			n = 3
		case t != nil:
			n = 2
		case st.s.Lines[l].Phase != Normal:
			n = 1
		}
		if n > rank {
			best, rank = l, n
		}
	}
	return best
}

// counterShows takes the section shown free or occupied.
func (st *step) counterShows(i int) {
	l := st.counterLine(i)
	ls := st.editLine(l)
	ls.Indicator = st.e.Subject
	back := ls.Back
	ls.Back = false
	if !st.b.Sections[i].Method.Is().Counter || st.s.Circuits[i].Message {
		return // suspended, it proves nothing either way
	}
	dir := ls.Dir
	if t := st.s.occupied(l); t != nil {
		dir = dirOn(t, l, true)
	}
	d := st.begin(l, dir, dir == Inward)
	switch {
	case st.e.Subject == "occupied" && ls.Phase == Accepted:
		d.train, d.mine = st.s.Train(ls.Train), dir == Outward
		d.do(ActEnter)
	case st.e.Subject == "occupied":
		d.do(ActOccupied)
	case ls.Phase == CounterDoubt && back:
		d.settle(l)
	case ls.Phase == InSection:
		d.train = d.attribute(ActOut)
		d.do(ActOut)
		if ls = st.editLine(l); ls.Phase == Normal && d.train != nil {
			ls.Freed = d.train.Name
		}
	case ls.Phase == Accepted && d.freedBefore():
	case ls.Phase == Accepted:
		if d.train = st.s.Train(ls.Train); d.train != nil && d.train.leg(dir).Line == l {
			d.of(d.train).leg(dir).Given = st.e.At // it may have run through, and not be booked
			st.doubt(l, d.train, StepPassage)
		}
		d.find(rulebook.SectionFreedNoTrain, "the train booked into the section first; else the counter suspended, and proved")
	}
}

// freedBefore takes the section shown free, with line clear given and nobody in it, for
// the train before, of which it was not shown when line clear was given.
func (d *action) freedBefore() bool {
	for _, o := range d.s.Doubts {
		if t := d.s.Train(o.Train); o.Line == d.line && o.Step == StepOut && t != nil && t.aside(d.line) {
			d.act, d.train, d.mine = ActOut, t, t.In.Line == d.line && t.In.Aside
			return d.late()
		}
	}
	return false
}

// otherRan takes the section shown free before this train went in as run through by the one
// that had line clear before it, and was thought cancelled: it ran, and is not booked.
func (d *action) otherRan() {
	l := d.train.leg(d.dir)
	i := slices.IndexFunc(d.s.Doubts, func(o Doubt) bool {
		t := d.s.Train(o.Train)
		return o.Line == d.line && o.Step == StepCancel && t != nil && t.ID != d.train.ID && t.aside(d.line)
	})
	if i < 0 || l.Given == 0 || d.s.doubtOf(d.line, d.train.ID, StepPassage) == nil {
		return
	}
	t := d.touch(d.s.Train(d.s.Doubts[i].Train))
	k := t.asideBy(d.line)
	l = d.of(d.train).leg(d.dir)
	k.Given, l.Given = l.Given, 0
	d.ownDoubts()[i].Step = StepPassage
	d.endDoubts(func(o *Doubt) bool { return o.Line == d.line && o.Train == d.train.ID && o.Step == StepPassage })
}

// counterEntry takes the reset of a counter, and the shunt key.
func (st *step) counterEntry(i int) {
	if how := st.b.Sections[i].Method.Is(); !how.ShuntKey || !how.Counter && st.e.Kind == CounterReset {
		return
	}
	l := st.counterLine(i)
	st.begin(l, st.s.Lines[l].Dir, true).do(map[Kind]Act{CounterReset: ActReset, ShuntKeyTaken: ActKeyOut, ShuntKeyBack: ActKeyIn}[st.e.Kind])
}

// counterReset ends the time in section of trains that have arrived, where the
// counter did not.
func (d *action) counterReset(regular bool) {
	for _, t := range d.s.On(d.line) {
		if t.In.Line == d.line && t.clearOfSection() {
			d.dir, d.mine, d.train = Inward, true, t
			d.outOfSection(regular)
		}
	}
	d.train = nil
	d.editLine(d.line).Reset = true
	if c := d.editCircuit(d.ref().section); c.unbelled() {
		c.Repaired = true
	}
}

// unknownIn says whether the counter has shown a train that nobody knows.
func (l *LineState) unknownIn() bool { return l.Phase == CounterDoubt && !l.Back }

// toldAfterLamp takes the report that a train has arrived for what the lamp has shown
// already: proof is both, the section free and the arrival complete (General Rules
// (India) 14.10).
func (d *action) toldAfterLamp() bool {
	if d.e.Kind != Bells || d.e.Train == "" || d.ls().Freed != d.e.Train {
		return false
	}
	d.editLine(d.line).Freed = ""
	return true
}

// talked notes when messages went each way, where the reset of a counter rests on it.
func (st *step) talked() {
	i := st.b.SectionIndex(st.e.Subject)
	if i < 0 || !st.b.Sections[i].Method.Is().Counter {
		return
	}
	if c := st.editCircuit(i); st.e.Kind == MessageTo {
		c.SaidAt = st.e.At
	} else {
		c.HeardAt = st.e.At
	}
}
