package main

import (
	"cmp"
	"errors"
	"io"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/register/sheet"
)

// printing is how a report is put on paper or filed: the flags that its command
// shares with fairhand export.
type printing struct {
	format, output string
	force          bool
}

func (x *printing) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&x.format, "format", "", "how it is printed: "+strings.Join(export.Drawn(), ", ")+"; as the ending of the file says, or else text, when not given")
	f.StringVarP(&x.output, "output", "o", "", "file to write instead of standard output")
	f.BoolVar(&x.force, "force", false, "overwrite a file that exists")
}

// check refuses what cannot be printed before any work is done, and settles the format;
// js says that a program is to have the report instead.
func (x *printing) check(js bool) error {
	if x.format == "" && !js {
		x.format = cmp.Or(export.EndsAs(x.output), "text")
	}
	switch {
	case js && (x.format != "" && x.format != "text" || x.output != ""):
		return usagef("--json goes to standard output alone; --format and -o are for what is printed")
	case js:
	case !slices.Contains(export.Drawn(), x.format):
		return usagef("there is no format %q; known are %s", x.format, strings.Join(export.Drawn(), ", "))
	}
	return nil
}

// print writes a report as the flags say; dirs are box directories whose files are spared.
func (p *program) print(x *printing, doc *sheet.Document, dirs ...string) error {
	if x.output == "" {
		p.pass(x.format)
	}
	return p.draw(x.output, x.force, func(w io.Writer) error { return export.Draw(w, x.format, doc) }, dirs...)
}

// draw gives to a file what draws to a writer, "" for the standard output, and spares
// what is the own of the boxes in dirs.
func (p *program) draw(file string, force bool, draw func(io.Writer) error, dirs ...string) error {
	if file == "" {
		return draw(p.out)
	}
	for _, dir := range dirs {
		if err := spare(dir, file); err != nil {
			return err
		}
	}
	return overwritable(export.Create(file, force, draw))
}

func overwritable(err error) error {
	if errors.Is(err, fs.ErrExist) {
		return withHint(err, "--force overwrites it")
	}
	return err
}
