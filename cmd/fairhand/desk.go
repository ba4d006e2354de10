package main

import (
	"context"
	"errors"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/export/graph"
	"fairhand/register"
	"fairhand/register/watch"
	"fairhand/tui"
)

// openDesk opens the desk on a book and returns when it is left.
func openDesk(ctx context.Context, book *register.Book, opt options) error {
	over := watch.Over(book)
	if opt.Copies != "" {
		over.CopyTo(copiesTo(opt.Copies))
	}
	var card strings.Builder
	printPage(&card, book.Box(), codeRows(book.Box(), ""))
	return tui.Run(ctx, book, tui.Options{
		ASCII:   opt.ASCII,
		NoColor: opt.Color == "never",
		Bell:    opt.Bell,
		Graph:   graph.Text,
		Codes:   card.String(),
		Title:   book.Box().Name + ", Fairhand",
		Watch:   over,
	})
}

// runDesk is the program without a command.
func (p *program) runDesk(cmd *cobra.Command, _ []string) error {
	book, opt, err := p.openBook(cmd, false)
	if err != nil {
		return err
	}
	defer book.Close()
	if err := book.Describe(); err != nil && !errors.Is(err, register.ErrClock) {
		return err
	}
	return p.desk(cmd.Context(), book, opt)
}

// desk opens the desk when there is a terminal to open it on.
func (p *program) desk(ctx context.Context, book *register.Book, opt options) error {
	if !p.hasTerminal() {
		return withHint(usagef("the desk needs a terminal"), "without one: fairhand log, day, check, export and the others")
	}
	if err := p.out.Flush(); err != nil { // the desk has the screen from now on
		return err
	}
	return openDesk(ctx, book, opt)
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
