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

// htmlTemplate is read once, when the first document is drawn.
var htmlTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Funcs(template.FuncMap{"part": htmlPartOf, "rowClass": rowClass, "cellClass": cellClass,
		"trains": func(about []string) string { return strings.Join(about, "\n") }}).Parse(htmlPage))
})

type htmlDocument struct {
	*sheet.Document
	*htmlMaker
	Policy   string
	Style    template.CSS
	Script   template.JS
	SignHere string
	Pick     bool // there are trains to pick out
}

// htmlPart is one kind of part; the others are empty.
type htmlPart struct {
	Heading sheet.Heading
	Lines   []sheet.Line
	Led     bool // something leads the lines, so that they are a table
	Table   *htmlTable
	Figure  template.HTML
}

type htmlTable struct {
	*sheet.Table
	Groups []htmlGroup
	Heads  bool
	Rows   []sheet.Row
	Rest   int // columns but for the first
}

type htmlGroup struct {
	Name string
	Span int
}

func writeHTML(w io.Writer, doc *sheet.Document) error {
	h := &htmlMaker{ids: map[string]bool{}}
	v := htmlDocument{Document: doc, htmlMaker: h, Style: template.CSS(htmlStyle), Script: template.JS(htmlScript), SignHere: sheet.SignHere}
	sum := sha256.Sum256([]byte(htmlScript))
	v.Policy = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	for _, s := range doc.Sections {
		for _, p := range s.Parts {
			switch x := p.(type) {
			case *sheet.List:
				for i := range x.Lines {
					h.ids[x.Lines[i].ID] = true
				}
			case *sheet.Table:
				v.Pick = v.Pick || x.Book
			}
		}
	}
	if !v.Pick { // running text: its lines are as long as a page is wide
		v.Style += "@page{size:A4 portrait}"
	}
	return htmlTemplate().Execute(w, v)
}

// htmlMaker knows which entries the page has, so that what names one leads to it.
type htmlMaker struct{ ids map[string]bool }

// htmlLine is a line on its page.
type htmlLine struct {
	sheet.Line
	Page *htmlMaker
}

// On is a line on this page.
func (h *htmlMaker) On(l sheet.Line) htmlLine { return htmlLine{l, h} }

var entryNamed = pattern.Late(`\bentry (\d+)\b`)

// Text escapes a text and makes links of the entries it names.
func (h *htmlMaker) Text(s string) template.HTML {
	return template.HTML(entryNamed().ReplaceAllStringFunc(template.HTMLEscapeString(measure.Visible(s)), func(m string) string {
		if id := "e" + m[len("entry "):]; h.ids[id] {
			return `<a href="#` + id + `">` + m + `</a>`
		}
		return m
	}))
}

// Led is the text of a line; without anything that leads it, the entry that it names
// first leads where the line does.
func (h *htmlMaker) Led(l sheet.Line) template.HTML {
	text := string(h.Text(l.Text))
	if at := entryNamed().FindStringIndex(text); at != nil && l.Link != "" && l.Lead == "" {
		text = text[:at[0]] + `<a href="` + template.HTMLEscapeString(l.Link) + `">` + text[at[0]:at[1]] + `</a>` + text[at[1]:]
	}
	return template.HTML(text)
}

func htmlPartOf(p sheet.Part) (htmlPart, error) {
	switch x := p.(type) {
	case sheet.Heading:
		return htmlPart{Heading: x}, nil
	case *sheet.List:
		first := slices.IndexFunc(x.Lines, func(l sheet.Line) bool { return l.Lead != "" })
		if first < 0 {
			return htmlPart{Lines: htmlLines(x.Lines, false, 0)}, nil
		}
		return htmlPart{Lines: htmlLines(x.Lines, true, x.Lines[first].In), Led: true}, nil // what leads has a column of its own
	case *sheet.Table:
		return htmlPart{Table: htmlTableOf(x)}, nil
	}
	var svg strings.Builder
	err := graph.Of(p.(*sheet.Figure).Of.(*register.Day)).SVG(&svg, graph.SVGOptions{})
	return htmlPart{Figure: template.HTML(svg.String())}, err
}

// htmlLines are the lines with their margins from where the text begins; those under
// another follow it, but for lines that are led.
func htmlLines(list []sheet.Line, led bool, from int) []sheet.Line {
	var out []sheet.Line
	for _, l := range list {
		in, under := l.In, l.Under
		l.In, l.Under = max(in-from, 0), nil
		if led {
			l.Under, under = htmlLines(under, false, in), nil
		}
		out = append(append(out, l), htmlLines(under, false, from)...)
	}
	return out
}

func htmlTableOf(t *sheet.Table) *htmlTable {
	out := &htmlTable{Table: t, Rest: len(t.Columns) - 1, Rows: slices.Concat(t.Pages(0, nil)...)}
	for _, c := range t.Columns {
		if n := len(out.Groups); n > 0 && out.Groups[n-1].Name == c.Group {
			out.Groups[n-1].Span++
		} else {
			out.Groups = append(out.Groups, htmlGroup{c.Group, 1})
		}
		out.Heads = out.Heads || c.Head != ""
	}
	for i := range out.Rows {
		out.Rows[i].Under = htmlLines(out.Rows[i].Under, false, 0)
	}
	return out
}

// rowClass is how a row looks: by its kind and by what was found. One that is about no
// train, such as a call from a crossing, is of no kind.
func rowClass(r sheet.Row) string {
	class := [...]string{sheet.Plain: "train", sheet.Past: "past", sheet.Across: "across", sheet.Above: "head"}[r.Kind]
	if r.Kind == sheet.Plain && len(r.About) == 0 {
		class = ""
	}
	return strings.TrimSpace(class + " " + r.Grave.String())
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
