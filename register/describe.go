package register

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// The box's description is part of the evidence: a register keeps every one that
// it was worked under, the first with its heading and each later one with an entry,
// and a day is judged under the one in force on it. What box.yaml says comes into
// force with the first entry that is written under it.

// ErrOtherBox is returned for a box.yaml that cannot follow what the register was
// kept under.
var ErrOtherBox = errors.New("box.yaml describes another box than the register was kept for")

// Described names a description of the box.
type Described struct {
	Entry  int64  // that brought it in; 0: the register began with it, or none is kept
	Digest string // SHA-256 of its text, in hex
	Kept   bool   // in the register, which one begun by an earlier version does not do: box.yaml as it is now serves
	PINs   bool   // that the box asks for with the name of who signs on
}

// Words names it for a page that was judged under it.
func (d *Described) Words() string {
	signed := "; signed on by name alone, without PINs"
	if d.PINs {
		signed = "; signed on by name and PIN"
	}
	switch digest := ", SHA-256 " + d.Digest[:min(len(d.Digest), 16)] + signed; {
	case !d.Kept:
		return "Judged under box.yaml as it is now" + digest + "; the register keeps no description of the box"
	case d.Entry == 0:
		return "Judged under the first description of the box" + digest
	default:
		return fmt.Sprintf("Judged under the description of the box of entry %d%s", d.Entry, digest)
	}
}

// Described is the description that was in force after an entry.
func (r *Reader) Described(after int64) *Described {
	d, err := r.reg.Described(after)
	if err != nil || d == nil {
		return &Described{Digest: store.Digest(r.File().Text), PINs: r.Box().PINs}
	}
	return &Described{d.Entry, store.Digest(d.Text), true, d.Box.PINs}
}

// BoxAt is the box as described after an entry. It is not to be changed.
func (r *Reader) BoxAt(after int64) *block.Box {
	if d, err := r.reg.Described(after); err == nil && d != nil {
		return d.Box
	}
	return r.Box()
}

// inForce finds the description in force at the end of the register, and whether
// box.yaml as given has yet to come into force.
func (r *Reader) inForce(present *boxfile.File) (bool, error) {
	d, err := r.reg.Described(r.st.Tail().Seq)
	switch {
	case err != nil || d == nil:
		r.file.Store(present)
		return err == nil, err
	case d.Text == present.Text:
		if err := present.Box.Follow(d.Box); err != nil {
			return false, err
		}
		r.file.Store(present)
		return false, nil
	}
	kept := *d.File
	kept.Path, kept.Timetable = present.Path, present.Timetable // no finding rests on the timetable
	r.file.Store(&kept)
	return true, nil
}

// Describe brings box.yaml into force where it is not yet: an entry says what is
// otherwise than before. The book does it with the next entry in any case; whoever
// wants to be advised by the new description first does it before.
func (b *Book) Describe() error {
	if !b.undescribed {
		return nil
	}
	if doubt := b.ClockDoubt(); doubt != nil {
		return doubt
	}
	return b.describe(&block.Event{At: b.Now()}, int64(b.Now()))
}

// Add puts into box.yaml what a line adds to the box (boxfile.Additions), and brings the
// file into force: by an entry, as whatever else is changed in it. Nothing is written
// when the row does not fit.
func (b *Book) Add(line string) (Entry, error) {
	words, err := notation.Words(line)
	a := boxfile.AdditionOf(line)
	if err != nil || a == nil {
		return Entry{}, cmp.Or(err, fmt.Errorf("%q adds nothing to the box", line))
	}
	if doubt := b.ClockDoubt(); doubt != nil {
		return Entry{}, doubt
	}
	present, err := boxfile.Load(b.onDisk.Path)
	if err != nil {
		return Entry{}, err
	}
	next, err := present.With(a, words[2:])
	if faults, ok := errors.AsType[*boxfile.Faults](err); ok {
		return Entry{}, fmt.Errorf("the %s does not fit the box: %s", a.Word, faults.List[0].Text)
	}
	if err == nil {
		err = b.follows(next)
	}
	if err != nil {
		return Entry{}, err
	}
	if err := writeBox(next); err != nil {
		return Entry{}, fmt.Errorf("adding the %s to %s: %w", a.Word, BoxFileName, err)
	}
	b.onDisk, b.undescribed = next, true
	if err := b.describe(&block.Event{At: b.Now()}, int64(b.Now())); err != nil {
		return Entry{}, fmt.Errorf("the %s stands in %s and comes into force with the next entry: %w", a.Word, BoxFileName, err)
	}
	return b.recent[len(b.recent)-1], nil
}

// writeBox puts a description in the place of the box file: the whole of it or nothing.
func writeBox(f *boxfile.File) error {
	path, err := filepath.EvalSymlinks(f.Path)
	if err != nil {
		return err
	}
	was, err := os.Stat(path)
	if err != nil {
		return err
	}
	return store.Replace(path, was.Mode().Perm(), []byte(f.Text)) // the entry that follows tells of what is under the name
}

// describe writes the entry by which box.yaml comes into force, of the moment and
// the time of writing that like gives.
func (b *Book) describe(like *block.Event, rec int64) error {
	if !b.undescribed {
		return nil
	}
	was, now := b.File(), b.onDisk
	if err := b.follows(now); err != nil {
		return err
	}
	ev := block.Event{Kind: block.Described, At: like.At, Written: like.Written, Seq: b.st.Tail().Seq + 1, Subject: store.Digest(now.Text), Box: now.Box}
	if ev.Text = "kept for the first time"; b.Described(0).Kept {
		ev.Text = boxfile.Changes(was, now)
	}
	row, err := b.st.AppendDescription(store.Draft{At: int64(ev.At), Recorded: rec, Day: b.DayOf(ev.At), Writer: b.Writer(),
		Line: notation.Format(ev, b.Location())}, now.Text)
	if err != nil {
		return b.conflicted(err)
	}
	b.publish(row, ev)
	b.file.Store(now)
	b.undescribed = false
	return nil
}

// follows says whether a description can follow the one in force.
func (b *Book) follows(now *boxfile.File) error {
	if zone := b.st.Meta().Zone; now.Location.String() != zone {
		return fmt.Errorf("%w: the register is kept by the clock of %s and box.yaml has timezone %s; set it back, or begin another register", ErrOtherBox, zone, now.Location)
	}
	if !b.Described(0).Kept {
		return nil
	}
	err := now.Box.Follow(b.Box())
	if gone, ok := errors.AsType[*block.GoneError](err); ok {
		return fmt.Errorf("%w: %s stands in the register and no longer in box.yaml; put it back, or begin another register", ErrOtherBox, strings.Join(gone.What, ", "))
	}
	return err
}

// redescribed takes in what another program has brought into force.
func (b *Book) redescribed() error {
	d, err := b.reg.Described(b.st.Tail().Seq)
	if err != nil || d == nil || d.Text == b.File().Text {
		return err
	}
	if now, err := boxfile.Load(b.onDisk.Path); err == nil {
		b.onDisk = now
	}
	b.undescribed, err = b.inForce(b.onDisk)
	return err
}

// conflicted catches up when another program wrote first; what it wrote may be no entry,
// as when another file was copied over the register.
func (b *Book) conflicted(err error) error {
	if !errors.Is(err, store.ErrConflict) {
		return err
	}
	_, caught := b.Refresh()
	if errors.Is(caught, store.ErrDamaged) {
		return fmt.Errorf("%w (NOT recorded)", caught)
	}
	return errors.Join(err, caught)
}
