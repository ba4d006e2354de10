package export

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"
	"slices"
	"strings"
	"sync"

	"fairhand/export/graph"
	"fairhand/register"
	"fairhand/register/measure"
	"fairhand/register/pattern"
	"fairhand/register/sheet"
)

// The page to look at: one file that asks for nothing from outside, which its
// own content policy forbids. Without its script all of it can be read; the
// script adds a field that picks out a train.

//go:embed page.html
var htmlPage string

//go:embed page.css
var htmlStyle string

//go:embed page.js
var htmlScript string

var htmlTemplate = sync.OnceValue(func() *template.Template { return template.Must(template.New("page").Parse(htmlPage)) })

type htmlDocument struct {
	*sheet.Document
	Policy   string
	Style    template.CSS
	Script   template.JS
	SignHere string
	Pick     bool // there are trains to pick out
	Sections []htmlSection
}

type htmlSection struct {
	Key, Title string
	Parts      []htmlPart
}

// htmlPart is one kind of part; the others are empty.
type htmlPart struct {
	Heading string
	Lines   []htmlLine
	Led     bool // something leads the lines, so that they are a table
	Table   *htmlTable
	Figure  template.HTML
}

type htmlLine struct {
	*sheet.Line
	In           int
	Text, Beside template.HTML
	Under        []htmlLine
}

func (l htmlLine) Trains() string { return strings.Join(l.About, "\n") }

type htmlTable struct {
	*sheet.Table
	Groups []htmlGroup
	Heads  bool
	Rows   []htmlRow
}

type htmlGroup struct {
	Name string
	Span int
}

type htmlRow struct {
	*sheet.Row
	Class               string
	Text, Beside        template.HTML
	Cells               []htmlCell
	Under               []htmlLine
	Clock               string
	AcrossSpan, AllSpan int
}

func (r htmlRow) Trains() string { return strings.Join(r.About, "\n") }

type htmlCell struct {
	Text  template.HTML
	Class string
	In    int
}

func writeHTML(w io.Writer, doc *sheet.Document) error {
	v := htmlDocument{Document: doc, Style: template.CSS(htmlStyle), Script: template.JS(htmlScript), SignHere: sheet.SignHere}
	sum := sha256.Sum256([]byte(htmlScript))
	v.Policy = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	h := htmlMaker{ids: map[string]bool{}}
	for _, s := range doc.Sections {
		for _, p := range s.Parts {
			if l, ok := p.(*sheet.List); ok {
				for i := range l.Lines {
					h.ids[l.Lines[i].ID] = true
				}
			}
		}
	}
	for i := range doc.Sections {
		s := &doc.Sections[i]
		out := htmlSection{Key: s.Key, Title: s.Title}
		for _, p := range s.Parts {
			part, err := h.part(p)
			if err != nil {
				return err
			}
			v.Pick = v.Pick || part.Table != nil && part.Table.Book
			out.Parts = append(out.Parts, part)
		}
		if len(out.Parts) > 0 {
			v.Sections = append(v.Sections, out)
		}
	}
	if !v.Pick { // running text: its lines are as long as a page is wide
		v.Style += "@page{size:A4 portrait}"
	}
	return htmlTemplate().Execute(w, v)
}

// htmlMaker knows which entries the page has, so that what names one leads to it.
type htmlMaker struct{ ids map[string]bool }

var entryNamed = pattern.Late(`\bentry (\d+)\b`)

// text escapes a text and makes links of the entries it names.
func (h *htmlMaker) text(s string) template.HTML {
	return template.HTML(entryNamed().ReplaceAllStringFunc(template.HTMLEscapeString(measure.Visible(s)), func(m string) string {
		if id := "e" + m[len("entry "):]; h.ids[id] {
			return `<a href="#` + id + `">` + m + `</a>`
		}
		return m
	}))
}

// led is the text of a line; without anything that leads it, the entry that it names
// first leads where the line does.
func (h *htmlMaker) led(l *sheet.Line) template.HTML {
	text := string(h.text(l.Text))
	if at := entryNamed().FindStringIndex(text); at != nil && l.Link != "" && l.Lead == "" {
		text = text[:at[0]] + `<a href="` + template.HTMLEscapeString(l.Link) + `">` + text[at[0]:at[1]] + `</a>` + text[at[1]:]
	}
	return template.HTML(text)
}

func (h *htmlMaker) part(p sheet.Part) (htmlPart, error) {
	switch x := p.(type) {
	case sheet.Heading:
		return htmlPart{Heading: string(x)}, nil
	case *sheet.List:
		first := slices.IndexFunc(x.Lines, func(l sheet.Line) bool { return l.Lead != "" })
		if first < 0 {
			return htmlPart{Lines: h.lines(x.Lines, false, 0)}, nil
		}
		return htmlPart{Lines: h.lines(x.Lines, true, x.Lines[first].In), Led: true}, nil // what leads has a column of its own
	case *sheet.Table:
		return htmlPart{Table: h.table(x)}, nil
	case *sheet.Figure:
		var svg strings.Builder
		err := graph.Of(x.Of.(*register.Day)).SVG(&svg, graph.SVGOptions{})
		return htmlPart{Figure: template.HTML(svg.String())}, err
	}
	return htmlPart{}, nil
}

// lines are the lines with their margins from where the text begins; those under
// another follow it, but for lines that are led.
func (h *htmlMaker) lines(list []sheet.Line, led bool, from int) []htmlLine {
	var out []htmlLine
	for i := range list {
		l := &list[i]
		x := htmlLine{Line: l, In: max(l.In-from, 0), Text: h.led(l), Beside: h.text(l.Beside)}
		if led {
			x.Under = h.lines(l.Under, false, l.In)
			out = append(out, x)
		} else {
			out = append(append(out, x), h.lines(l.Under, false, from)...)
		}
	}
	return out
}

func (h *htmlMaker) table(t *sheet.Table) *htmlTable {
	out := &htmlTable{Table: t}
	for _, c := range t.Columns {
		if n := len(out.Groups); n > 0 && out.Groups[n-1].Name == c.Group {
			out.Groups[n-1].Span++
		} else {
			out.Groups = append(out.Groups, htmlGroup{c.Group, 1})
		}
		out.Heads = out.Heads || c.Head != ""
	}
	kinds := map[sheet.RowKind]string{sheet.Plain: "train", sheet.Past: "past", sheet.Across: "across", sheet.Above: "head"}
	for _, rows := range t.Pages(0, nil) {
		for i := range rows {
			r := &rows[i]
			class := kinds[r.Kind]
			if r.Kind == sheet.Plain && len(r.About) == 0 {
				class = "" // no train's row, such as a call from a crossing
			}
			x := htmlRow{Row: r, Class: strings.TrimSpace(class + " " + r.Grave.String()), Clock: r.Clock, Text: h.text(r.Text), Beside: h.text(r.Beside),
				Under: h.lines(r.Under, false, 0), AcrossSpan: len(t.Columns) - 1, AllSpan: len(t.Columns)}
			for j, s := range r.Cells {
				cell := htmlCell{Text: h.text(s), Class: cellClass(t.Columns, j)}
				if j == 0 {
					cell.In = r.In
				}
				x.Cells = append(x.Cells, cell)
			}
			out.Rows = append(out.Rows, x)
		}
	}
	return out
}

// cellClass is how a cell of a column looks: figures to the right, a rule where a
// group of columns begins.
func cellClass(cols []sheet.Column, i int) string {
	switch c := &cols[i]; {
	case c.Clock || c.Right:
		return "clock"
	case i > 0 && c.Group != cols[i-1].Group:
		return "side"
	}
	return ""
}
