package reading

import (
	"context"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// Notation is a book in notation that has been surveyed: it can be read, from its
// first line to its last, and what it says of its own entries can be followed.
// Its entries are numbered from 1 in the order of the book. It is for one
// goroutine, since its source is.
type Notation struct {
	src   io.ReadSeeker
	loc   *time.Location
	known *links

	From, To block.Time // of its earliest and its latest entry
	Repeated []Repeat   // its parts that stand twice

	entries int64
	byLine  bool
	named   map[int64]bool // entries that others refer to
}

// Survey reads a whole book for its faults and for the entries that are about
// others. The times of the book are those of the clock of loc. A book with a
// fault is not used: the error is notation.Errors with line and column of each,
// at most notation.MaxErrors, or that of the source or of the context. Memory does
// not grow with the length of the book.
func Survey(ctx context.Context, src io.ReadSeeker, loc *time.Location) (*Notation, error) {
	s := surveyor{b: &Notation{src: src, loc: loc, known: newLinks(loc), named: map[int64]bool{}}, at: map[int64]place{}}
	if err := s.first(ctx); err != nil {
		return nil, err
	}
	if err := s.second(ctx); err != nil {
		return nil, err
	}
	if len(s.faults) > 0 {
		slices.SortStableFunc(s.faults, func(a, b *notation.Error) int { return a.Line - b.Line })
		return nil, s.faults[:min(len(s.faults), notation.MaxErrors)]
	}
	return s.b, nil
}

// Count is the number of entries in the book.
func (b *Notation) Count() int64 { return b.entries }

// Correction is what entry number by puts instead of another; nil for an entry
// that corrects none.
func (b *Notation) Correction(by int64) *Correction { return b.known.by[by] }

// ByLine is the same book whose events are known to the rules by their lines: Seq
// of an event is its line, and so is Target of one that is about another.
func (b *Notation) ByLine() *Notation {
	c := *b
	c.byLine = true
	return &c
}

// Entries gives the entries in the order of the book, with what later entries say
// of them. An error ends them: that of the source or of the context.
func (b *Notation) Entries(ctx context.Context) iter.Seq2[*Entry, error] {
	return func(yield func(*Entry, error) bool) {
		day, lines := days{loc: b.loc}, map[int64]int64{}
		var e Entry
		for ev, line := range b.events(ctx) {
			if line.err != nil {
				yield(nil, line.err)
				return
			}
			e.Row = store.Row{Seq: line.entry, At: int64(ev.At), Recorded: int64(WrittenAt(ev)), Day: day.of(ev.At)}
			e.Place, e.Event = line.line, *ev
			if err := b.known.apply(&e); err != nil {
				yield(nil, err)
				return
			}
			if b.byLine {
				e.Event.Seq = int64(line.line)
				if b.named[line.entry] {
					lines[line.entry] = e.Event.Seq
				}
				byLine(&e.Event, lines)
				for i := range e.Before {
					byLine(&e.Before[i].Event, lines)
				}
			}
			if !yield(&e, nil) {
				return
			}
		}
	}
}

// byLine has an event speak of another by its line.
func byLine(ev *block.Event, lines map[int64]int64) {
	if ev.Kind != block.Correct {
		ev.Target = lines[ev.Target]
	}
}

// place is where an entry of the book stands.
type place struct {
	entry        int64
	line, column int
	err          error
}

// events reads the book from its beginning. A line that cannot be read counts as
// an entry; its error is a *notation.Error, and reading goes on after it.
func (b *Notation) events(ctx context.Context) iter.Seq2[*block.Event, place] {
	return func(yield func(*block.Event, place) bool) {
		if _, err := b.src.Seek(0, io.SeekStart); err != nil {
			yield(nil, place{err: fmt.Errorf("going to the beginning of the book: %w", err)})
			return
		}
		r := notation.NewReader(b.src, b.loc)
		var ev block.Event
		var err error
		for n := int64(1); ; n++ {
			ev, err = r.Next()
			if errors.Is(err, io.EOF) {
				return
			}
			if n%1000 == 0 && err == nil {
				err = ctx.Err()
			}
			ev.Seq = n
			if !yield(&ev, place{n, r.Line(), r.Column(), err}) || err != nil && faultIn(err) == nil {
				return
			}
		}
	}
}

// faultIn is what is wrong with a line, nil for an error of another kind.
func faultIn(err error) (fault *notation.Error) {
	errors.As(err, &fault)
	return fault
}

// surveyor is a survey under way.
type surveyor struct {
	b      *Notation
	faults notation.Errors
	at     map[int64]place // of the entries that correct another
	last   int64           // the last entry that is corrected
	told   []block.Event   // entries that explain another
}

func (s *surveyor) fault(at place, problem string) {
	s.faults = append(s.faults, &notation.Error{Line: at.line, Column: at.column, Problem: problem})
}

// first reads the book for lines that cannot be read, and for entries that speak
// of others.
func (s *surveyor) first(ctx context.Context) error {
	twice := newRepeats(days{loc: s.b.loc})
	defer func() { s.b.Repeated = twice.all }()
	for ev, at := range s.b.events(ctx) {
		if at.err != nil {
			fault := faultIn(at.err)
			if fault == nil {
				return at.err
			}
			s.faults = append(s.faults, fault)
		}
		if len(s.faults) >= notation.MaxErrors {
			return nil
		}
		s.b.entries = at.entry
		if at.entry == 1 {
			s.b.From, s.b.To = ev.At, ev.At
		}
		s.b.From, s.b.To = min(s.b.From, ev.At), max(s.b.To, ev.At)
		if at.err == nil {
			twice.take(ev, at)
		}
		if ev.Target == 0 {
			continue
		}
		if problem := s.refer(ev.Target, at.entry); problem != "" {
			s.fault(at, problem)
			continue
		}
		switch ev.Kind {
		case block.Correct:
			s.at[at.entry] = at
			s.last = max(s.last, ev.Target)
			s.b.known.correct(ev)
		case block.Explain:
			s.told = append(s.told, *ev)
		}
	}
	return nil
}

// refer notes that an entry speaks of another, which must be there before it.
func (s *surveyor) refer(target, own int64) (problem string) {
	if target >= own {
		return fmt.Sprintf("there is no entry %d of this book before it; numbers count the book's own entries from 1", target)
	}
	s.b.named[target] = true
	return ""
}

// second reads the corrected entries once more: what stands instead takes its
// date from them.
func (s *surveyor) second(ctx context.Context) error {
	l := s.b.known
	for ev, at := range s.b.events(ctx) {
		if at.entry > s.last {
			break
		}
		if at.err != nil {
			if faultIn(at.err) == nil {
				return at.err
			}
			continue // told already
		}
		for _, c := range l.of[at.entry] {
			s.stands(c, ev.At)
		}
		if c := l.last(at.entry); c != nil {
			s.told = slices.DeleteFunc(s.told, func(o block.Event) bool { return o.Seq == at.entry })
			s.told = append(s.told, c.Event)
		}
	}
	for i := range s.told {
		l.explain(&s.told[i])
	}
	return nil
}

// stands reads what a correction puts instead of an entry of the moment at.
func (s *surveyor) stands(c *Correction, at block.Time) {
	problem := ""
	if err := c.stand(s.b.loc, at); err != nil {
		problem = err.Error()
		if fault := faultIn(err); fault != nil {
			problem = fault.Message()
		}
	} else if c.Event.Target != 0 {
		problem = s.refer(c.Event.Target, c.Target)
	}
	if problem != "" {
		s.fault(s.at[c.By], "the line that is to stand instead: "+problem)
	}
}
