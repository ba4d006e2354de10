package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/register"
)

// exporting is what the flags of fairhand export say.
type exporting struct {
	date, output string
	force        bool
	upTo         int64
	days         dayFlags
}

const collectHelp = `

Parquet is for those who collect the registers of many boxes. It goes into the folder
-o DIR, a file for each box and year, which may hold other boxes already:

  DIR/railway=.../box=.../year=2026/entries.parquet

so that an engine reads the folder as one table with columns railway, box and year.
A file holds the days asked for and no others. The files written are named on
standard output.`

func (p *program) exportCommand() *cobra.Command {
	var x exporting
	var help strings.Builder
	for _, f := range export.Formats() {
		fmt.Fprintf(&help, "\n  %-9s %s", f.Name, f.Help)
	}
	fmt.Fprintf(&help, "\n  %-9s %s", export.Parquet, "all entries, or those of the days --from --to, as a folder of files, for engines")
	cmd := &cobra.Command{
		Use:   "export",
		Short: "Write a day out in another form",
		Long: "Write a day out, to standard output or to a file that is there whole or not at all.\nWith --from or --to each day of them that has entries, to a file of its own in the\nfolder -o DIR, named by the day; the files are named on standard output.\nThe forms:\n" +
			help.String() + collectHelp,
		Example: `  fairhand export --format pdf --date 2026-05-05 -o day.pdf
  fairhand export --format html -o pages --from 2026-05-01 --to 2026-05-31
  fairhand export --format parquet -o collected --from 2026-01-01`,
		Args: func(cmd *cobra.Command, given []string) error {
			err := args(0, 0, "")(cmd, given)
			if err != nil {
				return withHint(err, "%s", "the day goes behind --date, the file behind -o:\nfairhand export --date 2026-05-05 --format pdf -o day.pdf")
			}
			return nil
		},
		RunE: p.onBook(true, func(cmd *cobra.Command, _ []string, book *register.Book, opt options) error {
			if as := export.EndsAs(x.output); as != "" && x.days == (dayFlags{}) && !cmd.Flags().Changed("format") {
				opt.Format = as
			}
			if opt.Format == export.Parquet {
				return p.collect(cmd.Context(), book, &x)
			}
			return p.exportDay(cmd.Context(), book, &opt, &x)
		}),
	}
	f := cmd.Flags()
	f.String("format", "", strings.Join(exportForms(), ", ")+"; as the ending of the file says, or else that of the options, when not given")
	f.StringVar(&x.date, "date", "", "the day, as 2026-05-05; today's when not given")
	f.StringVarP(&x.output, "output", "o", "", "file to write instead of standard output; of parquet the folder")
	f.BoolVar(&x.force, "force", false, "overwrite a file that exists")
	f.Int64Var(&x.upTo, "up-to", 0, "as the register told the day when this was its last entry: to compare with a page that names it")
	x.days.flags(cmd)
	return cmd
}

// exportDay writes one day.
func (p *program) exportDay(ctx context.Context, book *register.Book, opt *options, x *exporting) error {
	if x.days != (dayFlags{}) {
		return p.exportDays(ctx, book, opt, x)
	}
	day, err := dayOf(ctx, book, x.date)
	if err == nil && x.upTo != 0 && len(day.Alarms) == 0 {
		day, err = book.LoadDayUpTo(ctx, day.Date, x.upTo)
	}
	if err != nil {
		return err
	}
	p.withTimetable(day, book)
	sealDay(opt.Dir, day, book.Store())
	if x.output == "" {
		p.pass(opt.Format)
	}
	err = p.draw(x.output, x.force, func(w io.Writer) error { return export.Write(w, opt.Format, day) }, opt.Dir)
	return cmp.Or(err, alarmed(day.Alarms))
}

// exportDays writes each day of a span that has entries to a file of its own, named by
// the day. One that is damaged is written as such, and the command fails at its end.
func (p *program) exportDays(ctx context.Context, book *register.Book, opt *options, x *exporting) error {
	span, err := x.days.parse()
	switch {
	case err != nil:
		return err
	case x.date != "" || x.upTo != 0:
		return usagef("--date is one day, and --up-to goes with one day; --from and --to are a span of them")
	case x.output == "":
		return withHint(usagef("a span of days is written to a folder, a file a day, and none is named"), "name it with -o DIR")
	}
	if err := begun(book); err != nil {
		return err
	}
	one := exporting{force: x.force}
	var alarm error
	dates, err := book.Store().Days(span.from, span.to)
	if err != nil {
		return err
	}
	if len(dates) == 0 {
		return withHint(fmt.Errorf("%w in these days", register.ErrNoEntries), "fairhand verify says from when to when the register goes")
	}
	if err := os.MkdirAll(x.output, 0o700); err != nil {
		return fmt.Errorf("a folder for the days: %w", err)
	}
	for _, date := range dates {
		one.date, one.output = date.String(), filepath.Join(x.output, date.String()+export.Ending(opt.Format))
		err := p.exportDay(ctx, book, opt, &one)
		if err != nil && !is[*export.AlarmError](err) {
			return err
		}
		alarm = cmp.Or(alarm, err)
		fmt.Fprintln(p.out, one.output)
	}
	return alarm
}

// pass lets what is for programs through to standard output as it is: bytes always,
// text only where no terminal would be told by it what to do.
func (p *program) pass(format string) {
	if format != "text" {
		p.screen.Fold = 0
	}
	switch format {
	case "json":
		p.screen.JSON = true
	case "csv", "csv-plain", "notation":
		p.screen.Raw = !terminal(p.stdout)
	case "xlsx", "pdf":
		p.screen.Raw = true
	}
}

// exportForms are the forms that export knows, the folder of files last.
func exportForms() []string { return append(export.Names(), export.Parquet) }

// collect writes the entries of a box into the folder of many.
func (p *program) collect(ctx context.Context, book *register.Book, x *exporting) error {
	if x.date != "" {
		return usagef("--date is for the other forms; --from and --to say which days %s is to have", export.Parquet)
	}
	if x.output == "" {
		return withHint(usagef("--format %s writes a folder of files, and none is named", export.Parquet), "name it with -o DIR")
	}
	span, err := x.days.parse()
	if err != nil {
		return err
	}
	if err := begun(book); err != nil {
		return err
	}
	if alarms := alarmsOf(book); len(alarms) > 0 {
		return &export.AlarmError{Alarms: alarms}
	}
	files, err := export.Collect(ctx, x.output, book, span.from, span.to, x.force)
	for _, name := range files {
		fmt.Fprintln(p.out, name)
	}
	if errors.Is(err, register.ErrNoEntries) {
		return withHint(err, "fairhand verify says from when to when the register goes")
	}
	return overwritable(err)
}
