package audit

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/register/calendar"
)

// lineUse adds up how long a line was occupied. The times of the last days wait,
// so that trains that overlap are counted once; what comes later for a day that
// is closed is not counted twice either way, but added to the total as it is.
type lineUse struct {
	waiting map[calendar.Day][]piece
	newest  calendar.Day
	flow    [2]flow   // by block.Dir
	trains  int64     // that entered it
	times   spread    // entering to out of section
	total   int64     // seconds
	hours   [24]int64 // by the hour of the clock, over all days
	busiest struct {
		day   calendar.Day
		share float64
	}
	hour struct { // the one hour with most
		day     calendar.Day
		n       int // from the beginning of the day
		seconds int64
	}
}

// piece is a time within one day during which the line was occupied.
type piece struct{ from, to block.Time }

// waitingDays is how many days are kept open for trains that overlap.
const waitingDays = 7

// occupy takes a time during which a line was occupied, split by register days.
func (f *figures) occupy(line int, from, to block.Time) {
	u := &f.use[line]
	for from < to {
		day := f.days.of(from)
		if u.waiting == nil {
			u.waiting = map[calendar.Day][]piece{}
		}
		u.waiting[day.day] = append(u.waiting[day.day], piece{from, min(to, day.to)})
		if day.day > u.newest {
			u.newest = day.day
			if len(u.waiting) > waitingDays {
				f.close(line, waitingDays)
			}
		}
		from = day.to
	}
}

// close adds up all days but the newest few. Days without entries do not count.
func (f *figures) close(line, keep int) {
	u := &f.use[line]
	days := slices.Sorted(maps.Keys(u.waiting))
	for _, day := range days[:max(0, len(days)-keep)] {
		if _, ok := f.active[day]; ok {
			f.closeDay(line, day, u.waiting[day])
		}
		delete(u.waiting, day)
	}
}

// closeDay adds up one day, what overlaps once.
func (f *figures) closeDay(line int, day calendar.Day, pieces []piece) {
	u, c := &f.use[line], &f.days
	slices.SortFunc(pieces, func(a, b piece) int { return cmp.Compare(a.from, b.from) })
	start := c.begin(day)
	var hours [25]int64 // from the beginning of the day; 25 when clocks go back
	total, reached := int64(0), pieces[0].from
	for _, p := range pieces {
		from := max(p.from, reached)
		reached = max(reached, p.to)
		for from < p.to {
			h := (from - start) / (60 * block.Minute)
			end := min(p.to, start+(h+1)*60*block.Minute)
			hours[min(int(h), len(hours)-1)] += int64(end - from)
			total += int64(end - from)
			from = end
		}
	}
	u.total += total
	if share := float64(total) / float64(c.length(day)); share > u.busiest.share {
		u.busiest.day, u.busiest.share = day, share
	}
	for h, n := range hours {
		if n == 0 {
			continue
		}
		u.hours[c.hour(day, h)] += n
		if f.hour != nil {
			f.hour(f.sub.box.Lines()[line], HourUsed{day, c.hour(day, h), start + block.Time(h)*60*block.Minute, n})
		}
		if n > u.hour.seconds {
			u.hour.day, u.hour.n, u.hour.seconds = day, h, n
		}
	}
}

// civilDays finds the register day of a moment and where it begins and ends.
type civilDays struct {
	zone  *time.Location
	known [4]civilDay // the last ones asked for
	next  int
}

type civilDay struct {
	day      calendar.Day
	from, to block.Time
}

func (c *civilDays) of(at block.Time) civilDay {
	for _, k := range c.known {
		if at >= k.from && at < k.to {
			return k
		}
	}
	day := calendar.Of(at, c.zone)
	// A zone may skip midnight: the moment is within its own day all the same.
	k := civilDay{day, min(c.begin(day), at), max(c.begin(day)+block.Time(c.length(day)), at+1)}
	c.known[c.next] = k
	c.next = (c.next + 1) % len(c.known)
	return k
}

// begin is the first moment of a register day.
func (c *civilDays) begin(day calendar.Day) block.Time {
	return block.Time(day.Midnight(c.zone).Unix())
}

// length is how long a register day is, in seconds: 23 to 25 hours.
func (c *civilDays) length(day calendar.Day) int64 { return int64(c.begin(day.Add(1)) - c.begin(day)) }

// hour is what the clock shows at the beginning of the nth hour of a day.
func (c *civilDays) hour(day calendar.Day, n int) int {
	return day.Midnight(c.zone).Add(time.Duration(n) * time.Hour).Hour()
}
