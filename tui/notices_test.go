package tui

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/register"
)

// noticesOf writes the special notices of the rig's box.
func (r *rig) noticesOf(lines ...string) *rig {
	r.t.Helper()
	text := "from,until,notice\n" + strings.Join(lines, "\n") + "\n"
	if err := os.WriteFile(filepath.Join(r.book.Dir, register.NoticesName), []byte(text), 0o600); err != nil {
		r.t.Fatal(err)
	}
	r.tick()
	r.app.ForceDraw()
	return r
}

// countingNotices counts how often the notices are read.
type countingNotices struct {
	*register.Book
	read *int
}

func (c countingNotices) Notices() ([]register.Notice, error) {
	*c.read++
	return c.Book.Notices()
}

// The file of the notices is read when it changed, and when it has gone, not at each look.
func TestNoticesAreReadWhenTheyChange(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	n := 0
	r.open(countingNotices{r.book, &n}, 80, 24, Options{})
	r.noticesOf(`,,one`).log("10:00 clock right").at("10:05").press("s", "Esc").tick()
	if n != 1 {
		t.Errorf("read %d times, want once", n)
	}
	r.want("1 SPECIAL NOTICE").noticesOf(`,,one`, `,,two`).want("2 SPECIAL NOTICES")
	if err := os.Remove(filepath.Join(r.book.Dir, register.NoticesName)); err != nil {
		t.Fatal(err)
	}
	r.tick()
	if n != 3 || strings.Contains(r.text(), "NOTICE") {
		t.Errorf("read %d times, want 3:\n%s", n, r.text())
	}
}

// A special notice is counted on the desk while it binds, stands in full beside the
// timetable a week before, and is told to the relief: each from its first moment to its last.
func TestSpecialNotices(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`09:50 duty on "A. Fell"`).at("10:00").noticesOf(
		`2026-05-05 10:30,2026-05-05 14:00,"20 miles an hour over bridge 14, Up Main, by order of the engineer; trains are not to be stopped at the home signal for it"`,
		`,2026-05-04,gone since yesterday`, `2026-05-06,,1Z90 runs as booked on the notice`, `2026-06-01,,next month`)
	both := "1Z90 runs"
	if strings.Contains(r.text(), "SPECIAL NOTICE") {
		t.Errorf("none binds yet:\n%s", r.text())
	}
	r.press("n").want("SPECIAL NOTICES").want("20 miles an hour over bridge 14").want("for it  from 2026-05-05 10:30 until").want(both)
	r.press("Esc", "s", "End").want("20 miles an hour").want(both)
	if strings.Contains(r.text(), "yesterday") || strings.Contains(r.text(), "next month") {
		t.Errorf("shown though they do not bind within a week:\n%s", r.text())
	}
	r.press("Esc").at("10:30").want("1 SPECIAL NOTICE (n)")
	told := func() (out string) {
		for _, p := range r.book.Handover(nil).Parts {
			if strings.HasPrefix(p.Title, "Special notices") {
				for _, it := range p.Items {
					out += it.Text + "|"
				}
			}
		}
		return out
	}
	if got := told(); !strings.Contains(got, "bridge 14") || strings.Contains(got, both) {
		t.Errorf("the relief is told %s", got)
	}
	r.press("h", "Home").want("Special notices in force").press("Esc").at("14:00")
	if strings.Contains(r.text(), "SPECIAL NOTICE") || !strings.Contains(told(), both) {
		t.Errorf("it ended at two, the other begins within a turn: %s\n%s", told(), r.text())
	}
	r.noticesOf(`5.5.2026,,"x"`).want(`line 2: "5.5.2026" is no date`)
	if got := told(); !strings.HasPrefix(got, "not known: ") {
		t.Errorf("the relief is told %s", got)
	}
}
