package compare

import (
	"fmt"
	"strings"
	"testing"
	"unique"

	"fairhand/block"
	"fairhand/block/rulebook"
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

// lineOf is a line of bells, each of an entry of its own at a time in seconds and of an exchange.
func lineOf(of int, key uint32, at []block.Time, exchanges []int32) *line {
	l := &line{of: of}
	for i := range at {
		b := &bell{ringing: &ringing{noted: noted{seq: int64(i + 1), at: at[i], entry: int32(i)}, name: unnamed, reached: at[i]}, exchange: exchanges[i]}
		l.el = append(l.el, element{bell: b, key: key, topic: 1})
	}
	return l
}

// What it costs to take two signals for one: less than to leave both alone up to half a day and
// an hour, and the same cost from an hour on.
func TestCostOfTheSameSignal(t *testing.T) {
	const key = uint32(signal)<<16 | 1
	for late, want := range map[block.Time]int32{0: 0, 30: 100, 60: 200, 61: lateFrom, 60 + 3600: lateTo, lateReach: lateTo, lateReach + 1: never} {
		al := &aligner{a: lineOf(0, key, []block.Time{0}, []int32{0}), b: lineOf(1, key, []block.Time{late}, []int32{0}), tol: 60, off: []float64{0}}
		if got := al.cost(0, 0); got != want {
			t.Errorf("%d s late: %d, want %d", late, got, want)
		}
	}
}

// What is left of an exchange is looked for in the one that its other signals were matched with,
// the first of the book as any other.
func TestMatesOfTheFirst(t *testing.T) {
	const key = uint32(attention)<<16 | 1
	al := &aligner{a: lineOf(0, key, []block.Time{0, 9, 20}, []int32{0, 0, 1}), b: lineOf(1, key, []block.Time{0, 400, 420}, []int32{0, 0, 1}), tol: 60, off: []float64{0, 0, 0}}
	p := pairing{toB: []int32{0, -1, -1}, toA: []int32{0, -1, -1}}
	al.mates(&p, answered)
	if fmt.Sprint(p) != "{[0 1 -1] [0 1 -1]}" {
		t.Errorf("%v", p)
	}
}

// What follows a signal that is one in both books may be one as well, the second as any other.
func TestInPlaceOfTheSecond(t *testing.T) {
	const key = uint32(signal)<<16 | 1
	al := &aligner{a: lineOf(0, key, []block.Time{0, 60, 99}, []int32{0, 1, 2}), b: lineOf(1, key, []block.Time{0, 60 + strayNamed, 5000}, []int32{0, 1, 2}), tol: 60, off: []float64{0, 0, 0}}
	p := pairing{toB: []int32{0, -1, -1}, toA: []int32{0, -1, -1}}
	al.inPlace(&p)
	if fmt.Sprint(p) != "{[0 1 -1] [0 1 -1]}" {
		t.Errorf("%v", p)
	}
}

// An answer belongs to an offer of ten minutes before, with other bells between, and to none before that.
func TestAnswerAfterOtherBells(t *testing.T) {
	for waited, want := range map[block.Time]part{waitAnswer: answer, waitAnswer + 1: signal} {
		s := &side{codes: []rulebook.Code{"", "1", "3-1", "3-5-5", "2"}}
		times := []block.Time{3600, 3600, 3600, 3630, 3630, 3600 + waited}
		for n, b := range []bell{{sent: true, code: 1}, {code: 1}, {sent: true, code: 2}, {code: 4}, {sent: true, code: 4}, {code: 3}} {
			b.ringing = &ringing{noted: noted{entry: int32(n)}}
			s.bells = append(s.bells, b)
		}
		newReading(simFile(t, "Eastmoor", "Westbeck", "absolute", "exchanges", false).Box, 0, s, times).all()
		if got := s.bells[5].part; got != want {
			t.Errorf("after %d s: %v, want %v", waited, got, want)
		}
	}
}

// A clock that is five minutes otherwise from one stretch to the next has gone so, one by more was set.
func TestSetMeanwhile(t *testing.T) {
	for step, want := range map[float64]bool{muchSet / 2: false, muchSet/2 + 1: true} {
		p := ofStretches(t, 120, 120+step)
		p.clocks()
		if got := strings.Contains(listing(p), "was set once meanwhile"); got != want || len(p.Findings) != 1 {
			t.Errorf("by %v s: %v\n%s", step, got, listing(p))
		}
	}
}

// Within the ballots before and after the setting of a clock the signals tell where it was set,
// though it be by one.
func TestWhereAClockWasSet(t *testing.T) {
	const key = uint32(signal)<<16 | 1
	at, of, voters := make([]block.Time, 2*voteTurn), make([]int32, 2*voteTurn), make([]int32, 2*voteTurn)
	for i := range at {
		at[i], of[i], voters[i] = block.Time(600*i), int32(i), int32(i)
	}
	for last := -1; last < 2*voteTurn; last++ { // that the other book has by the first difference, -1 for none
		e := &electorate{line: lineOf(0, key, at, of), voters: voters}
		if last >= 0 {
			e.index = map[uint32][]candidate{key: {{at: at[last]}}}
		}
		for i, k := range e.knots([]float64{0, 54_000}) {
			if i <= last && k.secs != 0 || i > last && k.secs != 54_000 {
				t.Errorf("of %d with its like: %d is %v", last, i, k.secs)
			}
		}
	}
}

// The time that a book has reached is what an entry gives that lies between those around it, also
// where it is already that of the next.
func TestReachedWithTheNext(t *testing.T) {
	at := []block.Time{0, 60, 180, 120, 180, 240, 300}
	l := lineOf(0, uint32(signal)<<16, at, make([]int32, len(at)))
	if got, want := fmt.Sprint(l.progress(func(i int) block.Time { return at[i] })), "[0 60 180 180 180 240 300]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// Call attention that was taken for that of another exchange is parted from it: where that of
// either book has its signal elsewhere.
func TestAttentionOfAnotherExchange(t *testing.T) {
	for _, c := range []struct {
		what    string
		signals [2]int32 // the exchange of the signal that both have, in each book; their attention is of exchange 1
		parted  bool
	}{{"of one exchange", [2]int32{1, 1}, false}, {"the first has its signal in another", [2]int32{1, 2}, true}, {"the second has", [2]int32{2, 1}, true}, {"neither has a signal", [2]int32{2, 2}, false}} {
		al := &aligner{}
		for k, l := range []**line{&al.a, &al.b} {
			*l = lineOf(k, 1, []block.Time{0, 60}, []int32{1 + int32(4*k), c.signals[k] + int32(4*k)}) // numbered by each book
			(*l).el[1].key |= uint32(signal) << 16
		}
		p := pairing{toB: []int32{0, 1}, toA: []int32{0, 1}}
		if parted := len(al.unlike(&p)) > 0; parted != c.parted {
			t.Errorf("%s: parted %v", c.what, parted)
		}
	}
}

// What stands before the other book begins is outside it from the tolerance on, and no sooner.
func TestOutsideFromTheTolerance(t *testing.T) {
	for before, want := range map[int]string{60: "bell-missing", 61: "book-part-missing"} {
		var east []string
		for i := range 8 {
			east = append(east, fmt.Sprintf("%s Westbeck >2 train 2U%02d", clockTime(7*3600+60*i), i))
		}
		east = append(east, fmt.Sprintf("%s Westbeck >2 train 2U08", clockTime(8*3600-before)))
		east, west := signals(east, nil, 8*3600, 20, 0)
		if got := rules(twoBooks(t, "signals", east, west).Findings); got != want {
			t.Errorf("%d s before: %s, want %s", before, got, want)
		}
	}
}

// Ten signals with their arrows the wrong way are told as one, fewer each by itself.
func TestTurnedFromTenOn(t *testing.T) {
	for turned, want := range map[int]bool{stretchLeast: true, stretchLeast - 1: false} {
		east, west := signals(nil, nil, 8*3600, 60, 0)
		for i := 20; i < 20+turned; i++ {
			west[i] = strings.Replace(west[i], "<2", ">2", 1)
		}
		if got := listing(twoBooks(t, "signals", east, west)); strings.Contains(got, "the arrows stand the wrong way") != want {
			t.Errorf("%d turned:\n%s", turned, got)
		}
	}
	if stretchLeast != 10 {
		t.Errorf("from %d on", stretchLeast)
	}
}
