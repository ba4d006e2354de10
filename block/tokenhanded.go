package block

import (
	"slices"
	"strconv"

	"fairhand/block/rulebook"
)

func (st *step) tokenToTrain() {
	d, ok := st.tokenMove()
	if !ok || !d.handed() {
		return
	}
	t := d.signalledAs(st.claim(st.named(), d.line, Outward))
	d.train = t
	d.numberShown()
	if d.straightOn(t) {
		return
	}
	d.drawnUnbooked(t)
	ts := st.editToken(d.ref().section)
	holder := st.s.Train(ts.Train)
	if d.doneAfterAll(ActRestore) { // handed on, and so not put in before
		t.In.TokenIn = false
	}
	if t.In.Section == d.ref().section && t.In.Arrived != 0 && t.In.Accepted != 0 && !t.In.TokenIn {
		d.find(rulebook.TokenHandedOn, "the token put in, the section closed, and the token of the section ahead drawn")
		d.wentOn(t)
	} else if d.readWrong(t) {
		d.wrongNumber(rulebook.TokenNotInInstrument, "handed over: correct the entry", "Token "+strconv.Itoa(st.e.Number)+" is booked as handed to the driver, and token "+strconv.Itoa(ts.Out)+" is the one drawn")
		d.number = ts.Out
	} else if ts.Out != st.e.Number {
		says := "A token was handed to the driver that is not booked as drawn"
		if ts.Out != 0 {
			says = "Token " + strconv.Itoa(st.e.Number) + " was handed to the driver, and token " + strconv.Itoa(ts.Out) + " is the one drawn"
		}
		if d.lies(st.e.Number) != TokenOutOf { // of a second one drawn that is said
			d.findSaying(rulebook.TokenNotInInstrument, says, "a token drawn on a release for this train")
		}
	} else if holder != nil && holder.ID != t.ID && holder.In.Section == d.ref().section && holder.In.Arrived != 0 && !holder.In.TokenIn {
		d.find(rulebook.TokenHandedOn, "the token put in, the section closed, and a token drawn for this train")
	} else if holder != nil && holder.ID != t.ID && t.Out.Section != d.ref().section {
		d.find(rulebook.TokenWrongSection, "the token given up and put in, and another drawn for this train")
	}
	if st.b.Rules.SurrenderFirst && t.In.HasToken && t.In.open() && t.In.Section != d.ref().section {
		d.find(rulebook.TokenIssuedBeforeSurrender, "the token of the section it came by given up first")
	}
	if o := d.s.occupied(d.line); o != nil && d.ls().Dir == Inward && !o.clearOfSection() {
		d.find(rulebook.AuthorityBeforeCrossing, "the whole of the opposing train arrived and clear first")
	}
	if ts.Out == d.number {
		ts.Train = t.ID
	}
	d.carriedBy(t)
}

// carriedBy has a driver take the token with him.
func (d *action) carriedBy(t *Train) {
	t.Out.HasToken = t.Out.Section == d.ref().section
	t.Carries = CarriedToken{Section: d.ref().section, Number: int32(d.number), Any: true}
	if t.Out.HasToken {
		t.Out.Token = d.number
	}
}

// handedAs takes the token of a train that the box in advance gives out of section as handed to that,
// for which it was drawn, where another is booked as given it: he has put it in before.
func (d *action) handedAs(t *Train) {
	out, drawn := d.tokens().Out, d.tokens().Seq
	f := d.s.open(func(f *Finding) bool {
		return f.Rule == rulebook.TokenWrongSection && f.Severity == rulebook.Danger && f.Section == d.section().Neighbour && f.Train != "" && f.Train != t.Label(d.b) && f.Seq > drawn && d.e.At-f.At < presumedFor
	})
	if f == nil || d.dir != Outward || d.mine || t.Out.Token != out || t.Returned {
		return
	}
	o := d.trainLabelled(f.Train)
	if o != nil && o.on(d.line) {
		return // it is here on it
	}
	d.answered([]Answer{*f.answer()})
	d.differs(d.section().Neighbour, t, "Token "+strconv.Itoa(out)+" is booked as handed to "+f.Train+", and went with "+t.Label(d.b), ofTrain)
	if o != nil && o.Carries.Number == int32(out) {
		d.touch(o).Carries = CarriedToken{}
	}
}

// straightOn raises a token that is handed to a driver and booked neither as put in nor as drawn
// since another gave it up: one of the two may have been left out, and not both.
func (d *action) straightOn(t *Train) bool {
	o := d.tokenOwed(StepTokenIn)
	if o == nil || d.tokens().Out != 0 || d.s.Train(o.Train) == nil || o.Train == t.ID || d.s.Train(o.Train).In.Token != d.number {
		return false
	}
	d.find(rulebook.TokenHandedOn, "the token put in, the section closed, and a token drawn for this train")
	d.endDoubt(*o)
	d.takenOut(t.ID, Outward)
	d.carriedBy(t)
	return true
}

// readWrong says whether a number handed to a driver can only be that of the token drawn for him,
// miswritten: the one that has it is in an instrument, which gives none while another is out.
func (d *action) readWrong(t *Train) bool {
	ts := d.tokens()
	return ts.Out != 0 && ts.Out != d.number && ts.OutBy == Outward && (ts.Train == 0 || ts.Train == t.ID) && t.accepted(d.line) &&
		(d.lies(d.number) == TokenHere || d.lies(d.number) == TokenAway) && ts.More == 0 && d.tokenOwed(StepTokenIn) == nil
}

func (st *step) tokenFromTrain() {
	d, ok := st.tokenMove()
	if !ok || !d.handed() {
		return
	}
	t := st.claim(st.named(), d.line, Inward)
	d.train = t
	d.numberShown()
	if o := d.tokenOwed(StepTokenIn); o != nil && o.At < st.e.At && o.Train == t.ID {
		i := slices.IndexFunc(st.ownDoubts(), func(k Doubt) bool { return k.Seq == o.Seq && k.Step == StepTokenIn })
		st.s.Doubts[i].Found = nil // he had it until now: what was found stands
	}
	switch out := d.tokens().Out; {
	case out != 0 && out != st.e.Number:
		d.find(rulebook.TokenNumberDiffers, "token "+strconv.Itoa(out)+", which is out")
		if i := d.foundNow(rulebook.TokenNumberDiffers); i >= 0 {
			st.editToken(d.ref().section).Misread = []Answer{*d.found[i].answer()}
		}
	case out == 0 && d.lies(st.e.Number) == TokenHere && !d.lateIn() && !(t.In.TokenIn && t.In.Token == st.e.Number && t.In.Section == d.ref().section):
		d.find(rulebook.TokenNumberDiffers, "a number that the book does not show in our own instrument")
	}
	if t.In.Section == d.ref().section && t.In.Token == 0 {
		t.In.Token = st.e.Number // what goes in is what he gave up
	}
	t.In.HasToken = false
	t.Carries = CarriedToken{}
}
