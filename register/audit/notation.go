package audit

import (
	"context"
	"errors"
	"fmt"
	"io"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
)

// Notation is a book in notation, with the box file of its box. Its entries are
// numbered from 1 in the order of the book. It is read several times; a line
// with an error is reported before anything else, as notation.Errors.
func Notation(file *boxfile.File, src io.ReadSeeker) Source {
	return &written{sub: subject{file.Box, file.Location}, src: src}
}

type written struct {
	sub   subject
	src   io.ReadSeeker
	known *pointers
}

func (b *written) about() subject { return b.sub }

// each reads the book from its beginning.
func (b *written) each(fn func(n int64, ev block.Event, err error) error) error {
	if _, err := b.src.Seek(0, io.SeekStart); err != nil {
		return fmt.Errorf("going to the beginning of the book: %w", err)
	}
	r := notation.NewReader(b.src, b.sub.zone)
	for n := int64(1); ; n++ {
		ev, err := r.Next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		ev.Seq = n
		if err := fn(n, ev, err); err != nil {
			return err
		}
	}
}

// span reads the whole book for its errors, its corrections and explanations,
// and for where the days asked for begin and end.
func (b *written) span(from, to int32) (span, error) {
	s := span{start: 1, state: block.NewState(b.sub.box)}
	var faults notation.Errors
	corrections, explanations := map[int64]string{}, []block.Event(nil)
	err := b.each(func(n int64, ev block.Event, err error) error {
		var fault *notation.Error
		if errors.As(err, &fault) {
			if faults = append(faults, fault); len(faults) >= notation.MaxErrors {
				return faults
			}
			return nil
		}
		if err != nil {
			return err
		}
		s.end = n
		if day := dayOf(ev.At, b.sub.zone); (from == 0 || day >= from) && (to == 0 || day <= to) {
			s.last = n
			if s.first == 0 {
				s.first = n
			}
		}
		switch {
		case ev.Kind == block.Explain:
			explanations = append(explanations, ev)
		case ev.Kind == block.Correct && ev.Target >= n:
			return fmt.Errorf("entry %d of the book: there is no entry %d before it to correct", n, ev.Target)
		case ev.Kind == block.Correct:
			corrections[ev.Target] = ev.Text
		}
		return nil
	})
	if len(faults) > 0 {
		return s, faults
	}
	if err != nil {
		return s, err
	}
	return s, b.survey(corrections, explanations)
}

// survey makes the pointers: the corrected entries are read once more, because
// what stands instead takes its date from the entry.
func (b *written) survey(corrections map[int64]string, explanations []block.Event) error {
	p := &pointers{map[int64]fix{}, map[int64][]Remark{}}
	b.known = p
	for i := range explanations {
		if _, corrected := corrections[explanations[i].Seq]; !corrected {
			p.explain(&explanations[i], b.sub.zone)
		}
	}
	if len(corrections) == 0 {
		return nil
	}
	return b.each(func(n int64, ev block.Event, err error) error {
		text, ok := corrections[n]
		if err != nil || !ok {
			return err
		}
		c, err := notation.ParseCorrection(b.sub.zone, ev.At, text)
		if err != nil {
			return fmt.Errorf("the line that corrects entry %d: %w", n, err)
		}
		c.Seq = n
		p.fixes[n] = fix{c, text}
		p.explain(&c, b.sub.zone)
		return nil
	})
}

func (b *written) pointers(span) (*pointers, error) { return b.known, nil }

// bookBatch is how many entries of a book are handed over at a time.
const bookBatch = 1000

func (b *written) entries(ctx context.Context, _ span, _ *pointers, fn func([]entry) error) error {
	batch := make([]entry, 0, bookBatch)
	stood := map[int64]string{} // corrected entries as they stand so far
	err := b.each(func(n int64, ev block.Event, err error) error {
		if err != nil {
			return err
		}
		e := entry{ev: ev, at: ev.At, written: ev.At, day: dayOf(ev.At, b.sub.zone), remarks: b.known.remarks[n]}
		if f, ok := b.known.fixes[n]; ok {
			stood[n] = notation.Format(ev, b.sub.zone)
			e.ev, e.line = f.ev, f.line
		}
		if ev.Kind == block.Correct {
			e.old, stood[ev.Target] = stood[ev.Target], ev.Text
		}
		if batch = append(batch, e); len(batch) < bookBatch {
			return nil
		}
		err = fn(batch)
		batch = batch[:0]
		if err == nil {
			err = ctx.Err()
		}
		return err
	})
	if err == nil && len(batch) > 0 {
		err = fn(batch)
	}
	return err
}

func (b *written) proof(span, int64) (proof, error) { return proof{}, nil }
