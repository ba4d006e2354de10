package export

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"html"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/registertest"
	"fairhand/register/sheet"
)

func written(t testing.TB, format string, d *register.Day) string {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, format, d); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// readable is the text of an export, as a program other than ours finds it;
// empty when there is none here to find it.
func readable(t *testing.T, format, data string) string {
	t.Helper()
	switch format {
	case "pdf":
		return pdfText(t, []byte(data))
	case "html":
		return html.UnescapeString(regexp.MustCompile(`(?s)<script>.*</script>|<style>.*?</style>|<[^>]*>`).ReplaceAllString(data, " "))
	case "xlsx":
		return xlsxText(t, []byte(data))
	}
	return data
}

var squeeze = regexp.MustCompile(`\s+`)

// tells is whether a text has another in it, as it stands or as CSV or JSON write it.
func tells(got, s string) bool {
	s = squeeze.ReplaceAllString(s, " ")
	variants := []string{s, strings.ReplaceAll(s, `"`, `""`)}
	if b, err := json.Marshal(s); err == nil {
		variants = append(variants, strings.NewReplacer(`\u003c`, "<", `\u003e`, ">").Replace(string(b[1:len(b)-1])))
	}
	return slices.ContainsFunc(variants, func(v string) bool { return strings.Contains(got, v) })
}

// Every format tells of the same day: the same trains, descriptions, entries,
// texts, findings, corrections and handovers, and the caution. The notation holds what
// was written; what follows from it, it leaves to whoever reads it.
func TestSameDayInEveryFormat(t *testing.T) {
	d := tuesday(t)
	if len(d.Rows) < 4 || len(d.Findings) < 3 {
		t.Fatalf("too little to compare: %d rows, %d findings", len(d.Rows), len(d.Findings))
	}
	for _, f := range Formats() {
		got := squeeze.ReplaceAllString(readable(t, f.Name, written(t, f.Name, d)), " ") // text is broken into lines
		if got == "" {
			continue
		}
		has := func(what, s string) {
			t.Helper()
			if !tells(got, s) {
				t.Errorf("%s has no %s %q", f.Name, what, s)
			}
		}
		has("caution", register.Caution)
		has("head", d.Head.Hash.String())
		for _, r := range d.Rows {
			if r.Train.Name != "" {
				has("train", r.Train.Name)
			}
			if f.Name == "csv" {
				has("description", Spell(r.Train.Code))
			} else {
				has("description", string(r.Train.Code))
			}
		}
		for _, e := range d.Entries {
			has("entry", e.Line)
			if e.Event.Text != "" && e.Event.Kind != block.Correct {
				has("text", e.Event.Text)
			}
			if e.CorrectedBy != 0 {
				has("correction", d.Instead(&e))
			}
		}
		if len(d.Sheets) == 0 {
			t.Fatal("the day has no handover")
		}
		for _, s := range d.Sheets {
			for _, p := range s.Parts {
				has("part of the handover", p.Title)
				for _, it := range p.Items {
					has("item of the handover", it.Text)
				}
			}
			has("relief", s.To)
		}
		for _, x := range d.Findings {
			if f.Name != "notation" {
				has("finding", string(x.Rule))
			}
		}
	}
}

// No line of the text is wider than 80 characters.
func TestTextWidth(t *testing.T) {
	for i, l := range strings.Split(written(t, "text", tuesday(t)), "\n") {
		if n := len([]rune(l)); n > sheet.PlainWidth {
			t.Errorf("line %d has %d characters: %s", i+1, n, l)
		}
	}
}

func pagesText(d *register.Day) string {
	var out strings.Builder
	for _, t := range d.Pages() {
		fmt.Fprintln(&out, t.Title, t.Rows)
	}
	return out.String()
}

// A day written as a book and read again is the same day.
func TestNotationReadsBack(t *testing.T) {
	d, box := tuesdayBook(t)
	again := registertest.Day(t, box, written(t, "notation", d), 0)
	if diff := cmp.Diff(pagesText(d), pagesText(again)); diff != "" {
		t.Errorf("the page differs (-register +book):\n%s", diff)
	}
	if len(again.Entries) != len(d.Entries) {
		t.Errorf("%d entries of %d", len(again.Entries), len(d.Entries))
	}
}

// Numbers of entries are those of the written book; an entry about another day
// is kept as a comment, and a correction of a later day comes along.
func TestNotationOfADayAmongOthers(t *testing.T) {
	_, box := tuesdayBook(t)
	book := `date 2026-05-05
10:00 note "first day"
date 2026-05-06
10:00 correct 1 "10:00 note \"first day, corrected\""
10:01 message from Control "is 1E45 in?"
10:02 message to Control answers 3 "yes"
10:03 note "wrong"
date 2026-05-07
09:00 correct 5 "10:04 note \"right\""
`
	d := registertest.Day(t, box, book, 20260506)
	var lines []string
	for _, l := range strings.Split(written(t, "notation", d), "\n") {
		if !strings.HasPrefix(l, "#") || strings.HasPrefix(l, "# about") {
			lines = append(lines, l)
		}
	}
	want := `# about an entry of another day: 10:00 correct 1 "10:00 note \"first day, corrected\""
date 2026-05-06
10:01 message from Control "is 1E45 in?"
10:02 message to Control answers 1 "yes"
10:03 note "wrong"
date 2026-05-07
09:00 correct 3 "10:04 note \"right\""
`
	if diff := cmp.Diff(want, strings.Join(lines, "\n")); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	again := registertest.Day(t, box, written(t, "notation", d), 20260506)
	if len(again.Entries) != 3 || again.Entries[2].CorrectedBy != 4 {
		t.Errorf("read back: %+v", again.Entries)
	}
}

// Sources: Ziemann, Eren, El-Osta, Genome Biology 17:177 (dates and numbers);
// CWE-1236 and OWASP ASVS 1.2.10 (formulas).
func TestSheetSafe(t *testing.T) {
	for s, guarded := range map[string]bool{
		"": false, "2P07": false, "6K20": false, "Platform 1": false, "lamp out": false, "5 from Coldbeck": false, "A. Fell": false,
		"10:41 Coldbeck <2 >2": false, "March past": false,
		"=1+1": true, "+44": true, "-1": true, "@SUM(A1)": true, "\tx": true, " =1": true, "＝1": true, "'quoted": true,
		"1E45": true, "1e45": true, "2D10": true, "0153": true, "12": true, "3-1": true, "3/1": true, "3.1": true, "10:41": true,
		"2026-05-05": true, "MARCH1": true, "SEPT2": true, "1 Mar": true, "2-May": true, "Dec": true, "TRUE": true, "false": true, "50%": true,
	} {
		got := sheetSafe(s)
		if (got != s) != guarded {
			t.Errorf("%q is written %q", s, got)
		}
		if guarded && strings.TrimPrefix(got, "'") != s {
			t.Errorf("%q cannot be had back from %q", s, got)
		}
	}
}

// No field of the CSV is one that a spreadsheet would change or run; bell codes
// are spelled. The regular expression here is another one than the writer's.
func TestCSVFields(t *testing.T) {
	recs, err := csv.NewReader(strings.NewReader(written(t, "csv", tuesday(t)))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	numbers := map[string]bool{"entry": true, "number": true, "corrected_by": true, "explained_by": true}
	bare := regexp.MustCompile(`^([=+\-@]|\d+([-/.eE]\d+)*$)`)
	found := false
	for _, rec := range recs[1:] {
		for i, field := range rec {
			if !numbers[recs[0][i]] && bare.MatchString(field) {
				t.Errorf("%s holds %q", recs[0][i], field)
			}
			found = found || strings.HasPrefix(field, "'1E45")
		}
	}
	if !found {
		t.Error("train 1E45 is missing, so nothing was tried")
	}
	if last := recs[len(recs)-1]; last[0] != "foot" || last[1] != "31" {
		t.Errorf("the last record is %q", last)
	}
}

// The JSON is read by a general tool, jq, which finds the day and its trains.
func TestJSONWithJQ(t *testing.T) {
	jq, err := exec.LookPath("jq")
	if err != nil {
		t.Skip("jq is not installed")
	}
	cmd := exec.Command(jq, "-r", `[.schema, .date, (.entries|length), (.trains|map(.train)|join(" ")), .entries[10].at, (.entries[17].findings[0].rule), .entries[17].corrected_by] | @tsv`)
	cmd.Stdin = strings.NewReader(written(t, "json", tuesday(t)))
	out, err := cmd.CombinedOutput()
	want := "fairhand-day-1\t2026-05-05\t31\t2P07 1E45 6K20 5 from Coldbeck\t2026-05-05T10:58:30+01:00\ttail-lamp-not-reported\t23\n"
	if err != nil || string(out) != want {
		t.Errorf("jq: %v, %s", err, out)
	}
}

func TestUnknownFormatNamesTheKnown(t *testing.T) {
	err := Write(&bytes.Buffer{}, "pigeon", tuesday(t))
	if err == nil || !strings.Contains(err.Error(), "text, csv, csv-plain, json") {
		t.Errorf("error: %v", err)
	}
}

// An error of the writer is not swallowed by any format.
func TestWriterFails(t *testing.T) {
	d := tuesday(t)
	full := errors.New("no room")
	for _, f := range Formats() {
		if err := Write(failing{full}, f.Name, d); !errors.Is(err, full) {
			t.Errorf("%s: %v", f.Name, err)
		}
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }
