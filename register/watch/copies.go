package watch

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/pattern"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// Stamps of alarms about copies: the last could not be made; one has entries that the
// register does not have; one is no register that can be read.
const (
	NoCopy     = "NO COPY MADE"
	CopyMisfit = "A COPY HAS OTHER ENTRIES"
	CopyUnread = "A COPY CANNOT BE READ"
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
	compared := c.Compare(book.Store())
	out.Misfit = compared.Alarms
	if out.Report, err = book.Store().Backup(ctx, out.Path, progress); err != nil {
		return out, err
	}
	compared.fits[filepath.Base(out.Path)] = true
	if err := c.page(ctx, book, &out); err != nil {
		return out, fmt.Errorf("the copy is made, its page is not: %w", err)
	}
	out.Removed, err = c.rotate(prefix, book.Location(), now, compared.fits)
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

// Compared is what came of comparing a register with the copies of it.
type Compared struct {
	Fit     int           // copies that end with an entry of the register
	Alarms  []sheet.Alarm // one for each of the others
	Missing error         // why the folder cannot be looked at: then none was compared
	fits    map[string]bool
}

// Compare compares a register with the copies of it: an alarm for each that cannot be
// read, and for each that ends with an entry which the register has otherwise or no more.
// One that was put back to what it was before, its seals with it, or made anew by who has
// the key, shows by them alone.
func (c *Copies) Compare(st *store.Store) Compared {
	out := Compared{fits: map[string]bool{}}
	prefix := prefixOf(st.Meta().Box)
	var files []os.DirEntry
	if c.Dir != "" {
		files, out.Missing = os.ReadDir(c.Dir)
	}
	for _, f := range files {
		if _, is := copiedAt(f.Name(), prefix, time.UTC); !is {
			continue
		}
		path := filepath.Join(c.Dir, f.Name())
		alarm := sheet.Alarm{Stamp: CopyUnread, Text: path + " is no file but a link, a folder or a device. Nothing is restored from it: make another copy, and ask who has had the folder"}
		if f.Type().IsRegular() {
			stamp, why := Misfit(st, path)
			if why == "" {
				out.Fit++
				out.fits[f.Name()] = true
				continue
			}
			alarm = sheet.Alarm{Stamp: stamp, Text: why}
		}
		out.Alarms = append(out.Alarms, alarm)
	}
	return out
}

// Misfit says in what a copy is not of a register as it is; empty for nothing, also for a
// copy of the volume before this one.
func Misfit(st *store.Store, path string) (stamp, why string) {
	c, err := store.OpenReadOnly(path)
	if err != nil {
		return CopyUnread, fmt.Sprintf("%v. Make another copy, and look at the stick or who has had it", err)
	}
	defer c.Close()
	end := c.Tail()
	hash, err := st.HashAt(end.Seq)
	switch last := st.Tail().Seq; {
	case end.Seq == 0 && last == 0:
		return "", ""
	case end.Seq == 0:
		return CopyUnread, path + " has no entries: nothing is restored from it. Make another copy, and look who has had the folder"
	case c.Meta().Genesis() != st.Meta().Genesis():
		if continues(st, c) {
			return "", ""
		}
		why = " is of another register of this box, which this one does not show that it continues"
	case end.Seq > last:
		why = fmt.Sprintf(" ends with entry %d, and the register with entry %d", end.Seq, last)
	case err == nil && hash != end.Hash:
		why = fmt.Sprintf(" has another entry %d, its last, than the register", end.Seq)
	default:
		return "", ""
	}
	return CopyMisfit, path + why + ". The register was put back to an earlier one or made anew; compare both, and move that copy to another folder when it is settled"
}

// continued is how a volume begins that was made of a damaged one.
var continued = pattern.Late(`entries 1 to (\d+) are proved, hash ([0-9a-f]{64})`)

// lastProved is the entry of a damaged volume, and its hash, that a register says at its
// beginning to continue from; 0 where it continues none.
func lastProved(st *store.Store) (seq int64, hash string) {
	rows, err := st.Range(1, 3)
	for i := range rows {
		if m := continued().FindStringSubmatch(rows[i].Line); err == nil && m != nil {
			seq, _ = strconv.ParseInt(m[1], 10, 64)
			return seq, m[2]
		}
	}
	return 0, ""
}

// SavedName is what was saved of a damaged volume, beside the one that continues it.
const SavedName = "earlier.db"

func saved(st *store.Store) (*store.Store, error) {
	return store.OpenReadOnly(filepath.Join(filepath.Dir(st.Path()), SavedName))
}

// continues says whether a register continues another, by an entry which that one has. A
// copy that ends before that entry is shown to be of it by what was saved: the words alone
// are soon written at the beginning of a register that was made anew.
func continues(st, before *store.Store) bool {
	seq, want := lastProved(st)
	if end := before.Tail(); seq > end.Seq {
		c, err := saved(st)
		if err != nil {
			return false
		}
		defer c.Close()
		before, seq, want = c, end.Seq, end.Hash.String()
	}
	hash, err := before.HashAt(seq)
	return seq > 0 && err == nil && hash.String() == want
}

// Saved compares what was saved of a damaged volume, where it lies beside the one that
// continues it, with what that says of its end.
func Saved(st *store.Store) []sheet.Alarm {
	seq, hash := lastProved(st)
	if seq == 0 {
		return nil
	}
	c, err := saved(st)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return []sheet.Alarm{{Stamp: CopyUnread, Text: err.Error()}}
	}
	defer c.Close()
	if end := c.Tail(); end.Seq != seq || end.Hash.String() != hash {
		return []sheet.Alarm{{Stamp: CopyMisfit, Text: fmt.Sprintf("%s ends with entry %d, hash %s, and the register that continues it says entry %d, hash %s: one of them was changed since", c.Path(), end.Seq, end.Hash, seq, hash)}}
	}
	return nil
}

// rotate removes the copies that need not be kept, each with its page. Files of other
// names are not touched, nor are copies about which there is an alarm: none of them is
// kept in the place of one that fits.
func (c *Copies) rotate(prefix string, loc *time.Location, now time.Time, fits map[string]bool) (int, error) {
	files, err := os.ReadDir(c.Dir)
	if err != nil {
		return 0, fmt.Errorf("looking for older copies: %w", err)
	}
	names := map[time.Time]string{}
	for _, f := range files {
		if info, err := f.Info(); err == nil && isPart(f.Name(), prefix) && now.Sub(info.ModTime()) > 24*time.Hour {
			_ = os.Remove(filepath.Join(c.Dir, f.Name())) // of a copy that was killed
		}
		if at, is := copiedAt(f.Name(), prefix, loc); is && fits[f.Name()] {
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
		if err := os.Remove(name[:len(name)-len(".db")] + ".pdf"); err != nil && !errors.Is(err, fs.ErrNotExist) {
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
