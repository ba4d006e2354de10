package audit

import (
	"fmt"
	"slices"

	"fairhand/block"
	"fairhand/register/notation"
)

// windowBatches is how many batches of entries (a thousand each) are held back,
// so that what points to one of them reaches it in time: weeks of a busy box, in
// some ten megabytes.
const windowBatches = 16

// window holds the entries that a correction or an explanation may still reach.
type window struct {
	src   *registered
	sub   subject
	span  span
	known *pointers
	queue [][]entry
	free  chan []entry
	emit  func([]entry) error
}

func newWindow(src *registered, s span, known *pointers, emit func([]entry) error) *window {
	return &window{src: src, sub: src.about(), span: s, known: known, emit: emit, free: make(chan []entry, windowBatches+8)}
}

// batch gives room for n entries, used again after release.
func (w *window) batch(n int) []entry {
	select {
	case b := <-w.free:
		return slices.Grow(b[:0], n)[:n]
	default:
		return make([]entry, n)
	}
}

func (w *window) release(b []entry) {
	select {
	case w.free <- b:
	default:
	}
}

// take holds a batch and lets the oldest go when there are too many.
func (w *window) take(batch []entry) error {
	w.queue = append(w.queue, batch)
	for i := range batch {
		e := &batch[i]
		if w.known != nil {
			w.apply(e)
		}
		if e.ev.Kind == block.Correct || e.ev.Kind == block.Explain {
			if err := w.point(e); err != nil {
				return err
			}
		}
	}
	if len(w.queue) <= windowBatches {
		return nil
	}
	oldest := w.queue[0]
	w.queue = slices.Delete(w.queue, 0, 1)
	return w.emit(oldest)
}

// flush lets all go.
func (w *window) flush() error {
	for _, b := range w.queue {
		if err := w.emit(b); err != nil {
			return err
		}
	}
	w.queue = nil
	return nil
}

// apply does to an entry what is known to be written later.
func (w *window) apply(e *entry) {
	if f, ok := w.known.fixes[e.ev.Seq]; ok {
		e.ev, e.line = f.ev, f.line
	}
	e.remarks = w.known.remarks[e.ev.Seq]
}

// find gives an entry that is held; nil when it is not.
func (w *window) find(seq int64) *entry {
	for _, b := range w.queue {
		if i := seq - b[0].ev.Seq; i >= 0 && i < int64(len(b)) {
			return &b[i]
		}
	}
	return nil
}

// point takes a correction or an explanation to the entry it is about.
func (w *window) point(e *entry) error {
	if e.ev.Target >= e.ev.Seq {
		return nil // of nothing that was there to read
	}
	t := w.find(e.ev.Target)
	if t == nil && w.known == nil && e.ev.Target >= w.span.start {
		return errFar
	}
	if e.ev.Kind == block.Explain {
		if w.known == nil {
			w.explain(&e.ev)
		}
		return nil
	}
	if t == nil || w.known != nil {
		line, err := w.src.lineOf(e.ev.Target)
		if err != nil {
			return fmt.Errorf("entry %d, which entry %d corrects: %w", e.ev.Target, e.ev.Seq, err)
		}
		e.old = line
		return nil
	}
	return w.correct(e, t)
}

func (w *window) explain(ev *block.Event) {
	if t := w.find(ev.Target); t != nil {
		t.remarks = append(t.remarks, remark(ev, w.sub.zone))
	}
}

// correct puts what stands instead in place of an entry that is held.
func (w *window) correct(e, t *entry) error {
	c, err := notation.ParseCorrection(w.sub.zone, t.at, e.ev.Text)
	if err != nil {
		return unreadable(e.ev.Seq, err)
	}
	c.Seq = t.ev.Seq
	if t.ev.Kind == block.Explain { // it explains something else now, or in other words
		if about := w.find(t.ev.Target); about != nil {
			about.remarks = slices.DeleteFunc(about.remarks, func(r Remark) bool { return r.Entry == c.Seq })
		}
	}
	e.old, t.line, t.ev = t.line, e.ev.Text, c
	if c.Kind == block.Explain {
		w.explain(&t.ev)
	}
	return nil
}
