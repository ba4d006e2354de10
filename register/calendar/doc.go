// Package calendar holds the days of a register and the one way in which a moment
// is written for people to read.
//
// A moment is seconds since 1970 (block.Time, or the plain number of a stored
// entry); a Day is a date on the clock of the box. What a person reads is one of two:
//
//   - Clock, rounded as the box rounds: the page, the handover sheet, the desk, the
//     audit and the ways of trains. Whoever lays one beside another finds the same
//     time for the same entry.
//   - Exact, with its seconds where it has any, and Seconds, always with them: an entry
//     as its line gives it, the lines that check and log print for other programs, two
//     books that are compared to the second, the clock of the computer.
//
// Seconds are never simply cut off, for that would be a third clock.
package calendar
