package block

import (
	"slices"
	"strconv"

	"fairhand/block/rulebook"
)

// What is offered next of tokens, and of what blocks a line.

func (x *expecting) unblockNext(d action) {
	row := x.b.codeFor(d.ref().section, rulebook.ObstructionRemoved, rulebook.AnyClass)
	e := Expectation{Event: x.bellEvent(&d, row, nil), Act: ActUnblock, Mine: d.mine, Wanted: x.s.Now + laterOffer - 3} // before trains not heard of: it is in force
	e.Event.Line = d.lineName()
	e.Label = "obstruction removed, " + d.section().Neighbour + ", " + d.lineName()
	e.Clears = "On " + d.lineName() + ", " + d.section().Neighbour + ": " + d.ls().Phase.String() + ". Is the line clear, and who said so?"
	x.offer(e)
}

// shuntNext expects a shunt signalled into the section to go, and to be withdrawn once it is
// back; one of the neighbour's to be withdrawn by him.
func (x *expecting) shuntNext(d action) {
	who, name, t := d.section().Neighbour, d.ls().Shunts, x.s.occupied(d.line)
	row := x.b.codeFor(d.ref().section, rulebook.ShuntWithdrawn, rulebook.AnyClass)
	if row == nil {
		return
	}
	e := Expectation{Event: x.bellEvent(&d, row, t), Act: d.act, Mine: d.mine, Wanted: x.s.Now + laterOffer - 3, Label: "shunt withdrawn, from " + who}
	if d.mine && t == nil && name != "" {
		x.offer(Expectation{Event: Event{Kind: TrainDeparted, Train: name, Section: who, Line: e.Event.Line}, Act: ActDepart, Mine: true, Wanted: d.ls().Since,
			Label: name + " departed for " + who + ", to shunt"})
	}
	if d.mine {
		e.Label = "shunt withdrawn, to " + who
		if e.Clears = "Shunting into the section to " + who + " is ended. Is the whole shunt back here, and clear of the section?"; t != nil {
			e.Clears, e.Wanted = "", t.PlaceAt // it is booked back
		}
	}
	x.offer(e)
}

// keyInNext expects the shunt key to come back.
func (x *expecting) keyInNext(d action) {
	who := d.section().Neighbour
	if d.ls().Phase != ShuntKeyOut {
		return
	}
	x.offer(Expectation{Event: Event{Kind: ShuntKeyBack, Section: who, Line: So(len(d.section().Lines) > 1, d.lineName())}, Act: d.act, Mine: true, Wanted: x.s.Now + laterRemoval,
		Label: "shunt key in, " + who, Clears: "The section to " + who + " is given up to trains. Is the shunt back here, clear of it, and the key in?"})
}

func (x *expecting) replacedNext(d action) {
	row := x.b.codeFor(d.ref().section, rulebook.TokenReplaced, rulebook.AnyClass)
	if row == nil {
		return
	}
	e := Expectation{Event: x.bellEvent(&d, row, nil), Act: ActReplaced, Mine: d.mine, Wanted: d.ls().Since}
	e.Label = "token replaced, " + d.section().Neighbour
	x.offer(e)
}

func (x *expecting) drawNext(d action) {
	if d.dir != Outward && !d.b.Rules.TellTokenNumber || d.tokens().Out != 0 || d.staff().ticketed(d.ls().Train) {
		return
	}
	whose := ""
	if t := x.s.Train(d.ls().Train); t != nil {
		whose = ", for " + t.Label(x.b)
	}
	if d.dir == Outward && d.tokens().Count(d.instrument()) == 0 {
		x.withheld = append(x.withheld, Withheld{"token out, " + d.section().Neighbour + whose,
			Finding{Rule: rulebook.TokenNotInInstrument, Expected: "a token in the instrument here: the book has none there"}})
	}
	for i, n := range d.section().Tokens.Charge {
		if d.tokens().Where[i] != d.instrument() {
			continue
		}
		e := Expectation{Act: ActDraw, Mine: d.mine, AskNumber: true, Wanted: d.ls().Since}
		e.Event = Event{Kind: TokenOut, Section: d.section().Neighbour, Number: n, Far: d.dir == Inward}
		e.Label = "token " + strconv.Itoa(n) + " out, " + d.section().Neighbour + whose
		if d.dir == Inward {
			e.Label = "token " + strconv.Itoa(n) + " out at " + d.section().Neighbour + ", as told" + whose
		}
		failed := func(g *GearState) bool { // the instrument
			is := x.b.gearNamed(g.Name)
			return is != nil && is.Kind == "instrument" && is.Section == d.section().Neighbour
		}
		why := ""
		if g := first(x.s.Gear, failed); g != nil {
			why = g.Name + ": " + g.Ways()
		} else if c := &x.s.Circuits[d.ref().section]; c.Message {
			why = d.section().Neighbour + ": " + c.Unbelled()
		}
		if why != "" && d.dir == Outward { // not what Enter writes
			e.Wanted = x.s.Now + laterOffer - 1
			e.Clears = why + ". Was a token drawn from it all the same?"
		}
		x.offer(e)
		return
	}
}

func (x *expecting) restoreNext(d action) {
	t := x.s.occupied(d.line)
	n := d.tokens().Out
	if d.dir == Inward && (t == nil || !t.clearOfSection() || t.In.TokenIn || t.Proof == NoTailLamp) || d.dir == Outward && (n == 0 || t != nil) {
		return
	}
	e := Expectation{Act: ActRestore, Mine: true, AskNumber: n == 0, Wanted: x.s.Now}
	if t != nil {
		e.Wanted = t.In.Arrived
	}
	if t != nil && n == 0 {
		n = t.In.Token // that he gave up
	}
	if e.Untold = n == 0; e.Untold && x.s.Circuits[d.ref().section].undrawn(t) {
		return
	}
	if n == 0 {
		i := slices.Index(d.tokens().Where, TokenAway)
		if i < 0 {
			return
		}
		n = d.section().Tokens.Charge[i]
	} else if d.dir == Outward && d.ls().Phase != ShuntReleased {
		e.Wanted = x.s.Now + laterOffer // only if the train is not to go
		e.Clears = "Token " + strconv.Itoa(n) + " is out for a train to " + d.section().Neighbour + ". Put in again, the train does not go: is it still here, and has the driver given the token up?"
	}
	e.Event = Event{Kind: TokenIn, Section: d.section().Neighbour, Number: n}
	e.Label = "token " + So(!e.Untold, strconv.Itoa(n)+" ") + "in, " + d.section().Neighbour
	x.offer(e)
}
