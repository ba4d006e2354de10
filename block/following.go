package block

import (
	"cmp"
	"slices"

	"fairhand/block/rulebook"
)

// Permissive working: on certain goods lines a train is let in behind another. Where
// the section's own instruction is not named as the source (Section.Source) the
// three rules are advice. Source of the principle: L&NWR Society glossary,
// permissive block; the signals and the number of trains from memory.

// followingRows go before those of the block: with trains in the section a train is
// offered, accepted, refused, cancelled and let in as on a free line, and the one in
// front is given out of section meanwhile.
var followingRows = []Row{
	{From: InSection, Act: ActOffer, To: Offered, For: following, Guards: []Guard{noneLost, lineNotBlocked}},
	{From: Accepted, Act: ActOffer, To: Offered, For: following, Rule: rulebook.OfferedBeforeOutOfSection}, // it stands: the one before may have gone, unbooked
	{From: RestrictedLC, Act: ActOffer, To: Offered, For: following, Rule: rulebook.OfferedBeforeOutOfSection},
	{From: Offered, Act: ActDepart, To: settled, For: following, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{ownLineClear}, Guards: []Guard{behindWarned}},
	{From: Offered, Act: ActEnter, To: settled, For: following, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{ownLineClear}, Guards: []Guard{behindWarned}},
	{From: Offered, Act: ActRefuse, To: settled, For: following},
	{From: Offered, Act: ActCancel, To: settled, For: following},
	{From: Offered, Act: ActRedescribe, To: settled, For: following},
	{From: Offered, Act: ActOut, To: settled, For: following, Guards: outGuards},
	{From: Accepted, Act: ActOut, To: settled, For: following, Guards: outGuards},
	{From: RestrictedLC, Act: ActOut, To: settled, For: following, Guards: outGuards},
	{From: InSection, Act: ActOut, To: settled, For: following, Guards: outGuards},
	{From: InSection, Act: ActCancel, To: settled, For: following, Guards: []Guard{someToCancel, setBack}},
	{From: Offered, Both: true, Act: ActBlockInside, To: BlockedInside, For: following, Rule: rulebook.BlockingBackTrainSignalled, Unless: []Guard{noneIn}},
	{From: Offered, Both: true, Act: ActBlockOutside, To: BlockedOutside, For: following, Rule: rulebook.BlockingBackTrainSignalled, Unless: []Guard{noneIn}},
}

var outGuards = []Guard{hasEntered, someIn, arrived, complete, clearOfPoint}

// inFront finds a train in the section other than that of the act; nil for none.
func (d *action) inFront() *Train {
	return firstTrain(d.ahead(), func(t *Train) bool { return d.train == nil || t.ID != d.train.ID })
}

// ahead lists the trains in the section but for those given out of it.
func (d *action) ahead() []*Train {
	return slices.DeleteFunc(d.s.On(d.line), func(t *Train) bool { return t.leg(d.dir).Falsely })
}

// wasIn answers what was found when the next train was offered behind one that was in
// the section already, its entering not booked.
func (st *step) wasIn(t *Train, l *Leg) {
	passenger := func(o *Train) bool { return o.Class == rulebook.Passenger && o.on(l.Line) }
	if !st.b.Sections[l.Section].Method.Is().Follows || firstTrain(st.s.Trains, passenger) != nil {
		return // behind a passenger train, or before one, it is against the rules all the same
	}
	if o := st.s.doubtOf(l.Line, t.ID, StepCancel); o != nil {
		st.answered(slices.DeleteFunc(slices.Clone(o.Found), func(a Answer) bool { return a.Rule == hasEntered.Rule })) // it had gone, and not come
	}
}

// outTwice takes train out of section that names no train, of one still on its way here, as
// that of the train in front written twice, which was given out in the same minute. Should
// its own not be booked, this was it.
func (d *action) outTwice() bool {
	t := d.train
	if !d.mine || d.dir != Inward || d.e.Train != "" || t == nil || t.clearOfSection() || !d.section().Method.Is().Follows {
		return false
	}
	if firstTrain(d.s.Trains, func(o *Train) bool { return o.In.Line == d.line && o.In.OutOf == d.e.At }) == nil {
		return false
	}
	f := d.noteSaying(rulebook.OutOfSectionNoTrain, d.section().Neighbour, "", "Train out of section is written twice in one minute", "the signal written once: correct the one that is too many")
	f.Line = d.lineName()
	d.perhapsTwo(arrived.Rule, t.Label(d.b), *f, arrived.Expected)
	return true
}

// ownOut lets stand that a train was given out of section before it came, where its own is
// not booked, or not before the next has come: it was not that of the train in front,
// written twice.
func (st *step) ownOut(line int, t *Train) {
	if t != nil && t.In.Line == line {
		st.twoAfterAll(func(p *Presumption) bool {
			return p.Line == line && p.At >= t.In.Entered && p.Found[0].Rule == arrived.Rule
		})
	}
}

// goodsBehindGoods: neither may a passenger train follow, nor anything follow one.
var goodsBehindGoods = Guard{
	Name: "no passenger train in it or following", Rule: rulebook.PermissivePassenger, For: following,
	Expected: "the section clear for a passenger train, and behind it",
	holds: func(d *action) bool {
		passenger := func(t *Train) bool { return t.Class == rulebook.Passenger }
		return d.inFront() == nil || !(d.train != nil && passenger(d.train)) && !slices.ContainsFunc(d.ahead(), passenger)
	},
}

// roomForIt: one that has come, complete, takes up no room, whether it is given out yet or not.
var roomForIt = Guard{
	Name: "room for one more train", Rule: rulebook.PermissiveTooMany, For: following,
	Expected: "a train given out of section first: as many are in it as may be",
	holds: func(d *action) bool {
		in := slices.DeleteFunc(d.ahead(), func(t *Train) bool { return d.dir == Inward && t.clearOfSection() && t.whole() })
		return d.section().Trains == 0 || len(in) < d.section().Trains
	},
}

var behindWarned = Guard{
	Name: "driver told of the train in front", Rule: rulebook.PermissiveNotWarned, For: following, Mine: true,
	Expected: "the driver warned that there is a train in the section, and that booked",
	holds:    func(d *action) bool { return d.train == nil || d.train.Warned || d.inFront() == nil },
}

var someIn = Guard{
	Name: "a train in the section", Rule: rulebook.OutOfSectionNoTrain, For: following,
	Expected: "train out of section once for each train that was in it",
	holds:    func(d *action) bool { return d.s.occupied(d.line) != nil || d.mine && ownLineClear.holds(d) },
}

// inFrontOfOne takes a train given out of section with no arrival booked as come, where one
// that went in behind it has come: none can pass another, and the two have each other's name.
func (d *action) inFrontOfOne() {
	t := d.train
	if !d.mine || d.dir != Inward || !d.section().Method.Is().Follows || t == nil || t.In.Line != d.line || t.clearOfSection() {
		return
	}
	o := firstTrain(d.s.On(d.line), func(o *Train) bool { return o.clearOfSection() && t.In.Entered < o.In.Entered && o.whole() })
	if o == nil {
		return
	}
	t = d.of(t)
	t.In.Arrived, t.Where, t.Proof, t.ProofAt, t.ProofSeq = o.In.Arrived, Here, o.Proof, d.e.At, d.e.Seq
	d.noteSaying(rulebook.TrainNameDiffers, d.section().Neighbour, t.Label(d.b), "The arrival is booked as of "+o.Label(d.b)+", which was behind it", "each arrival by the name of its own train")
}

// leftBefore takes the trains in front of one that is out of the section as out of
// it too, by steps not booked: none can be overtaken.
func (d *action) leftBefore(t *Train, l *Leg) {
	if !d.section().Method.Is().Follows {
		return
	}
	for _, o := range d.s.On(d.line) {
		leg := o.leg(d.dir)
		if o.ID == t.ID || leg.Line != d.line || !leg.before(l) {
			continue // itself, one the other way in a book gone wrong, or one behind it
		}
		d.outUnsaid(o, d.lacking(o, StepOut, StepArrival))
	}
	for _, o := range slices.Clone(d.s.Trains) {
		leg := o.leg(d.dir)
		if leg.Line != d.line || !leg.accepted() || leg.Accepted >= l.Accepted || leg.Aside {
			continue
		}
		// It did not go in front of this one: it was cancelled, or line clear given again against it.
		missing := d.lacking(o, StepCancel)
		missing.Found = append(slices.Clip(missing.Found), d.foundOf(t, l, tooMany)...)
		d.outUnsaid(o, missing)
	}
}

// lacking is the doubt about one of some steps of a train, and a new one about the first where none is open.
func (d *action) lacking(t *Train, steps ...Step) Doubt {
	for _, s := range steps {
		if k := d.s.doubtOf(d.line, t.ID, s); k != nil {
			return *k
		}
	}
	return Doubt{Line: d.line, Seq: d.e.Seq, At: d.e.At, Train: t.ID, Name: t.Label(d.b), Step: steps[0]}
}

// outUnsaid ends what a train has of the section by steps not booked.
func (d *action) outUnsaid(t *Train, missing Doubt) {
	t = d.touch(t)
	d.notBooked(missing, t, d.endPresumed(t, t.leg(d.dir), d.dir, d.e.At)...)
}

// ofEither keeps the doubt about a train that another was let in behind, unwarned, when
// an out of section comes that names none: it may have been of the one behind, and of the
// first not booked. What is found of those that follow is the same matter.
func (d *action) ofEither(t *Train) {
	k := d.s.doubtOf(d.line, t.ID, StepOut)
	if k == nil || d.e.Train != "" || !d.section().Method.Is().Follows {
		return
	}
	next := firstTrain(d.s.On(d.line), func(o *Train) bool { return o.ID != t.ID })
	if next == nil {
		return
	}
	passed := Doubt{Line: d.line, Seq: k.Seq, At: k.At, Train: next.ID, Name: next.Label(d.b), Step: StepOut, Found: k.Found, In: cmp.Or(k.In, t.leg(d.dir).Entered)}
	if own := first(d.s.Doubts, func(o *Doubt) bool {
		return o.Line == d.line && o.Train == next.ID && (o.Step == StepOut || o.Step == StepNone)
	}); own != nil {
		passed.Found = slices.Concat(passed.Found, own.Found)
		d.endDoubt(*own)
	}
	d.s.Doubts = append(slices.Clip(d.s.Doubts), passed)
}

// emptyAgain takes the last train in front of one that is let in unwarned as out of the section,
// by a step not booked, where it went in itself after another was let in so, and no out of
// section names which it was of since: the section is held to be empty a second time, and there
// is one out of section less in the book than trains.
func (d *action) emptyAgain() {
	if d.act != ActEnter && d.act != ActDepart || d.dir == Inward || !d.section().Method.Is().Follows || d.train == nil || d.train.Warned {
		return
	}
	o := d.inFront()
	if o == nil || len(d.ahead()) > 1 {
		return
	}
	l := o.leg(d.dir)
	if k := d.s.doubtOf(d.line, o.ID, StepOut); k != nil && k.At < l.Entered && d.e.At-l.Entered > 2*d.least(l, o.Class) {
		d.outUnsaid(o, *k)
	}
}

// came says whether the book has its train as come, or as given out of the section.
func (l *Leg) came() bool { return l.Arrived != 0 || l.Given != 0 }

// before says whether a train went into the section before another: in one minute, the
// one that has arrived, or else was booked first.
func (l *Leg) before(k *Leg) bool {
	switch {
	case l.Entered != k.Entered:
		return l.Entered < k.Entered
	case l.came() != k.came():
		return l.came()
	}
	return l.Seq < k.Seq
}

// permissive are the rules about a train let in behind another.
var permissive = map[rulebook.RuleID]bool{rulebook.PermissivePassenger: true, rulebook.PermissiveTooMany: true, rulebook.PermissiveNotWarned: true}

// crowded says whether this act was found to be behind a train that may have been
// out of the section, unbooked.
func (d *action) crowded() bool {
	return slices.ContainsFunc(d.found, func(f Finding) bool { return permissive[f.Rule] })
}

// ownLineClear: one was offered behind a train that had not gone yet, and this is that train.
var ownLineClear = Guard{
	Name: "line clear given for it before another was offered", For: following,
	holds: func(d *action) bool { return d.train != nil && d.train.accepted(d.line) },
}

var hasEntered = Guard{
	Name: "train entered", Rule: notYetEntered.Rule, Mine: true, For: following, Expected: notYetEntered.Expected,
	holds: func(d *action) bool { return !ownLineClear.holds(d) },
}

var someToCancel = Guard{
	Name: "a train to cancel", Rule: rulebook.CancelledNothing, For: following,
	Expected: "cancelling for a train offered or accepted, or one that is back",
	holds: func(d *action) bool {
		return d.train != nil && d.train.leg(d.dir).Line == d.line
	},
}

var noneIn = Guard{
	Name:  "no train in the section",
	holds: func(d *action) bool { return d.s.occupied(d.line) == nil },
}
