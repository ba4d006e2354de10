// Package compare lays the books of neighbouring boxes side by side and says
// where they disagree. A register is one box's view; what a neighbour did is
// known in it only by his bells. What needs both books is found here: a bell
// that one has and the other has not, beats or times that differ, a train
// accepted in full by one book and under restriction by the other, tokens that
// left one box and never came to the other, a train under two names or that comes before
// it has left, clocks that
// do not agree. Books that do not fit together (of other days or boxes) are not
// judged: see Pair.Fits. A time of which one book has nothing at all is told once, and what
// the other has then is not judged: see hole. What many findings would say one by one is told
// once: a train that one book has not, or altogether at other times (whole.go), bells left out
// by habit and minutes guessed (habit.go), what is otherwise for a turn of duty, as arrows turned and
// names out of step (atonce.go), tokens of two series (tokennumbers.go), a page that stands twice (reading.Repeat).
//
// How it goes:
//
//  1. FromNotation, FromStore or FromEntries make a Book: its bell signals, token
//     movements and trains by section, in the order of the book.
//  2. Two takes two neighbours. The difference of the clocks is first voted for
//     (every likely pair tells how far apart it would put the clocks, and the
//     course with the most votes may have a clock drift, or be set by up to two
//     hours), then the two sequences are aligned by dynamic programming within a
//     window of time, then the clocks are measured again from what was matched,
//     and the alignment is done once more by that measure.
//  3. Line takes any number of boxes along a line, compares each with the next,
//     and follows each train from box to box by the clock of the first.
//
// Alignment follows the order of entries in the book, not their times, so that
// one wrong time does not tear a book apart; entries out of order are matched
// afterwards by their times. Where one of the books holds the signals only (see
// block.BookSignals), call attention and acknowledgements of the other are left
// out of the comparison.
//
// Tolerance: one minute after the difference of the clocks, and half of what
// each book rounds to (so two minutes for two books in whole minutes): common
// practice.
//
// Clock differences are seconds by which the second book's clock is ahead of
// the first's. All times are UTC moments as each book has them; only Common
// times are corrected. Neither book is taken to be right: a finding names both.
package compare
