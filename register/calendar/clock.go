package calendar

import "time"

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

// Roundings are the ways of rounding, as box.yaml names them.
var Roundings = []string{NearestMinute, HalfMinute, RoundUp, RoundDown}

// Clock is a moment as people read it: HH:MM in the box's zone, with ½ where half
// minutes are kept. A time of the hour that the clocks show twice in autumn carries
// a * the second time.
func Clock[M Moment](at M, zone *time.Location, rounding string) string {
	return Read(at, zone, rounding).String()
}

// Exact is a moment to the second: HH:MM, with :SS where there are seconds. A time that the
// clocks show twice carries its offset, as in the notation, which can read it.
func Exact[M Moment](at M, zone *time.Location) string {
	t, layout := In(at, zone), "15:04"
	if t.Second() != 0 {
		layout = time.TimeOnly
	}
	if shownBefore(t) || shownAgain(t) {
		layout += "-07:00"
	}
	return t.Format(layout)
}

// Other is the other moment at which the clocks show the same time, an hour later or sooner;
// false for a time that they show once.
func Other[M Moment](at M, zone *time.Location) (M, bool) {
	t := In(at, zone)
	start, end := t.ZoneBounds()
	switch {
	case shownBefore(t):
		return at - M(shift(start)), true
	case shownAgain(t):
		return at + M(shift(end)), true
	}
	return 0, false
}

// shift is by how many seconds the clocks go back at a change; negative for forward.
func shift(change time.Time) int {
	_, now := change.Zone()
	_, was := change.Add(-time.Second).Zone()
	return was - now
}

// shownAgain says whether the clocks will show this time again: they go back shortly.
func shownAgain(t time.Time) bool {
	_, end := t.ZoneBounds()
	return !end.IsZero() && end.Sub(t) <= time.Duration(shift(end))*time.Second
}

// Seconds is a moment as HH:MM:SS.
func Seconds[M Moment](at M, zone *time.Location) string { return In(at, zone).Format(time.TimeOnly) }

// Stamp is a moment for other programs: RFC 3339 with the offset of the zone; nothing
// for 0, which is no moment of a book.
func Stamp[M Moment](at M, zone *time.Location) string {
	if at == 0 {
		return ""
	}
	return In(at, zone).Format(time.RFC3339)
}

// Reading is what the clock shows at a moment, rounded.
type Reading struct {
	t     time.Time
	half  bool
	again bool // the clocks show this time for the second time
}

// Read rounds a moment; a rounding of no name is to the nearest minute.
func Read[M Moment](at M, zone *time.Location, rounding string) Reading {
	t := In(at, zone)
	s := t.Second()
	var r Reading
	add := -s // seconds to a whole minute
	switch rounding {
	case RoundDown:
	case RoundUp:
		add = (60 - s) % 60
	case HalfMinute:
		if r.half = s >= 15 && s < 45; s >= 45 {
			add = 60 - s
		}
	default:
		if s >= 30 {
			add = 60 - s
		}
	}
	r.t = t.Add(time.Duration(add) * time.Second)
	r.again = shownBefore(r.t)
	return r
}

// shownBefore says whether the clocks have shown this time before: they went
// back shortly ago.
func shownBefore(t time.Time) bool {
	start, _ := t.ZoneBounds()
	return !start.IsZero() && t.Sub(start) < time.Duration(shift(start))*time.Second
}

// String is the time as HH:MM.
func (r Reading) String() string {
	s := r.t.Format("15:04")
	if r.half {
		s += "½"
	}
	if r.again {
		s += "*"
	}
	return s
}

// Dated is the time after its date, in a layout of package time. What is rounded
// up to midnight belongs to the day that begins.
func (r Reading) Dated(layout string) string { return r.t.Format(layout) + " " + r.String() }

// Hour names the hour the time is in, apart from the same hour of another day or of
// the other side of a clock change: a column of times shows each hour once.
func (r Reading) Hour() string { return r.t.Format("2006-01-02T15-07:00") }
