package compare

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"iter"
	"os"
	"time"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// Book is one box's book made ready for comparison. It is read-only.
type Book struct {
	Box      *block.Box
	Location *time.Location
	Entries  int
	First    block.Time // earliest and latest time of an entry, by the box's clock
	Last     block.Time

	sides  []side // by section of the box
	trains map[int]*block.Train
	step   block.Time // what times are rounded to: 60, 30 or 0 seconds
}

// side is what the book has of one section.
type side struct {
	bells     []bell
	exchanges []exchange
	moves     []move
	counts    []count
}

// FromEvents makes a Book of entries in the order of the book, corrected entries
// as corrected, each with its number. An error in the sequence ends it.
func FromEvents(box *block.Box, loc *time.Location, entries iter.Seq2[block.Event, error]) (*Book, error) {
	if loc == nil {
		loc = time.UTC
	}
	g := newGathering(box, loc)
	for ev, err := range entries {
		if err != nil {
			return nil, fmt.Errorf("reading the book of %s: %w", box.Name, err)
		}
		g.take(&ev)
	}
	return g.finish(), nil
}

// ReadNotation makes a Book of a box file and a book in notation. The number of
// an entry is its line. A book with an error is not used; the error then holds
// notation.Errors.
func ReadNotation(boxPath, bookPath string) (*Book, error) {
	file, err := boxfile.Load(boxPath)
	if err != nil {
		return nil, err
	}
	data, err := os.ReadFile(bookPath)
	if err != nil {
		return nil, fmt.Errorf("the book of %s: %w", file.Box.Name, err)
	}
	b, err := DecodeNotation(file, data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", bookPath, err)
	}
	return b, nil
}

// DecodeNotation is ReadNotation for a book in memory.
func DecodeNotation(file *boxfile.File, book []byte) (*Book, error) {
	fixes, err := survey(file.Location, book)
	if err != nil {
		return nil, err
	}
	return FromEvents(file.Box, file.Location, func(yield func(block.Event, error) bool) {
		r := notation.NewReader(bytes.NewReader(book), file.Location)
		for n := int64(1); ; n++ {
			ev, err := r.Next()
			if errors.Is(err, io.EOF) {
				return
			}
			if text, ok := fixes[n]; ok && err == nil {
				ev, err = notation.ParseCorrection(file.Location, ev.At, text)
			}
			ev.Seq = int64(r.Line())
			if !yield(ev, err) || err != nil {
				return
			}
		}
	})
}

// survey reads a book for its errors and its corrections, by number of the
// corrected entry counted from 1.
func survey(loc *time.Location, book []byte) (map[int64]string, error) {
	var faults notation.Errors
	fixes := map[int64]string{}
	for r := notation.NewReader(bytes.NewReader(book), loc); ; {
		ev, err := r.Next()
		var fault *notation.Error
		switch {
		case errors.Is(err, io.EOF):
			if len(faults) > 0 {
				return nil, faults
			}
			return fixes, nil
		case errors.As(err, &fault):
			if faults = append(faults, fault); len(faults) >= notation.MaxErrors {
				return nil, faults
			}
		case err != nil:
			return nil, err
		case ev.Kind == block.Correct:
			fixes[ev.Target] = ev.Text
		}
	}
}

// FromStore makes a Book of the register days from to to (yyyymmdd, both
// included; 0 is open) of a register. Corrections written later count.
func FromStore(file *boxfile.File, st *store.Store, from, to int32) (*Book, error) {
	return FromEvents(file.Box, file.Location, func(yield func(block.Event, error) bool) {
		read, err := newStored(file.Location, st)
		var days []int32
		if err == nil {
			days, err = st.Days(from, to)
		}
		if err != nil {
			yield(block.Event{}, err)
			return
		}
		for _, day := range days {
			rows, err := st.Day(day)
			if err != nil {
				yield(block.Event{}, err)
				return
			}
			for _, row := range rows {
				ev, err := read.event(row)
				if !yield(ev, err) || err != nil {
					return
				}
			}
		}
	})
}

// stored reads the rows of a register as they stand now.
type stored struct {
	loc   *time.Location
	lines *notation.Stored
	fixes map[int64]string // number of a corrected entry to the line that stands instead
}

func (r *stored) event(row store.Row) (block.Event, error) {
	ev, err := r.lines.Event(block.Time(row.At), row.Line)
	if text, ok := r.fixes[row.Seq]; ok && err == nil {
		ev, err = notation.ParseCorrection(r.loc, block.Time(row.At), text)
	}
	ev.Seq = row.Seq
	if err != nil {
		return ev, fmt.Errorf("entry %d (%q): %w; run fairhand verify", row.Seq, row.Line, err)
	}
	return ev, nil
}

// newStored reads the corrections first: they may be written days later.
func newStored(loc *time.Location, st *store.Store) (*stored, error) {
	r := &stored{loc: loc, lines: notation.NewStored(loc), fixes: map[int64]string{}}
	rows, err := st.Corrections(0)
	if err != nil {
		return nil, err
	}
	for _, row := range rows {
		ev, err := r.event(row)
		if err != nil {
			return nil, err
		}
		if ev.Kind == block.Correct {
			r.fixes[ev.Target] = ev.Text
		}
	}
	return r, nil
}
