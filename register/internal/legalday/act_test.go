package legalday

import (
	"fmt"
	"slices"
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
	CrossingCall Kind = "crossing call"
	PartyKind    Kind = "party on the line"
	Apparatus    Kind = "points, routes, frames, failures"
	Authorised   Kind = "authority past a signal"
	Examining    Kind = "examination"
	Hearing      Kind = "message for a train"
	MadeUp       Kind = "train made up"
	Assisting    Kind = "assisting engine"
	Detained     Kind = "train detained"
)

// furtherKinds are the kinds that a day with further entries has beside the others.
var furtherKinds = []Kind{PartyKind, Apparatus, Authorised, Examining, Hearing, MadeUp, Assisting, Detained}

// Further says whether only a day with further entries has such acts.
func (k Kind) Further() bool { return slices.Contains(furtherKinds, k) }

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

	ring int // exchange of bells it is part of, 0 for none
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

// Book is the day in the notation: the date, then an entry a line, with a date
// line wherever the date changes.
func (d *Day) Book() string {
	var b strings.Builder
	b.WriteString("date 1975-05-05\n") // no clock changes on it or the next
	for i := range d.Acts {
		if d.newDate(i) {
			fmt.Fprintf(&b, "date 1975-05-%02d\n", 5+d.Acts[i].At/midnight)
		}
		b.WriteString(d.Acts[i].Line())
		b.WriteByte('\n')
	}
	return b.String()
}

// newDate says whether entry i is of another date than the one above it: the first
// after midnight, or one written late for what happened before.
func (d *Day) newDate(i int) bool {
	return i > 0 && d.Acts[i].At/midnight != d.Acts[i-1].At/midnight
}

// EntryOf gives the index in Acts of a line of Book; -1 for none.
func (d *Day) EntryOf(line int64) int {
	at := int64(1)
	for i := range d.Acts {
		if at++; d.newDate(i) {
			at++
		}
		if at == line {
			return i
		}
	}
	return -1
}

// BothWays says whether entry i is of a section with one line used both ways, or begins
// or ends that.
func (d *Day) BothWays(i int) bool {
	over := func(a *Act) bool {
		return a.Kind == Working && a.Section == d.Acts[i].Section && strings.Contains(a.Body, " over ")
	}
	for j := i; j >= 0; j-- {
		if a := &d.Acts[j]; a.Kind == Working && a.Section == d.Acts[i].Section && (j < i || over(a)) {
			return over(a)
		}
	}
	return false
}

// LineOf is the line of Book that entry i stands on.
func (d *Day) LineOf(i int) int64 {
	line := int64(i) + 2
	for k := range d.Acts[:i+1] {
		if d.newDate(k) {
			line++
		}
	}
	return line
}
