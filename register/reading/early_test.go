package reading

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/store"
)

// TestGivenEarly: an entry is given before the whole book is read, of a book of any length
// no more than a few thousand wait, and what is given early is what would have been given
// at the end. Reached is the last entry given when those up to it were, and no others, and
// only behind them a reading is whole.
func TestGivenEarly(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(5, 5))
	for round := range 20 {
		entries := unruly(rng, 240, 12*60)
		first := int64(1 + 100*(round%2)) // a replay may begin anywhere
		for i := range entries {
			entries[i].Seq, entries[i].Event.Seq = first+int64(i), first+int64(i)
		}
		at := NewReplay(file.Box, block.NewState(file.Box))
		var early []string
		waits, put, highest := 0, 0, first-1
		for e, err := range at.Ordered(func(yield func(*Entry, error) bool) {
			for i := range entries {
				if put++; !yield(&entries[i], nil) {
					return
				}
			}
		}) {
			if err != nil {
				t.Fatal(err)
			}
			if put < len(entries) {
				waits = max(waits, put-len(early))
			}
			reached := int64(0)
			if highest-first+1 == int64(len(early)) {
				reached = highest
			}
			if at.Reached() != reached {
				t.Errorf("round %d, entry %d: reached %d, want %d", round, e.Seq, at.Reached(), reached)
			}
			if at.Whole() && (e.Odd || reached != e.Seq-1) {
				t.Errorf("round %d: entry %d is no beginning", round, e.Seq)
			}
			if highest = max(highest, e.Seq); e.Nth != int64(len(early)+1) {
				t.Errorf("round %d, entry %d: its turn is %d, want %d", round, e.Seq, e.Nth, len(early)+1)
			}
			at.Take(e)
			early = append(early, shown(e))
		}
		if put > 0 && waits == 0 || waits > 60 {
			t.Errorf("round %d: %d wait", round, waits)
		}
		if late := atTheEnd(NewReplay(file.Box, block.NewState(file.Box)), entries); !slices.Equal(early, late) || len(early) != len(entries) {
			t.Errorf("round %d: %d entries\nearly %.40v\nlate  %.40v", round, len(early), early, late)
		}
	}
}

// atTheEnd is what is given when all entries are there before the first is.
func atTheEnd(whole *Replay, entries []Entry) (late []string) {
	for i := range entries {
		whole.order.put(&entries[i])
	}
	whole.order.close()
	for len(whole.order.list) > 0 {
		e := &whole.next().e
		whole.Take(e)
		late = append(late, shown(e))
	}
	return late
}

func shown(e *Entry) string {
	return fmt.Sprint(e.Seq, " ", e.Odd, e.Early, e.Slip, e.As, e.Relief)
}

// unruly is a book in which most entries are in order, some were written late, some are
// slips of the pen, and once the clock is set.
func unruly(rng *rand.Rand, n int, apart int64) []Entry {
	at, entries := block.Time(1_777_975_200), make([]Entry, n)
	for i := range entries {
		at += block.Time(rng.Int64N(apart)) * block.Minute / 4
		ev := block.Event{Seq: int64(i + 1), At: at, Kind: block.Note, Text: "a"}
		switch back := block.Time(rng.IntN(2400)) * block.Minute; rng.IntN(12) {
		case 0:
			ev.At, ev.Written = at-back, at
		case 1:
			ev.At -= back
		case 3:
			ev.Kind, ev.Subject = block.DutyOn, []string{"A. Fell", "R. Howe"}[rng.IntN(2)]
		case 4:
			ev.Kind, ev.Subject = block.DutyOff, []string{"A. Fell", "R. Howe"}[rng.IntN(2)]
		}
		if i == n/2 {
			at -= 5000
			ev = block.Event{Seq: int64(i + 1), At: at, Kind: block.ClockSet}
		}
		entries[i] = Entry{Row: store.Row{Seq: ev.Seq, At: int64(ev.At)}, Event: ev}
	}
	return entries
}

// TestBusyDayIsNotHeld: of a day with more entries than may wait those of the morning
// are given before the evening is read, also while it is open who is out of order.
func TestBusyDayIsNotHeld(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for name, at := range map[string]func(i int) block.Time{
		"in order": func(i int) block.Time { return block.Time(i) },
	} {
		run, put, given, most := NewReplay(file.Box, block.NewState(file.Box)), 0, map[int64]bool{}, 0
		for e, err := range run.Ordered(func(yield func(*Entry, error) bool) {
			for put < heldMost+2000 {
				ev := block.Event{Seq: int64(put + 1), At: 1_777_975_200 + at(put), Kind: block.Note, Text: "a"}
				put++
				if !yield(&Entry{Row: store.Row{Seq: ev.Seq}, Event: ev}, nil) {
					return
				}
			}
		}) {
			if err != nil {
				t.Fatal(err)
			}
			if put < heldMost+2000 {
				most = max(most, put-len(given))
			}
			given[e.Seq] = true
		}
		if len(given) != put || most != heldMost+1 {
			t.Errorf("%s: %d of %d given, %d waited", name, len(given), put, most)
		}
	}
}

// TestOpen: a book may be read otherwise from the time of its last slip on, until so much
// follows that nothing can change it.
func TestOpen(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	begin := block.Time(1777971600) // 10:00
	const slip, two = "10:04 note \"wrong\"\n", "10:12 note \"b\"\n10:03 note \"wrong\"\n"
	for _, c := range []struct {
		book  string
		after int
		want  block.Time
	}{
		{"", 9, 0}, {slip, 9, begin + 4*block.Minute}, {slip, triedBeyond - 2, begin + 4*block.Minute}, {slip, triedBeyond, 0},
		{slip + two, 9, begin + 3*block.Minute}, {two + "10:13 note \"c\"\n" + slip, 9, begin + 3*block.Minute},
	} {
		run := NewReplay(file.Box, block.NewState(file.Box))
		book := "date 2026-05-05\n10:00 note \"a\"\n10:10 note \"a\"\n" + c.book + strings.Repeat("10:20 note \"z\"\n", c.after)
		for e, err := range run.Ordered(survey(t, book).Entries(t.Context())) {
			if err != nil {
				t.Fatal(err)
			}
			run.Take(e)
		}
		if run.Open() != c.want {
			t.Errorf("%q and %d more: open from %d, want %d", c.book, c.after, run.Open(), c.want)
		}
	}
}

// TestDays: days are those of the box's clock, whichever was asked for before, and an
// entry begins the next, or any to which the clock was set.
func TestDays(t *testing.T) {
	midnight := block.Time(calendar.Day(20260506).Midnight(london(t)).Unix())
	d := days{loc: london(t)}
	for _, c := range []struct {
		at   block.Time
		want calendar.Day
	}{{midnight - 1, 20260505}, {midnight, 20260506}, {midnight + 86399, 20260506}, {midnight + 86400, 20260507}, {midnight, 20260506}, {midnight - 1, 20260505}} {
		if got := d.of(c.at); got != c.want {
			t.Errorf("%d is of %d, want %d", c.at, got, c.want)
		}
	}
	for _, c := range []struct {
		e    Entry
		want bool
	}{
		{Entry{Row: store.Row{Day: 20260506}}, true}, {Entry{Row: store.Row{Day: 20260506}, Odd: true}, false},
		{Entry{Row: store.Row{Day: 20260505}}, false}, {Entry{Row: store.Row{Day: 20260504}}, false},
		{Entry{Row: store.Row{Day: 20260504}, Event: block.Event{Kind: block.ClockSet}}, true},
		{Entry{Row: store.Row{Day: 20260505}, Event: block.Event{Kind: block.ClockSet}}, false},
	} {
		if got := c.e.Begins(20260505); got != c.want {
			t.Errorf("%+v begins a day: %v", c.e, got)
		}
	}
}

// TestLastWrittenLate: what the last entry of a book tells late answers what was missing,
// at the end; found by the line of a book that is known by its lines.
func TestLastWrittenLate(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	const book = "date 2026-05-05\n09:00 note \"a\"\n\n10:03 Saltgarth <2 >2\n10:00 Saltgarth <1 >1 <3-1 >3-1 train 2A01 written 10:20\n"
	b := survey(t, book)
	for _, c := range []struct {
		b    *Notation
		want string
	}{{survey(t, book+"10:21 note \"b\"\n10:22 note \"c\"\n"), "2 entered-without-acceptance by 3, 3 accepted-section-occupied by 3, at 4"}, {survey(t, book+"10:01 note \"late\" written 10:21\n"), "2 entered-without-acceptance by 3, 3 accepted-section-occupied by 3"}, {b, "2 entered-without-acceptance by 3, 3 accepted-section-occupied by 3"}, {b.ByLine(), "4 entered-without-acceptance by 5, 5 accepted-section-occupied by 5"}} {
		run := NewReplay(file.Box, block.NewState(file.Box))
		var answered []string
		for e, err := range run.Ordered(c.b.Entries(t.Context())) {
			if err != nil {
				t.Fatal(err)
			}
			if run.Take(e); e.Seq == 3 && (e.Recorded-e.At != 20*60 || e.At != int64(e.Written().At)) {
				t.Errorf("written %d s late, want 20 min", e.Recorded-e.At)
			}
			for _, f := range run.Answered() {
				answered = append(answered, fmt.Sprintf("%d %s by %d", f.Seq, f.Rule, f.Answered))
			}
			if len(run.Answered()) > 0 {
				answered = append(answered, fmt.Sprint("at ", e.Seq))
			}
		}
		run.Finish()
		for _, f := range run.Answered() {
			answered = append(answered, fmt.Sprintf("%d %s by %d", f.Seq, f.Rule, f.Answered))
		}
		if got := strings.Join(answered, ", "); got != c.want {
			t.Errorf("%s answered, want %s", got, c.want)
		}
		if run.Box() != file.Box || run.State().LastSeq == 0 {
			t.Errorf("in %p, after %d", run.Box(), run.State().LastSeq)
		}
	}
	var h Hold
	if out := h.Take([]block.Finding{{Seq: 1, Rule: "bell-order"}}, NewReplay(file.Box, block.NewState(file.Box)).Look()); len(out) != 1 || h.list != nil {
		t.Errorf("what nothing may answer is kept back: %v", h.list)
	}
	h.list = []block.Finding{{Seq: 1}}
	if len(h.Rest()) != 1 || len(h.Rest()) != 0 {
		t.Error("what is kept back is not given once")
	}
}
