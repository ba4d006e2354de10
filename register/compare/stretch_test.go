package compare

import (
	"math"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// What is not in one book is told where both have the time: from the later of their
// beginnings to the earlier of their ends, and not within a hole, each by the tolerance.
func TestComparedOutsideHoles(t *testing.T) {
	p := &Pair{First: &Book{First: 1000, Last: 9000}, Second: &Book{First: 500, Last: 10_000}, Tolerance: 60, diff: &difference{}, holes: []hole{{from: 4000, to: 5000}}}
	for at, want := range map[block.Time]bool{939: false, 940: true, 3939: true, 3940: false, 4500: false, 5060: false, 5061: true, 9060: true, 9061: false} {
		if p.compared(at) != want {
			t.Errorf("at %d: %v", at, !want)
		}
	}
}

// Two clocks that differ are one finding as long as they do in the same way; the other way
// round, or after having agreed, it is another.
func TestOneFindingAsLongAsClocksDiffer(t *testing.T) {
	for _, c := range []struct {
		ahead []float64 // seconds, of one stretch after the other
		want  int
	}{
		{[]float64{120, 90}, 1}, {[]float64{120, -120}, 2}, {[]float64{-120, -90, -70}, 1}, {[]float64{120, 40, 120}, 1},
		{[]float64{120, 20, 120}, 2}, {[]float64{40, 40}, 0}, {[]float64{120, 1200}, 2},
	} {
		p := ofStretches(t, c.ahead...)
		if p.clocks(); len(p.Findings) != c.want {
			t.Errorf("%v s ahead: found\n%swant %d findings", c.ahead, listing(p), c.want)
		}
	}
}

// ofStretches is a pair of books whose clocks differ by so many seconds, for an hour each.
func ofStretches(t *testing.T, ahead ...float64) *Pair {
	t.Helper()
	east, west := signals(nil, nil, 8*3600, 20, 0)
	p := twoBooks(t, "signals", east, west)
	p.Findings, p.Clocks = nil, nil
	for i, secs := range ahead {
		from := p.First.First + block.Time(i)*60*block.Minute
		p.Clocks = append(p.Clocks, Clock{From: from, To: from + 60*block.Minute, Offset: secs, Matched: 1 + 2*i})
	}
	return p
}

// In a summary of stretches that are much alike, each counts by the signals it rests on.
func TestClockOfSeveralStretches(t *testing.T) {
	p := ofStretches(t, 10, 30) // by one signal and by three
	got := strings.Join(p.clockWords(), "\n")
	if !strings.Contains(got, "was 25 s ahead of that of Eastmoor (by 4 signals") {
		t.Error(got)
	}
}

// What comes with a whole train at other times is not told beside that: what is as much
// late and within its entries, but of no other train.
func TestFollowsAWholeTrain(t *testing.T) {
	p := &Pair{Tolerance: 60}
	whole := &Finding{Rule: rulebook.TimeDiffers, Train: "2T01", late: 360, Rests: [2][]int64{{4, 8}, {14, 18}}}
	for name, c := range map[string]struct {
		f    Finding
		want bool
	}{
		"its token as late":              {Finding{Rule: rulebook.TimeDiffers, late: 300, Rests: [2][]int64{{4}, {18}}}, true},
		"a token by more than that":      {Finding{Rule: rulebook.TimeDiffers, late: 299, Rests: [2][]int64{{4}, {18}}}, false},
		"before its first entry":         {Finding{Rule: rulebook.TimeDiffers, late: 360, Rests: [2][]int64{{3}, {18}}}, false},
		"behind its last":                {Finding{Rule: rulebook.TimeDiffers, late: 360, Rests: [2][]int64{{4}, {19}}}, false},
		"another train as late":          {Finding{Rule: rulebook.TimeDiffers, Train: "2T02", late: 360, Rests: [2][]int64{{5}, {15}}}, false},
		"it arrives before it left":      {Finding{Rule: rulebook.MovementDiffers, Train: "2T01", Rests: [2][]int64{{5}, {15}}}, true},
		"another arrives before":         {Finding{Rule: rulebook.MovementDiffers, Train: "2T02", Rests: [2][]int64{{5}, {15}}}, false},
		"what has nothing to do with it": {Finding{Rule: rulebook.BellMissing, Train: "2T01", late: 360, Rests: [2][]int64{{5}, nil}}, false},
	} {
		if p.follows(&c.f, whole) != c.want {
			t.Errorf("%s: %v", name, !c.want)
		}
	}
}

// How far signals lie apart in time, for how sure a drift is: of three, an hour from each to
// the next, the root of one hour squared, twice.
func TestHoursApart(t *testing.T) {
	if got := hoursApart(table{{at: 7200}, {at: 10_800}, {at: 14_400}}); math.Abs(got-math.Sqrt2) > 1e-9 {
		t.Errorf("%v, want %v", got, math.Sqrt2)
	}
}

// Bells of an exchange without its signal are told one by one; with it they are the signal.
func TestBellsInWords(t *testing.T) {
	s := &side{codes: []rulebook.Code{"", "1", "3-1"}}
	bells := []*bell{{part: attention, sent: true, code: 1}, {part: ready, code: 1}}
	if got, want := s.describe(bells, "Westbeck"), "call attention 1 sent to Westbeck, its acknowledgement 1 received from Westbeck"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := s.describe(append(bells, &bell{part: signal, sent: true, code: 2}), "Westbeck"), "3-1 sent to Westbeck"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// The very first signal of a book is judged as the others are.
func TestFirstSignalIsJudged(t *testing.T) {
	east, west := signals(nil, nil, 8*3600, 20, 0)
	east[0] = strings.Replace(east[0], ">2", ">3-1", 1)
	if p := twoBooks(t, "signals", east, west); rules(p.Findings) != "bell-differs" || p.Findings[0].Entries[1].Seq != 1 {
		t.Errorf("found\n%s", listing(p))
	}
}

// A signal that both books have speaks for the two trains being one, and four times so where
// their names agree.
func TestSignalsSpeakForATrain(t *testing.T) {
	var east, west []string
	for i, names := range [][2]string{{"1A11", "1A11"}, {"1A12", "1A99"}} {
		at := clockTime(9*3600 + i*600)
		for _, bell := range []string{">3-1", ">2", "<2-1"} {
			east = append(east, at+" Westbeck "+bell+" train "+names[0])
			west = append(west, at+" Eastmoor "+strings.NewReplacer("<", ">", ">", "<").Replace(bell)+" train "+names[1])
		}
	}
	p := twoBooks(t, "signals", east, west)
	votes := map[string]int{}
	for _, l := range p.links() {
		votes[p.First.trains[l.a].name+" "+p.Second.trains[l.b].name] += l.votes
	}
	if votes["1A11 1A11"] != 12 || votes["1A12 1A99"] != 3 {
		t.Errorf("%v votes", votes)
	}
}

// An offer is answered once: what would be its answer and comes a second time is a signal of
// its own, which the other box has or has not.
func TestOfferIsAnsweredOnce(t *testing.T) {
	s := &side{codes: []rulebook.Code{"", "1", "3-1", "3-5-5"}}
	var times []block.Time
	for n, b := range []bell{{sent: true, code: 1}, {code: 1}, {sent: true, code: 2}, {code: 3}, {code: 3}} {
		b.ringing = &ringing{noted: noted{entry: int32(n)}}
		s.bells, times = append(s.bells, b), append(times, block.Time(n)*block.Minute)
	}
	newReading(simFile(t, "Eastmoor", "Westbeck", "absolute", "exchanges", false).Box, 0, s, times).all()
	var got []part
	for i := range s.bells {
		got = append(got, s.bells[i].part)
	}
	if want := []part{attention, ready, signal, answer, signal}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}
