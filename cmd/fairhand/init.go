package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/register"
	"fairhand/register/boxfile"
)

func (p *program) initCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "init DIR",
		Short: "Ask for your box, and make it in DIR",
		Long: `Ask for your box in plain words: railway, neighbours and how the sections are worked,
tokens, places, people. Then show it as a drawing, write it to DIR as ` + register.BoxFileName + `, which
you can go on editing, and make an empty register beside it. DIR must be new or empty:
nothing is ever written over.

An answer of ? explains the question, and < goes back to the one before. A wrong
answer is asked again. The answers may come from a pipe, one a line.`,
		Args: args(1, 1, "the DIR to make the box in"),
		RunE: func(cmd *cobra.Command, given []string) error {
			dir := given[0]
			if err := checkNewDir(dir); err != nil {
				return err
			}
			a := asking{asker: newAsker(cmd.Context(), p.stdin, p.stderr, !terminal(p.stdin))}
			a.say("%s\n\nYour box, in a few questions; ? explains one, %s goes back to the one before.\n", lines(register.Caution, 0), backWord)
			var text bytes.Buffer
			var file *boxfile.File
			err := a.untilDone(func() (err error) {
				if err = a.describe(); err == nil {
					file, err = a.confirm(dir, &text)
				}
				return err
			})
			if err != nil {
				return notWritten(err)
			}
			if err := makeBox(dir, text.Bytes()); err != nil {
				return err
			}
			p.sayBox(dir, file)
			return nil
		},
	}
}

// confirm shows the box described, and asks whether it is to be written. The text
// is then that of its box file.
func (a *asking) confirm(dir string, text *bytes.Buffer) (*boxfile.File, error) {
	a.box.ClockCheck = noneEmpty(a.box.ClockCheck)
	text.Reset()
	if err := boxfile.Write(text, a.box); err != nil {
		return nil, err
	}
	file, err := boxfile.Decode(bytes.NewReader(text.Bytes()), register.BoxFileName)
	if err != nil {
		return nil, err
	}
	a.say("\n%s\n", boxDrawing(file.Box))
	yes, err := a.yes("Write this box to "+dir+"?", "write", true)
	if err == nil && !yes {
		err = errors.New("as you wish")
	}
	return file, err
}

// notWritten ends an init that was broken off.
func notWritten(err error) error {
	return fmt.Errorf("%w: nothing was written", err)
}

// checkNewDir refuses a directory that has anything in it.
func checkNewDir(dir string) error {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("a directory for the box: %w", err)
	case len(entries) == 0:
		return nil
	}
	err = fmt.Errorf("%s is not empty, and nothing is written over", dir)
	if _, serr := os.Stat(filepath.Join(dir, register.BoxFileName)); serr == nil {
		return withHint(err, "it holds a box: fairhand -C %s opens it, and %s in it can be edited", shellWord(dir), register.BoxFileName)
	}
	return withHint(err, "name a new directory")
}

// makeBox writes the box file and an empty register, and opens both to see that
// they can be used. After a failure nothing is left of them.
func makeBox(dir string, text []byte) (err error) {
	undo := os.RemoveAll
	if _, serr := os.Stat(dir); serr == nil {
		undo = emptyDir
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fmt.Errorf("a directory for the box: %w", err)
	}
	defer func() {
		if err != nil {
			err = fmt.Errorf("making the box: %w", errors.Join(err, undo(dir)))
		}
	}()
	err = export.Create(filepath.Join(dir, register.BoxFileName), false, writes(text))
	if err != nil {
		return err
	}
	book, err := register.Create(dir, register.Options{})
	if err != nil {
		return err
	}
	if err := book.Close(); err != nil {
		return err
	}
	if book, err = register.Open(dir, register.Options{ReadOnly: true}); err != nil {
		return err
	}
	return book.Close()
}

func (p *program) sayBox(dir string, file *boxfile.File) {
	at, who := shellWord(dir), "YOUR NAME"
	if len(file.Box.People) > 0 {
		who = file.Box.People[0].Name
	}
	path := filepath.Join(dir, register.BoxFileName)
	fmt.Fprintf(p.out, `%s: the box %s, with an empty register

What to do next:
  look through %s: signals, levers, instructions and a timetable can be added
                                 (fairhand help box explains each key)
  fairhand -C %s codes           the bell codes it has, to compare with yours
  fairhand -C %s log 'duty on "%s"'
  fairhand -C %s                 opens the desk
  fairhand -C %s seal key        makes the key that the book is sealed with

%s
`, dir, file.Box.Name, path, at, at, who, at, at, lines(register.Caution, 0))
}

// writes is a filling of export.Create from text in memory.
func writes(text []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	}
}
