package register

import (
	"strings"
	"testing"

	"fairhand/block/rulebook"
)

// What is shown is rounded as the railway has it, and what is kept is not; each entry is
// kept with who was on duty, and one with nobody on duty is found.
func TestKeptToTheSecondWithItsWriter(t *testing.T) {
	box := strings.Replace(benchBox, "rules:", "rounding: up\nrules:", 1)
	b := newBookOf(t, []byte(box), []byte("date 2026-05-05\n06:00 duty on \"A. Fell\"\n10:41:05 train 2A01 arrived complete\n"+
		"10:50 duty off \"A. Fell\"\n10:52:10 Coldbeck <2 >2 train 2A02\n"))
	rows, err := b.Store().Range(1, 4)
	if err != nil || len(rows) != 4 {
		t.Fatal(rows, err)
	}
	if !strings.HasPrefix(rows[1].Line, "10:41:05 ") || rows[1].At%60 != 5 {
		t.Errorf("kept as %q of %d", rows[1].Line, rows[1].At)
	}
	if rows[1].Writer != "A. Fell" || rows[3].Writer != "" {
		t.Errorf("written by %q and %q", rows[1].Writer, rows[3].Writer)
	}
	d, err := b.LoadDay(t.Context(), rows[0].Day)
	if err != nil {
		t.Fatal(err)
	}
	if page := pagesText(d); !strings.Contains(page, "42") || strings.Contains(page, "41") || !strings.Contains(page, "53") {
		t.Errorf("the page does not round up:\n%s", page)
	}
	nobody := false
	for _, f := range d.Findings {
		nobody = nobody || f.Rule == rulebook.NobodyOnDuty && f.Seq == 4
	}
	if !nobody {
		t.Errorf("nobody was on duty at entry 4: %v", d.Findings)
	}
}
