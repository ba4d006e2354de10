package main

import (
	"cmp"

	"github.com/spf13/cobra"

	"fairhand/export"
)

func (p *program) dayCommand() *cobra.Command {
	var date *string
	cmd := &cobra.Command{
		Use:   "day [DATE]",
		Short: "Print the page of a day",
		Long:  "Print the page of a day: of today, or of the DATE given as 2026-05-05.",
		Args:  args(0, 1, "DATE"),
		RunE: func(cmd *cobra.Command, given []string) error {
			book, _, day, err := p.askedDay(cmd, given, *date)
			if err != nil {
				return err
			}
			defer book.Close()
			return cmp.Or(export.Write(p.out, "text", day), alarmed(day.Alarms))
		},
	}
	date = dateFlag(cmd)
	return cmd
}
