// Package audit reads a whole book, or some days of it, as an inspector would:
// what was found against the regulations in each turn of duty and how it was
// explained, how the book was kept, how trains ran and how much of the day each
// section was occupied.
//
// Run takes a Source (Register or Notation) and gives a Report; Report.Document
// is for paper and screen, Report.WriteJSON for programs. The rules are those of
// package block, applied to every entry as it stands after corrections; nothing
// is judged here that is not judged at the desk. Counts of findings are the same
// as those of register.Check on the same book.
//
// # How it goes
//
// A register is read in three steps that work at the same time: read and proved
// (the chain of hashes), decoded, replayed. The second step holds back the last
// 32,000 entries or so, so that a correction or an explanation reaches the entry
// it is about before that is replayed. A book in which one reaches further back
// is read again, its corrections and explanations first. What is kept does not
// grow with the book but for one small record a day, a correction and an
// explanation; details are kept up to Options.Details and the rest is counted.
//
// # What the words mean
//
//   - A turn of duty is from a signing on to the signing off; its entries are
//     those written while the person was the last to have signed on. Entries
//     written with nobody signed on make a turn without a name.
//   - A finding is of the turn of its entry; of what was not done in time, of the turn in
//     which it fell due.
//   - A finding is explained when an entry of the book explains the entry it is
//     about, whenever that was written.
//   - Trains, of a person or a week, are the rows opened. Beyond chance is a count
//     that would fall to one person once in a thousand reports, were all alike: the
//     tail of the binomial distribution by trains, shared among all that are compared; and
//     found in three turns or more.
//   - Late is the time of writing less the time of the event: that given with
//     written, else the computer's; in a transcription only that given.
//   - Occupied is from train entering section, or the recorded departure into it
//     where that comes first, to train out of section. Trains that overlap on one
//     line are counted once in shares.
//   - Running is from train entering section to arrival or passing here. The
//     running time of a train that goes away is known only to the neighbour.
//   - Held is from line clear to the train entering the section.
//   - Headway is the time between two trains entering one line the same way.
//   - Median and 90 % are nearest ranks: the smallest time that at least half, or
//     nine tenths, do not exceed. Beyond an hour they are rounded down to the
//     minute, beyond a day to the hour; shortest and longest are exact.
//
// # The JSON form, schema fairhand-audit-1
//
// The keys are the json tags of the types of this package, beginning with
// Report. Names ending in _s are whole seconds, in _share parts of one. Moments
// are RFC 3339 with the offset of the box's zone and are null when not recorded;
// days are 2026-05-05. Lists are never null. A key may be added without a new
// schema; one that goes or changes its meaning makes fairhand-audit-2.
package audit
