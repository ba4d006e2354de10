package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Guard is a condition of a row: what must hold, the rule broken when it does
// not, and what was expected.
type Guard struct {
	Name     string
	Rule     rulebook.RuleID
	Says     string // what was done, where the rule's own words tell of another act
	For      trait  // the methods that have it
	Mine     bool   // asked only of acts of this box: we cannot see the neighbour's line
	Replaces bool   // its finding takes the place of the row's own rule
	Expected string
	holds    func(*action) bool
}

// either is a guard that one of two makes hold.
func either(name string, a, b Guard) Guard {
	return Guard{Name: name, holds: func(d *action) bool { return a.holds(d) || b.holds(d) }}
}

// Guards in the order in which they are asked. Where two would say the same of
// one fact, the later is silent when the earlier has failed.
var (
	acceptGuards     = slices.Concat([]Guard{sectionClear, goodsBehindGoods, roomForIt, notBlocked, tokensCount, noneLost, staffNotHere, tokensIn, sharedClear}, lineHere, []Guard{fullAllowed})
	lineHere         = []Guard{clearingPoint, pointsSecured, frameLocked, convergence, bothWays, conditions} // asked of line clear for another as well: a step of the first, not booked, explains none of it
	restrictedGuards = []Guard{sectionClear, goodsBehindGoods, roomForIt, restrictedAllowed, notBlockedBeyond, passengerWarned}
	drawGuards       = []Guard{tokensCount, noTokenOut, notPutBack, sharedClear, numberHere, tokenFit}
	restoreGuards    = []Guard{restoreAfterArrival, restoreAfterReturn, numberOut}
)

// inEveryPhase are the guards of an act whatever the phase of the line.
var inEveryPhase = [actCount][]Guard{
	ActAccept: {nobodyOnLine}, ActAcceptRestricted: {nobodyOnLine},
	ActDepart: {lineFree, toldOfLine, frameLocked, toldBesideDoubt, toldBesideLate, otherHeld},
	ActEnter:  {lineFree, toldOfLine, frameLocked, toldBesideDoubt, toldBesideLate, otherHeld, numberTold},
}

var lineNotBlocked = Guard{
	Name: "line not blocked", Rule: rulebook.OfferedWhileBlocked, Mine: true,
	Expected: "the line blockage given up or the obstruction removed first",
	holds:    func(d *action) bool { return !d.blockaded() && (d.dir == Inward || !d.obstructed()) },
}

var sectionClear = Guard{
	Name: "previous train accounted for", Rule: rulebook.AcceptedSectionOccupied, Mine: true,
	Expected: "the arrival or passing of the previous train recorded first",
	holds:    func(d *action) bool { return d.lostTrain() == nil },
}

var notBlocked = Guard{
	Name: "line not blocked or obstructed", Rule: rulebook.AcceptedWhileBlocked, Mine: true,
	Expected: "the blockage given up or the obstruction removed first",
	holds:    func(d *action) bool { return !d.blockaded() && !d.obstructed() },
}

// nobodyOnLine is notBlocked for people: with what else there is against the act, and whatever
// a step not booked explains of that.
var nobodyOnLine = Guard{
	Name: "nobody on the line", Rule: rulebook.AcceptedWhileBlocked, Mine: true, Expected: notBlocked.Expected,
	holds: func(d *action) bool { return !d.held((*LineBlockage).peopled) },
}

// notBlockedBeyond: a restricted acceptance is for the very obstruction within
// the home signal that blocking back inside has told of. Source: signalbox.org,
// Block system ch. 5.
var notBlockedBeyond = Guard{
	Name: "line not blocked or obstructed outside the home signal", Rule: rulebook.AcceptedWhileBlocked, Mine: true,
	Expected: "the blockage given up or the obstruction removed first",
	holds:    func(d *action) bool { return !d.blockaded() && (!d.obstructed() || d.ls().Phase == BlockedInside) },
}

var clearingPoint = Guard{
	Name: "line clear to the clearing point", Rule: rulebook.AcceptedClearingPointFouled, Mine: true,
	Expected: "the line clear up to and including the clearing point",
	holds:    func(d *action) bool { return d.fouling(0) == nil },
}

var conditions = Guard{
	Name: "conditions of this box met", Rule: rulebook.AcceptedConditionUnmet, Mine: true,
	Expected: "the conditions of this box's instructions met first",
	holds:    func(d *action) bool { return d.unmet() == "" },
}

// lineFree: no train is let onto a line on which an obstruction or a line
// blockage is booked, unless its driver has been told. Source: GERT8000-TS1
// 13.2, as summarised by RSSB; signaller study cards (obstruction danger).
var lineFree = Guard{
	Name: "line free of obstructions and blockages", Rule: rulebook.EnteredWhileBlocked, Mine: true,
	Expected: "the blockage given up or the obstruction removed first, or the driver warned and that booked",
	holds: func(d *action) bool {
		return d.dir == Inward || d.toldOrIn() || !d.blockaded() && !d.obstructed()
	},
}

var restrictedAllowed = Guard{
	Name: "restricted acceptance authorised", Rule: rulebook.RestrictedAcceptanceNotAllowed,
	Expected: "a full acceptance, or none: this box's instructions do not list restricted acceptance",
	holds: func(d *action) bool {
		return d.section().Allows("restricted-acceptance") || d.train != nil && d.train.alwaysWarned(d)
	},
}

// fullAllowed: a trolley through a tunnel is accepted under the warning
// arrangement only. Source: signalbox.org, Block system ch. 7.
var fullAllowed = Guard{
	Name: "not a train that is always warned", Rule: rulebook.WarningArrangementOmitted,
	Expected: "the warning arrangement for it, which needs no special authority",
	holds:    func(d *action) bool { return d.train == nil || !d.train.alwaysWarned(d) },
}

// alwaysWarned says whether the train's description is one that is accepted
// under the warning arrangement only.
func (t *Train) alwaysWarned(d *action) bool {
	row := d.b.lookup(d.ref().section, t.Code, rulebook.Offer)
	return row != nil && row.Warning
}

var restrictedAuthorised = Guard{
	Name:  "restricted acceptance authorised",
	holds: func(d *action) bool { return d.section().Allows("restricted-acceptance") },
}

var passengerWarned = Guard{
	Name: "not a passenger train", Rule: rulebook.RestrictedAcceptancePassenger,
	Expected: "a full acceptance for a passenger train, unless in emergency",
	holds:    func(d *action) bool { return d.train == nil || d.train.Class != rulebook.Passenger },
}

var rightTrain = Guard{
	Name: "the train accepted", Rule: rulebook.WrongTrainEntered,
	Expected: "the train for which line clear was given",
	holds: func(d *action) bool {
		return d.train == nil || d.train.accepted(d.line) || d.train.shownIn(d.line)
	},
}

var signalledAway = Guard{
	Name: "no other train in the way", Rule: rulebook.WrongTrainEntered, Mine: true,
	Expected: "the train standing ahead of it to go first",
	holds:    func(d *action) bool { return d.starterFree() == nil },
}

// sameTrain: a train named in the signal that is neither the one in section nor
// one with line clear has followed it in.
var sameTrain = Guard{
	Name: "the train in section, or one accepted", Rule: rulebook.EnteredWithoutAcceptance,
	Expected: "line clear for the train that enters",
	holds:    func(d *action) bool { return !d.stranger() },
}

var enteringDue = Guard{
	Name: "entering not yet sent for it", Rule: rulebook.EnteringTwice, Replaces: true,
	Expected: "train entering section once for each train",
	holds: func(d *action) bool { // of a stranger another guard says so
		return d.stranger() || d.train != nil && (d.train.leg(d.dir).Entering == 0 || d.repeat) && d.train.leg(d.dir).Accepted != 0 ||
			d.train != nil && d.train.occupies(d.line) && d.train.leg(d.dir).Entering == 0
	},
}

var driverWarned = Guard{
	Name: "driver warned", Rule: rulebook.TrainNotWarned, Mine: true,
	Expected: "the driver warned and a remark of it before the section signal is cleared",
	holds:    func(d *action) bool { return d.train == nil || d.train.Warned || d.perhapsWarned() },
}

// toldOrIn says whether the driver of the train of the act has been told, or may have been,
// or the train is on the line. An authority past a signal alone tells him of nothing else.
func (d *action) toldOrIn() bool {
	return d.train != nil && (d.train.Warned && !d.train.Untold || d.train.occupies(d.line) || d.perhapsWarned())
}

// perhapsWarned says whether the train of the act, which no entry names, may be one on
// hand whose driver was warned and of which nothing says where it goes.
func (d *action) perhapsWarned() bool {
	if l := d.train.leg(d.dir); d.train.Name != "" && !l.Assumed {
		return false
	}
	return slices.ContainsFunc(d.s.Trains, func(t *Train) bool {
		return t.Warned && t.ID != d.train.ID && t.Where != Away && (!t.Out.open() || t.Out.Assumed)
	})
}

var arrived = Guard{
	Name: "train arrived or passed", Rule: rulebook.OutOfSectionTrainNotArrived, Mine: true,
	Expected: "the arrival or passing of the train recorded first",
	holds:    func(d *action) bool { return d.train == nil || d.hasCome() },
}

var complete = Guard{
	Name: "train complete", Rule: rulebook.OutOfSectionTailLampNotSeen, Mine: true,
	Expected: "the tail lamp seen, or the train otherwise found complete",
	holds: func(d *action) bool {
		return d.train == nil || !d.hasCome() || d.train.whole() || d.takenOff()
	},
}

var clearOfPoint = Guard{
	Name: "train clear of the clearing point", Rule: rulebook.OutOfSectionClearingPointFouled, Mine: true,
	Expected: "the train beyond the clearing point or clear of the line, or blocking back",
	holds: func(d *action) bool {
		return d.train == nil || !d.train.clearOfSection() || d.fouling(d.train.ID) == nil
	},
}

// acceptedToo: where line clear was given both ways each end withdraws its own.
var acceptedToo = Guard{
	Name: "line clear given for it as well as for another",
	holds: func(d *action) bool {
		return d.train != nil && d.train.leg(d.dir).Line == d.line && d.train.leg(d.dir).accepted()
	},
}

var notEntered = Guard{
	Name: "train not in section", Rule: rulebook.CancelledAfterEntering,
	Expected: "cancelling only for a train that has not entered the section",
	holds:    func(d *action) bool { return d.train == nil || d.train.leg(d.dir).Entered == 0 },
}

// describedInTime is notEntered for the signal that the train was wrongly described.
var describedInTime = Guard{
	Name: notEntered.Name, Rule: notEntered.Rule, holds: notEntered.holds,
	Says:     "Last train wrongly described was exchanged for a train already in the section",
	Expected: "the right description told by telephone: the train has gone",
}

var setBack = Guard{
	Name: "train back at the box it left", Rule: rulebook.CancelledAfterEntering,
	Expected: "the train back at the box that sent it, complete and clear of the section, and that booked",
	holds: func(d *action) bool {
		if d.section().Method.Is().Follows && d.e.Train != "" && (d.train == nil || d.train.leg(d.dir).Entered == 0) {
			return true // said of one that is to follow
		}
		if d.train != nil && d.takenOff() {
			return true // the ganger reports at either box
		}
		if d.mine {
			return cameBack.holds(d)
		}
		// the box in advance cannot see the return, and needs the instruction; it does see what has come
		return d.section().Allows("shunt-as-train") && (d.train == nil || d.train.leg(d.dir).Arrived == 0)
	},
}

// cameBack: out of section sent by the box in rear, for a train returned to it.
// Source: Block Working Manual part A 3.3(B).
var cameBack = Guard{
	Name: "train returned here", Rule: rulebook.OutOfSectionTrainNotArrived, Mine: true,
	Expected: "the train recorded back here, complete, or out of section from the other end",
	holds: func(d *action) bool {
		return d.train != nil && (d.train.Returned || d.unreported(&d.train.Out) != nil) // of that another rule told
	},
}

var blockBehind = Guard{
	Name:  "blocking back behind a departing train authorised",
	holds: func(d *action) bool { return d.section().Allows("block-back-occupied") },
}

var unblockClear = Guard{
	Name: "line clear again", Rule: rulebook.AcceptedClearingPointFouled, Mine: true,
	Says:     "Obstruction removed was sent with something still standing within the clearing point",
	Expected: "the clearing point clear before obstruction removed is sent",
	holds:    func(d *action) bool { return !d.obstructed() && d.fouling(0) == nil },
}

var dangerOver = Guard{
	Name: "obstruction gone", Rule: rulebook.ObstructionDangerNotRemoved, Mine: true,
	Expected: "the obstruction gone, and a train that was in section past the clearing point and complete",
	holds: func(d *action) bool {
		return !d.obstructed() && !slices.ContainsFunc(d.s.On(d.line), func(t *Train) bool {
			return !t.clearOfSection() || !t.whole() || d.fouling(t.ID) != nil
		})
	},
}

// enteredOnce: entering booked again, of a train in the section, is no other train.
var enteredOnce = Guard{
	Name: "entering not yet sent for it", Rule: rulebook.EnteringTwice,
	Expected: "train entering section once for each train",
	holds: func(d *action) bool {
		t := d.s.occupied(d.line)
		return t == nil || d.stranger() || d.train != nil && (!d.train.occupies(d.line) || d.train.leg(d.dir).Entering == 0)
	},
}

var wasAccepted = Guard{
	Name: "train had been accepted", Rule: rulebook.EnteredWithoutAcceptance,
	Expected: "no train let into the section during obstruction danger",
	holds: func(d *action) bool {
		// Line clear given while the danger was on is no authority.
		t := d.train
		if d.act == ActEnter && !enteredOnce.holds(d) {
			return true // another guard says so
		}
		return t != nil && (t.accepted(d.line) && t.leg(d.dir).Accepted <= d.ls().Since || t.occupies(d.line) && t.leg(d.dir).Entering == 0)
	},
}

// shuntIsBack: the section is given up only when the shunt stands clear of it
// again. Source: signalbox.org, Block system ch. 8.
var shuntIsBack = Guard{
	Name: "shunt back within the box's limits", Rule: rulebook.ShuntNotBack, Mine: true,
	Expected: "the shunt recorded back here, clear of the section",
	holds: func(d *action) bool {
		t := d.s.occupied(d.line)
		return t == nil || t.Returned || t.Place != ""
	},
}

var shuntAllowed = Guard{
	Name: "shunting into the section authorised", Rule: rulebook.ShuntNotAuthorised,
	Expected: "this box's instructions to authorise it, or the shunt signalled as a train",
	holds:    func(d *action) bool { return d.section().Allows("shunt-ahead") },
}

const shuntedInto = "Shunting into the section was signalled with the section not clear"

// shuntIntoClear: on a single line the signal is not one of the method's own; where
// it is authorised it leaves the section as it is.
var shuntIntoClear = Guard{
	Name: "section clear", Rule: rulebook.OfferedBeforeOutOfSection, Says: shuntedInto,
	Expected: "the section clear and nothing signalled on it, or a token released for shunting",
	holds:    func(d *action) bool { return d.ls().Phase == Normal || d.ls().Phase == Offered },
}

// givenOut: the neighbour has had train out of section for every train this
// book still shows on the line, so the offer is no fault of his.
var givenOut = Guard{
	Name: "train out of section was given",
	holds: func(d *action) bool {
		return d.dir == Inward && !slices.ContainsFunc(d.s.On(d.line), func(t *Train) bool { return !t.In.Falsely })
	},
}

// notYetEntered: the box in advance gives out of section while its line clear
// stands open. The train may be running already, its entering not sent.
var notYetEntered = Guard{
	Name: "no train expected", Rule: rulebook.OutOfSectionTrainNotArrived, Mine: true, Replaces: true,
	Expected: "the accepted train to enter, arrive and be seen complete first, or cancelling",
	holds:    func(*action) bool { return false },
}

// notYetAccepted is notYetEntered for a train that the book has no more than offered.
var notYetAccepted = Guard{
	Name: "no train offered", Rule: notYetEntered.Rule, Mine: true, Replaces: true, holds: notYetEntered.holds,
	Says:     "Train out of section was given for a train that was offered, with no line clear and no arrival booked",
	Expected: "the train accepted, entered, arrived and seen complete first",
}

// nothingAnswered: an offer of ours without call attention, which nobody took, may
// be the answer to one of the neighbour's that was not booked; its train may be on
// the way.
var nothingAnswered = Guard{
	Name: "no bell that may have been line clear", Rule: notYetEntered.Rule, Mine: true, Replaces: true,
	Says:     "Train out of section was given, and a bell that may have been line clear stands before it with no arrival",
	Expected: notYetAccepted.Expected,
	holds: func(d *action) bool {
		return d.b.lineThat(d.ref().section, func(l int) bool { return d.s.Lines[l].Phase == Offered && d.s.Lines[l].Uncalled }) < 0
	},
}

// broughtBySomething: the box to which a train is given out of section is the one it came
// from, and nothing in the book had it come.
var broughtBySomething = Guard{
	Name: "no train here that nothing brought", Rule: rulebook.EnteredWithoutAcceptance, Mine: true, Replaces: true,
	Says:     "A train was given out of section that came with nothing signalled for it",
	Expected: "the train offered and accepted, or a message that it may come, before it comes",
	holds: func(d *action) bool {
		t := d.s.TrainNamed(d.e.Train)
		return d.dir == Outward || t == nil || t.In.Section >= 0 || t.Where != Here && t.Where != PassedHere || !slices.ContainsFunc(d.s.Open, func(f *Finding) bool {
			return f.Rule == rulebook.TrainNotKnown && f.Train == t.Name
		})
	},
}

// signalBack: the section signal is at danger before the train is cancelled.
// Source: signaller study cards (cancelling) as a question only; the rule itself
// is from memory.
var signalBack = Guard{
	Name: "section signal at danger", Rule: rulebook.CancelledSignalOff, Mine: true,
	Expected: "the section signal put back, and the driver known to have stopped, before cancelling",
	holds:    func(d *action) bool { return !d.ls().IsOff },
}

// stoppedInTime: under obstruction danger a train is cancelled when it was
// stopped before it entered, or is back. Source: signaller study cards.
var stoppedInTime = Guard{
	Name: "train stopped before it entered, or back", Rule: rulebook.CancelledAfterEntering,
	Expected: "cancelling only for a train that was stopped in time",
	holds:    func(d *action) bool { return notEntered.holds(d) || setBack.holds(d) },
}
