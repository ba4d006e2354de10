package register

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/register/pins"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// Signing with a PIN. A book may be written by anybody who has the file; what
// stands as given by PIN was checked by this program, in this run.

// Given is a PIN that CheckPIN has found right: who holds it may write the entry that
// says so, or set another. The zero Given is none.
type Given struct{ name string }

// Of says whether it is the PIN of somebody.
func (g Given) Of(name string) bool { return g.name != "" && g.name == name }

// Errors of CheckPIN and SetPIN. Test with errors.Is.
var (
	ErrNoPIN    = errors.New("no PIN is set")
	ErrWrongPIN = errors.New("that is not the PIN")
)

// slowMost is the longest that a further guess has to wait.
const slowMost = time.Minute

// guesses are the wrong PINs given for somebody since he last gave the right one.
type guesses struct {
	wrong int
	until time.Time // before it no further one is looked at
}

// PINWait is how long no further PIN of somebody is looked at: after each wrong one
// twice as long, up to a minute. It is never longer: nobody is locked out.
func (b *Book) PINWait(name string) time.Duration {
	wait := b.guessed[name].until.Sub(b.now())
	if wait < 0 || wait > slowMost { // the clock was set
		return 0
	}
	return wait
}

// WrongPINs is how many wrong PINs were given for somebody in this run, since the
// right one.
func (b *Book) WrongPINs(name string) int { return b.guessed[name].wrong }

// CheckPIN says whether a PIN is that of somebody, and gives what Log and SetPIN want
// for an entry that says so. The error is ErrNoPIN, ErrWrongPIN, pins.ErrMisfit, or
// that of reading the file.
func (b *Book) CheckPIN(name, pin string) (Given, error) {
	known := b.state.PINOf(name)
	if known == nil {
		return Given{}, fmt.Errorf("%w for %s", ErrNoPIN, name)
	}
	if wait := b.PINWait(name); wait > 0 {
		return Given{}, fmt.Errorf("%w; wait %d s before the next", ErrWrongPIN, int((wait+time.Second-1)/time.Second))
	}
	list, err := pins.Load(b.Dir)
	if err != nil {
		return Given{}, err
	}
	r := pins.Of(list, *known)
	if r == nil {
		return Given{}, pins.ErrMisfit
	}
	if !r.Fits(pin) {
		wrong := b.guessed[name].wrong
		b.guessed[name] = guesses{wrong + 1, b.now().Add(min(time.Second<<min(wrong, 10), slowMost))}
		return Given{}, ErrWrongPIN
	}
	delete(b.guessed, name)
	return Given{name}, nil
}

// byPIN refuses an entry that says a PIN was given when none was checked.
func byPIN(ev *block.Event, given []Given) error {
	switch {
	case ev.Kind == block.PINSet || ev.Kind == block.PINReset:
		return errors.New("by what a PIN is known is written by the program: fairhand pin NAME, or p at the desk")
	case ev.Kind.Signs() && ev.Which == block.ByPIN && !slices.ContainsFunc(given, func(g Given) bool { return g.Of(ev.Subject) }):
		return errors.New("by-pin stands only where the PIN was checked, at the desk or by fairhand log with one LINE; leave it out, or sign there")
	}
	return nil
}

// MayHavePIN refuses a name that the box does not list.
func (b *Book) MayHavePIN(name string) error {
	if people := b.Box().People; name == "" || len(people) > 0 && b.Box().RoleOf(name) == nil {
		return fmt.Errorf("there is no %q among the people of %s: add them there first", name, BoxFileName)
	}
	return nil
}

// SetPIN gives somebody of the box a PIN. Who has one already has given it, or
// somebody else lets him have another: by, who has given his own when he has one. Both
// are entries, with the digest of the record. The new record is on disk before its
// entry, and the old one goes after it: whatever comes between, one of them fits.
func (b *Book) SetPIN(name, pin, by string, given Given) (Entry, error) {
	ev := block.Event{Kind: block.PINSet, At: b.Now(), Subject: name, Party: by}
	asked := name
	if by != "" {
		ev.Kind, asked = block.PINReset, by
	}
	if err := cmp.Or(b.MayHavePIN(name), b.MayHavePIN(asked)); err != nil {
		return Entry{}, err
	}
	if known := b.state.PINOf(asked); known != nil && !given.Of(asked) {
		return Entry{}, fmt.Errorf("%s has a PIN since entry %d: it is given first, or somebody else lets it be set anew", asked, known.Seq)
	}
	r, err := pins.New(name, pin)
	if err != nil {
		return Entry{}, err
	}
	list, err := pins.Load(b.Dir)
	if err != nil {
		list = nil // none of them can be used any more
	}
	ev.Which = r.Digest()
	if err := pins.Save(b.Dir, append(pins.InForce(list, b.state.PINs), *r)); err != nil {
		return Entry{}, err
	}
	if doubt := b.ClockDoubt(); doubt != nil {
		return Entry{}, doubt
	}
	var e Entry
	for range 6 { // after a conflict the book has caught up
		if e, err = b.write(ev, int64(b.Now())); !errors.Is(err, store.ErrConflict) {
			break
		}
	}
	if err != nil {
		return e, err
	}
	delete(b.guessed, name)
	return e, pins.Save(b.Dir, pins.InForce(append(list, *r), b.state.PINs))
}

// PINAlarms tells the PINs whose record is not the one that the register names.
func (b *Book) PINAlarms() []sheet.Alarm { return pins.Compare(b.Dir, b.state.PINs) }
