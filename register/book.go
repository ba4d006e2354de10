package register

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
	"fairhand/register/reading"
	"fairhand/register/store"
)

// Names of the two files of a box directory, and endings of copies.
const (
	BoxFileName  = "box.yaml"
	RegisterName = "register.db"

	// BoxEnding ends the name of the description that lies beside an archive volume,
	// instead of VolumeEnding.
	BoxEnding    = ".box.yaml"
	VolumeEnding = ".db"
)

// Entry is one entry of the book with what was found about it.
type Entry struct {
	reading.Entry
	Findings  []block.Finding // raised on this entry
	Answered  []block.Finding // likewise, and shown by a later entry to stand no more
	Explained []int64         // entries that explain what was found about it
}

// entryOf keeps an entry that is being read.
func entryOf(e *reading.Entry) Entry { return Entry{Entry: *e, Explained: e.ExplainedBy()} }

// Book is a box's register open for work: the entries on disk, and the state
// that follows from them. It is for use by one goroutine; what its Reader does
// any other may do meanwhile.
//
// The life of an entry: Preview decides (block.Apply on a copy), Log appends
// (synced to disk), and only then is the new state published. A failure at any
// point leaves the book as it was.
type Book struct {
	*Reader
	now         func() time.Time
	seen        time.Time           // by it, when this program last wrote
	onDisk      *boxfile.File       // box.yaml when the book was opened
	undescribed bool                // and it is not in force yet
	marked      *store.DamagedError // the damage that a note of the book tells of
	guessed     map[string]guesses
	present
}

// Options change how a book is opened.
type Options struct {
	Now      func() time.Time // the clock; nil for the computer's
	ReadOnly bool
}

// Create makes an empty register beside the box file in dir.
func Create(dir string, opt Options) (*Book, error) {
	file, err := boxfile.Load(filepath.Join(dir, BoxFileName))
	if err != nil {
		return nil, err
	}
	now := opt.clock()
	st, err := store.Create(filepath.Join(dir, RegisterName), store.Meta{
		Railway: cmp.Or(file.Box.Railway, file.Box.Name), Box: file.Box.Name, Zone: file.Location.String(), Created: now().Unix(), Description: file.Text,
	})
	if err != nil {
		return nil, fmt.Errorf("making the register of %s: %w", file.Box.Name, err)
	}
	return open(dir, file, st, opt)
}

// Open opens the register of a box directory. A directory without one is an
// error for which errors.Is(err, fs.ErrNotExist) holds. One of which an entry before
// the last is damaged opens all the same: Alarm says what is wrong, and what is
// written is marked as a continuation.
func Open(dir string, opt Options) (*Book, error) {
	file, err := boxfile.Load(filepath.Join(dir, BoxFileName))
	if err != nil {
		return nil, err
	}
	path := filepath.Join(dir, RegisterName)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s has no %s: make one with fairhand init: %w", dir, RegisterName, fs.ErrNotExist)
	}
	opener := store.Open
	if opt.ReadOnly {
		opener = store.OpenReadOnly
	}
	st, err := opener(path)
	if err != nil {
		return nil, err
	}
	if m := st.Meta(); m.Box != file.Box.Name {
		st.Close()
		return nil, fmt.Errorf("%s is the register of %s, and %s describes %s: use the box file it was made with", path, m.Box, BoxFileName, file.Box.Name)
	}
	return open(dir, file, st, opt)
}

func (o Options) clock() func() time.Time {
	if o.Now != nil {
		return o.Now
	}
	return time.Now
}

func open(dir string, file *boxfile.File, st *store.Store, opt Options) (*Book, error) {
	b := &Book{Reader: newReader(dir, st, file.Location), now: opt.clock(), onDisk: file, guessed: map[string]guesses{}}
	var err error
	b.undescribed, err = b.inForce(file)
	b.program = programTag(b.BoxAt(0))
	if err == nil || b.met(err) != nil {
		err = b.restored()
	}
	if err != nil {
		st.Close()
		return nil, err
	}
	return b, nil
}

// State is what the book tells at the moment. It is shared: not to be changed.
func (b *Book) State() *block.State { return &b.state }

// Now is the present moment by the book's clock. Where that has gone back by little,
// as when it is set to the right second, it stands still until the last entry is past.
func (b *Book) Now() block.Time {
	now, last := b.now().Unix(), b.lastRecorded()
	if now < last && now >= last-clockStep {
		now = last
	}
	return block.Time(now)
}

// Recent is the present register day's entries, oldest first, with findings.
func (b *Book) Recent() []Entry { return b.recent }

// Parse reads what was typed at this moment into events, ready for Preview. An
// entry of a minute or more ago gets the time of writing.
func (b *Book) Parse(line string) ([]block.Event, error) {
	now := b.Now()
	evs, err := notation.ParseLine(b.Location(), now, line)
	for i := range evs {
		if evs[i].Written == 0 && now-evs[i].At >= block.Minute {
			evs[i].Written = now
		}
	}
	return evs, err
}

// Preview is what the regulations say of an event that has not been written:
// the state after it and what would be found. Nothing is changed. For a
// correction, or an entry that is late, the book is read again as it would then
// stand; a correction that cannot be made is left to Log to refuse.
func (b *Book) Preview(ev block.Event) (block.State, []block.Finding) {
	ev.Seq = b.st.Tail().Seq + 1
	if from, err := b.changes(&ev); err == nil && from > 0 {
		if s, found, err := b.previewFrom(from, ev); err == nil {
			return s, found
		}
	}
	return block.Apply(b.Box(), b.state, &ev)
}

// Log writes one event: decide, append, publish. When the error is nil the
// entry is on disk. An error for which errors.Is(err, store.ErrConflict) holds
// means that another program wrote first: the book has caught up, nothing was
// written, look again and decide. An error for which errors.Is(err, ErrClock) holds
// is a *ClockError: nothing was written; booking that the clock is right answers it.
// An entry that says a PIN was given is refused without it.
func (b *Book) Log(ev block.Event, given ...Given) (Entry, error) {
	switch ev.Kind {
	case block.Described:
		return Entry{}, errors.New("which description of the box is in force is written by the program, when box.yaml has changed")
	case block.ClockSet, block.ClockConfirmed:
		return Entry{}, errors.New("that the computer's clock was asked about is written by the program; book: clock right")
	}
	if err := byPIN(&ev, given); err != nil {
		return Entry{}, err
	}
	if doubt := b.ClockDoubt(); doubt != nil && ev.Kind != block.ClockRight {
		return Entry{}, doubt
	} else if doubt != nil {
		if err := b.ClockIsRight(); err != nil {
			return Entry{}, err
		}
	}
	b.continued()
	return b.write(ev, int64(b.Now()))
}

// write is Log of an event that the program may write, at a moment of writing.
func (b *Book) write(ev block.Event, rec int64) (Entry, error) {
	if err := b.describe(&block.Event{At: block.Time(rec)}, rec); err != nil {
		return Entry{}, err
	}
	ev.Seq = b.st.Tail().Seq + 1
	switch {
	case ev.Kind == block.Correct:
		if err := b.reg.Correctable(&ev); err != nil {
			return Entry{}, err
		}
	case ev.Target >= ev.Seq:
		return Entry{}, fmt.Errorf("there is no entry %d to speak of; the last is %d", ev.Target, ev.Seq-1)
	}
	from, err := b.changes(&ev)
	if err == nil && from > 0 {
		b.proof.drop(from)
		err = b.st.DropSnapshotsFrom(b.program, from)
	}
	if err != nil {
		return Entry{}, err
	}
	line := notation.Format(ev, b.Location())
	row, err := b.st.Append(store.Draft{At: int64(ev.At), Recorded: rec, Day: b.DayOf(ev.At), Writer: b.Writer(), Line: line})
	if err != nil {
		return Entry{}, b.conflicted(err)
	}
	b.seen = b.now()
	if from > 0 {
		return b.publishLate(row, from)
	}
	e, found := b.publish(row, ev)
	if slices.ContainsFunc(found, func(f block.Finding) bool { return f.Severity == rulebook.Danger }) {
		return b.publishLate(row, b.first) // an entry above it may be the one that is wrong
	}
	return e, nil
}

// publish takes an entry that is on disk into the book's memory, and gives what was found.
func (b *Book) publish(row store.Row, ev block.Event) (Entry, []block.Finding) {
	e := reading.Entry{Row: row, Event: ev}
	if b.rolls(&e) {
		b.keepSnapshots(dayEnd{row.Seq - 1, row.Prev, b.state})
	}
	next, found := block.Apply(b.Box(), b.state, &ev)
	b.state = next
	b.keep(&e)
	b.attach(found)
	b.answer()
	if ev.Kind == block.Explain {
		if of := b.of(ev.Target); of != nil {
			of.Explained = append(of.Explained, ev.Seq)
		}
	}
	return b.recent[len(b.recent)-1], found
}

// publishLate takes in an entry that changes how others are read.
func (b *Book) publishLate(row store.Row, from int64) (Entry, error) {
	if err := b.reread(from); err != nil {
		return Entry{}, fmt.Errorf("entry %d is written; the book could not be read again with it: %w", row.Seq, err)
	}
	e := b.of(row.Seq)
	if e == nil {
		return Entry{}, fmt.Errorf("entry %d is written and was not found when the book was read again: run fairhand verify", row.Seq)
	}
	return *e, nil
}

// Writer is who writes: the person who signed on last.
func (b *Book) Writer() string { return b.state.Writer() }

func (b *Book) lastRecorded() int64 {
	if n := len(b.recent); n > 0 {
		return b.recent[n-1].Recorded
	}
	return 0
}
