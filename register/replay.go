package register

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"reflect"
	"runtime/debug"
	"slices"
	"sync"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/notation"
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
	h.Write(ofProgram())
	return "fairhand " + hex.EncodeToString(h.Sum(nil)[:8])
}

// ofProgram is what of the tag is the same for every box: written down once, as it is
// most of the work of opening a short book.
var ofProgram = sync.OnceValue(func() []byte {
	var b bytes.Buffer
	fmt.Fprintln(&b, block.Fingerprint(), Build())
	if info, ok := debug.ReadBuildInfo(); !ok || !named(info) {
		fmt.Fprintln(&b, executable())
	}
	shape(&b, reflect.TypeFor[block.State](), map[reflect.Type]bool{})
	return b.Bytes()
})

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

// Program is the name and the version of the program, for what is signed.
func Program() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "fairhand (devel)"
	}
	return "fairhand " + info.Main.Version
}

// Build tells this build of the program from others, where the tools that made it
// have noted that.
func Build() string {
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

// named says whether what the tools noted tells this build from every other: a sum or a revision
// without changes. Built from a folder without its history no two builds differ in it, and what
// the one kept was told as forged by the next.
func named(info *debug.BuildInfo) bool {
	is := map[string]string{}
	for _, s := range info.Settings {
		is[s.Key] = s.Value
	}
	return info.Main.Sum != "" || is["vcs.revision"] != "" && is["vcs.modified"] == "false"
}

// executable tells the file of the program from that of another build. A copy of it counts as
// another, which costs one replay.
func executable() string {
	path, err := os.Executable()
	if err != nil {
		return ""
	}
	info, err := os.Stat(path)
	if err != nil {
		return ""
	}
	return fmt.Sprint(info.Size(), info.ModTime().UnixNano())
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
	recent []Entry       // its entries, in the order of writing
	index  map[int64]int // number of an entry to its place in recent; nil until one is looked for
	day    calendar.Day
	first  int64      // its first entry
	open   block.Time // from when it may be read otherwise when more is written; 0 for none
}

// restore builds the state from the newest snapshots and the entries after
// them. The newest is believed only if a replay from the one before it comes to
// the same state, byte for byte; otherwise both are, and the book is read from its beginning.
func (b *Book) restore() error {
	newest, ok := b.st.LastSnapshot(b.program)
	if !ok {
		return b.replayFrom(0, b.empty())
	}
	var now present
	var ends dayEnds
	var after int64
	var came comingTo
	err := b.fromKept(newest.Seq, func(from int64, state block.State) (err error) {
		after, came = from, comingTo{newest.Seq: nil}
		now, ends, err = b.replayed(context.Background(), reading.Span{After: from}, state, nil, came)
		return err
	})
	if err != nil {
		return err
	}
	kept := slices.IndexFunc(ends, func(e dayEnd) bool { return e.seq == newest.Seq })
	switch {
	case came.differs(newest):
		return b.afresh(newest)
	case kept < 0: // no day ends there any more
		err = b.st.DropSnapshotsFrom(b.program, after+1)
	}
	if err != nil {
		return err
	}
	b.present = now
	b.proof.extend(ends)
	b.keepSnapshots(ends[kept+1:]...)
	return nil
}

// afresh reads the book from its beginning, or from what is proved, where two kept states
// do not agree: either may be the one that somebody made up.
func (b *Book) afresh(newest store.Snapshot) error {
	b.believed(newest)
	if _, proved := b.provedEnd(newest.Seq); !proved {
		came := b.comingTo()
		now, ends, err := b.replayed(context.Background(), reading.Span{}, b.empty(), nil, came)
		if err == nil {
			b.forged(came)
			b.present, err = now, b.st.DropSnapshotsFrom(b.program, 0)
			b.keepSnapshots(ends...)
		}
		return err
	}
	if err := b.st.DropSnapshotsFrom(b.program, 0); err != nil {
		return err
	}
	return b.reread(newest.Seq)
}

// replayFrom replays all entries after a number to the end of the book, and
// publishes what they come to.
func (b *Book) replayFrom(after int64, s block.State) error {
	now, ends, err := b.replayed(context.Background(), reading.Span{After: after}, s, nil, nil)
	if err != nil {
		return err
	}
	b.present = now
	b.proof.extend(ends)
	b.keepSnapshots(ends...)
	return nil
}

// replayed is what the entries of a span come to, and the days that end in them;
// days is told of each where it is not nil, and came of the states asked for.
func (r *Reader) replayed(ctx context.Context, span reading.Span, s block.State, days *store.DayCheck, came comingTo) (present, dayEnds, error) {
	p, ends := present{}, dayEnds(nil)
	run := reading.NewReplay(r.BoxAt(span.After), s)
	for e, err := range run.Ordered(r.Entries(ctx, span)) {
		if err != nil {
			return p, nil, err
		}
		if p.rolls(e) && run.Whole() {
			ends.add(dayEnd{e.Seq - 1, e.Prev, run.State()})
		}
		came.look(run)
		found := run.Take(e)
		p.keep(e)
		p.attach(found)
		if now := run.Look(); len(now.Answers) > 0 {
			p.state = *now
			p.answer()
		}
		if days != nil {
			days.Add(&e.Row)
		}
		if r.Progress != nil && span.Proved && e.Seq%1000 == 0 {
			r.Progress(e.Seq, span.To)
		}
	}
	if r.Progress != nil && span.Proved {
		r.Progress(span.To, span.To)
	}
	p.sort()
	p.state, p.open = run.State(), run.Open()
	return p, ends, nil
}

// rolls says whether an entry ends the present day.
func (p *present) rolls(e *reading.Entry) bool { return e.Begins(p.day) && len(p.recent) > 0 }

// keep takes an entry into memory. The first of a later day takes the place of
// those written before it.
func (p *present) keep(e *reading.Entry) {
	if e.Begins(p.day) {
		p.day, p.first = e.Day, e.Seq
		p.recent = slices.DeleteFunc(p.recent, func(o Entry) bool { return o.Seq < e.Seq })
		p.index = nil
	}
	if e.Seq < p.first {
		return // of the day before, and corrected to be of this one
	}
	if p.index != nil {
		p.index[e.Seq] = len(p.recent)
	}
	p.recent = append(p.recent, entryOf(e))
}

// of is an entry in memory, by its number; nil for any other.
func (p *present) of(seq int64) *Entry {
	if p.index == nil {
		p.index = make(map[int64]int, len(p.recent))
		for i := range p.recent {
			p.index[p.recent[i].Seq] = i
		}
	}
	if i, ok := p.index[seq]; ok {
		return &p.recent[i]
	}
	return nil
}

// sort puts the entries in the order of writing.
func (p *present) sort() {
	bySeq := func(a, b Entry) int { return cmp.Compare(a.Seq, b.Seq) }
	if !slices.IsSortedFunc(p.recent, bySeq) {
		slices.SortFunc(p.recent, bySeq)
		p.index = nil
	}
}

// attach puts findings to the entries they are about.
func (p *present) attach(found []block.Finding) {
	for _, f := range found {
		e := cmp.Or(p.of(f.Seq), &p.recent[len(p.recent)-1]) // the last for an entry of an earlier day
		e.found(&f)
	}
}

// keepSnapshots keeps the state at the end of each of some days, so that opening a
// book of ten years replays the last day or two. They are only a help, and restore
// believes none that a replay does not come to as well.
func (b *Book) keepSnapshots(ends ...dayEnd) {
	if b.Alarm() != nil {
		return // they rest on what cannot be proved
	}
	for i := range ends {
		if state, err := json.Marshal(&ends[i].state); err == nil {
			_ = b.st.PutSnapshot(store.Snapshot{Seq: ends[i].seq, Hash: ends[i].hash, Program: b.program, State: state}) // failing is no failure of the book
		}
	}
}

// reread reads the book again from before an entry.
func (b *Book) reread(from int64) error {
	return b.orDamaged(context.Background(), b.fromKept(from, b.replayFrom))
}

// changes says from which entry on the book is read anew once an event is written:
// one that corrects another, or is of a time before the last. 0 when it only goes on.
func (b *Book) changes(ev *block.Event) (int64, error) {
	at, late := ev.At, ev.At < b.state.LastAt || ev.At == b.state.LastAt && (ev.Written != 0 || b.wrongAt(ev.At))
	switch {
	case len(b.recent) == 0, b.open == 0 && ev.Kind == block.ClockSet:
		return 0, nil
	case ev.Kind == block.Correct:
		return b.corrects(ev)
	case ev.Kind == block.ClockSet:
		at = b.open
	case b.open != 0:
		at = min(at, b.open)
	case !late || ev.Kind == block.Transcribed:
		return 0, nil
	}
	return b.firstFrom(at)
}

// wrongAt says whether something was found of the last entries, of one time: those
// below them may show that they stand in another order.
func (b *Book) wrongAt(at block.Time) bool {
	for i := len(b.recent) - 1; i >= 0 && b.recent[i].Event.At == at; i-- {
		if slices.ContainsFunc(b.recent[i].Findings, func(f block.Finding) bool { return f.Severity > rulebook.Advice }) {
			return true
		}
	}
	return false
}

// corrects says from which entry on a correction changes the book: the one it
// corrects, of a correction the one that this corrected, or where the time that it
// gives belongs.
func (b *Book) corrects(ev *block.Event) (int64, error) {
	first := ev.Seq
	for c := *ev; c.Kind == block.Correct && c.Target > 0 && c.Target < first; {
		first = c.Target
		rows, err := b.st.Range(first, first)
		if err != nil || len(rows) == 0 {
			return first, err
		}
		at := block.Time(rows[0].At) // what stands instead is of the same date, unless it gives another
		from, err := b.firstFrom(at)
		if err != nil {
			return 0, err
		}
		first = min(first, from)
		if now, err := notation.ParseCorrection(b.Location(), at, c.Text); err == nil {
			if now.Kind == block.Correct {
				first = min(first, now.Target)
			}
			if from, err = b.firstFrom(now.At); err != nil {
				return 0, err
			}
			first = min(first, from)
		}
		if c, err = notation.NewStored(b.Location()).Event(at, rows[0].Line); err != nil {
			return 1, nil
		}
	}
	return max(first, 1), nil
}

// firstFrom is the first entry of the register day of a moment, or of the first day
// after it that has any.
func (b *Book) firstFrom(at block.Time) (int64, error) {
	first, _, err := b.st.SpanOf(b.DayOf(at), 0)
	return cmp.Or(first, b.st.Tail().Seq+1), err
}
