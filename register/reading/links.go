package reading

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/register/notation"
)

// Correction is what an entry puts instead of an earlier one.
type Correction struct {
	By     int64       // the entry that makes it
	Target int64       // the entry that stands corrected
	Text   string      // the line that stands instead
	Event  block.Event // the same, once its target has been read
	Was    string      // the line that it took the place of, once its target has been read

	// Of one that corrects a correction: the correction that is made instead, nil
	// when none is.
	Instead *Correction

	void bool // it was itself corrected
}

// stand reads the line for a target of the moment at.
func (c *Correction) stand(loc *time.Location, at block.Time) error {
	ev, err := notation.ParseCorrection(loc, at, c.Text)
	if err != nil {
		return err
	}
	ev.Seq = c.Target
	c.Event = ev
	return nil
}

// links are the entries of a book that are about earlier ones. They belong to one
// reading.
type links struct {
	loc     *time.Location
	by      map[int64]*Correction   // by the entry that makes it
	of      map[int64][]*Correction // by the entry that stands corrected, in order of writing
	remarks map[int64][]Remark      // by the entry explained, in order of writing
}

func newLinks(loc *time.Location) *links {
	return &links{loc, map[int64]*Correction{}, map[int64][]*Correction{}, map[int64][]Remark{}}
}

// correct takes an entry that corrects another, each after those before it.
func (l *links) correct(ev *block.Event) {
	c := &Correction{By: ev.Seq, Target: ev.Target, Text: ev.Text}
	l.by[c.By] = c
	earlier := l.of[c.Target]
	l.of[c.Target] = append(earlier, c)
	old := l.by[c.Target]
	if old == nil {
		return
	}
	// A correction is corrected: its own target stands as this one says.
	old.void = true
	for _, e := range earlier {
		if e.Instead != nil {
			e.Instead.void = true
		}
	}
	in, err := notation.ParseCorrection(l.loc, ev.At, c.Text)
	if was, e := notation.ParseCorrection(l.loc, ev.At, old.Text); err == nil && e == nil && in.Kind == was.Kind && in.Kind != block.Correct && in.Kind != block.Note {
		// The line is meant to stand where the first correction put one.
		in = block.Event{Kind: block.Correct, Target: old.Target, Text: c.Text}
		c.Text = notation.FormatBody(in)
	}
	if err == nil && in.Kind == block.Correct && in.Target < c.Target {
		c.Instead = &Correction{By: ev.Seq, Target: in.Target, Text: in.Text}
		l.of[in.Target] = append(l.of[in.Target], c.Instead)
	}
}

// explain takes an entry that explains another, as it stands.
func (l *links) explain(ev *block.Event) {
	if ev.Kind != block.Explain || ev.Target >= ev.Seq {
		return
	}
	l.remarks[ev.Target] = append(l.remarks[ev.Target], Remark{ev.Seq, ev.At, ev.Text})
	slices.SortFunc(l.remarks[ev.Target], func(a, b Remark) int { return cmp.Compare(a.Seq, b.Seq) })
}

// apply makes an entry, whose Event is as first written, stand as it does now.
func (l *links) apply(e *Entry) error {
	e.first, e.CorrectedBy, e.Mark = nil, 0, nil
	e.Corrects, e.Remarks, e.Before = l.by[e.Seq], l.remarks[e.Seq], nil
	list := l.of[e.Seq]
	if len(list) == 0 {
		return nil
	}
	first, was := e.Event, e.Line
	e.first = &first
	if was == "" {
		was = notation.Format(first, l.loc)
	}
	for _, c := range list {
		if err := c.stand(l.loc, first.At); err != nil {
			return fmt.Errorf("the line that entry %d puts instead of it: %w", c.By, err)
		}
		c.Was = was
		if !c.void {
			e.Before = append(e.Before, Version{e.Event, c.By})
			was = c.Text
			e.Event, e.CorrectedBy, e.Corrects = c.Event, c.By, c.Instead
		}
	}
	return nil
}

// last is the correction that stands of an entry; nil for none.
func (l *links) last(seq int64) *Correction {
	for _, c := range slices.Backward(l.of[seq]) {
		if !c.void {
			return c
		}
	}
	return nil
}
