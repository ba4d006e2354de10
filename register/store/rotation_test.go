package store

import (
	"testing"
	"time"
)

// TestSuperfluous: a copy a day for a year and a half, thinned every day as it
// would be, leaves the last 14 days and the last copy of each month before.
func TestSuperfluous(t *testing.T) {
	start := time.Date(2026, 1, 1, 22, 0, 0, 0, time.UTC)
	var kept []time.Time
	for day := range 548 {
		now := start.AddDate(0, 0, day)
		kept = append(kept, now)
		for _, gone := range Superfluous(kept, now) {
			for i, at := range kept {
				if at.Equal(gone) {
					kept = append(kept[:i], kept[i+1:]...)
					break
				}
			}
		}
	}
	// The last is 2 July 2027: 18 June to 2 July whole, then the last of 17 months
	// and of June up to the 17th.
	if len(kept) != 15+18 {
		t.Errorf("%d copies are kept: %v", len(kept), kept)
	}
	for _, at := range kept[:17] {
		if at.AddDate(0, 0, 1).Day() != 1 {
			t.Errorf("%v is not the last of its month", at)
		}
	}
}

func TestSuperfluousKeepsTheNewest(t *testing.T) {
	now := time.Date(2026, 5, 5, 22, 0, 0, 0, time.UTC)
	ago := func(days int) time.Time { return now.AddDate(0, 0, -days) }
	for name, made := range map[string][]time.Time{
		"one old copy":          {ago(400)},
		"none":                  nil,
		"a wrong clock":         {ago(-300), ago(40)},
		"old ones of two years": {ago(40), ago(40 + 365)},
	} {
		if gone := Superfluous(made, now); len(gone) != 0 {
			t.Errorf("%s: %v would go", name, gone)
		}
	}
	if gone := Superfluous([]time.Time{ago(30), ago(32), ago(33)}, now); len(gone) != 2 || !gone[0].Equal(ago(32)) {
		t.Errorf("of three of a month %v would go", gone)
	}
}
