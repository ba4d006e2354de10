package main

import (
	"cmp"

	"github.com/spf13/cobra"

	"fairhand/export"
)

func (p *program) dayCommand() *cobra.Command {
	var date *string
	var js bool
	cmd := &cobra.Command{
		Use:   "day [DATE]",
		Short: "Print the page of a day",
		Long: `Print the page of a day: of today, or of the DATE given as 2026-05-05. --json gives the
day for programs, as fairhand export --format json does.`,
		Args: args(0, 1, "DATE"),
		RunE: func(cmd *cobra.Command, given []string) error {
			book, opt, day, err := p.askedDay(cmd, given, *date)
			if err != nil {
				return err
			}
			defer book.Close()
			format := "text"
			if js {
				format = "json"
				p.withTimetable(day, book)
				sealDay(opt.Dir, day)
				p.pass(format)
			}
			return cmp.Or(export.Write(p.out, format, day), alarmed(day.Alarms))
		},
	}
	date = dateFlag(cmd)
	jsonFlag(cmd, &js)
	return cmd
}
