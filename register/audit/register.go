package audit

import (
	"context"
	"fmt"
	"sync"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// Register is the register of an open book, up to its last entry at the time of
// Run. Entries are read in short pieces; the book may be worked in meanwhile.
func Register(b *register.Book) Source { return &registered{b} }

type registered struct{ book *register.Book }

func (r *registered) about() subject { return subject{r.book.Box(), r.book.Location()} }

func (r *registered) span(from, to int32) (span, error) {
	st := r.book.Store()
	s := span{start: 1, state: block.NewState(r.book.Box()), end: st.Tail().Seq}
	if from == 0 && to == 0 {
		s.first, s.last = min(1, s.end), s.end
		return s, nil
	}
	var err error
	if s.first, s.last, err = st.SpanOf(from, to); err != nil || s.first == 0 {
		return s, err
	}
	s.end = max(s.end, s.last)
	after, state, err := r.book.StateBefore(s.first)
	s.start, s.state = after+1, state
	return s, err
}

func (r *registered) pointers(s span) (*pointers, error) {
	st, zone := r.book.Store(), r.book.Location()
	p := &pointers{map[int64]fix{}, map[int64][]Remark{}}
	read := notation.NewStored(zone)
	rows, err := st.Corrections(s.start - 1)
	if err != nil {
		return nil, err
	}
	for _, row := range rows {
		ev, err := read.Event(block.Time(row.At), row.Line)
		if err != nil {
			return nil, unreadable(row.Seq, err)
		}
		if ev.Kind != block.Correct {
			continue // a remark that reads like one
		}
		target, err := st.Range(ev.Target, ev.Target)
		if err != nil {
			return nil, err
		}
		if len(target) == 0 {
			continue
		}
		c, err := notation.ParseCorrection(zone, block.Time(target[0].At), ev.Text)
		if err != nil {
			return nil, unreadable(row.Seq, err)
		}
		c.Seq = ev.Target
		p.fixes[ev.Target] = fix{c, ev.Text}
	}
	for _, f := range p.fixes {
		p.explain(&f.ev, zone)
	}
	if rows, err = st.Explanations(s.start - 1); err != nil {
		return nil, err
	}
	for _, row := range rows {
		ev, err := read.Event(block.Time(row.At), row.Line)
		if err != nil {
			return nil, unreadable(row.Seq, err)
		}
		ev.Seq = row.Seq
		if _, corrected := p.fixes[row.Seq]; !corrected {
			p.explain(&ev, zone)
		}
	}
	return p, nil
}

func unreadable(seq int64, err error) error {
	return fmt.Errorf("entry %d cannot be read by this version: %w; run fairhand verify", seq, err)
}

// entries works in three steps at once: this goroutine replays, one decodes and
// one reads and proves.
func (r *registered) entries(ctx context.Context, s span, known *pointers, fn func([]entry) error) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	rows, batches := make(chan []store.Row, 8), make(chan []entry, 4)
	used := make(chan []store.Row, 12) // rows that are decoded, to be filled again
	w := newWindow(r, s, known, func(b []entry) error {
		select {
		case batches <- b:
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	})
	var readErr, decodeErr, err error
	var wg sync.WaitGroup
	wg.Go(func() {
		defer close(rows)
		readErr = r.read(ctx, s, rows, used)
	})
	wg.Go(func() {
		defer close(batches)
		if decodeErr = r.decode(w, rows, used); decodeErr != nil {
			cancel()
		}
	})
	for b := range batches {
		if err != nil {
			continue
		}
		if err = fn(b); err != nil {
			cancel()
		}
		w.release(b)
	}
	wg.Wait()
	for _, e := range []error{err, decodeErr, readErr} {
		if e != nil {
			return e
		}
	}
	return nil
}

func (r *registered) proof(s span, last int64) (proof, error) {
	rows, err := r.book.Store().Range(last, last)
	if err != nil || len(rows) == 0 {
		return proof{}, err
	}
	return proof{entries: last - s.start + 1, last: last, head: rows[0].Hash.String()}, nil
}

// read proves the entries and hands them on.
func (r *registered) read(ctx context.Context, s span, out chan<- []store.Row, used <-chan []store.Row) error {
	room := func() []store.Row {
		select {
		case list := <-used:
			return list
		default:
			return nil
		}
	}
	return r.book.Store().EachProved(s.start, s.end, room, func(rows []store.Row) error {
		select {
		case out <- rows:
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	})
}

// decode reads the lines of the entries.
func (r *registered) decode(w *window, rows <-chan []store.Row, used chan<- []store.Row) error {
	read := notation.NewStored(r.book.Location())
	for list := range rows {
		batch := w.batch(len(list))
		for i := range list {
			row, e := &list[i], &batch[i]
			ev, err := read.Event(block.Time(row.At), row.Line)
			if err != nil {
				return unreadable(row.Seq, err)
			}
			ev.Seq = row.Seq
			*e = entry{ev: ev, at: ev.At, written: block.Time(row.Recorded), day: row.Day, line: row.Line}
		}
		if err := w.take(batch); err != nil {
			return err
		}
		select {
		case used <- list:
		default:
		}
	}
	return w.flush()
}

// lineOf is an entry as first written, for those no longer held; empty when there
// is none.
func (r *registered) lineOf(seq int64) (string, error) {
	rows, err := r.book.Store().Range(seq, seq)
	if err != nil || len(rows) == 0 {
		return "", err
	}
	return rows[0].Line, nil
}
