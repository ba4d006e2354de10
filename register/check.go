package register

import (
	"errors"
	"fmt"
	"io"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
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
	corrections, targets, err := survey(loc, src)
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
		if _, ok := targets[n]; ok {
			targets[n] = line
		}
		if text, ok := corrections[n]; ok {
			if ev, err = notation.ParseCorrection(loc, ev.At, text); err != nil {
				return sum, fmt.Errorf("the line that corrects entry %d: %w", n, err)
			}
		}
		ev.Seq = line
		if ev.Target != 0 && ev.Kind != block.Correct {
			ev.Target = targets[ev.Target] // entries are known to the rules by their lines here
		}
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
		if f.Severity == rulebook.Danger {
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

// survey reads a whole book for its errors, its corrections and the numbers of
// entries that others refer to.
func survey(loc *time.Location, src io.Reader) (corrections map[int64]string, targets map[int64]int64, _ error) {
	var faults notation.Errors
	corrections, targets = map[int64]string{}, map[int64]int64{}
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
			return nil, nil, err
		}
		if ev.Target != 0 {
			targets[ev.Target] = 0
		}
		if ev.Kind == block.Correct {
			if problem := badCorrection(loc, &ev, n); problem != "" {
				if faults = append(faults, &notation.Error{Line: r.Line(), Column: 1, Problem: problem}); len(faults) >= maxErrors {
					break
				}
				continue
			}
			corrections[ev.Target] = ev.Text
		}
	}
	if len(faults) > 0 {
		return nil, nil, faults
	}
	return corrections, targets, nil
}

// badCorrection says what is wrong with entry n, which corrects another; "" for
// nothing.
func badCorrection(loc *time.Location, ev *block.Event, n int64) string {
	_, err := notation.ParseCorrection(loc, ev.At, ev.Text)
	var fault *notation.Error
	switch {
	case ev.Target >= n:
		return fmt.Sprintf("there is no entry %d before it to correct", ev.Target)
	case errors.As(err, &fault):
		return "the correcting line: " + fault.Message()
	case err != nil:
		return "the correcting line: " + err.Error()
	}
	return ""
}
