package compare

import (
	"fmt"
	"testing"
	"unique"

	"fairhand/block"
)

// What one book has of a signal and the other of one that may be it: how far apart they may
// be in time, by what is the same.
func TestHowFarAStrayMayBe(t *testing.T) {
	al := &aligner{tol: 60, reach: 600}
	of := func(name string) *element {
		return &element{bell: &bell{ringing: &ringing{name: unique.Make(name)}}, topic: 1}
	}
	for _, c := range []struct {
		what string
		a, b *element
		how  strayness
		most float64 // seconds
	}{
		{"other beats, one name", of("2T01"), of("2T01"), otherBeats, 60},
		{"other beats, no name", of(""), of("2T01"), otherBeats, -1},
		{"another name", of("2T01"), of("2T02"), otherName, 60},
		{"another name, at another time", of("2T01"), of("2T02"), otherTime, -1},
		{"another time, one name", of("2T01"), of("2T01"), otherTime, strayNamed},
		{"another time, no name", of("2T01"), of(""), otherTime, 660},
		{"another name, where one has none", of(""), of("2T02"), otherName, 60},
	} {
		if c.most >= 0 && !al.stray(c.a, c.b, c.most, c.how) {
			t.Errorf("%s, %v s apart: not one", c.what, c.most)
		}
		if al.stray(c.a, c.b, c.most+1, c.how) {
			t.Errorf("%s, %v s apart: one", c.what, c.most+1)
		}
	}
}

// Two counts make the charge with what is out when the first was made: a token drawn there
// before, and none of what went after, by which the other count was made.
func TestCountsAddUp(t *testing.T) {
	p := &Pair{diff: &difference{}}
	all := []*journey{
		{number: 1, what: restored, first: true, at: 900}, {number: 2, what: drawn, first: true, at: 950},
		{number: 7, what: drawn, at: 1200}, {number: 3, what: drawn, first: true, at: 1250}, {number: 8, what: drawn, at: 1301},
	}
	a := &count{noted: noted{at: 1000}, here: 3}
	for _, c := range []struct {
		at   block.Time
		here int
	}{{1000, 4}, {1199, 4}, {1200, 3}, {1300, 3}, {1301, 2}} {
		sum, out, ok := p.addUp(a, &count{noted: noted{at: c.at}, here: c.here}, all)
		if sum != 8 || out != 1 || !ok {
			t.Errorf("%d there at %d: %d with %d out, %v; want 8 with 1", c.here, c.at, sum, out, ok)
		}
	}
	if _, _, ok := p.addUp(a, &count{noted: noted{at: 1300}, here: 3}, append(all, &journey{number: 9, what: placed, at: 1100})); ok {
		t.Error("a technician was at work in between")
	}
}

// An acceptance that differs rests on the entries of each book by its own numbers.
func TestAcceptanceRestsOnEachBook(t *testing.T) {
	east, west := signals(nil, nil, 8*3600, 12, 0)
	east = append(east, `08:44:00 note "which the other book has not"`, "08:45:00 Westbeck >1 <1 >3-1 <3-1 train 1A11")
	west = append(west, "08:45:00 Eastmoor <1 >1 <3-1 >3-5-5 train 1A11")
	east, west = signals(east, west, 9*3600, 12, 0)
	p := twoBooks(t, "exchanges", east, west)
	if got := rules(p.Findings); got != "acceptance-differs" || fmt.Sprint(p.Findings[0].Rests) != "[[14] [13]]" {
		t.Errorf("found\n%s", listing(p))
	}
}
