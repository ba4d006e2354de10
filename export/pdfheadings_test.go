package export

import (
	"bytes"
	"context"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"fairhand/register/audit"
	"fairhand/register/registertest"
	"fairhand/register/sheet"
)

// No heading of a column is broken inside a word, on the page, in a list or in an
// audit: what is broken so is not read.
func TestPDFHeadingsBreakAtSpaces(t *testing.T) {
	box, book := registertest.Demo(t, "..")
	report, err := audit.Run(context.Background(), audit.Register(registertest.Book(t, box, book)), audit.Options{})
	if err != nil {
		t.Fatal(err)
	}
	day := slices.IndexFunc(formats, func(f Format) bool { return f.Name == "pdf" })
	for name, doc := range map[string]*sheet.Document{
		"day": dayDocument(registertest.DemoDay(t, ".."), formats[day].parts), "audit": report.Document(),
	} {
		heads := map[string]bool{}
		for _, s := range doc.Sections {
			for _, part := range s.Parts {
				if table, ok := part.(*sheet.Table); ok {
					for i := range table.Columns {
						c := &table.Columns[i]
						heads[c.Head], heads[strings.TrimSpace(c.Brief())] = true, true
					}
				}
			}
		}
		met := 0
		for key, lines := range drawPDF(doc, 0).splits {
			if key.text == "" || !heads[key.text] {
				continue
			}
			met++
			if got := strings.Join(lines, " "); got != key.text {
				t.Errorf("%s: the heading %q stands as %q", name, key.text, lines)
			}
		}
		if met == 0 {
			t.Errorf("%s: no heading was drawn", name)
		}
	}
}

// A table that goes on in the next column has its heads there again, and neither its title
// nor its heads nor a row stands at the foot of a column without what belongs to it.
func TestPDFTablesKeepTheirHeads(t *testing.T) {
	row := sheet.Row{Cells: []string{"A. Fell", "3"}, Under: []sheet.Line{{In: 2, Text: "one"}, {In: 2, Text: "two"}}}
	table := &sheet.Table{Columns: []sheet.Column{{Share: 20, Head: "On duty"}, {Share: 10, Head: "Turns", Right: true}}, Rows: []sheet.Row{row}}
	s := sheet.Section{Title: "People", Parts: []sheet.Part{table}}
	day := sheet.Section{Parts: []sheet.Part{&sheet.List{Lines: []sheet.Line{{Text: "2026-05-05", Head: true}, {Text: "danger", Under: row.Under}}}}}
	for _, x := range []sheet.Section{s, day} {
		p := drawPDF(&sheet.Document{}, 0)
		whole := p.newFlow("")
		before := whole.y
		p.section(whole, &x)
		height := whole.y - before
		for y := pageTop + flowLine; y < pageFoot; y += flowLine / 2 {
			f := p.newFlow("")
			f.y = y
			p.section(f, &x)
			if torn := f.col == 1 && f.y < pageTop+flowLine+height-flowLine; torn || f.col > 1 {
				t.Errorf("%q begun at %.1f mm is torn apart: it goes on to %.1f mm of the next column", x.Title, y, f.y)
			}
		}
	}
	table.Rows = slices.Repeat(table.Rows, 60) // over several columns
	var out bytes.Buffer
	if err := Draw(&out, "pdf", &sheet.Document{Sections: []sheet.Section{s}}); err != nil {
		t.Fatal(err)
	}
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not installed")
	}
	if n := strings.Count(pdfText(t, out.Bytes()), "On duty"); n < 3 {
		t.Errorf("the heads of the table stand %d times", n)
	}
}
