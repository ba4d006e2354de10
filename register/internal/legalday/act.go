// Package legalday works an invented signal box for a day and writes its book as
// a signaller would: trains run through, end and begin here, lines are blocked
// and cleared, the turn changes. Every act is regular by the published rules, and
// the generator knows those rules by itself: of block it knows only what rules are called. Tests
// hold the regulations to it: a legal day raises nothing, and a day with one slip
// or one fault raises what that slip or fault is worth.
//
// Only tests import it. The railway is invented.
package legalday

import (
	"fmt"
	"strings"
)

// Kind is what sort of entry an act is, for the tables of slips and faults.
type Kind string

// The kinds of act. In and Out say whether the train concerned comes towards the
// box or leaves it; the box in advance of the train gives acceptance and out of
// section, the box in rear all else.
const (
	Attention    Kind = "attention" // only where each bell has a line of its own
	OfferIn      Kind = "offer received"
	OfferOut     Kind = "offer sent"
	EnterIn      Kind = "entering received"
	EnterOut     Kind = "entering sent"
	ClearIn      Kind = "out of section sent"
	ClearOut     Kind = "out of section received"
	CancelIn     Kind = "cancelling received"
	CancelOut    Kind = "cancelling sent"
	BlockBell    Kind = "blocking back or danger"
	UnblockBell  Kind = "obstruction removed"
	ShuntBell    Kind = "shunt signal"
	LampBell     Kind = "tail lamp signal"
	BoxBell      Kind = "opening, closing, testing"
	OtherBell    Kind = "other bell"
	Arrived      Kind = "arrival"
	Passed       Kind = "passing"
	Departed     Kind = "departure"
	Moved        Kind = "shunt movement"
	Entire       Kind = "found complete"
	Warned       Kind = "driver warned"
	TokenOut     Kind = "token drawn"
	TokenFar     Kind = "token drawn there"
	TokenIn      Kind = "token put in"
	TokenMoved   Kind = "token moved"
	TokenHand    Kind = "token handed over"
	StaffHand    Kind = "staff handed over"
	TicketHand   Kind = "ticket handed over"
	Obstruction  Kind = "obstruction"
	Working      Kind = "way of working"
	Message      Kind = "message"
	Duty         Kind = "duty"
	Carried      Kind = "handed over"
	Clock        Kind = "clock"
	Box          Kind = "box"
	Remark       Kind = "remark"
	BlockageKind Kind = "line blockage"
)

// Minute is a minute in the seconds the days are counted in.
const Minute = 60

// Act is one thing done and the entry that tells of it.
type Act struct {
	Kind    Kind
	Section string // neighbour concerned, "" for none
	Train   string // train concerned, whether or not the entry names it
	At      int    // seconds after midnight
	Written int    // seconds after midnight, 0 when written at once
	Body    string // the notation after the time; {} stands for the name
	Name    string // the name as written, "" when the entry leaves it out
	Tail    string // what follows the name
}

// Line is the entry as the book has it.
func (a *Act) Line() string {
	body := a.Body
	switch {
	case strings.Contains(body, "{}"):
		body = strings.ReplaceAll(body, "{}", quote(a.Name))
	case a.Name != "":
		body += " train " + quote(a.Name)
	}
	body += a.Tail
	if a.Written > 0 {
		body += " written " + clock(a.Written)
	}
	return clock(a.At) + " " + body
}

// CanLoseName says whether the entry may be written without the train's name.
func (a *Act) CanLoseName() bool { return a.Name != "" && !strings.Contains(a.Body, "{}") }

func clock(at int) string { return fmt.Sprintf("%02d:%02d", at/3600%24, at/60%60) }

func quote(name string) string {
	if strings.Contains(name, " ") {
		return `"` + name + `"`
	}
	return name
}

// Day is a worked day: its box and what was booked, in the order of the book.
type Day struct {
	Options Options
	BoxFile string // box.yaml
	Acts    []Act
}

// Book is the day in the notation. Its first line is the date, so that entry i
// (from 0) stands on line i+2.
func (d *Day) Book() string {
	var b strings.Builder
	b.WriteString("date " + Date + "\n")
	for i := range d.Acts {
		b.WriteString(d.Acts[i].Line())
		b.WriteByte('\n')
	}
	return b.String()
}

// Date is the day all books are written on. No clock changes on it.
const Date = "1975-05-05"

// EntryOf gives the index in Acts of a line of Book; -1 for none.
func (d *Day) EntryOf(line int64) int {
	if i := int(line) - 2; i >= 0 && i < len(d.Acts) {
		return i
	}
	return -1
}
