package graph

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
	"fairhand/register/measure"
)

// Sizes of the SVG in its own units, about 96 to the inch.
const (
	hourWidth  = 118.0
	plotHeight = 470.0
	leftMargin = 128.0 // at the least: names have to stand in it
	rightEdge  = 24.0
	topMargin  = 58.0
	lineHeight = 16.0
)

// style is the SVG's own style sheet. What it tells by colour it tells by dashes
// or shape too.
const style = `
.graph text{font-family:"Go","DejaVu Sans",Verdana,Arial,sans-serif;font-size:11px;fill:#222}
.graph .head{font-size:15px;font-weight:bold}.graph .row{font-weight:bold;font-size:12px}.graph .small{font-size:9.5px;fill:#555}
.graph .hour{stroke:#b8b8b8;stroke-width:1}.graph .part{stroke:#e6e6e6;stroke-width:1}
.graph .edge{stroke:#444;stroke-width:1.2}.graph .place{fill:#f5f2e9}.graph .lane{fill:#f7f7f7}.graph .rule{stroke:#ddd;stroke-width:.6}
.graph .in{fill:#8d99a6}.graph .held{fill:#fff;stroke:#8d99a6;stroke-width:1;stroke-dasharray:2 1.5}
.graph .booked polyline{fill:none;stroke:#dcd6c2;stroke-width:4;stroke-linejoin:round}
.graph .train polyline{fill:none;stroke-width:1.6;stroke-linejoin:round;stroke-linecap:round}
.graph .up polyline{stroke:#123f73}.graph .down polyline{stroke:#7a2e0e}.graph .neither polyline{stroke:#333}
.graph .goods polyline{stroke-dasharray:8 3}.graph .other polyline{stroke-dasharray:2.5 3}
.graph .train .assumed{stroke-width:.8;stroke-dasharray:1 3}
.graph .name{font-size:10px;paint-order:stroke;stroke:#fff;stroke-width:2.5px;stroke-linejoin:round}
.graph .up .name{fill:#123f73}.graph .down .name{fill:#7a2e0e}
.graph .mark text{font-size:9px;font-weight:bold;text-anchor:middle}
.graph .danger path{fill:#a3001b;stroke:#a3001b}.graph .danger text{fill:#fff}
.graph .irregular path{fill:#fff;stroke:#a3001b;stroke-width:1.4}.graph .advice path{fill:#fff;stroke:#555}
`

// shape is the outline of a finding's mark around 0,0.
var shapes = map[rulebook.Severity]string{
	rulebook.Danger:    "M0-11L11 0 0 11-11 0Z",
	rulebook.Irregular: "M0-11L11 0 0 11-11 0Z",
	rulebook.Advice:    "M-7-7H7V7H-7Z",
}

// SVGOptions say what stands around the graph.
type SVGOptions struct {
	Alone bool // with heading, findings and foot, as a file of its own
}

// SVG draws the graph. The same day gives the same bytes.
func (g *Graph) SVG(out io.Writer, opt SVGOptions) error {
	s := svg{g: g, left: g.left(), height: topMargin + plotHeight + 4*lineHeight}
	s.width = s.x(g.To) + rightEdge
	var notes [][]string
	if opt.Alone {
		s.width = max(s.width, 760, 24+boldLetter*float64(measure.Width(g.Day.Title())))
		s.top = 2 * lineHeight
		s.height += s.top + lineHeight
		for _, n := range g.notes() {
			lines := fitting(n, s.width-36, letter)
			notes = append(notes, lines)
			s.height += lineHeight * float64(len(lines))
		}
	}
	s.put(`<svg xmlns="http://www.w3.org/2000/svg" class="graph" width="{}" height="{}" viewBox="0 0 {} {}" role="img">`+"\n", s.width, s.height, s.width, s.height)
	s.put("<title>{}</title>\n<style>{}</style>\n<defs><clipPath id=\"plot\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath></defs>\n",
		"Train graph: "+g.Day.Title(), raw(style), s.left, s.y(0), hourWidth*float64(g.To-g.From)/3600, plotHeight)
	s.put(`<rect width="{}" height="{}" fill="#fff"/>`+"\n", s.width, s.height)
	if opt.Alone {
		s.put(`<text class="head" x="12" y="24">{}</text>`+"\n", g.Day.Title())
	}
	down := s.y(0)
	for _, a := range g.Day.Alarms {
		for _, l := range fitting(a.String(), s.width-s.left, boldLetter) {
			down += 20
			s.put(`<text x="{}" y="{}" style="fill:#a3001b;font-weight:bold;font-size:15px">{}</text>`+"\n", s.left, down, l)
		}
	}
	s.axis()
	s.put(`<g clip-path="url(#plot)">` + "\n")
	s.bands()
	for i := range g.Booked {
		s.train(&g.Booked[i], "booked", false)
	}
	for i := range g.Trains {
		s.train(&g.Trains[i], "train "+trainClass(&g.Trains[i]), true)
	}
	s.put("</g>\n")
	s.marks()
	y := s.legend(s.y(1) + 2*lineHeight)
	for _, n := range notes {
		for i, l := range n {
			y += lineHeight
			s.put(`<text x="{}" y="{}">{}</text>`+"\n", 12+12*float64(min(i, 1)), y, l)
		}
	}
	s.put("</svg>\n")
	_, err := io.WriteString(out, s.String())
	return err
}

// notes are the findings and the foot, for a graph that stands alone.
func (g *Graph) notes() []string {
	var out []string
	for i, f := range g.Day.Findings {
		out = append(out, fmt.Sprintf("%d  %s  %s %s: %s (entry %d)", i+1, g.Day.Clock(f.At), f.Severity, f.Rule, f.Text, f.Seq))
	}
	return append(append(out, ""), g.Day.Document().Foot()...)
}

type svg struct {
	strings.Builder
	g             *Graph
	width, height float64
	top, left     float64
}

// How wide a letter is on average at the most, in the style of the text and in that of the
// heading: an SVG breaks no line by itself, and what stands beyond its edge is not seen.
const (
	letter     = 6.8
	boldLetter = 9.8
)

// fitting breaks a text into lines that are no wider; at least one.
func fitting(text string, width, letter float64) []string {
	if lines := measure.Fit(text, int(width/letter)); len(lines) > 0 {
		return lines
	}
	return []string{""}
}

// left is where the plot begins: behind the names of boxes and of the half of an hour's
// that the first has beside it, and behind those of lines and places.
func (g *Graph) left() float64 {
	const row, lane = 8.5, 6.3 // as letter
	w := leftMargin
	for _, r := range g.Rows {
		w = max(w, 12+row*float64(measure.Width(r.Name))+18)
		for _, l := range r.Lanes {
			w = max(w, 12+lane*float64(measure.Width(l.Name)))
		}
	}
	return w
}

// raw is text that is put in as it is.
type raw string

// put writes a piece of SVG with the values in the places of {}: numbers rounded,
// texts escaped.
func (s *svg) put(shape string, values ...any) {
	for i, piece := range strings.Split(shape, "{}") {
		if i > 0 {
			switch v := values[i-1].(type) {
			case float64:
				s.WriteString(num(v))
			case raw:
				s.WriteString(string(v))
			default:
				xml.EscapeText(s, []byte(measure.Visible(fmt.Sprint(v)))) // makes what XML cannot hold visible as U+FFFD
			}
		}
		s.WriteString(piece)
	}
}

func num(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

func (s *svg) x(at block.Time) float64 { return s.left + hourWidth*float64(at-s.g.From)/3600 }
func (s *svg) y(share float64) float64 { return s.top + topMargin + plotHeight*share }

// axis draws the hours and the names of sections, lines and places.
func (s *svg) axis() {
	right := s.x(s.g.To)
	for _, r := range s.g.Rows {
		class := "lane"
		if r.Section < 0 {
			class = "place"
		}
		for _, l := range r.Lanes {
			s.put(`<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>`+"\n", class, s.left, s.y(l.Top), right-s.left, s.y(l.Bottom)-s.y(l.Top))
			s.put(`<text class="small" x="{}" y="{}" text-anchor="end">{}</text>`+"\n", s.left-6, s.y(l.middle())+3.5, l.Name)
		}
	}
	for at := s.g.From; at <= s.g.To; at += 600 {
		class := "part"
		if (at-s.g.From)%3600 == 0 {
			class = "hour"
			for _, y := range []float64{s.y(0) - 8, s.y(1) + 16} {
				s.put(`<text x="{}" y="{}" text-anchor="middle">{}</text>`+"\n", s.x(at), y, s.g.Day.Clock(at))
			}
		}
		s.put(`<path class="{}" d="M{} {}V{}"/>`+"\n", class, s.x(at), s.y(0), s.y(1))
	}
	for i, r := range s.g.Rows {
		y := s.y(r.Top) - 5
		if i > 0 && r.Section >= 0 { // the neighbour is at the foot of the section
			y = s.y(r.Lanes[0].Top) - 5
		}
		s.put(`<text class="row" x="12" y="{}">{}</text><path class="edge" d="M12 {}H{}"/>`+"\n", y, r.Name, s.y(r.Top), right)
		for _, l := range r.Lanes {
			s.put(`<path class="rule" d="M{} {}H{}"/>`, s.left, s.y(l.Top), right)
		}
		s.put("\n")
	}
	s.put(`<path class="edge" d="M12 {}H{}"/>`+"\n", s.y(1), right)
}

func (s *svg) bands() {
	for _, b := range s.g.Bands {
		l, ok := s.g.Lane(b.Line)
		if !ok {
			continue
		}
		class, what := "held", "line clear for"
		if b.Occupied {
			class, what = "in", "in section:"
		}
		until := s.g.Day.Clock(b.To)
		if b.Open {
			until = "open"
		}
		s.put(`<rect class="{}" x="{}" y="{}" width="{}" height="{}"><title>{}</title></rect>`+"\n", class, s.x(b.From), s.y(l.Top)+2,
			max(s.x(b.To)-s.x(b.From), 1), s.y(l.Bottom)-s.y(l.Top)-4, fmt.Sprintf("%s, %s %s, %s to %s", l.Name, what, b.Train, s.g.Day.Clock(b.From), until))
	}
}

// trainClass are the style classes of a train: its direction and its kind.
func trainClass(t *Train) string {
	side := cmp.Or(t.Side, "neither")
	switch t.Class {
	case rulebook.Passenger, rulebook.AnyClass:
		return side
	case rulebook.Freight:
		return side + " goods"
	}
	return side + " other"
}

func (s *svg) train(t *Train, class string, named bool) {
	s.put(`<g class="{}" data-train="{}"><title>{}</title>`, class, t.Name, t.Name)
	for _, r := range t.Runs {
		pts := each.Of(r.Points, func(p Point) string { return num(s.x(p.At)) + "," + num(s.y(p.Y)) })
		how := raw("")
		if r.Assumed {
			how = ` class="assumed"`
		}
		s.put(`<polyline{} points="{}"/>`, how, strings.Join(pts, " "))
	}
	if at, angle, ok := t.NameAt(s.x, s.y); named && ok {
		s.put(`<text class="name" transform="translate({} {}) rotate({})" dy="-3">{}</text>`, at[0], at[1], angle, t.Name)
	}
	s.put("</g>\n")
}

// NameAt is where a train's name stands along its longest run, in the units of
// x and y, and its slope in degrees.
func (t *Train) NameAt(x func(block.Time) float64, y func(float64) float64) (at [2]float64, angle float64, ok bool) {
	longest := 0.0
	for _, r := range t.Runs {
		for p, q := range r.Strokes() {
			dx, dy := x(q.At)-x(p.At), y(q.Y)-y(p.Y)
			if d := math.Hypot(dx, dy); d > longest {
				longest, angle, ok = d, math.Atan2(dy, dx)*180/math.Pi, true
				at = [2]float64{x(p.At) + dx*0.2, y(p.Y) + dy*0.2}
			}
		}
	}
	return at, angle, ok
}

// marks draws the findings, those that would stand on another beside it.
func (s *svg) marks() {
	var taken [][2]float64
	for _, m := range s.g.Marks {
		x, y := s.x(m.At), s.y(m.Y)
		for i := 0; i < len(taken); i++ {
			if math.Abs(taken[i][0]-x) < 20 && math.Abs(taken[i][1]-y) < 20 {
				y, i = taken[i][1]+21, -1
			}
		}
		taken = append(taken, [2]float64{x, y})
		s.put(`<g class="mark {}" transform="translate({} {})" data-train="{}"><title>{}</title><path d="{}"/><text y="3.2">{}</text></g>`+"\n",
			m.Severity.String(), x, y, m.Train, fmt.Sprintf("%s %s, %s", m.Severity, m.Rule, m.Train), shapes[m.Severity], strconv.Itoa(m.Number))
	}
}

// legend explains the signs; it returns where its last line stands.
func (s *svg) legend(y float64) float64 {
	x := 12.0
	for _, l := range []struct{ sample, words string }{
		{`<g class="train neither"><polyline points="0,-4 30,-4"/></g>`, "passenger"},
		{`<g class="train neither goods"><polyline points="0,-4 30,-4"/></g>`, "freight"},
		{`<g class="train neither other"><polyline points="0,-4 30,-4"/></g>`, "other"},
		{`<g class="train neither"><polyline class="assumed" points="0,-4 30,-4"/></g>`, "not recorded, assumed"},
		{`<rect class="held" x="0" y="-10" width="30" height="10"/>`, "line clear"},
		{`<rect class="in" x="0" y="-10" width="30" height="10"/>`, "train in section"},
		{`<g class="booked"><polyline points="0,-4 30,-4"/></g>`, "booked"},
		{`<g class="mark danger" transform="translate(15 -4) scale(.7)"><path d="M0-11L11 0 0 11-11 0Z"/></g>`, "danger"},
		{`<g class="mark irregular" transform="translate(15 -4) scale(.7)"><path d="M0-11L11 0 0 11-11 0Z"/></g>`, "irregular"},
		{`<g class="mark advice" transform="translate(15 -4) scale(.8)"><path d="M-7-7H7V7H-7Z"/></g>`, "advice"},
	} {
		w := 52 + 6.2*float64(len(l.words))
		if x+w > s.width {
			x, y = 12, y+lineHeight
		}
		s.put(`<g transform="translate({} {})">{}<text x="36">{}</text></g>`+"\n", x, y, raw(l.sample), l.words)
		x += w
	}
	s.put(`<text class="small" x="12" y="{}">{}</text>`+"\n", y+lineHeight, ScaleNote)
	return y + lineHeight
}

// ScaleNote says what the distance axis is.
const ScaleNote = "As seen from this box. Sections are as long as their regular running times: a register knows no distances. A line ends at out of section."
