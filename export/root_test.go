package export

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"github.com/parquet-go/parquet-go"

	"fairhand/register"
	"fairhand/register/registertest"
)

// rooted is a day on which entry 6 gave out of section with no arrival booked, which
// was explained; 7 follows from it; and 15, 16 and 18 are the same with arrivals that
// were written late and answer it.
func rooted(t *testing.T) *register.Day {
	return registertest.Day(t, `railway: Thrackley Vale Railway
box: Ennerholme
timezone: Europe/London
rules: british-later
sections:
  - {neighbour: Saltgarth, method: absolute, lines: [{name: Up Main, way: out}, {name: Down Main, way: in}], towards: up}
  - {neighbour: Coldbeck, method: absolute, lines: [{name: Down Main, way: out}, {name: Up Main, way: in}], towards: down}
`, `date 2026-05-05
06:00 duty on "A. Fell"
06:00 clock right
06:00 box open
10:00 Saltgarth <1 >1 <3-1 >3-1 train 1A01
10:02 Saltgarth <2 >2
10:05 Saltgarth >1 <1 >2-1 <2-1
10:07 Saltgarth <1 >1 <3-1 >3-1 train 1A03
10:09 Saltgarth <2 >2
10:12 Saltgarth >1 <1 >2-1 <2-1
10:16 explain 6 "arrival not seen by me"
10:20 train 1A01 arrived complete
10:22 train 1A03 arrived complete
10:30 Coldbeck <1 >1 <3-1 >3-1 train 2P07
10:33 Coldbeck <2 >2
10:40 Coldbeck >1 <1 >2-1 <2-1
10:41 Coldbeck <1 >1 <3-1 >3-1 train 2P09
10:43 Coldbeck <2 >2
10:47 Coldbeck >1 <1 >2-1 <2-1
10:39 train 2P07 arrived complete written 11:10
10:46 train 2P09 arrived complete written 11:11
11:40 duty off "A. Fell"
`, 0)
}

// Whoever reads a day in any format for people is told what a finding follows from,
// who explained it, and what stands no more since which entry.
func TestRootsToRead(t *testing.T) {
	d := rooted(t)
	for format, list := range map[string]bool{"text": false, "html": true, "pdf": true} {
		close := func(s string) string { return regexp.MustCompile(`\s+`).ReplaceAllString(s, "") } // lines end and links begin anywhere
		got := close(readable(t, format, written(t, format, d)))
		if got == "" {
			continue
		}
		want := []string{"(entry 6, explained by entry 10)", "(entry 7, follows from entry 6)", "answered by entry 19", "follows from entry 15"}
		if list {
			want = append(want, "Found on this day: 4", "entry 6, explained by entry 10", "entry 7, follows from entry 6",
				"Found as it was written, and answered since: 3", "entry 15, answered by entry 19", "entry 16, follows from entry 15, answered by entry 19")
		}
		for _, w := range want {
			if !strings.Contains(got, close(w)) {
				t.Errorf("%s has no %q", format, w)
			}
		}
		if format == "html" && !strings.Contains(written(t, format, d), `<td style="padding-left:4ch"><b>10:07 danger`) {
			t.Errorf("html: what follows does not stand within its root")
		}
		if i, j := strings.Index(got, close("entry 6, explained by")), strings.Index(got, close("entry 7, follows from")); i < 0 || j < i {
			t.Errorf("%s: the root stands at %d, what follows at %d", format, i, j)
		}
	}
}

// A program is told the same: in the fields of JSON and Parquet, in columns of CSV
// and of the sheet of findings.
func TestRootsInFields(t *testing.T) {
	d := rooted(t)
	var j jsonDay
	if err := json.Unmarshal([]byte(written(t, "json", d)), &j); err != nil {
		t.Fatal(err)
	}
	if len(j.Findings) != 4 || j.Findings[0].Entry != 6 || len(j.Findings[0].ExplainedBy) != 1 || j.Findings[0].ExplainedBy[0] != 10 || j.Findings[1].Root != 6 || j.Findings[1].ExplainedBy != nil {
		t.Errorf("findings %+v", j.Findings)
	}
	if len(j.Gone) != 3 || j.Gone[1].Entry != 16 || j.Gone[1].Root != 15 || j.Gone[1].Answered != 19 || j.Gone[2].Answered != 20 {
		t.Errorf("answered %+v", j.Gone)
	}
	var out bytes.Buffer
	if err := WriteParquet(&out, oneDay(d)); err != nil {
		t.Fatal(err)
	}
	rows, err := parquet.Read[parquetEntry](bytes.NewReader(out.Bytes()), int64(out.Len()))
	if err != nil {
		t.Fatal(err)
	}
	if f := rows[6].Findings; len(f) != 1 || f[0].Root == nil || *f[0].Root != 6 || f[0].Answered != nil {
		t.Errorf("parquet, entry 7: %+v", f)
	}
	if f := rows[15].Answered; len(f) != 1 || *f[0].Root != 15 || *f[0].Answered != 19 || len(rows[15].Findings) != 0 {
		t.Errorf("parquet, entry 16: %+v", f)
	}
}

func TestRootsInColumns(t *testing.T) {
	d := rooted(t)
	records, err := csv.NewReader(strings.NewReader(written(t, "csv", d))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	cell := map[string]string{}
	for _, r := range records[1:] {
		for i, name := range records[0] {
			if r[0] == "entry" {
				cell[r[1]+" "+name] = r[i]
			}
		}
	}
	for at, want := range map[string]string{
		"6 root": "", "6 explained_by": "10", "7 root": "6", "7 findings": "danger accepted-section-occupied",
		"16 findings": "", "16 answered": "danger accepted-section-occupied by 19", "18 answered": "danger out-of-section-train-not-arrived by 20",
	} {
		if cell[at] != want {
			t.Errorf("csv %s: %q, want %q", at, cell[at], want)
		}
	}
	table := d.FindingsSection().Data[0]
	at := map[string]int{}
	for i, c := range table.Columns {
		at[c.Head] = i
	}
	for i, want := range [][4]string{{"1", "6", "", "10"}, {"2", "7", "6", ""}, {"3", "19", "", ""}, {"4", "20", "", ""}, {"", "15", "", ""}, {"", "16", "15", ""}, {"", "18", "", ""}} {
		c := table.Rows[i].Cells
		if got := [4]string{c[at["Number"]], c[at["Entry"]], c[at["Follows from entry"]], c[at["Explained by entries"]]}; got != want {
			t.Errorf("sheet of findings, row %d: %q, want %q", i+1, got, want)
		}
	}
	if c := table.Rows[5].Cells; c[at["Answered by entry"]] != "19" {
		t.Errorf("sheet of findings: entry 16 answered by %q", c[at["Answered by entry"]])
	}
}
