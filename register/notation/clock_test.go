package notation

import (
	"strings"
	"testing"
	"time"

	"fairhand/block"
)

// utc is a moment of 2026 in UTC, as "01-02 15:04".
func utc(t *testing.T, s string) block.Time {
	at, err := time.Parse("2006-01-02 15:04", "2026-"+s)
	if err != nil {
		t.Fatal(err)
	}
	return block.Time(at.Unix())
}

// Clock changes of Europe/London as in the tz database: forward at 01:00 UTC
// on 2026-03-29, back at 01:00 UTC on 2026-10-25.
func TestTimesOfABook(t *testing.T) {
	for _, c := range []struct {
		name, book string
		want       []string // At in UTC, then Written in UTC when it has one
	}{
		{"summer", "date 2026-05-05\n10:41 fog on", []string{"05-05 09:41"}},
		{"winter", "date 2026-01-05\n10:41 fog on", []string{"01-05 10:41"}},
		{"hour left out", "date 2026-05-05\n10:41 fog on\n:12 fog off\n:55 fog on", []string{"05-05 09:41", "05-05 09:12", "05-05 09:55"}},
		{"late entry stays on its date", "date 2026-05-05\n10:41 fog on\n10:30 fog off", []string{"05-05 09:41", "05-05 09:30"}},
		{"midnight needs a date line", "date 2026-05-05\n23:50 fog on\ndate 2026-05-06\n00:10 fog off", []string{"05-05 22:50", "05-05 23:10"}},
		{"repeated hour, first", "date 2026-10-25\n01:30 fog on", []string{"10-25 00:30"}},
		{"repeated hour, goes on", "date 2026-10-25\n01:10 fog on\n01:50 fog off\n01:20 fog on\n01:55 fog off",
			[]string{"10-25 00:10", "10-25 00:50", "10-25 01:20", "10-25 01:55"}},
		{"repeated hour, same minute again", "date 2026-10-25\n01:30 fog on\n01:30 fog off", []string{"10-25 00:30", "10-25 00:30"}},
		{"repeated hour, late entry in the second", "date 2026-10-25\n01:40+00:00 fog on\n01:20 fog off", []string{"10-25 01:40", "10-25 01:20"}},
		{"repeated hour, explicit", "date 2026-10-25\n01:30+00:00 fog on\n01:30+01:00 fog off", []string{"10-25 01:30", "10-25 00:30"}},
		{"repeated hour, hour left out", "date 2026-10-25\n01:50 fog on\n:10 fog off", []string{"10-25 00:50", "10-25 01:10"}},
		{"offset where it is not needed", "date 2026-05-05\n10:41+01:00 fog on", []string{"05-05 09:41"}},
		{"spring, before and after the gap", "date 2026-03-29\n00:59 fog on\n02:00 fog off", []string{"03-29 00:59", "03-29 01:00"}},
		{"written the same day", "date 2026-05-05\n10:41 fog on written 10:50", []string{"05-05 09:41", "05-05 09:50"}},
		{"written at once", "date 2026-05-05\n10:41 fog on written 10:41", []string{"05-05 09:41", "05-05 09:41"}},
		{"written after midnight", "date 2026-05-05\n23:50 fog on written 00:10", []string{"05-05 22:50", "05-05 23:10"}},
		{"of the evening before", "date 2026-05-06\n00:04 fog on\n23:58 fog off written 00:06", []string{"05-05 23:04", "05-05 22:58", "05-05 23:06"}},
		{"late in an evening that goes on", "date 2026-05-05\n00:04 fog on\n20:00 fog off\n23:58 fog on written 00:06", []string{"05-04 23:04", "05-05 19:00", "05-05 22:58", "05-05 23:06"}},
		{"written days later", "date 2026-05-05\n23:50 fog on written 2026-05-09 00:10", []string{"05-05 22:50", "05-08 23:10"}},
		{"written in the repeated hour", "date 2026-10-25\n01:50 fog on written 01:10", []string{"10-25 00:50", "10-25 01:10"}},
		{"written before the gap of the day", "date 2026-03-29\n05:00 fog on written 01:30", []string{"03-29 04:00", "03-30 00:30"}},
	} {
		evs, err := ParseAll(strings.NewReader(c.book), london(t))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		var got []block.Time
		for _, ev := range evs {
			if got = append(got, ev.At); ev.Written != 0 {
				got = append(got, ev.Written)
			}
		}
		for i, want := range c.want {
			if i >= len(got) || got[i] != utc(t, want) {
				t.Errorf("%s: time %d is %v, want %s", c.name, i, got, want)
			}
		}
	}
}

func TestTimesThatCannotBe(t *testing.T) {
	for _, c := range []struct{ book, want string }{
		{"date 2026-03-29\n01:30 fog on",
			"line 2, column 1: the clocks never showed 2026-03-29 01:30: they went forward from 01:00 to 02:00 (Europe/London)"},
		{"date 2026-03-28\n23:00 fog on written 01:30",
			"line 2, column 22: the clocks never showed 2026-03-29 01:30: they went forward from 01:00 to 02:00"},
		{"date 2026-05-05\n10:41+00:00 fog on",
			"line 2, column 1: at 2026-05-05 10:41 the clocks in Europe/London are at +01:00 from UTC, not +00:00"},
		{"date 2026-10-25\n01:30+02:00 fog on", "line 2, column 1: at 2026-10-25 01:30 the clocks"},
		{"date 2026-05-05\n23:50 fog on\n00:10 fog off",
			"line 3, column 7: this is more than 12 hours before the entry before it: is a date line missing?"},
		{"date 2026-05-05\n:10 fog off", "line 2, column 1: the hour may be left out only after another entry of this date"},
		{"date 2026-05-05\n23:50 fog on\ndate 2026-05-06\n:10 fog off", "line 4, column 1: the hour may be left out only"},
		{"date 2026-05-05\n10:41 fog on\nfog off", "line 3, column 1: expected a time such as 10:41"}, // none is guessed
		{"date 2026-05-05\n10:41 fog on written :50", "line 2, column 22: expected a time such as 10:41"},
	} {
		_, err := ParseAll(strings.NewReader(c.book), london(t))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s\n got %v\nwant %s", c.book, err, c.want)
		}
	}
	// A late entry may go back further when it says so.
	_, err := ParseAll(strings.NewReader("date 2026-05-05\n23:50 fog on\n00:10 fog off written 23:55"), london(t))
	if err != nil {
		t.Error(err)
	}
}

func TestOffsetIsWrittenOnlyWhenTheClockShowsTheTimeTwice(t *testing.T) {
	for at, want := range map[string]string{
		"10-24 23:59": "00:59 fog on",
		"10-25 00:00": "01:00+01:00 fog on",
		"10-25 00:59": "01:59+01:00 fog on",
		"10-25 01:00": "01:00+00:00 fog on",
		"10-25 01:59": "01:59+00:00 fog on",
		"10-25 02:00": "02:00 fog on",
		"03-29 00:59": "00:59 fog on",
		"03-29 01:00": "02:00 fog on",
		"03-30 00:30": "01:30 fog on", // a day after the change
		"05-05 09:41": "10:41 fog on",
	} {
		if got := Format(block.Event{Kind: block.FogOn, At: utc(t, at)}, london(t)); got != want {
			t.Errorf("%s UTC: got %s, want %s", at, got, want)
		}
	}
}

func TestWrittenCarriesADateOnlyWhenItMust(t *testing.T) {
	at := utc(t, "05-05 22:50")
	for written, want := range map[block.Time]string{
		at:                    "23:50 fog on written 23:50",
		at + 20*60:            "23:50 fog on written 00:10",
		at + 20*60 + 7:        "23:50 fog on written 00:10:07",
		at + day - 60:         "23:50 fog on written 23:49",
		at + day:              "23:50 fog on written 2026-05-06 23:50",
		at - 60:               "23:50 fog on written 2026-05-05 23:49",
		utc(t, "10-25 00:10"): "23:50 fog on written 2026-10-25 01:10+01:00",
		at + 4*day:            "23:50 fog on written 2026-05-09 23:50",
	} {
		if got := Format(block.Event{Kind: block.FogOn, At: at, Written: written}, london(t)); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
}

func TestLinesTypedAtTheDesk(t *testing.T) {
	for _, c := range []struct{ now, line, want string }{
		{"05-05 09:41", "fog on", "05-05 09:41"},
		{"05-05 09:41", "10:41 fog on", "05-05 09:41"},
		{"05-05 09:41", "10:51 fog on", "05-05 09:51"}, // ten minutes ahead
		{"05-05 09:41", "10:52 fog on", "05-04 09:52"}, // more: yesterday's
		{"05-05 19:00", "06:10 fog on", "05-05 05:10"}, // this morning's
		{"05-04 23:05", "23:58 fog on", "05-04 22:58"}, // typed at 00:05
		{"05-05 22:58", "00:03 fog on", "05-05 23:03"}, // typed at 23:58
		{"05-05 10:02", ":58 fog on", "05-05 09:58"},   // typed at 11:02
		{"05-05 10:02", ":10 fog on", "05-05 10:10"},
		{"10-25 00:45", "01:40 fog on", "10-25 00:40"}, // first 01:45
		{"10-25 01:45", "01:40 fog on", "10-25 01:40"}, // second 01:45
		{"10-25 01:45", "01:40+01:00 fog on", "10-25 00:40"},
		{"03-29 00:30", "01:30 fog on", "03-28 01:30"}, // the gap is still to come
		{"05-05 09:41", "date 2026-05-01 ; 23:58 fog on", "05-01 22:58"},
	} {
		evs, err := ParseLine(london(t), utc(t, c.now), c.line)
		if err != nil || len(evs) != 1 || evs[0].At != utc(t, c.want) {
			t.Errorf("%s at %s: got %+v, %v, want %s", c.line, c.now, evs, err, c.want)
		}
	}
	if _, err := ParseLine(london(t), utc(t, "03-29 04:00"), "01:30 fog on"); err == nil {
		t.Error("a time in the gap just gone: no error")
	}
	evs, err := ParseLine(london(t), utc(t, "05-05 13:01"), `13:58 duty off "A. Fell" ; 14:00 duty on "R. Howe"`)
	if err != nil || len(evs) != 2 || evs[1].At-evs[0].At != 2*block.Minute {
		t.Errorf("two entries: %+v, %v", evs, err)
	}
	for _, line := range []string{"", "  ", "# remark", " ; "} {
		if evs, err := ParseLine(london(t), 1, line); err != nil || len(evs) != 0 {
			t.Errorf("%q: %v, %v", line, evs, err)
		}
	}
}

// TestACorrectionIsOnTheDateOfItsEntry: unless it says another, and then no time of that
// date is too far back.
func TestACorrectionIsOnTheDateOfItsEntry(t *testing.T) {
	of := utc(t, "05-05 09:43")
	for text, want := range map[string]block.Time{
		"10:44 Coldbeck <2 >2": of + 60,
		"Coldbeck <2 >2":       of,
		"00:01 fog on":         utc(t, "05-04 23:01"),
	} {
		ev, err := ParseCorrection(london(t), of, text)
		if err != nil || ev.At != want {
			t.Errorf("%s: got %v, %v, want %v", text, ev.At, err, want)
		}
	}
	late := utc(t, "05-05 21:43") // what was put at 22:43 and was of ten in the morning
	if _, err := ParseCorrection(london(t), late, "10:00 fog on"); err == nil || !strings.Contains(err.Error(), "date") {
		t.Errorf("half a day back, and no date: %v", err)
	}
	for text, want := range map[string]string{"2026-05-05 10:00 fog on": "05-05 09:00", "2026-05-04 10:00 fog on": "05-04 09:00"} {
		if ev, err := ParseCorrection(london(t), late, text); err != nil || ev.At != utc(t, want) {
			t.Errorf("%s: got %v, %v, want %s", text, ev.At, err, want)
		}
	}
	for _, text := range []string{"", "# x", "fog on ; fog off", "date 2026-05-04", "00:01 fog on 00:02", "25:00 fog on"} {
		if ev, err := ParseCorrection(london(t), of, text); err == nil {
			t.Errorf("%q: no error, %+v", text, ev)
		}
	}
}
