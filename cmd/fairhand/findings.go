package main

import (
	"cmp"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/notation"
)

// findingJSON is a finding for programs. The first seven keys, after schema, are those of the
// text form, in its order; they and their meaning do not change.
type findingJSON struct {
	Line      int64   `json:"line"` // of the book, or number of the entry in the register
	Time      string  `json:"time"` // by the clock of the box
	Severity  string  `json:"severity"`
	Rule      string  `json:"rule-id"`
	Section   string  `json:"section"`
	Train     string  `json:"train"`
	Text      string  `json:"text"`
	Date      string  `json:"date"`
	Expected  string  `json:"expected"`
	Reference string  `json:"reference"`
	Rests     numbers `json:"rests"`
	Root      int64   `json:"root,omitempty"`     // line or entry it follows from
	Answered  int64   `json:"answered,omitempty"` // since when it no longer stands
}

// allAsJSON are findings as a list, empty for none.
func allAsJSON(found []block.Finding, loc *time.Location) []findingJSON {
	return each.Of(found, func(f block.Finding) findingJSON { return asJSON(f, loc) })
}

func asJSON(f block.Finding, loc *time.Location) findingJSON {
	return findingJSON{
		Line: f.Seq, Time: calendar.Exact(f.At, loc), Severity: f.Severity.String(), Rule: string(f.Rule),
		Section: f.Section, Train: f.Train, Text: f.Text,
		Date: calendar.Of(f.At, loc).String(), Expected: f.Expected, Reference: f.Ref, Rests: f.Rests,
		Root: f.Root, Answered: f.Answered,
	}
}

// findingLine prints a finding as line:time severity rule-id section train text.
func (p *program) findingLine(f block.Finding, loc *time.Location) error {
	_, err := fmt.Fprintf(p.out, "%d:%s %s %s %s %s %s\n", f.Seq, calendar.Exact(f.At, loc), f.Severity, f.Rule, notation.Word(f.Section), notation.Word(f.Train), f.Text)
	return err
}

// findingHeading names the fields of the lines that follow to whoever reads them on
// a terminal, lest 5:06:21 be taken for a time; first is what stands for the line.
// A program that reads them gets the lines alone.
func (p *program) findingHeading(first string) {
	if terminal(p.stdout) {
		fmt.Fprintf(p.notes, "%s:time severity rule section train text\n", first)
	}
}

// tally counts findings by severity.
type tally [rulebook.Danger + 1]int

func (t *tally) add(found ...block.Finding) {
	for _, f := range found {
		if f.Answered == 0 {
			t[f.Severity]++
		}
	}
}

// result is errFindings when something more than advice was found.
func (t *tally) result() error {
	if t[rulebook.Danger]+t[rulebook.Irregular] > 0 {
		return errFindings
	}
	return nil
}

// String is such as "2 danger, 1 irregular, 0 advice".
func (t *tally) String() string {
	return fmt.Sprintf("%d danger, %d irregular, %d advice", t[rulebook.Danger], t[rulebook.Irregular], t[rulebook.Advice])
}

func (p *program) findingsCommand() *cobra.Command {
	a := auditing{all: true}
	var answered bool
	cmd := &cobra.Command{
		Use:   "findings [BOOK.txt]",
		Short: "List what was found, over any days, to read, to file and to reckon with",
		Long: `List every finding of the register, or of the days --from to --to, in the order of the
book, with who was on duty, what explains it, what it rests on and its reference. With
BOOK.txt (- for standard input) those of a book in notation, by the box file given as
--box or that of the box directory. What a later entry has answered is told with --all
and in JSON; it counts for nothing.

--format csv has a record a finding, csv-plain the same unguarded (fairhand help csv),
xlsx a row a finding, pdf and html a list to print.

Exit code 3 when something dangerous or irregular has no explanation.`,
		Example: `  fairhand findings --from 2026-01-01 --format csv -o findings.csv
  fairhand findings --severity danger --unexplained --json`,
		Args: args(0, 1, "the book"),
		RunE: func(cmd *cobra.Command, given []string) error {
			report, err := p.examine(cmd, &a, given)
			if err != nil {
				return err
			}
			if !answered && !p.js {
				report.Answered.Details = nil
			}
			if p.js {
				err = p.json(report.List())
			} else {
				err = p.print(&a.print, report.FindingsDocument(), a.dir)
			}
			return cmp.Or(err, result(report))
		},
	}
	cmd.Flags().BoolVar(&answered, "all", false, "what a later entry has answered as well")
	a.choice(cmd)
	return p.withJSON("", cmd)
}
