// Package watch looks after a register while it is worked in: that its file is in
// its place and has room, that every entry is proved, that the seals beside it fit.
// What it finds are standing alarms for the desk: an entry is written all the same.
package watch

import (
	"context"
	"errors"
	"strings"
	"sync"
	"time"

	"fairhand/register"
	"fairhand/register/seal"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// Stamps of alarms that concern the file and not what stands in it.
const (
	Lost = "REGISTER NOT IN ITS PLACE"
	Full = "DISK NEARLY FULL"
)

// spaceEvery is how often it is asked how much room there is.
const spaceEvery = 30 * time.Second

// Watch is kept over one register. Its methods may be called from several goroutines.
type Watch struct {
	book *register.Reader
	dir  string

	mu     sync.Mutex
	found  []sheet.Alarm // by Prove
	room   error
	roomAt time.Time
	proved bool

	copies *Copies
	ask    chan struct{}
	noCopy *sheet.Alarm // why the last copy could not be made
	untold []string     // faults that the book is not told of yet
}

// Over begins to watch a register; nothing is looked at yet.
func Over(book *register.Book) *Watch {
	return &Watch{book: book.Reader, dir: book.Dir, ask: make(chan struct{}, 1)}
}

// Look gives the alarms that stand at a moment. It costs a system call or two, so
// that a desk can ask every second: a stick that was pulled out shows then, and not
// at the next entry.
func (w *Watch) Look(now time.Time) []sheet.Alarm {
	var list []sheet.Alarm
	if err := w.book.Store().InPlace(); err != nil {
		list = append(list, sheet.Alarm{Stamp: Lost, Text: "nothing that is written now can be kept; " + err.Error()})
	}
	if a := w.book.Alarm(); a != nil {
		list = append(list, *a)
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if now.Sub(w.roomAt) >= spaceEvery || now.Before(w.roomAt) {
		w.room, w.roomAt = w.book.Store().Space(), now
	}
	if errors.Is(w.room, store.ErrFull) {
		list = append(list, sheet.Alarm{Stamp: Full, Text: w.room.Error()})
	}
	if w.noCopy != nil {
		list = append(list, *w.noCopy)
	}
	return append(list, w.found...)
}

// Prove proves the register from its first entry and compares the seals beside it,
// in the background of whoever works in it. The error is that of ctx, or what kept
// it from being done; damage is none: it is an alarm from then on.
func (w *Watch) Prove(ctx context.Context) error {
	err := w.book.Prove(ctx)
	if errors.Is(err, store.ErrDamaged) {
		err = nil
	}
	if err != nil {
		return err
	}
	list := Seals(w.dir, w.book.Store())
	w.mu.Lock()
	defer w.mu.Unlock()
	w.found, w.proved = list, true
	return nil
}

// Proved says whether the proof has come to its end.
func (w *Watch) Proved() bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.proved
}

// Seals compares a register with the seals of a directory: an alarm for each that
// does not fit, or cannot be read.
func Seals(dir string, st *store.Store) []sheet.Alarm {
	var list []sheet.Alarm
	if _, err := seal.CheckBeside(dir, st.Meta(), st.Tail().Seq, st.HashAt); err != nil {
		for line := range strings.Lines(err.Error()) {
			list = append(list, sheet.Alarm{Stamp: sheet.SealMisfit, Text: strings.TrimSuffix(line, "\n")})
		}
	}
	return list
}
