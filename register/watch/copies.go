package watch

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// Stamps of alarms about copies: the last could not be made; it has no page beside it; one has entries that the
// register does not have; one is no register that can be read; one is not whole.
const (
	NoCopy      = "NO COPY MADE"
	NoPage      = "A COPY WITHOUT ITS PAGE"
	CopyMisfit  = "A COPY HAS OTHER ENTRIES"
	CopyUnread  = "A COPY CANNOT BE READ"
	CopyDamaged = "A COPY IS DAMAGED"
)

// Copies says where copies of a register go: a second place, best another medium.
type Copies struct {
	Dir string // it must exist: a stick that is not there is not to be made a folder

	// Page writes the page of a day to a file, the carbon copy that lies beside, as do those
	// of the days that the copy before could not have whole; nil for none. An existing file
	// is refused.
	Page func(path string, d *register.Day) error

	// Behind: copies are made behind a desk, which proves the older ones one at a time.
	Behind bool

	proofs Proofs
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
		return out, fmt.Errorf("%w, %s, is not there: is the stick in? %w", errPlace, c.Dir, cmp.Or(err, errIsFile))
	}
	prefix := prefixOf(book.Box().Name)
	out.Path = filepath.Join(c.Dir, prefix+now.In(book.Location()).Format(copyName))
	var err error
	compared := c.Compare(ctx, book.Store(), !c.Behind)
	out.Misfit = compared.Alarms
	since := c.since(prefix, book.Location(), now)
	if out.Report, err = book.Store().Backup(ctx, out.Path, progress); err != nil {
		return out, c.causeFirst(err)
	}
	if info, err := os.Stat(out.Path); err == nil { // it was proved when it was made
		c.proofs.keep(out.Path, info, nil)
		compared.whole[filepath.Base(out.Path)] = true
	}
	if err := c.pages(ctx, book, &out, since); err != nil {
		return out, &pageError{c.causeFirst(err)}
	}
	out.Removed, err = c.rotate(prefix, book.Location(), now, compared.whole)
	return out, err
}

// errPlace begins the error of a place that is not there, errIsFile ends that of one that
// is no folder.
var (
	errPlace  = errors.New("the place for copies")
	errIsFile = errors.New("it is a file")
)

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

// causeFirst begins an error about the place with what stands in the way there: at the desk
// its end may have no room.
func (c *Copies) causeFirst(err error) error {
	cause := err
	for next := errors.Unwrap(cause); next != nil; next = errors.Unwrap(next) {
		cause = next
	}
	return fmt.Errorf("%w, in the place for copies, %s: %w", cause, c.Dir, err) // which may say that the register is damaged
}

// pageError says that a copy was made, and a page beside it was not.
type pageError struct{ err error }

func (e *pageError) Error() string { return "the copy is made, its page is not: " + e.err.Error() }
func (e *pageError) Unwrap() error { return e.err }

// Amiss is the alarm of a copy that Make could not make, or not with its page.
func Amiss(err error) sheet.Alarm {
	if page, ok := errors.AsType[*pageError](err); ok {
		return sheet.Alarm{Stamp: NoPage, Text: page.err.Error()}
	}
	return sheet.Alarm{Stamp: NoCopy, Text: err.Error()}
}

// since is the day of the copy before this one, 0 for none: its page ends with that copy.
func (c *Copies) since(prefix string, loc *time.Location, now time.Time) calendar.Day {
	files, err := os.ReadDir(c.Dir)
	var newest time.Time
	for _, f := range files {
		if at, is := copiedAt(f.Name(), prefix, loc); err == nil && is && at.After(newest) && at.Before(now) {
			newest = at
		}
	}
	if newest.IsZero() {
		return 0
	}
	return calendar.Of(block.Time(newest.Unix()), loc)
}

// mostPages is of how many days pages are put beside one copy.
const mostPages = 31

// stemOf is what the names of a copy and of its pages begin with.
func stemOf(path string) string { return strings.TrimSuffix(path, register.VolumeEnding) }

// pages puts the page of the last day beside a copy, and those of the days that ended since
// the copy before: a turn may begin before midnight and end after it.
func (c *Copies) pages(ctx context.Context, book *register.Reader, made *Copied, since calendar.Day) error {
	if c.Page == nil || made.LastDay == 0 {
		return nil
	}
	if since == 0 || since > made.LastDay {
		since = made.LastDay
	}
	made.Page = stemOf(made.Path) + ".pdf"
	for day := max(since, made.LastDay.Add(1-mostPages)); day <= made.LastDay; day = day.Add(1) {
		path := made.Page
		if day < made.LastDay {
			path = stemOf(made.Path) + dayBefore + day.String() + ".pdf"
		}
		d, err := book.LoadDay(ctx, day)
		if errors.Is(err, register.ErrNoEntries) {
			continue
		}
		if err == nil {
			err = c.Page(path, d)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// dayBefore stands in the name of a page of another day than the last, before the date.
const dayBefore = "-day-"

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
	gone := store.Superfluous(slices.SortedFunc(maps.Keys(names), time.Time.Compare), now.In(loc))
	for _, at := range gone {
		name := filepath.Join(c.Dir, names[at])
		if err := os.Remove(name); err != nil {
			return 0, fmt.Errorf("removing an older copy: %w", err)
		}
		base := stemOf(name)
		for _, f := range files {
			page := filepath.Join(c.Dir, f.Name())
			if page != base+".pdf" && !strings.HasPrefix(page, base+dayBefore) {
				continue
			}
			if err := os.Remove(page); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return 0, fmt.Errorf("removing the page of an older copy: %w", err)
			}
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
			if w.placeIsBack() {
				w.Copy()
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

// placeIsBack says whether the last copy was not made as its place was not there, and it is now.
func (w *Watch) placeIsBack() bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	if !w.noPlace {
		return false
	}
	info, err := os.Stat(w.copies.Dir)
	return err == nil && info.IsDir()
}

// copied keeps how the last copy went.
func (w *Watch) copied(err error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.noCopy, w.noPlace = nil, errors.Is(err, errPlace)
	if err != nil {
		alarm, told := Amiss(err), "no copy of the register was made: "
		if w.noCopy = &alarm; alarm.Stamp == NoPage {
			told = ""
		}
		w.untold = append(w.untold, told+err.Error())
	}
}

// Untold gives what is to be written into the book as a note, once: the faults of
// copies since it was asked last.
func (w *Watch) Untold(at block.Time) []block.Event {
	w.mu.Lock()
	defer w.mu.Unlock()
	list := each.Of(w.untold, func(text string) block.Event { return block.Event{Kind: block.Note, At: at, Text: oneLine(text)} })
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
