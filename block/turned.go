package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Offers that are written with their arrows turned: over a single line those of trains that go
// from here, booked as if line clear had been given to the other box.

// offerTurned takes line clear given over a single line, to a train that goes from here or to
// none by name, as got for the train that now goes: the offer is written with its arrows
// turned. That there are not two is shown when the train is through.
func (d *action) offerTurned() {
	ls, t := d.ls(), d.train
	if !d.section().Method.Is().Single || ls.Dir != Inward || !ls.Phase.lineClear() {
		return
	}
	of := d.s.Train(ls.Train)
	if of == nil || of.In.Line != d.line || of.In.Entered != 0 ||
		d.foundOf(of, &of.In, twoTokens) != nil { // by whichever way it was meant
		return
	}
	says := noOpposing.Says
	switch {
	case d.act == ActDraw && !d.far && d.lies(d.number) == TokenHere && !d.strayed():
		t, says = onlyTrain(d.s.Trains, func(t *Train) bool {
			return d.goesOn(t, of) && (t == of || of.Code == t.Code && t.In.Section >= 0 && t.In.Section != d.ref().section)
		}), "A token was drawn here, and line clear is booked as given to the other end"
	case t == nil && d.act == ActEnter && d.dir == Outward && d.e.Train == "" && d.byToken() && of.unseen() && d.drawnHere(of): // where signals alone are booked
		t = of
	case t == nil || d.dir == Inward || d.act == ActDraw || !d.goesOn(t, of) && !(d.goesFirst(t, of) && d.drawnHere(of)):
		return
	}
	if t == nil {
		return
	}
	l, pn, found, box := of.In, ls.PN, d.foundOf(of, &of.In, nil), d.section().Neighbour
	t, d.dir = d.touch(t), Outward
	if d.train = t; t != of {
		d.close(of)
	} else if t.In, t.Where = noLeg, Here; len(t.Earlier) > 0 {
		k := len(t.Earlier) - 1
		t.In, t.Earlier = t.Earlier[k], t.Earlier[:k:k]
	}
	d.findSaying(noOpposing.Rule, says, noOpposing.Expected)
	d.s.Misplaced = append(slices.Clip(d.s.Misplaced), Misplaced{Act: ActAccept, Offer: true, Line: d.line, Name: of.Name, Train: t.ID, At: d.e.At, Found: append([]Answer{*d.found[len(d.found)-1].answer()}, found...),
		Said: misplacedWords("the offer", box, box, t.Label(d.b))})
	d.settle(d.line)
	ts := d.editToken(d.ref().section)
	n := ts.Out // drawn on it
	ts.Out = 0
	d.asAccepted(t, &l, pn)
	if ts.Out = n; n != 0 {
		ts.OutBy, ts.Train, d.train.Out.Token = Outward, t.ID, n
	}
}

// twoTokens is what no other reading of an offer makes regular.
var twoTokens = map[rulebook.RuleID]bool{rulebook.TokenAlreadyOut: true}

// cameOnIt lets the danger stand where a train comes after all on line clear that was taken as
// written with its arrows turned.
func (d *action) cameOnIt() {
	if d.act == ActEnter && d.dir == Inward && d.foundNow(rulebook.EnteredWithoutAcceptance) >= 0 {
		d.twoAfterAll(func(p *Presumption) bool { return p.Line == d.line && p.Unnamed && p.Found[0].Rule == noOpposing.Rule })
	}
}

// goesOn says whether a train stands here that may be the one for which line clear is booked as
// given to the other box.
func (d *action) goesOn(t, of *Train) bool {
	return t.Where == Here && t.PlaceSeq != 0 && !t.Out.open() && (t == of || of.Name == "" && of.unseen())
}

// goesFirst says the same of a train of which this is the first entry here, but for what it is
// handed.
func (d *action) goesFirst(t, of *Train) bool {
	return of.unseen() && (t == of && t.Name != "" && t.Name == d.e.Train || of.Name == "" && t.In.Section < 0 && t.PlaceSeq == 0 && !t.Out.open())
}

// drawnHere says whether the token of a train that has line clear from the other box was
// drawn from the instrument here, where trains have tokens.
func (d *action) drawnHere(of *Train) bool {
	return !d.byToken() || d.s.Circuits[d.ref().section].unbelled() || d.tokens().Out != 0 && d.foundOf(of, &of.In, map[rulebook.RuleID]bool{rulebook.TokenNotInInstrument: true}) != nil
}

// offeredTurned takes line clear got over the other line for a train that now comes from there by
// name, of which that is all that is left since it was offered on, as given: its arrows are turned.
func (d *action) offeredTurned() bool {
	t := d.train
	if t == nil || t.Name != d.e.Train || d.dir != Inward || !t.neverHere() || d.ls().Phase != Normal {
		return false
	}
	for l := range d.b.linesOf(d.ref().section) {
		if ls := d.s.Lines[l]; l != d.line && l != t.Out.Line && ls.Train == t.ID && ls.Phase.lineClear() {
			at, box := ls.Since, d.section().Neighbour
			d.unfind(misplaces[d.act])
			d.taken = nil
			d.settle(l)
			d.train = d.touch(t)
			leg := d.begin(d.train)
			leg.Offered, leg.Accepted = at, at
			d.writtenWrong(d.e.Seq, box, d.train, misplacedWords("the offer", box, box, t.Name))
			return true
		}
	}
	return false
}

// misplacedWords say what is written against another box, or with its arrows turned.
func misplacedWords(what, wrong, right, train string) string {
	how := " is written against " + wrong + ", and was of "
	if wrong == right {
		how = " is written with its arrows turned: it was of "
	}
	return capital(what) + how + words("", right, train)[2:]
}
