package main

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/each"
	"fairhand/register/measure"
)

func (p *program) codesCommand() *cobra.Command {
	var box string
	var card bool
	cmd := &cobra.Command{
		Use:   "codes [BEATS]",
		Short: "Print the bell codes of this box, or say what BEATS mean",
		Long: `Print the bell codes of this box with their sources: those of its rule set for the way
each section is worked, and the box's own. --card prints them on one page of 80 columns
to hang up, without the sources. With BEATS (3-1, or 31 for short) say
what they mean on each section.`,
		Args: args(0, 1, "BEATS"),
		RunE: func(cmd *cobra.Command, given []string) error {
			var beats rulebook.Code
			if len(given) > 0 {
				var err error
				if beats, err = rulebook.CompactCode(given[0]); err != nil {
					return &usageError{err}
				}
			}
			file, err := p.loadBox(cmd, box)
			if err != nil {
				return err
			}
			rows := codeRows(file.Box, beats)
			if len(rows) == 0 {
				return withHint(fmt.Errorf("%s is no bell code of %s", beats, file.Box.Name), "fairhand codes lists those that are")
			}
			switch {
			case p.js:
				return p.codesAsJSON(rows)
			case card && beats == "":
				printPage(p.out, file.Box, rows)
			case beats != "":
				readOutCodes(p.out, rows)
			default:
				printTable(p.out, file.Box, rows)
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&box, "box", "", "box file to read instead of that of the box directory")
	cmd.Flags().BoolVar(&card, "card", false, "one page to hang up, without the sources")
	return p.withJSON(" a section and code", cmd)
}

// codeOn is a code with the sections on which it has one meaning.
type codeOn struct {
	rulebook.CodeRow
	sections []string
	methods  []string // how they are worked, in the same order
}

// codeRows gives the codes of a box in the order of their beats, or only those
// of beats.
func codeRows(b *block.Box, beats rulebook.Code) []codeOn {
	var rows []codeOn
	for i, s := range b.Sections {
		for _, r := range b.CodeBook(i) {
			if beats != "" && r.Code != beats {
				continue
			}
			at := slices.IndexFunc(rows, func(o codeOn) bool {
				return o.Code == r.Code && o.Words == r.Words && o.From == r.From && o.NoAttention == r.NoAttention && o.Source == r.Source
			})
			if at < 0 {
				at, rows = len(rows), append(rows, codeOn{CodeRow: r})
			}
			rows[at].sections = append(rows[at].sections, s.Neighbour)
			rows[at].methods = append(rows[at].methods, s.Method.String())
		}
	}
	slices.SortStableFunc(rows, func(a, b codeOn) int { return slices.Compare(groups(a.Code), groups(b.Code)) })
	return rows
}

// groups are the beats as they are counted, one group after another.
func groups(c rulebook.Code) []int {
	return each.Of(strings.Split(string(c), "-"), func(g string) int {
		n, _ := strconv.Atoi(g)
		return n
	})
}

var sideWords = map[rulebook.Side]string{rulebook.Either: "either box", rulebook.Rear: "box in rear", rulebook.Advance: "box in advance"}

// printTable prints the codes as a table, and the sources once below them.
func printTable(w io.Writer, b *block.Box, rows []codeOn) {
	fmt.Fprintf(w, "Bell codes of %s\n%s\n", b.Name, b.Rules.Title)
	for _, s := range b.Sections {
		fmt.Fprintf(w, "%s: %s\n", s.Neighbour, s.Method)
	}
	var sources []string
	width := measure.Widest(each.Of(rows, func(r codeOn) string { return r.Words })...)
	fmt.Fprintf(w, "\n%-9s %-*s  %-14s %-9s %6s  %s\n", "beats", width, "meaning", "sent by", "attention", "source", "section")
	for _, r := range rows {
		at := slices.Index(sources, r.Source)
		if at < 0 {
			at, sources = len(sources), append(sources, r.Source)
		}
		on, call := "all", "yes"
		if len(r.sections) < len(b.Sections) {
			on = strings.Join(r.sections, ", ")
		}
		if r.NoAttention {
			call = "no"
		}
		fmt.Fprintf(w, "%-9s %s  %-14s %-9s %6d  %s\n", r.Code, measure.Pad(r.Words, width), sideWords[r.From], call, at+1, on)
	}
	fmt.Fprintln(w, "\nattention: whether call attention is sent first. Sources:")
	for i, s := range sources {
		fmt.Fprintf(w, "%3d  %s\n", i+1, s)
	}
}

func readOutCodes(w io.Writer, rows []codeOn) {
	for _, r := range rows {
		call := "after call attention"
		if r.NoAttention {
			call = "without call attention"
		}
		fmt.Fprintf(w, "%s: %s\n", r.Code, r.Words)
		for i, s := range r.sections {
			fmt.Fprintf(w, "    %s (%s)\n", s, r.methods[i])
		}
		fmt.Fprintf(w, "    sent by %s, %s\n    source: %s\n", sideWords[r.From], call, r.Source)
	}
}

type codeJSON struct {
	Section       string `json:"section"`
	Method        string `json:"method"`
	Beats         string `json:"beats"`
	Means         string `json:"means"`
	From          string `json:"from"`
	CallAttention bool   `json:"call-attention"`
	Source        string `json:"source"`
}

func (p *program) codesAsJSON(rows []codeOn) error {
	for _, r := range rows {
		for i, s := range r.sections {
			if err := p.json(codeJSON{s, r.methods[i], string(r.Code), r.Words, sideWords[r.From], !r.NoAttention, r.Source}); err != nil {
				return err
			}
		}
	}
	return nil
}

// The card is one page: A4 upright in type of ten to the inch, six lines to the
// inch, has room for 70 lines of 80 characters.
const cardColumns = 80

// cardSides are the letters for who sends a signal.
var cardSides = map[rulebook.Side]string{rulebook.Either: " ", rulebook.Rear: "R", rulebook.Advance: "A"}

// printPage prints the codes on one page to hang up, without their sources.
func printPage(w io.Writer, b *block.Box, rows []codeOn) {
	sections := each.Of(b.Sections, func(s block.Section) string { return s.Neighbour + " (" + s.Method.String() + ")" })
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
