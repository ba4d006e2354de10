package export

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"fairhand/register/sheet"
)

// A workbook in the form of ECMA-376 part 1 (SpreadsheetML), as little of it as
// tables of texts and numbers need. The tests read it with a library of others.
// That library can write too, but sets up two milliseconds of tables in every run
// of the program, whatever it was started for.
type workbook struct{ sheets []*worksheet }

// worksheet is one sheet while it is filled, row by row.
type worksheet struct {
	name   string
	row    int            // the one begun last, from 1
	widths []sheet.Column // of the table above all others whose columns set the width
	sorted string         // last column of a table to sort; "" for none
	rows   bytes.Buffer
}

// Styles of a cell, by their place in bookStyles.
const (
	stylePlain = iota
	styleTitle
	styleHead
)

const bookStyles = `<styleSheet xmlns="` + bookSpace + `"><fonts count="3"><font><sz val="11"/><name val="Calibri"/></font>` +
	`<font><b/><sz val="13"/><name val="Calibri"/></font><font><b/><sz val="11"/><name val="Calibri"/></font></fonts>` +
	`<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>` +
	`<borders count="2"><border><left/><right/><top/><bottom/><diagonal/></border>` +
	`<border><left/><right/><top/><bottom style="thin"><color rgb="FF444444"/></bottom><diagonal/></border></borders>` +
	`<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>` +
	`<cellXfs count="3"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>` +
	`<xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="1"/>` +
	`<xf numFmtId="0" fontId="2" fillId="0" borderId="1" xfId="0" applyFont="1" applyBorder="1" applyAlignment="1"><alignment vertical="top" wrapText="1"/></xf></cellXfs></styleSheet>`

// Names of the parts of a workbook and of what leads from one to another.
const (
	bookSpace    = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	bookRelation = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	packSpace    = "http://schemas.openxmlformats.org/package/2006/"
	bookType     = "application/vnd.openxmlformats-officedocument.spreadsheetml."
)

// begin begins the next row; height is in points, 0 for what its text needs.
func (s *worksheet) begin(height int) {
	s.row++
	fmt.Fprintf(&s.rows, `<row r="%d"`, s.row)
	if height > 0 {
		fmt.Fprintf(&s.rows, ` ht="%d" customHeight="1"`, height)
	}
	s.rows.WriteByte('>')
}

func (s *worksheet) end() { s.rows.WriteString("</row>") }

// text writes a cell of a column, from 0; an empty one is left out.
func (s *worksheet) text(col, style int, text string) {
	if text != "" {
		fmt.Fprintf(&s.rows, `<c r="%s%d" s="%d" t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>`, columnName(col+1), s.row, style, escaped(text))
	}
}

func (s *worksheet) number(col int, x float64) {
	fmt.Fprintf(&s.rows, `<c r="%s%d"><v>%s</v></c>`, columnName(col+1), s.row, strconv.FormatFloat(x, 'f', -1, 64))
}

// line is a row with one cell.
func (s *worksheet) line(style int, text string) {
	s.begin(0)
	s.text(0, style, text)
	s.end()
}

func (s *worksheet) headings(cols []sheet.Column) {
	s.begin(30) // two lines
	for i := range cols {
		s.text(i, styleHead, cols[i].Head)
	}
	s.end()
	s.widths = append(cols[:len(cols):len(cols)], s.widths[min(len(cols), len(s.widths)):]...)
}

// part is the sheet as it stands in the file.
func (s *worksheet) part() string {
	var b strings.Builder
	b.WriteString(`<worksheet xmlns="` + bookSpace + `"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr><sheetViews><sheetView workbookViewId="0">`)
	if s.sorted != "" {
		fmt.Fprintf(&b, `<pane xSplit="1" ySplit="%d" topLeftCell="B%d" activePane="bottomRight" state="frozen"/>`, sheetHead, sheetHead+1)
	}
	b.WriteString(`</sheetView></sheetViews>`)
	for i := range s.widths {
		b.WriteString(sheetCols(i, len(s.widths), s.widths[i].Share))
	}
	b.WriteString(`<sheetData>` + s.rows.String() + `</sheetData>`)
	if s.sorted != "" {
		fmt.Fprintf(&b, `<autoFilter ref="A%d:%s%d"/>`, sheetHead, s.sorted, s.row)
	}
	b.WriteString(`<pageSetup paperSize="9" orientation="landscape" fitToWidth="1" fitToHeight="0"/></worksheet>`)
	return b.String()
}

// sheetCols is the width of one of some columns, in widths of a digit.
func sheetCols(i, of int, width float64) string {
	col := fmt.Sprintf(`<col min="%d" max="%d" width="%v" customWidth="1"/>`, i+1, i+1, width)
	if i == 0 {
		col = "<cols>" + col
	}
	if i == of-1 {
		col += "</cols>"
	}
	return col
}

// write writes the file: the same sheets give the same bytes.
func (b *workbook) write(w io.Writer, doc *sheet.Document) error {
	z := zip.NewWriter(w)
	var types, sheets, filters, relations strings.Builder
	for i, s := range b.sheets {
		n := i + 1
		fmt.Fprintf(&types, `<Override PartName="/xl/worksheets/sheet%d.xml" ContentType="%sworksheet+xml"/>`, n, bookType)
		fmt.Fprintf(&sheets, `<sheet name="%s" sheetId="%d" r:id="rId%d"/>`, escaped(s.name), n, n)
		fmt.Fprintf(&relations, `<Relationship Id="rId%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>`, n, bookRelation, n)
		if s.sorted != "" {
			fmt.Fprintf(&filters, `<definedName name="_xlnm._FilterDatabase" localSheetId="%d" hidden="1">'%s'!$A$%d:$%s$%d</definedName>`, i, escaped(s.name), sheetHead, s.sorted, s.row)
		}
	}
	names := ""
	if filters.Len() > 0 {
		names = `<definedNames>` + filters.String() + `</definedNames>`
	}
	parts := [][2]string{
		{"[Content_Types].xml", `<Types xmlns="` + packSpace + `content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
			`<Override PartName="/xl/workbook.xml" ContentType="` + bookType + `sheet.main+xml"/><Override PartName="/xl/styles.xml" ContentType="` + bookType + `styles+xml"/>` +
			`<Override PartName="/docProps/core.xml" ContentType="application/vnd.openxmlformats-package.core-properties+xml"/>` + types.String() + `</Types>`},
		{"_rels/.rels", `<Relationships xmlns="` + packSpace + `relationships"><Relationship Id="rId1" Type="` + bookRelation + `/officeDocument" Target="xl/workbook.xml"/>` +
			`<Relationship Id="rId2" Type="` + packSpace + `relationships/metadata/core-properties" Target="docProps/core.xml"/></Relationships>`},
		{"docProps/core.xml", bookProperties(doc)},
		{"xl/workbook.xml", `<workbook xmlns="` + bookSpace + `" xmlns:r="` + bookRelation + `"><sheets>` + sheets.String() + `</sheets>` + names + `</workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="` + packSpace + `relationships">` + relations.String() +
			`<Relationship Id="rIdStyles" Type="` + bookRelation + `/styles" Target="styles.xml"/></Relationships>`},
		{"xl/styles.xml", bookStyles},
	}
	for i, s := range b.sheets {
		parts = append(parts, [2]string{fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), s.part()})
	}
	for _, p := range parts {
		in, err := z.Create(p[0])
		if err == nil {
			_, err = io.WriteString(in, xml.Header+p[1])
		}
		if err != nil {
			return fmt.Errorf("%s of the workbook: %w", p[0], err)
		}
	}
	return z.Close()
}

// bookProperties says what the workbook is, in the words of the Dublin Core.
func bookProperties(doc *sheet.Document) string {
	date := doc.Date.UTC().Format(time.RFC3339)
	return `<cp:coreProperties xmlns:cp="` + packSpace + `metadata/core-properties" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">` +
		`<dc:title>` + escaped(doc.Head()) + `</dc:title><dc:creator>fairhand</dc:creator><dc:description>` + escaped(sheet.Caution) + `</dc:description><dc:language>en-GB</dc:language>` +
		`<cp:lastModifiedBy>fairhand</cp:lastModifiedBy><dcterms:created xsi:type="dcterms:W3CDTF">` + date + `</dcterms:created><dcterms:modified xsi:type="dcterms:W3CDTF">` + date + `</dcterms:modified></cp:coreProperties>`
}

// columnName is A for 1, Z for 26, AA for 27.
func columnName(n int) string {
	if n > 26 {
		return columnName((n-1)/26) + columnName((n-1)%26+1)
	}
	return string(rune('A' + n - 1))
}

func escaped(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(xmlSafe(s))) // a builder takes all
	return b.String()
}
