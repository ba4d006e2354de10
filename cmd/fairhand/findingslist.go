package main

import (
	"cmp"

	"github.com/spf13/cobra"
)

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
