package export

import (
	"archive/zip"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
	"unicode/utf16"

	"fairhand/register/sheet"
)

// The file of a spreadsheet, as far as ours have need of it: text, numbers, three styles,
// widths, headings that stay in view. A library for all of it makes some 20,000 things
// ready at each start of the program, whatever is asked for; tests read ours back by one.
// Source: ECMA-376 part 1, SpreadsheetML, and part 2 for the package.

// The styles, by their place in sheetStyles.
const (
	stylePlain = iota
	styleTitle
	styleHead
)

const sheetStyles = `<styleSheet xmlns="` + spreadsheetML + `"><fonts count="3"><font><sz val="11"/><name val="Calibri"/></font><font><b/><sz val="13"/><name val="Calibri"/></font>` +
	`<font><b/><sz val="11"/><name val="Calibri"/></font></fonts><fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>` +
	`<borders count="2"><border><left/><right/><top/><bottom/><diagonal/></border><border><left/><right/><top/><bottom style="thin"><color rgb="FF444444"/></bottom><diagonal/></border></borders>` +
	`<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs><cellXfs count="3"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>` +
	`<xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="1"/>` +
	`<xf numFmtId="0" fontId="2" fillId="0" borderId="1" xfId="0" applyFont="1" applyBorder="1" applyAlignment="1"><alignment vertical="top" wrapText="1"/></xf></cellXfs>` +
	`<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>`

const (
	spreadsheetML = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	relationships = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	packaged      = "http://schemas.openxmlformats.org/package/2006/"
	contentType   = "application/vnd.openxmlformats-officedocument.spreadsheetml."
)

// sheetFile is a workbook being made: cells are given row by row, from the left.
type sheetFile struct {
	sheets []*sheetPart
	texts  []string       // each once, in order of first use
	known  map[string]int // their places
	used   int            // cells of text
}

// sheetPart is one of its sheets.
type sheetPart struct {
	name   string
	rows   strings.Builder
	row    int // the one being written
	widths []float64
	sorted int // columns of the table that may be sorted; 0 for none
}

func (f *sheetFile) newSheet(name string) { f.sheets = append(f.sheets, &sheetPart{name: name}) }

func (f *sheetFile) last() *sheetPart { return f.sheets[len(f.sheets)-1] }

// width is how many characters wide a column is.
func (f *sheetFile) width(col int, chars float64) {
	p := f.last()
	for len(p.widths) < col {
		p.widths = append(p.widths, 0)
	}
	p.widths[col-1] = chars
}

// sorts says before the first row that the sheet has a table of so many columns below
// its head, whose headings, of two lines, and first column stay in view.
func (f *sheetFile) sorts(cols int) { f.last().sorted = cols }

// cellMost is how long the text of a cell may be for those that read it, in units of UTF-16.
const cellMost = 32767

// str writes text; what a cell cannot hold is cut off.
func (f *sheetFile) str(col, row int, s string, style int) {
	if u := utf16.Encode([]rune(s)); len(u) > cellMost {
		s = string(utf16.Decode(u[:cellMost]))
	}
	if f.known == nil {
		f.known = map[string]int{}
	}
	n, ok := f.known[s]
	if !ok {
		n = len(f.texts)
		f.known[s], f.texts = n, append(f.texts, s)
	}
	f.used++
	f.last().cell(col, row, fmt.Sprintf(` s="%d" t="s"`, style), strconv.Itoa(n))
}

// number writes a number, in the form that strconv gives it.
func (f *sheetFile) number(col, row int, n string) { f.last().cell(col, row, "", n) }

func (p *sheetPart) cell(col, row int, attributes, value string) {
	if row != p.row {
		if p.row > 0 {
			p.rows.WriteString("</row>")
		}
		p.row = row
		height := ""
		if p.sorted > 0 && row == sheetHead {
			height = ` ht="30" customHeight="1"`
		}
		fmt.Fprintf(&p.rows, `<row r="%d"%s>`, row, height)
	}
	fmt.Fprintf(&p.rows, `<c r="%s%d"%s><v>%s</v></c>`, columnName(col), row, attributes, value)
}

// columnName is the letters of a column numbered from 1.
func columnName(col int) string {
	name := ""
	for ; col > 0; col = (col - 1) / 26 {
		name = string(rune('A'+(col-1)%26)) + name
	}
	return name
}

func (p *sheetPart) xml() string {
	var b strings.Builder
	view, filter := "", ""
	if p.sorted > 0 {
		view = fmt.Sprintf(`<pane xSplit="1" ySplit="%d" topLeftCell="B%d" activePane="bottomRight" state="frozen"/>`, sheetHead, sheetHead+1)
		filter = fmt.Sprintf(`<autoFilter ref="A%d:%s%d"/>`, sheetHead, columnName(p.sorted), max(p.row, sheetHead))
	}
	fmt.Fprintf(&b, `<worksheet xmlns="%s"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr><sheetViews><sheetView workbookViewId="0">%s</sheetView></sheetViews>`, spreadsheetML, view)
	if len(p.widths) > 0 {
		b.WriteString("<cols>")
		for i, w := range p.widths {
			fmt.Fprintf(&b, `<col min="%d" max="%d" width="%g" customWidth="1"/>`, i+1, i+1, w)
		}
		b.WriteString("</cols>")
	}
	b.WriteString("<sheetData>" + p.rows.String())
	if p.row > 0 {
		b.WriteString("</row>")
	}
	b.WriteString("</sheetData>" + filter + `<pageSetup orientation="landscape" fitToWidth="1" fitToHeight="0"/></worksheet>`)
	return b.String()
}

// save writes the file: the same workbook gives the same bytes.
func (f *sheetFile) save(w io.Writer, core string) error {
	types := `<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/>` +
		`<Override PartName="/docProps/core.xml" ContentType="application/vnd.openxmlformats-package.core-properties+xml"/>` +
		`<Override PartName="/xl/workbook.xml" ContentType="` + contentType + `sheet.main+xml"/><Override PartName="/xl/styles.xml" ContentType="` + contentType + `styles+xml"/>` +
		`<Override PartName="/xl/sharedStrings.xml" ContentType="` + contentType + `sharedStrings+xml"/>`
	links, list := linkTo(1, relationships+"/styles", "styles.xml")+linkTo(2, relationships+"/sharedStrings", "sharedStrings.xml"), ""
	parts := [][2]string{{"xl/styles.xml", sheetStyles}, {"xl/sharedStrings.xml", f.textTable()}, {"docProps/core.xml", core}}
	for i, p := range f.sheets {
		name := fmt.Sprintf("worksheets/sheet%d.xml", i+1)
		types += `<Override PartName="/xl/` + name + `" ContentType="` + contentType + `worksheet+xml"/>`
		links += linkTo(i+3, relationships+"/worksheet", name)
		list += fmt.Sprintf(`<sheet name="%s" sheetId="%d" r:id="rId%d"/>`, inXML(p.name), i+1, i+3)
		parts = append(parts, [2]string{"xl/" + name, p.xml()})
	}
	parts = append([][2]string{
		{"[Content_Types].xml", `<Types xmlns="` + packaged + `content-types">` + types + `</Types>`},
		{"_rels/.rels", linked(linkTo(1, relationships+"/officeDocument", "xl/workbook.xml") + linkTo(2, packaged+"relationships/metadata/core-properties", "docProps/core.xml"))},
		{"xl/workbook.xml", `<workbook xmlns="` + spreadsheetML + `" xmlns:r="` + relationships + `"><sheets>` + list + `</sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", linked(links)},
	}, parts...)
	z := zip.NewWriter(w)
	for _, part := range parts {
		to, err := z.Create(part[0])
		if err != nil {
			return err
		}
		if _, err := io.WriteString(to, xml.Header+part[1]); err != nil {
			return err
		}
	}
	return z.Close()
}

func (f *sheetFile) textTable() string {
	var b strings.Builder
	fmt.Fprintf(&b, `<sst xmlns="%s" count="%d" uniqueCount="%d">`, spreadsheetML, f.used, len(f.texts))
	for _, s := range f.texts {
		b.WriteString(`<si><t xml:space="preserve">` + inXML(s) + `</t></si>`)
	}
	b.WriteString("</sst>")
	return b.String()
}

// coreProperties say what the document is.
func coreProperties(doc *sheet.Document) string {
	day := doc.Date.UTC().Format(time.RFC3339)
	return `<cp:coreProperties xmlns:cp="` + packaged + `metadata/core-properties" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">` +
		`<dc:title>` + inXML(xmlSafe(doc.Head())) + `</dc:title><dc:creator>fairhand</dc:creator><dc:description>` + inXML(sheet.Caution) + `</dc:description><dc:language>en-GB</dc:language>` +
		`<cp:lastModifiedBy>fairhand</cp:lastModifiedBy><dcterms:created xsi:type="dcterms:W3CDTF">` + day + `</dcterms:created><dcterms:modified xsi:type="dcterms:W3CDTF">` + day + `</dcterms:modified></cp:coreProperties>`
}

func linked(links string) string {
	return `<Relationships xmlns="` + packaged + `relationships">` + links + `</Relationships>`
}

func linkTo(id int, sort, target string) string {
	return fmt.Sprintf(`<Relationship Id="rId%d" Type="%s" Target="%s"/>`, id, sort, target)
}

// inXML is text as it stands in XML.
func inXML(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a builder takes all
	return b.String()
}
