package audit

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"fairhand/block"
	"fairhand/register/calendar"
)

// TestRanks holds median and 90 % against sorting all times.
func TestRanks(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		list := rapid.SliceOfN(rapid.Int64Range(0, 3600), 1, 60).Draw(rt, "times")
		var a spread
		for i, v := range list {
			a.add(1000, 1000+block.Time(v), int64(i))
		}
		slices.Sort(list)
		n := len(list)
		got := a.stat()
		want := Stat{int64(n), list[0], list[(n+1)/2-1], list[(9*n+9)/10-1], list[n-1], got.LongestEntry, 0}
		if got != want {
			rt.Fatalf("%v: got %+v, want %+v", list, got, want)
		}
	})
}

// TestOccupation holds the adding up of occupied time against a count of every
// ten minutes, for trains that overlap, pass midnight and come in no order, also on
// the days when the clocks change.
func TestOccupation(t *testing.T) {
	const step = 10 * block.Minute
	zone := must(time.LoadLocation("Europe/London"))(t)
	for _, first := range []time.Time{time.Date(2026, 5, 5, 0, 0, 0, 0, zone), time.Date(2026, 3, 28, 0, 0, 0, 0, zone), time.Date(2026, 10, 24, 0, 0, 0, 0, zone)} {
		begin := block.Time(first.Unix())
		rapid.Check(t, func(rt *rapid.T) {
			f := &figures{sub: subject{zone: zone}, use: make([]lineUse, 1), days: civilDays{zone: zone}, active: map[calendar.Day]bool{}}
			for d := range 3 {
				f.active[calendar.Of(block.Time(first.AddDate(0, 0, d).Unix()), zone)] = true
			}
			busy := map[block.Time]bool{} // by ten minutes
			for range rapid.IntRange(0, 12).Draw(rt, "trains") {
				from := block.Time(rapid.IntRange(0, 3*144).Draw(rt, "from"))
				to := from + block.Time(rapid.IntRange(0, 150).Draw(rt, "for"))
				f.occupy(0, begin+from*step, begin+to*step)
				for m := from; m < to; m++ {
					if _, ok := f.active[calendar.Of(begin+m*step, zone)]; ok {
						busy[m] = true
					}
				}
			}
			u := &f.use[0]
			f.close(0, 0)
			var hours [24]int64
			for m := range busy {
				hours[time.Unix(int64(begin+m*step), 0).In(zone).Hour()] += int64(step)
			}
			if u.total != int64(len(busy))*int64(step) || u.hours != hours {
				rt.Fatalf("total %d, want %d; hours %v, want %v", u.total, len(busy)*int(step), u.hours, hours)
			}
			if u.hour.seconds > 3600 || u.busiest.share > 1 {
				rt.Fatalf("more than all: %+v", u)
			}
		})
	}
}
