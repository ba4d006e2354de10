package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// oneTrainRows need no bells: the staff in its place is the proof that the line
// is free. Where bells are exchanged all the same they are only written down.
// Source: General and Subsidiary Rules (South Central Railway) 13.03.
var oneTrainRows = []Row{
	{From: Normal, Act: ActDepart, To: InSection, Guards: []Guard{staffWithTrain}},
	{From: Normal, Act: ActEnter, To: InSection, Guards: []Guard{staffWithTrain}},
	{From: InSection, Act: ActEnter, To: InSection, Guards: []Guard{sameTrain, enteringDue}},
	{From: InSection, Act: ActOut, To: settled, Guards: []Guard{arrived, complete}},
	{From: InSection, Opposed: true, Act: ActOut, To: settled, Guards: []Guard{arrived, complete}},
	{From: InSection, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Unless: []Guard{toAssist}, Guards: []Guard{staffWithTrain}},
	{From: InSection, Opposed: true, Act: ActDepart, To: InSection, Rule: rulebook.EnteredWithoutAcceptance, Guards: []Guard{staffWithTrain}},
	{From: InSection, Opposed: true, Act: ActEnter, To: InSection, Rule: rulebook.EnteredWithoutAcceptance},
	{From: Normal, Act: ActOut, To: stay, Rule: rulebook.OutOfSectionNoTrain},
}

var staffNotHere = Guard{
	Name: "staff not at this end", Rule: rulebook.StaffElsewhere, For: withStaff, Mine: true,
	Says:     "A train was accepted from the other end with the staff here, or with a train of ours",
	Expected: "no train accepted from the other end until the staff has gone there with a train",
	holds: func(d *action) bool {
		s := d.staff()
		if d.dir == Outward || s.Where != StaffIsHere && s.Where != StaffOnTrain {
			return true
		}
		t := d.s.Train(s.Train)
		return s.Where == StaffOnTrain && (t == nil || t.Where == Away || t.In.Section == d.ref().section && t.In.open())
	},
}

var staffWithTrain = Guard{
	Name: "staff or ticket with the train", Rule: rulebook.StaffElsewhere, For: withStaff, Mine: true,
	Expected: "the staff, or where there are tickets one issued with the staff here, handed to the driver first",
	holds: func(d *action) bool {
		s := d.staff()
		if !d.section().Method.Is().Offers && s.Where == StaffUnknown {
			return true // worked without staff: the train itself is the proof
		}
		if d.s.Circuits[d.ref().section].Pilot != "" {
			return true // the pilot takes the place of the staff
		}
		if toAssist.holds(d) {
			return true // the staff is with the train in need: General Rules (India) 13.04
		}
		if d.train == nil {
			return s.Where == StaffOnTrain
		}
		if s.Where == StaffOnTrain && s.Train == d.train.ID {
			return true
		}
		return d.section().Method.Is().Tickets && slices.ContainsFunc(s.Tickets, func(k Ticket) bool { return k.Train == d.train.ID && k.Sound })
	},
}

var followsByInterval = Guard{
	Name: "following by interval authorised",
	holds: func(d *action) bool {
		return d.b.Rules.StaffFollow == rulebook.FollowInterval && (d.ls().Phase == Normal || d.ls().Dir == d.dir)
	},
}

var followsOrAssists = Guard{
	Name:  "following by interval authorised, or to assist the train in section, its driver told",
	holds: func(d *action) bool { return followsByInterval.holds(d) || toAssist.holds(d) },
}

var intervalOrMessage = Guard{
	Name:  "following by interval, or allowed by message or pilot",
	holds: func(d *action) bool { return followsByInterval.holds(d) || byMessage.holds(d) },
}

var intervalPast = Guard{
	Name: "interval past", Rule: rulebook.FollowingIntervalShort, Mine: true,
	Expected: "the full interval after the train in front, and the driver warned",
	holds: func(d *action) bool {
		return d.b.Rules.StaffFollow != rulebook.FollowInterval || toAssist.holds(d) || d.e.At-d.staff().LastOut >= d.b.Limit(rulebook.TicketInterval)
	},
}
