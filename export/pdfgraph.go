package export

import (
	"fmt"
	"math"

	"github.com/go-pdf/fpdf"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/export/graph"
	"fairhand/register"
)

// Two strips go on a page, each of at most nine hours.
const (
	stripHours = 9
	stripLeft  = pageLeft + 24
	stripWidth = pageRight - stripLeft - 3
)

// strip draws some hours of the graph.
type strip struct {
	*pdf
	g           *graph.Graph
	from        block.Time
	span        block.Time
	top, height float64
}

func (p *pdf) graphPages(d *register.Day) {
	g := graph.Of(d)
	hours := int((g.To - g.From) / 3600)
	n := (hours + stripHours - 1) / stripHours
	span := block.Time((hours+n-1)/n) * 3600
	height := (pageFoot-pageTop)/2 - 14
	for i := range n {
		if i%2 == 0 {
			p.page("Train graph")
			p.font(false, 6.2)
			p.say(pageLeft, pageFoot-0.5, graph.ScaleNote+" Solid lines: passenger; dashes: freight; dots: other. Open boxes: line clear; filled: train in section; "+
				"wide and light: booked.")
		}
		s := strip{pdf: p, g: g, from: g.From + block.Time(i)*span, span: span, top: pageTop + 4 + float64(i%2)*(height+11), height: height}
		s.draw()
	}
}

func (s *strip) x(at block.Time) float64 {
	return stripLeft + stripWidth*float64(at-s.from)/float64(s.span)
}
func (s *strip) y(share float64) float64 { return s.top + s.height*share }

func (s *strip) draw() {
	until := min(s.from+s.span, s.g.To)
	right := s.x(until)
	s.axis(until, right)
	s.ClipRect(stripLeft, s.top, right-stripLeft, s.height, false)
	s.bands()
	s.SetDrawColor(222, 216, 196)
	s.SetLineWidth(0.9)
	for i := range s.g.Booked {
		s.line(&s.g.Booked[i])
	}
	for i := range s.g.Trains {
		s.train(&s.g.Trains[i], until)
	}
	s.ClipEnd()
	s.marks(until)
}

func (s *strip) axis(until block.Time, right float64) {
	for _, r := range s.g.Rows {
		s.SetFillColor(247, 247, 247)
		if r.Section < 0 {
			s.SetFillColor(246, 243, 234)
		}
		s.font(false, 4.8)
		for _, l := range r.Lanes {
			s.Rect(stripLeft, s.y(l.Top), right-stripLeft, s.y(l.Bottom)-s.y(l.Top), "F")
			s.say(stripLeft-1-s.wide(l.Name), s.y((l.Top+l.Bottom)/2)+0.6, l.Name)
		}
	}
	for at := s.from; at <= until; at += 600 {
		s.SetDrawColor(228, 228, 228)
		s.SetLineWidth(0.1)
		if (at-s.g.From)%3600 == 0 {
			s.SetDrawColor(175, 175, 175)
			s.font(false, 6.5)
			clock := s.g.Day.Clock(at)
			s.say(s.x(at)-s.wide(clock)/2, s.top-1.2, clock)
		}
		s.Line(s.x(at), s.y(0), s.x(at), s.y(1))
	}
	s.SetDrawColor(70, 70, 70)
	s.SetLineWidth(0.25)
	s.font(true, 7)
	for i, r := range s.g.Rows {
		name := s.y(r.Top) - 0.9
		switch {
		case r.Section >= 0 && len(r.Lanes) == 0:
			name = s.y(r.Top) + 2.8
		case r.Section >= 0 && i > 0:
			name = s.y(r.Lanes[0].Top) - 0.9
		}
		s.say(pageLeft, name, r.Name)
		s.Line(pageLeft, s.y(r.Top), right, s.y(r.Top))
	}
	s.Line(pageLeft, s.y(1), right, s.y(1))
}

func (s *strip) bands() {
	s.SetDrawColor(130, 142, 156)
	s.SetFillColor(141, 153, 166)
	s.SetLineWidth(0.15)
	for _, b := range s.g.Bands {
		l, ok := s.g.Lane(b.Line)
		if !ok {
			continue
		}
		how := "D"
		if b.Occupied {
			how = "F"
		}
		s.Rect(s.x(b.From), s.y(l.Top)+0.4, max(s.x(b.To)-s.x(b.From), 0.2), s.y(l.Bottom)-s.y(l.Top)-0.8, how)
	}
}

// line draws the runs of a train in the pen chosen.
func (s *strip) line(t *graph.Train) {
	for _, r := range t.Runs {
		for p, q := range r.Strokes() {
			s.Line(s.x(p.At), s.y(p.Y), s.x(q.At), s.y(q.Y))
		}
	}
}

// pens are the colours of the directions and the dashes of the classes.
var pens = map[string][3]int{"up": {18, 63, 115}, "down": {122, 46, 14}, "": {50, 50, 50}}

func dashes(c rulebook.Class) []float64 {
	switch c {
	case rulebook.Passenger, rulebook.AnyClass:
		return []float64{}
	case rulebook.Freight:
		return []float64{2, 0.8}
	}
	return []float64{0.7, 0.8}
}

func (s *strip) train(t *graph.Train, until block.Time) {
	c := pens[t.Side]
	s.SetDrawColor(c[0], c[1], c[2])
	s.SetTextColor(c[0], c[1], c[2])
	for _, r := range t.Runs {
		s.SetLineWidth(0.35)
		s.SetDashPattern(dashes(t.Class), 0)
		if r.Assumed {
			s.SetLineWidth(0.2)
			s.SetDashPattern([]float64{0.3, 0.9}, 0)
		}
		s.line(&graph.Train{Runs: []graph.Run{r}})
	}
	s.SetDashPattern([]float64{}, 0)
	if at, angle, ok := t.NameAt(s.x, s.y); ok && at[0] > stripLeft-5 && at[0] < s.x(until) {
		s.font(false, 5.8)
		s.TransformBegin()
		s.TransformRotate(-angle, at[0], at[1])
		s.say(at[0], at[1]-0.6, t.Name)
		s.TransformEnd()
	}
	s.SetTextColor(0, 0, 0)
}

// marks draws the findings with their numbers in the list.
func (s *strip) marks(until block.Time) {
	var taken []fpdf.PointType
	s.font(true, 5.2)
	s.SetLineWidth(0.3)
	for _, m := range s.g.Marks {
		if m.At < s.from || m.At >= until && until != s.g.To || m.At > until {
			continue
		}
		c := fpdf.PointType{X: s.x(m.At), Y: s.y(m.Y)}
		for i := 0; i < len(taken); i++ {
			if math.Abs(taken[i].X-c.X) < 4.6 && math.Abs(taken[i].Y-c.Y) < 4.6 {
				c.Y, i = taken[i].Y+4.7, -1
			}
		}
		taken = append(taken, c)
		r := 2.5
		shape := []fpdf.PointType{{X: c.X, Y: c.Y - r}, {X: c.X + r, Y: c.Y}, {X: c.X, Y: c.Y + r}, {X: c.X - r, Y: c.Y}}
		s.SetFillColor(255, 255, 255)
		s.SetDrawColor(163, 0, 27)
		switch m.Severity {
		case rulebook.Danger:
			s.SetFillColor(163, 0, 27)
			s.SetTextColor(255, 255, 255)
		case rulebook.Advice:
			r = 1.7
			shape = []fpdf.PointType{{X: c.X - r, Y: c.Y - r}, {X: c.X + r, Y: c.Y - r}, {X: c.X + r, Y: c.Y + r}, {X: c.X - r, Y: c.Y + r}}
			s.SetDrawColor(85, 85, 85)
		}
		s.Polygon(shape, "FD")
		n := fmt.Sprint(m.Number)
		s.say(c.X-s.wide(n)/2, c.Y+0.7, n)
		s.SetTextColor(0, 0, 0)
	}
}
