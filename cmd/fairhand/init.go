package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/cmd/fairhand/interview"
	"fairhand/export"
	"fairhand/register"
	"fairhand/register/boxfile"
)

func (p *program) initCommand() *cobra.Command {
	return p.withJSON("", &cobra.Command{
		Use:   "init DIR",
		Short: "Ask for your box, and make it in DIR",
		Long: `Ask for your box in plain words: railway, neighbours and how the sections are worked,
tokens and staffs, places, signals, crossings, people, timetable. Then show it as a drawing, write it to DIR as ` + register.BoxFileName + `, which
you can go on editing, and make an empty register beside it. DIR must be new or empty:
nothing is ever written over. Where DIR holds a ` + register.BoxFileName + ` already and no register, nothing is asked:
an empty register is begun for it.

An answer of ? explains the question, and < goes back to the one before. A wrong
answer is asked again. The answers may come from a pipe, one a line.`,
		Args: args(1, 1, "the DIR to make the box in"),
		RunE: func(cmd *cobra.Command, given []string) error {
			dir := given[0]
			if unbegun(dir) {
				return p.begin(dir)
			}
			if err := checkNewDir(dir); err != nil {
				return err
			}
			made, err := interview.Box(cmd.Context(), p.stdin, p.stderr, !terminal(p.stdin), dir)
			if err != nil {
				return fmt.Errorf("%w: nothing was written", err)
			}
			if err := makeBox(dir, made); err != nil {
				return err
			}
			return p.sayBox(dir, made.File)
		},
	})
}

// unbegun says whether a directory holds a box file and no register.
func unbegun(dir string) bool {
	_, box := os.Stat(filepath.Join(dir, register.BoxFileName))
	_, reg := os.Stat(filepath.Join(dir, register.RegisterName))
	return box == nil && errors.Is(reg, fs.ErrNotExist)
}

// begin makes an empty register for the box file in dir.
func (p *program) begin(dir string) error {
	book, err := register.Create(dir, register.Options{})
	if err != nil {
		return err
	}
	file := book.File()
	if err := book.Close(); err != nil {
		return err
	}
	return p.sayBox(dir, file)
}

// offerBegin asks somebody at a terminal whether to begin the register of a box file
// that has none.
func (p *program) offerBegin(dir string) error {
	p.ask("%s has a %s and no register yet. Begin an empty one? y or n: ", dir, register.BoxFileName)
	line, err := readLine(p.stdin)
	if err != nil {
		return err
	}
	if answer := strings.ToLower(strings.TrimSpace(line)); answer != "y" && answer != "yes" {
		return errors.New("no register was begun, and nothing was written")
	}
	return p.begin(dir)
}

// ask prints what stands before the answer on one line with it.
func (p *program) ask(prompt string, args ...any) {
	fmt.Fprintf(p.notes, prompt, args...)
	_ = p.notes.End()
}

// readLine reads a line a byte at a time: what follows is for the desk.
func readLine(r io.Reader) (string, error) {
	var line []byte
	for b := make([]byte, 1); ; {
		switch _, err := io.ReadFull(r, b); {
		case err != nil:
			return "", err
		case b[0] == '\n' || b[0] == '\r':
			return string(line), nil
		}
		line = append(line, b[0])
	}
}

// boxJSON is a box that was made, for programs.
type boxJSON struct {
	Directory string `json:"directory"`
	Railway   string `json:"railway"`
	Box       string `json:"box"`
	Entries   int64  `json:"entries"` // of its register
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
func makeBox(dir string, made interview.Answers) (err error) {
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
	err = export.Put(filepath.Join(dir, register.BoxFileName), false, made.Text)
	if err == nil && made.Timetable != nil {
		err = export.Put(filepath.Join(dir, made.File.Timetable), false, made.Timetable)
	}
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

func (p *program) sayBox(dir string, file *boxfile.File) error {
	at, who := shellWord(dir), "YOUR NAME"
	if len(file.Box.People) > 0 {
		who = file.Box.People[0].Name
	}
	path := filepath.Join(dir, register.BoxFileName)
	on := "log 'duty on \"" + who + "\"'\n      signs on, as u at the desk does"
	if file.Box.PINs { // a line signs on without one
		on = "pin \"" + who + "\"\n      sets the PIN that is given when signing on; p at the desk does the same"
	}
	return p.tell(boxJSON{Directory: dir, Railway: file.Box.Railway, Box: file.Box.Name}, `%s: the box %s, with an empty register

What to do next:
  look through %s:
      gear, instructions, codes and limits of your own can be added
      (fairhand help box explains each key)
  fairhand -C %s codes
      the bell codes it has, to compare with yours
  fairhand -C %s %s
  fairhand -C %s
      opens the desk; with talk, as lines for a screen reader or a braille line
  fairhand -C %s seal key
      makes the key that the book is sealed with

%s
`, dir, file.Box.Name, path, at, at, on, at, at, register.CautionIn(plainColumns))
}
