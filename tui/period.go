package tui

import (
	"errors"
	"strings"
	"time"

	"fairhand/register/calendar"
)

var errPeriod = errors.New("a date, a month, a year, or the first and the last are wanted: 2026-05-05, 2026-05, 2026-05-01 2026-05-07")

// parsePeriod reads a date, a month or a year, or the first and the last of a
// period with a blank between them, as days, both included.
func parsePeriod(text string) (from, to calendar.Day, err error) {
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
func daysOf(text string) (first, last calendar.Day, err error) {
	for _, form := range []struct {
		layout              string
		years, months, days int
	}{{time.DateOnly, 0, 0, 1}, {"2006-01", 0, 1, 0}, {"2006", 1, 0, 0}} {
		if t, err := time.Parse(form.layout, text); err == nil && t.Year() >= 1000 {
			return calendar.DayOf(t), calendar.DayOf(t.AddDate(form.years, form.months, form.days)).Add(-1), nil
		}
	}
	return 0, 0, errPeriod
}

// spanText is one day, or the first and the last of several.
func spanText(from, to calendar.Day) string {
	if from == to {
		return from.String()
	}
	return from.String() + " to " + to.String()
}
