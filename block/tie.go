package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// A bell that names no train tells of the train on its line, not of which train
// that is. What such an entry gives a train is assumed: an entry that names the
// train, or one that only another train can be meant by, takes it from there to
// the right one. Nothing is raised that only one of two such trains would prove.

// holder finds the train signalled on a line of which no entry says that it is
// this one and no other; nil for none. One with line clear and still to enter comes
// first, one whose offer nobody took last.
func (st *step) holder(line int, dir Dir, other *Train) *Train {
	found, _ := likeliest(st.s.Trains, func(o *Train) int {
		l := o.leg(dir)
		if o == other || l.Line != line || !l.open() || o.Name != "" && !l.Assumed {
			return -1
		}
		return l.standing()
	})
	return found
}

// standing ranks what a leg has come to: line clear, in section, no more than offered.
func (l *Leg) standing() int {
	switch {
	case l.Entered != 0:
		return 1
	case l.Accepted != 0:
		return 2
	}
	return 0
}

// claim gives a train what is signalled on a line for a train nobody named: an
// entry names this one there. It gives the train back, as it then is.
func (st *step) claim(t *Train, line int, dir Dir) *Train {
	o, l := st.holder(line, dir, t), t.leg(dir)
	other := dir == Inward && l.standing() == 2 && o != nil && o.Name == "" && o.accepted(line) // of two offers by one name, that from where it comes
	if l.open() && (l.Line == line || !l.Assumed && !other) {
		return t
	}
	if o != nil {
		t = st.exchange(t, o, dir)
		st.dropEmpty(o.ID)
	}
	return t
}

// dropEmpty closes the row of a train of which nothing is left: it was known only
// by what was another's.
func (st *step) dropEmpty(id int) {
	if o := st.s.Train(id); o != nil && o.In.Section < 0 && o.Out.Section < 0 && o.PlaceSeq == 0 && o.DepartedAt == 0 {
		st.close(o)
	}
}

// exchange gives a train what another is signalled for on one side, and that one
// what this one was, if anything; what each did at this box stays its own.
func (st *step) exchange(t, o *Train, dir Dir) *Train {
	t, o = st.touch(t), st.touch(o)
	a, b := t.leg(dir), o.leg(dir)
	if b.Assumed && b.Section >= 0 { // whose it is is told now
		st.answered([]Answer{{Seq: b.Seq, Rule: rulebook.TrainNameAssumed, Section: st.neighbourOn(b.Line), Train: o.Label(st.b)}})
	}
	st.handOver(b, o.ID, -1)
	if a.open() {
		st.handOver(a, t.ID, o.ID)
	} else if a.Section >= 0 && a.Entered != 0 {
		t.Earlier = append(t.Earlier[:len(t.Earlier):len(t.Earlier)], *a)
	}
	st.handOver(b, -1, t.ID)
	mine := *a
	*a, *b = *b, noLeg
	if mine.open() {
		*b = mine
	}
	if dir == Inward {
		a.Arrived, b.Arrived = mine.Arrived, a.Arrived
		t.Code, o.Code = o.Code, t.Code
		t.Class, o.Class = o.Class, t.Class
		t.Gauge, o.Gauge = o.Gauge, t.Gauge
	} else {
		st.describedAs(t, a)
		if b.open() && o.In.Section < 0 {
			st.describedAs(o, b)
		}
	}
	a.Assumed = false
	st.replace(t)
	st.replace(o)
	return t
}

// handOver makes what is noted of a train on a leg that of another.
func (st *step) handOver(l *Leg, from, to int) {
	if l.Line < 0 {
		return
	}
	if st.s.Lines[l.Line].Train == from {
		st.editLine(l.Line).Train = to
	}
	if st.s.Tokens[l.Section].Train == from {
		st.editToken(l.Section).Train = to
	}
	if c := &st.s.Bells[l.Section]; c.Asked.Train == from && c.Asked.Line == l.Line {
		st.editBell(l.Section).Asked.Train = to
	}
	for i := range st.s.Pending {
		if p := &st.s.Pending[i]; p.Train == from && p.Section == l.Section {
			copyOnce(st.s, &st.s.pending, &st.s.Pending, 0)
			st.s.Pending[i].Train = to
		}
	}
}

// describedAs takes the description last offered on the line of a leg, where that is told.
func (st *step) describedAs(t *Train, l *Leg) {
	if l.Line < 0 {
		return
	} else if row := st.b.lookup(l.Section, st.s.Lines[l.Line].LastOffer, rulebook.Offer); row != nil {
		t.Code, t.Class, t.Gauge = row.Code, row.Class, row.Gauge
	}
}

// replace puts a train where what is left of its journey says.
func (st *step) replace(t *Train) {
	switch {
	case t.Out.inSection() && !t.Returned:
		t.Where = Away
	case t.In.Arrived != 0 || t.PlaceSeq != 0:
		if t.Where != PassedHere {
			t.Where = Here
		}
	case t.In.inSection():
		t.Where = Approaching
	case t.In.open() && t.In.Accepted != 0:
		t.Where = AcceptedHere
	case t.In.open():
		t.Where = OfferedHere
	case t.Where == Away || t.Where <= Approaching:
		t.Where = Here
	}
}

// detach gives what was assumed of where a train goes to one of its own that nobody has
// named; an offer nobody took is no more than that.
func (st *step) detach(t *Train) {
	l := &t.Out
	switch {
	case !l.open() || !l.Assumed:
		return
	case l.standing() == 0:
		st.handOver(l, t.ID, 0)
		*l = noLeg
		return
	}
	o := st.newTrain("")
	o.Where = Here
	st.exchange(o, t, Outward)
}

// atBox are the entries that are made of a train at the box.
var atBox = [kindCount]bool{TrainEntire: true, TrainDivided: true, TrainDetained: true, TrainExamined: true, TrainCautioned: true, TrainWarned: true}

// seenHere takes another train for gone than one that arrived and that an entry shows to be here,
// where no entry says which it was.
func (st *step) seenHere() {
	if t := st.s.TrainNamed(st.e.Train); t != nil && t.Where == Away && t.Out.Assumed && (t.PlaceSeq != 0 || st.e.Kind == TrainWarned) {
		st.detach(st.touch(t))
	}
}

// coming finds the train that an arrival under a new name may be: of those on
// their way here that nobody has named, from the box named if one is, and not from
// the one it goes on to. It says how many it might be.
func (st *step) coming(t *Train, from, to int) (found *Train, n int) {
	return likeliest(st.s.Trains, func(o *Train) int {
		l := &o.In
		if o == t || o.Name != "" && !l.Assumed || !l.between(from, to) || l.Arrived != 0 || l.Accepted == 0 && l.Entered == 0 {
			return -1
		}
		return st.nears(l, o.Class)
	})
}

// mistaken finds the train that comes where the book has it as come already under
// another's name: that one, of which no entry says where it came from, is another of
// those on their way.
func (st *step) mistaken(t *Train, from, to int) *Train {
	for _, o := range st.s.Trains {
		if l := &o.In; o == t || !l.Assumed || l.Arrived == 0 || !l.between(from, to) {
			continue
		}
		if q, _ := st.coming(t, -1, o.Out.Section); q != nil && q != o {
			st.exchange(o, q, Inward)
			return st.s.Train(q.ID)
		}
	}
	return nil
}

// nears ranks a leg by how soon its train must come: one in the section that the boxes went
// on without before one that is not in it, where trains are belled in, and before one that has
// entered not half of the least running time ago; and last one that was accepted too lately for that.
func (st *step) nears(l *Leg, c rulebook.Class) int {
	in := l.Entered != 0
	switch {
	case !in && st.e.At-l.Accepted <= st.least(l, c):
		return 0
	case in && (l.Aside || l.Falsely): // it came, if its out of section is right
		return 3
	case l.Aside:
		return 1
	case in && 2*(st.e.At-l.Entered) <= st.least(l, c):
		return 2
	case in || !st.b.Sections[l.Section].Method.Is().Entering:
		return 4
	}
	return 2
}

// goneForGood says whether a train has left over a line on which none comes back.
func (st *step) goneForGood(t *Train) bool {
	return t.Where == Away && !t.Returned && t.Out.Section >= 0 && !st.b.Sections[t.Out.Section].Method.Is().Single
}

// arriving finds the train that arrives or passes: the one named; else the one on
// its way that this must be, or that comes first of those it may be.
func (st *step) arriving() *Train {
	t := st.s.TrainNamed(st.e.Train)
	if t != nil && st.goneForGood(t) { // another went under its name
		st.twoAfterAll(func(p *Presumption) bool { return p.Name == t.Name })
	}
	drawnIn := t != nil && t.In.open() && t.Place != st.e.Place && st.b.standsAtSignal(t) // from where it was stopped
	if t != nil && st.parted(t, t.Where == Here && t.In.Arrived != 0 && !drawnIn || st.e.Kind == TrainArrived && st.e.From == "" && st.goneForGood(t)) {
		t = nil
	}
	if st.e.Kind == TrainPassed {
		if o := st.passesOn(t, st.b.SectionIndex(st.e.Section), nil); o != nil {
			return st.touch(o)
		}
	}
	if t != nil {
		t = st.touch(t)
		if st.e.Kind == TrainArrived && t.Out.Entered != 0 {
			st.detach(t) // it is here: another has gone
		}
		if own := t.In.open() && t.In.Arrived == 0; own && (st.e.From == "" || st.b.SectionIndex(st.e.From) == t.In.Section || !t.In.Assumed) {
			t.In.Assumed = false
			return t
		} else if t.Returned || !own && (t.In.open() || t.PlaceSeq != 0 || t.DepartedAt != 0 && (t.Out.Booked || st.e.Kind != TrainPassed)) {
			return t
		}
	}
	from, to := st.b.SectionIndex(st.e.From), st.b.SectionIndex(st.e.Section)
	o, n := st.coming(t, from, to)
	if o == nil && (from >= 0 || to >= 0) {
		o, n = st.mistaken(t, from, to), 1
	}
	switch {
	case o != nil:
	case t == nil:
		return st.named()
	default:
		return st.signalledLike(t)
	}
	maybe := func(p *Train) bool { return p != o && p.In.Assumed && p.In.open() && p.In.Arrived != 0 } // one that has arrived and may be another than its row says
	sure := n == 1 && (st.e.From != "" || firstTrain(st.s.Trains, maybe) == nil)
	switch {
	case t == nil && o.Name == "": // the row on hand is its own
		t = st.touch(o)
		t.Name = st.e.Train
		if st.e.Kind == TrainArrived && t.Out.Entered != 0 {
			st.detach(t)
		}
	case t == nil:
		t = st.newTrain(st.e.Train)
		fallthrough
	default:
		t = st.exchange(t, o, Inward)
		st.dropEmpty(o.ID)
	}
	t.In.Assumed, t.In.Guessed = !sure, st.e.From == ""
	if n > 1 {
		st.note(rulebook.TrainNameAssumed, st.b.Sections[t.In.Section].Neighbour, t.Label(st.b), "the box it came from in the entry: there is more than one on the way")
	}
	return t
}

// departing finds the train that departs: the one named; else the one signalled
// where it goes that nobody has named.
func (st *step) departing() *Train {
	if t := st.s.TrainNamed(st.e.Train); t != nil && !st.parted(t, t.Out.open() && t.Out.Booked) {
		if o := st.cameUnseen(t); o != nil {
			t = st.exchange(t, o, Inward)
			st.dropEmpty(o.ID)
		}
		return st.touch(t)
	}
	if o := st.cameUnseen(nil); o != nil {
		o.Name = st.e.Train
		return o
	}
	found, n := likeliest(st.s.Trains, func(o *Train) int {
		if o.Name != "" || o.In.Section >= 0 || !o.Out.open() || st.e.Section != "" && st.b.Sections[o.Out.Section].Neighbour != st.e.Section {
			return -1
		}
		if st.e.Line != "" && st.online(o.Out.Line).lineName() != st.e.Line {
			return -1
		}
		return o.Out.standing()
	})
	if n != 1 || found.Out.standing() == 0 && st.holder(found.Out.Line, Outward, nil).Out.standing() > 0 {
		return st.named()
	}
	found = st.touch(found)
	found.Name = st.e.Train
	return found
}

// cleared finds the train that came by a line, when this box gives it out of
// section or restores its token: of those that have come and may be one or the
// other, one that is here and complete.
func (d *action) cleared(t *Train) *Train {
	if t == nil {
		return d.neverBelledIn()
	}
	if d.dir != Inward || d.far || t == nil || t.In.Line != d.line || t.Name != "" && !t.In.Assumed || t.clearOfSection() && t.whole() {
		return t
	}
	if o := firstTrain(d.s.Trains, func(o *Train) bool {
		l := &o.In
		return o != t && l.Assumed && l.open() && l.Arrived != 0 && l.Arrived >= t.In.Entered && l.Line != d.line && o.whole()
	}); o != nil {
		return d.exchange(o, t, Inward)
	}
	return t
}

// whole says whether the train was seen to be complete.
func (t *Train) whole() bool { return t.Proof == Complete || t.Proof == TailLampOut }

// lineClearGone takes the line clear of a train as used by another that went into
// the section instead: it was given once. Its offer stands.
func (d *action) lineClearGone(o *Train) {
	o = d.touch(o)
	l := o.leg(d.dir)
	l.Accepted, l.Restricted = 0, false
	if o.Where == AcceptedHere {
		o.Where = OfferedHere
	}
	d.editLine(d.line).Train = 0
}

// namelessHere takes the train of a book that has named none, and so can book no arrival,
// as here and complete when its token is put in or it is given out of section, if it can
// have come so far: that is said of the first. What was found stands again should an entry
// bring the train afterwards.
func (d *action) namelessHere(a Act) bool {
	t := d.train
	if t == nil {
		t = d.s.occupied(d.line)
	}
	if d.s.Named || !d.mine || a != ActOut && a != ActRestore || t == nil || t.Name != "" || t.In.Line != d.line || !t.In.open() || t.whole() {
		return false
	}
	arrival := !t.clearOfSection()
	if arrival && d.e.At-t.In.Entered <= d.least(&t.In, t.Class) {
		return false
	}
	for _, id := range [...]rulebook.RuleID{rulebook.OutOfSectionTrainNotArrived, rulebook.OutOfSectionTailLampNotSeen, rulebook.TokenInBeforeArrival} {
		d.unfind(id)
	}
	t = d.of(t)
	t.Proof, t.ProofAt, t.ProofSeq = Complete, d.e.At, d.e.Seq
	if arrival {
		t.Where, t.In.Arrived = Here, d.e.At
		d.notBooked(Doubt{Line: d.line, Seq: d.e.Seq, At: d.e.At, Train: t.ID, Name: t.Label(d.b), Said: d.s.Nameless}, t, StepArrival)
		d.s.Nameless = true
	}
	d.taken = nil
	return !slices.ContainsFunc(d.found, func(f Finding) bool { return f.Severity == rulebook.Danger })
}
