package export

import (
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"fairhand/register/audit"
	"fairhand/register/registertest"
)

// The sheet of figures has those of the audit of the day, in seconds and as
// numbers; the page and the print have them in minutes.
func TestFiguresInEveryFormat(t *testing.T) {
	d := registertest.DemoDay(t, "..")
	want, use := audit.OfDay(d)
	f, err := excelize.OpenReader(strings.NewReader(written(t, "xlsx", d)))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := f.GetRows("Figures")
	if err != nil {
		t.Fatal(err)
	}
	cell := func(about, class, measure, head string) string {
		t.Helper()
		for _, r := range rows[sheetHead:] {
			for c, h := range rows[sheetHead-1] {
				if r[0] == about && r[1] == class && r[2] == measure && h == head && c < len(r) {
					return r[c]
				}
			}
		}
		t.Errorf("no %s, %s, %s, %s", about, class, measure, head)
		return ""
	}
	page, print := readable(t, "html", written(t, "html", d)), readable(t, "pdf", written(t, "pdf", d))
	checked := 0
	for _, fl := range want.Flows {
		for _, c := range fl.Classes {
			if c.Occupied.Count < 2 {
				continue
			}
			checked++
			for head, n := range map[string]int64{"Times": c.Occupied.Count, "Shortest, seconds": c.Occupied.Shortest, "Median, seconds": c.Occupied.Median,
				"90 %, seconds": c.Occupied.P90, "Longest, seconds": c.Occupied.Longest, "Entry that ended the longest": c.Occupied.LongestEntry} {
				if got := cell(fl.Name(), c.Class, "entering to out of section", head); got != strconv.FormatInt(n, 10) {
					t.Errorf("%s, %s: %s is %q, want %d", fl.Name(), c.Class, head, got, n)
				}
			}
			words := c.Class + ", entering to out of section: " + strconv.FormatInt(c.Occupied.Count, 10) + " times, median " + audit.Length(c.Occupied.Median)
			if !strings.Contains(page, words) || print != "" && !strings.Contains(strings.Join(strings.Fields(print), " "), words) {
				t.Errorf("the page or the print has no %q", words)
			}
		}
	}
	for _, l := range use.Lines {
		if got, _ := strconv.ParseFloat(cell(l.Section+", "+l.Line, "", "occupied, of the day", "Occupied, %"), 64); got < 100*l.DayShare-0.05 || got > 100*l.DayShare+0.05 {
			t.Errorf("%s, %s occupied %v %%, want %v", l.Section, l.Line, got, 100*l.DayShare)
		}
	}
	if cell("Timetable", "passenger", "late at arrival", "Times") == "" || checked < 4 {
		t.Errorf("little to check: %d", checked)
	}
}
