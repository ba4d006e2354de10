package graph

import (
	"fmt"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/each"
	"fairhand/register/measure"
)

// Text of a graph: time runs down the lines, distance across.
const (
	textLeft     = 7  // for the time
	textNarrow   = 60 // no narrower than this
	noteShare    = 4  // a quarter of the width is for what was found
	usualStep    = 5 * block.Minute
	drawOccupied = "#"
	drawHeld     = ":"
	drawBooked   = "."
)

// textSteps are the lengths of time a line of text can stand for.
var textSteps = []block.Time{1, 2, 3, 5, 10, 15, 20, 30, 60}

// Text draws the graph for a terminal, in so many columns and at most so many
// lines for the day; with no height a line stands for five minutes. Only plain
// characters are used, beside those of the names.
func (g *Graph) Text(width, height int) string {
	t := textGraph{g: g, step: usualStep, width: max(width, textNarrow), named: map[*Run]bool{}}
	t.notes = t.width / noteShare
	t.plot = t.width - t.notes - textLeft - 1
	if height > 0 {
		for _, m := range textSteps {
			t.step = m * block.Minute
			if int((g.To-g.From)/t.step) <= height {
				break
			}
		}
	}
	var out strings.Builder
	for _, a := range g.Day.Alarms {
		fmt.Fprintln(&out, a)
	}
	fmt.Fprintf(&out, "%s\n%s\n", g.Day.Title(), strings.TrimRight(t.heads(), " "))
	for at := g.From; at < g.To; at += t.step {
		fmt.Fprintln(&out, strings.TrimRight(t.line(at), " "))
	}
	fmt.Fprintf(&out, "\nEach line is %d minutes. --> a train and where it ran, | standing,\n"+
		"# section occupied, : line clear held, . booked.\n"+
		"!! danger, ! irregular, a advice, with the number of the finding:\n", t.step/block.Minute)
	for i := range g.Day.Findings {
		f := &g.Day.Findings[i]
		fmt.Fprintf(&out, "%3d %s %s %s: %s (entry %d)\n", i+1, g.Day.Clock(f.At), f.Severity, f.Rule, f.Text, f.Seq)
	}
	foot := g.Day.Document().Foot()
	foot[len(foot)-1] = register.CautionIn(t.width)
	return out.String() + strings.Join(foot, "\n") + "\n"
}

// Text draws a day for a terminal; see Graph.Text.
func Text(d *register.Day, width, height int) string { return Of(d).Text(width, height) }

type textGraph struct {
	g     *Graph
	step  block.Time
	width int
	plot  int // columns of the graph itself
	notes int // columns for the findings
	named map[*Run]bool
}

func (t *textGraph) column(y float64) int { return min(int(y*float64(t.plot)), t.plot-1) }

// heads names the boxes over their columns.
func (t *textGraph) heads() string {
	line := blank(t.plot)
	for i, r := range t.g.Rows {
		at := t.column(r.Top) // a box above the station stands at the outer end of its section
		switch {
		case r.Section < 0:
			at = t.column((r.Top+r.Bottom)/2) - measure.Width(r.Name)/2
		case i == len(t.g.Rows)-1 || r.Lanes[0].Top > r.Top:
			at = t.column(r.Bottom) + 1 - measure.Width(r.Name)
		}
		line.write(at, r.Name)
	}
	return strings.Repeat(" ", textLeft) + line.String()
}

// cells are the cells of a line; the one after a wide letter is empty.
type cells []string

func blank(width int) cells { return strings.Split(strings.Repeat(" ", width), "") }

func (c cells) String() string { return strings.Join(c, "") }

// write puts a word on a line, cut at its ends. Of a wide letter that it covers by
// half nothing is left.
func (c cells) write(at int, word string) {
	at = max(at, 0)
	for letter, w := range measure.Letters(word) {
		if at+w > len(c) {
			return
		}
		if w > 0 && c[at] == "" {
			c[at-1] = " "
		}
		for i := range w {
			c[at+i] = ""
		}
		if at+w < len(c) && c[at+w] == "" {
			c[at+w] = " "
		}
		c[at] += letter
		at += w
	}
}

// line draws the time from at to the next line.
func (t *textGraph) line(at block.Time) string {
	line := blank(t.plot)
	until := at + t.step
	for _, r := range t.g.Rows {
		if r.Section < 0 {
			line[t.column(r.Top)], line[t.column(r.Bottom)] = "|", "|"
		}
	}
	for _, b := range t.g.Bands {
		if l, ok := t.g.Lane(b.Line); ok && b.From < until && b.To > at {
			c := t.column(l.middle())
			if b.Occupied {
				line[c] = drawOccupied
			} else if line[c] != drawOccupied {
				line[c] = drawHeld
			}
		}
	}
	for i := range t.g.Booked {
		t.train(line, &t.g.Booked[i], at, until, drawBooked)
	}
	for i := range t.g.Trains {
		t.train(line, &t.g.Trains[i], at, until, "")
	}
	clock := t.g.Day.Clock(at)
	if (at-t.g.From)%3600 != 0 {
		clock = "  " + strings.TrimLeft(clock, "0123456789") // the hour once, as on the page
	}
	return measure.Pad(clock, textLeft) + line.String() + " " + t.found(at, until)
}

// train draws what a train ran from at to until. Its name stands in the first
// line of a run that has the room; a booked train is drawn in dots.
func (t *textGraph) train(line cells, tr *Train, at, until block.Time, dots string) {
	for i := range tr.Runs {
		r := &tr.Runs[i]
		for j := 1; j < len(r.Points); j++ {
			p, q := r.Points[j-1], r.Points[j]
			if p.At >= until || q.At < at || q.At == at && p.At < at {
				continue
			}
			a, b := t.column(r.at(max(p.At, at))), t.column(r.at(min(q.At, until)))
			if p.At == q.At {
				a, b = t.column(p.Y), t.column(q.Y)
			}
			name := ""
			if !t.named[r] && dots == "" && (r.Section >= 0 || len(tr.Runs) == 1 || p.Y == q.Y && i == 0) {
				name = tr.Name
			}
			t.named[r] = drawRun(line, a, b, name, dots) || t.named[r]
		}
	}
}

// drawRun draws from column a to b, and says whether there was room for the name.
func drawRun(line cells, a, b int, name, dots string) bool {
	body, head := "-", ">"
	lo, hi := a, b
	switch {
	case a == b:
		head = "|"
	case b < a:
		lo, hi, head = b, a, "<"
	}
	if dots != "" {
		body, head = dots, dots
	}
	for c := lo; c <= hi; c++ {
		if line[c] == " " || dots == "" && line[c] == drawBooked {
			line[c] = body
		}
	}
	if line[b] == " " || line[b] == body || line[b] == drawBooked {
		line[b] = head
	}
	n := measure.Width(name)
	for c := hi + 1; lo == hi && n > 0 && c < hi+8 && c+n <= len(line); c++ { // beside one that stands, over the edge of the station
		if line[c:c+n].String() == strings.Repeat(" ", n) {
			line.write(c, name)
			return true
		}
	}
	if n == 0 || hi-lo+1 < n+2 {
		return false
	}
	line.write(lo+(hi-lo+1-n)/2, name)
	return true
}

// textSigns mark a finding by its severity.
var textSigns = map[rulebook.Severity]string{rulebook.Advice: "a", rulebook.Irregular: "!", rulebook.Danger: "!!"}

// found names what was found in the time of a line, as far as there is room.
func (t *textGraph) found(at, until block.Time) string {
	words := each.Joined(t.g.Marks, ", ", func(m Mark) string {
		if m.At < at || m.At >= until {
			return ""
		}
		return fmt.Sprintf("%s%d %s", textSigns[m.Severity], m.Number, m.Rule)
	})
	return measure.Short(words, t.notes, "..")
}
