package audit

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"fairhand/block/rulebook"
)

// TestDemoDay audits the demonstration, from its register, and compares with what
// can be counted in the text of its book.
func TestDemoDay(t *testing.T) {
	s := readDemo(t)
	r := auditRegister(t, imported(t, s.box, s.book), Options{})
	if r.Unexplained(rulebook.Danger) != 0 || r.Unexplained(rulebook.Irregular) != 3 {
		t.Errorf("unexplained: %+v; the comments of the book tell of a call, a late entry and a late entering that nobody explains", r.Severities)
	}
	lines := func(pattern string) int64 {
		return int64(len(regexp.MustCompile(`(?m)^\d\d:\d\d `+pattern).FindAllString(s.book, -1)))
	}
	for _, c := range []struct{ section, way, entering, out string }{
		{"Coldbeck", "from", "Coldbeck <2 >2", "Coldbeck >1 <1 >2-1 <2-1"},
		{"Coldbeck", "to", "Coldbeck >2 <2", "Coldbeck <1 >1 <2-1 >2-1"},
		{"Saltgarth", "from", `(Saltgarth <2 >2|message from Saltgarth "\S+ left here)`, `(Saltgarth >1 <1 >2-1 <2-1|message to Saltgarth "\S+ arrived)`},
		{"Saltgarth", "to", `(Saltgarth >2 <2|message to Saltgarth "\S+ left here)`, `(Saltgarth <1 >1 <2-1 >2-1|message from Saltgarth "\S+ arrived)`},
	} {
		f := flowOf(t, r, c.section, c.way)
		var out int64
		for _, x := range f.Classes {
			out += x.Occupied.Count
		}
		if f.Trains != lines(c.entering) || out != lines(c.out) {
			t.Errorf("%s %s: %d entered, %d out of section; the book has %d and %d", c.way, c.section, f.Trains, out, lines(c.entering), lines(c.out))
		}
	}
	k := r.Keeping
	if k.CorrectionCount != lines("correct ") || k.SignatureCount != lines("sign ") || k.Visits != lines("visit ") || k.ClockChecks != lines("clock ") {
		t.Errorf("keeping %+v", k)
	}
	if len(r.Turns) != 2 || r.Turns[0].Name != "A. Fell" || r.Turns[1].To.Clock() != "22:00" || r.Turns[0].Entries+r.Turns[1].Entries != r.Extent.Entries {
		t.Errorf("turns %+v", r.Turns)
	}
	if o := r.Turns[0].OpenRows; len(o) != 1 || o[0].Train != "0Z26" {
		t.Errorf("on hand when the turn changed: %+v; the book carries over 0Z26, and 6T27 stands clear in the Yard", o)
	}
	demoOccupation(t, s.book, r)
}

// demoOccupation adds up the single line by hand: from each entering, or
// departure where it is earlier, to the next out of section.
func demoOccupation(t *testing.T, book string, r *Report) {
	t.Helper()
	clock := func(line string) int64 {
		at := must(time.Parse("15:04", line[:5]))(t)
		return int64(at.Hour()*60+at.Minute()) * minute
	}
	total, since := int64(0), int64(-1)
	for line := range strings.Lines(book) {
		switch {
		case since < 0 && (strings.Contains(line, "Coldbeck <2 >2") || strings.Contains(line, "Coldbeck >2 <2") || strings.Contains(line, "departed for Coldbeck")):
			since = clock(line)
		case since >= 0 && strings.Contains(line, " Coldbeck ") && regexp.MustCompile(`[<>]2-1 [<>]2-1`).MatchString(line):
			total += clock(line) - since
			since = -1
		}
	}
	want := fmt.Sprintf("%.6f", float64(total)/86400)
	for _, l := range r.Occupation.Lines {
		if got := fmt.Sprintf("%.6f", l.DayShare); l.Section == "Coldbeck" && got != want {
			t.Errorf("single line occupied %s of the day, by hand %s", got, want)
		}
	}
}
