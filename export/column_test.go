package export

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fairhand/register/registertest"
	"fairhand/register/sheet"
)

// widened is the demo day with one more column on its pages and in its table of
// trains: a heading, and in each row a cell of its own.
func widened(t *testing.T, parts string) (doc *sheet.Document, pages, trains []string) {
	doc = dayDocument(registertest.DemoDay(t, ".."), parts)
	add := func(table *sheet.Table) (cells []string) {
		table.Columns = append(table.Columns, sheet.Column{Key: "wagons", Head: "Wagons", Short: "Wgns", Share: 14, Right: true})
		for i := range table.Rows {
			if r := &table.Rows[i]; r.Cells != nil {
				cells = append(cells, fmt.Sprintf("w%d", 100+i))
				r.Cells = append(r.Cells, cells[len(cells)-1])
				if r.Hours != nil {
					r.Hours = append(r.Hours, "")
				}
			}
		}
		return cells
	}
	for _, s := range doc.Sections {
		for _, p := range s.Parts {
			if table, ok := p.(*sheet.Table); ok && table.Book {
				pages = append(pages, add(table)...)
			}
		}
		for _, table := range s.Data {
			if table.Name == "Trains" {
				trains = append(trains, add(table)...)
			}
		}
	}
	return doc, pages, trains
}

// A new column of the page is in every format that draws, with its heading and
// its cells.
func TestNewColumnInEveryFormat(t *testing.T) {
	for _, f := range formats {
		if f.parts == "" { // no page of it is drawn
			continue
		}
		doc, cells, trains := widened(t, f.parts)
		var out bytes.Buffer
		if err := Draw(&out, f.Name, doc); err != nil {
			t.Fatal(err)
		}
		got := readable(t, f.Name, out.String())
		if got == "" {
			continue // no program here to read it
		}
		head := "Wagons"
		switch f.Name {
		case "text":
			head = "wagons w1" // no room beside the others in 80 columns: it leads its cells in, below
		case "xlsx":
			cells = trains
		}
		if len(cells) == 0 || !strings.Contains(got, head) {
			t.Errorf("%s: %d cells, heading %v", f.Name, len(cells), strings.Contains(got, head))
		}
		for _, c := range cells {
			if !regexp.MustCompile(`\b` + c + `\b`).MatchString(got) {
				t.Errorf("%s has no cell %s", f.Name, c)
			}
		}
	}
}

type wordBox struct {
	x0, y0, x1, y1 float64
	text           string
}

// wordBoxes are the words of each page of a PDF with the place they take, as
// poppler finds them.
func wordBoxes(t *testing.T, data []byte) [][]wordBox {
	t.Helper()
	needPDFText(t)
	name := filepath.Join(t.TempDir(), "day.pdf")
	if err := os.WriteFile(name, data, 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-bbox", name, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	word := regexp.MustCompile(`<word xMin="([^"]*)" yMin="([^"]*)" xMax="([^"]*)" yMax="([^"]*)">([^<]*)</word>`)
	var pages [][]wordBox
	for _, p := range strings.Split(string(out), "<page ")[1:] {
		var page []wordBox
		for _, m := range word.FindAllStringSubmatch(p, -1) {
			var n [4]float64
			for i := range n {
				if n[i], err = strconv.ParseFloat(m[i+1], 64); err != nil {
					t.Fatal(err)
				}
			}
			page = append(page, wordBox{n[0], n[1], n[2], n[3], m[5]})
		}
		pages = append(pages, page)
	}
	return pages
}

// Every column of a printed page has room: no word of the pages of the book lies
// over another, also with one column more.
func TestPDFColumnsDoNotOverlap(t *testing.T) {
	doc, _, _ := widened(t, "page")
	var out bytes.Buffer
	if err := Draw(&out, "pdf", doc); err != nil {
		t.Fatal(err)
	}
	const least = 1.0 // point: boxes hold the room above and beside the letters
	found := 0
	for n, page := range wordBoxes(t, out.Bytes()) {
		if slices.ContainsFunc(page, func(w wordBox) bool { return w.text == "Crossing" }) {
			found++ // the calls have columns of their own
		}
		for i, a := range page {
			if a.text == "Wagons" {
				found++
			}
			for _, b := range page[i+1:] {
				if min(a.x1, b.x1)-max(a.x0, b.x0) > least && min(a.y1, b.y1)-max(a.y0, b.y0) > (a.y1-a.y0)/2 {
					t.Errorf("page %d: %q lies over %q", n+1, a.text, b.text)
				}
			}
		}
		if found != n+1 {
			t.Errorf("page %d has no heading of the new column", n+1)
		}
	}
}

// A report of any kind can be drawn in each format, and none is without its foot.
func TestReportsInEveryFormat(t *testing.T) {
	doc := &sheet.Document{Title: "A report", Sections: []sheet.Section{{Key: "one: two/three", Title: "Part", Parts: []sheet.Part{
		sheet.Say("entry 3 says so"), sheet.Heading("More"),
		&sheet.Table{Columns: []sheet.Column{{Head: "What", Share: 30}, {Head: "Count", Share: 8, Right: true, Number: true}},
			Rows: []sheet.Row{{Kind: sheet.Above, Text: "all"}, {Cells: []string{"bells", "12"}, Under: []sheet.Line{{In: 2, Text: "of which none late"}}}}}}}}}
	for _, name := range append(Drawn(), "empty") {
		if name == "empty" {
			doc, name = &sheet.Document{}, "pdf"
		}
		var out bytes.Buffer
		err := Draw(&out, name, doc)
		if strings.HasPrefix(name, "csv") { // TestDocumentAsCSV has those with data
			if err == nil {
				t.Errorf("%s of a document without data is an empty file", name)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		got := spaces.ReplaceAllString(readable(t, name, out.String()), " ")
		if got == "" {
			continue
		}
		want := []string{sheet.Caution}
		if doc.Title != "" {
			want = append(want, "A report", "entry 3 says so", "More", "bells", "12", "of which none late", "Count", "all")
		}
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s has no %q", name, w)
			}
		}
	}
	if err := Draw(&bytes.Buffer{}, "notation", doc); err == nil || !strings.Contains(err.Error(), "known are text, csv, csv-plain, html, xlsx, pdf") {
		t.Errorf("a format that draws nothing: %v", err)
	}
}
