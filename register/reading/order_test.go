package reading

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/register/boxfile"
)

// orderOf is the order in which the entries of a book are read: their numbers, with an
// asterisk for one that is not in the order of the times, e for one whose own time is
// before that of its place, s for a slip of the pen with the time by which it is read, r for one corrected to
// be of a time too far off; | where a replay may begin.
func orderOf(t *testing.T, book string) string {
	t.Helper()
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	run := NewReplay(file.Box, block.NewState(file.Box))
	var out []string
	for e, err := range run.Ordered(survey(t, "date 2026-05-05\n"+book).Entries(t.Context())) {
		if err != nil {
			t.Fatal(err)
		}
		run.Take(e)
		s := fmt.Sprint(e.Seq)
		for _, f := range []struct {
			is   bool
			sign string
		}{{e.Odd, "*"}, {e.Early, "e"}, {e.Slip, "s"}, {e.Redated, "r"}, {run.Whole(), "|"}} {
			if f.is {
				s += f.sign
			}
		}
		if e.As != 0 {
			s += time.Unix(int64(e.As), 0).In(london(t)).Format("=15:04")
		}
		out = append(out, s)
	}
	return strings.Join(out, " ")
}

// TestOrder: an entry written late is read at its own time, one of the same minute
// behind those above it where that breeds nothing, one of a wrong minute apart from the
// rest, which stays in order; what comes days late, or is copied in from an older book,
// is read where it stands.
func TestOrder(t *testing.T) {
	for _, c := range []struct{ what, book, want string }{
		{"as written", "10:00 note \"a\"\n10:00 note \"b\"\n10:05 note \"c\"\n", "1 2| 3|"},
		{"written late", "10:00 note \"a\"\n10:10 note \"b\"\n10:05 note \"late\" written 10:20\n10:21 note \"c\"\n", "1 3*e 2 4|"},
		{"of the same minute", "10:00 note \"a\"\n10:05 note \"b\"\n10:05 note \"late\" written 10:20\n10:21 note \"c\"\n", "1 2| 3*e 4|"},
		{"one wrong minute", "10:00 note \"a\"\n10:55 note \"wrong\"\n10:06 note \"b\"\n10:07 note \"c\"\n10:58 note \"d\"\n", "1 3 4 2*s 5|"},
		{"one before", "10:00 note \"a\"\n10:10 note \"b\"\n10:04 note \"wrong\"\n10:11 note \"c\"\n10:12 note \"d\"\n", "1 3*es 2 4| 5|"},
		{"last", "10:00 note \"a\"\n10:10 note \"b\"\n10:04 note \"wrong\"\n", "1 3*es 2"},
		{"two days late", "10:00 note \"a\"\ndate 2026-05-08\n10:10 note \"b\"\ndate 2026-05-05\n10:04 note \"late\" written 2026-05-08 10:11\ndate 2026-05-08\n10:12 note \"c\"\n", "1 2| 3| 4|"},
		{"an older book copied in", "10:00 note \"a\"\n10:01 note \"b\"\n10:02 note \"c\"\n10:03 note \"d\"\n10:04 note \"e\"\n10:05 transcribed \"older\"\ndate 2026-05-01\n10:00 note \"f\"\n10:01 note \"g\"\n10:02 note \"h\"\n10:03 note \"i\"\n10:04 note \"k\"\n", "1 2| 3| 4| 5| 6| 7| 8| 9| 10| 11|"},
		{"exactly two days late", "10:04 note \"a\"\ndate 2026-05-07\n10:04 note \"b\"\ndate 2026-05-05\n10:04 note \"late\" written 2026-05-07 10:05\n", "1 3*e 2"},
		{"a minute more", "10:04 note \"a\"\ndate 2026-05-07\n10:05 note \"b\"\ndate 2026-05-05\n10:04 note \"late\" written 2026-05-07 10:05\n", "1 2| 3|"},
		{"corrected to be two days later", "10:04 note \"a\"\n10:05 note \"b\"\n10:06 note \"c\"\n10:07 correct 2 \"2026-05-07 10:04 note \\\"a\\\"\"\n", "1 3 4 2*"},
		{"corrected to be later still", "10:04 note \"a\"\n10:05 note \"b\"\n10:06 note \"c\"\n10:07 correct 2 \"2026-05-07 10:05 note \\\"a\\\"\"\n", "1 2r| 3| 4|"},
		{"after one written late", "10:00 note \"a\"\n10:05 note \"b\" written 10:06\n10:05 note \"c\" written 10:07\n10:08 note \"d\"\n", "1 2| 3| 4|"},
		{"where it breeds least", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1A01\n10:05 train 1A01 arrived complete\n10:05 Saltgarth <2 >2 written 10:20\n", "1 3*e 2"},
		{"the same after days", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1A01\ndate 2026-05-08\n10:05 train 1A01 arrived complete\n10:05 Saltgarth <2 >2 written 10:20\n", "1 3*e 2"},
		{"an arrival below its out of section", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1A01\n10:02 Saltgarth <2 >2\n10:05 Saltgarth >1 <1 >2-1 <2-1\n10:05 train 1A01 arrived complete written 10:20\n", "1 2| 3| 4*e"},
		{"at a wrong minute, by what it says", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1A01\n10:10 Saltgarth <2 >2\n10:04 train 1A01 arrived complete\n10:12 Saltgarth >1 <1 >2-1 <2-1\n", "1 2 3*s=10:10 4|"},
		{"four wrong", "10:00 note \"a\"\n12:00 note \"b\"\n12:01 note \"c\"\n12:02 note \"d\"\n12:03 note \"e\"\n10:05 note \"f\"\n10:06 note \"g\"\n10:07 note \"h\"\n10:08 note \"i\"\n10:09 note \"j\"\n", "1 6 7 8 9 10 2*s 3*s 4*s 5*s"},
		{"the first two wrong, and on", "12:00 note \"a\"\n12:01 note \"b\"\n10:05 note \"c\"\n10:06 note \"d\"\n10:07 note \"e\"\n10:08 note \"f\"\n12:02 note \"g\"\n", "3 4 5 6 1*s 2*s 7|"},
		{"the first wrong", "10:55 note \"wrong\"\n10:00 note \"a\"\n10:01 note \"b\"\n10:58 note \"c\"\n", "2 3 1*s 4|"},
		{"two days before, without a word", "10:00 note \"a\"\ndate 2026-05-07\n10:00 note \"b\"\ndate 2026-05-05\n10:00 note \"c\"\ndate 2026-05-07\n10:01 note \"d\"\n", "1 3*es 2 4|"},
		{"more than two days before", "10:00 note \"a\"\ndate 2026-05-07\n10:01 note \"b\"\ndate 2026-05-05\n10:00 note \"c\"\ndate 2026-05-07\n10:02 note \"d\"\n", "1 2 3*s=10:01 4|"},
		{"late while another is open", "10:00 note \"a\"\n10:10 note \"b\"\n10:04 note \"wrong\"\n10:05 note \"late\" written 10:12\n10:13 note \"c\"\n", "1 3*es 4*e 2 5|"},
		{"a slip in an older book", "10:00 note \"a\"\n10:05 transcribed \"older\"\ndate 2026-05-01\n10:00 transcribed \"f\"\n10:00 Saltgarth <1 >1 <3-1 >3-1 train 1A01\n10:10 Saltgarth <2 >2\n10:04 train 1A01 arrived complete\n10:12 Saltgarth >1 <1 >2-1 <2-1\n", "1 2| 3| 4| 5 6*s=10:10 7|"},
		{"set back by two days, three above", "10:00 note \"a\"\ndate 2026-05-08\n10:00 note \"b\"\n10:01 note \"c\"\n10:02 note \"d\"\ndate 2026-05-05\n10:01 note \"e\"\n10:02 note \"f\"\n10:03 note \"g\"\n10:04 note \"h\"\n", "1 5 6 7 8 2*s 3*s 4*s"},
		{"four above", "10:00 note \"a\"\ndate 2026-05-08\n10:00 note \"b\"\n10:01 note \"c\"\n10:02 note \"d\"\n10:03 note \"e\"\ndate 2026-05-05\n10:01 note \"f\"\n10:02 note \"g\"\n", "1 2| 3| 4| 5| 6| 7|"},
		{"a correction timed too early", "10:00 note \"a\"\n10:10 note \"b\"\n10:05 correct 1 \"10:00 note \\\"c\\\"\"\n10:11 note \"d\"\n", "1 2| 3| 4|"},
		{"two before, each earlier", "10:00 note \"a\"\n10:10 note \"b\"\n10:05 note \"wrong\"\n10:04 note \"wrong\"\n10:11 note \"c\"\n", "1 4*es 3*es 2 5|"},
		{"one before, and one after", "10:00 note \"a\"\n10:10 note \"b\"\n10:05 note \"wrong\"\n10:11 note \"c\"\n10:30 note \"wrong\"\n10:12 note \"d\"\n10:13 note \"e\"\n", "1 3*es 2 4| 6 7 5*s"},
		{"the first wrong, by what it says", "10:55 Saltgarth <1 >1 <3-1 >3-1 train 1A01\n10:02 Saltgarth <2 >2\n10:05 train 1A01 arrived complete\n10:56 Saltgarth >1 <1 >2-1 <2-1\n", "1*s=10:02 2| 3| 4|"},
		{"the first corrected", "10:00 note \"a\"\n10:05 correct 1 \"10:03 note \\\"b\\\"\"\n10:06 note \"c\"\n", "1* 2| 3|"},
		{"a clock set while one is open", "10:00 note \"a\"\n10:10 note \"b\"\n10:04 note \"wrong\"\n10:05 clock set\n10:06 note \"c\"\n", "1 3*es 2 4| 5|"},
		{"corrected to be earlier", "10:00 note \"a\"\n10:05 note \"b\"\n10:06 note \"c\"\n10:07 correct 3 \"10:04 note \\\"c\\\"\"\n10:08 note \"d\"\n", "1 3*e 2 4| 5|"},
	} {
		if got := orderOf(t, c.book); got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
	}
}

// A book that cannot be read further says so, once, and whoever has heard enough may
// leave.
func TestOrderEnds(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	broken := errors.New("a disk")
	entries := func(yield func(*Entry, error) bool) {
		for e, err := range survey(t, "date 2026-05-05\n10:00 note \"a\"\n10:10 note \"b\"\n10:20 note \"c\"\n").Entries(t.Context()) {
			if !yield(e, err) {
				return
			}
		}
		yield(nil, broken)
	}
	run, n := NewReplay(file.Box, block.NewState(file.Box)), 0
	for e, err := range run.Ordered(entries) {
		if err != nil {
			if n++; err != broken || e != nil {
				t.Errorf("%v, %v, want the fault of the disk", e, err)
			}
		}
	}
	if n != 1 {
		t.Errorf("the fault is told %d times", n)
	}
	run = NewReplay(file.Box, block.NewState(file.Box))
	for e, err := range run.Ordered(survey(t, "date 2026-05-05\n10:00 note \"a\"\n10:10 note \"b\"\n").Entries(t.Context())) {
		if err != nil || e.Seq != 1 {
			t.Errorf("%v, %v, want the first entry", e, err)
		}
		break
	}
}

// Hold keeps back what a later entry may still answer: line clear for a second train
// with no out of section for the first, of which the second's shows that it was given
// and not booked; and what is answered, for the twelve hours in which its own out of section
// may yet be booked. It says by which entry, and is told in its order.
func TestHold(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	run := NewReplay(file.Box, block.NewState(file.Box))
	var h Hold
	var told []string
	tell := func(at int64, found []block.Finding) {
		for _, f := range found {
			told = append(told, fmt.Sprintf("at %d: %d %s by %d", at, f.Seq, f.Rule, f.Answered))
		}
	}
	held := 0
	book := "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1A01\n10:02 Saltgarth <2 >2\n10:04 train 1A01 arrived complete\n10:20 Saltgarth <1 >1 <3-1 >3-1 train 1A03\n10:22 Saltgarth <2 >2\n10:24 train 1A03 arrived complete\n10:25 Saltgarth >1 <1 >2-1 <2-1\n10:40 Saltgarth <1 >1 <3-1 >3-1 train 1A05\n10:42 Saltgarth <2 >2\n10:44 train 1A05 arrived complete\n10:45 Saltgarth >1 <1 >2-1 <2-1\n22:26 note \"quiet\"\n"
	for e, err := range survey(t, "date 2026-05-05\n"+book).Entries(t.Context()) {
		if err != nil {
			t.Fatal(err)
		}
		tell(e.Seq, h.Take(run.Take(e), run.Look()))
		if h.Any(func(f *block.Finding) bool { return f.Seq == 4 }) {
			held++
		}
	}
	tell(0, append(h.Take(run.Finish(), run.Look()), h.Rest()...))
	if len(h.Rest()) != 0 || h.Any(func(*block.Finding) bool { return true }) {
		t.Error("something is still held")
	}
	want := "at 12: 4 accepted-section-occupied by 7, at 0: 7 step-not-booked by 0"
	if got := strings.Join(told, ", "); got != want || held != 8 {
		t.Errorf("%s, held after %d entries; want %s, after 8", got, held, want)
	}
}

// The time of writing is that which an entry gives, else its own; who is on duty when
// an entry of before is written relieves whoever it concerns.
func TestWrittenAtAndRelief(t *testing.T) {
	if at := WrittenAt(&block.Event{At: -600}); at != -600 { // before 1970
		t.Errorf("written at %d, want its own time", at)
	}
	if at := WrittenAt(&block.Event{At: 600, Written: 900}); at != 900 {
		t.Errorf("written at %d, want the time given", at)
	}
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	run, relief := NewReplay(file.Box, block.NewState(file.Box)), map[int64]string{}
	book := "10:00 duty on \"A. Fell\"\n11:00 note \"a\"\n12:00 duty on \"R. Howe\"\n12:00 note \"at once\"\n11:59 note \"late\" written 12:10\n12:11 note \"b\"\n12:12 duty off \"R. Howe\"\n12:05 note \"late\" written 12:20\n09:59 note \"late\" written 12:21\n"
	for e, err := range run.Ordered(survey(t, "date 2026-05-05\n"+book).Entries(t.Context())) {
		if err != nil {
			t.Fatal(err)
		}
		run.Take(e)
		relief[e.Seq] = e.Relief
	}
	for seq, want := range map[int64]string{2: "", 4: "", 5: "R. Howe", 6: "", 8: "", 9: "A. Fell"} {
		if relief[seq] != want {
			t.Errorf("entry %d was written by the relief %q, want %q", seq, relief[seq], want)
		}
	}
}
