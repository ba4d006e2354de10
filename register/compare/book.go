package compare

import (
	"context"
	"fmt"
	"io"
	"iter"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/reading"
	"fairhand/register/store"
)

// Book is one box's book made ready for comparison.
type Book struct {
	Box      *block.Box
	Location *time.Location
	Entries  int
	First    block.Time // earliest and latest time of an entry, by the box's clock
	Last     block.Time

	sides    []side // by section of the box
	renames  []rename
	passings []passing
	silences []silence // by the box's clock
	backs    []setBackBy
	repeated []reading.Repeat // parts of a book in notation that stand twice, compared once
	lines    []int32          // of the entries of a book in notation, by number less 1; nil for a register
	trains   map[int]*train
	step     block.Time // what times are rounded to: 300, 60, 30 or 0 seconds
}

// setBackBy is by how much a book's clock was put back in all, from an entry on.
type setBackBy struct {
	entry int32 // index among the entries of the book
	by    block.Time
}

// by is how much a clock was put back in all up to an entry.
func by(backs []setBackBy, entry int32) block.Time {
	for _, s := range slices.Backward(backs) {
		if s.entry <= entry {
			return s.by
		}
	}
	return 0
}

// side is what the book has of one section.
type side struct {
	bells      []bell
	codes      []rulebook.Code // of the bells; the first is none
	exchanges  []exchange
	moves      []move
	counts     []count
	changes    []otherwise
	obstructed []obstructed
	freed      []otherwise       // the section shown free by an axle counter
	numbers    map[int32]numbers // by entry
	room       []ringing         // for the next
}

// train is what is compared of one train of a book.
type train struct {
	name     string
	in, out  int16 // sections that it came from and goes to, -1 for none
	times    Times
	givenOut block.Time // of the section that it came from
}

// FromEntries makes a Book of entries in the order of the book, as they stand. An
// error in the sequence ends it.
func FromEntries(box *block.Box, loc *time.Location, entries iter.Seq2[*reading.Entry, error]) (*Book, error) {
	if loc == nil {
		loc = time.UTC
	}
	g := newGathering(box, loc)
	for e, err := range g.run.Ordered(g.counted(entries)) {
		if err != nil {
			return nil, fmt.Errorf("reading the book of %s: %w", box.Name, err)
		}
		g.take(e)
	}
	return g.finish(), nil
}

// FromNotation makes a Book of the register days from to to (yyyymmdd, both
// included; 0 is open) of a book in notation. Entries have the numbers that import
// gives them, and their lines besides.
// A book with a fault is not used, as reading.Survey says.
func FromNotation(ctx context.Context, file *boxfile.File, src io.ReadSeeker, from, to calendar.Day) (*Book, error) {
	book, err := reading.Survey(ctx, src, file.Location)
	if err != nil {
		return nil, err
	}
	again := func(e *reading.Entry) bool { // stands in a part that is there twice
		return slices.ContainsFunc(book.Repeated, func(r reading.Repeat) bool { return r.From <= e.Seq && e.Seq <= r.To })
	}
	b, err := FromEntries(file.Box, file.Location, without(again, without(ofOtherDays(from, to), book.Entries(ctx))))
	if err == nil {
		b.repeated = book.Repeated
	}
	return b, err
}

// without leaves out some entries.
func without(these func(*reading.Entry) bool, entries iter.Seq2[*reading.Entry, error]) iter.Seq2[*reading.Entry, error] {
	return func(yield func(*reading.Entry, error) bool) {
		for e, err := range entries {
			if (err != nil || !these(e)) && !yield(e, err) {
				return
			}
		}
	}
}

// ofOtherDays are entries of other days than from to to.
func ofOtherDays(from, to calendar.Day) func(*reading.Entry) bool {
	return func(e *reading.Entry) bool { return e.Day < from || to != 0 && e.Day > to }
}

// FromStore makes a Book of the register days from to to (both
// included; 0 is open) of a register, each entry of which is proved as it is read.
// Corrections written later count.
func FromStore(ctx context.Context, file *boxfile.File, st *store.Store, from, to calendar.Day) (*Book, error) {
	first, last, err := st.SpanOf(from, to)
	if err != nil {
		return nil, err
	}
	entries := iter.Seq2[*reading.Entry, error](func(func(*reading.Entry, error) bool) {})
	if last > 0 {
		entries = without(ofOtherDays(from, to), reading.Of(st, file.Location).Entries(ctx, reading.Span{After: first - 1, To: last, Proved: true}))
	}
	return FromEntries(file.Box, file.Location, entries)
}

// beside is the book with what it has of the sections to some boxes alone: the rest is
// not compared, and takes room in a long book.
func (b *Book) beside(others ...*Book) *Book {
	c := *b
	c.sides = make([]side, len(b.sides))
	for _, o := range others {
		if i := b.Box.SectionIndex(o.Box.Name); i >= 0 {
			c.sides[i] = b.sides[i]
		}
	}
	return &c
}

// entry names an entry as this book's reader finds it: by the number that it has,
// or gets, in the register, and by its line in a book in notation.
func (b *Book) entry(seq int64) string {
	if l := b.Line(seq); l > 0 {
		return fmt.Sprintf("entry %d, line %d", seq, l)
	}
	return fmt.Sprintf("entry %d", seq)
}

// entryOf names an entry with the box.
func (b *Book) entryOf(seq int64) string {
	if b.Line(seq) > 0 {
		return b.entry(seq) + ", of " + b.Box.Name
	}
	return b.entry(seq) + " of " + b.Box.Name
}

// Line is the line of an entry in a book in notation, 0 in a register.
func (b *Book) Line(seq int64) int {
	if seq < 1 || seq > int64(len(b.lines)) {
		return 0
	}
	return int(b.lines[seq-1])
}
