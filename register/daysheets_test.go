package register

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// sheetsOf gives each sheet of a book's last day in lines: who and when, then
// each thing to be taken over with what became of it.
func sheetsOf(t *testing.T, book string) ([]string, *Day) {
	t.Helper()
	d := dayOfBook(t, []byte(benchBox), []byte(book), 0)
	var out []string
	for _, s := range d.Sheets {
		out = append(out, d.Clock(s.At)+" "+s.From+" to "+s.To)
		for _, it := range s.Parts[0].Items {
			mark := " "
			switch {
			case it.QueriedBy != 0:
				mark = "?"
			case it.CarriedBy != 0:
				mark = "x"
			}
			out = append(out, mark+" "+it.Text)
		}
	}
	return out, d
}

// A sheet belongs to each change of duty at a box that is being worked, whichever
// of the two signs first, and to nothing else. The things a relief must be told:
// TS1 1.3 as quoted in signaller study cards.
func TestSheetsOfADay(t *testing.T) {
	const night = `date 2026-05-05
06:00 duty on "A. Fell"
06:00 box open
13:40 Saltgarth <1 >1 <3-1 >3-1 train 2A01
13:42 Saltgarth <2 >2
13:43 reminder on "Lever 5" "men on the line"
13:44 failure "Lamp 7" "out"
13:57 carried "2A01"
13:57 queried "Lever 5" "which men?"
`
	const live, last = "x 2A01: in section from Saltgarth\n", "\n? reminder on Lever 5: men on the line"
	for name, c := range map[string]struct{ book, want string }{
		"on, off":           {night + "13:58 duty on \"R. Howe\"\n14:00 duty off \"A. Fell\"\n", "13:58 A. Fell to R. Howe\n" + live + "  Lamp 7: failed (out)" + last},
		"off, on":           {night + "13:58 duty off \"A. Fell\"\n13:59 Saltgarth >1 <1\n14:00 duty on \"R. Howe\"\n", "13:58 A. Fell to R. Howe\n" + live + "  Lamp 7: failed (out)" + last},
		"told after":        {night + "13:58 duty on \"R. Howe\"\n13:58 duty off \"A. Fell\"\n14:05 carried \"Lamp 7\"\n", "13:58 A. Fell to R. Howe\n" + live + "x Lamp 7: failed (out)" + last},
		"told much later":   {night + "13:58 duty on \"R. Howe\"\n13:58 duty off \"A. Fell\"\n15:05 carried \"Lamp 7\"\n", "13:58 A. Fell to R. Howe\n" + live + "  Lamp 7: failed (out)" + last},
		"signed on already": {night + "13:58 duty on \"A. Fell\"\n", ""},
		"box closed":        {"date 2026-05-05\n06:00 duty on \"A. Fell\"\n06:01 box open\n13:00 box closed\n13:01 duty off \"A. Fell\"\n15:00 duty on \"R. Howe\"\n15:01 box open\n", ""},
		"nothing is live":   {"date 2026-05-05\n06:00 duty on \"A. Fell\"\n06:01 box open\n14:00 duty off \"A. Fell\"\n14:00 duty on \"R. Howe\"\n", "14:00 A. Fell to R. Howe\n  none"},
		"over midnight":     {"date 2026-05-05\n22:00 duty on \"A. Fell\"\n22:01 box open\n23:59 duty off \"A. Fell\"\ndate 2026-05-06\n00:01 reminder on \"Lever 5\" \"men\"\n00:01 duty on \"R. Howe\"\n", "00:01  to R. Howe\n  reminder on Lever 5: men"},
	} {
		got, _ := sheetsOf(t, c.book)
		if diff := cmp.Diff(c.want, strings.Join(got, "\n")); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
	_, d := sheetsOf(t, night+"13:58 duty on \"R. Howe\"\n14:00 duty off \"A. Fell\"\n14:10 duty off \"R. Howe\"\n14:10 duty on \"A. Fell\"\n")
	if len(d.Sheets) != 2 || d.Sheets[1].From != "R. Howe" || d.Sheets[1].Parts[0].Items[0].CarriedBy != 0 {
		t.Errorf("a second change of duty: %+v", d.Sheets)
	}
}

// The sheet of a past change of duty says what the one printed at that moment
// said, but for the trains expected.
func TestSheetOfADayIsTheSheetOfTheMoment(t *testing.T) {
	b, now := newBook(t, "2026-05-05 13:40")
	logAll(t, b, now, `duty on "A. Fell"`, `clock slow 1`, `box open`, `Saltgarth <1 >1 <3-1 >3-1 train 2A01`, `Saltgarth <2 >2`, `Coldbeck >1 <1 >4-1 <4-1 train 6K02`,
		`Coldbeck token 2 out`, `message from Control "Is 6K02 ready?"`, `note "the stove smokes"`, `Saltgarth >2-1 <2-1 train 2A01`)
	*now = time.Date(2026, 5, 5, 14, 0, 0, 0, b.Location())
	said := b.Handover(nil)
	logAll(t, b, now, `duty on "R. Howe"`, `duty off "A. Fell"`)
	d, err := b.LoadDay(t.Context(), 20260505)
	if err != nil || len(d.Sheets) != 1 {
		t.Fatalf("%d sheets, %v", len(d.Sheets), err)
	}
	n := len(said.Parts)
	want := append(said.Parts[:n-2:n-2], said.Parts[n-1])
	if diff := cmp.Diff(want, d.Sheets[0].Parts); diff != "" {
		t.Errorf("(-said +in the day):\n%s", diff)
	}
}
