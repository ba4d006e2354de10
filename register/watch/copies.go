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
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// Stamps of alarms about copies: the last could not be made; one has entries that the
// register does not have.
const (
	NoCopy     = "NO COPY MADE"
	CopyMisfit = "A COPY HAS OTHER ENTRIES"
)

// Copies says where copies of a register go: a second place, best another medium.
type Copies struct {
	Dir string // it must exist: a stick that is not there is not to be made a folder

	// Page writes the page of a day to a file, the carbon copy that lies beside; nil
	// for none. An existing file is refused.
	Page func(path string, d *register.Day) error
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
	var other map[string]bool
	other, out.Misfit = c.misfits(book.Store())
	if out.Report, err = book.Store().Backup(ctx, out.Path, progress); err != nil {
		return out, err
	}
	if err := c.page(ctx, book, &out); err != nil {
		return out, fmt.Errorf("the copy is made, its page is not: %w", err)
	}
	out.Removed, err = c.rotate(prefix, book.Location(), now, other)
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

// page puts the page of the last day beside a copy.
func (c *Copies) page(ctx context.Context, book *register.Reader, made *Copied) error {
	if c.Page == nil || made.LastDay == 0 {
		return nil
	}
	d, err := book.LoadDay(ctx, made.LastDay)
	if err != nil {
		return err
	}
	made.Page = strings.TrimSuffix(made.Path, ".db") + ".pdf"
	return c.Page(made.Page, d)
}

// Misfits compares a register with the copies of it: an alarm for each that ends with
// an entry which the register has otherwise or no more. One that was put back to what it
// was before, its seals with it, or made anew by who has the key, shows by them alone.
func (c *Copies) Misfits(st *store.Store) []sheet.Alarm {
	_, list := c.misfits(st)
	return list
}

func (c *Copies) misfits(st *store.Store) (names map[string]bool, list []sheet.Alarm) {
	prefix := prefixOf(st.Meta().Box)
	files, _ := os.ReadDir(c.Dir) // that it is not there is told when a copy is made
	for _, f := range files {
		if _, err := time.Parse(prefix+copyName, f.Name()); err != nil || !f.Type().IsRegular() {
			continue
		}
		path := filepath.Join(c.Dir, f.Name())
		if why := misfit(st, path); why != "" {
			if names == nil {
				names = map[string]bool{}
			}
			names[f.Name()] = true
			list = append(list, sheet.Alarm{Stamp: CopyMisfit, Text: fmt.Sprintf("%s %s. The register was put back to an earlier one or made anew; compare both, and move that copy to another folder when it is settled", path, why)})
		}
	}
	return names, list
}

// misfit says in what a copy is not of a register as it is; empty for nothing, for a copy
// of another register (as the volume before this one) and for one that cannot be read.
func misfit(st *store.Store, path string) string {
	c, err := store.OpenReadOnly(path)
	if err != nil {
		return ""
	}
	defer c.Close()
	end := c.Tail()
	if end.Seq == 0 || c.Meta().Genesis() != st.Meta().Genesis() {
		return ""
	}
	if last := st.Tail().Seq; end.Seq > last {
		return fmt.Sprintf("ends with entry %d, and the register with entry %d", end.Seq, last)
	}
	if hash, err := st.HashAt(end.Seq); err == nil && hash != end.Hash {
		return fmt.Sprintf("has another entry %d, its last, than the register", end.Seq)
	}
	return ""
}

// rotate removes the copies that need not be kept, each with its page. Files of other
// names are not touched, nor are copies that have other entries than the register.
func (c *Copies) rotate(prefix string, loc *time.Location, now time.Time, other map[string]bool) (int, error) {
	files, err := os.ReadDir(c.Dir)
	if err != nil {
		return 0, fmt.Errorf("looking for older copies: %w", err)
	}
	names := map[time.Time]string{}
	for _, f := range files {
		if info, err := f.Info(); err == nil && isPart(f.Name(), prefix) && now.Sub(info.ModTime()) > 24*time.Hour {
			_ = os.Remove(filepath.Join(c.Dir, f.Name())) // of a copy that was killed
		}
		at, err := time.ParseInLocation(prefix+copyName, f.Name(), loc)
		if err == nil && f.Type().IsRegular() && !other[f.Name()] {
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
		if err := os.Remove(strings.TrimSuffix(name, ".db") + ".pdf"); err != nil && !errors.Is(err, fs.ErrNotExist) {
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
func (w *Watch) CopyTo(c *Copies) { w.copies = c }

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
	if w.Prove(ctx) != nil {
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
