package audit

import (
	"testing"

	"fairhand/block"
)

const minute = int64(block.Minute)

// TestTrainsPerHour: C2 and C3 of the case list. Source: encyclopaedia article on
// single track, http://piglix.com/piglix/Single_track_(rail): a section of 15
// minutes on a single line gives 2 trains an hour each way; boxes 4 minutes apart
// on a double line give up to 15.
func TestTrainsPerHour(t *testing.T) {
	for _, c := range []struct {
		minutes block.Time
		single  bool
		want    float64
	}{{15, true, 2}, {4, false, 15}, {0, true, 0}, {-1, false, 0}} {
		if got := TrainsPerHour(c.minutes*block.Minute, c.single); got != c.want {
			t.Errorf("%d minutes, single %v: %v trains an hour, want %v", c.minutes, c.single, got, c.want)
		}
	}
}

// flowOf finds the figures of a flow.
func flowOf(t *testing.T, r *Report, section, way string) *Flow {
	t.Helper()
	for i := range r.Figures.Flows {
		if f := &r.Figures.Flows[i]; f.Section == section && f.Way == way {
			return f
		}
	}
	t.Fatalf("no trains %s %s in %+v", way, section, r.Figures.Flows)
	return nil
}

func classOf(t *testing.T, f *Flow, class string) *ClassFigures {
	t.Helper()
	for i := range f.Classes {
		if c := &f.Classes[i]; c.Class == class {
			return c
		}
	}
	t.Fatalf("no class %q in %+v", class, f.Classes)
	return nil
}

// TestShrivenham: C5 and the numeric checks of A1. Source: Lt-Col A. H. L. Mount,
// Report on the Shrivenham train crash of 15 January 1936, pp. 3-8, 10, 13,
// https://en.wikisource.org/wiki/Report_on_the_Shrivenham_train_crash_of_15_January_1936:
// the mineral train occupied the section from Marston for 7 minutes (5.8 to 5.15),
// the express ran from Highworth to Marston in 4 (5.18 to 5.22), the mineral in 9
// (4.59 to 5.8), and followed it at Marston after 14 (5.8 and 5.22); the milk
// empties ran in 3 (5.15 to 5.18). All inferred there from printed times.
func TestShrivenham(t *testing.T) {
	s := readScenario(t, "../testdata/check/case_a01_marston.txtar")
	r := auditBook(t, decodeBox(t, s.box), s.book, Options{})
	to := flowOf(t, r, "Shrivenham", "to")
	if got := classOf(t, to, "freight").Occupied; got.Count != 1 || got.Median != 7*minute || got.Longest != 7*minute {
		t.Errorf("mineral, Marston to Shrivenham: occupied %+v, want 7 minutes", got)
	}
	if to.Headway.Count != 1 || to.Headway.Median != 14*minute {
		t.Errorf("headway at Marston %+v, want 14 minutes", to.Headway)
	}
	from := flowOf(t, r, "Highworth Junction", "from")
	if got := classOf(t, from, "passenger").Running; got.Count != 1 || got.Median != 4*minute {
		t.Errorf("express, Highworth to Marston: %+v, want 4 minutes", got)
	}
	if got := classOf(t, from, "freight").Running; got.Count != 1 || got.Median != 9*minute {
		t.Errorf("mineral, Highworth to Marston: %+v, want 9 minutes", got)
	}
	milk := flowOf(t, r, "Shrivenham", "from")
	if milk.Trains != 1 || milk.Classes[0].Running.Median != 3*minute {
		t.Errorf("milk empties, Shrivenham to Marston: %+v, want 3 minutes", milk)
	}

	// The same train in the book of Shrivenham, whose clock was 2 minutes slow
	// throughout: 5.6 to 5.13, again 7 minutes.
	s = readScenario(t, "../testdata/check/case_a01_shrivenham.txtar")
	r = auditBook(t, decodeBox(t, s.box), s.book, Options{From: 19360115})
	if got := classOf(t, flowOf(t, r, "Marston Crossing", "from"), "freight").Occupied; got.Count != 1 || got.Median != 7*minute {
		t.Errorf("mineral in the book of Shrivenham: %+v, want 7 minutes", got)
	}
	if n := r.Keeping.OpenNow; len(n) == 0 {
		t.Error("the express and the down empty stock are on hand at the end, and none is reported")
	}
	// The last clock check booked before it was on 11 January, 2 minutes slow
	// (p. 7); that of the 15th is the guard's, after the accident.
	whole := auditBook(t, decodeBox(t, s.box), s.book, Options{})
	if whole.Keeping.ClockChecks != 2 || whole.Keeping.ClockWorst != -2 {
		t.Errorf("clock checks of both days: %+v", whole.Keeping)
	}
	// At Ashbury Crossing a turn did not book the time signal (p. 13).
	s = readScenario(t, "../testdata/check/case_a01_ashbury_clock.txtar")
	if k := auditBook(t, decodeBox(t, s.box), s.book, Options{}).Keeping; k.ClockChecks != 0 || k.ClockMissingCount != 1 || k.ClockMissing[0] != "1936-01-14" {
		t.Errorf("clock checks at Ashbury Crossing: %d, days without %v", k.ClockChecks, k.ClockMissing)
	}
}
