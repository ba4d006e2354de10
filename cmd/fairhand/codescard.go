package main

import (
	"fmt"
	"io"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
)

// The card is one page: A4 upright in type of ten to the inch, six lines to the
// inch, has room for 70 lines of 80 characters.
const cardColumns = 80

// cardSides are the letters for who sends a signal.
var cardSides = map[rulebook.Side]string{rulebook.Either: " ", rulebook.Rear: "R", rulebook.Advance: "A"}

// printPage prints the codes on one page to hang up, without their sources.
func printPage(w io.Writer, b *block.Box, rows []codeOn) {
	var sections []string
	for _, s := range b.Sections {
		sections = append(sections, s.Neighbour+" ("+s.Method.String()+")")
	}
	lines := wrapped("Bell codes of "+b.Name+": "+strings.Join(sections, ", "), 0)
	lines = append(lines, wrapped(b.Rules.Title, 0)...)
	lines = append(lines, wrapped("R sent by the box in rear, A by the box in advance, else by either; * without call attention first", 0)...)
	for _, r := range rows {
		call, on := " ", ""
		if r.NoAttention {
			call = "*"
		}
		if len(r.sections) < len(b.Sections) {
			on = " (" + strings.Join(r.sections, ", ") + ")"
		}
		line := fmt.Sprintf("%-8s %s%s ", r.Code, cardSides[r.From], call)
		lines = append(lines, wrapped(line+r.Words+on, len(line))...)
	}
	lines = append(lines, wrapped(register.Caution, 0)...)
	fmt.Fprintln(w, strings.Join(lines, "\n"))
}

// wrapped breaks a line at its last blank that fits the card; what follows is
// moved in by indent.
func wrapped(line string, indent int) []string {
	var out []string
	for len([]rune(line)) > cardColumns {
		runes := []rune(line)
		cut := cardColumns
		for cut > indent && runes[cut] != ' ' {
			cut--
		}
		if cut == indent {
			break // one word longer than the line
		}
		out = append(out, strings.TrimRight(string(runes[:cut]), " "))
		line = strings.Repeat(" ", indent) + strings.TrimLeft(string(runes[cut:]), " ")
	}
	return append(out, line)
}
