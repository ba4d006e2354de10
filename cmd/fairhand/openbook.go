package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/notation"
	"fairhand/register/store"
	"fairhand/register/watch"
)

// openBook opens the register of the box directory in the options. Whatever only
// looks opens it for reading, so that it works on a disk that cannot be written, and
// has all of it proved.
func (p *program) openBook(cmd *cobra.Command, readOnly bool) (*register.Book, options, error) {
	opt, err := p.options(cmd)
	if err != nil {
		return nil, opt, err
	}
	if readOnly {
		readsAll()
	}
	book, err := openDir(opt.Dir, readOnly)
	if err == nil {
		book.Progress = p.progress()
	}
	return book, opt, err
}

// readsAll is for commands that go through whole books and keep little of them: garbage
// is collected when there is three times as much of it as there is of what is kept, a
// tenth to a fifth of their time less for some 25 MB.
func readsAll() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(300)
	}
}

// onBook is a command that opens the register of the box directory, works on it and
// closes it.
func (p *program) onBook(readOnly bool, work func(cmd *cobra.Command, given []string, book *register.Book, opt options) error) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, given []string) error {
		book, opt, err := p.openBook(cmd, readOnly)
		if err != nil {
			return err
		}
		defer book.Close()
		return work(cmd, given, book, opt)
	}
}

// openDir opens a box directory. The clock of a demonstration stands still
// between two openings: it goes on from the last entry.
func openDir(dir string, readOnly bool) (*register.Book, error) {
	var clock demoClock
	o := register.Options{ReadOnly: readOnly}
	demo := isDemo(dir)
	if demo {
		o.Now = clock.now
	}
	book, err := register.Open(dir, o)
	switch {
	case errors.Is(err, store.ErrReadOnly):
		at := shellWord(dir)
		return nil, withHint(fmt.Errorf("the register in %s is closed to writing; here it can be read only", dir), "to write in it: have this account let into the folder and %s,\nor the lock of the disk taken off\n"+
			"to look at it: fairhand -C %s day\nand so handover, findings, graph, audit, verify", register.RegisterName, at)
	case err != nil:
		return nil, boxMissing(err, dir)
	}
	if demo {
		clock.start(book.Recent())
	}
	return book, nil
}

// loadBox reads a box file: the one given, or that of the box directory.
func (p *program) loadBox(cmd *cobra.Command, path string) (*boxfile.File, error) {
	if path != "" {
		return boxfile.Load(path)
	}
	opt, err := p.options(cmd)
	if err != nil {
		return nil, err
	}
	file, err := boxfile.Load(filepath.Join(opt.Dir, register.BoxFileName))
	if err != nil {
		return nil, boxMissing(err, opt.Dir)
	}
	return file, nil
}

// boxOrKept is the box file of the box directory or, where there is none, the description
// in force at the end of the register in a file ("": that of the directory), by which
// box.yaml can be made again.
func (p *program) boxOrKept(cmd *cobra.Command, file string) (box *boxfile.File, kept bool, err error) {
	opt, err := p.options(cmd)
	if err != nil {
		return nil, false, err
	}
	if box, err = p.loadBox(cmd, ""); err == nil || !errors.Is(err, fs.ErrNotExist) {
		return box, false, err
	}
	reg, lerr := register.Look(cmp.Or(file, filepath.Join(opt.Dir, register.RegisterName)), nil)
	if lerr != nil {
		return nil, false, err
	}
	defer reg.Close()
	box, err = boxfile.Decode(strings.NewReader(reg.File().Text), filepath.Join(opt.Dir, register.BoxFileName))
	return box, true, err
}

// boxMissing says where a box can be had when the directory has none.
func boxMissing(err error, dir string) error {
	if info, serr := os.Stat(dir); serr == nil && !info.IsDir() {
		return fmt.Errorf("%s is a file; a box is a directory, with its %s and %s", dir, register.BoxFileName, register.RegisterName)
	}
	if !notThere(err) {
		return err
	}
	if _, serr := os.Stat(filepath.Join(dir, register.BoxFileName)); serr == nil {
		return withHint(fmt.Errorf("%s has a %s and no %s: %w", dir, register.BoxFileName, register.RegisterName, fs.ErrNotExist),
			"fairhand init %s begins it empty\nfairhand -C %s import --create BOOK.txt makes it from a book\n"+
				"if it was there before: fairhand -C %s restore COPY puts a copy of it back", shellWord(dir), shellWord(dir), shellWord(dir))
	}
	return withHint(&noBoxError{dir}, "fairhand demo        makes the box of an invented railway, a day half worked\n"+
		"fairhand init DIR    asks for your own box and makes it in DIR\n"+
		"fairhand -C DIR ...  works in the box that is in DIR\n"+
		"fairhand audit --box BOX.yaml BOOK.txt  reads a book in notation\n"+
		"fairhand -C DIR restore COPY  puts a box there again from a copy of its register\n\n%s", register.CautionIn(plainColumns))
}

// noBoxError is a directory that holds no box.
type noBoxError struct{ dir string }

func (e *noBoxError) Error() string        { return "there is no box in " + e.dir }
func (e *noBoxError) Is(target error) bool { return target == fs.ErrNotExist }

// dateHelp says how each command takes a day.
const dateHelp = `fairhand day 2026-05-05                 and so with graph
fairhand export --date 2026-05-05 ...
fairhand audit --from 2026-05-01 --to 2026-05-31`

// begun refuses a register without any entry, of which there is nothing to show.
func begun(book *register.Book) error {
	if book.Store().Tail().Seq > 0 {
		return nil
	}
	return withHint(fmt.Errorf("%w yet", register.ErrNoEntries), "fairhand log LINE writes the first; how it is written: fairhand help notation")
}

// parseDay reads a date argument as a register day.
func parseDay(text string) (calendar.Day, error) {
	day, err := calendar.Parse(text)
	if err != nil {
		return 0, withHint(usagef("%q is no date; write it as 2026-05-05", text), "%s", dateHelp)
	}
	return day, nil
}

// onDay makes a command that shows a day: the DATE given as an argument, or by the flag
// that export has for it, today for neither.
func (p *program) onDay(cmd *cobra.Command, show func(cmd *cobra.Command, book *register.Book, opt options, day *register.Day) error) *cobra.Command {
	date := cmd.Flags().String("date", "", "the day, as DATE")
	cmd.Args = args(0, 1, "DATE")
	cmd.RunE = func(cmd *cobra.Command, given []string) error {
		text := *date
		if len(given) > 0 {
			if text != "" {
				return withHint(usagef("the day is given twice, as %s and as --date %s", given[0], text), "%s", dateHelp)
			}
			text = given[0]
		}
		return p.onBook(true, func(cmd *cobra.Command, _ []string, book *register.Book, opt options) error {
			day, err := dayOf(cmd.Context(), book, text)
			if err != nil {
				return err
			}
			return show(cmd, book, opt, day)
		})(cmd, given)
	}
	return cmd
}

// dayOf reads the day asked for, of which there may be none: then today's by the
// clock of the book.
func dayOf(ctx context.Context, book *register.Book, text string) (*register.Day, error) {
	day := book.DayOf(book.Now())
	if text != "" {
		var err error
		if day, err = parseDay(text); err != nil {
			return nil, err
		}
	}
	if err := begun(book); err != nil {
		return nil, err
	}
	d, err := book.LoadDay(ctx, day)
	if errors.Is(err, register.ErrNoEntries) {
		if last, lerr := book.Store().LastDay(); lerr == nil && last != 0 {
			return nil, withHint(err, "the last day with entries is %s", last)
		}
	}
	if err == nil {
		d.Alarms = append(d.Alarms, watch.Seals(book.Dir, book.Store())...)
	}
	return d, err
}

// seekable gives a book that can be read twice. What cannot (a pipe) is first
// copied to a file that is removed by done.
func seekable(src io.Reader) (book io.ReadSeeker, done func(), err error) {
	switch f := src.(type) {
	case *os.File:
		if info, err := f.Stat(); err == nil && info.Mode().IsRegular() {
			return f, func() {}, nil
		}
	case *bytes.Reader:
		return f, func() {}, nil
	}
	tmp, err := os.CreateTemp("", "fairhand-book-*.txt")
	if err != nil {
		return nil, nil, fmt.Errorf("a copy of the book cannot be kept while it is read: %w", err)
	}
	done = func() {
		tmp.Close()
		os.Remove(tmp.Name())
	}
	if _, err := io.Copy(tmp, bounded.Of(src, notation.MaxLine, bounded.Book)); err != nil {
		done()
		return nil, nil, fmt.Errorf("copying the book to read it: %w", err)
	}
	if _, err := tmp.Seek(0, io.SeekStart); err != nil {
		done()
		return nil, nil, fmt.Errorf("going back to the beginning of the book: %w", err)
	}
	return tmp, done, nil
}

// openInput opens a file named on the command line; - is standard input.
func (p *program) openInput(name string) (src io.Reader, done func(), err error) {
	if name == "-" {
		return p.stdin, func() {}, nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, nil, err
	}
	info, err := f.Stat()
	if err == nil && info.IsDir() {
		err = fmt.Errorf("%s: %w, but a directory", name, bounded.ErrNoFile)
	}
	if err != nil {
		f.Close()
		return nil, nil, err
	}
	return f, func() { f.Close() }, nil
}

// describe brings box.yaml into force where it is not yet, and tells the entry that
// does it.
func (p *program) describe(book *register.Book) error {
	before := book.Store().Tail().Seq
	if err := book.Describe(); err != nil {
		return err
	}
	for _, e := range book.Recent() {
		if e.Seq > before && e.Event.Kind == block.Described { // others write at the same time
			fmt.Fprintf(p.notes, "fairhand: %s has come into force; entry %d: %s\n", register.BoxFileName, e.Seq, e.Line)
		}
	}
	return nil
}
