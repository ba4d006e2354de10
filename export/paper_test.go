package export

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/boxfile"
	"fairhand/register/compare"
	"fairhand/register/registertest"
	"fairhand/register/sheet"
)

// report is printed matter with the words of its findings.
type report struct {
	name     string
	doc      *sheet.Document
	findings []string
}

// reports are a day, an audit, a list of findings and a comparison with a good many
// findings each, so that they go over pages.
func reports(t *testing.T) []report {
	t.Helper()
	d := registertest.DemoDay(t, "..")
	day := report{name: "day", doc: htmlDay(d)}
	for i := range d.Findings {
		day.findings = append(day.findings, d.Findings[i].Text)
	}
	first, second := twoBooks(3)
	r, err := audit.Run(context.Background(), audit.Register(registertest.Book(t, first[0], first[1])), audit.Options{Details: 1000})
	if err != nil {
		t.Fatal(err)
	}
	audited, listed := report{name: "audit", doc: r.Document()}, report{name: "findings", doc: r.FindingsDocument()}
	for i := range r.Rules {
		for j := range r.Rules[i].Details {
			f := &r.Rules[i].Details[j]
			told := fmt.Sprintf("entry %d, nobody signed on, unexplained: %s", f.Entry, f.Text)
			listed.findings = append(listed.findings, told)
			for _, said := range []string{": ", " "} { // by the heading of the rule
				told = strings.Replace(told, strings.TrimSuffix(r.Rules[i].What, ".")+said, "", 1)
			}
			told = strings.Replace(told, "unexplained: (Bford)", "unexplained: Bford", 1) // that reads as a beginning
			audited.findings = append(audited.findings, told, r.Rules[i].What)
		}
	}
	compared := report{name: "compare"}
	var books []*compare.Book
	for _, b := range [][2]string{first, second} {
		file, err := boxfile.Decode(strings.NewReader(b[0]), "box.yaml")
		if err != nil {
			t.Fatal(err)
		}
		book, err := compare.FromNotation(context.Background(), file, strings.NewReader(b[1]), 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		books = append(books, book)
	}
	chain, err := compare.Line(books...)
	if err != nil {
		t.Fatal(err)
	}
	compared.doc = chain.Document()
	for _, f := range chain.Pairs[0].Findings {
		compared.findings = append(compared.findings, f.Text)
	}
	return []report{day, audited, listed, compared}
}

// htmlDay is a day with the parts that its page for a browser has.
func htmlDay(d *register.Day) *sheet.Document {
	return dayDocument(d, formats[slices.IndexFunc(formats, func(f Format) bool { return f.Name == "html" })].parts)
}

// twoBooks are the box files and books of two neighbours for some days, in which every
// eleventh and thirteenth exchange is missing.
func twoBooks(days int) (first, second [2]string) {
	const box = "box: %s\ntimezone: UTC\nrules: british-later\nsections:\n  - neighbour: %s\n    method: absolute\n    lines: [{name: Up Main, way: %s}, {name: Down Main, way: %s}]\n"
	first[0], second[0] = fmt.Sprintf(box, "Aton", "Bford", "out", "in"), fmt.Sprintf(box, "Bford", "Aton", "in", "out")
	n := 0
	put := func(minutes int, bells string) {
		n++
		at := fmt.Sprintf("%02d:%02d ", minutes/60, minutes%60)
		if n%11 != 0 {
			first[1] += at + "Bford " + bells + "\n"
		}
		if n%13 != 0 {
			second[1] += at + "Aton " + strings.NewReplacer("<", ">", ">", "<").Replace(bells) + "\n"
		}
	}
	for day := range days {
		date := fmt.Sprintf("date 2026-05-%02d\n", day+5)
		first[1], second[1] = first[1]+date, second[1]+date
		for i := range 40 {
			at := 300 + 20*i
			put(at, fmt.Sprintf(">1 <1 >3-1 <3-1 train 2A%02d", i))
			put(at+2, ">2 <2")
			put(at+8, "<1 >1 <2-1 >2-1")
		}
	}
	return first, second
}

// Every finding of a report stands on paper, drawn here and printed by a browser; no
// page is empty, no heading stands at the foot of one, the train graph is not cut, and
// the page says nothing on the console and asks no server.
func TestOnPaper(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not installed")
	}
	for _, r := range reports(t) {
		t.Run(r.name, func(t *testing.T) {
			if len(r.findings) < 5 {
				t.Fatalf("only %d findings", len(r.findings))
			}
			var pdf, page bytes.Buffer
			if err := Draw(&pdf, "pdf", r.doc); err != nil {
				t.Fatal(err)
			}
			onPaper(t, &r, "the PDF", pdf.Bytes())
			path := browser(t)
			if err := Draw(&page, "html", r.doc); err != nil {
				t.Fatal(err)
			}
			dir := t.TempDir()
			name, paper := filepath.Join(dir, "page.html"), filepath.Join(dir, "paper.pdf")
			if err := os.WriteFile(name, page.Bytes(), 0o600); err != nil {
				t.Fatal(err)
			}
			_, console, net := chromium(t, path, dir, "--no-pdf-header-footer", "--print-to-pdf="+paper, "file://"+name)
			if strings.Contains(console, "CONSOLE") {
				t.Errorf("the console says %s", console)
			}
			if asked := askedByPage(net); len(asked) > 0 {
				t.Errorf("the page asked for %v", asked)
			}
			data, err := os.ReadFile(paper)
			if err != nil {
				t.Fatal(err)
			}
			onPaper(t, &r, "the page in print", data)
		})
	}
}

// onPaper reads a PDF page by page as another program does.
func onPaper(t *testing.T, r *report, what string, data []byte) {
	t.Helper()
	all := strings.Join(strings.Fields(pdfText(t, data)), " ")
	for _, f := range r.findings {
		if !strings.Contains(all, strings.Join(strings.Fields(f), " ")) {
			t.Errorf("%s has no finding %q", what, f)
		}
	}
	if !strings.Contains(all, sheet.Caution) {
		t.Errorf("%s does not say what a register is not", what)
	}
	heads := map[string]bool{}
	for _, s := range r.doc.Sections {
		heads[s.Title] = true
		for _, p := range s.Parts {
			if table, ok := p.(*sheet.Table); ok {
				heads[table.Title] = true
			}
		}
	}
	graphs := 0
	pages := strings.Split(strings.TrimSuffix(pdfText(t, data), "\f"), "\f")
	for i, text := range pages {
		var lines []string
		for _, l := range strings.Split(strings.TrimSpace(text), "\n") {
			if l = strings.TrimSpace(l); l != "" && !strings.HasPrefix(l, "Page ") && !slices.Contains(r.doc.Foot(), l) {
				lines = append(lines, l)
			}
		}
		if i < len(pages)-1 && len(lines) < 4 { // the last has what is left, be it the foot alone: the browser does not keep that with the line above
			t.Errorf("%s: page %d is all but empty: %q", what, i+1, lines)
			continue
		}
		last := ""
		if len(lines) > 0 {
			last = lines[len(lines)-1]
		}
		if last != "" && heads[last] && last != r.doc.Head() {
			t.Errorf("%s: %q stands alone at the foot of page %d", what, last, i+1)
		}
		if r.name == "day" && what == "the page in print" && strings.Contains(text, "not recorded, assumed") {
			graphs++ // the legend, below all
			for _, label := range []string{"Coldbeck", "Ennerholme", "Saltgarth", "Platform 1", "Down Main"} {
				if !strings.Contains(text, label) {
					t.Errorf("the graph is cut: its legend is on page %d, and %s is not", i+1, label)
				}
			}
		}
	}
	if r.name == "day" && what == "the page in print" && graphs != 1 {
		t.Errorf("the legend of the graph is on %d pages", graphs)
	}
}
