package export

import (
	"strings"
	"testing"

	"fairhand/register"
)

// What the relief said to each thing shows: taken over, queried, or nothing. A
// remark with a line end in it stays a comment in a book in notation.
func TestHandoverTicks(t *testing.T) {
	d := tuesday(t)
	items := d.Sheets[0].Parts[0].Items
	items[1].CarriedBy = 29
	items[0].QueriedBy, items[0].Remark = 28, "since\nwhen? =1+1"
	for format, want := range map[string][]string{
		"text":     {"[x] 5 from Coldbeck", "taken over, entry 29", "[?] Up Main", "queried, entry 28", "[ ] Lever 12", "not taken over"},
		"notation": {"[x] 5 from Coldbeck", "# ", "queried, entry 28: since when? =1+1\n"},
		"html":     {`<td class="sign">[?]</td><td>Up Main`, `queried, <a href="#e28">entry 28</a>`},
		"json":     {`"taken_over_by": 29`, `"queried_by": 28`, `since\nwhen? =1+1`},
		"csv":      {"handover,27,2026-05-05T13:58:00+01:00,,A. Fell,taken over,,,,,,,R. Howe,,5 from Coldbeck,", ",queried,", ",not taken over,"},
		"pdf":      {"[x]", "[?]", "[ ]", "queried, entry 28"},
		"xlsx":     {"taken over\t29", "queried\t28\tsince\nwhen? =1+1", "not taken over"},
	} {
		got := written(t, format, d)
		if format == "pdf" || format == "xlsx" {
			if got = readable(t, format, got); got == "" {
				continue // no program here to read it
			}
		}
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s has no %q", format, w)
			}
		}
	}
	for l := range strings.Lines(commented("a\nb\u2028c\rd")) {
		if l != "# a b c d\n" {
			t.Errorf("comment %q", l)
		}
	}
}

// A day without a change of duty has no sheet, and a sheet nobody handed over
// says so.
func TestHandoverOfNobody(t *testing.T) {
	d := tuesday(t)
	d.Sheets[0].From = ""
	if got := written(t, "text", d); !strings.Contains(got, "nobody on duty to R. Howe") {
		t.Error("the text does not say that nobody was on duty")
	}
	d.Sheets = []register.DaySheet{}
	for _, f := range Formats() {
		if got := written(t, f.Name, d); strings.Contains(got, "Handed over") || strings.Contains(got, `"handovers"`) {
			t.Errorf("%s tells of a handover", f.Name)
		}
	}
}
