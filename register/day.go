package register

import (
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/notation"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// Day is one register day: its entries, and what the page makes of them. It is
// built once (LoadDay) and read by the screen, the exports and the
// handover; nobody else works out rows or times.
type Day struct {
	Box  *block.Box     // as described at the end of the day, under whose numbers of sections and lines all of it is kept
	Date calendar.Day   // local date of the box
	Zone *time.Location // of the box's clock

	Entries []Entry // of this day, in the order of writing
	Later   []Entry // entries of later days that correct one of this day

	Rows   []TrainRow   // one for each train concerned, in the order in which they were opened
	Calls  []CallRow    // calls from level crossings, in order
	Across []AcrossLine // what no column holds, in order of time

	// Findings about this day's entries, also those that only a later entry
	// showed, and those about earlier days that this day's entries brought to
	// light: roots in the order in which they were raised, each with what follows
	// from it (ByRoot).
	Findings []block.Finding
	Answered []block.Finding // found as it was written, and shown by later entries to stand no more; not among Findings

	// Began is the state before the day's first entry, BeganUnder the description of
	// the box then, and Between the entries of other days written between its own, for
	// those who replay the day.
	Began      block.State
	BeganUnder *block.Box
	Between    []Entry

	Described *Described // what the day was judged under at its end

	OnDuty []string   // signed on when the day's first entry was written
	Turns  []Turn     // signings on and off of the day
	Sheets []DaySheet // of each change of duty, in order
	Ended  block.State

	Timetable []Booked // what was booked to run, when the caller has given it; no finding rests on it
	Seal      *DaySeal // of Head, else of Last, when the caller has given it

	Alarms []sheet.Alarm // what takes the worth from it: damage; with a seal that does not fit when the caller has given it

	Last store.Tail // last entry of the day
	Head store.Tail // last entry of the register when the day was read
}

// DaySeal is a seal for others to check: a statement about the register, its
// signature and the key's public half, each as package seal writes it.
type DaySeal struct {
	Statement string
	Signature string
	PublicKey string
	Says      string // one line for the foot of a page
}

// TrainRow is one train on the page: the train as it stood after the day's last
// entry about it, and what the entries of the day said that no time column holds.
type TrainRow struct {
	Train    block.Train
	Page     string     // up, down, or empty when the direction is not known
	Departed block.Time // recorded as departed or passed, 0 if not recorded
	Earlier  []PastLeg  // signalled, then cancelled, described anew or set back; oldest first
	Tokens   []Remark   // tokens, staffs and tickets: "7 out"
	Places   []string   // where it stood, in order
	Remarks  []Remark   // happenings without a column
	Errors   []int64    // entries about it that are struck through and corrected
	Entries  []int64    // entries of the day about it, as they stand
	Findings []block.Finding
}

// PastLeg is a train's use of a section that did not remain, as the page keeps
// it on a line of its own.
type PastLeg struct {
	Dir  block.Dir
	Leg  block.Leg
	Code rulebook.Code // description at the time
}

// Remark is something that happened, in words.
type Remark struct {
	At    block.Time
	Seq   int64
	Words string
}

// AcrossLine is an entry written across the page, because no column holds it,
// or because it was corrected. Source of the custom: the printed instructions
// on a page of the Quintinshill exhibition (signals without a column are written
// across the page); lner.info forum (one line through an error, marked ERROR,
// the original readable).
type AcrossLine struct {
	Seq      int64
	At       block.Time // as first written
	Text     string     // the entry without its time, as first written
	Means    string     // bell signals: what they mean
	Struck   bool       // corrected: to be shown struck through and marked ERROR
	By       int64      // entry that corrects it, 0 for none
	Instead  string     // what stands instead, with its time
	Findings []block.Finding
}

// Turn is a signing on and off.
type Turn struct {
	Name    string
	On, Off block.Time // 0: not on this day
}

// Clock is a moment as the day's page writes it.
func (d *Day) Clock(at block.Time) string { return calendar.Clock(at, d.Zone, d.Box.Rounding) }

// Title is the heading of every page and export.
func (d *Day) Title() string {
	s := d.Box.Name + ", " + d.Date.Format("Monday 2 January 2006") + ", times of " + d.Zone.String()
	if d.Box.Railway != "" {
		s = d.Box.Railway + ": " + s
	}
	return s
}

// sideOf is the page a train belongs on: the direction of the section it goes
// by, or else away from the one it came by.
func sideOf(b *block.Box, t *block.Train) string {
	if t.Out.Section >= 0 {
		return b.Sections[t.Out.Section].Towards
	}
	if t.In.Section < 0 {
		return ""
	}
	return Against[b.Sections[t.In.Section].Towards]
}

// Against is the other of two directions.
var Against = map[string]string{"up": "down", "down": "up"}

// LegName names the section and, where it has several, the line of a leg.
func (d *Day) LegName(l block.Leg) string {
	if l.Section < 0 {
		return ""
	}
	s := &d.Box.Sections[l.Section]
	if len(s.Lines) < 2 || l.Line < 0 {
		return s.Neighbour
	}
	return s.Neighbour + ", " + d.Box.Lines()[l.Line].Line.Name
}

// Instead is what stands instead of an entry that is corrected, with its time; "" for any other.
func (d *Day) Instead(e *Entry) string {
	if e.CorrectedBy == 0 {
		return ""
	}
	return notation.Format(e.Event, d.Zone)
}
