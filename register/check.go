package register

import (
	"context"
	"io"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/reading"
)

// Counted is how much was found that stands.
type Counted struct {
	Findings int
	Danger   int
}

func (c *Counted) count(found []block.Finding) {
	for i := range found {
		if found[i].Answered != 0 {
			continue
		}
		c.Findings++
		if found[i].Severity == rulebook.Danger {
			c.Danger++
		}
	}
}

// Checked is what a replay of a book in notation came to.
type Checked struct {
	Counted
	Entries  int
	State    block.State      // after the last entry
	Repeated []reading.Repeat // parts of the book that stand twice
}

// Check replays a book in notation without a register and hands every finding
// to report, in the order in which the entries raise them; one that a later entry
// shows to stand no more says so, and is not counted. A finding's Seq is
// the line of the book. A corrected entry is replayed as corrected; its number
// is that of the entry in the book, counted from 1. What was found of it as it was
// first written and no longer stands is handed over when the correction comes,
// with its line as Answered; it is not counted.
//
// The book is surveyed first (reading.Survey): with a fault in it nothing of the
// book is used, and the error is a notation.Errors with line and column of each.
// Memory does not grow with the length of the book.
func Check(ctx context.Context, box *block.Box, loc *time.Location, src io.ReadSeeker, report func(block.Finding) error) (Checked, error) {
	var sum Checked
	book, err := reading.Survey(ctx, src, loc)
	if err != nil {
		return sum, err
	}
	sum.Repeated = book.Repeated
	run := reading.NewReplay(box, block.NewState(box))
	var hold reading.Hold
	tell := func(found []block.Finding) error {
		sum.count(found)
		for _, f := range append(found, run.Answered()...) { // what no longer stands comes last
			if err := report(f); err != nil {
				return err
			}
		}
		return nil
	}
	for e, err := range run.Ordered(book.ByLine().Entries(ctx)) {
		if err != nil {
			return sum, err
		}
		sum.Entries++
		if err := tell(hold.Take(run.Take(e), run.Look())); err != nil {
			return sum, err
		}
	}
	if err := tell(append(hold.Take(run.Finish(), run.Look()), hold.Rest()...)); err != nil {
		return sum, err
	}
	sum.State = run.State()
	return sum, nil
}
