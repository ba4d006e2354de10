package boxfile

import (
	"testing"
	"time"

	"fairhand/block"
)

// TestCivilTimeAgreesWithTheZone compares the data with the time zone database
// itself at every noon and midnight and around every change.
func TestCivilTimeAgreesWithTheZone(t *testing.T) {
	for _, name := range []string{"Europe/London", "Pacific/Auckland", "Asia/Kolkata", "UTC"} {
		loc, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		rules := civil(loc)
		check := func(at int64) {
			var got block.Time
			for _, c := range rules {
				if int64(c.From) <= at {
					got = c.Offset
				}
			}
			if _, want := time.Unix(at, 0).In(loc).Zone(); int(got) != want {
				t.Fatalf("%s at %v: offset %d, want %d", name, time.Unix(at, 0).UTC(), got, want)
			}
		}
		for _, c := range rules[1:] {
			check(int64(c.From) - 1)
			check(int64(c.From))
		}
		for year := 1971; year < 2100; year += 7 {
			for day := 0; day < 365; day += 3 {
				check(time.Date(year, 1, 1+day, 12, 0, 0, 0, time.UTC).Unix())
			}
		}
	}
}
