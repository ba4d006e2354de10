package audit

import (
	"cmp"
	"slices"

	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/reading"
)

// OfDay gives the figures and the occupation of one day that is already read,
// with its timetable if it has one: those that Run gives for that day alone, as
// the book stood at its last entry.
func OfDay(d *register.Day) (Figures, Occupation) {
	f := newFigures(subject{box: d.Box, zone: d.Zone}, Options{Timetable: Booked(d.Timetable, d.Zone)}, &d.Began, map[calendar.Day]bool{d.Date: true})
	run := reading.NewReplay(d.BeganUnder, d.Began)
	list := append(slices.Clone(d.Entries), d.Between...)
	slices.SortFunc(list, func(a, b register.Entry) int { return cmp.Compare(a.Seq, b.Seq) })
	written := func(yield func(*reading.Entry, error) bool) {
		for i := range list {
			if !yield(&list[i].Entry, nil) {
				return
			}
		}
	}
	for e := range run.Ordered(written) {
		run.Take(e)
		f.take(e, e.Day == d.Date, run.Look())
	}
	return f.report(), f.occupation(run.Look())
}
