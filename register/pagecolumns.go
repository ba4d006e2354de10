package register

import (
	"cmp"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
	"fairhand/register/sheet"
)

// pageColumn is a column of the register page, and of the trains as a table. A
// new one is one row of pageColumns; the desk and every printed form follow.
type pageColumn struct {
	sheet.Column
	cell func(v *rowView) string
	at   func(v *rowView) block.Time // of a column of times, instead of cell

	alone   bool   // only where each row stands for itself
	carried bool   // on a page only where drivers are given something to carry
	heading string // there, where it is another: no group stands over it
}

// The headings over the columns of the section a train comes by and of the one
// it goes by.
const (
	GroupBy  = "From the box in rear"
	GroupFor = "To the box in advance"
)

// pageColumns are the columns, from left to right. The shares fill the width of a
// printed page together, about 275.
var pageColumns = []pageColumn{
	{Column: sheet.Column{Key: "train", Head: "Train", Share: 17, Strong: true}, cell: (*rowView).train},
	{Column: sheet.Column{Key: "code", Head: "Code", Share: 12}, cell: (*rowView).description},
	{Column: sheet.Column{Key: "class", Head: "Class", Share: 12}, alone: true, cell: func(v *rowView) string { return v.row.Train.Class.String() }},
	{Column: sheet.Column{Key: "page", Head: "Page", Share: 7}, alone: true, cell: func(v *rowView) string { return v.row.Page }},
	{Column: sheet.Column{Key: "by", Group: GroupBy, Head: "By", Share: 19, Below: true, Lead: "from ", Beside: 5}, heading: "From", cell: func(v *rowView) string { return v.d.LegName(v.in) }},
	{Column: sheet.Column{Key: "by-offered", Group: GroupBy, Head: "Offered", Short: "Offd", Share: 10.5, Clock: true}, at: func(v *rowView) block.Time { return v.in.Offered }},
	{Column: sheet.Column{Key: "by-accepted", Group: GroupBy, Head: "Accepted", Short: "Accd", Share: 10.5, Clock: true}, at: func(v *rowView) block.Time { return v.in.Accepted }},
	{Column: sheet.Column{Key: "by-how", Group: GroupBy, Head: "How accepted", Short: "R", Share: 4, Mark: true}, heading: "R", cell: func(v *rowView) string { return howAccepted(v.in) }},
	{Column: sheet.Column{Key: "by-entering", Group: GroupBy, Head: "Entering", Short: "Ent", Share: 10.5, Clock: true}, at: func(v *rowView) block.Time { return v.in.Entering }},
	{Column: sheet.Column{Key: "arrived", Group: GroupBy, Head: "Arrived or passed", Short: "Arr", Share: 10.5, Clock: true}, at: func(v *rowView) block.Time { return v.in.Arrived }},
	{Column: sheet.Column{Key: "by-out", Group: GroupBy, Head: "Out of section given", Short: "Out", Share: 10.5, Clock: true}, at: func(v *rowView) block.Time { return v.in.OutOf }},
	{Column: sheet.Column{Key: "for", Group: GroupFor, Head: "For", Share: 19, Below: true, Lead: "for ", Beside: 5}, cell: func(v *rowView) string { return v.d.LegName(v.out) }},
	{Column: sheet.Column{Key: "for-offered", Group: GroupFor, Head: "Offered", Short: "Offd", Share: 10.5, Clock: true}, at: func(v *rowView) block.Time { return v.out.Offered }},
	{Column: sheet.Column{Key: "for-accepted", Group: GroupFor, Head: "Accepted", Short: "Accd", Share: 10.5, Clock: true}, at: func(v *rowView) block.Time { return v.out.Accepted }},
	{Column: sheet.Column{Key: "for-how", Group: GroupFor, Head: "How accepted", Short: "R", Share: 4, Mark: true}, heading: "R", cell: func(v *rowView) string { return howAccepted(v.out) }},
	{Column: sheet.Column{Key: "departed", Group: GroupFor, Head: "Departed or passed", Short: "Dep", Share: 10.5, Clock: true}, at: func(v *rowView) block.Time { return v.departed }},
	{Column: sheet.Column{Key: "for-entering", Group: GroupFor, Head: "Entering", Short: "Ent", Share: 10.5, Clock: true}, at: func(v *rowView) block.Time { return v.out.Entering }},
	{Column: sheet.Column{Key: "for-out", Group: GroupFor, Head: "Out of section", Short: "Out", Share: 10.5, Clock: true}, at: func(v *rowView) block.Time { return v.out.OutOf }},
	{Column: sheet.Column{Key: "token", Head: "Token", Share: 22, Below: true, Lead: "token "}, carried: true, cell: (*rowView).token},
	{Column: sheet.Column{Key: "place", Head: "Place", Share: 20, Below: true, Lead: "at "}, cell: func(v *rowView) string { return strings.Join(v.places, ", ") }},
	{Column: sheet.Column{Key: "remarks", Head: "Remarks", Share: 52, Below: true}, cell: func(v *rowView) string { return strings.Join(v.remarks, "; ") }},
}

// columns are the columns of the pages, or of the trains as a table.
func (d *Day) columns(alone bool) []sheet.Column {
	var out []sheet.Column
	for _, c := range pageColumns {
		if !d.has(&c, alone) {
			continue
		}
		if alone {
			c.Head, c.Group = cmp.Or(c.heading, c.Head), ""
		}
		c.Implied = c.Beside > 0 && len(d.Box.Sections) <= 2 // the side of the page tells which neighbour is which
		out = append(out, c.Column)
	}
	return out
}

// has says whether a column stands on the pages, or in the trains as a table.
func (d *Day) has(c *pageColumn, alone bool) bool {
	if !c.carried || alone {
		return !c.alone || alone
	}
	return slices.ContainsFunc(d.Box.Sections, func(s block.Section) bool { return s.Method.Is().Carries != rulebook.CarriesNothing }) ||
		slices.ContainsFunc(d.Rows, func(r TrainRow) bool { return len(r.Tokens) > 0 })
}

// PageLegend explains the signs used on the page.
var PageLegend = []string{
	"R line clear under restricted acceptance; (23:55) a time of another date; * the hour shown for the second time after the clocks went back.",
	"An entry between ~ ~ is struck through: the first entry stays readable, and what stands instead is beside it.",
}

func howAccepted(l block.Leg) string {
	if l.Restricted {
		return "R"
	}
	return ""
}

// rowView is what one line of the page shows of a row.
type rowView struct {
	d        *Day
	row      *TrainRow
	in, out  block.Leg
	code     rulebook.Code
	departed block.Time
	tokens   []Remark
	places   []string
	remarks  []string
	alone    bool // in a table in which each row stands for itself
}

// description is the beats the train was described by; words describe none.
func (v *rowView) description() string {
	if v.code.Spoken() {
		return ""
	}
	return string(v.code)
}

func (v *rowView) train() string {
	if v.alone {
		return v.row.Train.Label(v.d.Box)
	}
	return cmp.Or(v.row.Train.Name, "unnamed")
}

func (v *rowView) token() string {
	at := v.d.clockOrDate
	if v.alone {
		at = v.d.clockAlone
	}
	return each.Joined(v.tokens, ", ", func(t Remark) string { return t.Words + " " + at(t.At) })
}
