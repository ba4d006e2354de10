package register

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

const callsBook = `date 2026-05-05
09:55 duty on "A. Fell"
10:00 crossing "Mill Lane" asked "van" for 2
10:01 crossing "Mill Lane" wait "2K15 due"
10:04 crossing "Mill Lane" asked "van" for 2
10:05 crossing "Mill Lane" may cross
10:07 crossing "Mill Lane" clear
10:20 crossing "Mill Lane" asked "combine" for 4 large
10:21 message to Beech "hold trains"
10:21 message from Beech "holding"
10:21 signal "Down Starting" on
10:21 reminder on "Down Starting" "Mill Lane"
10:22 crossing "Mill Lane" may cross
`

// The page has the five things to be recorded of each call: crossing, time and
// nature of the request, how long, permission, movement complete. Source: study
// cards on GE/RT8000/TS9, 2.2.
func TestCallsOnThePage(t *testing.T) {
	box, err := os.ReadFile("../block/testdata/clauses/boxes/UW.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d := dayOfBook(t, box, []byte(callsBook), 0)
	var got []string
	for _, r := range d.CallTable().Rows {
		got = append(got, strings.Join(r.Cells, "|"))
	}
	want := "Mill Lane|10:00|van|2|10:01||\nMill Lane|10:04|van|2||10:05|10:07\nMill Lane|10:20|combine (large)|4||10:22|"
	if s := strings.Join(got, "\n"); s != want {
		t.Errorf("calls on the page\n%s\nwant\n%s", s, want)
	}
}

// What stands at a crossing is on the handover sheet, and must be taken over.
func TestHandoverTellsOfCrossings(t *testing.T) {
	box, err := os.ReadFile("../block/testdata/clauses/boxes/UW.yaml")
	if err != nil {
		t.Fatal(err)
	}
	book := callsBook + "10:24 crossing \"Mill Lane\" attended \"J. Wray\"\n10:25 duty on \"R. Howe\"\n"
	d := dayOfBook(t, box, []byte(book), 0)
	text := fmt.Sprintf("%+v", d.Sheets)
	for _, want := range []string{"crossing: combine, large, 4 minutes", "attended J. Wray"} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet does not tell %q:\n%s", want, text)
		}
	}
}

// Where bells have failed and a train is worked by message, the page knows the words
// that were said as it does the beats.
func TestWordsSaidOnThePage(t *testing.T) {
	box, err := os.ReadFile("../block/testdata/clauses/boxes/B.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d := dayOfBook(t, box, []byte("date 2026-05-05\n10:00 C working by message\n10:01 C >offer <accept train 2P01\n10:02 C >entering train 2P01\n10:08 C <arrived train 2P01\n"), 0)
	if len(d.Across) != 1 || d.Across[0].Text != "C working by message" {
		t.Errorf("what was said has its columns, and is no bell that the code book lacks: across the page %+v", d.Across)
	}
}
