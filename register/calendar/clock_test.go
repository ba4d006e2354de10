package calendar

import (
	"strings"
	"testing"
	"time"

	"fairhand/block"
)

// Sources: nearest minute, the signalman's post on lner.info (00-29 down, 30-59
// up); half minutes, the form 4.37½ of the Castlecary report; up, General Rules
// (India) 14.07(3): a fraction of a minute counts as one; down, common practice.
func TestClockRounding(t *testing.T) {
	for _, c := range []struct{ rounding, at, want string }{
		{NearestMinute, "11:00:00", "11:00"},
		{NearestMinute, "11:00:29", "11:00"},
		{NearestMinute, "11:00:30", "11:01"},
		{NearestMinute, "11:00:59", "11:01"},
		{NearestMinute, "10:59:30", "11:00"},
		{NearestMinute, "23:59:30", "00:00"},
		{"", "11:00:30", "11:01"},
		{HalfMinute, "04:37:30", "04:37½"},
		{HalfMinute, "04:37:14", "04:37"},
		{HalfMinute, "04:37:15", "04:37½"},
		{HalfMinute, "04:37:44", "04:37½"},
		{HalfMinute, "04:37:45", "04:38"},
		{RoundUp, "11:00:00", "11:00"},
		{RoundUp, "11:00:01", "11:01"},
		{RoundUp, "11:59:01", "12:00"},
		{RoundDown, "11:00:59", "11:00"},
	} {
		if got := Clock(clockAt(t, c.at), time.UTC, c.rounding); got != c.want {
			t.Errorf("%s %q: got %s, want %s", c.at, c.rounding, got, c.want)
		}
	}
}

// Sources: the sample column 10.7, 21, 35, 50, 11.2 of the printed register
// instructions (Quintinshill exhibition, page 2); the column 11:05, :25, :48,
// 12:10 of the post on lner.info.
func TestHourOncePerHour(t *testing.T) {
	for _, c := range []struct{ times, want string }{
		{"10:07 10:21 10:35 10:50 11:02", "10:07 :21 :35 :50 11:02"},
		{"11:05 11:25 11:48 12:10", "11:05 :25 :48 12:10"},
		{"11:05 10:59 11:06", "11:05 10:59 11:06"},
		{"10:59:40 11:00:20", "11:00 :00"},
	} {
		var got []string
		hour := ""
		for _, s := range strings.Fields(c.times) {
			r := Read(clockAt(t, s), time.UTC, NearestMinute)
			got = append(got, shown(r, &hour))
		}
		if g := strings.Join(got, " "); g != c.want {
			t.Errorf("%s: got %s, want %s", c.times, g, c.want)
		}
	}
}

// The clocks of Europe/London went back at 02:00 on 25 October 2026 (IANA time
// zone data): 01:00 to 01:59 is shown twice and must not be mistaken.
func TestRepeatedHourIsMarked(t *testing.T) {
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	hour := ""
	var got []string
	for _, min := range []int{50, 80, 115, 125} {
		at := block.Time(time.Date(2026, 10, 25, 0, min, 0, 0, time.UTC).Unix())
		got = append(got, shown(Read(at, london, NearestMinute), &hour))
	}
	if g := strings.Join(got, " "); g != "01:50 01:20* :55* 02:05" {
		t.Errorf("got %s", g)
	}
}

// Exact writes such a time as the notation reads it, and Other is the one it could be taken for.
func TestRepeatedHourIsTold(t *testing.T) {
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	for min, want := range map[int]string{-1: "00:59", 0: "01:00+01:00 01:00+00:00", 59: "01:59+01:00 01:59+00:00", 60: "01:00+00:00 01:00+01:00", 119: "01:59+00:00 01:59+01:00", 120: "02:00"} {
		at := block.Time(time.Date(2026, 10, 25, 0, min, 0, 0, time.UTC).Unix())
		got := Exact(at, london)
		if o, twice := Other(at, london); twice {
			got += " " + Exact(o, london)
		}
		if got != want {
			t.Errorf("%d minutes after midnight UTC: %s, want %s", min, got, want)
		}
	}
	spring := block.Time(time.Date(2026, 3, 29, 0, 59, 0, 0, time.UTC).Unix())
	if _, twice := Other(spring, london); twice || Exact(spring, london) != "00:59" || Exact(spring+60, london) != "02:00" {
		t.Error(Exact(spring, london), Exact(spring+60, london), twice)
	}
}

// shown is a time in a column, as a page shows it below one of that hour.
func shown(r Reading, hour *string) string {
	if r.Hour() == *hour {
		return r.String()[len("15"):]
	}
	*hour = r.Hour()
	return r.String()
}

func clockAt(t *testing.T, s string) block.Time {
	t.Helper()
	if len(s) == 5 {
		s += ":00"
	}
	at, err := time.Parse(time.DateTime, "2026-05-05 "+s)
	if err != nil {
		t.Fatal(err)
	}
	return block.Time(at.Unix())
}
