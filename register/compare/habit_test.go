package compare

import (
	"strings"
	"testing"
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

// TestPageTwice: a page that stands twice in a book is told of once, and compared once.
func TestPageTwice(t *testing.T) {
	east, west := signals(nil, nil, 8*3600, 40, 0)
	west = append(west[:30:30], append(west[12:30:30], west[30:]...)...)
	const want = "bell-missing 08:37:12 [] [] a part of the book of Westbeck stands twice in it: lines 32 to 49 say again, minute for minute, what stands from line 14; it is compared once\n"
	if got := listing(twoBooks(t, "signals", east, west)); got != want {
		t.Errorf("found\n%swant\n%s", got, want)
	}
}
