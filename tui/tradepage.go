package tui

import (
	"cmp"
	"strings"

	"fairhand/register"
	"fairhand/register/measure"
	"fairhand/register/sheet"
)

// tradePage shows a day as the page of a paper register: a row a train, its
// times by column, and what no column holds across the page.
func tradePage(m *model, p *page) {
	day := m.shown
	if day == nil {
		p.put(line(dim, " No entry."))
		return
	}
	if m.glance {
		p.put(ruled(p.t, " "+day.Date.String()+" ", p.w), line(dim, " The page is being made from the book."))
		return
	}
	p.window(pageRows(day, p), m.top, p.left())
}

// pageRows lays all pages of a day out, one below the other.
func pageRows(day *register.Day, p *page) []row {
	var out []row
	for _, t := range day.Pages() {
		out = append(out, ruled(p.t, " "+t.Title+" ", p.w))
		widths := columnWidths(t, p.w)
		for i, c := range t.Columns {
			if c.Below && sumOf(widths)+pageMargin > p.w {
				widths[i] = 0 // said below its row, so that no time is
			}
		}
		head := row{txt(plain, "   ")}
		for i, c := range t.Columns {
			if widths[i] > 0 {
				head = head.add(dim, pad(headOf(c), widths[i])+" ")
			}
		}
		out = append(out, head)
		rows := t.Pages(0, nil)[0]
		for i := range rows {
			for _, r := range tableRow(&rows[i], t, widths) {
				out = append(out, r.wrapped(p.w, 9)...)
			}
		}
	}
	if out == nil {
		out = []row{line(dim, " No entry.")}
	}
	return out
}

// pageMargin is what stands before the first column.
const pageMargin = 3

// sumOf is how wide columns of these widths are together.
func sumOf(widths []int) (n int) {
	for _, w := range widths {
		if w > 0 {
			n += w + 1
		}
	}
	return n
}

func headOf(c sheet.Column) string {
	if c.Mark {
		return ""
	}
	return c.Brief()
}

// columnWidths are the widths of the columns on a page, in cells of a screen so
// wide; 0 for an empty one, and for one that goes below its row.
func columnWidths(t *sheet.Table, screen int) []int {
	const most, roomy = 9, 100
	w := make([]int, len(t.Columns))
	for i, c := range t.Columns {
		if c.Below && c.Beside == 0 || c.Implied && screen < roomy {
			continue
		}
		for _, r := range t.Rows {
			if i < len(r.Cells) && r.Cells[i] != "" {
				w[i] = max(w[i], min(most, measure.Width(r.Cells[i])), measure.Width(headOf(c)))
			}
		}
		if c.Beside > 0 {
			w[i] = min(w[i], c.Beside)
		}
	}
	return w
}

// tableRow is a row of a table in one or two rows of the screen.
func tableRow(l *sheet.Row, t *sheet.Table, widths []int) []row {
	sign, k := "  ", plain
	if l.Grave > 0 {
		sign, k = severitySigns[l.Grave-1], severityRoles[l.Grave-1]
	}
	r := row{txt(k, sign), txt(plain, " ")}
	if l.Kind == sheet.Across {
		of := plain
		if l.Struck {
			of = struck
		}
		return []row{r.add(plain, l.Clock+" ").add(of, l.Text).add(dim, "  "+l.Beside)}
	}
	of := strong
	if l.Kind == sheet.Past {
		of = dim
	}
	var below []string
	for i, c := range t.Columns {
		switch {
		case i >= len(l.Cells):
		case widths[i] > 0:
			r = r.add(of, pad(l.Cells[i], widths[i])+" ")
		case c.Below && !c.Implied && l.Cells[i] != "":
			below = append(below, cmp.Or(c.Lead, strings.ToLower(c.Head)+" ")+l.Cells[i])
		}
	}
	out := []row{r}
	if len(below) > 0 {
		out = append(out, line(dim, "       "+strings.Join(below, "; ")))
	}
	return out
}
