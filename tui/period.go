package tui

import (
	"errors"
	"strings"
	"time"

	"fairhand/register"
)

var errPeriod = errors.New("a date, a month, a year, or the first and the last are wanted: 2026-05-05, 2026-05, 2026-05-01 2026-05-07")

// parsePeriod reads a date, a month or a year, or the first and the last of a
// period with a blank between them, as days yyyymmdd, both included.
func parsePeriod(text string) (from, to int32, err error) {
	parts := strings.Fields(text)
	if len(parts) < 1 || len(parts) > 2 {
		return 0, 0, errPeriod
	}
	from, _, err = daysOf(parts[0])
	if err != nil {
		return 0, 0, err
	}
	_, to, err = daysOf(parts[len(parts)-1])
	if err == nil && from > to {
		err = errPeriod
	}
	return from, to, err
}

// daysOf is the first and the last day of a date, a month or a year.
func daysOf(text string) (first, last int32, err error) {
	for _, form := range []struct {
		layout              string
		years, months, days int
	}{{"2006-01-02", 0, 0, 1}, {"2006-01", 0, 1, 0}, {"2006", 1, 0, 0}} {
		if t, err := time.Parse(form.layout, text); err == nil && t.Year() >= 1000 {
			return dateOf(t), dateOf(t.AddDate(form.years, form.months, form.days).AddDate(0, 0, -1)), nil
		}
	}
	return 0, 0, errPeriod
}

// dateOf is the date of a moment, yyyymmdd.
func dateOf(t time.Time) int32 {
	y, m, d := t.Date()
	return int32(y*10000 + int(m)*100 + d)
}

// dayTime is noon of a date yyyymmdd, to reckon with.
func dayTime(date int32) time.Time {
	return time.Date(int(date/10000), time.Month(date/100%100), int(date%100), 12, 0, 0, 0, time.UTC)
}

// spanText is one day, or the first and the last of several.
func spanText(from, to int32) string {
	if from == to {
		return register.DateText(from)
	}
	return register.DateText(from) + " to " + register.DateText(to)
}
