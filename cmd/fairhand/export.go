package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/register"
)

func (p *program) exportCommand() *cobra.Command {
	var date, output string
	var force bool
	var help strings.Builder
	for _, f := range export.Formats() {
		fmt.Fprintf(&help, "\n  %-9s %s", f.Name, f.Help)
	}
	cmd := &cobra.Command{
		Use:   "export",
		Short: "Write a day out in another form",
		Long:  "Write a day out, to standard output or to a file that is there whole or not at all.\nThe forms:\n" + help.String(),
		Args:  args(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			book, opt, err := p.openBook(cmd, true)
			if err != nil {
				return err
			}
			defer book.Close()
			day, err := dayOf(book, date)
			if err != nil {
				return err
			}
			p.withTimetable(day, book)
			if day.Seal, err = sealOfDay(opt.Dir, day); err != nil {
				return err
			}
			if output == "" {
				return export.Write(p.out, opt.Format, day)
			}
			if err := spare(opt.Dir, output); err != nil {
				return err
			}
			err = export.Create(output, force, func(w io.Writer) error { return export.Write(w, opt.Format, day) })
			if errors.Is(err, fs.ErrExist) {
				return withHint(err, "--force overwrites it")
			}
			return err
		},
	}
	f := cmd.Flags()
	f.String("format", "", strings.Join(export.Names(), ", ")+"; that of the options when not given")
	f.StringVar(&date, "date", "", "the day, as 2026-05-05; today's when not given")
	f.StringVarP(&output, "output", "o", "", "file to write instead of standard output")
	f.BoolVar(&force, "force", false, "overwrite a file that exists")
	return cmd
}

// spare refuses, even by force, to write over the box's own files.
func spare(dir, output string) error {
	out, err := os.Stat(output)
	if err != nil {
		return nil // there is nothing to spare
	}
	for _, name := range []string{register.RegisterName, register.BoxFileName} {
		if own, err := os.Stat(filepath.Join(dir, name)); err == nil && os.SameFile(own, out) {
			return fmt.Errorf("%s is the box's own %s and is never written over", output, name)
		}
	}
	return nil
}
