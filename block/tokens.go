package block

import (
	"cmp"
	"slices"
	"strconv"

	"fairhand/block/rulebook"
)

// tokenLine is the single line of the section the event names, -1 when it is
// no token section of this box.
func (st *step) tokenLine() int {
	return st.b.lineThat(st.b.SectionIndex(st.e.Section), func(l int) bool { return st.b.lineAt(l).Way != Shut })
}

// tokenAction begins an act with a token: in the direction in force, or outward
// when the line is idle.
func (st *step) tokenAction() (*action, bool) {
	l := st.tokenLine()
	if l < 0 {
		st.note(rulebook.TokenWrongSection, st.e.Section, st.e.Train, "the name of a section of this box")
		return nil, false
	}
	d := st.begin(l, Outward, true)
	d.number, d.far = st.e.Number, st.e.Far
	if st.s.Lines[l].Phase != Normal {
		d.dir = st.s.Lines[l].Dir
	}
	return d, true
}

// inCharge says whether the number is on the section's charge list, or it has none.
func (d *action) inCharge() bool {
	c := d.section().Tokens.Charge
	return len(c) == 0 || slices.Contains(c, d.number)
}

// lies is where the book shows a token of the section; TokenGone for a number
// that is not its own.
func (d *action) lies(number int) TokenPlace {
	if i := slices.Index(d.section().Tokens.Charge, number); i >= 0 {
		return d.tokens().Where[i]
	}
	return TokenGone
}

// lay notes where a token of the section is, and says whether the number is its own.
func (d *action) lay(number int, at TokenPlace) bool {
	i := slices.Index(d.section().Tokens.Charge, number)
	if i >= 0 {
		d.editToken(d.ref().section).Where[i] = at
	}
	return i >= 0
}

// charged raises a number that is not on the section's charge list.
func (d *action) charged() bool {
	if d.inCharge() {
		return true
	}
	d.find(rulebook.TokenWrongSection, "a number on the charge list of the section")
	return false
}

// tokenMove begins the drawing or the putting in of a token, or its change of place. No
// instrument takes or gives that of another section: one booked so is of the section that
// has it, and the entry a slip. Handed to a train it is no slip, unless drawn for that train.
func (st *step) tokenMove() (*action, bool) {
	d, ok := st.tokenAction()
	if !ok || d.inCharge() && d.byToken() {
		return d, ok
	}
	own, at := -1, -1
	for i := range st.b.Sections {
		if k := slices.Index(st.b.Sections[i].Tokens.Charge, d.number); k >= 0 {
			if own >= 0 {
				return d, ok // it may be of either
			}
			own, at = i, k
		}
	}
	if own < 0 || st.e.Kind == TokenOut && d.released() && d.tokens().Out == 0 {
		return d, ok // one of the two is wrong, the number or the box: it was drawn where it is released
	}
	ts, t := &st.s.Tokens[own], st.s.TrainNamed(st.e.Train)
	switch st.e.Kind { // as the book has it, it cannot be that one either, or was put in for another
	case TokenIn:
		with := d.s.Train(d.tokens().Train) // who has the token of the section named, and is not here yet
		coming := ts.Out == d.number && with != nil && with.In.Section == d.ref().section && with.In.inSection() && with.In.Arrived == 0
		ok = ts.Where[at] != TokenHere && (ts.Out == 0 || ts.Out == d.number) && (d.tokens().Out == 0 || coming)
	case TokenOut:
		ok = ts.Out == 0
	case TokenToTrain:
		ok = ts.Out == d.number && t != nil && t.Out.open() && t.Out.Section == own
	case TokenFromTrain: // the number drawn at the other end need not be told
		ok = (ts.Out == d.number || ts.Out == 0 && ts.Where[at] == TokenAway) && t != nil && t.In.open() && t.In.Section == own
	}
	if !ok {
		return d, true
	}
	box := st.b.Sections[own].Neighbour
	f := st.note(rulebook.TokenWrongSection, "", "", "the name of "+box)
	f.Severity, f.Text = rulebook.Irregular, "A token of "+box+" is booked under "+st.e.Section
	st.readAs(inSectionOf, box)
	return st.tokenAction()
}

func (st *step) tokenOut() {
	d, ok := st.tokenMove()
	if !ok || !d.misnumbered() {
		return
	}
	if t := st.s.Train(d.ls().Train); t != nil {
		d.train = t
	}
	if st.e.Train != "" {
		d.train = st.claim(st.named(), d.line, d.dir)
	}
	if st.e.Place != "" {
		d.tokenAtSiding()
		return
	}
	if d.tokenTwice(rulebook.TokenAlreadyOut, "A token is booked out twice") {
		return
	}
	if d.far && d.dir == Outward && d.ls().Phase.lineClear() && d.tokens().Out == 0 && d.lies(d.number) == TokenHere && !d.strayed() {
		d.wrongNumber(rulebook.TokenNotInInstrument, "drawn, and where: correct that entry", "Token "+strconv.Itoa(d.number)+" is booked as drawn at the other end, and is one of this, where line clear was got")
		d.far = false
	}
	if d.far {
		d.dir = Inward // the far end draws what it asked for
	}
	d.givenToo(ActDraw)
	d.eitherNumber()
	if d.tokens().Out == d.number && !d.far {
		st.keptIn(d.ref().section) // it was put in, where it is drawn again
	}
	away := d.lies(d.number) == TokenAway
	if d.do(ActDraw); away {
		d.elsewhereDrawn()
	}
}

// takenOut notes the token as out of the instrument of one end or the other, for a train if one
// is told.
func (d *action) takenOut(train int, by Dir) {
	d.lay(d.number, TokenOutOf)
	ts := d.editToken(d.ref().section)
	ts.Out, ts.Seq, ts.Train, ts.OutBy = d.number, d.e.Seq, train, by
}

// tokenTwice raises an entry of a token written twice: of that number, and of that minute.
func (d *action) tokenTwice(rule rulebook.RuleID, text string) bool {
	ts := d.editToken(d.ref().section)
	was := TokenOutOf
	if d.e.Kind == TokenIn {
		was = endOf(d.far)
	}
	if ts.Moved != d.number || ts.MovedAt != d.e.At || d.lies(d.number) != was {
		ts.Moved, ts.MovedAt = d.number, d.e.At
		return false
	}
	d.noteSaying(rule, "", "", text, writtenOnce).Severity = rulebook.Irregular
	return true
}

const writtenOnce = "the entry written once; correct the one that is too many"

func (d *action) drawn(regular bool) {
	ts := d.editToken(d.ref().section)
	at := d.instrument()
	d.endPresumptions(func(p *Presumption) bool { return p.Line == d.line && p.Token != 0 && p.Token == d.number })
	if d.ls().Phase == InSection { // it was drawn late: that it is not booked is not the matter
		d.endDoubts(func(o *Doubt) bool { return o.Line == d.line && o.Step == StepTokenOut })
	}
	if d.strayed() && at == TokenHere {
		ts.More--
	} else if d.strayed() {
		ts.More++
	}
	d.lay(d.number, TokenOutOf)
	if ts.Out == 0 {
		d.takenOut(0, dirOf(at == TokenAway))
		ts.Shunt = d.ls().Phase == ShuntReleased
		if d.train != nil {
			t := d.of(d.train)
			ts.Train = t.ID
			if l := t.leg(d.dir); l.Line == d.line {
				l.Token = d.number
			}
		}
	}
	if low := d.section().Tokens.LowStock; at == TokenHere && regular && low > 0 && ts.Count(TokenHere) == low {
		d.find(rulebook.TokenLowStock, "the technician advised to bring tokens back")
	}
}

func (st *step) tokenIn() {
	d, ok := st.tokenMove()
	if !ok {
		return
	}
	if d.cameThere(ActRestore); st.s.Lines[d.line].Phase != Normal {
		d.dir = st.s.Lines[d.line].Dir
	}
	if !d.awaitedIn() {
		return
	}
	d.numberShown()
	d.inAtSiding()
	if st.e.Place != "" {
		d.tokenAtSiding()
		return
	}
	if d.tokenTwice(rulebook.TokenNumberDiffers, "A token is booked in twice") {
		return
	}
	if o := st.s.doubtOf(d.line, 0, StepWithdrawn); o != nil && o.Token == d.number && !d.isOut() {
		return // that of the shunting, taken to be in when line clear was given over it
	}
	if d.lateIn() && d.ls().Phase.lineClear() {
		d.endDoubt(*d.tokenOwed(StepTokenIn)) // out until now, over line clear given since: what was found stands
		return
	}
	d.train = d.cleared(st.s.occupied(d.line))
	d.do(ActRestore)
}

func (d *action) restored(regular bool) {
	if !regular && !d.isOut() && (d.tokens().Out != 0 || !d.untold()) {
		d.editToken(d.ref().section).Either = [2]int{d.tokens().Out, d.number}
		return // another number than the one out: taken as a mistake in the entry
	}
	if m := d.tokens().Misread; len(m) > 0 && d.isOut() {
		d.answered(m)
		d.wrongNumber(rulebook.TokenNumberDiffers, "given up: correct that entry", "Token "+strconv.Itoa(d.number)+", which was out, is put in, and was booked as given up under another number")
	}
	d.takeIn()
	d.lay(d.number, endOf(d.far))
	if ts := d.editToken(d.ref().section); d.isOut() || ts.Out == 0 {
		ts.in()
	}
	d.editLine(d.line).TokenBack = true
	if p := d.ls().Phase; regular && p.lineClear() {
		d.owe(rulebook.CancellingNotSent, d.onLine())
	}
	if t := firstTrain(d.s.Trains, func(t *Train) bool {
		l := &t.Out
		return l.Line == d.line && l.inSection() && l.Token == d.number
	}); t != nil && !d.far {
		d.touch(t).Out.TokenIn = true
	}
	if t := d.train; t != nil && d.dir == Inward {
		t = d.touch(t)
		t.In.TokenIn, t.In.HasToken = true, false
		t.In.Token = cmp.Or(t.In.Token, d.number)
		d.inAfterwards(t)
	}
}

func (d *action) isOut() bool { return d.tokens().Out == d.number }

// tokenHome moves the token of a train given out of section at the far end to
// the far instrument: the neighbour restores it before he gives it.
func (d *action) tokenHome(t *Train, l *Leg) {
	if !d.byToken() || d.mine && (t.Returned || !d.forItsOwn()) || d.tokens().Out == 0 || l.Aside {
		return
	}
	if l.Token == 0 && l.Accepted == 0 && d.tokens().OutBy == Inward && d.s.Circuits[l.Section].Message { // it went without, and that of another is kept here
		return
	}
	ts := d.editToken(d.ref().section)
	if !d.lay(ts.Out, TokenAway) && len(d.section().Tokens.Charge) > 0 && ts.OutBy == Outward {
		ts.More-- // drawn here under a wrong number
	}
	d.handedAs(t)
	ts.in()
}

// tokenMoved takes the technician's and other changes of a token's place.
func (st *step) tokenMoved() {
	if st.e.Kind == TokenMovedHere || st.e.Kind == TokenMovedAway {
		st.unsigned()
	}
	d, ok := st.tokenMove()
	if !ok || !d.charged() {
		return
	}
	ts := st.editToken(d.ref().section)
	i := slices.Index(d.section().Tokens.Charge, st.e.Number)
	if i < 0 {
		return
	}
	was := ts.Where[i]
	switch st.e.Kind {
	case TokenLost:
		ts.Lost = st.b.Rules.SuspendedOnLoss
		if t := st.s.Unnumbered(st.b, d.ref().section); t != nil && was == TokenAway && t.In.Token == 0 {
			st.touch(t).In.Token = st.e.Number // that it was to bring
		}
	case TokenFound, TokenMovedHere, TokenMovedAway:
		ts.Lost = false
	}
	to := map[Kind]TokenPlace{TokenMovedHere: TokenHere, TokenMovedAway: TokenAway, TokenTaken: TokenInCustody, TokenLost: TokenGone, TokenFound: TokenRecovered, TokenDamaged: TokenUnfit}[st.e.Kind]
	before := [2]int{ts.Count(TokenHere), ts.Count(TokenAway)}
	ts.Where[i] = to
	if ts.Out == st.e.Number {
		if was == TokenOutOf && (st.e.Kind == TokenMovedHere || st.e.Kind == TokenMovedAway || st.e.Kind == TokenTaken) {
			d.find(rulebook.TokenAlreadyOut, "the technician's transfer only with no token out")
		}
		if st.e.Kind != TokenDamaged {
			ts.Out, ts.Train = 0, 0
		}
	}
	low := d.section().Tokens.LowStock
	if low == 0 || st.e.Kind == TokenTaken {
		return
	}
	for k, p := range [...]TokenPlace{TokenHere, TokenAway} {
		if n := ts.Count(p); n <= low && before[k] > low {
			d.find(rulebook.TokenLowStock, "tokens brought back to the end that has few")
		}
	}
}

// tokenCounted compares a count of the instruments with the book.
func (st *step) tokenCounted() {
	d, ok := st.tokenAction()
	if !ok {
		return
	}
	ts := d.editToken(d.ref().section)
	ts.Lost = false
	d.allMoved(ts)
	if d.allHere(ts) {
		return
	}
	if here := ts.Count(TokenHere); st.e.Number < here+min(0, ts.More) || st.e.Number > here+max(0, ts.More) {
		d.find(rulebook.TokenCountDiffers, strconv.Itoa(ts.Count(TokenHere))+" in our instrument by the book")
	} else if st.e.Other >= 0 && st.e.Other != ts.Count(TokenAway) && st.e.Other != ts.Count(TokenAway)-ts.More {
		d.find(rulebook.TokenCountDiffers, strconv.Itoa(ts.Count(TokenAway))+" in the far instrument by the book")
	}
	if k := d.foundNow(rulebook.TokenCountDiffers); k >= 0 && st.e.Number+st.e.Other == ts.Count(TokenHere)+ts.Count(TokenAway) {
		f := &d.found[k]
		f.Severity, f.Text = rulebook.Irregular, words("None is wanting of the tokens counted, and the book has them otherwise at the two ends", f.Section, "")
	}
}
