package register

import (
	"cmp"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// PageColumn is a column of the register page.
type PageColumn struct {
	Key   string // stable name, used as a name in exports
	Group string // heading over several columns: By (in rear), For (in advance)
	Head  string // heading
	Short string // heading of at most five letters
	Clock bool   // holds times
	cell  func(v *rowView) string
	at    func(v *rowView) block.Time
}

// The headings over the columns of the section a train comes by and of the one
// it goes by.
const (
	GroupBy  = "From the box in rear"
	GroupFor = "To the box in advance"
)

// pageColumns are the columns of the page, from left to right.
var pageColumns = []PageColumn{
	{Key: "train", Head: "Train", Short: "Train", cell: func(v *rowView) string { return cmp.Or(v.row.Train.Name, "unnamed") }},
	{Key: "code", Head: "Code", Short: "Code", cell: func(v *rowView) string { return string(v.code) }},
	{Key: "by", Group: GroupBy, Head: "By", Short: "By", cell: func(v *rowView) string { return v.d.LegName(v.in) }},
	{Key: "by-offered", Group: GroupBy, Head: "Offered", Short: "Offd", Clock: true, at: func(v *rowView) block.Time { return v.in.Offered }},
	{Key: "by-accepted", Group: GroupBy, Head: "Accepted", Short: "Accd", Clock: true, at: func(v *rowView) block.Time { return v.in.Accepted }},
	{Key: "by-how", Group: GroupBy, Head: "How accepted", Short: "", cell: func(v *rowView) string { return howAccepted(v.in) }},
	{Key: "by-entering", Group: GroupBy, Head: "Entering", Short: "Ent", Clock: true, at: func(v *rowView) block.Time { return v.in.Entering }},
	{Key: "arrived", Group: GroupBy, Head: "Arrived or passed", Short: "Arr", Clock: true, at: func(v *rowView) block.Time { return v.in.Arrived }},
	{Key: "by-out", Group: GroupBy, Head: "Out of section given", Short: "Out", Clock: true, at: func(v *rowView) block.Time { return v.in.OutOf }},
	{Key: "for", Group: GroupFor, Head: "For", Short: "For", cell: func(v *rowView) string { return v.d.LegName(v.out) }},
	{Key: "for-offered", Group: GroupFor, Head: "Offered", Short: "Offd", Clock: true, at: func(v *rowView) block.Time { return v.out.Offered }},
	{Key: "for-accepted", Group: GroupFor, Head: "Accepted", Short: "Accd", Clock: true, at: func(v *rowView) block.Time { return v.out.Accepted }},
	{Key: "for-how", Group: GroupFor, Head: "How accepted", Short: "", cell: func(v *rowView) string { return howAccepted(v.out) }},
	{Key: "departed", Group: GroupFor, Head: "Departed or passed", Short: "Dep", Clock: true, at: func(v *rowView) block.Time { return v.departed }},
	{Key: "for-entering", Group: GroupFor, Head: "Entering", Short: "Ent", Clock: true, at: func(v *rowView) block.Time { return v.out.Entering }},
	{Key: "for-out", Group: GroupFor, Head: "Out of section", Short: "Out", Clock: true, at: func(v *rowView) block.Time { return v.out.OutOf }},
	{Key: "token", Head: "Token", Short: "Token", cell: func(v *rowView) string { return v.tokens }},
	{Key: "place", Head: "Place", Short: "Place", cell: func(v *rowView) string { return v.places }},
	{Key: "remarks", Head: "Remarks", Short: "Remarks", cell: func(v *rowView) string { return strings.Join(v.remarks, "; ") }},
}

// PageColumns lists the columns of the page, from left to right.
func PageColumns() []PageColumn { return slices.Clone(pageColumns) }

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
	tokens   string
	places   string
	remarks  []string
}
