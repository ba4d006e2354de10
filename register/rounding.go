package register

import (
	"time"

	"fairhand/block"
)

// The ways a time is rounded for the page, as box.yaml names them. Rounding is
// for display only: entries keep their seconds.
const (
	// NearestMinute: 00 to 29 seconds down, 30 to 59 up. Source: lner.info
	// forum, a signalman on the instructions of BR train register covers.
	NearestMinute = "nearest-minute"
	// HalfMinute: to the nearest half, shown as ½. Source: times in accident
	// reports such as 4.37½ (Castlecary 1937); where the halves divide is common practice.
	HalfMinute = "half-minute"
	// RoundUp: a fraction counts as one. Source: General Rules (India) 14.07(3).
	RoundUp = "up"
	// RoundDown: whole minutes as read from the clock. Common practice.
	RoundDown = "down"
)

// Clock is a moment as the page writes it: HH:MM in the box's zone, with ½ where
// half minutes are kept. A time of the hour that the clocks show twice in autumn
// carries a * the second time.
func Clock(at block.Time, loc *time.Location, rounding string) string {
	return wallOf(at, loc, rounding).full()
}

// wall is a rounded clock time.
type wall struct {
	t     time.Time
	half  bool
	again bool // the clocks show this time for the second time
}

func wallOf(at block.Time, loc *time.Location, rounding string) wall {
	t := time.Unix(int64(at), 0).In(loc)
	s := t.Second()
	var w wall
	add := 0 // seconds to a whole minute
	switch rounding {
	case RoundDown:
		add = -s
	case RoundUp:
		if s > 0 {
			add = 60 - s
		}
	case HalfMinute:
		switch {
		case s < 15:
			add = -s
		case s < 45:
			add, w.half = -s, true
		default:
			add = 60 - s
		}
	default:
		add = -s
		if s >= 30 {
			add = 60 - s
		}
	}
	w.t = t.Add(time.Duration(add) * time.Second)
	w.again = shownBefore(w.t)
	return w
}

// shownBefore says whether the clocks have shown this time before: they went
// back shortly ago.
func shownBefore(t time.Time) bool {
	start, _ := t.ZoneBounds()
	if start.IsZero() {
		return false
	}
	_, now := t.Zone()
	_, was := start.Add(-time.Second).Zone()
	return was > now && t.Sub(start) < time.Duration(was-now)*time.Second
}

func (w wall) full() string { return w.t.Format("15") + w.minutes() }

// minutes is the time without its hour, as in ":21".
func (w wall) minutes() string {
	s := w.t.Format(":04")
	if w.half {
		s += "½"
	}
	if w.again {
		s += "*"
	}
	return s
}

// hour names the hour the time is in, apart from the same hour of another day
// or of the other side of a clock change.
func (w wall) hour() string { return w.t.Format("2006-01-02T15-07:00") }

// column writes times one under another: the hour for the first in each hour,
// otherwise minutes only. Source: the printed instructions on a page of the
// Quintinshill exhibition (10.7, 21, 35, 50, 11.2).
type column struct{ last string }

func (c *column) show(w wall) string {
	if w.hour() == c.last {
		return w.minutes()
	}
	c.last = w.hour()
	return w.full()
}

// dayTime is midnight at the beginning of a register day.
func dayTime(day int32, loc *time.Location) time.Time {
	return time.Date(int(day/10000), time.Month(day/100%100), int(day%100), 0, 0, 0, 0, loc)
}
