package export

import (
	"bytes"
	"encoding/csv"
	"errors"
	"strings"
	"testing"

	"fairhand/register/sheet"
)

// records reads a document written in a form of CSV.
func records(t *testing.T, form string, doc *sheet.Document) [][]string {
	t.Helper()
	var b bytes.Buffer
	if err := Draw(&b, form, doc); err != nil {
		t.Fatal(err)
	}
	recs, err := csv.NewReader(&b).ReadAll() // refuses records of unequal length
	if err != nil {
		t.Fatalf("%s: %v", form, err)
	}
	return recs
}

// A table is a record a row in both forms; only the guarded one has an apostrophe
// before what a spreadsheet would run or change, and none before a column of numbers.
func TestDocumentAsCSV(t *testing.T) {
	texts := []string{"=1+2", "1E45", "2026-05-05", "'quoted", "plain, with \"marks\""}
	table := &sheet.Table{Columns: []sheet.Column{{Key: "entry", Number: true}, {Key: "text"}}}
	for _, s := range texts {
		table.Rows = append(table.Rows, sheet.Row{Cells: []string{"41", s}})
	}
	doc := &sheet.Document{Proof: []string{"Last entry: 41"}, Sections: []sheet.Section{{}, {Data: []*sheet.Table{table}}}}
	for form, guard := range map[string]string{"csv": "'", "csv-plain": ""} {
		recs := records(t, form, doc)
		if got := strings.Join(recs[0], " "); got != "record entry text" {
			t.Errorf("%s: heading %q", form, got)
		}
		for i, s := range texts {
			want := guard + s
			if i == len(texts)-1 { // nothing a spreadsheet takes for something else
				want = s
			}
			if r := recs[i+1]; r[0] != "row" || r[1] != "41" || r[2] != want {
				t.Errorf("%s: record %q, want %q", form, r, want)
			}
		}
		foot := recs[len(recs)-1]
		if foot[0] != "foot" || foot[2] != "Last entry: 41. "+sheet.Caution {
			t.Errorf("%s: foot %q", form, foot)
		}
	}
	doc.Alarms = []sheet.Alarm{{Stamp: sheet.Damaged, Text: "entry 7"}}
	var alarm *AlarmError
	if err := Draw(&bytes.Buffer{}, "csv", doc); !errors.As(err, &alarm) {
		t.Errorf("a table without a place for an alarm is written all the same: %v", err)
	}
}

// The plain form has the names of trains as the register has them.
func TestPlainDay(t *testing.T) {
	if got := written(t, "csv-plain", tuesday(t)); !strings.Contains(got, ",1E45,") || strings.Contains(got, "'1E45") || !strings.Contains(got, "sent 3-1") {
		t.Error("the plain form is guarded")
	}
	if got := written(t, "csv", tuesday(t)); strings.Contains(got, ",1E45,") || !strings.Contains(got, ",'1E45,") {
		t.Error("the guarded form is not")
	}
}
