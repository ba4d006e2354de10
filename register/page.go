package register

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/sheet"
)

var pageTitles = []struct{ side, title string }{
	{"down", "Down page"}, {"up", "Up page"}, {"", "Direction not known"},
}

// Pages are the pages of the book: trains of one direction, and between them in
// order of time what is written across both pages of the open book. Down comes
// before up, as left before right in the books of British Railways
// (janfordsworld.blogspot.com, form 24847).
func (d *Day) Pages() []*sheet.Table {
	about := d.RowsAbout()
	var pages []*sheet.Table
	for _, side := range pageTitles {
		if !slices.ContainsFunc(d.Rows, func(r TrainRow) bool { return r.Page == side.side }) && !(side.side == "" && len(pages) == 0) {
			continue
		}
		pages = append(pages, &sheet.Table{Title: side.title, Book: true, Columns: d.columns(false), Rows: d.pageRows(side.side, about)})
	}
	return pages
}

// Trains is the rows of the trains as a table in which each stands for itself:
// every time has its hour, and one of another day its date.
func (d *Day) Trains() *sheet.Table {
	return &sheet.Table{Name: "Trains", Columns: d.columns(true), Rows: each.Of(d.Rows, func(r TrainRow) sheet.Row {
		v := d.trainView(&r)
		v.alone = true
		return v.pageRow(sheet.Plain, nil)
	})}
}

// pageRows are the rows of one side of the book, in order of time.
func (d *Day) pageRows(side string, about RowsAbout) []sheet.Row {
	type timed struct {
		at  block.Time
		row sheet.Row
	}
	var all []timed
	for i := range d.Rows {
		r := &d.Rows[i]
		if r.Page != side {
			continue
		}
		for j := range r.Earlier {
			all = append(all, timed{r.Train.OpenedAt, d.pastView(r, &r.Earlier[j]).pageRow(sheet.Past, about)})
		}
		row := d.trainView(r).pageRow(sheet.Plain, about)
		row.Grave = gravest(r.Findings)
		all = append(all, timed{r.Train.OpenedAt, row})
	}
	for i := range d.Across {
		all = append(all, timed{d.Across[i].At, d.acrossRow(&d.Across[i], about)})
	}
	slices.SortStableFunc(all, func(a, b timed) int { return cmp.Compare(a.at, b.at) })
	return each.Of(all, func(t timed) sheet.Row { return t.row })
}

// RowsAbout are the rows that each entry of a day is about.
type RowsAbout map[int64][]*TrainRow

// RowsAbout gives the rows that each entry is about.
func (d *Day) RowsAbout() RowsAbout {
	out := RowsAbout{}
	for i := range d.Rows {
		for _, n := range d.Rows[i].Entries {
			out[n] = append(out[n], &d.Rows[i])
		}
	}
	return out
}

// trains are the names of those that an entry is about.
func (a RowsAbout) trains(seq int64, box *block.Box) []string {
	return each.Of(a[seq], func(r *TrainRow) string { return r.Train.Label(box) })
}

// link leads from an entry to the first row that it is about.
func (a RowsAbout) link(seq int64) string {
	if len(a[seq]) == 0 {
		return ""
	}
	return "#" + rowID(a[seq][0])
}

// rowID is the name of a train's row on its page, by which entries lead to it.
func rowID(r *TrainRow) string { return fmt.Sprintf("r%d", r.Train.Opened) }

func (d *Day) trainView(r *TrainRow) *rowView {
	return &rowView{d: d, row: r, in: d.told(r.Train.In), out: d.told(r.Train.Out), code: r.Train.Code, departed: r.Departed,
		tokens: r.Tokens, places: r.Places, remarks: d.Remarks(r)}
}

// told is a leg with the times that were told of it: where trains are only described
// there is no line clear and no out of section, and an acceptance presumed of an offer has
// no time.
func (d *Day) told(l block.Leg) block.Leg {
	l.Accepted = l.LineClear()
	if l.Section >= 0 && d.Box.Sections[l.Section].Method.Is().Described {
		l.Accepted, l.OutOf = 0, 0
	}
	return l
}

func (d *Day) pastView(r *TrainRow, p *PastLeg) *rowView {
	none := block.Leg{Section: -1, Line: -1}
	v := &rowView{d: d, row: r, in: d.told(p.Leg), out: none, code: p.Code}
	if p.Dir == block.Outward {
		v.in, v.out = none, v.in
	}
	switch {
	case p.Leg.Cancelled != 0:
		v.remarks = []string{d.clockOrDate(p.Leg.Cancelled) + " cancelled"}
	case p.Leg.Accepted == 0:
		v.remarks = []string{"not accepted"}
	case p.Code != r.Train.Code:
		v.remarks = []string{"described anew"}
	default:
		v.remarks = []string{"did not remain"}
	}
	return v
}

// pageRow writes the cells of a row.
func (v *rowView) pageRow(kind sheet.RowKind, about RowsAbout) sheet.Row {
	row := sheet.Row{Kind: kind}
	if kind == sheet.Plain && !v.alone {
		row.ID = rowID(v.row)
	}
	for i := range pageColumns {
		c := &pageColumns[i]
		if !v.d.has(c, v.alone) {
			continue
		}
		text, hour := "", ""
		switch {
		case c.at == nil:
			text = c.cell(v)
		case v.alone:
			text = v.d.clockAlone(c.at(v))
		default:
			text, hour = v.d.pageClock(c.at(v))
		}
		row.Cells, row.Hours = append(row.Cells, text), append(row.Hours, hour)
	}
	row.About = append(row.About, row.Cells[0])
	for _, n := range v.row.Entries {
		row.About = append(row.About, about.trains(n, v.d.Box)...)
	}
	return row
}

func gravest(found []block.Finding) sheet.Grave {
	g := sheet.Grave(0)
	for _, f := range found {
		g = max(g, sheet.Graveness(f.Severity))
	}
	return g
}

// pageClock writes a time in its column, and names its hour; times of another
// date stand in brackets.
func (d *Day) pageClock(at block.Time) (clock, hour string) {
	switch {
	case at == 0:
		return "", ""
	case calendar.Of(at, d.Zone) != d.Date:
		return d.clockOrDate(at), ""
	}
	r := calendar.Read(at, d.Zone, d.Box.Rounding)
	return r.String(), r.Hour()
}

func (d *Day) clockOrDate(at block.Time) string {
	if calendar.Of(at, d.Zone) != d.Date {
		return "(" + d.Clock(at) + ")"
	}
	return d.Clock(at)
}

// clockAlone is a time with the date when it is another day's; nothing for one
// that was not recorded.
func (d *Day) clockAlone(at block.Time) string {
	if at == 0 {
		return ""
	}
	if day := calendar.Of(at, d.Zone); day != d.Date {
		return day.String() + " " + d.Clock(at)
	}
	return d.Clock(at)
}

func (d *Day) acrossRow(a *AcrossLine, about RowsAbout) sheet.Row {
	row := sheet.Row{Kind: sheet.Across, Text: a.Text, Struck: a.Struck, Grave: gravest(a.Findings), About: about.trains(a.Seq, d.Box)}
	row.Clock, row.Hour = d.pageClock(a.At)
	var beside []string
	if a.Struck {
		beside = append(beside, fmt.Sprintf("ERROR entry %d, corrected by entry %d: %s", a.Seq, a.By, a.Instead))
	}
	if a.Means != "" {
		beside = append(beside, a.Means)
	}
	beside = append(beside, d.findingMarks(a.Findings)...)
	row.Beside = strings.Join(beside, "; ")
	return row
}

// Remarks are the remarks of a row in the order of the page: what happened, what
// is struck through, what was found.
func (d *Day) Remarks(r *TrainRow) []string {
	var out []string
	for _, l := range [...]struct {
		leg  *block.Leg
		name string
	}{{&r.Train.In, "from"}, {&r.Train.Out, "for"}} {
		if l.leg.Cancelled != 0 {
			out = append(out, d.clockOrDate(l.leg.Cancelled)+" cancelled "+l.name+" "+d.LegName(*l.leg))
		}
		if l.leg.Offered != 0 && l.leg.Accepted == 0 && l.leg.Cancelled == 0 && l.leg.Entered == 0 {
			out = append(out, "not accepted "+l.name+" "+d.LegName(*l.leg))
		}
	}
	if since := calendar.Of(r.Train.OpenedAt, d.Zone); since != d.Date {
		out = append(out, "on hand since "+since.String()+" "+d.Clock(r.Train.OpenedAt))
	}
	for _, m := range r.Remarks {
		out = append(out, d.clockOrDate(m.At)+" "+m.Words)
	}
	for _, n := range r.Errors {
		out = append(out, fmt.Sprintf("ERROR entry %d", n))
	}
	return append(out, d.findingMarks(r.Findings)...)
}

// findingMarks are findings as the page marks them: severity, rule and entry, what
// it follows from and who explained it.
func (d *Day) findingMarks(found []block.Finding) []string {
	var out []string
	for _, f := range ByRoot(found) {
		where := append([]string{fmt.Sprintf("entry %d", f.Seq)}, d.standing(&f)...)
		out = append(out, fmt.Sprintf("%s: %s (%s)", f.Severity, f.Rule, strings.Join(where, ", ")))
	}
	return out
}
