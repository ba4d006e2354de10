package notation

import (
	"fmt"
	"math"
	"time"

	"fairhand/register/calendar"
)

// zone converts between moments and the wall clock. A wall clock reading is
// held in seconds as if it were UTC. The zone remembers between which moments
// its offset does not change, so that most conversions are an addition. It is
// not for use by several goroutines.
type zone struct {
	loc      *time.Location
	from, to int64 // the offset holds from a day after from to a day before to
	offset   int
}

func newZone(loc *time.Location) zone { return zone{loc: loc, from: 1, to: 0} }

// steady tells whether there is no change of clocks within a day of moment.
func (z *zone) steady(moment int64) bool {
	if moment >= z.from && moment < z.to {
		return moment-z.from > day && z.to-moment > day
	}
	t := calendar.In(moment, z.loc)
	_, z.offset = t.Zone()
	start, end := t.ZoneBounds()
	z.from, z.to = math.MinInt64/2, math.MaxInt64/2
	if !start.IsZero() {
		z.from = start.Unix()
	}
	if !end.IsZero() {
		z.to = end.Unix()
	}
	return moment-z.from > day && z.to-moment > day
}

// wall is what the clock shows at moment, and its offset.
func (z *zone) wall(moment int64) (wall int64, offset int) {
	if z.steady(moment) {
		return moment + int64(z.offset), z.offset
	}
	offset = z.offsetAt(moment)
	return moment + int64(offset), offset
}

func (z *zone) offsetAt(moment int64) int {
	_, offset := calendar.In(moment, z.loc).Zone()
	return offset
}

// moments are the moments at which the clock shows wall, earliest first: none
// in the hour left out in spring, two in the hour repeated in autumn. Two
// changes within two days of each other are not provided for; no zone has them.
func (z *zone) moments(wall int64) (m [2]int64, n int) {
	if guess := wall - int64(z.offset); z.steady(guess) && z.steady(wall-int64(z.offset)) {
		m[0] = wall - int64(z.offset)
		return m, 1
	}
	for _, near := range [2]int64{wall - day, wall + day} {
		at := wall - int64(z.offsetAt(near))
		if _, offset := z.wall(at); at+int64(offset) != wall || n == 1 && m[0] == at {
			continue
		}
		m[n] = at
		n++
	}
	return m, n
}

// read gives the moments that c can mean when the clock shows wall. When there
// are none the problem says why.
func (z *zone) read(wall int64, c clock) (m [2]int64, n int, problem string) {
	m, n = z.moments(wall)
	if n == 0 {
		return m, 0, z.gap(wall)
	}
	if !c.exact {
		return m, n, ""
	}
	for i := range n {
		if wall-m[i] == int64(c.offset) {
			m[0] = m[i]
			return m, 1, ""
		}
	}
	return m, 0, fmt.Sprintf("at %s the clocks in %s are at %s from UTC, not %s",
		stamp(wall), z.loc, offsetText(int(wall-m[0])), offsetText(c.offset))
}

// gap tells how the clocks were changed so that they never showed wall.
func (z *zone) gap(wall int64) string {
	change := calendar.In(wall-int64(z.offsetAt(wall+day)), z.loc)
	_, end := change.ZoneBounds()
	if end.IsZero() {
		return fmt.Sprintf("the clocks in %s never showed %s", z.loc, stamp(wall))
	}
	before := end.Unix() + int64(z.offsetAt(end.Unix()-1))
	after := end.Unix() + int64(z.offsetAt(end.Unix()))
	return fmt.Sprintf("the clocks never showed %s: they went forward from %s to %s (%s); of a clock put forward late, write the times until then as they should have been, and a note that says so",
		stamp(wall), clockText(before), clockText(after), z.loc)
}

func stamp(wall int64) string {
	return string(appendDate(nil, wall)) + " " + clockText(wall)
}

func clockText(wall int64) string { return string(appendClock(nil, wall)) }

func offsetText(offset int) string { return string(appendOffset(nil, offset)) }
