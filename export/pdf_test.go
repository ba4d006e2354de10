package export

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"fairhand/register"
	"fairhand/register/registertest"
)

// pdfText is the text that poppler's pdftotext finds in a document; empty when
// it is not installed.
func pdfText(t *testing.T, data []byte) string {
	t.Helper()
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Log("pdftotext is not installed: the text of the PDF was not compared")
		return ""
	}
	name := filepath.Join(t.TempDir(), "day.pdf")
	if err := os.WriteFile(name, data, 0o644); err != nil {
		t.Fatal(err)
	}
	var complaints bytes.Buffer
	cmd := exec.Command(tool, "-raw", "-enc", "UTF-8", name, "-")
	cmd.Stderr = &complaints
	text, err := cmd.Output()
	if err != nil || complaints.Len() > 0 {
		t.Fatalf("pdftotext: %v %s", err, complaints.String())
	}
	return string(text)
}

func needPDFText(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext (poppler-utils) is not installed")
	}
}

var spaces = regexp.MustCompile(`\s+`)

// pdftotext finds every train, code, remark and entry of the demo day, each page
// has its number of how many, and the caution.
func TestPDFHoldsTheDay(t *testing.T) {
	needPDFText(t)
	d := registertest.DemoDay(t, "..")
	pages := strings.Split(strings.TrimSuffix(pdfText(t, []byte(written(t, "pdf", d))), "\f"), "\f")
	all := ""
	for i, p := range pages {
		p = spaces.ReplaceAllString(p, " ")
		for _, want := range []string{register.Caution, fmt.Sprintf("Page %d of %d", i+1, len(pages)), d.Title()} {
			if !strings.Contains(p, want) {
				t.Errorf("page %d has no %q", i+1, want)
			}
		}
		all += p + " "
	}
	for _, r := range d.Rows {
		for _, want := range append([]string{r.Train.Name, string(r.Train.Code)}, d.Remarks(&r)...) {
			if !strings.Contains(all, want) {
				t.Errorf("%s: no %q", r.Train.Name, want)
			}
		}
	}
	for _, e := range d.Entries {
		if !strings.Contains(all, spaces.ReplaceAllString(e.Line, " ")) {
			t.Errorf("no entry %q", e.Line)
		}
	}
	for _, a := range d.Across {
		if a.Struck && !strings.Contains(all, a.Text+" ERROR entry ") {
			t.Errorf("the correction of %q is not marked", a.Text)
		}
	}
	for _, f := range d.Findings {
		if !strings.Contains(all, string(f.Rule)+": "+f.Text) {
			t.Errorf("no finding %s", f.Rule)
		}
	}
}

// The same day gives the same bytes, also when the clock has gone on.
func TestPDFIsDeterministic(t *testing.T) {
	d := registertest.DemoDay(t, "..")
	first := written(t, "pdf", d)
	for range 5 {
		if written(t, "pdf", d) != first {
			t.Fatal("two exports of a day differ")
		}
	}
	if year := time.Now().Format("20060102"); year != "20260505" && strings.Contains(first, "D:"+year) {
		t.Error("the document is dated today")
	}
}

func noteDay(t testing.TB, notes ...string) *register.Day {
	t.Helper()
	box, _ := registertest.Demo(t, "..")
	book := "date 2026-05-05\n06:00 duty on \"A. Fell\"\n"
	for i, n := range notes {
		book += fmt.Sprintf("%02d:%02d note %q\n", 7+i/60, i%60, n)
	}
	return registertest.Day(t, box, book, 0)
}

// Remarks of one line, of two, of twenty, of more than a page, and with a page
// end inside come through whole.
func TestPDFLongRemarks(t *testing.T) {
	needPDFText(t)
	words := func(tag string, n int) string {
		w := make([]string, n)
		for i := range w {
			w[i] = fmt.Sprintf("%s%04d", tag, i)
		}
		return strings.Join(w, " ")
	}
	notes := []string{words("a", 5), words("b", 30), words("c", 500), strings.Repeat("unbroken", 80)}
	for i := range 40 {
		notes = append(notes, words(fmt.Sprintf("p%02dx", i), 40))
	}
	notes = append(notes, words("d", 2500))
	text := pdfText(t, []byte(written(t, "pdf", noteDay(t, notes...))))
	joined := strings.NewReplacer("\n", "", " ", "").Replace(text)
	for _, n := range notes {
		for _, w := range strings.Fields(n) {
			if len(w) > 100 {
				if !strings.Contains(joined, w) {
					t.Error("the long word is torn")
				}
			} else if strings.Count(text, w) < 2 { // on the page and in the list of entries
				t.Fatalf("%q is there %d times", w, strings.Count(text, w))
			}
		}
	}
}

// Any character survives or is visibly replaced and counted in the foot.
func TestPDFAnyText(t *testing.T) {
	needPDFText(t)
	text := pdfText(t, []byte(written(t, "pdf", noteDay(t, "Łódź ½ ● → Ωμέγα Жук", "engine 🚂 at 日本 ✓", "e\u0301tat"))))
	for _, want := range []string{"Łódź ½ ● → Ωμέγα Жук", "engine [U+1F682] at [U+65E5][U+672C] [U+2713]", "état", "characters have no sign"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q", want)
		}
	}
	if plain := pdfText(t, []byte(written(t, "pdf", noteDay(t, "plain")))); strings.Contains(plain, "have no sign") {
		t.Error("the foot tells of replaced characters and there are none")
	}
}

// Whatever a text holds, printable leaves only what both fonts have a sign for.
func TestPrintable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		out, _ := printable(s)
		for _, r := range out {
			if !hasGlyph(r) {
				t.Fatalf("%q leaves %U", s, r)
			}
		}
	})
	d := registertest.DemoDay(t, "..")
	own := []string{register.Caution, d.Title(), "½*()", ". ! !!"}
	own = append(own, register.PageLegend...)
	for _, c := range d.Trains().Columns {
		own = append(own, c.Head)
	}
	for _, c := range d.Pages()[0].Columns {
		own = append(own, c.Head, c.Group)
	}
	for _, s := range own {
		if out, n := printable(s); n > 0 {
			t.Errorf("the program's own text %q prints as %q", s, out)
		}
	}
}

// A panic in a library becomes an error that says what to do.
func TestPanicBecomesAnError(t *testing.T) {
	err := guarded(func() error { panic("boom") })
	if err == nil || !strings.Contains(err.Error(), "boom") || !strings.Contains(err.Error(), "another format") {
		t.Errorf("%v", err)
	}
}

// busyDay is a day of so many trains over both sections, six entries each.
func busyDay(t testing.TB, trains int) *register.Day {
	t.Helper()
	box, _ := registertest.Demo(t, "..")
	var book strings.Builder
	fmt.Fprintf(&book, "date 2026-05-05\n00:00 duty on \"A. Fell\"\n")
	for n := range trains {
		at := func(m int) string { m += n * 1400 / trains; return fmt.Sprintf("%02d:%02d", m/60, m%60) }
		fmt.Fprintf(&book, "%s Saltgarth <1 >1 <4 >4 train D%d\n%s Saltgarth <2 >2\n%s train D%d arrived at \"Platform 1\" complete\n"+
			"%s Saltgarth >1 <1 >2-1 <2-1\n%s note \"remark %d\"\n%s train D%d put away\n",
			at(0), n, at(1), at(4), n, at(5), at(5), n, at(6), n)
	}
	return registertest.Day(t, box, book.String(), 0)
}

// BenchmarkPDFAgainstJSON: a day of 100 trains is to be printed in less than
// twenty times the time of its JSON export, both measured in this run. It is no
// test, since a loaded machine would fail it for nothing.
func BenchmarkPDFAgainstJSON(b *testing.B) {
	d := busyDay(b, 100)
	took := map[string]time.Duration{}
	for b.Loop() {
		for _, f := range []string{"json", "pdf"} {
			start := time.Now()
			written(b, f, d)
			took[f] += time.Since(start)
		}
	}
	b.ReportMetric(float64(took["pdf"])/float64(took["json"]), "pdf/json")
}

// BenchmarkFormats writes a day of 100 trains and 600 entries in every format:
// the PDF is to take less than twenty times the time of the JSON.
func BenchmarkFormats(b *testing.B) {
	d := busyDay(b, 100)
	for _, f := range Formats() {
		b.Run(f.Name, func(b *testing.B) {
			for b.Loop() {
				var out bytes.Buffer
				if err := Write(&out, f.Name, d); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// TestPicture keeps the picture of a page that the README shows small; -update
// draws it anew from the demo day with poppler's pdftoppm.
func TestPicture(t *testing.T) {
	name := filepath.Join("testdata", "day.png")
	if *update {
		tool, err := exec.LookPath("pdftoppm")
		if err != nil {
			t.Skip("pdftoppm (poppler-utils) is not installed")
		}
		doc := filepath.Join(t.TempDir(), "day.pdf")
		if err := os.WriteFile(doc, []byte(written(t, "pdf", registertest.DemoDay(t, ".."))), 0o644); err != nil {
			t.Fatal(err)
		}
		// The first up page: it has a correction and findings.
		out, err := exec.Command(tool, "-r", "84", "-png", "-singlefile", "-f", "5", "-l", "5", doc, strings.TrimSuffix(name, ".png")).CombinedOutput()
		if err != nil {
			t.Fatalf("%v %s", err, out)
		}
	}
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if len(data) > 150_000 || !bytes.HasPrefix(data, []byte("\x89PNG")) {
		t.Errorf("%d bytes, beginning %q", len(data), data[:8])
	}
}
