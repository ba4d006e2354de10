package export

import (
	"context"
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
