package compare

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
)

// However the times of entries jitter, those by which a book is ordered do not go back.
func TestSteadyNeverGoesBack(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		times := make([]block.Time, 40)
		for i := range times {
			times[i] = block.Time(i*30 + r.IntN(240)) // by less than a clock is put back
		}
		if out := steady(times); !slices.IsSorted(out) {
			t.Fatalf("of %v\n%v", times, out)
		}
	}
}

// A clock put back is noted at the entry that shows it, of those that the median of five
// looks at: one with a wrong time further off is not it. The entries between have their own
// times, and so much has gone by, at least.
func TestPutBackWhereItShows(t *testing.T) {
	want := []setBackBy{{4, 580 + block.Minute}}
	for name, c := range map[string]struct{ noted, times, after []block.Time }{
		"two entries later":         {[]block.Time{1000, 1060, 1120, 1180, 600, 660}, []block.Time{1000, 1060, 660, 660, 660, 660}, []block.Time{1000, 1060, 1120, 1180, 660, 660}},
		"at once":                   {[]block.Time{1000, 1060, 1120, 1180, 600, 660}, []block.Time{1000, 1060, 1120, 1180, 600, 660}, []block.Time{1000, 1060, 1120, 1180, 600, 660}},
		"two entries before":        {[]block.Time{1000, 1060, 1120, 1180, 600, 660, 720}, []block.Time{1000, 1060, 1120, 1180, 1180, 1180, 720}, []block.Time{1000, 1060, 1120, 1180, 600, 660, 720}},
		"a wrong time three before": {[]block.Time{1000, 100, 1120, 1180, 600, 660}, []block.Time{1000, 1060, 1120, 1180, 600, 660}, []block.Time{1000, 1060, 1120, 1180, 600, 660}},
	} {
		g := &gathering{b: &Book{}, times: c.noted}
		g.putBack(c.times)
		if !slices.Equal(g.b.backs, want) || !slices.Equal(c.times, c.after) {
			t.Errorf("%s: %v, want %v; %v, want %v", name, g.b.backs, want, c.times, c.after)
		}
	}
}

// The difference of the clocks is looked up by entry in either book, so both tables are in
// that order, also where a signal stands out of its order in one of them.
func TestDifferenceIsInTheOrderOfEachBook(t *testing.T) {
	d := difference{
		first:  table{{1, 100, 100, 0}, {2, 200, 200, 0}, {3, 300, 300, 0}},
		second: table{{1, 100, 100, 0}, {6, 600, 600, 0}, {4, 300, 300, 0}},
	}
	d.measure([]float64{1, 2, 3})
	var got [][]int32
	for _, in := range []table{d.first, d.second} {
		var entries []int32
		for _, k := range in {
			entries = append(entries, k.entry)
		}
		got = append(got, entries)
	}
	if diff := cmp.Diff([][]int32{{1, 2, 3}, {1, 4, 6}}, got); diff != "" {
		t.Error(diff)
	}
}
