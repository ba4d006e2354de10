package compare

import (
	"fmt"
	"strings"
	"testing"
)

// limitsBox is a box file of one section.
const limitsBox = `box: %s
timezone: UTC
rules: british-later
booking: %s
sections:
  - neighbour: %s
    method: absolute
    lines: [{name: Up Main, way: %s}, {name: Down Main, way: %s}]
`

// twoBooks compares two books in notation: Eastmoor sends on the Up Main.
func twoBooks(t *testing.T, booking string, east, west []string) *Pair {
	t.Helper()
	book := func(name, other, out, in string, lines []string) *Book {
		return decode(t, fmt.Appendf(nil, limitsBox, name, booking, other, out, in),
			[]byte("date 2026-05-05\n"+strings.Join(lines, "\n")+"\n"))
	}
	p, err := Two(book("Eastmoor", "Westbeck", "out", "in", east), book("Westbeck", "Eastmoor", "in", "out", west))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// clockTime writes seconds since midnight as a book does.
func clockTime(secs int) string {
	return fmt.Sprintf("%02d:%02d:%02d", secs/3600, secs/60%60, secs%60)
}

// signals writes train entering section for so many trains, every three to five
// minutes, into both books, the second by a clock so many seconds ahead.
func signals(east, west []string, from, trains, ahead int) ([]string, []string) {
	for i := range trains {
		at := from + i*180 + i*i*53%120
		east = append(east, fmt.Sprintf("%s Westbeck >2 train 2T%02d", clockTime(at), i))
		west = append(west, fmt.Sprintf("%s Eastmoor <2 train 2T%02d", clockTime(at+ahead), i))
	}
	return east, west
}

// Two clocks that differ by more than a minute are told, others are not.
func TestClocksMoreThanAMinuteApart(t *testing.T) {
	for ahead, want := range map[int]string{0: "", 60: "", 61: "clock-offset", 70: "clock-offset", -60: "", -70: "clock-offset"} {
		east, west := signals(nil, nil, 8*3600, 20, ahead)
		p := twoBooks(t, "signals", east, west)
		if got := rules(p.Findings); got != want || p.Matched != 20 {
			t.Errorf("%d s: found %q of %d matched, want %q", ahead, got, p.Matched, want)
		}
	}
}

// A step of the difference is a clock that was set; but a clock that nothing was
// heard of for hours may have gained that much: half a minute an hour.
func TestSettingAfterAGap(t *testing.T) {
	for _, c := range []struct {
		name      string
		gap, step int // hours; seconds
		stretches int
	}{
		{"set in the course of working", 0, 120, 2},
		{"three minutes in eight hours", 8, 200, 1},
		{"four minutes and a half in eight hours", 8, 270, 1},
		{"five minutes in eight hours", 8, 300, 2},
		{"back by three minutes in eight hours", 8, -200, 1},
		{"back by five minutes in eight hours", 8, -300, 2},
	} {
		east, west := signals(nil, nil, 6*3600, 15, 0)
		east, west = signals(east, west, 6*3600+15*180+c.gap*3600, 15, c.step)
		p := twoBooks(t, "signals", east, west)
		if len(p.Clocks) != c.stretches || p.Matched != 30 {
			t.Errorf("%s: %d matched, clocks %+v", c.name, p.Matched, p.Clocks)
		}
	}
}

// Call attention is always the same beats. That of one exchange is not taken for
// that of another, however well it would fill a gap.
func TestCallAttentionOfAnotherExchange(t *testing.T) {
	east, west := signals(nil, nil, 8*3600, 12, 0)
	east = append(east, "08:45:00 Westbeck >1 <1 >3-1 <3-1")
	west = append(west, "08:55:00 Eastmoor <1 >1 <4 >4")
	east, west = signals(east, west, 9*3600+600, 12, 0)
	p := twoBooks(t, "exchanges", east, west)
	const want = `bell-missing 08:45:00 [13] [] Eastmoor has 3-1 sent to Westbeck at 08:45:00 (entry 13, line 14); Westbeck has it not
bell-missing 08:55:00 [] [13] Westbeck has 4 received from Eastmoor at 08:55:00 (entry 13, line 14); Eastmoor has it not
`
	if got := listing(p); got != want {
		t.Errorf("found\n%swant\n%s", got, want)
	}
}

// A signal without a name that stands 25 minutes off, at the place of its wrong time, is
// one slip: not one that is missing in each book.
func TestWrongTimeInItsOrder(t *testing.T) {
	east, west := signals(nil, nil, 8*3600, 12, 0)
	east = append(east, "09:00:00 Westbeck >2-1 <2-1")
	east, west = signals(east, west, 9*3600+60, 6, 0)
	west = append(west, "09:25:00 Eastmoor <2-1 >2-1")
	east, west = signals(east, west, 9*3600+1800, 12, 0)
	if got := rules(twoBooks(t, "exchanges", east, west).Findings); got != "time-differs" {
		t.Errorf("found %q, want time-differs alone", got)
	}
}

// Of two like signals that are both near enough in time, the one of the same
// train is the same signal, though the other is nearer.
func TestNamesTellWhichSignal(t *testing.T) {
	east, west := signals(nil, nil, 8*3600, 12, 0)
	east = append(east, "08:45:00 Westbeck >3-1 train 1A11", "08:46:00 Westbeck >3-1 train 1A12")
	west = append(west, "08:45:25 Eastmoor <3-1 train 1A12")
	east, west = signals(east, west, 9*3600, 12, 0)
	p := twoBooks(t, "signals", east, west)
	const want = "bell-missing 08:45:00 [13] [] Eastmoor has 3-1 sent to Westbeck at 08:45:00 (entry 13, line 14); Westbeck has it not\n"
	if got := listing(p); got != want {
		t.Errorf("found\n%swant\n%s", got, want)
	}
}

// Two signals of one minute that the books have in opposite order, one of them with
// other beats, are still one signal each: a difference of beats, and none missing.
func TestOtherBeatsOutOfOrder(t *testing.T) {
	east, west := signals(nil, nil, 8*3600, 12, 0)
	east = append(east, "08:45:00 Westbeck >1 <1 >2-1 <2-1 train 1A11", "08:45:00 Westbeck >1 <1 >3-1 <3-1 train 1A12")
	west = append(west, "08:45:00 Eastmoor <1 >1 <2-2-1 >2-2-1 train 1A12", "08:45:00 Eastmoor <1 >1 <2-1 >2-1 train 1A11")
	east, west = signals(east, west, 9*3600, 12, 0)
	p := twoBooks(t, "exchanges", east, west)
	const want = "bell-differs 08:45:00 [14] [13] Eastmoor has 3-1 sent to Westbeck at 08:45:00 (entry 14, line 15); Westbeck has 2-2-1 received from Eastmoor at 08:45:00 (entry 13, line 14)\n"
	if got := listing(p); got != want {
		t.Errorf("found\n%swant\n%s", got, want)
	}
}

// What is found to be more than the tolerance does not read as within it.
func TestApartIsMoreThanTheTolerance(t *testing.T) {
	p := &Pair{First: &Book{step: 60}, Second: &Book{step: 60}, Tolerance: 120}
	for secs, want := range map[float64]string{133: "2 min 13 s", -175: "3 min", 361: "6 min"} {
		if got := p.apart(secs); got != want {
			t.Errorf("%v seconds are told as %s, want %s", secs, got, want)
		}
	}
}

// A train that one book names and the other does not has no other name there.
func TestNoNameIsNoOtherName(t *testing.T) {
	east, west := signals(nil, nil, 8*3600, 20, 0)
	for i, in := range [][]string{east, west} {
		in[3+i], _, _ = strings.Cut(in[3+i], " train")
	}
	if p := twoBooks(t, "signals", east, west); len(p.Findings) != 0 || p.Matched != 20 {
		t.Errorf("%d matched\n%s", p.Matched, listing(p))
	}
}

// A book may end a quarter of an hour, or eight signals, before its neighbour without a word:
// both end within a train of each other. More is told.
func TestOneBookEndsSooner(t *testing.T) {
	for _, c := range []struct {
		signals, last int // of them behind the end of the other book, and how many seconds the last
		want          string
	}{{12, 900, ""}, {12, 901, "book-part-missing"}, {8, 1800, ""}, {9, 1800, "book-part-missing"}} {
		east, west := signals(nil, nil, 8*3600, 20, 0)
		end := 8*3600 + 19*180 + 19*19*53%120
		for i := range c.signals {
			east = append(east, fmt.Sprintf("%s Westbeck >2 train 2U%02d", clockTime(end+c.last-20*(c.signals-1-i)), i))
		}
		if p := twoBooks(t, "signals", east, west); rules(p.Findings) != c.want {
			t.Errorf("%d signals, the last %d s behind the end: found\n%swant %q", c.signals, c.last, listing(p), c.want)
		}
	}
}
