package calendar

import (
	"fmt"
	"time"
)

// Moment is seconds since 1970; less than none before.
type Moment interface{ ~int64 }

// In is a moment on the clock of a zone.
func In[M Moment](at M, zone *time.Location) time.Time { return time.Unix(int64(at), 0).In(zone) }

// Day is a register day: a date on the clock of the box. As a number it is
// yyyymmdd, as it is stored; 0 is no day.
type Day int32

// Of is the day of a moment in a zone.
func Of[M Moment](at M, zone *time.Location) Day { return DayOf(In(at, zone)) }

// DayOf is the date of a time in the zone it carries.
func DayOf(t time.Time) Day {
	y, m, d := t.Date()
	return Day(y*10000 + int(m)*100 + d)
}

// Parse reads a date written as 2026-05-05. The error is that of time.Parse.
func Parse(text string) (Day, error) {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return 0, err
	}
	return DayOf(t), nil
}

// String is the date as 2026-05-05, also of a number that is no date.
func (d Day) String() string {
	return fmt.Sprintf("%04d-%02d-%02d", d.Year(), int(d)/100%100, int(d)%100)
}

// Between are the words for days asked for, from the first to the last, 0 for an open end:
// " from 2026-05-05 to 2026-05-06", and none for all.
func Between(from, to Day) (text string) {
	if from != 0 {
		text = " from " + from.String()
	}
	if to != 0 {
		text += " to " + to.String()
	}
	return text
}

// Year is the year of the day.
func (d Day) Year() int { return int(d) / 10000 }

// At is so many seconds after midnight as the clocks of the zone count them: 10:30
// is 10:30, also on a day on which they change.
func (d Day) At(seconds int, zone *time.Location) time.Time {
	return time.Date(d.Year(), time.Month(d/100%100), int(d%100), 0, 0, seconds, 0, zone)
}

// Midnight is the moment at which the day begins.
func (d Day) Midnight(zone *time.Location) time.Time { return d.At(0, zone) }

// Add is the day so many days later, or earlier for a number below 0.
func (d Day) Add(days int) Day { return DayOf(d.Midnight(time.UTC).AddDate(0, 0, days)) }

// Format writes the date in a layout of package time.
func (d Day) Format(layout string) string { return d.Midnight(time.UTC).Format(layout) }
