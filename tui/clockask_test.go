package tui

import (
	"strings"
	"testing"
	"time"

	"fairhand/register"
)

// TestClockIsAskedAbout: whatever the computer's clock does, the desk says so with
// both dates in full before anything is written by it, and does what is answered.
func TestClockIsAskedAbout(t *testing.T) {
	for _, c := range []struct {
		name  string
		now   time.Time
		reads string
		kind  string
	}{
		{"back an hour, as when the computer is put into another zone", time.Date(2026, 5, 5, 8, 50, 0, 0, time.UTC), "Tuesday 5 May 2026 09:50:00", "09:50 clock set "},
		{"back six minutes", time.Date(2026, 5, 5, 8, 55, 0, 0, time.UTC), "Tuesday 5 May 2026 09:55:00", "09:55 clock set "},
		{"a flat battery", time.Date(1970, 1, 1, 0, 3, 0, 0, time.UTC), "Thursday 1 January 1970 01:03:00", "01:03 clock set "},
		{"nine days on, which may be", time.Date(2026, 5, 14, 9, 1, 0, 0, time.UTC), "Thursday 14 May 2026 10:01:00", "10:01 clock confirmed "},
		{"a year ahead", time.Date(2027, 5, 5, 9, 1, 0, 0, time.UTC), "Wednesday 5 May 2027 10:01:00", "10:01 clock confirmed "},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRig(t, "box.yaml", 120, 30, Options{})
			r.log(`10:00 duty on "A. Fell"`, "10:00 clock right")
			r.now = time.Date(2026, 5, 5, 10, 1, 0, 0, r.now.Location())
			r.log(`10:01 note "by the right clock"`)
			r.now = c.now.In(r.now.Location())
			r.tick()
			r.want("CLOCK? It reads " + strings.TrimSuffix(c.reads, ":00")).want("last entry Tuesday 5 May 2026 10:01")
			r.press("e", `note "x`, "Enter").want("IS THE COMPUTER'S CLOCK RIGHT?").want(c.reads).want("Tuesday 5 May 2026 10:01:00").tail(3)
			r.press("n").want("Set the computer's clock").want(`note "x`).tail(3)
			r.press("Enter").want("NOTHING IS WRITTEN YET").press("y").tail(5)
			lines := r.lines()
			if n := len(lines); n < 2 || !strings.HasPrefix(lines[n-2], c.kind) || !strings.HasSuffix(lines[n-1], ` note "x"`) {
				t.Errorf("wrote %q", lines)
			}
			for _, date := range []string{strings.TrimSuffix(c.reads, ":00"), "Tuesday 5 May 2026 10:01"} {
				if e := lines[len(lines)-2]; !strings.Contains(e, date) {
					t.Errorf("%q does not say %s", e, date)
				}
			}
			r.press("r").want(strings.TrimSpace(c.kind[6:])) // it stands in the register of the day
			r.press("Esc", "e", `note "y`, "Enter").tail(6)  // and is asked once
		})
	}
}

// tail fails unless the register has so many entries.
func (r *rig) tail(n int64) *rig {
	r.t.Helper()
	if got := r.book.Store().Tail().Seq; got != n {
		r.t.Errorf("%d entries, want %d", got, n)
	}
	return r
}

// TestLineSurvivesTheClock: what is half typed when the clock is asked about is kept
// when the desk ends.
func TestLineSurvivesTheClock(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`)
	r.now = r.now.Add(-time.Hour)
	r.press("e", `note "x`, "Enter").want("IS THE COMPUTER'S CLOCK RIGHT?")
	if got := r.desk.model.halfTyped(); got != `note "x` {
		t.Errorf("kept %q", got)
	}
}

// TestNightsOfAClockChange works through both nights at the desk by its own keys: time
// is never asked about, entries keep the order of writing, and the repeated hour is
// told apart.
func TestNightsOfAClockChange(t *testing.T) {
	for _, c := range []struct {
		name  string
		at    time.Time // of the first entry; then one every twenty minutes
		lines []string
	}{
		{"autumn", time.Date(2026, 10, 24, 23, 50, 0, 0, time.UTC), []string{
			"00:50", "01:10+01:00", "01:30+01:00", "01:50+01:00", "01:10+00:00", "01:30+00:00", "01:50+00:00", "02:10"}},
		{"spring", time.Date(2027, 3, 28, 0, 10, 0, 0, time.UTC), []string{"00:10", "00:30", "00:50", "02:10", "02:30", "02:50"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRig(t, "box.yaml", 120, 30, Options{})
			r.now = c.at.Add(-20 * time.Minute)
			r.log(`duty on "A. Fell"`, "clock right")
			for i := range c.lines {
				r.now = c.at.Add(time.Duration(i) * 20 * time.Minute)
				r.tick()
				if again := strings.HasSuffix(c.lines[i], "+00:00"); again != strings.Contains(strings.Split(r.text(), "\n")[0], "0* ") {
					t.Errorf("at %s the hour shown a second time is not marked, or another is:\n%s", c.lines[i], r.text())
				}
				r.press("e", `note "n`+itoa(i), "Enter")
			}
			var got []string
			last := int64(0)
			for _, e := range r.book.Recent() {
				if strings.Contains(e.Line, "note") {
					got = append(got, strings.Fields(e.Line)[0])
					if len(e.Findings) > 0 || e.At <= last || e.At != e.Recorded {
						t.Errorf("%s: at %d, recorded %d, last %d, found %v", e.Line, e.At, e.Recorded, last, e.Findings)
					}
					last = e.At
				}
			}
			if strings.Join(got, " ") != strings.Join(c.lines, " ") {
				t.Errorf("wrote %q, want %q", got, c.lines)
			}
		})
	}
}

// On the night the clocks go back a clock that jumped is asked about with what tells the
// two hours apart: it reads less than the last entry, and is later.
func TestClockAskedInTheRepeatedHour(t *testing.T) {
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	doubt := register.ClockError{Now: time.Date(2026, 10, 25, 1, 10, 0, 0, time.UTC).In(zone), Last: time.Date(2026, 10, 25, 0, 50, 0, 0, time.UTC).In(zone)}
	b := &board{model: &model{}}
	b.doubt = &doubt
	b.clockDoubt()
	rows := clockRows(&doubt)
	for _, said := range []string{rows[0] + rows[1], b.list[0].text, doubt.Error()} {
		if !strings.Contains(said, "25 October 2026 01:10:00+00:00") && !strings.Contains(said, "25 October 2026 01:10+00:00") || !strings.Contains(said, "+01:00") {
			t.Error(said)
		}
	}
	doubt.Last = doubt.Now.Add(-48 * time.Minute).Add(48 * time.Hour)
	if now, last := doubt.Dates("15:04"); strings.Contains(now+last, "+") {
		t.Error(now, last)
	}
}
