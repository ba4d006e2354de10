package tui

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/sheet"
)

// sketch stands for the train graph that the program passes in: the window it is
// asked for, the trains it gets and those booked.
func sketch(day *register.Day, columns, lines int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%d columns, %d lines, booked %d\n", day.Title(), columns, lines, len(day.Timetable))
	for hour := range 24 {
		fmt.Fprintf(&b, "%02d:00  |\n", hour)
	}
	return b.String()
}

// TestInspectorScreens are the screens of an inspector, and the graph, at three sizes.
func TestInspectorScreens(t *testing.T) {
	for _, s := range []struct {
		name string
		keys []string
	}{
		{"inspect", []string{"i"}},
		{"inspect-day", []string{"i", "d"}},
		{"inspect-turn", []string{"i", "t"}},
		{"inspect-end", []string{"i", "w", "End"}},
		{"inspect-period", []string{"i", "p", "2026-05"}},
		{"inspect-sign", []string{"i", "d", "s"}},
		{"graph", []string{"g"}},
		{"graph-closer", []string{"g", "z", "End"}},
	} {
		r := newDemoRig(t, 80, 24)
		r.open(r.book, 80, 24, Options{Graph: sketch})
		r.at("10:44").press(s.keys...)
		for _, size := range [][2]int{{80, 24}, {100, 30}, {120, 40}} {
			r.resize(size[0], size[1])
			golden(t, fmt.Sprintf("%s-%dx%d.screen", s.name, size[0], size[1]), r.text())
		}
		r.desk.theme = newTheme(true, Auto)
		for _, w := range []int{1, 79, 80, 93, 200} {
			for _, h := range []int{1, 23, 24, 60} {
				r.resize(w, h)
			}
		}
	}
}

// An inspector examines the day, signs what the desk proposes, and comes back to
// the report.
func TestInspectorSigns(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.logAt(live...).at("10:20").press("i").want("this turn of duty: A. Fell since 09:50").press("t").
		want("AUDIT: turn of A. Fell since 09:50").want("of this turn alone")
	r.press("s").want("; head 11 ").press("Enter").want("AUDIT: turn of A. Fell")
	if !strings.HasPrefix(r.last(), `10:20 sign "R. Garth" "examined 2026-05-05; head 11 `) {
		t.Errorf("wrote %q", r.last())
	}
	n := len(r.lines())
	r.press("s", "Esc").want("AUDIT: turn of A. Fell").press("Esc").press("s", "Esc", "b", "<1", "Enter")
	if len(r.lines()) != n+1 || r.desk.model.mode != modeDesk {
		t.Errorf("an entry after a signature that was dropped ends in mode %s, %d entries more", r.desk.model.mode, len(r.lines())-n)
	}
}

// From the report to each finding, its entry in the register of its day and the page
// of that day, and back.
func TestAuditLeadsToEntries(t *testing.T) {
	r := newRig(t, "box.yaml", 120, 40, Options{})
	r.logAt(`08:00 duty on "R. Howe"`, "08:01 clock right", "08:30 Saltgarth <2-1 >2-1", `09:00 note "quiet"`)
	r.at("10:00").press("i", "f").want("The report has no finding").press("d", "f").want("FOUND BY THE AUDIT: 2026-05-05")
	for r.desk.model.hunt.hits[r.desk.model.pick].Seq != 3 {
		r.press("Down")
	}
	r.want("out-of-section-no-train").press("Esc").want("audit of the register of Ennerholme").press("Enter", "Enter")
	r.want("REGISTER").want("Saltgarth <2-1 >2-1")
	if e := r.desk.model.picked(); e == nil || e.Seq != 3 {
		t.Fatalf("the finding leads to %+v", e)
	}
	r.press("p").want("Left before")
}

func plainText(lines []sheet.PlainLine) string {
	var out strings.Builder
	for _, l := range lines {
		out.WriteString(l.Text + "\n")
	}
	return out.String()
}

// The turn's report has what was found in it alone.
func TestAuditOfOneTurn(t *testing.T) {
	r := newRig(t, "box.yaml", 120, 40, Options{})
	r.logAt(`08:00 duty on "R. Howe"`, "08:00 clock right", "08:30 Saltgarth <2-1 >2-1", `09:00 duty on "A. Fell"`, `09:00 duty off "R. Howe"`)
	r.at("10:00").press("i", "d")
	if day := plainText(r.desk.model.exam.text); !strings.Contains(day, "entry 3") || !strings.Contains(day, "R. Howe") {
		t.Fatalf("the report of the day lacks what was found before the turn:\n%s", day)
	}
	r.press("t")
	turn := plainText(r.desk.model.exam.text)
	turn = turn[:strings.Index(turn, "Turns of duty")]
	if strings.Contains(turn, "Saltgarth") || strings.Contains(turn, "R. Howe") {
		t.Errorf("the report of the turn has what was found before it:\n%s", turn)
	}
}

func TestAuditOfNothing(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.press("i", "t").want("Nobody is on duty").press("p", "2026-13-45", "Enter").want("the first and the last are wanted").
		press("Ctrl-U", "2020", "Enter").want("Nothing is written on the days asked for")
}

// The desk goes on while the assistant audits; q leaves it at work, Esc ends it,
// and of what was ended nothing more is heard. Run with -race.
func TestAuditBesideTheDesk(t *testing.T) {
	r := newDemoRig(t, 80, 24)
	r.desk.clerk.helper.inline = false
	woken := make(chan struct{}, 1000)
	r.desk.clerk.helper.wake = func() { woken <- struct{}{} }
	r.at("10:44").press("i", "d")
	if !r.desk.model.exam.on {
		t.Fatal("the audit did not begin")
	}
	r.press("q", "b", "<1", "Enter")
	for limit := time.After(20 * time.Second); r.desk.model.exam.on; {
		select {
		case <-woken:
			r.desk.answers()
		case <-limit:
			t.Fatal("no report")
		}
	}
	r.app.ForceDraw()
	r.want("i shows its report").press("i").want("audit of the register of Ennerholme")
	r.press("w", "Esc").want("Stopped")
	text := r.desk.model.exam.text
	r.desk.step(examined{id: r.desk.model.exam.id, end: true, text: []sheet.PlainLine{{Text: "late"}}})
	if len(text) != 0 || len(r.desk.model.exam.text) != 0 {
		t.Error("a stopped audit was heard of")
	}
	r.desk.clerk.helper.end("")
}

func TestParsePeriod(t *testing.T) {
	for _, c := range []struct {
		text     string
		from, to calendar.Day
	}{
		{"2026-05-05", 20260505, 20260505}, {"2024-02", 20240201, 20240229}, {"2026", 20260101, 20261231},
		{"2026-05-30 2026-06-02", 20260530, 20260602}, {"2025-12 2026-02", 20251201, 20260228},
		{"", 0, 0}, {"2026-06-02 2026-05-30", 0, 0}, {"2026-02-30", 0, 0}, {"5 May", 0, 0}, {"2026 2027 2028", 0, 0},
	} {
		from, to, err := parsePeriod(c.text)
		if (err != nil) != (c.from == 0) || err == nil && (from != c.from || to != c.to) {
			t.Errorf("%q: %d to %d, %v", c.text, from, to, err)
		}
	}
}
