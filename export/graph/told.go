package graph

import (
	"fairhand/register/each"
	"fairhand/register/sheet"
)

// Told is a graph for programs: moments are RFC 3339 with the offset of the box's
// zone, y is a share of the axis from its top.
type Told struct {
	Box      string        `json:"box"`
	Date     string        `json:"date"`
	From     string        `json:"from"` // whole hours
	To       string        `json:"to"`
	Axis     []ToldRow     `json:"axis"` // from the top
	Trains   []ToldTrain   `json:"trains"`
	Booked   []ToldTrain   `json:"booked"` // in the timetable
	Bands    []ToldBand    `json:"bands"`
	Findings []ToldMark    `json:"findings"`
	Alarms   []sheet.Alarm `json:"alarms,omitempty"`
}

// ToldRow is a section, or the station, on the axis.
type ToldRow struct {
	Name   string  `json:"name"`
	Here   bool    `json:"here"` // the station
	Top    float64 `json:"top"`
	Bottom float64 `json:"bottom"`
}

// ToldTrain is the line of a train.
type ToldTrain struct {
	Train string    `json:"train"`
	Side  string    `json:"side"` // up, down, or empty when the direction is not known
	Class string    `json:"class"`
	Runs  []ToldRun `json:"runs"`
}

// ToldRun is a piece of a train's line.
type ToldRun struct {
	Section string      `json:"section"` // empty: standing here
	Assumed bool        `json:"assumed"` // an end of it is not recorded
	Points  []ToldPoint `json:"points"`
}

// ToldPoint is somewhere on the graph.
type ToldPoint struct {
	At string  `json:"at"`
	Y  float64 `json:"y"`
}

// ToldBand is the use of a line by one train.
type ToldBand struct {
	Train    string `json:"train"`
	Line     string `json:"line"`
	From     string `json:"from"`
	To       string `json:"to"`
	Occupied bool   `json:"occupied"` // train in section; else line clear was held
	Open     bool   `json:"open"`     // it did not end on this day
}

// ToldMark is a finding where it happened.
type ToldMark struct {
	Number   int    `json:"number"` // from 1, its place in the findings of the day
	Severity string `json:"severity"`
	Rule     string `json:"rule-id"`
	Train    string `json:"train"`
	ToldPoint
}

// Told gives the graph to programs.
func (g *Graph) Told() Told {
	return Told{
		Box: g.Day.Box.Name, Date: g.Day.Date.String(), From: g.Day.Stamp(g.From), To: g.Day.Stamp(g.To),
		Axis: each.Of(g.Rows, func(r Row) ToldRow { return ToldRow{r.Name, r.Section < 0, r.Top, r.Bottom} }),
		Bands: each.Of(g.Bands, func(b Band) ToldBand {
			lane, _ := g.Lane(b.Line)
			return ToldBand{b.Train, lane.Name, g.Day.Stamp(b.From), g.Day.Stamp(b.To), b.Occupied, b.Open}
		}),
		Findings: each.Of(g.Marks, func(m Mark) ToldMark {
			return ToldMark{m.Number, m.Severity.String(), string(m.Rule), m.Train, g.point(m.Point)}
		}),
		Trains: each.Of(g.Trains, g.toldTrain), Booked: each.Of(g.Booked, g.toldTrain),
	}
}

func (g *Graph) toldTrain(t Train) ToldTrain {
	return ToldTrain{t.Name, t.Side, t.Class.String(), each.Of(t.Runs, func(r Run) ToldRun {
		run := ToldRun{Assumed: r.Assumed, Points: each.Of(r.Points, g.point)}
		if r.Section >= 0 {
			run.Section = g.Day.Box.Sections[r.Section].Neighbour
		}
		return run
	})}
}

func (g *Graph) point(p Point) ToldPoint { return ToldPoint{g.Day.Stamp(p.At), p.Y} }
