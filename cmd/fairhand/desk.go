package main

import (
	"context"
	"errors"

	"github.com/spf13/cobra"

	"fairhand/register"
)

// openDesk opens the desk on a book and returns when it is left. It is a
// variable so that tests see what it is given.
var openDesk = func(ctx context.Context, book *register.Book, opt options) error {
	return errors.New("this build has no desk yet; fairhand log, day and the other commands work without it")
}

// runDesk is the program without a command.
func (p *program) runDesk(cmd *cobra.Command, _ []string) error {
	book, opt, err := p.openBook(cmd, false)
	if notThere(err) {
		return &usageError{err}
	}
	if err != nil {
		return err
	}
	defer book.Close()
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

// hasTerminal says whether somebody sits at the keyboard and before the screen.
func (p *program) hasTerminal() bool { return terminal(p.stdin) && terminal(p.stdout) }
