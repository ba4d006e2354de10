package register

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/reading"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// alarmOf is what a page of a damaged register says across itself; lines before
// clear are not touched by it.
func alarmOf(d *store.DamagedError, last int64) sheet.Alarm {
	text := d.Error() + ". Entries from there on are printed as they stand and prove nothing"
	switch {
	case d.Entry == 0:
		text = d.Error() + ". Which entries there are is not proved"
	case last > 0 && last < d.Entry:
		text = fmt.Sprintf("%s. The entries of this page stand before that and are proved; a correction written later may be missing", d.Error())
	}
	return sheet.Alarm{Stamp: sheet.Damaged, Text: text + ": fairhand verify, then fairhand help salvage"}
}

// loadDamaged reads a day of a damaged register from whatever of it can be read,
// and says so on the day.
func (r *Reader) loadDamaged(ctx context.Context, day calendar.Day, d *store.DamagedError) (*Day, error) {
	var rows []store.Row
	for list := range r.st.EachReadable(1) {
		rows = append(rows, slices.DeleteFunc(list, func(r store.Row) bool { return r.Day != day })...)
	}
	if len(rows) == 0 {
		return nil, d
	}
	ty := r.tally(day, rows, 0, r.empty())
	ty.d.Alarms = []sheet.Alarm{alarmOf(d, ty.d.Last.Seq)}
	if err := r.replayDay(ctx, ty, reading.Span{Damaged: true}); err != nil {
		return nil, err
	}
	if ty.left > 0 { // lines of it cannot be read as notation
		ty.d.Ended = ty.run.State()
	}
	if !ty.begun {
		return nil, d
	}
	return ty.finish(), nil
}

// orDamaged gives an error of reading the book, or for damage makes the book's own state
// from whatever can be read of it, for a sheet that says so across itself.
func (b *Book) orDamaged(ctx context.Context, err error) error {
	if b.met(err) == nil {
		return err
	}
	now, _, err := b.replayed(ctx, reading.Span{To: b.st.Tail().Seq, Damaged: true}, b.empty(), nil, nil)
	if err == nil {
		b.present = now
	}
	return err
}

// restored is restore, or of a damaged register what can be read of it.
func (b *Book) restored() error { return b.orDamaged(context.Background(), b.restore()) }

// continuationMark begins the note from which on a damaged register is continued.
const continuationMark = "REGISTER DAMAGED"

// continued writes the note from which on what is written stands behind damage that
// was found, once: what follows proves itself, and what it rests on does not.
func (b *Book) continued() {
	b.proof.mu.Lock()
	d := b.proof.fault
	b.proof.mu.Unlock()
	if d == nil || d == b.marked {
		return
	}
	what := "the file"
	if d.Entry > 0 {
		what = fmt.Sprintf("entry %d", d.Entry)
	}
	text := fmt.Sprintf("%s at %s (%s); what follows is a continuation", continuationMark, what, d.Kind)
	b.marked = d
	for rows := range b.st.EachReadable(1) {
		for i := range rows {
			if strings.Contains(rows[i].Line, text) {
				return
			}
		}
	}
	if _, err := b.Log(block.Event{Kind: block.Note, At: b.Now(), Text: text}); err != nil {
		b.marked = nil // with the next entry
	}
}

// Alarm is the damage that Prove, or opening to look, has met: nil for none.
func (r *Reader) Alarm() *sheet.Alarm {
	r.proof.mu.Lock()
	defer r.proof.mu.Unlock()
	if r.proof.fault == nil {
		return nil
	}
	a := alarmOf(r.proof.fault, 0)
	return &a
}

// met keeps the damage in an error, and gives it; nil for an error of another kind.
func (r *Reader) met(err error) *store.DamagedError {
	d, is := errors.AsType[*store.DamagedError](err)
	if !is {
		return nil
	}
	r.proof.mu.Lock()
	defer r.proof.mu.Unlock()
	if r.proof.fault == nil {
		r.proof.fault = d
	}
	return d
}
