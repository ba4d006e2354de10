package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// How trains are made up: joined, divided into parts with names of their own,
// engines taken off, engines that assist and come back.

// Returns is the word for an engine that comes back when it has assisted.
const Returns = "returns"

// together judges two trains that an entry brings together: the book has both
// here, and at one place.
func (st *step) together(t, o *Train) {
	if o == nil || t.Where != Here || o.Where != Here || t.Place != "" && o.Place != "" && t.Place != o.Place {
		st.note(rulebook.TrainsNotTogether, "", st.e.Train, "both trains here, and at one place, before that is booked")
	}
}

// trainJoined makes a train a part of another: its own row ends.
func (st *step) trainJoined() {
	st.together(st.named(), st.s.TrainNamed(st.e.Subject))
	st.trainGone()
}

// part opens the row of a part of a train that stands where the train does.
func (st *step) part(t *Train) *Train {
	p := st.newTrain(st.e.Subject)
	p.Where, p.Place, p.PlaceAt, p.PlaceSeq, p.PartOf = Here, t.Place, st.e.At, st.e.Seq, t.ID
	return p
}

// engineDetached makes an engine a train of its own, where the train stands. One
// that assisted the train has a row already, and is free of it.
func (st *step) engineDetached() {
	t, e := st.named(), st.s.TrainNamed(st.e.Subject)
	if e == nil {
		e = st.part(t)
		e.PartOf = 0
	}
	st.together(t, e)
	e = st.touch(e)
	e.Helps, e.Out.Booked = 0, e.Out.Booked && e.Where == Here
}

// trainDivided takes a train as no more complete. A rear part with a name is a
// train of its own: where the train stands if its section is clear of it or it was seen
// complete here, else left in the section, and the section is not given out before it is in. Source:
// signalbox.org, Block system ch. 9; General Rules (India) 6.09(4).
func (st *step) trainDivided() {
	t := st.named()
	inSection := (t.In.inSection() || t.Out.inSection()) && (t.Where != Here || t.Proof != Complete)
	if st.e.Subject != "" {
		if p := st.part(t); inSection {
			p.Where, p.Place = Unaccounted, ""
		} else {
			p.PartOf = 0
			return // each part stands here, and is whole
		}
	}
	t.Divided, t.Proof = true, NoTailLamp
	t.ProofAt, t.ProofSeq = st.e.At, st.e.Seq
}

// partIn takes the rear part of a divided train as in, with its tail lamp: all of
// the train is here. It reports whether the entry was about such a part.
func (st *step) partIn() bool {
	p := st.s.TrainNamed(st.e.Train)
	if p == nil || p.PartOf == 0 || p.Where != Unaccounted {
		return false
	}
	p = st.touch(p)
	p.Where = Here
	st.stand(p, st.e.Place)
	if st.e.Kind == TrainMoved { // it was here before it was moved
		st.noteSaying(rulebook.StepNotBooked, "", p.Label(st.b), "Its arrival, seen complete,"+shownDone, "the arrival of "+p.Name+", and its tail lamp")
	} else if st.e.Proof != Complete {
		return true
	}
	if t := st.s.Train(p.PartOf); t != nil && t.Divided {
		st.helpersOut(p, t.In.Line) // which fetched it
		t = st.touch(t)
		t.In.Shown = st.e.At // of it that was in the section yet
		t.Divided, t.Proof, t.ProofAt, t.ProofSeq = false, Complete, st.e.At, st.e.Seq
		st.bring(rulebook.TailLampNotReported, func(d *Pending) bool { return d.Train == t.ID })
	}
	return true
}

// backForRear takes the engine of a train that came in part as gone back for the rest: with the
// token it came with, into the section that it was not given out of, it needs nothing more.
// Source: General Rules (India) 6.09(4).
func (st *step) backForRear(t *Train, line int) bool {
	l := &t.In
	if l.Line != line || !l.inSection() || t.Where != Here || t.Proof != NoTailLamp || l.TokenIn {
		return false
	}
	if d := st.begin(line, Inward, false); !d.byToken() || !(l.HasToken || d.tokens().Out != 0 && d.tokens().Train == t.ID) {
		return false
	}
	st.bring(rulebook.TailLampNotReported, func(d *Pending) bool { return d.Section == l.Section && d.Train == t.ID })
	t = st.touch(t)
	t.Where, t.Place, t.Divided, t.In.Arrived, t.DepartedAt = Approaching, "", true, 0, st.e.At
	return true
}

// withRear takes a train as whole whose engine went back for its rear, and is here complete.
func (st *step) withRear(t *Train) {
	if !t.Divided || t.DepartedAt <= t.In.Entered || t.In.Arrived != 0 || st.e.Proof != Complete {
		return
	}
	t.Divided, t.DepartedAt = false, 0
	st.wholeAgain(t)
}

// wholeAgain ends the rows of the parts that were left in a section, of a train that is whole.
func (st *step) wholeAgain(t *Train) {
	for _, p := range slices.Clone(st.s.Trains) {
		if p.PartOf == t.ID && !p.Out.open() {
			st.close(st.touch(p))
		}
	}
}

// toldOfTail takes what is said with another box of the tail of a train: that it came in part,
// or without tail lamp, as the warning of it; that the box ahead has it complete, or that its
// rear is out of the section again, as its being found so.
func (st *step) toldOfTail(i int) {
	text := wordsIn(st.e.Text)
	parted := says(text, saidDivided)
	if st.e.Kind == MessageTo && (parted || says(text, saidTail)) {
		st.bring(rulebook.TailLampNotReported, func(p *Pending) bool {
			t := st.s.Train(p.Train)
			return p.Section == i && t != nil && speaksOf(st.e.Text, t.Name)
		})
	}
	if st.e.Kind == MessageTo || asks(text) || says(text, notYet) {
		return
	}
	if t := firstTrain(st.s.Trains, func(t *Train) bool {
		ahead := t.Out.Section == i && !parted && says(text, saidWhole) && reportsArrival(st.e.Text)
		rear := t.In.Section == i && t.Divided && parted && says(text, saidRemoved) && !says(text, denies)
		return t.Name != "" && t.Proof == NoTailLamp && strings.Contains(st.e.Text, t.Name) && (ahead || rear)
	}); t != nil {
		t = st.touch(t)
		t.Divided, t.Proof, t.ProofAt, t.ProofSeq = false, Complete, st.e.At, st.e.Seq
	}
}

// miswritten reads a name that no train on hand has as that of the one rear part left in a
// section, or of the one engine that is to come back, if it is a letter from it.
func (st *step) miswritten() {
	if st.e.Train == "" || st.s.TrainNamed(st.e.Train) != nil {
		return
	}
	meant := onlyTrain(st.s.Trains, func(t *Train) bool {
		rear := t.PartOf != 0 && t.Where == Unaccounted
		engine := t.Back && t.Where == Away && (st.e.From == "" || t.Out.Section == st.b.SectionIndex(st.e.From))
		return (rear || engine) && alike(t.Name, st.e.Train)
	})
	if meant == nil {
		st.rearUnsaid()
		return
	}
	st.takeAs(meant, st.e.From, "the name of the one that is awaited from the section, "+meant.Name, "It came under the name "+st.e.Train+"; awaited from the section was")
}

// takeAs reads the entry as of a train by its name, and says so.
func (st *step) takeAs(t *Train, section, expected, says string) {
	st.note(rulebook.TrainNameDiffers, section, t.Name, expected).Text = words(says, "", t.Name)
	st.readAs(inTrain, t.Name)
}

func (st *step) trainRenamed() {
	t := st.named()
	t.Name, t.Was = st.e.Subject, t.Name
}

// renamedBefore reads the name that a train had before it was renamed as its own, where
// nobody else on hand has it, and says so once.
func (st *step) renamedBefore() {
	if st.s.TrainNamed(st.e.Train) != nil {
		return
	}
	if t := onlyTrain(st.s.Trains, func(t *Train) bool { return t.Was != "" && t.Was == st.e.Train }); t != nil {
		t = st.touch(t)
		t.Also, t.Was = append(slices.Clip(t.Also), t.Was), ""
		st.takeAs(t, st.e.Section, "the name that it has now, "+t.Name, "The train is booked under the name that it had before, "+st.e.Train)
	}
}

// rearUnsaid takes what comes complete under the name of a train that stands here without
// its tail lamp, and more, as its rear: that it was divided was not booked.
func (st *step) rearUnsaid() {
	if t := firstTrain(st.s.Trains, func(t *Train) bool {
		return t.Name != "" && strings.HasPrefix(st.e.Train, t.Name) && t.Where == Here && t.Proof == NoTailLamp && !t.Divided && t.In.inSection()
	}); t != nil && st.e.Proof == Complete {
		st.noteSaying(rulebook.StepNotBooked, st.b.Sections[t.In.Section].Neighbour, t.Label(st.b), "Its division"+shownDone, t.Name+" divided, leaving "+st.e.Train)
		t = st.touch(t)
		t.Divided = true
		p := st.newTrain(st.e.Train)
		p.Where, p.PartOf = Unaccounted, t.ID
	}
}

// trainAssists puts an engine to a train: it goes where the train goes. One that waits in a
// siding buffers up with no movement booked. Common practice.
func (st *step) trainAssists() {
	e, t := st.presumeReturn(st.named()), st.s.TrainNamed(st.e.Subject)
	if e.Where == Unplaced {
		e.Where = Here
	}
	if t == nil || t.Where == Here {
		if p := st.b.PlaceNamed(e.Place); t != nil && p != nil && p.Siding {
			e.Place, e.PlaceSeq = t.Place, st.e.Seq
		}
		st.together(e, t)
	}
	if t != nil {
		e.Helps, e.Back = t.ID, st.e.Which == Returns
	}
}

// helpersGo takes the engines that assist a train into the section with it.
func (d *action) helpersGo(t *Train, l *Leg) {
	for _, e := range d.s.Trains {
		if e.Helps != t.ID || e.Where != Here || d.dir != Outward {
			continue
		}
		e = d.touch(e)
		e.Where, e.Place, e.DepartedAt = Away, "", d.e.At
		e.Out = Leg{Section: l.Section, Line: l.Line, Entered: d.e.At, Arrived: d.e.At, Seq: d.e.Seq, Booked: true}
	}
}

// helpersOut ends, with a train's time in the section ahead, that of the engines
// that assist it. One that was to come back and has not is in the section still.
func (st *step) helpersOut(t *Train, line int) {
	if !slices.ContainsFunc(st.s.Trains, func(e *Train) bool { return e.Helps == t.ID }) {
		return
	}
	for _, e := range slices.Clone(st.s.Trains) {
		if e.Helps != t.ID || e.Where != Away || e.Out.Line != line || e.Out.Aside {
			continue // of one in doubt it is found already
		}
		if e.Back {
			st.note(rulebook.AssistingEngineInSection, st.b.Sections[e.Out.Section].Neighbour, e.Name, "the engine back, or reported through, before the section is taken as clear")
			continue
		}
		st.engineThrough(e)
	}
}

// engineThrough closes the row of an assisting engine that went right through. What assists it, which
// a book gone wrong may have be the engine itself, is not looked for.
func (st *step) engineThrough(e *Train) {
	e = st.touch(e)
	e.Out.OutOf = st.e.At
	line := e.Out.Line
	st.close(e)
	st.settle(line)
}

// engineBack ends the time in section of an assisting engine that has come back.
func (st *step) engineBack(e *Train) {
	if e.Helps != 0 && e.Where == Here && st.e.From != "" { // it has been, and that is not booked
		e.Helps, e.Back, e.Warned = 0, false, false
	}
	if e.Helps == 0 || e.Where != Away || !e.Out.open() {
		return
	}
	e.Helps, e.Back, e.Warned, e.Returned, e.Out.OutOf = 0, false, false, true, st.e.At // it may go again only when told again
	st.settle(e.Out.Line)
}

// helpersBack takes the engines that assist a train as back with it.
func (st *step) helpersBack(t *Train) {
	for _, e := range slices.Clone(st.s.Trains) {
		if e.Helps == t.ID && e.Where == Away && e.Out.Line == t.Out.Line && !e.Out.Aside {
			e = st.touch(e)
			st.engineBack(e)
			e.Where = Here
		}
	}
}

// toAssist: an engine may follow a train into the section to assist it, when its
// driver has been told. Source: study cards, past a signal at danger: into the
// section to remove what was left there.
var toAssist = Guard{
	Name: "to assist the train in section, its driver told",
	holds: func(d *action) bool {
		if d.train == nil || !d.train.Warned || d.train.Helps == 0 {
			return false
		}
		part := d.s.Train(d.train.Helps) // or the rear part of the one in section
		return slices.ContainsFunc(d.s.On(d.line), func(t *Train) bool { return t.ID == d.train.Helps || part != nil && t.ID == part.PartOf })
	},
}

// wentTo says whether a train went out into the section where another was: to assist it.
func (t *Train) wentTo(o *Train) bool {
	return t.Out.Line == o.Out.Line && t.Out.Entered > o.Out.Entered && (o.Out.OutOf == 0 || o.Out.OutOf > t.Out.Entered)
}

// fetched says whether an engine went into the section to a train, to come back with it.
func (x *expecting) fetched(t *Train) bool {
	return firstTrain(x.s.Trains, func(e *Train) bool { return e.wentTo(t) && (e.Helps == t.ID && e.Back || e.Returned) }) != nil
}

// madeUp expects the rest of a divided train, and an engine to go into the section to a train
// that it assists, and to come back.
func (x *expecting) madeUp(t *Train) {
	if o := x.s.Train(t.PartOf); o != nil && t.Where == Unaccounted && t.Name != "" {
		x.offer(Expectation{Event: Event{Kind: TrainArrived, Train: t.Name, Proof: Complete}, Mine: true, Wanted: x.s.Now + laterRemoval,
			Label:  t.Name + " in, complete with its tail lamp",
			Clears: t.Name + " was left in the section by " + o.Label(x.b) + ", and the section is taken as clear of it. Is it all here, and was its tail lamp seen?"})
	}
	if o := x.s.Train(t.Helps); o != nil && o.Where == Away && t.Where == Here && t.Name != "" {
		who := x.b.Sections[o.Out.Section].Neighbour
		e := Expectation{Mine: true, Wanted: o.Out.Entered, Event: Event{Kind: TrainWarned, Train: t.Name, Text: o.Label(x.b) + " stands in the section"}, Label: t.Name + " told that " + o.Label(x.b) + " stands in the section to " + who}
		if t.Warned {
			e.Act, e.Event, e.Label = ActDepart, Event{Kind: TrainDeparted, Train: t.Name, Section: who}, t.Name+" departed for "+who+", to assist "+o.Label(x.b)
		}
		x.offer(e)
	}
	if t.Helps != 0 && t.Back && t.Where == Away && t.Name != "" {
		x.offer(Expectation{Event: Event{Kind: TrainArrived, Train: t.Name, From: x.b.Sections[t.Out.Section].Neighbour}, Mine: true, Wanted: t.Out.Entered + x.s.running(x.b, t.Out.Section, t.Class),
			Label: t.Name + " back from assisting"})
	}
}
