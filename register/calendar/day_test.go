package calendar

import (
	"testing"
	"time"
)

func zone(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// A day is the date in the zone of the box, not in UTC, before 1970 as well.
func TestDayOfAMoment(t *testing.T) {
	london := zone(t, "Europe/London")
	for _, c := range []struct {
		at   string
		want Day
	}{
		{"2026-05-05T23:30:00Z", 20260506},
		{"2026-01-05T23:30:00Z", 20260105},
		{"1967-03-02T00:10:00Z", 19670302},
		{"1915-05-21T23:59:59Z", 19150521},
	} {
		at, err := time.Parse(time.RFC3339, c.at)
		if err != nil {
			t.Fatal(err)
		}
		if got := Of(at.Unix(), london); got != c.want {
			t.Errorf("%s: %s, want %s", c.at, got, c.want)
		}
	}
}

func TestDayReadAndWritten(t *testing.T) {
	for _, text := range []string{"2026-05-05", "1900-02-28", "2024-02-29", "0987-01-01"} {
		if d, err := Parse(text); err != nil || d.String() != text {
			t.Errorf("%s became %s (%v)", text, d, err)
		}
	}
	for _, text := range []string{"", "2026-5-5", "2026-02-29", "20260505", "2026-05-05 "} {
		if d, err := Parse(text); err == nil {
			t.Errorf("%q was taken for %s", text, d)
		}
	}
	if got := Day(0).String(); got != "0000-00-00" {
		t.Errorf("no day is written %s", got)
	}
	if got := Day(20260505).Format("Monday 2 January 2006"); got != "Tuesday 5 May 2026" {
		t.Error(got)
	}
}

// The clocks of Europe/London went forward at 01:00 on 29 March 2026 and back at
// 02:00 on 25 October 2026 (IANA time zone data).
func TestDaysOfAClockChange(t *testing.T) {
	london := zone(t, "Europe/London")
	for _, c := range []struct {
		day   Day
		hours float64
	}{{20260328, 24}, {20260329, 23}, {20261025, 25}, {20261026, 24}} {
		if got := c.day.Add(1).Midnight(london).Sub(c.day.Midnight(london)).Hours(); got != c.hours {
			t.Errorf("%s has %v hours, want %v", c.day, got, c.hours)
		}
		if got := c.day.At(10*3600+1800, london).Format("15:04"); got != "10:30" {
			t.Errorf("10:30 of %s is %s", c.day, got)
		}
	}
	for _, c := range []struct {
		day, want Day
		add       int
	}{{20260228, 20260301, 1}, {20260101, 20251231, -1}, {20260329, 20260405, 7}, {20240301, 20240229, -1}} {
		if got := c.day.Add(c.add); got != c.want {
			t.Errorf("%s and %d days: %s, want %s", c.day, c.add, got, c.want)
		}
	}
}

func TestExactAndDated(t *testing.T) {
	at := func(s string) int64 {
		v, err := time.Parse(time.DateTime, s)
		if err != nil {
			t.Fatal(err)
		}
		return v.Unix()
	}
	for s, want := range map[string][2]string{
		"2026-05-05 10:45:40": {"10:45:40", "5 May 10:46"},
		"2026-05-05 10:45:00": {"10:45", "5 May 10:45"},
		"2026-05-05 23:59:40": {"23:59:40", "6 May 00:00"},
		"1915-05-22 06:49:30": {"06:49:30", "22 May 06:50"},
	} {
		if got := Exact(at(s), time.UTC); got != want[0] {
			t.Errorf("%s exactly: %s, want %s", s, got, want[0])
		}
		if got := Read(at(s), time.UTC, NearestMinute).Dated("2 January"); got != want[1] {
			t.Errorf("%s with its date: %s, want %s", s, got, want[1])
		}
	}
}
