// Package watch looks after a register while it is worked in: that its file is in
// its place and has room, that every entry is proved, that the seals beside it fit.
// What it finds are standing alarms for the desk: an entry is written all the same.
package watch

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"
	"sync/atomic"
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
	Far  = "REGISTER ON A NETWORK FOLDER"

	// Unproved stands while the first proof is under way, or where it cannot be made.
	Unproved = "NOT YET PROVED"
)

// spaceEvery is how often it is asked how much room there is.
const spaceEvery = 30 * time.Second

// Watch is kept over one register. Its methods may be called from several goroutines.
type Watch struct {
	book *register.Reader
	dir  string

	proving atomic.Bool

	mu     sync.Mutex
	found  []sheet.Alarm // by Prove
	room   error
	roomAt time.Time
	proved bool
	was    written // the file, when it was looked at last
	doubt  bool    // it was changed since it was proved, and not by an entry

	copies  *Copies
	ask     chan struct{}
	noCopy  *sheet.Alarm // why the last copy could not be made
	noPlace bool         // it could not be made as its place was not there
	untold  []string     // faults that the book is not told of yet

	far []sheet.Alarm // that it lies on another computer

	// Beside, where set, gives the alarms of what else lies beside the register, with each
	// proof of it.
	Beside func(ctx context.Context) []sheet.Alarm
}

// written is by what it is known that something wrote into the file.
type written struct {
	at   time.Time
	size int64
	seq  int64 // the last entry then
}

// Over begins to watch a register. Of one that was proved already the seals are compared at
// once, so that nothing of a register made anew is shown without a word; nothing else is
// looked at yet.
func Over(book *register.Book) *Watch {
	w := &Watch{book: book.Reader, dir: book.Dir, ask: make(chan struct{}, 1), far: OnNetwork(book.Store().Network())}
	if book.Proved().Seq > 0 {
		w.found = Seals(book.Dir, book.Store())
	}
	return w
}

// OnNetwork is the alarm of a register in a folder that is reached by a network: what two
// computers write there at once one may lose although it was told that it is written.
func OnNetwork(network string) []sheet.Alarm {
	if network == "" {
		return nil
	}
	return []sheet.Alarm{{Stamp: Far, Text: fmt.Sprintf("its folder is reached by %s, and not every network keeps the locks by which two programs know of each other: let one computer alone write in it, or better keep it on a disk of this one, and let the option copies bring copies there", network)}}
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
	} else if w.proving.Load() && w.book.Proved().Seq == 0 && w.book.Store().Tail().Seq > 0 {
		list = append(list, sheet.Alarm{Stamp: Unproved, Text: "what is shown rests on the state kept in the file; the entries are being proved, and this stands until they are"})
	}
	list = append(append(list, w.book.StandsOn()...), w.far...)
	w.mu.Lock()
	defer w.mu.Unlock()
	w.suspect()
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

// suspect looks whether something wrote into the file that was no entry, under the
// lock: what was proved is then to be proved again.
func (w *Watch) suspect() {
	info, err := os.Stat(w.book.Store().Path())
	if err != nil {
		return // InPlace tells it
	}
	is := written{info.ModTime(), info.Size(), w.book.Store().Tail().Seq}
	w.doubt = w.doubt || w.was != written{} && is != w.was && is.seq == w.was.seq
	w.was = is
}

// Doubted says that the file was changed and not by an entry since it was proved last.
func (w *Watch) Doubted() bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.doubt
}

// Prove proves the register from its first entry and compares the seals beside it and the
// copies in their second place,
// in the background of whoever works in it; once more when it is called again. The
// error is that of ctx, or what kept it from being done; damage is none: it is an
// alarm from then on.
func (w *Watch) Prove(ctx context.Context) error {
	w.mu.Lock()
	structure := !w.proved || w.doubt // it keeps an entry waiting in a long book, so not each time
	w.doubt = false
	prove := w.book.Prove
	if w.proved {
		prove = w.book.ProveAgain
	}
	w.mu.Unlock()
	w.proving.Store(true)
	err := prove(ctx)
	if err == nil && structure {
		err = w.book.ProveStructure()
	}
	w.proving.Store(false)
	if errors.Is(err, store.ErrDamaged) {
		err = nil
	}
	if err != nil {
		if ctx.Err() == nil {
			w.mu.Lock()
			defer w.mu.Unlock()
			w.found = []sheet.Alarm{{Stamp: Unproved, Text: "the entries cannot all be proved and read, and what is shown rests on the state kept in the file: " + err.Error()}}
		}
		return err
	}
	list := Seals(w.dir, w.book.Store())
	if w.copies != nil {
		list = append(list, w.copies.Compare(ctx, w.book.Store(), false).Alarms...)
	}
	if w.Beside != nil {
		list = append(list, w.Beside(ctx)...)
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	w.found, w.proved = list, true
	return nil
}

// proveCopy proves one more of the copies: one at a time, so that no new one waits for long
// and the desk has the computer in between.
func (w *Watch) proveCopy(ctx context.Context) {
	if w.copies == nil || ctx.Err() != nil {
		return
	}
	if a := w.copies.proveNext(w.book.Store()); a != nil {
		w.mu.Lock()
		defer w.mu.Unlock()
		w.found = append(w.found, *a)
	}
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
	if _, err := seal.CheckBeside(dir, st); err != nil {
		for line := range strings.Lines(err.Error()) {
			list = append(list, sheet.Alarm{Stamp: sheet.SealMisfit, Text: strings.TrimSuffix(line, "\n")})
		}
	}
	return list
}
