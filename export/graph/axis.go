package graph

import (
	"maps"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
)

// Row is a part of the distance axis: a section or the station between them.
// Tops and bottoms are shares of the whole axis, 0 at the top.
type Row struct {
	Name        string // of the neighbour, or of the box
	Section     int    // index in the box; -1 for the station
	Top, Bottom float64
	Lanes       []Lane // occupation of each line of a section; where trains stand in the station
}

// Lane is a strip of the axis for one line of a section or one place of the station.
type Lane struct {
	Name        string
	Line        int // index into block.State.Lines; -1 for a place
	Top, Bottom float64
}

func (l Lane) middle() float64 { return (l.Top + l.Bottom) / 2 }

// Shares of the axis. A section gets of the rest what its regular running time
// is of that of all: the register knows no distances.
const (
	laneShare  = 0.030
	placeShare = 0.034
	edgeShare  = 0.012 // between a place and the section beside it
)

// axis knows where on the graph a section, a line and a place are.
type axis struct {
	rows    []Row
	station int         // its index in rows
	at      map[int]int // section: index in rows
	below   map[int]bool
}

// newAxis puts the sections that trains go to as down trains above the station
// and the others below, as the down page is left of the up page in the book.
func newAxis(d *register.Day) *axis {
	a := &axis{at: map[int]int{}, below: map[int]bool{}}
	var order []int // -1 for the station
	for i, s := range d.Box.Sections {
		if s.Towards == "down" {
			order = slices.Insert(order, 0, i)
		}
	}
	order = append(order, -1)
	for i, s := range d.Box.Sections {
		if s.Towards != "down" {
			a.below[i] = true
			order = append(order, i)
		}
	}
	places := placesUsed(d)
	fixed := placeShare*float64(max(len(places), 1)) + 2*edgeShare + laneShare*float64(len(d.Box.Lines()))
	all := block.Time(0)
	for i := range d.Box.Sections {
		all += runningTime(d.Box, i)
	}
	y := 0.0
	for n, i := range order {
		if i < 0 {
			a.station = n
			a.rows = append(a.rows, stationRow(d.Box, places, &y))
			continue
		}
		a.at[i] = n
		length := (1 - fixed) * float64(runningTime(d.Box, i)) / float64(all)
		a.rows = append(a.rows, a.sectionRow(d.Box, i, length, &y))
	}
	return a
}

func runningTime(b *block.Box, section int) block.Time {
	return max(b.Running(section, rulebook.Passenger), block.Minute)
}

// placesUsed are the places where trains stood on the day or are booked to
// stand, in the order of the box file; one without a name stands for all others.
func placesUsed(d *register.Day) []string {
	used := map[string]bool{}
	for i := range d.Rows {
		for _, p := range d.Rows[i].Places {
			used[p] = true
		}
	}
	for _, t := range d.Timetable {
		used[t.Place] = true
	}
	delete(used, "")
	var out []string
	for _, p := range d.Box.Places {
		if used[p.Name] {
			out = append(out, p.Name)
			delete(used, p.Name)
		}
	}
	return append(out, slices.Sorted(maps.Keys(used))...) // written in the book and not known to the box file
}

func stationRow(b *block.Box, places []string, y *float64) Row {
	r := Row{Name: b.Name, Section: -1, Top: *y}
	*y += edgeShare
	if len(places) == 0 {
		places = []string{""}
	}
	for _, p := range places {
		r.Lanes = append(r.Lanes, Lane{p, -1, *y, *y + placeShare})
		*y += placeShare
	}
	*y += edgeShare
	r.Bottom = *y
	return r
}

// sectionRow lays out a section with the lanes of its lines at the neighbour's end.
func (a *axis) sectionRow(b *block.Box, i int, length float64, y *float64) Row {
	r := Row{Name: b.Sections[i].Neighbour, Section: i, Top: *y}
	if a.below[i] {
		*y += length
	}
	for _, l := range b.Lines() {
		if l.Section == i {
			r.Lanes = append(r.Lanes, Lane{l.Line.Name, l.Index, *y, *y + laneShare})
			*y += laneShare
		}
	}
	if !a.below[i] {
		*y += length
	}
	r.Bottom = *y
	return r
}

// far and near are the ends of a section: at the neighbour and at this box.
func (a *axis) far(section int) float64 {
	r := &a.rows[a.at[section]]
	if a.below[section] {
		return r.Lanes[0].Top
	}
	return r.Lanes[len(r.Lanes)-1].Bottom
}

func (a *axis) near(section int) float64 {
	r := &a.rows[a.at[section]]
	if a.below[section] {
		return r.Top
	}
	return r.Bottom
}

// place is where a train stands; one without a name is in the middle.
func (a *axis) place(name string) float64 {
	s := &a.rows[a.station]
	for _, l := range s.Lanes {
		if l.Name == name {
			return l.middle()
		}
	}
	return (s.Top + s.Bottom) / 2
}
