package main

import (
	"bufio"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/export/graph"
	"fairhand/register"
	"fairhand/register/filelock"
	"fairhand/register/sheet"
	"fairhand/register/watch"
	"fairhand/tui"
)

// talkCommand is the desk in lines of plain text.
func (p *program) talkCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "talk",
		Short: "The desk as lines of plain text, for a screen reader, a braille line or a serial terminal",
		Long: `The desk as lines of plain text: what a line asks for is done, and what has changed is told in
lines. A number writes the entry told under it, a key of the desk opens what it opens there, an answer to what is asked is a
line, and a longer line is an entry. A question mark tells the keys, an empty line what is expected next, s everything
that stands. It ends with q and y, or with the end of the input; every entry is on disk as soon as it is told.
A program has fairhand log and handover --json for this. A PIN is not shown as it is typed; where the terminal cannot be told so, that is said before it is typed.`,
		Example: "  fairhand talk",
		Args:    args(0, 0, "nothing"),
		RunE: p.atDesk(func(ctx context.Context, book *register.Book, opt options) error {
			talk := deskOptions(book, opt)
			if f, ok := p.stdin.(*os.File); ok {
				talk.Hide = hiding(f)
			}
			return tui.Talk(ctx, book, p.stdin, flushing{p.out}, talk)
		}),
	}
}

// flushing is an output in which each line is told as soon as it is written.
type flushing struct{ out *bufio.Writer }

func (f flushing) Write(b []byte) (int, error) {
	n, err := f.out.Write(b)
	return n, errors.Join(err, f.out.Flush())
}

func deskOptions(book *register.Book, opt options) tui.Options {
	over := watch.Over(book)
	if opt.Copies != "" {
		over.CopyTo(copiesTo(opt.Copies))
	}
	var proofs watch.Proofs
	over.Beside = func(ctx context.Context) []sheet.Alarm {
		byBook, err := heldByBook(ctx, book.Store())
		if err != nil && ctx.Err() == nil { // damage of the register is told by its proof
			return nil
		}
		_, list := volumesBeside(ctx, book.Dir, filepath.Join(book.Dir, archiveDir), book.Store(), byBook, proofs.Damage)
		return list
	}
	var card strings.Builder
	printPage(&card, book.Box(), codeRows(book.Box(), ""))
	return tui.Options{
		ASCII: opt.ASCII,
		Look:  opt.Color,
		Bell:  opt.Bell,
		Graph: graph.Text,
		Codes: card.String(),
		Title: book.Box().Name + ", Fairhand",
		Watch: over,

		Another: opt.another,
	}
}

// runDesk is the program without a command.
func (p *program) runDesk(cmd *cobra.Command, _ []string) error {
	if opt, err := p.options(cmd); err == nil && unbegun(opt.Dir) && p.hasTerminal() {
		if err := p.offerBegin(opt.Dir); err != nil {
			return err
		}
	}
	return p.atDesk(p.desk)(cmd, nil)
}

// atDesk is a command that works a desk on the register of the box. A clock in doubt is
// asked about there.
func (p *program) atDesk(work func(context.Context, *register.Book, options) error) func(*cobra.Command, []string) error {
	return p.onBook(false, func(cmd *cobra.Command, _ []string, book *register.Book, opt options) error {
		if err := p.describe(book); err != nil && !errors.Is(err, register.ErrClock) {
			return err
		}
		release, another, err := filelock.Take(filepath.Join(book.Dir, deskLock))
		if err == nil && !another { // where no file can be made two desks do not know of each other
			defer release()
		}
		opt.another = another
		book.Stand(cmd.Context(), standBefore)
		return work(cmd.Context(), book, opt)
	})
}

// deskLock is the file in the box directory that an open desk has locked.
const deskLock = "desk.lock"

// desk opens the desk, when there is a terminal to open it on, and returns when it is left.
func (p *program) desk(ctx context.Context, book *register.Book, opt options) error {
	if !p.hasTerminal() {
		return withHint(usagef("the desk needs a terminal"), "without one: fairhand log, day, check, export and the others")
	}
	if err := p.out.Flush(); err != nil { // the desk has the screen from now on
		return err
	}
	return tui.Run(ctx, book, deskOptions(book, opt))
}

// hasTerminal says whether somebody sits at the keyboard. Where the output goes
// does not matter: the desk finds the terminal by itself.
func (p *program) hasTerminal() bool { return terminal(p.stdin) }

// copiesTo makes copies in a folder, with the page of the last day as PDF.
func copiesTo(dir string) *watch.Copies {
	return &watch.Copies{Dir: dir, Page: func(path string, d *register.Day) error {
		return export.Create(path, false, func(w io.Writer) error { return export.Write(w, "pdf", d) })
	}}
}
