package register

import (
	"testing"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// With an even number of trains the median lies half way between the two in the
// middle: of 2, 3, 4, 5, 7 and 9 minutes it is four and a half.
func TestMedianOfAnEvenNumber(t *testing.T) {
	b, _ := inHandBook(t, 2, 9, 3, 5, 4, 7)
	runs, err := b.RunningTimes(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	got := runs.Through(b.Box().SectionIndex("Saltgarth"), block.Inward, rulebook.Passenger)
	if got.Seen != 6 || got.Time != 270 {
		t.Errorf("%d s of %d trains, want 270 s of 6", got.Time, got.Seen)
	}
}

// An entry of a minute ago or more is a late entry and says when it was written;
// one of less than a minute ago is written as it happens.
func TestLateFromAMinute(t *testing.T) {
	b, now := newBook(t, "2026-05-05 09:00")
	for _, c := range []struct {
		after time.Duration
		late  bool
	}{{0, false}, {59 * time.Second, false}, {time.Minute, true}, {61 * time.Second, true}, {time.Hour, true}} {
		*now = time.Date(2026, 5, 5, 9, 30, 0, 0, now.Location()).Add(c.after)
		evs, err := b.Parse(`09:30 note "the lamps are lit"`)
		if err != nil || len(evs) != 1 {
			t.Fatalf("%v, %v", evs, err)
		}
		want := block.Time(0)
		if c.late {
			want = b.Now()
		}
		if evs[0].Written != want {
			t.Errorf("%v after: written %d, want %d", c.after, evs[0].Written, want)
		}
	}
}
