package register

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"

	"fairhand/block"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// stateVersion changes whenever block.State or what the rules put into it does:
// snapshots of another version are not read.
const stateVersion = "state 1"

// programTag names what makes a snapshot: this version of the rules and this
// description of the box. Another box file means another replay.
func programTag(box *block.Box) string {
	c := *box
	c.Civil = nil
	b, _ := json.Marshal(&c)
	sum := sha256.Sum256(b)
	return "fairhand " + stateVersion + " " + hex.EncodeToString(sum[:8])
}

// shots is the keeping of snapshots: one at the end of each register day, so
// that opening a book of ten years replays the last day or two.
type shots struct {
	program   string
	replaying bool
	held      dayEnds // of a replay, kept when it is done
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

// restore builds the state from the newest snapshots and the entries after
// them. The newest is believed only if a replay from the one before it comes to
// the same state, byte for byte; otherwise it is dropped and made again.
func (b *Book) restore() error {
	newest, ok, err := b.st.LastSnapshot(b.shots.program)
	if err != nil {
		return err
	}
	if !ok {
		return b.replayFrom(store.Snapshot{}, block.NewState(b.file.Box))
	}
	from, state, err := b.startBefore(newest.Seq)
	if err != nil {
		return err
	}
	if err := b.replayTo(from.Seq, newest.Seq, state); err != nil {
		return err
	}
	again, err := json.Marshal(&b.state)
	if err != nil {
		return fmt.Errorf("writing down the state: %w", err)
	}
	if !bytes.Equal(again, newest.State) {
		if err := b.st.DropSnapshotsFrom(b.shots.program, from.Seq+1); err != nil {
			return err
		}
	}
	return b.replayFrom(store.Snapshot{Seq: newest.Seq}, b.state)
}

// startBefore gives the state to replay from for entries numbered before or later.
func (b *Book) startBefore(before int64) (store.Snapshot, block.State, error) {
	n, ok, err := b.st.SnapshotBefore(b.shots.program, before)
	if err != nil {
		return n, block.State{}, err
	}
	if ok {
		var s block.State
		if err := json.Unmarshal(n.State, &s); err == nil {
			return n, s, nil
		}
	}
	return store.Snapshot{}, block.NewState(b.file.Box), nil
}

// replayFrom replays all entries after a snapshot to the end of the book.
func (b *Book) replayFrom(from store.Snapshot, s block.State) error {
	return b.replayTo(from.Seq, 0, s)
}

// replayTo replays the entries after number after up to number to (0: all),
// corrected entries as corrected, and leaves the last register day in recent.
func (b *Book) replayTo(after, to int64, s block.State) error {
	b.state = s
	fixes, err := readCorrections(b.st, b.read, after)
	if err != nil {
		return err
	}
	run := block.NewRunner(b.file.Box, s)
	b.recent, b.index, b.day, b.shots.held = nil, map[int64]int{}, 0, nil
	b.shots.replaying = true
	defer func() { b.shots.replaying = false }()
	stop := fmt.Errorf("done")
	err = b.st.Each(after+1, func(rows []store.Row) error {
		for _, row := range rows {
			if to > 0 && row.Seq > to {
				return stop
			}
			if row.Day > b.day && b.day != 0 {
				b.state = run.State()
				b.rollDay(row)
			} else if b.day == 0 {
				b.rollDay(row)
			}
			e, err := b.entry(row, fixes)
			if err != nil {
				return err
			}
			found := run.Step(&e.Event)
			b.state = *run.Look()
			b.keep(e)
			b.attach(e.Event, found)
		}
		return nil
	})
	if err != nil && err != stop {
		return err
	}
	b.state = run.State()
	for _, h := range b.shots.held {
		b.keepSnapshot(&h)
	}
	b.shots.held = nil
	return nil
}

// fix is a correction: the entry that makes it and the line that stands instead.
type fix struct {
	by   int64
	text string
}

// entry reads one stored row.
func (b *Book) entry(row store.Row, fixes map[int64]fix) (Entry, error) {
	ev, err := b.read.Event(block.Time(row.At), row.Line)
	if err != nil {
		return Entry{}, unreadable(row, err)
	}
	ev.Seq = row.Seq
	e := Entry{Row: row, Event: ev, Written: ev}
	if f, ok := fixes[row.Seq]; ok {
		c, err := notation.ParseCorrection(b.file.Location, ev.At, f.text)
		if err != nil {
			return Entry{}, unreadable(row, err)
		}
		c.Seq = row.Seq
		e.Event, e.CorrectedBy = c, f.by
	}
	return e, nil
}

func unreadable(row store.Row, err error) error {
	return fmt.Errorf("entry %d of the register cannot be read by this version (%q): %w; run fairhand verify", row.Seq, row.Line, err)
}

// rollDay begins a new register day when an entry is the first of it, and keeps
// a snapshot of the state the old one ended with.
func (b *Book) rollDay(row store.Row) {
	if row.Day <= b.day {
		return
	}
	if b.day != 0 && len(b.recent) > 0 {
		b.snapshot(b.recent[len(b.recent)-1].Row)
	}
	b.day, b.recent, b.index = row.Day, nil, map[int64]int{}
}

// snapshot keeps the present state as that after an entry. It is only a help
// for the next opening: failing to keep it is no failure of the book.
func (b *Book) snapshot(after store.Row) {
	end := dayEnd{after.Seq, after.Hash, b.state}
	if b.shots.replaying {
		b.shots.held.add(end)
		return
	}
	b.keepSnapshot(&end)
}

func (b *Book) keepSnapshot(end *dayEnd) {
	state, err := json.Marshal(&end.state)
	if err != nil {
		return
	}
	_ = b.st.PutSnapshot(store.Snapshot{Seq: end.seq, Hash: end.hash, Program: b.shots.program, State: state})
}

// keep adds an entry to the day in memory.
func (b *Book) keep(e Entry) {
	if b.index == nil {
		b.index = map[int64]int{}
	}
	b.index[e.Seq] = len(b.recent)
	b.recent = append(b.recent, e)
}

// attach puts findings and explanations to the entries they are about.
func (b *Book) attach(ev block.Event, found []block.Finding) {
	for _, f := range found {
		i, ok := b.index[f.Seq]
		if !ok {
			i = len(b.recent) - 1 // about an entry of an earlier day
		}
		b.recent[i].Findings = append(b.recent[i].Findings, f)
	}
	if ev.Kind == block.Explain {
		if i, ok := b.index[ev.Target]; ok {
			b.recent[i].Explained = append(b.recent[i].Explained, ev.Seq)
		}
	}
}

// corrected reads the book again from before a corrected entry.
func (b *Book) corrected(target int64) error {
	if err := b.st.DropSnapshotsFrom(b.shots.program, target); err != nil {
		return err
	}
	from, state, err := b.startBefore(target)
	if err != nil {
		return err
	}
	return b.replayTo(from.Seq, 0, state)
}

// catchUp takes in what another program has written.
func (b *Book) catchUp() error {
	if _, err := b.st.CatchUp(); err != nil {
		return err
	}
	return b.restore()
}
