package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
	"fairhand/register/seal"
	"fairhand/register/store"
)

// heard is an entry of a neighbour's book that holds words about a register.
type heard struct {
	entry int64
	words string
}

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
	list, err := wordsAbout(box, st, file)
	if err != nil {
		return fmt.Errorf("the book of %s: %w", who, err)
	}
	var newest error
	for _, h := range slices.Backward(list) {
		told, err := seal.ParseWords(h.words)
		if err != nil {
			fmt.Fprintf(c.stderr, "fairhand: entry %d of %s is left out: %v\n", h.entry, who, err)
			continue
		}
		err = c.isOf(told)
		switch {
		case err == nil && newest == nil:
			fmt.Fprintf(c.out, "entry %d of %s: every entry up to %d proved, and as it was when the words were told\n", h.entry, who, told.Entry)
			return nil
		case err == nil:
			return fmt.Errorf("%w\n  up to entry %d it is as it was told before (entry %d of %s)", newest, told.Entry, h.entry, who)
		case newest == nil:
			newest = fmt.Errorf("entry %d of %s: %w", h.entry, who, err)
		}
	}
	if newest != nil {
		return newest
	}
	return withHint(fmt.Errorf("the book of %s has no words about %s that can be read", who, box),
		"he writes them by fairhand log 'seal %s \"...\"' as fairhand seal words gives them", word(box))
}

// wordsAbout finds the words about a box in a register, as they stand.
func wordsAbout(box string, st *store.Store, file *boxfile.File) ([]heard, error) {
	read := notation.NewStored(file.Location)
	corrections, err := st.Corrections(1)
	if err != nil {
		return nil, err
	}
	fixes := map[int64]string{}
	for _, row := range corrections {
		ev, err := read.Event(block.Time(row.At), row.Line)
		if err != nil {
			return nil, fmt.Errorf("entry %d: %w", row.Seq, err)
		}
		if ev.Kind == block.Correct {
			fixes[ev.Target] = ev.Text
		}
	}
	var out []heard
	err = eachProved(st, 1, st.Tail().Seq, func(rows []store.Row) error {
		for _, row := range rows {
			fix, corrected := fixes[row.Seq]
			if !corrected && !strings.Contains(row.Line, "seal ") {
				continue // there can be no words in it
			}
			ev, err := read.Event(block.Time(row.At), row.Line)
			if corrected && err == nil {
				ev, err = notation.ParseCorrection(file.Location, block.Time(row.At), fix)
			}
			if err != nil {
				return fmt.Errorf("entry %d: %w", row.Seq, err)
			}
			if ev.Kind == block.SealMark && strings.EqualFold(ev.Subject, box) {
				out = append(out, heard{row.Seq, ev.Text})
			}
		}
		return nil
	})
	return out, err
}
