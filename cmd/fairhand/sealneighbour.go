package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/export"
	"fairhand/register"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
	"fairhand/register/reading"
	"fairhand/register/seal"
	"fairhand/register/store"
	"fairhand/register/watch"
)

// checkNeighbour compares the register with what the book of a neighbour says
// of it. The newest words stand for all entries before them, since the chain up
// to there is proved as well; older ones are looked at only when they differ.
func (c *chain) checkNeighbour(dir string) error {
	file, err := boxfile.Load(filepath.Join(dir, register.BoxFileName))
	if err != nil {
		return boxMissing(err, dir)
	}
	st, err := store.OpenReadOnly(filepath.Join(dir, register.RegisterName))
	if err != nil {
		return err
	}
	defer st.Close()
	box, who := c.Meta().Box, file.Box.Name
	if alarms := watch.Seals(dir, st); len(alarms) > 0 { // his words may have been made to fit
		return withHint(&export.AlarmError{Alarms: alarms}, "what the book of %s says of %s proves nothing before that is settled: compare with what he has on paper", who, box)
	}
	list, err := wordsAbout(c.ctx, box, st, file.Location)
	if err != nil {
		return fmt.Errorf("the book of %s: %w", who, err)
	}
	var newest error
	for _, h := range slices.Backward(list) {
		told, err := seal.ParseWords(h.Text)
		if err != nil {
			fmt.Fprintf(c.stderr, "fairhand: entry %d of %s is left out: %v\n", h.Seq, who, err)
			continue
		}
		err = c.isOf(told)
		switch {
		case err == nil && newest == nil:
			return c.tell(sealJSON{Box: box, Last: told.Entry, Words: h.Text, Heard: h.Seq, Proved: told.Entry},
				"entry %d of %s: every entry up to %d proved, and as it was when the words were told\n", h.Seq, who, told.Entry)
		case err == nil:
			return fmt.Errorf("%w\n  up to entry %d it is as it was told before (entry %d of %s)", newest, told.Entry, h.Seq, who)
		case newest == nil:
			newest = fmt.Errorf("entry %d of %s: %w", h.Seq, who, err)
		}
	}
	if newest != nil {
		return newest
	}
	return withHint(fmt.Errorf("the book of %s has no words about %s that can be read", who, box),
		"he writes them by fairhand log 'seal %s \"...\"' as fairhand seal words gives them", notation.Word(box))
}

// wordsAbout are the entries of a register that have words about a box, as they stand; every
// entry is proved.
func wordsAbout(ctx context.Context, box string, st *store.Store, loc *time.Location) (out []block.Event, _ error) {
	for e, err := range reading.Of(st, loc).Entries(ctx, reading.Span{To: st.Tail().Seq, Proved: true}) {
		if err != nil {
			return nil, err
		}
		if e.Event.Kind == block.SealMark && strings.EqualFold(e.Event.Subject, box) {
			out = append(out, e.Event)
		}
	}
	return out, nil
}
