package main

import (
	"github.com/spf13/cobra"

	"fairhand/export"
)

func (p *program) dayCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "day [DATE]",
		Short: "Print the page of a day",
		Long:  "Print the page of a day: of today, or of the DATE given as 2026-05-05.",
		Args:  args(0, 1, "DATE"),
		RunE: func(cmd *cobra.Command, given []string) error {
			book, _, err := p.openBook(cmd, true)
			if err != nil {
				return err
			}
			defer book.Close()
			date := ""
			if len(given) > 0 {
				date = given[0]
			}
			day, err := dayOf(book, date)
			if err != nil {
				return err
			}
			return export.Write(p.out, "text", day)
		},
	}
}
