package block

import (
	"cmp"

	"fairhand/block/rulebook"
)

// effects is what each act changes on the line and its train, whether it was
// regular or not: the book records what happened.
var effects = [actCount]func(d *action, regular bool){
	ActOffer:            (*action).offered,
	ActAccept:           (*action).accepted,
	ActAcceptRestricted: (*action).accepted,
	ActLineNowClear:     (*action).upgraded,
	ActRefuse:           (*action).refused,
	ActEnter:            (*action).entered,
	ActDepart:           (*action).departed,
	ActOut:              (*action).outOfSection,
	ActCancel:           (*action).cancelled,
	ActRedescribe:       (*action).redescribed,
	ActBlockInside:      (*action).blockedBack,
	ActBlockOutside:     (*action).blockedBack,
	ActUnblock:          (*action).unblocked,
	ActAskRelease:       func(d *action, _ bool) { d.editLine(d.line).Train = 0 },
	ActShuntBack:        (*action).shuntBack,
	ActReplaced:         (*action).asPutIn,
	ActDraw:             (*action).drawn,
	ActRestore:          (*action).restored,
	ActReset:            (*action).counterReset,
	ActDanger:           (*action).alarmed,
}

// begin points a leg of the train at this line.
func (d *action) begin(t *Train) *Leg {
	l := t.leg(d.dir)
	if l.Line != d.line || !l.open() {
		if l.Section >= 0 && l.Entered != 0 {
			t.Earlier = append(t.Earlier[:len(t.Earlier):len(t.Earlier)], *l)
		}
		*l = noLeg
		l.Section, l.Line = d.ref().section, d.line
	}
	if l.Aside {
		d.stands(t, l)
	}
	l.Seq = d.e.Seq
	return l
}

// itsTrain is the train of the act, made writable; a new row where the act has none.
func (d *action) itsTrain() *Train {
	if d.train == nil {
		d.train = d.newTrain(d.e.Train)
	}
	return d.of(d.train)
}

func (d *action) offered(regular bool) {
	if !regular && d.ls().Phase != Offered && d.ls().Phase != Normal && !d.section().Method.Is().Follows {
		return // the offer cannot stand; no row is opened for it
	}
	t := d.itsTrain()
	fresh := t.Opened == d.e.Seq
	if d.dir == Inward {
		d.wentToo()
	}
	d.standsHere(t)
	l := d.begin(t)
	l.Offered, l.Token, t.Refused = d.e.At, 0, false
	l.Assumed = d.e.Train == "" && !fresh
	if !l.Assumed || t.Code == "" {
		d.describe(t)
	}
	if d.dir == Inward && t.Where == Unplaced {
		t.Where = OfferedHere
	}
	if d.dir == Outward && t.Where == Unplaced {
		t.Where = Here
	}
	ls := d.editLine(d.line)
	ls.Train, ls.LeftOpen, ls.Refused, ls.Uncalled = t.ID, false, false, d.uncalled
	if d.code != nil {
		ls.LastOffer = d.code.Code
	}
	d.dropLapsed(t.ID)
}

// dropLapsed ends an offer made on the line before, never accepted and now not
// the one made: the row of a train offered here, or that nobody has named, closes.
func (d *action) dropLapsed(keep int) {
	for _, t := range d.s.Trains {
		l := t.leg(d.dir)
		if t.ID == keep || l.Line != d.line || !l.open() || l.Accepted != 0 || l.Entered != 0 {
			continue
		}
		switch {
		case d.dir == Inward && t.Where == OfferedHere, d.dir == Outward && t.Name == "" && t.In.Section < 0:
			t = d.touch(t)
			t.leg(d.dir).Assumed = false
			d.close(t)
		case l.Assumed:
			*d.touch(t).leg(d.dir) = noLeg
		default:
			continue
		}
		return
	}
}

func (d *action) accepted(bool) {
	if lost := d.lostTrain(); lost != nil && lost.In.Line == d.line && lost.In.Falsely {
		lost = d.touch(lost) // said once, then no longer in the way
		lost.Where, lost.In.Aside = Unaccounted, true
	}
	fresh := d.train == nil
	t := d.itsTrain()
	if d.leaveAgainst(d.ref().section, d.dir, d.goesAs()) {
		d.leftAgainst()
	}
	if fresh {
		d.describe(t)
	}
	if d.s.Fog && d.s.FogLeft != 0 && d.mine && d.section().Requires("fog-double-block") && len(d.forward()) > 0 {
		d.shownOver(rulebook.AcceptedConditionUnmet, t.Label(d.b), StepFog) // all that were posted for it are withdrawn
		d.s.Fog, d.s.FogLeft = false, 0
	}
	l := d.begin(t)
	l.Offered = cmp.Or(l.Offered, d.e.At)
	l.Accepted, l.Restricted, l.Unbooked = d.e.At, d.act == ActAcceptRestricted, d.presuming
	if l.Against = 0; d.mine && d.section().Requires("non-stopping-clear") && !d.runningLineClear() {
		l.Against = d.e.Seq
	}
	switch {
	case d.dir == Inward && d.section().Method.Is().Described:
		t.Where = Approaching
		d.dueIn(t)
	case d.dir == Inward && (t.Where == OfferedHere || t.Where == Unplaced):
		t.Where = AcceptedHere
	case d.dir == Outward && t.Where == Unplaced:
		t.Where = Here
	}
	ls := d.editLine(d.line)
	ls.Before, ls.Refused = ls.Phase, false
	ls.Train, ls.SignalOff, ls.PN = t.ID, 0, d.e.PN
	if ls.Phase == Obstructed {
		ls.Dir = d.dir
	}
	noted := ls.Indicator == "line-clear"                    // with the acknowledgement, but written first
	if d.mine && ls.Shown && !noted && !byMessage.holds(d) { // the book notes the indicator train by train
		d.owe(rulebook.IndicatorNotLineClear, d.onLine())
	}
	ls.Shown = noted
	if len(d.beside()) > 0 {
		d.find(rulebook.OutOfGaugeOpposed, "the other line free of what the load may not meet")
	}
	if d.wantsNumber() && d.e.PN == "" {
		d.find(rulebook.PrivateNumberMissing, "a private number exchanged with the consent")
	}
}

// wantsNumber says whether line clear is given here with a private number.
func (d *action) wantsNumber() bool {
	how := d.section().Method.Is()
	return d.b.Rules.PrivateNumbers && how.Single || how.Counter
}

// refused: both stations write why, so it is asked of the neighbour's refusal too.
func (d *action) refused(bool) {
	ls := d.editLine(d.line)
	ls.Train, ls.Refused, ls.Cancelled = 0, true, ""
	if d.train != nil {
		t := d.itsTrain()
		t.Refused = d.e.Train != "" // to whatever box that is written
		d.takenBack(t)
	}
	if d.b.Rules.RefuseNeedsReason && d.e.Text == "" {
		d.find(rulebook.RefusedWithoutReason, "the reason written with the refusal")
	}
}

func (d *action) upgraded(bool) {
	if d.train != nil {
		d.itsTrain().leg(d.dir).Restricted = false
	}
}

func (d *action) entered(regular bool) {
	if d.train == nil && !regular && d.s.occupied(d.line) != nil && !d.stranger() {
		return // of the train in section, and sent for it already
	}
	t := d.itsTrain()
	l := d.begin(t)
	l.Entering = cmp.Or(l.Entering, d.e.At)
	d.intoSection(t, l)
}

// intoSection is what entering and departing have in common.
func (d *action) intoSection(t *Train, l *Leg) {
	first := l.Entered == 0
	l.Entered = cmp.Or(l.Entered, d.e.At)
	if d.dir == Inward {
		if !t.clearOfSection() {
			t.Where, t.Place = Approaching, ""
		}
		l.HasToken = first && d.byToken() && !byMessage.holds(d) || l.HasToken
	} else {
		if first && t.Where == Approaching && t.In.open() && t.In.Arrived == 0 {
			if f := d.tooSoon(t, &t.In); f != nil {
				f.Text = words("Train entering section was sent ahead before the train can have come this far", f.Section, f.Train)
				f.Expected = "sent ahead when the train passes, and not while it is on its way here"
			}
		}
		d.presumeArrival(t)
		if t.Where, t.Returned = Away, false; !l.Assumed {
			t.Place = "" // else it may be here still, and another have gone
		}
		l.Arrived, t.DepartedAt = cmp.Or(l.Arrived, d.e.At), cmp.Or(t.DepartedAt, d.e.At)
		// Of one that stood here and was given out of section that was said then.
		if t.Proof == NoTailLamp && !l.Assumed && t.In.Section >= 0 && (t.In.OutOf == 0 || t.PlaceSeq == 0) || t.Proof == TailLampOut {
			d.owe(tailLampRule(t.Proof), Pending{Section: d.ref().section, Train: t.ID, Ahead: true})
		}
		d.unexamined(t)
		if first && (l.Assumed || t.Name == "" && t.In.Section < 0) {
			d.s.Went = d.e.At
		}
	}
	ls := d.editLine(d.line)
	if o := d.s.Train(ls.Train); o != nil && o.ID != t.ID && first && l.Accepted == 0 && o.accepted(d.line) && !d.section().Method.Is().Described {
		if k := o.leg(d.dir); k.Line != d.line || !k.accepted() { // that of one the other way is not used
			o = cmp.Or(firstTrain(d.s.Trains, func(o *Train) bool { return o.leg(d.dir).Line == d.line && o.leg(d.dir).accepted() }), o)
		}
		d.lineClearGone(o)
	}
	if ls.Train == t.ID {
		ls.Train = 0
	}
	ls.ToHold, ls.PN, ls.Freed = 0, "", ""
	ls.SignalOff, ls.IsOff = 0, false // put back behind the train, whether it is written or not
	if ls.Indicator == "line-clear" {
		ls.Indicator = "" // said of this train, not of the next
	}
	if first && d.b.awaited(d.ref().section, l) && !d.stops(t) && !d.section().Method.Is().Described && !(d.section().Method.Is().Follows && len(d.s.On(d.line)) > 1) {
		d.dueIn(t)
	}
	if first {
		d.helpersGo(t, l)
		if d.dir == Outward {
			d.onTicket(t)
		}
	}
	d.staffGoes()
	d.usesMessage()
	d.pilotRides()
}

func tailLampRule(p Proof) rulebook.RuleID {
	if p == TailLampOut {
		return rulebook.TailLampOutNotReported
	}
	return rulebook.TailLampNotReported
}

func (d *action) departed(bool) {
	t := d.itsTrain()
	t.DepartedAt = d.e.At
	l := d.begin(t)
	l.Arrived, l.Wrong, l.Booked = d.e.At, d.ls().WrongWay && d.b.lineAt(d.line).Way != Out, true
	if d.section().Method.Is().Described {
		d.intoSection(t, l)
		d.goneDescribed(t, l)
		return
	}
	sent := l.Entering != 0 || l.Accepted == 0 // with no line clear, entering is not the signal to send
	d.intoSection(t, l)
	if !sent && d.belled(d.ref().section) {
		d.owe(rulebook.EnteringNotSent, Pending{Section: d.ref().section, Line: d.line, Train: t.ID})
	}
}

// belled says whether train entering section is given by bell over section i at
// the moment.
func (st *step) belled(i int) bool {
	c := &st.s.Circuits[i]
	return st.b.Sections[i].Method.Is().Entering && !c.unbelled()
}

// forItsOwn says whether out of section is given by bell by the box that sent the train, to
// which it is to have come back.
func (d *action) forItsOwn() bool { return d.mine && d.dir == Outward && d.code != nil }

// hasCome says whether the train is booked out of the section, at the end that clears it.
func (d *action) hasCome() bool {
	return d.train.clearOfSection() && (d.train.Returned || !d.forItsOwn() && !(d.dir == Inward && d.train.startedFor(d.ref().section))) || d.takenOff()
}

// startedFor says whether a train is known only as gone from here over the section.
func (t *Train) startedFor(section int) bool {
	return t.In.Section < 0 && t.In.Arrived == 0 && t.Out.Section == section
}

func (d *action) outOfSection(regular bool) {
	if d.train == nil {
		return
	}
	t := d.itsTrain()
	l := t.leg(d.dir)
	if l.Line != d.line || l.Entered == 0 && l.Accepted == 0 {
		return // what was no more than offered stands where it stood
	}
	if d.mine && d.dir == Inward && !t.clearOfSection() && !d.takenOff() {
		l.Falsely, l.Given = true, d.e.At // it is still in the section as far as this book tells
		if d.s.Circuits[l.Section].PilotAt == PilotGone {
			d.editCircuit(l.Section).PilotAt = PilotMaybe // he may have come with it
		}
		d.doubt(d.line, t, StepArrival)
		return
	}
	if d.forItsOwn() && !t.Returned {
		d.outThere(t, l)
		return
	}
	l.OutOf = d.e.At
	d.passesUnseen(t)
	d.runOver(l)
	d.ranOverKey()
	d.leftBefore(t, l)
	d.ofEither(t)
	d.editLine(d.line).Reset = false
	d.helpersOut(t, l.Line)
	if d.dir == Outward && !d.mine {
		d.tooSoon(t, l)
		d.quickest(l, d.e.At)
		d.pilotUntold()
	}
	if d.mine && d.ls().Indicator == "train-on-line" && d.dir == Inward {
		d.owe(rulebook.IndicatorNotNormal, d.onLine())
	}
	d.tokenHome(t, l)
	d.tokenWasOut(t)
	d.leftOut(t)
	d.staffArrives(t)
	if d.dir == Outward && l.Assumed && t.In.open() && (t.In.Arrived == 0 || t.Proof == NoTailLamp) {
		d.replace(t) // another has gone: this one is still on its way here, or part of it is
		return
	}
	if d.dir == Outward && !t.Returned || d.dir == Inward && t.Where == Approaching {
		if d.dir == Outward {
			if d.leftOver(t); t.Divided && t.In.inSection() {
				return // its front is out of the section, and the rest is in that by which it came
			}
		}
		d.uncleared(t)
		d.passedComplete(t)
		d.close(t) // gone on, or set back to the box that sent it
		return
	}
	if t.PutAway && !t.Out.open() || t.Out.OutOf != 0 && !t.Returned && t.Where != Here || t.Where == PassedHere && t.Out.Section < 0 && len(d.b.Sections) == 1 {
		d.close(t)
	}
}

// leftOver notes the last train that left over the line of which no more than its bell says so.
func (d *action) leftOver(t *Train) {
	if !t.Out.Booked {
		d.editLine(d.line).Unbooked = t.Name
	}
}

// shuntBack ends the use of the section by a shunt that is back here.
func (d *action) shuntBack(regular bool) {
	if !regular {
		return // what is out there stays in the section
	}
	for _, t := range d.s.On(d.line) {
		if l := t.leg(d.dir); l.Line == d.line && l.open() {
			d.train = t
			d.endLeg(t)
		}
	}
}

// alongWith is what an act does besides its own effect: to what is doubted of its train, and to
// the blockages and crossings of its line.
func (d *action) alongWith(fresh, unsaid bool) {
	d.broughtBy(d.act)
	if unsaid {
		d.doubt(d.line, d.train, StepAccepted)
	}
	if d.train != nil && (d.act == ActEnter || d.act == ActDepart) {
		d.wentToo()
	}
	if len(d.s.Blockages) > 0 && (d.act == ActAccept || d.act == ActAcceptRestricted || d.act == ActEnter || d.act == ActDepart) {
		d.openOthers(func(k *LineBlockage) bool { return k.is(d.lineName(), d.ref().section) }) // let onto a line given up with parties on it
	}
	if len(d.b.Crossings) > 0 {
		d.atCrossings(fresh)
	}
}
