package block

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// Tokens and staffs that later entries show to have been where the book does
// not have them. A number that a far end need not tell may stay unknown: then it
// is only counted, until it shows.

// tokenOwed gives the doubt about a token of the section that was not booked
// in, or out; nil for none.
func (d *action) tokenOwed(s Step) *Doubt {
	return first(d.s.Doubts, func(o *Doubt) bool { return o.Step == s && d.b.sectionOf(o.Line) == d.ref().section })
}

// leftOut takes the token of a train given out of section here as put in, though
// the book lacks it: that is said, and the section goes on.
func (d *action) leftOut(t *Train) {
	back := d.dir == Outward && t.Returned && d.tokens().Out != 0
	if !d.byToken() || !d.mine || !back && (d.dir == Outward || t.In.TokenIn) || len(d.section().Tokens.Charge) == 0 || d.keptHere() {
		return
	}
	ts := d.editToken(d.ref().section)
	n := cmp.Or(ts.Out, t.In.Token)
	if d.lost(n) {
		return
	}
	if !d.lay(n, TokenHere) {
		ts.More++
	}
	ts.in()
}

// keptIn takes a token that was kept here while trains were worked by message as put in when
// normal working is resumed, or it is drawn again: the instruments give none until it is.
func (st *step) keptIn(i int) {
	l := st.b.firstLine(i)
	if st.s.Tokens[i].Out == 0 || st.s.Tokens[i].OutBy != Inward || st.s.occupied(l) != nil || st.s.Lines[l].Phase != Normal && !st.s.Lines[l].Phase.lineClear() {
		return
	}
	ts := st.editToken(i)
	st.online(l).lay(ts.Out, TokenHere)
	st.doubt(l, st.s.Train(ts.Train), StepTokenIn)
	ts.in()
}

// wentOn takes back that the token a train came with was put in: it is booked as handed
// to the driver again.
func (d *action) wentOn(t *Train) {
	o := d.s.doubtOf(d.line, t.ID, StepTokenIn)
	if o == nil {
		return
	}
	if !d.lay(t.In.Token, TokenAway) {
		d.editToken(d.ref().section).More--
	}
	d.endDoubt(*o)
}

// tokensShown presumes that a token was put in when another train has been let
// into the section: no token is released while one is out.
func (d *action) tokensShown() {
	if !d.byToken() {
		return
	}
	if o := d.tokenOwed(StepTokenIn); o != nil && o.Seq != d.e.Seq && (d.train == nil || d.train.ID != o.Train || d.act == ActDraw) {
		k, t := *o, d.s.Train(o.Train)
		if t != nil && d.lost(t.In.Token) {
			return
		}
		d.notBooked(k, nil, StepTokenIn)
		d.otherNumber(&k)
		if t != nil {
			d.touch(t).In.TokenIn = true
		}
		if d.act == ActDraw && t != nil && t.In.Token == d.number && d.e.At > k.At+Minute { // it is drawn again, and was not put in later
			d.endPresumptions(func(p *Presumption) bool { return p.Line == k.Line && slices.Contains(p.Steps, StepTokenIn) })
		}
	}
}

// otherNumber answers, where a token is shown to be in, that another number than the one out was
// given up or put in before: there was that one token, and its number is miswritten in one entry.
func (d *action) otherNumber(o *Doubt) {
	list := d.s.answers(func(f *Finding) bool {
		return f.Rule == rulebook.TokenNumberDiffers && f.Severity == rulebook.Danger && f.Section == d.section().Neighbour && f.Train == o.Name && f.Seq <= o.Seq && o.At-f.At < presumedFor
	})
	if i := d.foundNow(rulebook.StepNotBooked); i >= 0 && len(list) > 0 {
		d.answered(list)
		d.found[i].Text = words("A token is booked as drawn under one number and as put in under another, and this entry shows that it is in: one of the two is miswritten", d.found[i].Section, d.found[i].Train)
		d.found[i].Expected = "the number that the token bears: read it, and correct the entry that has another"
	}
}

// eitherNumber takes a token that is drawn where the book has it at the other end, and in the place of
// it another for which it was once taken, as the one of which the number was miswritten then.
func (d *action) eitherNumber() {
	pair := d.tokens().Either
	i := slices.Index(pair[:], d.number)
	at, was := d.instrument(), d.lies(d.number) // one lost or unfit is where it is
	if i >= 0 && d.number != 0 && d.lies(pair[1-i]) == at && at != was && (was == TokenHere || was == TokenAway) && d.tokens().Out == 0 {
		d.lay(pair[1-i], was)
		d.lay(d.number, at)
		d.editToken(d.ref().section).Either = [2]int{}
	}
}

// strayed says whether a number drawn here that the book has at the far end is
// the one that was put in here without its number; or one drawn there that the book has
// here the one that went without.
func (d *action) strayed() bool {
	at, more := d.lies(d.number), d.tokens().More
	return at == TokenAway && more > 0 && d.instrument() == TokenHere || at == TokenHere && more < 0 && d.instrument() == TokenAway
}

// cameUnbooked says whether a number put in here that the book has here already
// is the one that left with a train and was not booked out.
func (d *action) cameUnbooked() bool {
	return d.lies(d.number) == TokenHere && d.tokens().Out == 0 && (d.tokens().More < 0 || d.tokenOwed(StepTokenOut) != nil)
}

// misnumbered takes a token drawn under a number that the section does not have as drawn
// all the same: no instrument gives such a one, so that the number is a slip of the pen, or
// was told wrongly. It is false where no release is in force, and that may be of another
// section.
func (d *action) misnumbered() bool {
	if d.inCharge() {
		return true
	}
	handedOn := func(i int) bool { // it may be the one that a train came with
		return slices.Contains(d.b.Sections[i].Tokens.Charge, d.number) && (d.s.Tokens[i].Out != 0 || d.s.Unnumbered(d.b, i) != nil)
	}
	for i := range d.b.Sections {
		if !d.released() || d.tokens().Out != 0 || handedOn(i) {
			return d.charged()
		}
	}
	d.noSuchNumber("drawn: ask for it again and correct the entry")
	return true
}

// noSuchNumber says that a token is booked as drawn, or put in, under a number that the
// section does not have.
func (d *action) noSuchNumber(done string) {
	what, _, _ := strings.Cut(done, ":")
	d.wrongNumber(rulebook.TokenWrongSection, done, "Token "+strconv.Itoa(d.number)+" is booked as "+what+", and the section has no such number")
}

// wrongNumber says that a number is miswritten, of a token that was drawn or put in.
func (d *action) wrongNumber(rule rulebook.RuleID, done, text string) {
	name := d.e.Train
	if t := d.s.occupied(d.line); name == "" && t != nil {
		name = t.Label(d.b)
	}
	f := d.noteSaying(rule, d.section().Neighbour, name, text, "the number of the token that was "+done)
	f.Severity, f.Line = rulebook.Irregular, d.lineName()
}

// elsewhereDrawn takes a token drawn on a release, with none out, under a number that the
// book has at the other end as drawn all the same: no instrument gives what is not in it, so
// that this number is miswritten, or one before. One fewer is here than the book has.
func (d *action) elsewhereDrawn() {
	i := d.foundNow(rulebook.TokenNotInInstrument)
	if i < 0 || d.instrument() != TokenHere || slices.ContainsFunc(d.found, func(f Finding) bool { return f.Severity == rulebook.Danger && f.Rule != d.found[i].Rule }) {
		return
	}
	d.editToken(d.ref().section).More--
	f := &d.found[i]
	f.Severity = rulebook.Irregular
	f.Text = words("Token "+strconv.Itoa(d.number)+" is booked as drawn, and the book has it at the other end: this number is miswritten, or one before", f.Section, f.Train)
}

// handed takes a token handed to a driver, or given up by him, under a number that no
// section here has as the one that is out: there is no other.
func (d *action) handed() bool {
	out := d.tokens().Out
	if d.inCharge() || out == 0 || slices.ContainsFunc(d.b.Sections, func(s Section) bool { return slices.Contains(s.Tokens.Charge, d.number) }) {
		return d.charged()
	}
	d.noSuchNumber("handed over: read it again and correct the entry")
	e := *d.e
	e.Number = out
	d.e, d.number = &e, out
	return true
}

// awaitedIn takes a token put in under a number that no section here has, or that the book
// has in the instrument, as the one that is out, or that the train came with: no instrument
// takes another. Where nobody told its number, one more is here than the book has.
func (d *action) awaitedIn() bool {
	t, n := d.s.occupied(d.line), d.tokens().Out
	came := t != nil && d.dir == Inward && t.clearOfSection() && !t.In.TokenIn
	known := slices.ContainsFunc(d.b.Sections, func(s Section) bool { return slices.Contains(s.Tokens.Charge, d.number) })
	in := came && d.lies(d.number) == TokenHere && !d.cameUnbooked() && !d.lateIn()
	if d.isOut() || (d.inCharge() || known) && !in || d.far || n == 0 && !came {
		return d.isOut() || d.charged()
	}
	if in {
		d.wrongNumber(rulebook.TokenNumberDiffers, "put in: read it again, or that of an entry before, and correct the entry",
			"Token "+strconv.Itoa(d.number)+" is booked as put in, and the book has it in the instrument: this number is miswritten, or one before")
	} else {
		d.noSuchNumber("put in: read it again and correct the entry")
	}
	if came {
		n = cmp.Or(n, t.In.Token)
	}
	if d.number = n; n != 0 {
		return true
	}
	t = d.touch(t)
	t.In.TokenIn, t.In.HasToken = true, false
	d.editToken(d.ref().section).More++
	d.inAfterwards(t)
	return false
}

// numberShown takes a number of the section that lies where a token was drawn under a
// wrong number, or one that was not there, as that of the token.
func (d *action) numberShown() {
	ts := d.tokens()
	astray := d.s.open(func(f *Finding) bool { // it was not where it is booked as drawn
		return f.Rule == rulebook.TokenNotInInstrument && f.Severity == rulebook.Irregular && f.Seq == ts.Seq && f.Section == d.section().Neighbour
	}) != nil
	if c := d.section().Tokens.Charge; ts.Out == 0 || ts.Out == d.number || slices.Contains(c, ts.Out) && !astray || d.lies(d.number) != ts.drawnAt() {
		return
	}
	if ts = d.editToken(d.ref().section); astray {
		d.lay(ts.Out, TokenAway)
		ts.More++
	}
	if t := d.s.Train(ts.Train); t != nil && t.In.Section == d.ref().section && t.In.Token == ts.Out {
		d.touch(t).In.Token = d.number
	}
	ts.Out = d.number
	d.lay(d.number, TokenOutOf)
}

// allHere takes a count as saying whether the token of a train that left, not booked out,
// went with it: with every token here that the book has here, none did. It says whether that
// is what is counted.
func (d *action) allHere(ts *TokenState) bool {
	gone, here := d.tokenOwed(StepTokenOut), ts.Count(TokenHere)
	switch {
	case gone != nil && ts.Out == 0 && d.e.Number == here:
		line := gone.Line
		d.endDoubts(func(o *Doubt) bool { return o.Line == line && o.Step == StepTokenOut })
	case gone != nil && ts.Out == 0 && d.e.Number == here-1:
		return true
	case ts.More < 0 && d.e.Number == here:
		ts.More++
		d.contradict(d.b.presumedIn(d.ref().section, StepTokenOut))
	}
	return false
}

// allMoved takes the technician's transfer as ended where a count of both instruments has all
// that he took: what they do not show of it is not booked, or another number is.
func (d *action) allMoved(ts *TokenState) {
	taken := ts.Count(TokenInCustody)
	here, there := d.e.Number-ts.Count(TokenHere), d.e.Other-ts.Count(TokenAway)
	if taken == 0 || d.e.Other < 0 || here < 0 || there < 0 || here+there != taken {
		return
	}
	for i, w := range ts.Where {
		if w != TokenInCustody {
			continue
		}
		ts.Where[i] = TokenAway
		if here > 0 {
			ts.Where[i] = TokenHere
			here--
		}
		d.noteSaying(rulebook.StepNotBooked, "", "", "Token "+strconv.Itoa(d.section().Tokens.Charge[i])+" is booked as taken and not as put in, and the count has it in the instruments",
			"the number of each token taken, and where it was put in")
	}
}

// lateIn says whether a token is put in that was already taken as put in.
func (d *action) lateIn() bool {
	o := d.tokenOwed(StepTokenIn)
	return o != nil && d.tokens().Out == 0 && (o.Token == 0 || o.Token == d.number)
}

// takeIn keeps the count when a token comes in of which the book lacked a step.
func (d *action) takeIn() {
	switch {
	case d.lies(d.number) == TokenAtSiding:
		d.notBooked(Doubt{Line: d.line}, d.train, StepTokenOut)
	case d.cameUnbooked() && d.tokenOwed(StepTokenOut) == nil:
		d.editToken(d.ref().section).More++
	case d.cameUnbooked():
		d.notBooked(*d.tokenOwed(StepTokenOut), nil, StepTokenOut)
	case d.lateIn():
		o := *d.tokenOwed(StepTokenIn)
		if o.Token == 0 {
			d.editToken(d.ref().section).More--
		}
		d.endDoubt(o)
	}
}

// drawnUnbooked takes a token handed to a driver as drawn, when a release for
// him is in force and the book has it in our instrument.
func (d *action) drawnUnbooked(t *Train) {
	p := d.ls().Phase
	if d.tokens().Out != 0 || d.lies(d.number) != TokenHere || !p.lineClear() || d.ls().Dir != Outward {
		return
	}
	d.notBooked(Doubt{Line: d.line, Train: t.ID}, t, StepTokenOut)
	d.takenOut(t.ID, Outward)
}

// releasedToo takes a token that was drawn with no release booked, or put back with no drawing
// booked, as released and drawn when the box that gave the release acknowledges that it is given up.
func (d *action) releasedToo() {
	if len(d.e.Bells) == 0 {
		return
	}
	last, i := d.e.Bells[len(d.e.Bells)-1], max(d.foundNow(rulebook.ShuntReleaseNotAsked), d.foundNow(rulebook.CancelledNothing))
	list := d.s.answers(func(f *Finding) bool {
		if t := d.trainOf(f); f.Rule == rulebook.TokenAlreadyOut && t != nil && t.In.Accepted != 0 {
			return false // released or not, it was out when that was accepted
		}
		undrawn := f.Rule == rulebook.TokenNumberDiffers && f.Seq > d.ls().Seq && d.ls().Phase != Normal && f.Severity == rulebook.Danger
		return f.Section == d.section().Neighbour && d.e.At-f.At < presumedFor && (undrawn || i >= 0 && (f.Rule == rulebook.TokenOutWithoutRelease && f.Seq == d.tokens().Seq || f.Root != 0 && f.Root == d.tokens().Seq))
	})
	if len(list) == 0 || d.tokens().Out != 0 || last.Sent == d.mine || d.code == nil || last.Code != d.code.Code {
		return
	}
	if d.answered(list); i < 0 {
		d.notBooked(Doubt{Line: d.line}, d.train, StepTokenOut)
		return
	}
	text := "The release of a token for shunting is not booked, and it is given up"
	if d.ls().Phase == ShuntReleased {
		text = "A token released for shunting is not booked as drawn, and it is put back"
	} else if d.act == ActCancel {
		text = "The offer of a train for which a token was drawn is not booked, and it is cancelled"
	}
	d.found[i].Rule, d.found[i].Text = rulebook.StepNotBooked, words(text, d.found[i].Section, d.found[i].Train)
}

// asPutIn takes a token out of a release that is given up by bell as put back where
// it was drawn: that it was not is found, and the section goes on.
func (d *action) asPutIn(regular bool) {
	ts := d.tokens()
	if d.act == ActReplaced && !regular {
		d.releasedToo()
	}
	if t := d.s.occupied(d.line); regular && d.act == ActReplaced && t != nil && d.ls().Phase == InSection {
		if t.Shunts {
			d.answered([]Answer{*d.sentOnShunt(t).answer()})
		}
		d.shuntBack(true)
	}
	if !d.byToken() || ts.Out == 0 || d.ls().Phase == InSection {
		return
	}
	d.lay(ts.Out, ts.drawnAt())
	d.editToken(d.ref().section).in()
}

// passedComplete takes a train whose passing here was not booked as seen
// complete when the box ahead, which sees its tail lamp, gives out of section.
func (d *action) passedComplete(t *Train) {
	k := first(d.s.Doubts, func(o *Doubt) bool { return o.Step == StepPassed && o.Train == t.ID })
	if k != nil && d.dir == Outward && (t.Proof == ProofNone || t.In.Arrived == 0) {
		d.notBooked(*k, t, StepPassed)
	}
}
