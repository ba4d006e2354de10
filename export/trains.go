package export

import (
	"strings"

	"fairhand/block"
	"fairhand/register"
)

// trainColumn is a column of the trains where they are a table in which each
// line stands for itself: every time has its hour.
type trainColumn struct {
	head  string
	width float64
	value func(d *register.Day, r *register.TrainRow) string
}

func legTime(in bool, at func(l *block.Leg) block.Time) func(*register.Day, *register.TrainRow) string {
	return func(d *register.Day, r *register.TrainRow) string {
		if in {
			return clockOf(d, at(&r.Train.In))
		}
		return clockOf(d, at(&r.Train.Out))
	}
}

func offered(l *block.Leg) block.Time  { return l.Offered }
func accepted(l *block.Leg) block.Time { return l.Accepted }
func entering(l *block.Leg) block.Time { return l.Entering }
func arrived(l *block.Leg) block.Time  { return l.Arrived }
func outOf(l *block.Leg) block.Time    { return l.OutOf }

func restricted(l block.Leg) string {
	if l.Restricted {
		return "R"
	}
	return ""
}

// trainColumns are the columns of the trains.
var trainColumns = []trainColumn{
	{"Train", 16, func(d *register.Day, r *register.TrainRow) string { return r.Train.Label(d.Box) }},
	{"Code", 8, func(_ *register.Day, r *register.TrainRow) string { return string(r.Train.Code) }},
	{"Class", 12, func(_ *register.Day, r *register.TrainRow) string { return r.Train.Class.String() }},
	{"Page", 7, func(_ *register.Day, r *register.TrainRow) string { return r.Page }},
	{"From", 22, func(d *register.Day, r *register.TrainRow) string { return d.LegName(r.Train.In) }},
	{"Offered", 9, legTime(true, offered)}, {"Accepted", 9, legTime(true, accepted)},
	{"R", 4, func(_ *register.Day, r *register.TrainRow) string { return restricted(r.Train.In) }},
	{"Entering", 9, legTime(true, entering)}, {"Arrived or passed", 10, legTime(true, arrived)}, {"Out of section given", 11, legTime(true, outOf)},
	{"For", 22, func(d *register.Day, r *register.TrainRow) string { return d.LegName(r.Train.Out) }},
	{"Offered", 9, legTime(false, offered)}, {"Accepted", 9, legTime(false, accepted)},
	{"R", 4, func(_ *register.Day, r *register.TrainRow) string { return restricted(r.Train.Out) }},
	{"Departed or passed", 10, func(d *register.Day, r *register.TrainRow) string { return clockOf(d, r.Departed) }},
	{"Entering", 9, legTime(false, entering)}, {"Out of section", 9, legTime(false, outOf)},
	{"Token", 26, func(d *register.Day, r *register.TrainRow) string {
		var out []string
		for _, t := range r.Tokens {
			out = append(out, t.Words+" "+clockOf(d, t.At))
		}
		return strings.Join(out, ", ")
	}},
	{"Place", 18, func(_ *register.Day, r *register.TrainRow) string { return strings.Join(r.Places, ", ") }},
	{"Remarks", 60, func(d *register.Day, r *register.TrainRow) string { return strings.Join(d.Remarks(r), "; ") }},
}

// clockOf is a time as the page rounds it, with the date when it is another
// day's; nothing for one that was not recorded.
func clockOf(d *register.Day, at block.Time) string {
	if at == 0 {
		return ""
	}
	if date := stamp(d, at)[:10]; date != register.DateText(d.Date) {
		return date + " " + d.Clock(at)
	}
	return d.Clock(at)
}

func (b *workbook) trains() {
	var cols []sheetColumn
	for _, c := range trainColumns {
		cols = append(cols, sheetColumn{c.head, c.width, false})
	}
	b.sheet("Trains", cols)
	for i := range b.d.Rows {
		var values []string
		for _, c := range trainColumns {
			values = append(values, c.value(b.d, &b.d.Rows[i]))
		}
		b.line(cols, values)
	}
}
