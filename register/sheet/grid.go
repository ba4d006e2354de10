package sheet

import (
	"strings"

	"fairhand/register/measure"
)

// plainGrid sets the columns of a table side by side in plain text. When there is
// no room for the share that each asks for, those that may stand below their row
// do, and each other one has the width that its cells need.
type plainGrid struct {
	t      *Table
	alike  []*Table // whose columns are to stand alike, t for one
	width  int
	signs  int   // columns that the signs of findings take
	widths []int // 0 below
	close  bool  // times in brackets stand without a blank before them
}

func newPlainGrid(width int, t *Table, alike ...*Table) *plainGrid {
	g := &plainGrid{t: t, alike: append(alike, t), width: width, widths: make([]int, len(t.Columns))}
	if t.Book {
		g.signs = 3
	}
	all := g.signs + len(t.Columns) - 1
	for i := range t.Columns {
		g.widths[i] = int(t.Columns[i].Share)
		all += g.widths[i]
	}
	if all <= width {
		for i := range len(t.Columns) - 1 { // what needs more than its share gets it while there is room
			if more := g.need(i) - g.widths[i]; more > 0 && all+more <= width {
				g.widths[i], all = g.widths[i]+more, all+more
			}
		}
		return g
	}
	all = g.signs
	for i := range t.Columns {
		if g.widths[i] = 0; !t.Columns[i].Below {
			g.widths[i] = g.need(i)
			all += g.widths[i] + len(g.gap(i))
		}
	}
	// what still has no room goes below too, the last first: words, and times at last
	below := func(times bool) {
		for i := len(t.Columns) - 1; i > 0 && all-1 > width; i-- {
			if c := &t.Columns[i]; g.widths[i] > 0 && c.Clock == times && !c.Mark {
				all -= g.widths[i] + len(g.gap(i))
				g.widths[i] = 0
			}
		}
	}
	below(false)
	if g.close = all-1 > width; g.close { // brackets part two times as well as a blank does
		all = g.signs
		for i, w := range g.widths {
			if w > 0 {
				all += w + len(g.gap(i))
			}
		}
		below(true)
	}
	return g
}

// need is the width that the cells of a column need.
func (g *plainGrid) need(i int) int {
	c := &g.t.Columns[i]
	n := max(measure.Width(heading(c)), 1)
	for _, t := range g.alike {
		for r := range t.Rows {
			if cells := t.Rows[r].Cells; i < len(cells) {
				n = max(n, measure.Width(cells[i]))
			}
		}
	}
	if c.Clock {
		n = max(n, len("00:00"))
	}
	return n
}

// heading of a column in plain text.
func heading(c *Column) string {
	if c.Mark {
		return ""
	}
	return c.Brief()
}

// headings are the lines above the rows; none for a table whose columns have none.
func (g *plainGrid) headings() []string {
	heads, groups, group := strings.Repeat(" ", g.signs), "", ""
	any := false
	for i := range g.t.Columns {
		c := &g.t.Columns[i]
		if g.widths[i] == 0 {
			continue
		}
		if c.Group != group {
			group = c.Group
			groups = measure.Pad(groups, measure.Width(heads)) + group
		}
		any = any || heading(c) != ""
		heads += align(heading(c), g.widths[i], c.Right || c.Clock) + g.gap(i)
	}
	switch {
	case !any:
		return nil
	case g.t.Book:
		return []string{groups, heads, strings.Repeat("-", min(measure.Width(heads), g.width))}
	}
	return []string{heads}
}

// gap is what comes after a column: a mark stands close to what it is about.
func (g *plainGrid) gap(i int) string {
	next := i + 1
	if next < len(g.t.Columns) && g.t.Columns[next].Mark {
		return ""
	}
	for g.close && next < len(g.t.Columns) && g.widths[next] == 0 {
		next++
	}
	if g.close && next < len(g.t.Columns) && g.t.Columns[next].Clock && g.widths[next] > len("00:00*") {
		return ""
	}
	return " "
}

// row is the line of a row, its cells cut only when they do not all fit.
func (g *plainGrid) row(r *Row) string {
	line := g.cells(r, func(s string, _ int) string { return s })
	if measure.Width(line) > g.width {
		line = g.cells(r, func(s string, width int) string { return measure.Short(s, width, "…") })
	}
	return line
}

func (g *plainGrid) cells(r *Row, cut func(s string, width int) string) string {
	line := measure.Pad(r.Grave.Sign(), g.signs)
	for i, s := range r.Cells {
		c, w := &g.t.Columns[i], g.widths[i]
		if i == 0 {
			s = strings.Repeat(" ", r.In) + s
		}
		if w > 0 {
			line += align(cut(s, w), w, c.Right || c.Clock) + g.gap(i)
		}
	}
	return strings.TrimRight(line, " ")
}

// below are the lines below a row: what leads itself in together, what has no
// such word alone.
func (g *plainGrid) below(r *Row) []string {
	var led, alone []string
	for i, s := range r.Cells {
		switch c := &g.t.Columns[i]; {
		case g.widths[i] > 0 || s == "":
		case c.Below && c.Lead == "":
			alone = append(alone, s)
		case !c.Below:
			led = append(led, strings.ToLower(strings.TrimSpace(c.Head+" "+c.Group))+" "+s)
		default:
			led = append(led, c.Lead+s)
		}
	}
	if len(led) > 0 {
		alone = append([]string{strings.Join(led, "; ")}, alone...)
	}
	return alone
}

func align(s string, width int, right bool) string {
	if right {
		return measure.PadLeft(s, width)
	}
	return measure.Pad(s, width)
}
