// Package register keeps one signal box's book: it decides, writes, and tells what
// the book says.
//
// # What it is
//
// A Book is a register open for work: the entries on disk (register/store), the
// description of the box (register/boxfile) and the state that follows from both
// by the rules (block). All of the state can be thrown away and made again from the
// entries. A Reader, which every Book has, reads the same register and never
// changes; a Day is one register day as rows and pages. Entries are read, with
// their corrections, in one place: register/reading.
//
// # The life of one entry
//
//  1. Parse reads what was typed into events (register/notation). An entry of a
//     minute or more ago gets the time of writing.
//  2. Preview says what the rules would find, and changes nothing.
//  3. Log decides (block.Apply on a copy), writes the entry as one line of the
//     notation and returns when it is on disk.
//  4. Only then is the new state the book's, with what was found beside the entry.
//  5. A later entry may correct it. It stays as it was written; the book is read
//     again from before it with what stands instead.
//
// At the end of each register day the state is kept as a snapshot, so that opening
// a long book replays a day or two. A snapshot is believed only if it was made by
// the same rules, the same build of the program and the same description of the
// box, and the newest only if a replay from the one before comes to the same state.
//
// # The duties of a caller
//
//  1. Use a Book on one goroutine. What its Reader does (LoadDay, Glance, Search,
//     ProvedBefore, RunningTimes, TimetableOf ...) any other may do meanwhile.
//  2. Show what Preview finds before Log writes it: an entry is never refused for
//     breaking a rule, and never changed once written.
//  3. Ask errors.Is(err, store.ErrConflict) of an error of Log or Import: another
//     program wrote first, the book has caught up and nothing was written. Look
//     again and decide. Call Refresh from time to time when others may write.
//  4. Do not change what State, Recent or Box give: they are shared.
//  5. Put Foot on whatever leaves the program, and Caution with it.
//  6. Close the Book.
package register
