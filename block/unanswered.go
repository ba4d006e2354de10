package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// A book of signals only (BookSignals) has no answers: what stands in it is what was
// acknowledged, and an offer that nobody acknowledged is as a rule not written. So an
// offer there counts as accepted, and what is found against that acceptance is found at
// once. It is taken back, with what was found of it, where the book shows that the offer
// was refused: by the word refuse, by another answer, by the same offer again; and where
// the offer carries a remark, which may say that it was refused, by whatever else is begun
// on the line. Common practice; refusing is not to acknowledge: signalbox.org, Block
// system ch. 3.

// presume takes the signal just given as acknowledged where the book has the
// signals alone, unless its entry goes on with the answer.
func (st *step) presume(i int, bell Bell, next int) {
	if st.b.Booking != BookSignals {
		return
	}
	asked := st.s.Bells[i].Asked
	if rest := st.e.Bells[next:]; len(rest) > 0 && rest[0].Sent != bell.Sent && (rest[0].Code == bell.Code || st.answer(i, &asked, rest[0]) != nil) {
		return
	}
	asked.Open = false
	asked.Presumed = asked.Means == rulebook.Offer
	st.editBell(i).Asked = asked
	if !asked.Presumed {
		st.acknowledged(i, &asked, Bell{Sent: !bell.Sent, Code: bell.Code})
		return
	}
	ls := st.editLine(asked.Line)
	ls.LeftOpen = st.e.Text != ""
	if ls.LeftOpen && !st.mayAccept(asked) {
		return // then it was rather refused; if its train comes all the same, that is found then
	}
	st.accept(asked.Line, func() { st.acknowledged(i, &asked, Bell{Sent: !bell.Sent, Code: bell.Code}) })
}

// accept does what gives line clear by presumption on a line, and keeps what is found of it.
func (st *step) accept(line int, give func()) {
	before := slices.Clone(st.found)
	st.presuming = true
	give()
	st.presuming = false
	ls := st.editLine(line)
	ls.Found = nil
	for k := range st.found {
		f := &st.found[k]
		if slices.ContainsFunc(before, func(g Finding) bool { return f.Same(&g) }) {
			continue
		}
		f.Expected += "; or, where the offer was refused, that booked: refuse"
		ls.Found = append(ls.Found, *f.answer())
	}
}

// mayAccept says whether line clear may regularly be given for the offer just made.
func (st *step) mayAccept(asked Asked) bool {
	d := action{step: st, act: ActAccept, line: asked.Line, dir: dirOf(!asked.Sent), mine: !asked.Sent, train: st.s.Train(asked.Train)}
	ls := d.ls()
	row := d.machine().Row(ls.Phase, d.section().Method.Is().Single && ls.Phase != Normal && ls.Dir != d.dir, ActAccept)
	return row == nil || !d.breaks(row) && d.failing(row) == nil
}

// acceptancePresumed is the train on the line whose acceptance is presumed; nil where there is none.
func (st *step) acceptancePresumed(line int) *Train {
	t := st.s.Train(st.s.Lines[line].Train)
	if t == nil || !t.accepted(line) || !t.leg(dirOn(t, line, false)).Unbooked {
		return nil
	}
	return t
}

// takeBack takes back the acceptance presumed of a train's offer, with what was found
// of it. It says whether there was one.
func (st *step) takeBack(line, train int) bool {
	t := st.acceptancePresumed(line)
	if t == nil || t.ID != train {
		return false
	}
	t = st.touch(t)
	l := t.leg(dirOn(t, line, false))
	l.Accepted, l.Restricted, l.Unbooked = 0, false, false
	if t.Where == AcceptedHere {
		t.Where = OfferedHere
	}
	ls := st.editLine(line)
	if ls.Phase == Accepted {
		ls.Phase = ls.Before
	}
	if len(ls.Found) > 0 {
		st.answered(ls.Found)
		ls.Found = nil
	}
	return true
}

// refuses takes back what was presumed of the offer, or of the token asked for shunting,
// that is now booked as refused. It gives the line of it.
func (st *step) refuses(asked Asked, bell Bell, line int, dir Dir) int {
	if i := st.foundNow(rulebook.OfferedBeforeOutOfSection); i >= 0 && bell.Sent {
		st.found[i].Severity = rulebook.Irregular // nothing comes of it
	}
	if answers := asked.Means == rulebook.Offer || asked.Means == rulebook.ReleaseToken; answers && asked.Sent != bell.Sent && st.e.Line == "" && st.e.Train == "" {
		line = asked.Line
	}
	if ls := st.s.Lines[line]; asked.Means == rulebook.ReleaseToken && asked.Line == line && ls.Phase == ShuntReleased && !ls.TokenBack {
		st.editLine(line).Phase = ShuntAsked
	}
	if t := st.acceptancePresumed(line); t != nil && dirOn(t, line, false) == dir && (st.e.Train == "" || t.Name == "" || t.Name == st.e.Train || t.also(st.e.Train)) {
		st.takeBack(line, t.ID)
	}
	return line
}

// lapsePresumed takes back the acceptance of an offer with a remark when something else is
// begun on its line than the train's own next step.
func (st *step) lapsePresumed(line int, next Act) {
	switch next {
	case ActOffer, ActShunt, ActAskRelease, ActBlockInside, ActBlockOutside:
		if t := st.acceptancePresumed(line); t != nil && st.s.Lines[line].LeftOpen {
			st.takeBack(line, t.ID)
		}
	}
}

// acceptedAfterAll gives line clear for a train whose offer the book left open, when
// it goes or its token is drawn: so it was accepted meanwhile.
func (d *action) acceptedAfterAll() {
	if d.b.Booking != BookSignals || !d.ls().LeftOpen {
		return
	}
	t := d.s.Train(d.ls().Train)
	if t == nil || d.train != nil && d.train.ID != t.ID || d.train == nil && d.e.Train != "" {
		return
	}
	if l := t.leg(d.dir); l.Line != d.line || !l.offeredOnly() {
		return
	}
	given := *d
	given.train, given.mine = t, d.dir == Inward
	d.accept(d.line, func() { given.do(ActAccept) })
	d.train = given.train
}

// takenBack takes line clear that this box gave a train, and refuses it now by name, as withdrawn: it has
// not gone yet. What was found of it stands. Common practice.
func (d *action) takenBack(t *Train) {
	l := &t.In
	if !d.mine || t.Name == "" || d.e.Train != t.Name || l.Line != d.line || !l.accepted() || l.Arrived != 0 {
		return
	}
	l.Cancelled, l.Aside = d.e.At, false
	d.sure(d.line, t.ID)
	d.close(t)
	d.settle(d.line)
}
