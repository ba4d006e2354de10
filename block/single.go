package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// The other single-line methods follow the same exchange of bells as a token
// section and differ in what a driver carries. Their machines are the token
// machine's rows with the acts of token instruments left out and the guards
// about tokens exchanged for their own.

var singlePhases = []Phase{Normal, Offered, Accepted, RestrictedLC, InSection, BlockedInside, BlockedOutside, Obstructed}

// tokenActs are the acts only token instruments have.
var tokenActs = map[Act]bool{ActAskRelease: true, ActRelease: true, ActReplaced: true, ActDraw: true, ActRestore: true}

// adapt makes rows for another single-line method: guards are exchanged by
// name, and one exchanged for the zero Guard is left out.
func adapt(rows []Row, exchange map[string]Guard) []Row {
	var out []Row
	for _, r := range rows {
		if tokenActs[r.Act] || r.From == ShuntAsked || r.From == ShuntReleased {
			continue
		}
		var guards []Guard
		for _, g := range r.Guards {
			if o, ok := exchange[g.Name]; ok {
				g = o
			}
			if g.holds != nil {
				guards = append(guards, g)
			}
		}
		r.Guards = guards
		out = append(out, r)
	}
	return out
}

// overriding puts a method's own rows before the adapted ones and leaves out
// those of the same phase and act, which could never be reached.
func overriding(own, adapted []Row) []Row {
	out := own
	for _, r := range adapted {
		if !slices.ContainsFunc(own, func(o Row) bool { return o.From == r.From && o.Act == r.Act && o.Opposed == r.Opposed }) {
			out = append(out, r)
		}
	}
	return out
}

// staffGuards: the driver carries the one staff, or a ticket issued while the
// staff is here.
var staffGuards = map[string]Guard{
	tokensIn.Name:       {},
	tokensCount.Name:    staffNotHere,
	tokenBooked.Name:    staffWithTrain,
	tokenWithTrain.Name: staffWithTrain,
	tokenOfSection.Name: staffWithTrain,
	tokenBack.Name:      {},
	tokenBackFirst.Name: {},
}

var staffRows = overriding([]Row{
	{From: Normal, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{intervalOrMessage}, Guards: []Guard{staffWithTrain, intervalPast, messageHeld, pilotWith}, Ref: srcStaff},
	{From: Normal, Act: ActEnter, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{intervalOrMessage}, Guards: []Guard{staffWithTrain, messageHeld, pilotWith}, Ref: srcStaff},
	{From: InSection, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{followsByInterval}, Guards: []Guard{staffWithTrain, intervalPast}, Ref: srcStaff},
}, adapt(tokenRows, staffGuards))

// oneTrainPhases: the section is free or it has the train.
var oneTrainPhases = []Phase{Normal, InSection}

// oneTrainRows need no bells: the staff in its place is the proof that the line
// is free. Where bells are exchanged all the same they are only written down.
var oneTrainRows = []Row{
	{From: Normal, Act: ActDepart, To: InSection, Guards: []Guard{staffWithTrain}, Ref: srcOneTrain},
	{From: Normal, Act: ActEnter, To: InSection, Guards: []Guard{staffWithTrain}, Ref: srcOneTrain},
	{From: InSection, Act: ActEnter, To: InSection, Guards: []Guard{sameTrain, enteringDue}, Ref: srcOneTrain},
	{From: InSection, Act: ActOut, To: settled, Guards: []Guard{arrived, complete}, Ref: srcOneTrain},
	{From: InSection, Opposed: true, Act: ActOut, To: settled, Guards: []Guard{arrived, complete}, Ref: srcOneTrain},
	{From: InSection, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Guards: []Guard{staffWithTrain}, Ref: srcOneTrain},
	{From: InSection, Opposed: true, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Guards: []Guard{staffWithTrain}, Ref: srcOneTrain},
	{From: InSection, Opposed: true, Act: ActEnter, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Ref: srcOneTrain},
	{From: Normal, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain, Ref: srcOneTrain},
}

// tokenlessGuards: the section signal is the authority; nothing is carried.
var tokenlessGuards = map[string]Guard{
	tokensIn.Name:       {},
	tokensCount.Name:    {},
	tokenBooked.Name:    {},
	tokenWithTrain.Name: {},
	tokenOfSection.Name: {},
	tokenBack.Name:      {},
	tokenBackFirst.Name: {},
}

var tokenlessRows = adapt(tokenRows, tokenlessGuards)

const (
	srcStaff    = "General Rules (India) 12.01 to 12.16; Romney Sands, 28 August 2019 (RAIB)"
	srcOneTrain = "General and Subsidiary Rules (South Central Railway) 13.03"
)

var staffNotHere = Guard{
	Name: "staff not at this end", Rule: rulebook.StaffElsewhere, Mine: true,
	Expected: "no train accepted from the other end while the staff is at this end",
	holds:    func(d *deed) bool { return d.dir == Outward || d.staff().Where != StaffIsHere },
}

var staffWithTrain = Guard{
	Name: "staff or ticket with the train", Rule: rulebook.StaffElsewhere, Mine: true,
	Expected: "the staff, or a ticket issued with the staff here, handed to the driver first",
	holds: func(d *deed) bool {
		s := d.staff()
		if d.section().Method == rulebook.OneTrain && s.Where == StaffUnknown {
			return true // worked without staff: the train itself is the proof
		}
		if d.s.Circuits[d.ref().section].Pilot != "" {
			return true // the pilot takes the place of the staff
		}
		if d.train == nil {
			return s.Where == StaffOnTrain
		}
		if s.Where == StaffOnTrain && s.Train == d.train.ID {
			return true
		}
		for _, k := range s.Tickets {
			if k.Train == d.train.ID && k.Sound {
				return true
			}
		}
		return false
	},
}

var followsByInterval = Guard{
	Name: "following by interval authorised",
	holds: func(d *deed) bool {
		return d.b.Rules.StaffFollow == rulebook.FollowInterval && (d.ls().Phase == Normal || d.ls().Dir == d.dir)
	},
}

var intervalOrMessage = Guard{
	Name:  "following by interval, or allowed by message or pilot",
	holds: func(d *deed) bool { return followsByInterval.holds(d) || byMessage.holds(d) },
}

var intervalPast = Guard{
	Name: "interval past", Rule: rulebook.FollowingIntervalShort, Mine: true,
	Expected: "the full interval after the train in front, and the driver warned",
	holds: func(d *deed) bool {
		return d.b.Rules.StaffFollow != rulebook.FollowInterval || d.e.At-d.staff().LastOut >= d.b.Limit(rulebook.TicketInterval)
	},
}
