package export

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/sheet"
)

// The page in millimetres: A4 lying on its side.
const (
	pageWidth  = 297.0
	pageHeight = 210.0
	pageLeft   = 12.0
	pageRight  = 287.0
	pageTop    = 21.0 // below the heading
	pageFoot   = 196.0
	ptToMM     = 25.4 / 72
)

// pdf is a document being drawn.
type pdf struct {
	*fpdf.Fpdf
	doc      *sheet.Document
	side     string // heading at the right of the page
	replaced int    // characters that the fonts have no sign for, so far
	told     int    // the same of the whole document, as the foot tells it
	bold     bool
	size     float64
	splits   map[splitKey][]string
}

type splitKey struct {
	text  string
	width float64
	bold  bool
	size  float64
}

// writePDF writes a document to print: the pages of the book, running text in two
// columns, and the train graph. One with characters that the fonts lack is drawn
// twice, because the foot of each page tells how many there are.
func writePDF(w io.Writer, doc *sheet.Document) error {
	p := drawPDF(doc, 0)
	if p.replaced > 0 {
		p = drawPDF(doc, p.replaced)
	}
	return p.Output(w)
}

func drawPDF(doc *sheet.Document, told int) *pdf {
	p := &pdf{Fpdf: fpdf.New("L", "mm", "A4", ""), doc: doc, told: told, splits: map[splitKey][]string{}}
	p.AddUTF8FontFromBytes("go", "", goregular.TTF)
	p.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	p.SetMargins(pageLeft, pageTop, pageWidth-pageRight)
	p.SetAutoPageBreak(false, 0)
	p.SetCatalogSort(true) // with the dates below: the same day, the same bytes
	p.SetCreationDate(doc.Date)
	p.SetModificationDate(doc.Date)
	p.SetTitle(doc.Head(), true)
	p.SetSubject(sheet.Caution, true)
	p.SetKeywords(strings.Join(doc.Proof, ". "), false) // ASCII: read by ReadPage
	p.SetCreator("fairhand", true)
	p.SetLang("en-GB")
	p.AliasNbPages(pagesAlias)
	p.SetHeaderFunc(p.heading)
	p.SetFooterFunc(p.foot)
	var f *flow // running text goes on from section to section
	if len(doc.Under) > 1 || len(doc.Alarms) > 0 {
		f = p.newFlow("")
		for _, a := range doc.Alarms {
			f.para(a.String(), manner{bold: true})
		}
		for _, s := range doc.Under {
			if len(doc.Under) > 1 { // else it heads the page
				f.para(s, manner{})
			}
		}
	}
	for i := range doc.Sections {
		f = p.section(f, &doc.Sections[i])
	}
	if p.PageNo() == 0 {
		p.page("")
	}
	if f != nil && doc.Sign {
		f.y += 3 * flowLine
		f.para(sheet.SignHere, manner{})
	}
	return p
}

// section draws a section, and gives the running text that the next may go on in.
func (p *pdf) section(f *flow, s *sheet.Section) *flow {
	flowing := func(head string, with sheet.Part) {
		if f == nil {
			f = p.newFlow(head)
		}
		keep := 3 * flowLine
		if t, ok := with.(*sheet.Table); ok {
			keep = f.first(f.lay(t, flowWidth, flowLine))
		}
		if f.title = head; head != "" {
			f.head(head, keep)
		}
	}
	titled := false
	title := func(with sheet.Part) {
		if !titled {
			flowing(s.Title, with)
		}
		titled = true
	}
	for _, part := range s.Parts {
		switch x := part.(type) {
		case *sheet.Figure:
			p.graphPages(x.Of.(*register.Day))
			f = nil
		case sheet.Heading:
			flowing(string(x), nil)
			titled = true
		case *sheet.List:
			title(x)
			f.lines(x.Lines)
		case *sheet.Table:
			if x.Book {
				p.book(x)
				f = nil
				continue
			}
			title(x)
			f.table(x)
		}
	}
	return f
}

const pagesAlias = "{of}"

// font chooses a size in points.
func (p *pdf) font(bold bool, size float64) {
	p.bold, p.size = bold, size
	style := ""
	if bold {
		style = "B"
	}
	p.SetFont("go", style, size)
}

// say draws a text with its base line at y. All text of the document is drawn here.
func (p *pdf) say(x, y float64, s string) {
	s, n := printable(s)
	p.replaced += n
	if s != "" {
		p.Text(x, y, s)
	}
}

// wide is the width of a text in the font chosen.
func (p *pdf) wide(s string) float64 {
	s, _ = printable(s)
	return p.GetStringWidth(s)
}

// split breaks a text into lines of at most the width, at spaces, or within a
// word that is too long for a line. What is measured is what is drawn: the
// library's own two ways of breaking a text have disagreed
// (github.com/jung-kurt/gofpdf/issues/209).
func (p *pdf) split(s string, width float64) []string {
	if s == "" {
		return nil
	}
	key := splitKey{s, width, p.bold, p.size}
	if lines, ok := p.splits[key]; ok {
		return lines
	}
	space := p.wide(" ")
	var lines []string
	line, used := "", 0.0
	for _, word := range strings.Split(strings.NewReplacer("\n", " ", "\t", " ", "\r", " ").Replace(s), " ") {
		w := p.wide(word)
		if line != "" && used+space+w > width {
			lines = append(lines, line)
			line, used = "", 0
		}
		for w > width && word != "" { // longer than a line
			n := p.fits(word, width)
			lines = append(lines, word[:n])
			word = word[n:]
			w = p.wide(word)
		}
		if line == "" {
			line, used = word, w
		} else {
			line, used = line+" "+word, used+space+w
		}
	}
	lines = append(lines, line)
	p.splits[key] = lines
	return lines
}

// fits is how many bytes of a word go on a line, at least one character.
func (p *pdf) fits(word string, width float64) int {
	n := 0
	for i, r := range word {
		if i > 0 && p.wide(word[:i+utf8.RuneLen(r)]) > width {
			break
		}
		n = i + max(utf8.RuneLen(r), 1)
	}
	return min(n, len(word))
}

// strike draws a line through a text that stands at x and y.
func (p *pdf) strike(x, y float64, s string) {
	p.SetLineWidth(0.25)
	up := p.size * ptToMM * 0.26
	p.Line(x, y-up, x+p.wide(s), y-up)
}

// heading is drawn at the top of each page.
func (p *pdf) heading() {
	p.stamps()
	p.SetTextColor(0, 0, 0)
	p.font(true, 11)
	p.say(pageLeft, 12, p.doc.Head())
	p.say(pageRight-p.wide(p.side), 12, p.side)
	p.font(false, 7.5)
	words := ""
	if len(p.doc.Under) == 1 { // more begin the text
		words = p.doc.Under[0]
	}
	if lines := p.split(words, pageRight-pageLeft); len(lines) > 1 {
		words = lines[0] + " ..." // in full in the entries
	}
	p.say(pageLeft, 17, words)
	if p.PageNo() == 1 {
		p.say(-100, -100, "0123456789") // off the page: the digits of its number belong into the font
	}
}

// stamps are drawn across each page, below what stands on it, and above it once more
// to be read.
func (p *pdf) stamps() {
	for i, a := range p.doc.Alarms {
		p.font(true, 54)
		p.SetTextColor(243, 190, 195)
		x, y := pageWidth/2, pageHeight/2+30*float64(i)
		p.TransformBegin()
		p.TransformRotate(24, x, y)
		p.say(x-p.wide(a.Stamp)/2, y, a.Stamp)
		p.TransformEnd()
		p.font(true, 6.5)
		p.SetTextColor(163, 0, 27)
		for n, s := range p.split(a.String(), pageRight-pageLeft) {
			if at := 3.2 + 2.6*float64(n+2*i); at < 9 {
				p.say(pageLeft, at, s)
			}
		}
	}
}

// foot is drawn at the bottom of each page: what proves the day, and what a
// register is not.
func (p *pdf) foot() {
	p.SetTextColor(60, 60, 60)
	p.SetDrawColor(120, 120, 120)
	p.SetLineWidth(0.2)
	p.Line(pageLeft, pageFoot+1.5, pageRight, pageFoot+1.5)
	p.font(false, 6)
	y := pageFoot + 4.2
	lines := p.doc.Foot()
	if p.told > 0 {
		lines[len(lines)-1] += fmt.Sprintf(" (%d characters have no sign in the fonts used here and stand as their numbers, [U+1F682].)", p.told)
	}
	for _, l := range lines {
		for _, s := range p.split(l, pageRight-pageLeft-30) {
			p.say(pageLeft, y, s)
			y += 2.7
		}
	}
	p.font(true, 7.5)
	p.say(pageRight-24, pageFoot+4.8, fmt.Sprintf("Page %d of %s", p.PageNo(), pagesAlias))
	p.SetTextColor(0, 0, 0)
}

// page begins a new page.
func (p *pdf) page(side string) {
	p.side = side
	p.AddPage()
}

// sign marks a finding beside a line.
func (p *pdf) sign(x, y float64, g sheet.Grave) {
	p.font(true, 8)
	if g == sheet.Graveness(rulebook.Danger) {
		p.SetTextColor(163, 0, 27)
	}
	p.say(x, y, g.Sign())
	p.SetTextColor(0, 0, 0)
}
