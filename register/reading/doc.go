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
// A slip of the pen shows in what is written around it. An entry out of order is tried at
// its own time and in its place (settle.go), those of one minute in another order
// (minute.go), and where a danger is found each entry above it as of another box, with
// its arrows turned (misread.go) or of another train (misnamed.go): on copies of the state,
// and with what is written below.
// What leaves the least wrong is how the book is read; while few entries follow, the
// next may have it read otherwise (Open).
//
// Readers are immutable: any number of goroutines may read one register while
// another writes in it. An *Entry that a sequence yields is good until the next.
package reading
