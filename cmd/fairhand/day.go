package main

import (
	"cmp"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/register"
)

func (p *program) dayCommand() *cobra.Command {
	return p.withJSON("", p.onDay(&cobra.Command{
		Use:   "day [DATE]",
		Short: "Print the page of a day",
		Long: `Print the page of a day: of today, or of the DATE given as 2026-05-05. --json gives the
day for programs, as fairhand export --format json does.`,
	}, func(_ *cobra.Command, book *register.Book, opt options, day *register.Day) error {
		format := "text"
		if p.js {
			format = "json"
			p.withTimetable(day, book)
			sealDay(opt.Dir, day, book.Store())
			p.pass(format)
		}
		return cmp.Or(export.Write(p.out, format, day), alarmed(day.Alarms))
	}))
}
