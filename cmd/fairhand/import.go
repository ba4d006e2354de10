package main

import (
	"bufio"
	"cmp"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/register"
	"fairhand/register/notation"
	"fairhand/register/table"
	"fairhand/register/watch"
)

// csvHelp says how a transcribed book is laid out as CSV.
const csvHelp = `With --csv the book is a table, such as one typed from a paper book in a spreadsheet.
Its first line names the columns, in any order; those not needed are left out:

  date       2026-05-05; empty: as above
  time       10:41 or 10:41:30, by the clock of the box
  written    when it was written, where the book says so: 10:55
  entry      the entry in notation, without its time: train 2P07 arrived complete
  section, direction, beats, train, line
             instead of entry, for a bell signal: the neighbour, sent or
             received, 3-1, and where the book has them the train and the
             line; the box file then has booking: signals
  remark     text beside a bell signal

A comma or a semicolon stands between the fields.`

// bookIn opens a book in notation, or with asTable one that is a table, to be read more
// than once. The faults are those of the table: with any the book serves only to find
// what else is wrong in it. done closes it.
func (p *program) bookIn(name string, asTable bool) (book io.ReadSeeker, faults notation.Errors, done func(), err error) {
	src, closeInput, err := p.openInput(name)
	if err != nil {
		return nil, nil, nil, err
	}
	if asTable {
		defer closeInput()
		text, faults, err := table.Book(bufio.NewReaderSize(src, 64<<10))
		if err != nil {
			return nil, nil, nil, inBook(name, err)
		}
		return text, faults, func() {}, nil
	}
	book, clean, err := seekable(src)
	if err != nil {
		closeInput()
		return nil, nil, nil, err
	}
	return book, nil, func() { clean(); closeInput() }, nil
}

const importHelp = `Take a whole book in notation into the register, or nothing of it. Times are kept;
that of writing is now, and who wrote is taken from the book's duty lines. The entries
are marked as a transcription of the file, or of what --transcription says, and are no
later for that; --transcription '' marks none. A number in the book (correct 3) means the
book's own third entry. The book must be later than the register's last day, or --older
be given. BOOK.txt may be - for standard input. What is found is listed as by fairhand
check, by entry number, what follows from a finding behind it; with --all also what a
later entry of the book has answered, which counts for nothing. Every line that cannot
be read is told, and then nothing is taken; --dry-run tells what would be found, also for
a box that has no register yet. A book of which most entries are in the register already,
line for line, is refused; --again takes it all the same.

`

func (p *program) importCommand() *cobra.Command {
	var opt register.ImportOptions
	var create, asTable, all bool
	cmd := &cobra.Command{
		Use:   "import BOOK.txt",
		Short: "Take a whole book in notation into the register, or nothing of it",
		Long:  importHelp + csvHelp,
		Args:  args(1, 1, "the book to import"),
		RunE: func(cmd *cobra.Command, given []string) error {
			readsAll()
			text, faults, done, err := p.bookIn(given[0], asTable)
			if err != nil {
				return err
			}
			defer done()
			if !cmd.Flags().Changed("transcription") {
				opt.Transcription = source(given[0], asTable)
			}
			tried := opt
			tried.DryRun = opt.DryRun || len(faults) > 0 // only for what else is wrong
			book, clean, err := p.openImport(cmd, create, tried.DryRun)
			if err != nil {
				return err
			}
			if !tried.DryRun {
				p.underAlarms(cmd.Context(), book)
			}
			in, err := p.takeIn(cmd.Context(), book, text, tried)
			defer clean(err != nil)
			if asTable {
				err = table.WithFaults(faults, err)
			}
			if err != nil {
				return importError(given[0], err)
			}
			if !all {
				in.Answered = nil
			}
			return p.sayImported(book, in, opt.DryRun)
		},
	}
	f := cmd.Flags()
	f.StringVar(&opt.Transcription, "transcription", "", `what the book was copied from, such as "paper book 12"; written first, and where it ends below it (default: the file)`)
	f.BoolVar(&asTable, "csv", false, "the book is a table, as CSV")
	f.BoolVar(&opt.Older, "older", false, "take a book that is not later than the register")
	f.BoolVar(&opt.Again, "again", false, "take a book though most of its entries are in the register already")
	f.BoolVar(&opt.DryRun, "dry-run", false, "tell what would be found, and write nothing")
	f.BoolVar(&all, "all", false, "what a later entry has answered as well")
	f.BoolVar(&create, "create", false, "make the register first when the box has none")
	return p.withJSON("", cmd)
}

// source is what an import copies from where nothing else is said. All that is imported was
// written elsewhere at its time, and is no later for being taken in now.
func source(name string, asTable bool) string {
	switch {
	case name == "-":
		return "a book from standard input"
	case asTable:
		return "table " + filepath.Base(name)
	}
	return "book " + filepath.Base(name)
}

// openImport opens the register to import into, and says how it is closed. With create
// it is made when the box has none yet; a dry run of a box without one has an empty one
// in a folder for temporary files, of which nothing is left.
// One that was made, and into which nothing came, is taken away again.
func (p *program) openImport(cmd *cobra.Command, create, dry bool) (*register.Book, func(failed bool), error) {
	book, opt, err := p.openBook(cmd, dry)
	if err == nil {
		return book, func(bool) { book.Close() }, nil
	}
	if !create && !dry || !notThere(err) {
		return nil, nil, err
	}
	file, err := p.loadBox(cmd, "")
	if err != nil {
		return nil, nil, err
	}
	dir, clean := opt.Dir, func() {}
	if dry {
		if dir, err = os.MkdirTemp("", "fairhand-dry-"); err != nil {
			return nil, nil, fmt.Errorf("a register for the dry run: %w", err)
		}
		clean = func() { os.RemoveAll(dir) }
		if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), []byte(file.Text), 0o600); err != nil {
			clean()
			return nil, nil, err
		}
	}
	book, err = register.Create(dir, register.Options{})
	if err != nil {
		clean()
		return nil, nil, fmt.Errorf("%s: %w", filepath.Join(opt.Dir, register.RegisterName), err)
	}
	return book, func(failed bool) {
		empty := book.Store().Tail().Seq == 0
		book.Close()
		if failed && empty && !dry {
			os.Remove(filepath.Join(dir, register.RegisterName))
		}
		clean()
	}, nil
}

// takeIn imports a book, but refuses a whole one for a register that is damaged, where one
// entry would be written behind a mark; a seal that does not fit is told.
func (p *program) takeIn(ctx context.Context, book *register.Book, text io.ReadSeeker, opt register.ImportOptions) (register.Imported, error) {
	if !opt.DryRun {
		if err := book.Prove(ctx); err != nil {
			return register.Imported{}, err
		}
		for _, a := range watch.Seals(book.Dir, book.Store()) {
			fmt.Fprintf(p.notes, "fairhand: %s\n", a)
		}
	}
	return book.Import(ctx, text, opt)
}

// importError tells a fault of the book with its file and line.
func importError(name string, err error) error {
	if is[*notation.Error](err) {
		return &bookError{name, err}
	}
	return fmt.Errorf("importing %s: %w", name, err)
}

// importedJSON is what an import wrote, or would write, for programs.
type importedJSON struct {
	Written  bool          `json:"written"`
	First    int64         `json:"first"` // entry of the register
	Last     int64         `json:"last"`
	FirstDay string        `json:"first-day"`
	LastDay  string        `json:"last-day"`
	Findings []findingJSON `json:"findings"` // with --all those also that were answered
}

func (p *program) sayImported(book *register.Book, in register.Imported, dry bool) error {
	var found tally
	list := append(in.Findings, in.Answered...)
	found.add(list...)
	if p.js {
		out := importedJSON{!dry, in.First, in.Last, in.FirstDay.String(), in.LastDay.String(), allAsJSON(list, book.Location())}
		return cmp.Or(p.json(out), found.result())
	}
	if len(list) > 0 {
		p.findingHeading("entry")
	}
	for _, f := range list {
		f.Text = strings.Join(append([]string{f.Text}, register.Standing(&f)...), "; ")
		if err := p.findingLine(f, book.Location()); err != nil {
			return err
		}
	}
	said := "imported"
	if dry {
		said = "would be imported; nothing was written"
	}
	fmt.Fprintf(p.out, "%d entries of %s to %s %s: entries %d to %d of the register; %s\n",
		in.Last-in.First+1, in.FirstDay.String(), in.LastDay.String(), said, in.First, in.Last, &found)
	return found.result()
}
