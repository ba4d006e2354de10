package compare

import (
	"slices"
	"strings"
	"testing"

	"fairhand/block/rulebook"
)

// TestBellsLeftOutByHabit: a clerk who books one bell of each signal, always or in his turns,
// is told of once in each book, and where now and then one is left out each is told.
func TestBellsLeftOutByHabit(t *testing.T) {
	for _, c := range []struct {
		name        string
		every, want int // of so many exchanges one is booked by its signal alone; findings
	}{
		{"always", 1, 1}, {"every second one", 2, 1}, {"one in thirty", 30, 2},
	} {
		east, west := []string{}, []string{}
		for i := range 60 {
			at := 6*3600 + i*240
			name := "2T" + string(rune('A'+i/10)) + string(rune('0'+i%10))
			east = append(east, clockTime(at)+" Westbeck >1 <1 >3-1 <3-1 train "+name, clockTime(at+90)+" Westbeck >2 <2 train "+name)
			offer, enter := " Eastmoor <1 >1 <3-1 >3-1 train ", " Eastmoor <2 >2 train "
			if i%c.every == c.every-1 {
				offer, enter = " Eastmoor <3-1 train ", " Eastmoor <2 >2 train "
			}
			west = append(west, clockTime(at)+offer+name, clockTime(at+90)+enter+name)
		}
		p := twoBooks(t, "exchanges", east, west)
		if len(p.Findings) != c.want || strings.Count(rules(p.Findings), "bell-missing") != c.want {
			t.Errorf("%s: %d findings, want %d:\n%s", c.name, len(p.Findings), c.want, listing(p))
		}
		if got := len(p.Findings[0].Rests[0]); got != 60/c.every/c.want {
			t.Errorf("%s: the first rests on %d entries", c.name, got)
		}
	}
}

// TestWholeTrain: a train that one book has not, or has altogether at other times, is told once;
// of one of which one signal is as it should be each is told.
func TestWholeTrain(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(i int, at int, line string) string // a line of the second book about train 20
		want string
	}{
		{"left out", func(int, int, string) string { return "" }, "bell-missing: Eastmoor has 3 signals from 08:20 (entry 61) to 08:27 (entry 63) of the train, and Westbeck has nothing of it"},
		{"all later", func(_, at int, line string) string { return clockTime(at+720) + line }, "time-differs: Westbeck has the whole train 12 min later than Eastmoor, which has 3 signals from 08:20 (entry 61) to 08:27 (entry 63), after the difference of the clocks; there it is 08:32 (entry 61) to 08:39 (entry 63)"},
		{"but one left out", func(i, at int, line string) string {
			if i == 1 {
				return clockTime(at) + line
			}
			return ""
		}, "bell-missing bell-missing"},
		{"but one later", func(i, at int, line string) string { return clockTime(at+720*min(i, 1)) + line }, "time-differs time-differs"},
		{"each otherwise", func(i, at int, line string) string { return clockTime(at+720+i*300) + line }, "time-differs time-differs time-differs"},
	} {
		var east, west []string
		for n := range 60 {
			name := "2T" + string(rune('A'+n/10)) + string(rune('0'+n%10))
			for i, b := range []struct{ after, way, code string }{{"0", ">", "3-1"}, {"120", ">", "2"}, {"420", "<", "2-1"}} {
				off := map[string]int{"0": 0, "120": 120, "420": 420}[b.after]
				at := 5*3600 + n*600 + off
				back := map[string]string{">": "<", "<": ">"}[b.way]
				east = append(east, clockTime(at)+" Westbeck "+b.way+b.code+" train "+name)
				line := " Eastmoor " + back + b.code + " train " + name
				if n != 20 {
					west = append(west, clockTime(at)+line)
				} else if s := c.do(i, at, line); s != "" {
					west = append(west, s)
				}
			}
		}
		p := twoBooks(t, "signals", east, west)
		got := rules(p.Findings)
		if len(p.Findings) == 1 {
			if f := &p.Findings[0]; f.Rule == rulebook.TimeDiffers && !slices.Equal(f.Rests[1], []int64{61, 62, 63}) || !slices.Equal(f.Rests[0], []int64{61, 62, 63}) {
				t.Errorf("%s: it rests on %v", c.name, f.Rests)
			}
			got += ": " + strings.NewReplacer(", line 62", "", ", line 64", "").Replace(p.Findings[0].Text)
		}
		if got != c.want {
			t.Errorf("%s: found %q,\nwant %q", c.name, got, c.want)
		}
	}
}

// TestPageTwice: a page that stands twice in a book is told of once, and compared once.
func TestPageTwice(t *testing.T) {
	east, west := signals(nil, nil, 8*3600, 40, 0)
	west = append(west[:30:30], append(west[12:30:30], west[30:]...)...)
	const want = "bell-missing 08:37:12 [] [] a part of the book of Westbeck stands twice in it: lines 32 to 49 say again, minute for minute, what stands from line 14; it is compared once\n"
	if got := listing(twoBooks(t, "signals", east, west)); got != want {
		t.Errorf("found\n%swant\n%s", got, want)
	}
}
