package interview

import (
	"fmt"
	"strings"

	"fairhand/block"
	"fairhand/register/measure"
)

// boxDrawing draws a box with plain characters: the neighbours to which down
// trains go on the left, all others on the right, an arrow for each line, and
// the places between; a level crossing below the lines or at the place that it crosses.
func boxDrawing(b *block.Box) string {
	var left, right []string
	for i := range b.Sections {
		s := &b.Sections[i]
		side, away, back := &right, "----> ", "<---- "
		if s.Towards == "down" {
			side, away, back = &left, "<---- ", "----> "
		}
		if len(*side) > 0 {
			*side = append(*side, "")
		}
		*side = append(*side, s.Neighbour+" ("+s.Method.String()+")")
		for _, l := range s.Lines {
			arrow := "<---> "
			switch l.Way {
			case block.Out:
				arrow = away
			case block.In:
				arrow = back
			}
			*side = append(*side, arrow+l.Name)
		}
		*side = append(*side, crossingTexts(b, func(c *block.Crossing) bool { return c.Section == s.Neighbour })...)
	}
	middle := []string{b.Name}
	for _, p := range b.Places {
		middle = append(middle, "  "+placeText(&p))
		for _, c := range crossingTexts(b, func(c *block.Crossing) bool { return c.Place == p.Name }) {
			middle = append(middle, "  "+c)
		}
	}
	lw, mw := measure.Widest(left...), measure.Widest(middle...)
	var out strings.Builder
	rule := strings.Repeat(" ", lw) + "  +" + strings.Repeat("-", mw+2) + "+\n"
	out.WriteString(rule)
	for i := range max(len(left), len(middle), len(right)) {
		line := measure.Pad(at(left, i), lw) + "  | " + measure.Pad(at(middle, i), mw) + " |  " + at(right, i)
		out.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	out.WriteString(rule)
	return out.String()
}

// crossingTexts are the level crossings that are so, each by the sign of a road over rails.
func crossingTexts(b *block.Box, so func(*block.Crossing) bool) (out []string) {
	for i := range b.Crossings {
		if c := &b.Crossings[i]; so(c) {
			out = append(out, "--#-- "+c.Name)
		}
	}
	return out
}

// placeText is a place with how many trains it holds.
func placeText(p *block.Place) string {
	switch {
	case p.Holds == 0:
		return p.Name
	case p.Holds == 1:
		return p.Name + ", 1 train"
	}
	return fmt.Sprintf("%s, %d trains", p.Name, p.Holds)
}

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return ""
}
