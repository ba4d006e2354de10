package audit

import (
	"cmp"
	"context"
	"io"
	"iter"
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/reading"
)

// Source is a book to audit: Register or Notation.
type Source interface {
	about() subject
	// span says where to begin and to end for the days asked for, or for the entries
	// after a number.
	span(ctx context.Context, from, to calendar.Day, after int64) (span, error)
	// entries gives the entries from the start of a span on.
	entries(ctx context.Context, s span) iter.Seq2[*reading.Entry, error]
	// proof says what the chain of hashes proved of a span up to an entry that
	// was handed over.
	proof(s span, last int64) (proof, error)
}

// subject is what a report is about.
type subject struct {
	box  *block.Box
	zone *time.Location

	rests func(signature *block.Event) rests // in a register; nil for a book in notation
}

// moment is a moment of the book as the report tells it.
func (s subject) moment(at block.Time) Moment { return Moment{at, s.zone, s.box.Rounding} }

// span is which entries a replay needs.
type span struct {
	start       int64       // first to replay
	state       block.State // before it
	box         *block.Box  // as described then
	under       *Described  // the same by name; nil for a book in notation
	first, last int64       // bounds of the days asked for
	end         int64       // last of the book
}

// proof is what the chain of hashes proved.
type proof struct {
	entries, last int64
	head          string
}

// Register is the register of an open book, up to its last entry at the time of
// Run. Each entry is proved before it is used. The book may be worked in meanwhile.
func Register(b *register.Book) Source { return Reader(b.Reader) }

// Reader is Register of a register that is open for reading alone.
func Reader(r *register.Reader) Source { return registered{r} }

type registered struct{ book *register.Reader }

func (r registered) about() subject {
	return subject{r.book.Box(), r.book.Location(), func(ev *block.Event) rests { return restsOn(r.book, ev) }}
}

func (r registered) span(ctx context.Context, from, to calendar.Day, after int64) (s span, err error) {
	st := r.book.Store()
	s = span{start: 1, box: r.book.BoxAt(0), end: st.Tail().Seq}
	s.state = block.NewState(s.box)
	defer func() {
		d := r.book.Described(max(s.first-1, 0))
		s.under = &Described{Entry: d.Entry, SHA256: d.Digest, Kept: d.Kept, PINs: d.PINs}
	}()
	days := from != 0 || to != 0
	if s.first, s.last = min(after+1, s.end), s.end; !days && after == 0 {
		return s, nil
	}
	if err = r.book.Prove(ctx); err != nil { // before the index by day is asked anything
		return s, err
	}
	if days {
		if s.first, s.last, err = st.SpanOf(from, to); err != nil || s.first == 0 {
			return s, err
		}
		s.end = max(s.end, s.last)
	}
	before, state, err := r.book.ProvedBefore(ctx, s.first)
	s.start, s.state, s.box = before+1, state, r.book.BoxAt(before)
	return s, err
}

func (r registered) entries(ctx context.Context, s span) iter.Seq2[*reading.Entry, error] {
	return r.book.Entries(ctx, reading.Span{After: s.start - 1, To: s.end, Proved: true})
}

func (r registered) proof(s span, last int64) (proof, error) {
	rows, err := r.book.Store().Range(last, last)
	if err != nil || len(rows) == 0 {
		return proof{}, err
	}
	return proof{entries: last - s.start + 1, last: last, head: rows[0].Hash.String()}, nil
}

// Notation is a book in notation, with the box file of its box. Its entries are
// numbered from 1 in the order of the book. It is read several times; a book with
// a fault is not used, as reading.Survey says.
func Notation(file *boxfile.File, src io.ReadSeeker) Source {
	return &written{sub: subject{box: file.Box, zone: file.Location}, src: src}
}

type written struct {
	sub  subject
	src  io.ReadSeeker
	book *reading.Notation
}

func (b *written) about() subject { return b.sub }

// span surveys the book and finds where the days asked for begin and end.
func (b *written) span(ctx context.Context, from, to calendar.Day, _ int64) (span, error) {
	s := span{start: 1, state: block.NewState(b.sub.box), box: b.sub.box}
	var err error
	if b.book, err = reading.Survey(ctx, b.src, b.sub.zone); err != nil {
		return s, err
	}
	s.end = b.book.Count()
	if from == 0 && to == 0 {
		s.first, s.last = min(1, s.end), s.end
		return s, nil
	}
	for e, err := range b.book.Entries(ctx) {
		if err != nil {
			return s, err
		}
		if (from == 0 || e.Day >= from) && (to == 0 || e.Day <= to) {
			s.first, s.last = cmp.Or(s.first, e.Seq), e.Seq
		}
	}
	return s, nil
}

func (b *written) entries(ctx context.Context, _ span) iter.Seq2[*reading.Entry, error] {
	return b.book.Entries(ctx)
}

func (b *written) proof(span, int64) (proof, error) { return proof{}, nil }
