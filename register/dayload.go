package register

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// ErrNoEntries is returned for a day on which nothing was written.
var ErrNoEntries = errors.New("the register has no entries")

// LoadDay reads one register day (yyyymmdd) with everything that is known by
// now, corrections of later days included. It replays from the newest snapshot
// before the day, reads in short pieces and changes nothing in the book, so
// another goroutine may work in the book meanwhile. For a day without entries
// errors.Is(err, ErrNoEntries) holds.
func (b *Book) LoadDay(day int32) (*Day, error) {
	rows, err := b.st.Day(day)
	if err != nil {
		return nil, err
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("%w on %s; fairhand audit lists the days it has", ErrNoEntries, DateText(day))
	}
	// A reader of its own: the book's is for the book's goroutine.
	view := &Book{file: b.file, st: b.st, shots: b.shots, read: notation.NewStored(b.file.Location)}
	from, state, err := view.startBefore(rows[0].Seq)
	if err != nil {
		return nil, err
	}
	fixes, err := readCorrections(view.st, view.read, from.Seq)
	if err != nil {
		return nil, err
	}
	last := rows[len(rows)-1]
	ty := newTally(b.file.Box, b.file.Location, day, state)
	ty.d.Last = store.Tail{Seq: last.Seq, Hash: last.Hash}
	ty.d.Head = b.st.Tail()
	if err := view.replayDay(ty, from.Seq, last.Seq, fixes); err != nil {
		return nil, err
	}
	if err := view.later(ty, fixes); err != nil {
		return nil, err
	}
	if err := view.explainedLater(ty, last.Seq); err != nil {
		return nil, err
	}
	return ty.finish(), nil
}

// explainedLater hangs explanations written on later days on the entries of
// this one.
func (b *Book) explainedLater(ty *tally, last int64) error {
	rows, err := b.st.Corrections(last)
	if err != nil {
		return err
	}
	for _, row := range rows {
		e, err := b.entry(row, nil)
		if err != nil {
			return err
		}
		if e.Event.Kind != block.Explain {
			continue
		}
		if i, ok := ty.index[e.Event.Target]; ok && !slices.Contains(ty.d.Entries[i].Explained, e.Seq) {
			ty.d.Entries[i].Explained = append(ty.d.Entries[i].Explained, e.Seq)
			ty.d.Later = append(ty.d.Later, e)
		}
	}
	return nil
}

// replayDay takes the entries after a number through the tally, and goes on
// beyond the last of the day for as long as something of that day may still be
// found undone, at most to the end of the next day.
func (b *Book) replayDay(ty *tally, after, last int64, fixes map[int64]fix) error {
	end := block.Time(dayTime(ty.d.Date, ty.d.Zone).AddDate(0, 0, 2).Unix())
	done := errors.New("done")
	err := b.st.Each(after+1, func(rows []store.Row) error {
		for _, row := range rows {
			if row.Seq > last && (block.Time(row.At) >= end || !ty.waiting()) {
				return done
			}
			e, err := b.entry(row, fixes)
			if err != nil {
				return err
			}
			ty.give(e, last)
		}
		return nil
	})
	if errors.Is(err, done) {
		return nil
	}
	return err
}

// later reads the entries of later days that correct entries of this one and
// were not reached by the replay.
func (b *Book) later(ty *tally, fixes map[int64]fix) error {
	for _, by := range ty.awaited() {
		rows, err := b.st.Range(by, by)
		if err != nil {
			return err
		}
		for _, row := range rows {
			e, err := b.entry(row, fixes)
			if err != nil {
				return err
			}
			ty.corrector(e)
		}
	}
	return nil
}

// DayFromBook builds one day of a book in notation, without a register; day 0 is
// the last day of the book. Entries are numbered from 1 in the order of the
// book, and what its end leaves undone is found as Check finds it. Errors of
// form are notation.Errors; nothing of the book is used then.
func DayFromBook(box *block.Box, loc *time.Location, src io.Reader, day int32) (*Day, error) {
	events, err := notation.ParseAll(src, loc)
	if err != nil {
		return nil, err
	}
	fixes := map[int64]fix{}
	for i := range events {
		events[i].Seq = int64(i + 1)
	}
	if day == 0 && len(events) > 0 {
		day = dayOf(events[len(events)-1].At, loc)
	}
	for _, ev := range events {
		if ev.Kind != block.Correct {
			continue
		}
		if ev.Target >= ev.Seq {
			return nil, fmt.Errorf("entry %d of the book: there is no entry %d before it to correct", ev.Seq, ev.Target)
		}
		fixes[ev.Target] = fix{ev.Seq, ev.Text}
	}
	ty := newTally(box, loc, day, block.NewState(box))
	last := int64(0)
	for _, ev := range events {
		if dayOf(ev.At, loc) == day {
			last = ev.Seq
		}
	}
	if last == 0 {
		return nil, fmt.Errorf("the book: %w on %s", ErrNoEntries, DateText(day))
	}
	ty.d.Last.Seq, ty.d.Head.Seq = last, int64(len(events))
	for _, ev := range events {
		e, err := ty.entry(ev, fixes)
		if err != nil {
			return nil, err
		}
		ty.give(e, last)
	}
	ty.undone(ty.run.Finish())
	return ty.finish(), nil
}

// entry makes an entry of one event of a book in notation.
func (ty *tally) entry(ev block.Event, fixes map[int64]fix) (Entry, error) {
	e := Entry{Event: ev, Written: ev}
	e.Row = store.Row{Seq: ev.Seq, At: int64(ev.At), Recorded: int64(writtenAt(ev)), Day: dayOf(ev.At, ty.d.Zone),
		Writer: writerOf(ty.run.Look()), Line: notation.Format(ev, ty.d.Zone)}
	if f, ok := fixes[ev.Seq]; ok {
		c, err := notation.ParseCorrection(ty.d.Zone, ev.At, f.text)
		if err != nil {
			return e, fmt.Errorf("entry %d of the book, which corrects entry %d: %w", f.by, ev.Seq, err)
		}
		c.Seq = ev.Seq
		e.Event, e.CorrectedBy = c, f.by
	}
	return e, nil
}
