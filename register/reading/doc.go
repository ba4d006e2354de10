// Package reading reads a book as it stands: each entry with the correction that
// stands instead of it and with the remarks that explain it. A book is a register
// (Register) or a text in notation (Survey); both give the same entries in the
// same way, and Replay takes them through the rules. Nothing else in the program
// reads corrections, so that a book has one meaning wherever it is looked at.
//
// How a correction is read: the line that it puts instead of an entry is on the
// date of that entry, and at its time when it gives none, however often the entry
// is corrected; the last correction stands. One that corrects a correction takes
// its place.
//
// Readers are immutable: any number of goroutines may read one register while
// another writes in it. An *Entry that a sequence yields is good until the next.
package reading
