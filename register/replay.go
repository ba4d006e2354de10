package register

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"runtime/debug"
	"slices"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/reading"
	"fairhand/register/store"
)

// programTag names what makes a snapshot: the rules, this build of the program and
// this description of the box. Another of them means another replay.
func programTag(box *block.Box) string {
	c := *box
	c.Civil = nil
	h := sha256.New()
	_ = json.NewEncoder(h).Encode(&c)
	fmt.Fprintln(h, block.Fingerprint(), build())
	shape(h, reflect.TypeFor[block.State](), map[reflect.Type]bool{})
	return "fairhand " + hex.EncodeToString(h.Sum(nil)[:8])
}

// shape writes down a type and those it is made of.
func shape(w io.Writer, t reflect.Type, told map[reflect.Type]bool) {
	fmt.Fprintln(w, t, t.Kind())
	if told[t] {
		return
	}
	told[t] = true
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array, reflect.Map:
		shape(w, t.Elem(), told)
	case reflect.Struct:
		for i := range t.NumField() {
			fmt.Fprintln(w, t.Field(i).Name)
			shape(w, t.Field(i).Type, told)
		}
	}
}

// build tells this build of the program from others, where the tools that made it
// have noted that.
func build() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	out := info.Main.Version + info.Main.Sum
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" || s.Key == "vcs.time" || s.Key == "vcs.modified" {
			out += " " + s.Value
		}
	}
	return out
}

// dayEnd is the state in which a register day ended.
type dayEnd struct {
	seq   int64 // its last entry
	hash  store.Hash
	state block.State
}

// dayEnds are the ends worth keeping of a run of days: all of the last ones, and
// before them the last of every store.SnapshotEvery entries.
type dayEnds []dayEnd

// lastEnds is how many of the last days are all kept.
const lastEnds = 60

func (d *dayEnds) add(e dayEnd) {
	*d = append(*d, e)
	n := len(*d) - lastEnds // those before n are old
	if n > 0 && (*d)[n-1].seq/store.SnapshotEvery == (*d)[n].seq/store.SnapshotEvery {
		*d = slices.Delete(*d, n-1, n)
	}
}

// present is the register day that the book is in.
type present struct {
	state  block.State
	recent []Entry       // its entries, oldest first
	index  map[int64]int // number of an entry to its place in recent
	day    calendar.Day
}

// restore builds the state from the newest snapshots and the entries after
// them. The newest is believed only if a replay from the one before it comes to
// the same state, byte for byte; otherwise it is dropped and made again.
func (b *Book) restore() error {
	newest, ok := b.st.LastSnapshot(b.program)
	if !ok {
		return b.replayFrom(0, block.NewState(b.file.Box))
	}
	after, state, err := b.StateBefore(newest.Seq)
	if err != nil {
		return err
	}
	then, ends, err := b.replayed(reading.Span{After: after, To: newest.Seq}, state)
	if err != nil {
		return err
	}
	again, err := json.Marshal(&then.state)
	if err != nil {
		return fmt.Errorf("writing down the state: %w", err)
	}
	if !bytes.Equal(again, newest.State) {
		if err := b.st.DropSnapshotsFrom(b.program, after+1); err != nil {
			return err
		}
		if len(then.recent) > 0 {
			ends.add(then.end(then.state))
		}
		b.keepSnapshots(ends)
	}
	return b.replayFrom(newest.Seq, then.state)
}

// replayFrom replays all entries after a number to the end of the book, and
// publishes what they come to.
func (b *Book) replayFrom(after int64, s block.State) error {
	now, ends, err := b.replayed(reading.Span{After: after}, s)
	if err != nil {
		return err
	}
	b.present = now
	b.keepSnapshots(ends)
	return nil
}

// replayed is what the entries of a span come to, and the days that end in it.
func (r *Reader) replayed(span reading.Span, s block.State) (present, dayEnds, error) {
	p, ends := present{index: map[int64]int{}}, dayEnds(nil)
	run := reading.NewReplay(r.file.Box, s)
	for e, err := range r.Entries(context.Background(), span) {
		if err != nil {
			return p, nil, err
		}
		if p.rolls(e.Day) {
			ends.add(p.end(run.State()))
		}
		found := run.Take(e)
		p.keep(entryOf(e))
		p.attach(found)
		if now := run.Look(); len(now.Answers) > 0 {
			p.state = *now
			p.answer()
		}
	}
	p.state = run.State()
	return p, ends, nil
}

// rolls says whether an entry of a day ends the present one.
func (p *present) rolls(day calendar.Day) bool { return day > p.day && len(p.recent) > 0 }

// end is the end of the present day, in a state.
func (p *present) end(s block.State) dayEnd {
	last := &p.recent[len(p.recent)-1].Row
	return dayEnd{last.Seq, last.Hash, s}
}

// keep takes an entry into memory, the first of a later day in place of those of
// the day before.
func (p *present) keep(e Entry) {
	if e.Day > p.day {
		p.day, p.recent, p.index = e.Day, nil, map[int64]int{}
	}
	p.index[e.Seq] = len(p.recent)
	p.recent = append(p.recent, e)
}

// attach puts findings to the entries they are about.
func (p *present) attach(found []block.Finding) {
	for _, f := range found {
		i, ok := p.index[f.Seq]
		if !ok {
			i = len(p.recent) - 1 // about an entry of an earlier day
		}
		p.recent[i].Findings = append(p.recent[i].Findings, f)
	}
}

// keepSnapshots keeps the state at the end of each of some days, so that opening a
// book of ten years replays the last day or two.
func (b *Book) keepSnapshots(ends dayEnds) {
	for i := range ends {
		b.keepSnapshot(ends[i])
	}
}

// keepSnapshot keeps one. It is only a help for the next opening: failing to keep
// it is no failure of the book.
func (b *Book) keepSnapshot(end dayEnd) {
	state, err := json.Marshal(&end.state)
	if err == nil {
		_ = b.st.PutSnapshot(store.Snapshot{Seq: end.seq, Hash: end.hash, Program: b.program, State: state})
	}
}

// corrected reads the book again from before a corrected entry.
func (b *Book) corrected(target int64) error {
	if err := b.st.DropSnapshotsFrom(b.program, target); err != nil {
		return err
	}
	after, state, err := b.StateBefore(target)
	if err != nil {
		return err
	}
	return b.replayFrom(after, state)
}

// catchUp takes in what another program has written.
func (b *Book) catchUp() error {
	if _, err := b.st.CatchUp(); err != nil {
		return err
	}
	return b.restore()
}
