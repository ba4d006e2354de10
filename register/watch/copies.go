package watch

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// Stamps of alarms about copies: the last could not be made; one has entries that the
// register does not have; one is no register that can be read; one is not whole.
const (
	NoCopy      = "NO COPY MADE"
	CopyMisfit  = "A COPY HAS OTHER ENTRIES"
	CopyUnread  = "A COPY CANNOT BE READ"
	CopyDamaged = "A COPY IS DAMAGED"
)

// Copies says where copies of a register go: a second place, best another medium.
type Copies struct {
	Dir string // it must exist: a stick that is not there is not to be made a folder

	// Page writes the page of a day to a file, the carbon copy that lies beside; nil
	// for none. An existing file is refused.
	Page func(path string, d *register.Day) error

	// Behind: copies are made behind a desk, which proves the older ones one at a time.
	Behind bool

	mu     sync.Mutex
	looked map[string]looked // copies that were proved, by their paths
}

// Copied is a copy that was made.
type Copied struct {
	Path    string
	Page    string // beside it, empty for none
	Removed int    // older copies that were removed by the rule of store.Superfluous
	Misfit  []sheet.Alarm
	store.Report
}

const copyName = "20060102-150405.db"

// copiedAt is when a copy of a box was made, by the name of its file; is says whether it
// has such a name. A folder on another system may give names back in one case.
func copiedAt(name, prefix string, loc *time.Location) (at time.Time, is bool) {
	if n := len(prefix); len(name) < n || !strings.EqualFold(name[:n], prefix) {
		return at, false
	}
	at, err := time.ParseInLocation(copyName, strings.ToLower(name[len(prefix):]), loc) // without the prefix, in which "24" would be a day
	return at, err == nil
}

// Make copies a register, proves the copy, puts the page of its last day beside it,
// and removes copies that the rule does not keep. Nothing appears under its name
// before it is whole. Entries may be written meanwhile; ctx stops it. Where the place
// is missing or full the error says so, and nothing is left behind.
func (c *Copies) Make(ctx context.Context, book *register.Reader, now time.Time, progress func(done, total int64)) (Copied, error) {
	var out Copied
	if info, err := os.Stat(c.Dir); err != nil || !info.IsDir() {
		return out, fmt.Errorf("the place for copies, %s, is not there: is the stick in? %w", c.Dir, orIsFile(err))
	}
	prefix := prefixOf(book.Box().Name)
	out.Path = filepath.Join(c.Dir, prefix+now.In(book.Location()).Format(copyName))
	var err error
	compared := c.Compare(ctx, book.Store(), !c.Behind)
	out.Misfit = compared.Alarms
	if out.Report, err = book.Store().Backup(ctx, out.Path, progress); err != nil {
		return out, err
	}
	if info, err := os.Stat(out.Path); err == nil { // it was proved when it was made
		c.proved(out.Path, info, "")
		compared.whole[filepath.Base(out.Path)] = true
	}
	if err := c.page(ctx, book, &out); err != nil {
		return out, fmt.Errorf("the copy is made, its page is not: %w", err)
	}
	out.Removed, err = c.rotate(prefix, book.Location(), now, compared.whole)
	return out, err
}

func orIsFile(err error) error {
	if err == nil {
		return errors.New("it is a file")
	}
	return err
}

// prefixOf begins the names of the copies of a box, so that those of several can lie
// in one folder.
func prefixOf(box string) string {
	name := strings.Map(func(r rune) rune {
		if strings.ContainsRune(`/\:*?"<>|. `, r) || r < ' ' {
			return '-'
		}
		return r
	}, box)
	return "register-" + name + "-"
}

// pageOf is where the page of the last day of a copy lies.
func pageOf(path string) string { return strings.TrimSuffix(path, register.VolumeEnding) + ".pdf" }

// page puts the page of the last day beside a copy.
func (c *Copies) page(ctx context.Context, book *register.Reader, made *Copied) error {
	if c.Page == nil || made.LastDay == 0 {
		return nil
	}
	d, err := book.LoadDay(ctx, made.LastDay)
	if err != nil {
		return err
	}
	made.Page = pageOf(made.Path)
	return c.Page(made.Page, d)
}

// rotate removes the copies that need not be kept, each with its page. Files of other
// names are not touched, nor are copies about which there is an alarm, or that were not
// proved: none of them is kept in the place of one that is whole.
func (c *Copies) rotate(prefix string, loc *time.Location, now time.Time, whole map[string]bool) (int, error) {
	files, err := os.ReadDir(c.Dir)
	if err != nil {
		return 0, fmt.Errorf("looking for older copies: %w", err)
	}
	names := map[time.Time]string{}
	for _, f := range files {
		if info, err := f.Info(); err == nil && isPart(f.Name(), prefix) && now.Sub(info.ModTime()) > 24*time.Hour {
			_ = os.Remove(filepath.Join(c.Dir, f.Name())) // of a copy that was killed
		}
		if at, is := copiedAt(f.Name(), prefix, loc); is && whole[f.Name()] {
			names[at] = f.Name()
		}
	}
	var made []time.Time
	for at := range names {
		made = append(made, at)
	}
	slices.SortFunc(made, time.Time.Compare)
	gone := store.Superfluous(made, now.In(loc))
	for _, at := range gone {
		name := filepath.Join(c.Dir, names[at])
		if err := os.Remove(name); err != nil {
			return 0, fmt.Errorf("removing an older copy: %w", err)
		}
		if err := os.Remove(pageOf(name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return 0, fmt.Errorf("removing the page of an older copy: %w", err)
		}
	}
	return len(gone), nil
}

// isPart says whether a file is a copy of this box in the making.
func isPart(name, prefix string) bool {
	return strings.HasPrefix(name, prefix) && strings.HasSuffix(name, store.PartEnding)
}

// CopyTo lets Run make copies when Copy asks for one.
func (w *Watch) CopyTo(c *Copies) {
	c.Behind = true
	w.copies = c
}

// Copy asks for a copy, to be made behind whoever works in the register; no copies
// are made without CopyTo.
func (w *Watch) Copy() {
	select {
	case w.ask <- struct{}{}:
	default: // one is asked for already
	}
}

// How often Run looks whether the register is to be proved again, and how long it
// leaves it at that: what is changed together with an entry is not seen by the file.
const (
	doubtEvery = 10 * time.Second
	proveEvery = 10 * time.Minute
)

// Run proves the register, and again when its file was changed, and makes the copies
// that are asked for, until ctx ends. A copy that cannot be made is an alarm, and a
// fault to be told in the book.
func (w *Watch) Run(ctx context.Context) {
	if _ = w.Prove(ctx); ctx.Err() != nil { // what keeps it from being made is an alarm
		return
	}
	look := time.NewTicker(doubtEvery)
	defer look.Stop()
	for last := time.Now(); ; {
		select {
		case <-ctx.Done():
			return
		case <-look.C:
			if w.Doubted() || time.Since(last) >= proveEvery {
				_ = w.Prove(ctx) // one that cannot be read is an alarm by its next look
				last = time.Now()
			}
			w.proveCopy(ctx)
			continue
		case <-w.ask:
		}
		if w.copies == nil {
			continue
		}
		_, err := w.copies.Make(ctx, w.book, time.Now(), nil)
		if ctx.Err() != nil {
			return
		}
		w.copied(err)
	}
}

// copied keeps how the last copy went.
func (w *Watch) copied(err error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.noCopy = nil
	if err != nil {
		w.noCopy = &sheet.Alarm{Stamp: NoCopy, Text: err.Error()}
		w.untold = append(w.untold, "no copy of the register was made: "+err.Error())
	}
}

// Untold gives what is to be written into the book as a note, once: the faults of
// copies since it was asked last.
func (w *Watch) Untold(at block.Time) []block.Event {
	w.mu.Lock()
	defer w.mu.Unlock()
	var list []block.Event
	for _, text := range w.untold {
		list = append(list, block.Event{Kind: block.Note, At: at, Text: oneLine(text)})
	}
	w.untold = nil
	return list
}

// oneLine makes a text fit for an entry: without what breaks lines, and not too long.
func oneLine(s string) string {
	const most = 300
	r := []rune(strings.Map(func(r rune) rune {
		if r < ' ' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?")))
	return string(r[:min(len(r), most)])
}
