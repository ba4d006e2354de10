package main

import (
	"bytes"
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/notation"
)

// demoFiles are the demonstration box: its box file and timetable, and the book
// of its day so far.
//
//go:embed demo
var demoFiles embed.FS

const (
	demoBook = "book.txt"
	demoMark = "DEMO.txt" // says that a directory is a demonstration

	// demoOpens is the line of the book up to which the day is worked already;
	// what follows is there to be worked at the desk.
	demoOpens = "\n# --- the desk opens here ---\n"
)

const demoMarkText = `This directory is a demonstration of Fairhand. Its railway is invented. Work on it
as you like; throw it away when done. Its clock goes on from the last entry each
time it is opened. Do not keep a real box here.
`

func (p *program) demoCommand() *cobra.Command {
	var noDesk bool
	cmd := &cobra.Command{
		Use:   "demo [DIR]",
		Short: "Make a box with a day half worked, and open the desk on it",
		Long: `Make the box of an invented railway with a day already half worked, and open the
desk on it. It is made in DIR, which must be new or empty, or in a new directory
for temporary files.`,
		Args: args(0, 1, "DIR"),
		RunE: func(cmd *cobra.Command, given []string) error {
			opt, err := p.options(cmd)
			if err != nil {
				return err
			}
			if p.js && !noDesk {
				return usagef("--json says what was made; it goes with --no-desk")
			}
			if !noDesk && !p.hasTerminal() {
				return withHint(usagef("the desk needs a terminal"), "fairhand demo --no-desk only makes the box, and says where")
			}
			dir := ""
			if len(given) > 0 {
				dir = given[0]
			}
			if opt.Dir, err = makeDemo(dir); err != nil {
				return err
			}
			book, err := openDir(opt.Dir, false)
			if err != nil {
				return err
			}
			defer book.Close()
			if p.js {
				return p.json(boxJSON{opt.Dir, book.Box().Railway, book.Box().Name, book.Store().Tail().Seq})
			}
			p.sayDemo(book)
			if noDesk {
				return nil
			}
			return p.desk(cmd.Context(), book, opt)
		},
	}
	cmd.Flags().BoolVar(&noDesk, "no-desk", false, "only make it, and say where")
	return p.withJSON("", cmd)
}

func (p *program) sayDemo(book *register.Book) {
	box, last := book.Box(), book.Recent()[len(book.Recent())-1]
	fmt.Fprintf(p.out, "%s\n", book.Dir)
	fmt.Fprintf(p.out, "The box %s of the %s, which is invented, with %d entries of %s up to %s.\n",
		box.Name, box.Railway, last.Seq, last.Day.String(), calendar.Clock(last.At, book.Location(), box.Rounding))
	fmt.Fprintf(p.out, "\n  fairhand -C %s day\n\n%s\n", shellWord(book.Dir), register.Caution)
}

// shellWord quotes a path that has more than plain characters in it.
func shellWord(path string) string {
	for _, r := range path {
		if r == ' ' || r == '\'' || r == '"' || r == '$' || r == '\\' && filepath.Separator != '\\' {
			return strconv.Quote(path)
		}
	}
	return path
}

// makeDemo makes the demonstration in dir, or in a new temporary directory when
// dir is "", and says where. After a failure nothing is left of it.
func makeDemo(dir string) (made string, err error) {
	undo := os.RemoveAll
	switch entries, rerr := os.ReadDir(dir); {
	case dir == "":
		dir, err = os.MkdirTemp("", "fairhand-demo-")
	case errors.Is(rerr, fs.ErrNotExist):
		err = os.MkdirAll(dir, 0o700)
	case rerr != nil:
		err = rerr
	case len(entries) > 0 && isDemo(dir):
		return "", withHint(fmt.Errorf("%s is not empty", dir), "it holds a demonstration: fairhand -C %s opens it", shellWord(dir))
	case len(entries) > 0:
		return "", withHint(fmt.Errorf("%s is not empty", dir), "a demonstration is made in a new or empty directory")
	default:
		undo = emptyDir
	}
	if err != nil {
		return "", fmt.Errorf("a directory for the demonstration: %w", err)
	}
	if err := fillDemo(dir); err != nil {
		undo(dir)
		return "", fmt.Errorf("making the demonstration: %w", err)
	}
	return dir, nil
}

// emptyDir removes what is in a directory that was empty before.
func emptyDir(dir string) error {
	entries, err := os.ReadDir(dir)
	for _, e := range entries {
		err = errors.Join(err, os.RemoveAll(filepath.Join(dir, e.Name())))
	}
	return err
}

// fillDemo writes the files of the demonstration and takes its book, up to the
// moment at which the desk opens, into a new register, by the way a paper book
// would take.
func fillDemo(dir string) error {
	files := map[string][]byte{demoMark: []byte(demoMarkText)}
	list, err := fs.ReadDir(demoFiles, "demo")
	if err != nil {
		return err
	}
	for _, e := range list {
		if files[e.Name()], err = demoFiles.ReadFile("demo/" + e.Name()); err != nil {
			return err
		}
	}
	for name, text := range files {
		if err := export.Put(filepath.Join(dir, name), false, text); err != nil {
			return err
		}
	}
	past, _, opens := bytes.Cut(files[demoBook], []byte(demoOpens))
	if !opens {
		return fmt.Errorf("%s does not say where the desk opens (%q)", demoBook, demoOpens)
	}
	begins, err := firstMoment(dir, past)
	if err != nil {
		return err
	}
	book, err := register.Create(dir, register.Options{Now: func() time.Time { return begins }})
	if err != nil {
		return err
	}
	if _, err := book.Import(context.Background(), bytes.NewReader(past), register.ImportOptions{AsWritten: true}); err != nil {
		book.Close()
		return &bookError{demoBook, err}
	}
	return book.Close()
}

// firstMoment is the time of the first entry of a book, by the clock of the box.
func firstMoment(dir string, book []byte) (time.Time, error) {
	file, err := boxfile.Load(filepath.Join(dir, register.BoxFileName))
	if err != nil {
		return time.Time{}, err
	}
	ev, err := notation.NewReader(bytes.NewReader(book), file.Location).Next()
	if err != nil {
		return time.Time{}, &bookError{demoBook, err}
	}
	return time.Unix(int64(ev.At), 0), nil
}

// isDemo says whether a directory is a demonstration: it carries the mark, and
// its box is the invented one. A real box that was begun from a copy of it has
// another name, and the computer's clock.
func isDemo(dir string) bool {
	if _, err := os.Stat(filepath.Join(dir, demoMark)); err != nil {
		return false
	}
	text, err := demoFiles.ReadFile("demo/" + register.BoxFileName)
	if err != nil {
		return false
	}
	path := filepath.Join(dir, register.BoxFileName)
	if own, err := bounded.File(path, int64(len(text))); err == nil && bytes.Equal(own, text) {
		return true // as it was made: every command asks
	}
	here, err := boxfile.Load(path)
	if err != nil {
		return false
	}
	demo, err := boxfile.Decode(bytes.NewReader(text), register.BoxFileName)
	return err == nil && demo.Box.Name == here.Box.Name && demo.Box.Railway == here.Box.Railway
}

// demoClock goes on from the last entry of a demonstration.
type demoClock struct {
	base, began time.Time
}

// start sets the clock to the last entry of a day.
func (c *demoClock) start(day []register.Entry) {
	c.began = time.Now()
	for _, e := range day {
		if t := time.Unix(max(e.At, e.Recorded), 0); t.After(c.base) {
			c.base = t
		}
	}
}

// now is the present moment of the demonstration; until the clock is started,
// that of the computer.
func (c *demoClock) now() time.Time {
	if c.began.IsZero() {
		return time.Now()
	}
	return c.base.Add(time.Since(c.began))
}
