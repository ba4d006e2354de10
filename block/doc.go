// Package block is the regulations at work: it follows each entry of a train
// register as a state machine of the box's sections, and says what was against
// the rules. The rules themselves, with their sources, are package rulebook.
//
// A caller has five duties:
//
//  1. Fill a Box and call Prepare; use it only when that gives no error.
//  2. Begin with NewState and give every entry to Apply, or to a Runner where a
//     whole book is replayed, in the order of the book.
//  3. Number the entries from 1 (Event.Seq) and give every moment: block has no
//     clock, no zone, no random and no input or output. Civil time comes as data
//     in the box.
//  4. Keep a State as a value. It follows from the entries and can be thrown away
//     and made again; it is never to be changed from outside.
//  5. At the end of a book call Runner.Finish: what was left undone is found there.
//
// An entry is never refused because it breaks a rule: what happened is followed,
// and a Finding says what was wrong.
//
// # How it thinks
//
// The bell circuit (bells.go) turns signals into exchanges: call attention, given,
// acknowledged, lapsed. Discipline is judged there. A meaning stands for acts on a
// line: given, one act; acknowledged, another. attribute.go decides which train a
// bell concerns.
//
// The machine of a method is a table of rows (rows_block.go, single.go): phase,
// act, next phase, guards. A row with a rule is against that rule. The same rows
// are judged (action.go), offered (expect.go), drawn (diagram.go) and printed as a
// matrix (testdata/matrix_*.txt). A guard (guards*.go) is a named condition with the
// rule it breaks and what was expected. Rows and guards that only some methods have
// name the trait that decides it.
//
// Effects (action_effects.go) are what an act changes, regular or not. What must follow
// within a limit is a duty (duty.go), one row each: it raises its rule when the
// limit is past, on the entry it followed from, or on the late signal itself.
//
// State is a value. Apply copies each part once before it changes it (the
// generations in apply.go); a Runner does the same in place.
package block
