package main

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/register"
	"fairhand/register/table"
)

// csvHelp says how a transcribed book is laid out as CSV.
const csvHelp = `With --csv the book is a table, such as one typed from a paper book in a spreadsheet.
Its first line names the columns, in any order; those not needed are left out:

  date       2026-05-05; empty: as above
  time       10:41 or 10:41:30, by the clock of the box
  written    when it was written, where the book says so: 10:55
  entry      the entry in notation, without its time: train 2P07 arrived complete
  section, direction, beats, train, line
             instead of entry, for a bell signal: the neighbour, sent or received,
             3-1, and where the book has them the train and the line; the box file
             then has booking: signals
  remark     text beside a bell signal

A comma or a semicolon stands between the fields. The entries are marked as a
transcription of the file, or of what --transcription says.`

// tabled reads a book that is a table.
func tabled(src io.Reader, name string, opt *register.ImportOptions) (io.Reader, error) {
	book, err := table.Book(bufio.NewReaderSize(src, 64<<10))
	if err != nil {
		return nil, inBook(name, err)
	}
	opt.Transcription = cmp.Or(opt.Transcription, "table "+filepath.Base(name))
	return book, nil
}

func (p *program) importCommand() *cobra.Command {
	var opt register.ImportOptions
	var create, asTable, all, js bool
	cmd := &cobra.Command{
		Use:   "import BOOK.txt",
		Short: "Take a whole book in notation into the register, or nothing of it",
		Long: `Take a whole book in notation into the register, or nothing of it. Times are kept;
that of writing is now, and who wrote is taken from the book's duty lines. A number
in the book (correct 3) means the book's own third entry. The book must be later
than the register's last day, or --older be given. BOOK.txt may be - for standard
input. What is found is listed as by fairhand check, by entry number, what follows from
a finding behind it; with --all also what a later entry of the book has answered, which
counts for nothing. Every line that cannot be read is told, and then nothing is taken;
--dry-run tells what would be found.

` + csvHelp,
		Args: args(1, 1, "the book to import"),
		RunE: func(cmd *cobra.Command, given []string) error {
			src, done, err := p.openInput(given[0])
			if err != nil {
				return err
			}
			defer done()
			if asTable {
				if src, err = tabled(src, given[0], &opt); err != nil {
					return err
				}
			}
			book, err := p.openImport(cmd, create && !opt.DryRun, opt.DryRun)
			if err != nil {
				return err
			}
			defer book.Close()
			text, clean, err := seekable(src)
			if err != nil {
				return err
			}
			defer clean()
			in, err := book.Import(cmd.Context(), text, opt)
			if err != nil {
				if asTable {
					err = table.WithoutColumns(err)
				}
				return importError(given[0], err)
			}
			if !all {
				in.Answered = nil
			}
			return p.sayImported(book, in, opt.DryRun, js)
		},
	}
	f := cmd.Flags()
	jsonFlag(cmd, &js)
	f.StringVar(&opt.Transcription, "transcription", "", `what the book was copied from, such as "paper book 12"; written first`)
	f.BoolVar(&asTable, "csv", false, "the book is a table, as CSV")
	f.BoolVar(&opt.Older, "older", false, "take a book that is not later than the register")
	f.BoolVar(&opt.DryRun, "dry-run", false, "tell what would be found, and write nothing")
	f.BoolVar(&all, "all", false, "what a later entry has answered as well")
	f.BoolVar(&create, "create", false, "make the register first when the box has none")
	return cmd
}

// openImport opens the register to import into; with create it is made when the
// box has none yet.
func (p *program) openImport(cmd *cobra.Command, create, readOnly bool) (*register.Book, error) {
	book, opt, err := p.openBook(cmd, readOnly)
	if !create || !notThere(err) {
		return book, err
	}
	if _, err := p.loadBox(cmd, ""); err != nil {
		return nil, err
	}
	book, err = register.Create(opt.Dir, register.Options{})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", filepath.Join(opt.Dir, register.RegisterName), err)
	}
	return book, nil
}

// importError tells a fault of the book with its file and line.
func importError(name string, err error) error {
	if isNotation(err) {
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

func (p *program) sayImported(book *register.Book, in register.Imported, dry, js bool) error {
	var found tally
	list := append(in.Findings, in.Answered...)
	if js {
		out := importedJSON{!dry, in.First, in.Last, in.FirstDay.String(), in.LastDay.String(), []findingJSON{}}
		for _, f := range list {
			found.add(f)
			out.Findings = append(out.Findings, asJSON(f, book.Location()))
		}
		return cmp.Or(p.json(out), found.result())
	}
	if len(list) > 0 {
		p.findingHeading("entry")
	}
	for _, f := range list {
		found.add(f)
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
