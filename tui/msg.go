package tui

import (
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/calendar"
)

// Messages are what happens to the desk; update is the only reader.
type msg any

// pressed is a key that has a row in the table.
type pressed struct {
	do   doer // nil for a key that no row of the table answers
	key  string
	at   block.Time
	when time.Time // the same, as finely as the machine has it
}

// pasted is text put in by the terminal.
type pasted struct{ text string }

// seen is a fresh look at the book.
type seen struct {
	sight
	when time.Time
}

// sized says how large the window is, and whether it is too small to work in.
type sized struct {
	small         bool
	width, height int // in cells
	when          time.Time
}

// unread is a line that cannot be read.
type unread struct{ err error }

// held says that danger was found: nothing is written yet.
type held struct {
	events   []block.Event
	findings []block.Finding
	doubt    string // what a name in it may mean, for one that nobody knows
	signers  []signer
}

// fetched is a day of the register; day is nil for today.
type fetched struct {
	day   *register.Day
	full  bool         // with findings and page; otherwise only the entries
	seq   int64        // the entry to be shown, 0 for the last
	first bool         // the first entry is to be shown
	asked calendar.Day // the day that was asked for when it has no entries, else 0
	err   error
}

// wrote is how the writing of some events ended. Without err all are on disk.
type wrote struct {
	entries []register.Entry // on disk
	of      int              // how many there were to write
	err     error
	lost    string // the entry that err is about, when it is not on disk
	onDisk  bool   // the entry that err is about is on disk all the same
	behind  bool   // another program wrote first
}

// errand is what a command asks for.
type errand uint8

// The errands.
const (
	nothing errand = iota
	write          // events, or the entries of line
	fetch          // the register day of date, or the one step days after it
	leave          // end the desk
	survey         // look at the book afresh
	search         // look for text in all years
	stopSearch
	examineBook // audit the days from date to until
	stopAudit
	provePIN   // line is the PIN of text; then follows
	unlockDesk // text is the name or PIN of somebody on duty
	setPIN     // line is the new PIN of text, who is the signer when he had one
)

// cmd is what update wants done. The clerk runs it.
type cmd struct {
	do         errand
	events     []block.Event
	line       string
	date       calendar.Day
	until      calendar.Day
	step       int   // -1, 0 or 1
	seq        int64 // the entry of that day to be shown, 0 for the last
	page       bool  // the page of the day is wanted, also of today
	text       string
	id         int      // of a search or an audit
	asTyped    bool     // the names in the line are meant as they stand
	clockRight bool     // the computer's clock was asked about and is right
	sure       bool     // written though danger was found: it happened
	signers    []signer // about whose PIN it was asked
	then       *cmd
	beep       bool
}
