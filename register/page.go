package register

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/reading"
)

// PageKind says what a line of a page is.
type PageKind uint8

// The kinds of line.
const (
	TrainLine  PageKind = iota // a train, one cell for each column
	PastLine                   // what was signalled for the train below and did not remain, in cells
	AcrossPage                 // an entry across the page: Clock, Text and Beside
)

// PageLine is one line, ready to show.
type PageLine struct {
	Kind    PageKind
	Cells   []string // for each of PageColumns; nil across the page
	Clock   string   // across the page: the time
	Text    string   // across the page: the entry
	Struck  bool     // Text is to be shown struck through
	Beside  string   // across the page: ERROR and what stands instead, meaning, findings
	Entries []int64  // the entries it shows

	Found    bool              // there are findings about it
	Severity rulebook.Severity // the gravest of them
}

// Page is one page: trains of one direction, and between them in order of time
// what is written across both pages of the open book.
type Page struct {
	Side   string // up, down, or empty for trains whose direction is not known
	Title  string
	Number int // from 1
	Of     int
	Lines  []PageLine
}

var pageTitles = []struct{ side, title string }{
	{"down", "Down page"}, {"up", "Up page"}, {"", "Direction not known"},
}

// Pages lays the day out, at most so many lines to a page; with 0 each
// direction is one page. A time has its hour for the first in each hour of its
// column and at the top of each page. Down comes before up, as left before right
// in the books of British Railways (janfordsworld.blogspot.com, form 24847).
func (d *Day) Pages(lines int) []Page {
	return d.PagesBy(float64(lines), func(*PageLine) float64 { return 1 })
}

// PagesBy is Pages for lines of differing heights: a page takes lines for as
// long as their heights fit the room, and at least one. With no room each
// direction is one page. The height of a line must not depend on whether a time
// shows its hour.
func (d *Day) PagesBy(room float64, height func(*PageLine) float64) []Page {
	var pages []Page
	for _, side := range pageTitles {
		views := d.views(side.side)
		if !slices.ContainsFunc(d.Rows, func(r TrainRow) bool { return r.Page == side.side }) && !(side.side == "" && len(pages) == 0) {
			continue
		}
		for first := true; first || len(views) > 0; first = false {
			lines := d.layOut(views, room, height)
			pages = append(pages, Page{Side: side.side, Title: side.title, Lines: lines})
			views = views[len(lines):]
		}
	}
	for i := range pages {
		pages[i].Number, pages[i].Of = i+1, len(pages)
	}
	return pages
}

// view is a line before its times are written.
type view struct {
	at     block.Time
	row    *rowView
	past   bool
	across *AcrossLine
}

// views are the lines of one side of the book, in order of time.
func (d *Day) views(side string) []view {
	var out []view
	for i := range d.Rows {
		r := &d.Rows[i]
		if r.Page != side {
			continue
		}
		for j := range r.Earlier {
			out = append(out, view{at: r.Train.OpenedAt, row: d.pastView(r, &r.Earlier[j]), past: true})
		}
		out = append(out, view{at: r.Train.OpenedAt, row: d.trainView(r)})
	}
	for i := range d.Across {
		out = append(out, view{at: d.Across[i].At, across: &d.Across[i]})
	}
	slices.SortStableFunc(out, func(a, b view) int { return cmp.Compare(a.at, b.at) })
	return out
}

func (d *Day) trainView(r *TrainRow) *rowView {
	v := &rowView{d: d, row: r, in: r.Train.In, out: r.Train.Out, code: r.Train.Code, departed: r.Departed,
		places: strings.Join(r.Places, ", "), remarks: d.Remarks(r)}
	var tokens []string
	for _, t := range r.Tokens {
		tokens = append(tokens, t.Words+" "+d.clockOrDate(t.At))
	}
	v.tokens = strings.Join(tokens, ", ")
	return v
}

func (d *Day) pastView(r *TrainRow, p *PastLeg) *rowView {
	none := block.Leg{Section: -1, Line: -1}
	v := &rowView{d: d, row: r, in: p.Leg, out: none, code: p.Code}
	if p.Dir == block.Outward {
		v.in, v.out = none, p.Leg
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

// layOut writes the lines of one page, as many of the views as fit the room.
func (d *Day) layOut(views []view, room float64, height func(*PageLine) float64) []PageLine {
	hours := make([]column, len(pageColumns)+1) // the last for entries across the page
	lines := make([]PageLine, 0, len(views))
	left := room
	for i := range views {
		l := d.pageLine(&views[i], hours)
		if left -= height(&l); room > 0 && left < 0 && i > 0 {
			break
		}
		lines = append(lines, l)
	}
	return lines
}

func (d *Day) pageLine(v *view, hours []column) PageLine {
	if v.across != nil {
		return d.acrossPage(v.across, &hours[len(pageColumns)])
	}
	l := PageLine{Kind: TrainLine, Cells: make([]string, len(pageColumns)), Entries: v.row.row.Entries}
	for i := range pageColumns {
		c := &pageColumns[i]
		if c.Clock {
			l.Cells[i] = d.cell(c.at(v.row), &hours[i])
		} else {
			l.Cells[i] = c.cell(v.row)
		}
	}
	if v.past {
		l.Kind = PastLine
	} else {
		l.mark(v.row.row.Findings)
	}
	return l
}

func (l *PageLine) mark(found []block.Finding) {
	for _, f := range found {
		l.Found = true
		l.Severity = max(l.Severity, f.Severity)
	}
}

// cell writes a time in its column; times of another date stand in brackets.
func (d *Day) cell(at block.Time, hour *column) string {
	switch {
	case at == 0:
		return ""
	case reading.DayOf(at, d.Zone) != d.Date:
		return d.clockOrDate(at)
	}
	return hour.show(wallOf(at, d.Zone, d.Box.Rounding))
}

func (d *Day) clockOrDate(at block.Time) string {
	if reading.DayOf(at, d.Zone) != d.Date {
		return "(" + d.Clock(at) + ")"
	}
	return d.Clock(at)
}

func (d *Day) acrossPage(a *AcrossLine, hour *column) PageLine {
	l := PageLine{Kind: AcrossPage, Clock: d.cell(a.At, hour), Text: a.Text, Struck: a.Struck, Entries: []int64{a.Seq}}
	var beside []string
	if a.Struck {
		beside = append(beside, fmt.Sprintf("ERROR entry %d, corrected by entry %d: %s", a.Seq, a.By, a.Instead))
	}
	if a.Means != "" {
		beside = append(beside, a.Means)
	}
	beside = append(beside, d.findingMarks(a.Findings)...)
	l.Beside = strings.Join(beside, "; ")
	l.mark(a.Findings)
	return l
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
	if reading.DayOf(r.Train.OpenedAt, d.Zone) != d.Date {
		out = append(out, "on hand since "+DateText(reading.DayOf(r.Train.OpenedAt, d.Zone))+" "+d.Clock(r.Train.OpenedAt))
	}
	for _, m := range r.Remarks {
		out = append(out, d.clockOrDate(m.At)+" "+m.Words)
	}
	for _, n := range r.Errors {
		out = append(out, fmt.Sprintf("ERROR entry %d", n))
	}
	return append(out, d.findingMarks(r.Findings)...)
}

// findingMarks are findings as the page marks them: severity, rule and entry.
func (d *Day) findingMarks(found []block.Finding) []string {
	var out []string
	for _, f := range found {
		out = append(out, fmt.Sprintf("%s: %s (entry %d)", f.Severity, f.Rule, f.Seq))
	}
	return out
}

// FindingLines are a finding in full for a list: what, what was expected, why it
// may be relied on.
func FindingLines(f *block.Finding) []string {
	out := []string{fmt.Sprintf("%s %s: %s", f.Severity, f.Rule, f.Text)}
	if f.Expected != "" {
		out = append(out, "expected: "+f.Expected)
	}
	if len(f.Rests) > 0 {
		rests := strings.Trim(fmt.Sprint(f.Rests), "[]")
		out = append(out, "rests on entries "+strings.ReplaceAll(rests, " ", ", "))
	}
	if f.Ref != "" {
		out = append(out, "source: "+f.Ref)
	}
	return out
}

// Foot is the foot of every page and export: what proves the day, and what the
// register is not.
func (d *Day) Foot() []string {
	var out []string
	if d.Last.Hash != d.Head.Hash {
		out = append(out,
			fmt.Sprintf("Last entry of the day: %d, %s", d.Last.Seq, d.Last.Hash),
			fmt.Sprintf("Register read up to entry %d, %s", d.Head.Seq, d.Head.Hash))
	} else {
		out = append(out, fmt.Sprintf("Last entry: %d, %s", d.Last.Seq, d.Last.Hash))
	}
	if d.Seal != nil {
		out = append(out, d.Seal.Says)
	}
	return append(out, Caution)
}
