// Package graph draws the train graph of a register day: distance against time
// as one box sees it, a line a train.
//
// Of works out where everything is, once; SVG and Text draw it, and so does the
// PDF of package export. A line is recorded where both its ends are times of the
// book: in the section a train came by from entering section to its arrival, in
// the one it went by from its departure to out of section, which comes a little
// after the train has cleared the section. Where an end is missing the line is
// assumed at the regular running time, and drawn as such.
package graph

import (
	"cmp"
	"iter"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/each"
)

// Graph is a day, laid out. Times are moments, Y are shares of the axis.
type Graph struct {
	Day      *register.Day
	From, To block.Time // whole hours
	Rows     []Row      // of the axis, from the top
	Trains   []Train
	Booked   []Train // the timetable, when the day has one
	Bands    []Band
	Marks    []Mark
}

// Train is the line of a train.
type Train struct {
	Name  string
	Side  string // up, down, or empty when the direction is not known
	Class rulebook.Class
	Runs  []Run
}

// Run is a piece of a train's line.
type Run struct {
	Points  []Point
	Section int  // -1 for standing here
	Assumed bool // an end of it is not recorded
}

// Point is somewhere on the graph.
type Point struct {
	At block.Time
	Y  float64
}

// Band is the use of a line of a section by one train.
type Band struct {
	Train    string
	Line     int // index into block.State.Lines
	From, To block.Time
	Occupied bool // train in section; else line clear was held
	Open     bool // it did not end on this day
}

// Mark is a finding where it happened.
type Mark struct {
	Point
	Number   int // from 1, its place in the day's findings
	Severity rulebook.Severity
	Rule     rulebook.RuleID
	Train    string // label of the row it is about, empty for none
}

// Of lays out a day.
func Of(d *register.Day) *Graph {
	a := newAxis(d)
	g := &Graph{Day: d, Rows: a.rows}
	g.From, g.To = hours(d)
	w := worker{g: g, axis: a, d: d, now: min(max(d.Ended.Now, g.From), g.To), entries: map[int64]*register.Entry{}}
	for i := range d.Entries {
		w.entries[d.Entries[i].Seq] = &d.Entries[i]
	}
	for i := range d.Rows {
		g.Trains = append(g.Trains, w.train(&d.Rows[i]))
		w.bands(&d.Rows[i])
	}
	for i := range d.Timetable {
		if t, ok := w.booked(&d.Timetable[i]); ok {
			g.Booked = append(g.Booked, t)
		}
	}
	w.marks()
	return g
}

// hours are the whole hours that hold the entries of the day.
func hours(d *register.Day) (from, to block.Time) {
	for i := range d.Entries {
		at := d.Entries[i].Event.At
		if i == 0 || at < from {
			from = at
		}
		to = max(to, at)
	}
	const hour = 3600
	from -= (from%hour + hour) % hour
	return from, max(to+(hour-(to%hour+hour)%hour)%hour, from+hour)
}

// Lane finds the strip of a line of a section.
func (g *Graph) Lane(line int) (Lane, bool) {
	for _, r := range g.Rows {
		for _, l := range r.Lanes {
			if l.Line == line && line >= 0 {
				return l, true
			}
		}
	}
	return Lane{}, false
}

// worker lays out the trains of a day.
type worker struct {
	g       *Graph
	axis    *axis
	d       *register.Day
	now     block.Time // until when the day is told
	entries map[int64]*register.Entry
}

func (w *worker) train(r *register.TrainRow) Train {
	t := &r.Train
	out := Train{Name: t.Label(w.d.Box), Side: r.Page, Class: t.Class}
	here := w.standing(r)
	departed := cmp.Or(r.Departed, t.Out.Entered)
	if t.In.Section >= 0 && t.In.Entered != 0 {
		end := cmp.Or(t.In.Arrived, departed)
		from := Point{cmp.Or(t.In.Entering, t.In.Entered), w.axis.far(t.In.Section)}
		out.Runs = append(out.Runs, w.through(from, Point{end, w.axis.near(t.In.Section)}, t.In))
		if end != 0 {
			here = slices.Insert(here, 0, Point{end, w.axis.near(t.In.Section)})
		}
	}
	if t.Out.Section >= 0 && departed != 0 {
		near := w.axis.near(t.Out.Section)
		if n := len(here); n > 0 && here[n-1].Y != near && here[n-1].At < departed {
			here = append(here, Point{departed, here[n-1].Y})
		}
		here = append(here, Point{departed, near})
	} else if n := len(here); n > 0 && t.Where != block.Gone && here[n-1].At < w.now {
		here = append(here, Point{w.now, here[n-1].Y})
	} else if n > 0 && len(r.Entries) > 0 {
		if last := w.entries[r.Entries[len(r.Entries)-1]]; last != nil && last.Event.At > here[n-1].At {
			here = append(here, Point{last.Event.At, here[n-1].Y})
		}
	}
	if len(here) > 1 {
		out.Runs = append(out.Runs, Run{Points: here, Section: -1})
	}
	if t.Out.Section >= 0 && departed != 0 {
		from := Point{departed, w.axis.near(t.Out.Section)}
		out.Runs = append(out.Runs, w.through(from, Point{t.Out.OutOf, w.axis.far(t.Out.Section)}, t.Out))
	}
	return out
}

// through is the line through a section. When its end is not recorded it is
// assumed: at out of section, else at the regular running time, and only so far
// as the day has been told.
func (w *worker) through(from, to Point, l block.Leg) Run {
	r := Run{Section: l.Section, Points: []Point{from, to}}
	if to.At >= from.At && to.At != 0 {
		return r
	}
	r.Assumed = true
	to.At = cmp.Or(l.OutOf, from.At+w.d.Box.Running(l.Section, rulebook.Passenger))
	to.At = max(to.At, from.At)
	if told := max(w.now, from.At); to.At > told {
		to.Y = from.Y + (to.Y-from.Y)*float64(told-from.At)/float64(to.At-from.At)
		to.At = told
	}
	r.Points[1] = to
	return r
}

// standing are the moves of a train within the station.
func (w *worker) standing(r *register.TrainRow) []Point {
	var out []Point
	for _, n := range r.Entries {
		e := w.entries[n]
		if e == nil {
			continue
		}
		ev := &e.Event
		switch ev.Kind {
		case block.TrainArrived, block.TrainMoved:
			y := w.axis.place(ev.Place)
			if k := len(out); k > 0 && out[k-1].Y != y {
				out = append(out, Point{ev.At, out[k-1].Y})
			}
			out = append(out, Point{ev.At, y})
		}
	}
	if len(out) == 0 && r.Train.In.Section < 0 && r.Train.Place != "" {
		out = append(out, Point{r.Train.OpenedAt, w.axis.place(r.Train.Place)})
	}
	return out
}

// bands are the times a train held line clear on a line and was in its section.
func (w *worker) bands(r *register.TrainRow) {
	legs := append([]block.Leg{r.Train.In, r.Train.Out}, each.Of(r.Earlier, func(p register.PastLeg) block.Leg { return p.Leg })...)
	name := r.Train.Label(w.d.Box)
	for _, l := range legs {
		if l.Section < 0 || l.Line < 0 {
			continue
		}
		end := cmp.Or(l.OutOf, l.Cancelled)
		if l.Accepted != 0 {
			w.band(Band{Train: name, Line: l.Line, From: l.Accepted, To: cmp.Or(l.Entered, end)})
		}
		if l.Entered != 0 {
			w.band(Band{Train: name, Line: l.Line, From: l.Entered, To: end, Occupied: true})
		}
	}
}

func (w *worker) band(b Band) {
	if b.To == 0 {
		b.To, b.Open = max(w.now, b.From), true
	}
	if b.To > b.From {
		w.g.Bands = append(w.g.Bands, b)
	}
}

// booked is the line of a train of the timetable, with the regular running
// times; ok is false for one outside the hours of the graph.
func (w *worker) booked(b *register.Booked) (t Train, ok bool) {
	t = Train{Name: b.Train, Class: rulebook.Passenger}
	var p []Point
	add := func(at block.Time, y float64) { p = append(p, Point{at, y}) }
	arrive, depart := w.d.BookedAt(b.Arrive), w.d.BookedAt(b.Depart)
	if i := w.d.Box.SectionIndex(b.From); i >= 0 && arrive != 0 {
		add(arrive-runningTime(w.d.Box, i), w.axis.far(i))
		add(arrive, w.axis.near(i))
	}
	if arrive != 0 {
		add(arrive, w.axis.place(b.Place))
	}
	if depart != 0 {
		add(depart, w.axis.place(b.Place))
	}
	if i := w.d.Box.SectionIndex(b.To); i >= 0 && depart != 0 {
		add(depart, w.axis.near(i))
		add(depart+runningTime(w.d.Box, i), w.axis.far(i))
	}
	if len(p) < 2 || p[len(p)-1].At <= w.g.From || p[0].At >= w.g.To {
		return t, false
	}
	t.Runs = []Run{{Points: p, Section: -1}}
	return t, true
}

// marks puts each finding on the line of the train it is about, at its time;
// else into its section, else at the station.
func (w *worker) marks() {
	type key struct {
		rule rulebook.RuleID
		seq  int64
	}
	row := map[key]int{}
	for i := range w.d.Rows {
		for _, f := range w.d.Rows[i].Findings {
			row[key{f.Rule, f.Seq}] = i + 1
		}
	}
	for i := range w.d.Findings {
		f := &w.d.Findings[i]
		if f.At < w.g.From || f.At > w.g.To {
			continue
		}
		m := Mark{Number: i + 1, Severity: f.Severity, Rule: f.Rule, Point: Point{f.At, w.axis.place("")}}
		section := w.d.Box.SectionIndex(f.Section)
		if section >= 0 {
			m.Y = (w.axis.near(section) + w.axis.far(section)) / 2
		}
		if n := row[key{f.Rule, f.Seq}]; n > 0 {
			m.Train = w.g.Trains[n-1].Name
			if y, on := w.g.Trains[n-1].where(f.At, section); on {
				m.Y = y
			}
		}
		w.g.Marks = append(w.g.Marks, m)
	}
}

// where is the train at a moment; a run in the section asked for comes first.
func (t *Train) where(at block.Time, section int) (y float64, on bool) {
	for _, r := range t.Runs {
		if r.Points[0].At > at || r.Points[len(r.Points)-1].At < at || on && r.Section != section {
			continue
		}
		y, on = r.at(at), true
	}
	return y, on
}

// Strokes are the straight pieces of a run, each from a point to the next.
func (r *Run) Strokes() iter.Seq2[Point, Point] {
	return func(yield func(from, to Point) bool) {
		for i := 1; i < len(r.Points) && yield(r.Points[i-1], r.Points[i]); i++ {
		}
	}
}

// at is where the run is at a moment within it.
func (r *Run) at(at block.Time) float64 {
	for p, q := range r.Strokes() {
		if at <= q.At {
			if q.At == p.At {
				return q.Y
			}
			return p.Y + (q.Y-p.Y)*float64(at-p.At)/float64(q.At-p.At)
		}
	}
	return r.Points[len(r.Points)-1].Y
}
