package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// A train that went, or whose token was drawn, with no line clear in the book: it was not
// given, and then the other box says so; or that is not booked, and then both boxes work
// the train through.

// unaccepted are the rules that an act breaks with no line clear in the book.
var unaccepted = map[Act]rulebook.RuleID{
	ActEnter: rulebook.EnteredWithoutAcceptance, ActDepart: rulebook.EnteredWithoutAcceptance, ActDraw: rulebook.TokenOutWithoutRelease,
}

// mayBeAccepted says whether all that an act was found to break is that line clear is not
// booked, on a line that nothing else uses: no other train is signalled on it, and none
// that was offered was refused or is still to be answered.
func (d *action) mayBeAccepted() bool {
	ls, rule := d.ls(), unaccepted[d.act]
	if rule == "" || !d.section().Method.Is().Offers || d.section().Method.Is().Described || ls.Phase != Normal && (ls.Phase != Offered || ls.Dir != d.dir && d.section().Method.Is().Single) {
		return false
	}
	if ls.Phase == Offered && d.train != nil && d.train.ID != ls.Train {
		return false
	}
	only := 0
	for i := range d.found {
		switch f := &d.found[i]; {
		case f.Seq != d.e.Seq || f.Severity != rulebook.Danger || f.Section != d.section().Neighbour:
		case f.Rule != rule:
			return false
		default:
			only++
		}
	}
	return only == 1 && !slices.ContainsFunc(d.s.Trains, func(t *Train) bool {
		l := t.leg(d.dir)
		waits := l.Line == d.line && l.open() && l.standing() == 0 && l.Offered != 0
		return t.occupies(d.line) || waits && (ls.Phase != Offered || t.ID != ls.Train)
	})
}

// doubtIf opens a doubt about a step of the train of the act.
func (d *action) doubtIf(so bool, missing Step) {
	if so {
		d.doubt(d.line, d.train, missing)
	}
}

// ofLineClear says whether a finding is one that line clear, not booked, would explain.
func ofLineClear(f *Finding) bool {
	return f.Rule == rulebook.EnteredWithoutAcceptance || f.Rule == rulebook.TokenOutWithoutRelease
}

// gaveClear ends the doubts whether line clear was given that an act on their line answers:
// it was not, where the train is offered or accepted only now or danger is signalled; and it
// was, where the train is given out of section as if it had been.
func (d *action) gaveClear() {
	a := d.act
	of := func(o *Doubt) bool { return o.Step == StepAccepted && o.Line == d.line }
	o := first(d.s.Doubts, of)
	if o == nil {
		return
	}
	switch k := *o; {
	case a == ActOut && d.train != nil && (k.Train == 0 || k.Train == d.train.ID):
		for _, also := range d.s.Doubts { // the drawing of its token, and that it went
			if of(&also) && also.Seq != k.Seq {
				k.Found = append(slices.Clip(k.Found), also.Found...)
			}
		}
		d.notBooked(&k, d.train, []Step{StepAccepted})
		d.endDoubts(of)
	case a == ActOffer, a == ActAccept, a == ActAcceptRestricted, a == ActDanger:
		d.endDoubts(of)
	}
}

// shownBy says by what a step is shown, and what to do about line clear.
func (f *Finding) shownBy(s Step) string {
	if s != StepAccepted {
		return "; this entry shows that it was done"
	}
	f.Expected = "the offer and line clear booked late, if they were exchanged; if not, that it went without"
	return "; both boxes worked the train as if it had been given"
}

// tokenWasOut presumes the token, not booked out, of a train that the box in advance gives
// out of section: he has put it in before. Which number went shows later. Source: trade
// notes SL-13, the Severn Valley notes and Block Working Manual Part A 3.2.
func (d *action) tokenWasOut(t *Train) {
	o := d.tokenOwed(StepTokenOut)
	if o == nil || d.mine || d.dir != Outward || o.Train != t.ID || t.Returned || d.wrongToken() || d.tokens().Out != 0 || d.section().Method.Is().Carries != rulebook.CarriesToken {
		return
	}
	k := *o
	d.notBooked(&k, t, []Step{StepTokenOut})
	d.editToken(d.ref().section).More--
}

// protested takes a message of a box to or from which a train went, that speaks of the train
// and is no plain report of it, as saying that what is not booked was not done either.
func (st *step) protested() {
	i := st.b.SectionIndex(st.e.Subject)
	if i < 0 {
		return
	}
	mayBe := func(line int, steps ...Step) bool {
		return st.b.lines[line].section == i && (slices.Contains(steps, StepAccepted) || slices.Contains(steps, StepTokenOut))
	}
	st.endDoubts(func(o *Doubt) bool {
		name := o.Name
		if t := st.s.Train(o.Train); t != nil {
			name = t.Name // "" as long as nobody names it
		}
		return mayBe(o.Line, o.Step) && objects(st.e.Text, name)
	})
	for p := st.protest(mayBe); p != nil; p = st.protest(mayBe) {
		if slices.Contains(p.Steps, StepTokenOut) {
			st.editToken(i).More++
		}
		st.contradicted(p)
	}
}

func (st *step) protest(mayBe func(int, ...Step) bool) *Presumption {
	return first(st.s.Presumed, func(p *Presumption) bool {
		name := p.Name
		if p.Unnamed {
			name = ""
		}
		return mayBe(p.Line, p.Steps...) && objects(st.e.Text, name)
	})
}
