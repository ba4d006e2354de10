package main

import (
	"fmt"
	"io"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/measure"
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
	lines := measure.Wrap("Bell codes of "+b.Name+": "+strings.Join(sections, ", "), cardColumns, cardColumns)
	lines = append(lines, measure.Wrap(b.Rules.Title, cardColumns, cardColumns)...)
	lines = append(lines, measure.Wrap("R sent by the box in rear, A by the box in advance, else by either; * without call attention first", cardColumns, cardColumns)...)
	for _, r := range rows {
		call, on := " ", ""
		if r.NoAttention {
			call = "*"
		}
		if len(r.sections) < len(b.Sections) {
			on = " (" + strings.Join(r.sections, ", ") + ")"
		}
		line := fmt.Sprintf("%-8s %s%s ", r.Code, cardSides[r.From], call)
		lines = append(lines, measure.Hang(line+r.Words+on, cardColumns, len(line))...)
	}
	lines = append(lines, measure.Wrap(register.Caution, cardColumns, cardColumns)...)
	fmt.Fprintln(w, strings.Join(lines, "\n"))
}
