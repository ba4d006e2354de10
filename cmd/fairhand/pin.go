package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/pins"
)

func (p *program) pinCommand() *cobra.Command {
	var by string
	cmd := &cobra.Command{
		Use:   "pin NAME",
		Short: "Set or reset the PIN with which somebody signs on",
		Long: fmt.Sprintf(`Set the PIN with which somebody of the box signs on at the desk, where box.yaml says pins: true. Who
has one gives it first. One that is forgotten is set anew with --reset-by NAME, the inspector or manager who
lets it be; he gives his own PIN when he has one. A PIN has %d to %d characters, and is asked for
twice, without being shown; from a pipe each is a line.

Each PIN set or reset is an entry of the register, with the SHA-256 of the record in %s by
which it is known. Nothing of the PIN can be read from either; a record put in by hand is told by the desk
and by fairhand verify. What a name and a PIN prove, and what not: fairhand help people.`, pins.Least, pins.Most, pins.FileName),
		Example: "  fairhand pin 'A. Fell'\n  fairhand pin 'A. Fell' --reset-by 'R. Garth'",
		Args:    args(1, 1, "the NAME of somebody of the box"),
		RunE: p.onBook(false, func(cmd *cobra.Command, given []string, book *register.Book, _ options) error {
			p.underAlarms(cmd.Context(), book)
			if err := p.describe(book); err != nil {
				return err
			}
			return p.setPIN(book, given[0], by)
		}),
	}
	cmd.Flags().StringVar(&by, "reset-by", "", "who lets a PIN that is forgotten be set anew")
	return p.withJSON("", cmd)
}

// setPIN asks for what a new PIN needs, and sets it.
func (p *program) setPIN(book *register.Book, name, by string) error {
	if err := book.MayHavePIN(name); err != nil {
		return err
	}
	prove := name
	if by != "" {
		prove = by
		if err := book.MayHavePIN(by); err != nil {
			return err
		}
	}
	ask := p.secrets()
	var given register.Given
	if book.State().PINOf(prove) != nil {
		var err error
		if given, err = proof(ask, book, prove); err != nil {
			return withHint(err, "one that is forgotten, or whose record does not fit, is set anew by another: --reset-by NAME")
		}
	}
	one, err := ask("New PIN of " + name + ": ")
	if err != nil {
		return err
	}
	two, err := ask("Once more: ")
	if err != nil {
		return err
	}
	if one != two {
		return errors.New("the two are not the same; no PIN was set")
	}
	e, err := book.SetPIN(name, one, by, given)
	if err != nil {
		return err
	}
	l := logging{program: p, book: book}
	if err := l.print(e.Event, e.Line, e.Findings); err != nil {
		return err
	}
	if !book.Box().PINs {
		fmt.Fprintf(p.notes, "fairhand: %s does not say pins: true; nobody is asked for it yet\n", register.BoxFileName)
	}
	return l.found.result()
}

// proof asks for somebody's PIN, and has it checked.
func proof(ask func(string) (string, error), book *register.Book, name string) (register.Given, error) {
	pin, err := ask("PIN of " + name + ": ")
	if err != nil {
		return register.Given{}, err
	}
	return book.CheckPIN(name, pin)
}

// signing asks for the PIN of each who signs an entry that says that he gave it.
func (p *program) signing(book *register.Book, events ...block.Event) (given []register.Given, err error) {
	ask := p.secrets()
	for _, e := range events {
		if e.Which != block.ByPIN || !e.Kind.Signs() || slices.ContainsFunc(given, func(g register.Given) bool { return g.Of(e.Subject) }) {
			continue
		}
		g, err := proof(ask, book, e.Subject)
		if err != nil {
			return nil, withHint(err, "nothing was signed. Without by-pin the name alone is signed with, which is found where the box asks for PINs")
		}
		given = append(given, g)
	}
	return given, nil
}

// secrets asks for what is not to be shown: on a terminal, or a line each from a pipe.
func (p *program) secrets() func(prompt string) (string, error) {
	if f, ok := p.stdin.(*os.File); ok && terminal(p.stdin) {
		return func(prompt string) (string, error) {
			p.ask("%s", prompt)
			defer fmt.Fprintln(p.notes)
			text, err := term.ReadPassword(int(f.Fd()))
			return string(text), err
		}
	}
	lines := bufio.NewScanner(io.LimitReader(p.stdin, 64<<10))
	return func(prompt string) (string, error) {
		fmt.Fprintln(p.notes, strings.TrimSpace(prompt))
		if !lines.Scan() {
			return "", errors.Join(errors.New("the input ended before what was asked for"), lines.Err())
		}
		return lines.Text(), nil
	}
}
