package compare

import (
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
