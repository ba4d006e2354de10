package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	"github.com/spf13/cobra"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/table"
)

func (p *program) checkCommand() *cobra.Command {
	var box string
	var all, asTable bool
	cmd := &cobra.Command{
		Use:   "check --box BOX.yaml BOOK.txt",
		Short: "Replay a book in notation without a register, and list what is found",
		Long: `Replay a book in notation without a register, and print one finding a line:

  line:time severity rule-id section train text

They stand in the order of the moments that brought them to light, an entry written
late at the time of which it tells; what follows from an earlier slip names the line of
that. A section or train that is not concerned is -, a name with spaces is quoted. On a
terminal a heading stands above, on the standard error output. With --json each
finding is an object with these keys (line, time, severity, rule-id, section, train,
text) and with date, expected, reference and rests. BOOK.txt may be - for standard
input. Without --box the box file of the box directory is used.

What was found of an entry that a later one corrects, and no longer stands, is told
with --all and in JSON, there with the line that answers it as answered. It counts
for nothing.

Exit code 3 when something dangerous or irregular was found; advice alone is 0.`,
		Args: args(1, 1, "the book to check"),
		RunE: func(cmd *cobra.Command, given []string) error {
			readsAll()
			return p.check(cmd, box, given[0], asTable, all)
		},
	}
	cmd.Flags().StringVar(&box, "box", "", "box file that describes the box of the book")
	cmd.Flags().BoolVar(&asTable, "csv", false, "the book is a table, as CSV: fairhand help import")
	cmd.Flags().BoolVar(&all, "all", false, "what a correction has answered as well")
	return p.withJSON(" a finding", cmd)
}

func (p *program) check(cmd *cobra.Command, box, name string, asTable, all bool) error {
	file, err := p.loadBox(cmd, box)
	if err != nil {
		return err
	}
	book, faults, done, err := p.bookIn(name, asTable)
	if err != nil {
		return err
	}
	defer done()
	if len(faults) > 0 { // only for what else is wrong
		_, err := register.Check(cmd.Context(), file.Box, file.Location, book, func(block.Finding) error { return nil })
		return inBook(name, table.WithFaults(faults, err))
	}
	var found tally
	sum, err := register.Check(cmd.Context(), file.Box, file.Location, book, func(f block.Finding) error {
		told := found != (tally{})
		found.add(f)
		switch {
		case p.js:
			return p.json(asJSON(f, file.Location))
		case f.Answered != 0 && !all:
			return nil
		case f.Answered != 0:
			f.Text += fmt.Sprintf("; answered by line %d", f.Answered)
		}
		if f.Root != 0 {
			f.Text += fmt.Sprintf("; follows from line %d", f.Root)
		}
		if !told {
			p.findingHeading("line")
		}
		return p.findingLine(f, file.Location)
	})
	if asTable {
		err = table.WithFaults(nil, err)
	}
	if err != nil {
		return inBook(name, err)
	}
	for i := range sum.Repeated {
		fmt.Fprintf(p.notes, "fairhand: %s: a part of the book stands twice in it: %s\n", name, sum.Repeated[i].Again())
	}
	if terminal(p.stderr) || sum.Entries == 0 { // else nobody would see that nothing was checked
		fmt.Fprintf(p.notes, "%d entries: %s\n", sum.Entries, &found)
	}
	return found.result()
}

// inBook tells an error of a book with the name of its file. One of the system,
// which names the file itself, and an interruption stay as they are.
func inBook(name string, err error) error {
	if is[*fs.PathError](err) || errors.Is(err, context.Canceled) {
		return err
	}
	return &bookError{name, err}
}
