package tui

import (
	"strings"

	"github.com/rivo/uniseg"

	"fairhand/register"
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
		p.put(ruled(p.t, " "+register.DateText(day.Date)+" ", p.w), line(dim, " The page is being made from the book."))
		return
	}
	rows := pageRows(day, p)
	room := p.left()
	first := max(0, min(m.top, len(rows)-room))
	p.put(rows[first:min(len(rows), first+room)]...)
}

// pageRows lays all pages of a day out, one below the other.
func pageRows(day *register.Day, p *page) []row {
	var out []row
	cols := register.PageColumns()
	for _, pg := range day.Pages(0) {
		out = append(out, ruled(p.t, " "+pg.Title+" ", p.w))
		widths := columnWidths(cols, pg.Lines)
		if p.w < 100 && len(day.Box.Sections) <= 2 { // the side of the page says which neighbour is which
			for i, c := range cols {
				if c.Key == "by" || c.Key == "for" {
					widths[i] = 0
				}
			}
		}
		head := row{txt(plain, "   ")}
		for i, c := range cols {
			if widths[i] > 0 && !aside[c.Key] {
				head = head.add(dim, pad(c.Short, widths[i])+" ")
			}
		}
		out = append(out, head)
		for _, l := range pg.Lines {
			out = append(out, pageLine(l, cols, widths)...)
		}
	}
	if out == nil {
		out = []row{line(dim, " No entry.")}
	}
	return out
}

// aside are the columns whose text goes below the row, where there is room.
var aside = map[string]bool{"token": true, "place": true, "remarks": true}

// columnWidths are the widths of the columns on a page; 0 for an empty one.
func columnWidths(cols []register.PageColumn, lines []register.PageLine) []int {
	w := make([]int, len(cols))
	for i, c := range cols {
		for _, l := range lines {
			if i < len(l.Cells) && l.Cells[i] != "" {
				w[i] = max(w[i], min(9, uniseg.StringWidth(l.Cells[i])), uniseg.StringWidth(c.Short))
			}
		}
		if (c.Key == "by" || c.Key == "for") && w[i] > 5 {
			w[i] = 5
		}
	}
	return w
}

// pageLine is one line of a page in one or two rows.
func pageLine(l register.PageLine, cols []register.PageColumn, widths []int) []row {
	sign, k := "  ", plain
	if l.Found {
		sign, k = severitySigns[l.Severity], severityRoles[l.Severity]
	}
	r := row{txt(k, sign), txt(plain, " ")}
	if l.Kind == register.AcrossPage {
		of := plain
		if l.Struck {
			of = struck
		}
		return []row{r.add(plain, l.Clock+" ").add(of, l.Text).add(dim, "  "+l.Beside)}
	}
	of := strong
	if l.Kind == register.PastLine {
		of = dim
	}
	var below []string
	for i, c := range cols {
		switch {
		case i >= len(l.Cells):
		case aside[c.Key]:
			if l.Cells[i] != "" {
				below = append(below, strings.ToLower(c.Head)+" "+l.Cells[i])
			}
		case widths[i] > 0:
			r = r.add(of, pad(l.Cells[i], widths[i])+" ")
		}
	}
	out := []row{r}
	if len(below) > 0 {
		out = append(out, line(dim, "       "+strings.Join(below, "; ")))
	}
	return out
}
