// Package notation reads and writes the book notation: one line of text for
// each entry of a train register. One table (grammar.go) gives parsing,
// formatting, completion and help, so they cannot disagree.
//
// # Lines
//
// A line is
//
//	CLOCK entry [written [DATE] CLOCK]
//
// or a directive
//
//	date 2026-05-05
//
// which says on what date the entries after it happened. A semicolon separates
// two entries on one physical line. A # at the start of a word begins a
// comment. Blank lines are skipped. A book begins with a date line.
//
// # Clock times
//
// CLOCK is HH:MM or HH:MM:SS in the zone of the box, or :MM for the hour of the
// entry before it (whatever the minute; there must be one since the date line).
// A time that the clocks show twice may carry its offset from UTC, as in ISO
// 8601: 01:30+01:00 and 01:30+00:00. Without one it is the first of the two that is
// not before the entry before it, or the later of the two when both are. A time
// that the clocks leave out is an error that says how they were changed.
//
// An entry earlier than the one before it stays on the same date: late entries
// are legal. After midnight a new date line is required. A time more than
// twelve hours before that of the last entry, with no `written` and no date
// line between, is an error: the date line was probably forgotten.
//
// `written CLOCK` without a date is the first such time that is not before the
// entry's own, so after midnight it is the next day. But below an entry of the
// date that is half a day before it, and not after the CLOCK, it is the same date, and the entry's
// own time is of the evening before: "23:58 ... written 00:06" below "00:04 ...".
//
// At the desk there is no date line: see ParseLine.
//
// # Names, numbers and text
//
// A name is a bare word or is quoted. It must be quoted if it has spaces, if it
// is a word that could come next in the line (a place called "from"), or if it
// is a section whose name begins some other entry (a section called "train") or
// looks like a time. TEXT is always quoted. Inside quotes \" stands for a quote
// and \\ for a backslash; in TEXT \n stands for a new line. Other control
// characters are refused. Nothing may be empty.
//
// Card numbers and minutes are whole numbers from 0, entry numbers from 1. In
// a token count a far end that was not told is Other -1 in the event and no
// `there` in the line.
package notation
