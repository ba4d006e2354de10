package register

import (
	"slices"
	"strings"
	"testing"
)

// TestSignalsAlonePage: the page tells no time of line clear where the book has the offer
// alone; it does where the answer is booked, and it tells a refusal.
func TestSignalsAlonePage(t *testing.T) {
	box := `box: Ennerholme
timezone: UTC
rules: british-later
booking: signals
sections:
  - neighbour: Coldbeck
    method: absolute
    lines: [{name: Up, way: in}, {name: Down, way: out}]
    allow: [restricted-acceptance]
people: [{name: A. Fell, role: signaller}]
`
	book := `date 2026-05-05
08:59 duty on "A. Fell"
09:01 Coldbeck <3-1 train 2A01
09:05 Coldbeck <2 train 2A01
09:09 train 2A01 passed complete
09:09 Coldbeck >2-1 train 2A01
09:21 Coldbeck <3-1 >3-1 train 2A03
09:25 Coldbeck <2 train 2A03
09:29 train 2A03 passed complete
09:29 Coldbeck >2-1 train 2A03
09:41 Coldbeck <3-2 >3-5-5 train 8A01
09:45 Coldbeck <2 train 8A01
09:49 train 8A01 passed complete
09:49 Coldbeck >2-1 train 8A01
10:01 Coldbeck <3-1 train 2A05
10:02 Coldbeck >refuse train 2A05 "platform occupied"
10:11 Coldbeck <4 train 1A01
`
	d := dayOfBook(t, []byte(box), []byte(book), 0)
	want := map[string]string{"2A01": "", "2A03": "09:21", "8A01": "09:41", "1A01": "", "2A05": ""}
	at := slices.IndexFunc(pageColumns, func(c pageColumn) bool { return c.Key == "by-accepted" })
	for i := range d.Rows {
		v := d.trainView(&d.Rows[i])
		got := ""
		if when := pageColumns[at].at(v); when != 0 {
			got = d.Clock(when)
		}
		name := v.row.Train.Name
		if w, ok := want[name]; !ok || w != got {
			t.Errorf("%s: accepted %q on the page, want %q", name, got, w)
		}
		delete(want, name)
		if told := strings.Join(v.remarks, "; "); strings.Contains(told, "not accepted") != (name == "2A05") {
			t.Errorf("%s: remarks %q", name, told)
		}
	}
	if len(want) > 0 {
		t.Errorf("no rows of %v", want)
	}
}
