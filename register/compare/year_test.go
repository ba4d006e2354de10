package compare

import (
	"runtime"
	"testing"
	"time"

	"fairhand/register/registertest"
)

// TestClockSet: a clock that loses two minutes in a day and is set every morning
// at nine. Each stretch between settings has its own line.
func TestClockSet(t *testing.T) {
	for seed := range registertest.Depth[uint64](2, 5) {
		w := simulate(t, seed, simOptions{method: "absolute", seconds: true, days: 3, every: 9, ahead: 180, drift: -5, resets: true, spoil: 0.02, booking: [2]string{"exchanges", "exchanges"}})
		p, err := Two(w.book(t, 0), w.book(t, 1))
		if err != nil {
			t.Fatal(err)
		}
		s := w.score(t, p)
		t.Logf("seed %d: %d stretches, %d of %d found, %d of %d wrong, clock within %.1f s", seed, len(p.Clocks), s.found, s.planted, s.wrong, s.findings, s.clock)
		// Three days of two stretches each, the working ending before midnight.
		if len(p.Clocks) != 6 || s.clock > 10 || s.found*100 < s.planted*99 || s.wrong*100 > s.findings {
			t.Errorf("seed %d: %+v", seed, p.Clocks)
		}
	}
}

// TestSortedBooks: entries in the order of the times written, as a transcription
// may have them. Then order does not help to know a wrong time from two missing
// signals, so less is asked where trains have no names.
func TestSortedBooks(t *testing.T) {
	for _, named := range []bool{true, false} {
		var sum score
		for seed := range uint64(5) {
			w := simulate(t, seed, simOptions{method: "absolute", seconds: true, days: 1, every: 9, ahead: 180, drift: -5, spoil: 0.02, sorted: true, named: named, booking: [2]string{"signals", "signals"}})
			p, err := Two(w.book(t, 0), w.book(t, 1))
			if err != nil {
				t.Fatal(err)
			}
			s := w.score(t, p)
			sum.planted, sum.found, sum.findings, sum.wrong = sum.planted+s.planted, sum.found+s.found, sum.findings+s.findings, sum.wrong+s.wrong
			sum.clock = max(sum.clock, s.clock)
		}
		t.Logf("named %v: %d of %d found, %d of %d wrong, clock within %.1f s", named, sum.found, sum.planted, sum.wrong, sum.findings, sum.clock)
		if named && (sum.found*100 < sum.planted*97 || sum.wrong*100 > sum.findings*5) || sum.found*100 < sum.planted*70 || sum.clock > 10 {
			t.Errorf("named %v: %+v", named, sum)
		}
	}
}

// yearBooks are the books of so many days, of a year about 100,000 entries in each.
func yearBooks(t testing.TB, days int) (*world, *Book, *Book) {
	w := simulate(t, 1, simOptions{method: "absolute", seconds: true, days: days, every: 60, ahead: 180, drift: -5, resets: true, spoil: 0.02, booking: [2]string{"exchanges", "exchanges"}})
	return w, w.book(t, 0), w.book(t, 1)
}

// BenchmarkYear compares two books of a year.
func BenchmarkYear(b *testing.B) {
	w, x, y := yearBooks(b, 365)
	b.ReportMetric(float64(len(w.books[0])), "entries")
	b.ResetTimer()
	for b.Loop() {
		if _, err := Two(x, y); err != nil {
			b.Fatal(err)
		}
	}
}

// TestYear: the work is in proportion to the length of the books. A year takes
// seconds and some hundred megabytes, sixty days a sixth of it; a window by time keeps it from the square.
func TestYear(t *testing.T) {
	if testing.Short() {
		t.Skip("a year of two books")
	}
	days := registertest.Depth(60, 365)
	w, x, y := yearBooks(t, days)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	begun := time.Now()
	p, err := Two(x, y)
	if err != nil {
		t.Fatal(err)
	}
	took := time.Since(begun)
	runtime.ReadMemStats(&after)
	s := w.score(t, p)
	t.Logf("%d and %d entries, %d signals: %v, %d MB allocated, %d clocks, %d of %d found, %d of %d wrong", len(w.books[0]), len(w.books[1]), p.Signals[0],
		took.Round(time.Millisecond), (after.TotalAlloc-before.TotalAlloc)>>20, len(p.Clocks), s.found, s.planted, s.wrong, s.findings)
	if took > time.Duration(days)*55*time.Millisecond || after.TotalAlloc-before.TotalAlloc > uint64(days)*6<<20 {
		t.Error("more than it should take")
	}
	if s.found*100 < s.planted*99 || s.wrong*100 > s.findings {
		t.Errorf("%d of %d found, %d of %d wrong", s.found, s.planted, s.wrong, s.findings)
	}
}

// TestOneMinute: a strange book with everything at one time costs no more than
// the window allows.
func TestOneMinute(t *testing.T) {
	w := simulate(t, 1, simOptions{method: "absolute", days: 10, every: 9, booking: [2]string{"exchanges", "exchanges"}})
	for book := range w.books {
		for i := range w.books[book] {
			w.books[book][i].At = simStart
		}
	}
	x, y := w.book(t, 0), w.book(t, 1)
	p, err := Two(x, y)
	if err != nil {
		t.Fatal(err)
	}
	lo, hi := (&aligner{a: p.a, b: p.b, diff: p.diff}).band()
	cells := 0
	for i := range lo {
		cells += int(hi[i]-lo[i]) + 1
	}
	if n := len(p.a.el) + len(p.b.el); cells > n*(bandMost+2) {
		t.Errorf("%d cells for %d signals", cells, n)
	}
}
