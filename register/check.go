package register

import (
	"errors"
	"fmt"
	"io"
	"time"

	"fairhand/block"
	"fairhand/register/notation"
)

// Checked is what a replay of a book in notation came to.
type Checked struct {
	Entries  int
	Findings int
	Danger   int
	State    block.State // after the last entry
}

// Check replays a book in notation without a register and hands every finding
// to report, in the order in which the entries raise them. A finding's Seq is
// the line of the book. A corrected entry is replayed as corrected; its number
// is that of the entry in the book, counted from 1.
//
// The book is read twice, so that a line with an error is reported before
// anything else and nothing of the book is used then; the error is then a
// notation.Errors with line and column of each. Memory does not grow with the
// length of the book.
func Check(box *block.Box, loc *time.Location, src io.ReadSeeker, report func(block.Finding) error) (Checked, error) {
	var sum Checked
	corrections, err := survey(loc, src)
	if err != nil {
		return sum, err
	}
	if _, err := src.Seek(0, io.SeekStart); err != nil {
		return sum, fmt.Errorf("reading the book a second time: %w", err)
	}
	run := block.NewRunner(box, block.NewState(box))
	r := notation.NewReader(src, loc)
	for n := int64(1); ; n++ {
		ev, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return sum, err
		}
		line := int64(r.Line())
		if text, ok := corrections[n]; ok {
			if ev, err = notation.ParseCorrection(loc, ev.At, text); err != nil {
				return sum, fmt.Errorf("the line that corrects entry %d: %w", n, err)
			}
		}
		ev.Seq = line
		sum.Entries++
		if err := sum.add(run.Step(&ev), report); err != nil {
			return sum, err
		}
	}
	if err := sum.add(run.Finish(), report); err != nil {
		return sum, err
	}
	sum.State = run.State()
	return sum, nil
}

func (sum *Checked) add(found []block.Finding, report func(block.Finding) error) error {
	for _, f := range found {
		sum.Findings++
		if f.Severity == block.Danger {
			sum.Danger++
		}
		if err := report(f); err != nil {
			return err
		}
	}
	return nil
}

// maxErrors is how many faulty lines are reported at once.
const maxErrors = 20

// survey reads a whole book for its errors and its corrections.
func survey(loc *time.Location, src io.Reader) (map[int64]string, error) {
	var faults notation.Errors
	corrections := map[int64]string{}
	r := notation.NewReader(src, loc)
	for n := int64(1); ; n++ {
		ev, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		var fault *notation.Error
		if errors.As(err, &fault) {
			if faults = append(faults, fault); len(faults) >= maxErrors {
				break
			}
			continue
		}
		if err != nil {
			return nil, err
		}
		if ev.Kind == block.Correct {
			if _, err := notation.ParseCorrection(loc, ev.At, ev.Text); err != nil {
				return nil, fmt.Errorf("line %d: the correcting line: %w", r.Line(), err)
			}
			if ev.Target >= n {
				return nil, fmt.Errorf("line %d: there is no entry %d before it to correct", r.Line(), ev.Target)
			}
			corrections[ev.Target] = ev.Text
		}
	}
	if len(faults) > 0 {
		return nil, faults
	}
	return corrections, nil
}
