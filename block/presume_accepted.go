package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// A train that went, or whose token was drawn, with no line clear in the book: it was not
// given, and then the other box says so; or that is not booked, and then both boxes work
// the train through.

// unaccepted are the rules that an act breaks with no line clear in the book.
var unaccepted = map[Act]rulebook.RuleID{
	ActEnter: rulebook.EnteredWithoutAcceptance, ActDepart: rulebook.EnteredWithoutAcceptance, ActDraw: rulebook.TokenOutWithoutRelease,
	ActAccept: rulebook.AcceptanceNotOffered,
}

// cancelledOther says whether what was last cancelled on the line was so of another train than
// this, by their names, or over a single line by the way that it was to go.
func (d *action) cancelledOther() bool {
	of := d.ls().Cancelled
	return d.section().Method.Is().Single && d.ls().Phase == Normal && d.ls().Dir != d.dir || of != "" && d.train != nil && d.train.Name != "" && d.train.Name != of && !d.train.also(of)
}

// mayBeAccepted says whether all that an act was found to break is that line clear is not
// booked, and nothing in the book speaks against it: no other train is signalled on the
// line, nor one thought cancelled; it was not offered and refused, or cancelled. An offer by
// bell without its answer is a refusal, and what this box gives itself it books: of a train
// that comes here by name it was not done, but where that released the token which it brings.
// Nor of one let go with the token of another section, or that has line clear for another.
func (d *action) mayBeAccepted() bool {
	ls, rule, single := d.ls(), unaccepted[d.act], d.section().Method.Is().Single
	if rule == rulebook.EnteredWithoutAcceptance && d.dir == Outward && d.s.Circuits[d.ref().section].Message {
		if rule = rulebook.WorkingByMessageNoMessage; d.letsAnother() {
			return false
		}
	}
	if rule == "" || !d.section().Method.Is().Offers || d.section().Method.Is().Described || ls.Refused && !d.cancelledOther() || d.train != nil && d.train.Refused || d.wrongToken() || d.clearElsewhere() || d.s.occupied(d.line) != nil {
		return false
	}
	own := d.act != ActAccept && d.dir == Inward && (d.e.Train != "" || d.train != nil && d.train.Name != "") && !d.byToken() && !(d.train != nil && d.clearAhead(d.train))
	switch turned := single && ls.Dir != d.dir; {
	case ls.Phase == Normal && !own:
	case ls.Phase == Offered && turned && ls.Uncalled:
	case ls.Phase == Offered && !turned && d.act == ActDraw: // no instrument gives a token unanswered
	case ls.Phase == Offered && !turned && d.dir == Inward && d.unrepeated: // all that lacks is that he repeated it
	case ls.Phase == Offered && !turned && d.b.ByWord(d.ref().section) && (d.train == nil || d.train.ID == ls.Train):
	default:
		return false
	}
	if slices.ContainsFunc(d.s.Presumed, func(p Presumption) bool { return p.Line == d.line && slices.Contains(p.Steps, StepCancel) }) {
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
	return only == 1
}

// clearElsewhere says whether the train that goes has line clear for another line from here.
func (d *action) clearElsewhere() bool {
	return d.dir == Outward && d.train != nil && slices.ContainsFunc(d.s.Lines, func(o *LineState) bool {
		return o != d.ls() && o.Train == d.train.ID && o.Dir == Outward && o.Phase.lineClear()
	})
}

// letsAnother says whether a message in hand gives line clear for another train that is here,
// or on its way here: this one went on it.
func (d *action) letsAnother() bool {
	name := d.goesAs()
	for word := range letGo(d.s.Circuits[d.ref().section].Told) {
		if t := d.s.TrainNamed(word); name != "" && word != name && t != nil && t.Where != Away {
			return true
		}
	}
	return false
}

// ofLineClear are the rules of what line clear, not booked, would explain.
var ofLineClear = map[rulebook.RuleID]bool{
	rulebook.EnteredWithoutAcceptance: true, rulebook.TokenOutWithoutRelease: true, rulebook.AcceptanceNotOffered: true, rulebook.WorkingByMessageNoMessage: true,
}

// gaveClear ends the doubts whether line clear was given that an act on their line answers:
// it was not, where the train is offered or accepted only now or danger is signalled; and it
// was, where the train is given out of section as if it had been.
func (d *action) gaveClear() {
	a := d.act
	of := func(o *Doubt) bool { return o.Step == StepAccepted && o.Line == d.line }
	o := first(d.s.Doubts, func(o *Doubt) bool {
		t := d.s.Train(o.Train) // or what an answer looked like that came with no offer
		return of(o) && (a != ActOut || d.train != nil && (t == nil || t.ID == d.train.ID || t.In.standing()+t.Out.standing() == 0))
	})
	if o == nil {
		return
	}
	switch k := *o; {
	case a == ActOut:
		for _, also := range d.s.Doubts { // the drawing of its token, and that it went
			if of(&also) && also.Seq != k.Seq {
				k.Found = append(slices.Clip(k.Found), also.Found...)
			}
		}
		if f := d.clearedFor(d.train, k.Seq); f != nil {
			k.Found = append(slices.Clip(k.Found), *f.answer())
		}
		d.notBooked(k, d.train, StepAccepted)
		d.endDoubts(of)
	case k.Seq == d.e.Seq:
	case a == ActOffer, a == ActAccept, a == ActAcceptRestricted, a == ActDanger:
		d.endDoubts(of)
	}
}

// clearedFor is what was found of the section signal cleared, or the driver authorised past it,
// before a train went: the last, since it stood there. Nil for none.
func (d *action) clearedFor(t *Train, went int64) (last *Finding) {
	for _, f := range d.s.Open {
		if f.Rule == rulebook.SignalOffWithoutLineClear && d.lineOf(f) == d.line && f.Seq < went && f.At >= t.PlaceAt && d.e.At-f.At < presumedFor {
			last = f
		}
	}
	return last
}

// turned says whether a name is another with two of its figures turned.
func turned(a, b string) bool {
	return a != b && sameFigures(a, b) && alike(a, b)
}

// tokenWasOut presumes the token, not booked out, of a train that the box in advance gives
// out of section: he has put it in before. Which number went shows later. Source: trade
// notes SL-13, the Severn Valley notes and Block Working Manual Part A 3.2.
func (d *action) tokenWasOut(t *Train) {
	o := d.tokenOwed(StepTokenOut)
	if o == nil || d.mine || d.dir != Outward || byMessage.holds(d) || o.Train != t.ID || t.Returned || d.wrongToken() || d.tokens().Out != 0 || !d.byToken() {
		return
	}
	d.notBooked(*o, t, StepTokenOut)
	d.editToken(d.ref().section).More--
}

// protested takes a message of a box to or from which a train went, that speaks of the train
// and is no plain report of it, as saying that what is not booked was not done either.
func (st *step) protested() {
	i := st.b.SectionIndex(st.e.Subject)
	if i < 0 {
		return
	}
	for _, t := range st.s.Trains {
		if t.Name != "" && st.e.Kind == MessageFrom && hasYet(st.e.Text, t.Name) {
			st.stillIn(i, t.Name)
		}
	}
	against := func(line int, at Time, name string, steps ...Step) bool {
		ofIt := st.b.sectionOf(line) == i && (slices.Contains(steps, StepAccepted) || slices.Contains(steps, StepTokenOut))
		return ofIt && st.isOf(line, at, name) && objects(st.e.Text, name)
	}
	st.endDoubts(func(o *Doubt) bool {
		name := o.Name
		if t := st.s.Train(o.Train); t != nil {
			name = st.calls(t) // "" as long as nobody names it
		}
		return against(o.Line, o.At, name, o.Step)
	})
	of := func(p *Presumption) bool {
		name := So(!p.Unnamed, p.Name)
		if t := st.s.TrainNamed(name); t != nil {
			name = st.calls(t)
		}
		return against(p.Line, p.At, name, p.Steps...)
	}
	for p := first(st.s.Presumed, of); p != nil; p = first(st.s.Presumed, of) {
		if slices.Contains(p.Steps, StepTokenOut) {
			st.editToken(i).More++
		}
		st.contradicted(p)
	}
}

// calls is the name by which a message speaks of a train that may have several.
func (st *step) calls(t *Train) string {
	for _, name := range t.Also {
		if strings.Contains(st.e.Text, name) {
			return name
		}
	}
	return t.Name
}

// isOf says whether a message may be of a train on a line: of one by another name it is not,
// though that be in figures only, and one without a name is of the last there.
func (st *step) isOf(line int, at Time, name string) bool {
	if name != "" && strings.Contains(st.e.Text, name) {
		return true
	}
	return !slices.ContainsFunc(st.s.Trains, func(t *Train) bool {
		by := t.Name != name && t.Name != "" && slices.Contains(fieldsOf(st.e.Text), t.Name)
		since := t.In.Line == line && t.In.Accepted > at || t.Out.Line == line && t.Out.Accepted > at
		return by || since && t.Name != name
	})
}
