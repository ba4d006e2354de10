package notation

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"fairhand/block"
)

const (
	hour   = 60 * 60
	day    = 24 * hour
	jumpOK = 12 * hour // how far a time may lie before the last without a date line
)

// clock is a time as written, not yet bound to a date.
type clock struct {
	seconds int64 // since 00:00 by the clock, or since the full hour
	noHour  bool  // :MM
	offset  int   // seconds east of UTC
	exact   bool  // offset was given
}

// parseClock reads HH:MM, HH:MM:SS or :MM, the first two with an offset if need be.
func parseClock(s string) (c clock, ok bool) {
	if len(s) == 3 && s[0] == ':' {
		m, ok := twoDigits(s, 1, 59)
		return clock{seconds: m * 60, noHour: true}, ok
	}
	if len(s) < 5 || s[2] != ':' {
		return c, false
	}
	h, ok1 := twoDigits(s, 0, 23)
	m, ok2 := twoDigits(s, 3, 59)
	if !ok1 || !ok2 {
		return c, false
	}
	c.seconds = h*hour + m*60
	s = s[5:]
	if len(s) >= 3 && s[0] == ':' {
		sec, ok := twoDigits(s, 1, 59)
		if !ok {
			return c, false
		}
		c.seconds += sec
		s = s[3:]
	}
	if s == "" {
		return c, true
	}
	if len(s) != 6 || s[0] != '+' && s[0] != '-' || s[3] != ':' {
		return c, false
	}
	h, ok1 = twoDigits(s, 1, 15)
	m, ok2 = twoDigits(s, 4, 59)
	c.offset, c.exact = int(h*hour+m*60), true
	if s[0] == '-' {
		c.offset = -c.offset
	}
	return c, ok1 && ok2
}

// twoDigits reads the two digits of s at i.
func twoDigits(s string, i int, most int64) (int64, bool) {
	a, b := s[i]-'0', s[i+1]-'0'
	n := int64(a)*10 + int64(b)
	return n, a <= 9 && b <= 9 && n <= most
}

// looksLikeClock tells a time, right or wrong, from a word.
func looksLikeClock(s string) bool {
	if s[0] != ':' && (s[0] < '0' || s[0] > '9') {
		return false
	}
	for i := 0; i < len(s); i++ {
		if s[i] == ':' {
			return true
		}
	}
	return false
}

// parseDate reads YYYY-MM-DD as the wall clock's midnight.
func parseDate(s string) (wall int64, ok bool) {
	if len(s) != 10 {
		return 0, false
	}
	t, err := time.Parse(time.DateOnly, s)
	return t.Unix(), err == nil
}

// timeline turns the times of one line after another into moments.
type timeline struct {
	zone  zone
	live  bool // at the desk: times are near now
	lax   bool // the time may be left out and is now
	now   block.Time
	dated bool       // a date line was read
	day   int64      // its midnight by the wall clock
	prev  block.Time // the entry before, when any
	any   bool       // since the date line
	given bool       // the date is of this entry alone: none can be missing
	first block.Time // what the time of this entry meant an hour sooner, where it was shown twice; else 0
}

// setDate begins a date of a book.
func (t *timeline) setDate(wall int64) {
	t.live, t.lax, t.any = false, false, false
	t.dated, t.day = true, wall
}

// setEntry begins the date of a moment, of which there is an entry.
func (t *timeline) setEntry(at block.Time) {
	wall, _ := t.zone.wall(int64(at))
	t.setDate(midnight(wall))
	t.prev, t.any = at, true
}

// entry is the moment of an entry; a problem is told in words.
func (t *timeline) entry(c clock) (block.Time, string) {
	t.first = 0
	if t.live {
		return t.recent(c)
	}
	if !t.dated {
		t.setDate(0) // tell it once
		return 0, `there is no date yet; put a line such as "date 2026-05-05" before the first entry`
	}
	wall := t.day + c.seconds
	if c.noHour {
		if !t.any {
			return 0, "the hour may be left out only after another entry of this date; write HH:MM"
		}
		local, _ := t.zone.wall(int64(t.prev))
		wall += floorMod(local, day) / hour * hour
	}
	m, n, problem := t.zone.read(wall, c)
	switch {
	case n == 0:
		return 0, problem
	case n == 2 && t.any && m[0] < int64(t.prev):
		t.first = block.Time(m[0])
		return block.Time(m[1]), ""
	}
	return block.Time(m[0]), ""
}

// written is the moment c at which an entry of the moment at was written, and that
// moment: of an hour shown twice it is the first where only so it was written soon. Below an
// entry of this date, half a day before it, one that was written between the two happened the
// evening before: 23:58 written 00:06, below 00:04.
func (t *timeline) written(at block.Time, c clock) (happened, written block.Time, problem string) {
	written, problem = t.after(at, c)
	if t.any && !t.live && !t.given && at-t.prev > jumpOK {
		wall, _ := t.zone.wall(int64(at))
		eve, n := t.zone.moments(wall - day)
		if w, p := t.after(t.prev, c); p == "" && n > 0 && w < at {
			return block.Time(eve[n-1]), w, ""
		}
	}
	if t.first != 0 && written-at > day/2 {
		if w, _ := t.after(max(t.first, t.prev), c); w != 0 && w-t.first < day/2 {
			return t.first, w, ""
		}
	}
	return at, written, problem
}

// recent is the latest moment that c can mean and that is at most ten minutes
// after now: the clock of the box and that of the computer may differ a little.
func (t *timeline) recent(c clock) (block.Time, string) {
	limit := int64(t.now) + 10*60
	local, offset := t.zone.wall(limit)
	if c.noHour {
		local -= floorMod(local-c.seconds, hour)
		return block.Time(local - int64(offset)), ""
	}
	return t.nearest(local, -day, c, func(m int64) bool { return m <= limit }, func(wall int64) bool { return wall-int64(offset) <= limit })
}

// after is the first moment from at on that c can mean.
func (t *timeline) after(at block.Time, c clock) (block.Time, string) {
	local, _ := t.zone.wall(int64(at))
	return t.nearest(local, day, c, func(m int64) bool { return m >= int64(at) }, func(wall int64) bool { return wall >= local })
}

// nearest is the first moment that c can mean, from the date of local on or back from it,
// and that fits; else what the clock did at the first reading that would have.
func (t *timeline) nearest(local, step int64, c clock, fits, would func(int64) bool) (block.Time, string) {
	problem := ""
	for n := range int64(3) {
		wall := midnight(local) + n*step + c.seconds
		m, of, p := t.zone.read(wall, c)
		list := m[:of]
		if step < 0 {
			slices.Reverse(list)
		}
		if i := slices.IndexFunc(list, fits); i >= 0 {
			return block.Time(list[i]), ""
		}
		if p != "" && !c.exact && would(wall) {
			return 0, p
		}
		if p != "" && (problem == "" || step > 0 && would(wall)) {
			problem = p
		}
	}
	return 0, problem
}

// on is the moment c means on a date, the first when there are two.
func (t *timeline) on(date int64, c clock) (block.Time, string) {
	m, _, problem := t.zone.read(date+c.seconds, c)
	return block.Time(m[0]), problem
}

// step goes on to the next entry. It tells when a date line seems to be missing.
func (t *timeline) step(at block.Time, written bool) string {
	back := t.any && !t.live && !t.given && !written && at < t.prev-jumpOK
	t.prev, t.any = at, true
	if !back {
		return ""
	}
	return fmt.Sprintf("this is more than %d hours before the entry before it: is a date line missing? "+
		"(for a late entry write the date line again, or add when it was written)", jumpOK/hour)
}

func floorMod(a, b int64) int64 { return ((a % b) + b) % b }

// midnight is the beginning of the date of a reading of the wall clock.
func midnight(wall int64) int64 { return wall - floorMod(wall, day) }

// By24Hours is a clock time as the book has it of one typed otherwise: without its colon
// (2330, 930), with a point, or by twelve hours (2.30pm). Any other text stays.
func By24Hours(text string) string {
	t := strings.Replace(strings.ToLower(text), ".", ":", 1)
	t, pm := strings.CutSuffix(t, "pm")
	t, am := strings.CutSuffix(t, "am")
	h, m, ok := strings.Cut(strings.TrimSpace(t), ":")
	if n := len(h); !ok && (n == 3 || n == 4) {
		h, m, ok = h[:n-2], h[n-2:], true
	} else if !ok && (am || pm) {
		m, ok = "00", true
	}
	n, err := strconv.Atoi(h)
	switch {
	case !ok || err != nil || (am || pm) && (n < 1 || n > 12):
		return text
	case pm:
		n = n%12 + 12
	case am:
		n %= 12
	}
	return fmt.Sprintf("%02d:%s", n, m)
}
