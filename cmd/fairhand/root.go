package main

import (
	"bufio"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/term"

	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/boxfile"
	"fairhand/register/each"
	"fairhand/register/measure"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// program is one run of the program: its three streams and what the flags said.
type program struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	out            *bufio.Writer   // stdout; held back so that a failing command leaves nothing on it
	screen         *measure.Screen // what out goes through: nothing of a file or an argument moves a cursor
	notes          *measure.Screen // stderr, likewise

	configFile string   // --config
	read       *options // the options, once they have been read
	started    bool     // the command line was understood
	js         bool     // --json: the output is for programs
}

const rootLong = `Fairhand keeps the train register of a signal box. It takes down what happened,
follows every bell, token and train through the block regulations, and says when
something is out of sequence. Nothing is refused, lost or rewritten.

` + register.Caution + `

Without a command it opens the desk on the box directory: -C DIR, FAIRHAND_DIR,
the option dir of the configuration file, or the usual place for data.

Exit codes: 0 fine, 1 failed, 2 wrong usage or no box, 3 something dangerous or
irregular was found (advice alone is 0).`

// told are commands whose text is for people, and is broken to the width of plain text;
// listed are those that list a finding a line for programs, on a terminal for people.
var (
	told   = []string{"config", "demo", "codes", "rules", "verify", "handover", "compare", "backup", "gather", "graph", "archive", "restore", "salvage", "talk"}
	listed = []string{"check", "import", "log"}
)

// root builds the tree of commands.
func (p *program) root() *cobra.Command {
	root := &cobra.Command{
		Use:           "fairhand",
		Short:         "The train register of a signal box",
		Long:          rootLong,
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          noSuchCommand,
		PersistentPreRunE: func(cmd *cobra.Command, _ []string) error {
			p.started = true
			if slices.Contains(told, cmd.Name()) || slices.Contains(listed, cmd.Name()) && terminal(p.stdout) {
				p.screen.Fold = plainColumns
			}
			return checkFlags(cmd)
		},
		RunE: p.runDesk,
	}
	root.SetIn(p.stdin)
	root.SetOut(p.out)
	root.SetErr(p.notes)
	root.SetFlagErrorFunc(noSuchFlag)
	addOptionFlags(root)
	root.PersistentFlags().StringVar(&p.configFile, "config", "", "configuration file, instead of the usual one")
	root.AddCommand(
		p.demoCommand(), p.talkCommand(), p.logCommand(), p.checkCommand(), p.dayCommand(), p.printCommand(),
		p.verifyCommand(), p.backupCommand(), p.restoreCommand(), p.salvageCommand(), p.archiveCommand(), p.exportCommand(), p.importCommand(),
		p.handoverCommand(), p.auditCommand(), p.findingsCommand(), p.compareCommand(), p.gatherCommand(), p.graphCommand(), p.initCommand(), p.pinCommand(), p.sealCommand(),
		p.rulesCommand(), p.codesCommand(), p.configCommand(), p.versionCommand(),
	)
	root.AddCommand(helpTopics()...)
	root.SetHelpCommand(p.helpCommand())
	help := root.HelpFunc()
	root.SetHelpFunc(func(cmd *cobra.Command, given []string) {
		p.screen.Fold = plainColumns
		putTogether(cmd)
		cmd.Long = measure.Reflow(cmd.Long, plainColumns)
		help(cmd, given)
	})
	return root
}

// errFindings ends a command that did what was asked and found something. It
// has been printed where it belongs: nothing more is said.
var errFindings = errors.New("something dangerous or irregular was found")

// is says whether an error is one of a type, or wraps one.
func is[E error](err error) bool {
	_, is := errors.AsType[E](err)
	return is
}

// usageError is a command line that asks for something that cannot be.
type usageError struct{ err error }

func (e *usageError) Error() string { return e.err.Error() }
func (e *usageError) Unwrap() error { return e.err }

func usagef(format string, args ...any) error { return &usageError{fmt.Errorf(format, args...)} }

// hintError adds what to do next to an error.
type hintError struct {
	err  error
	hint string
}

func (e *hintError) Error() string { return e.err.Error() }
func (e *hintError) Unwrap() error { return e.err }

func withHint(err error, format string, args ...any) error {
	return &hintError{err, fmt.Sprintf(format, args...)}
}

// several are faults that are told one by one, each with what to do next.
type several []error

func (e several) Error() string   { return errors.Join(e...).Error() }
func (e several) Unwrap() []error { return e }

// orNil leaves out what is none.
func (e several) orNil() error {
	if e = slices.DeleteFunc(e, func(err error) bool { return err == nil }); len(e) == 0 {
		return nil
	}
	return e
}

// bookError is what is wrong in a book in notation, to be told with its file.
type bookError struct {
	name string // of the file, as given
	err  error
}

func (e *bookError) Unwrap() error { return e.err }

// Error gives file:line:column and the message, one line for each fault.
func (e *bookError) Error() string {
	faults, whole := errors.AsType[notation.Errors](e.err)
	if one, is := errors.AsType[*notation.Error](e.err); !whole && is && one.Line > 0 {
		faults = notation.Errors{one}
	}
	if faults == nil {
		return e.name + ": " + e.err.Error()
	}
	return each.Joined(faults, "\n", func(f *notation.Error) string {
		if f.Column == 0 { // of a table
			return fmt.Sprintf("%s:%d: %s", e.name, f.Line, f.Message())
		}
		return fmt.Sprintf("%s:%d:%d: %s", e.name, f.Line, f.Column, f.Message())
	})
}

// nextSteps are what to do next of errors that do not say it themselves.
var nextSteps = []struct {
	err  error
	hint string
}{
	{register.ErrForeign, "nothing was taken; if it is a book of this box, describe the box with the sections that it had then: fairhand help box"},
	{register.ErrTwice, "nothing was taken; --again takes it all the same, and each train then stands twice"},
	{register.ErrRepeated, "nothing was taken; take the lines out, or --again takes them all the same, and each train then stands twice"},
	{register.ErrOlder, "--older takes it all the same; its entries then stand behind those of later days"},
	{bounded.ErrNoFile, "a file is wanted there: give its name, with that of its folder"},
	{syscall.EISDIR, "a file is wanted there: give its name, with that of its folder"},
	{fs.ErrNotExist, "look at the name: it is taken from the folder in which fairhand was begun"},
	{fs.ErrPermission, "whoever is signed on to this computer may not do that there: look at whose the file and its folder are"},
}

// nextStep is what to do next of an error; empty for one that has a word on it, and of others.
func nextStep(err error) string {
	if is[*store.Error](err) || is[*usageError](err) {
		return ""
	}
	for _, s := range nextSteps {
		if errors.Is(err, s.err) {
			return s.hint
		}
	}
	return ""
}

// finish prints an error, with what to do next, and gives the exit code.
func (p *program) finish(err error) int {
	switch {
	case err == nil:
		return exitFine
	case err == errFindings:
		return exitFindings
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(p.notes, "fairhand: interrupted")
		return exitFailed
	}
	if faults, ok := errors.AsType[several](err); ok {
		for _, one := range faults {
			p.finish(one)
		}
		return exitFailed
	}
	ofBook, ofBox := is[*bookError](err), is[*boxfile.Faults](err)
	text := err.Error()
	if !ofBook && !ofBox { // those name their file on each line
		text = "fairhand: " + text
	}
	if ofBook && !terminal(p.stderr) { // a line a fault for programs, as its findings are
		p.notes.Fold = 0
	}
	fmt.Fprintln(p.notes, text)
	p.notes.Fold = plainColumns
	isUsage := is[*usageError](err) || is[*noBoxError](err) || !p.started
	switch h, hinted := errors.AsType[*hintError](err); {
	case hinted:
		for line := range strings.Lines(h.hint + "\n") {
			if line != "\n" {
				line = "  " + line
			}
			fmt.Fprint(p.notes, line)
		}
	case nextStep(err) != "":
		fmt.Fprintln(p.notes, "  "+nextStep(err))
	case ofBook:
		fmt.Fprintln(p.notes, "  nothing of the book was used; the forms of a line: fairhand help notation")
	case ofBox:
		fmt.Fprintln(p.notes, "  the keys of a box file: fairhand help box")
	case isUsage:
		fmt.Fprintln(p.notes, "  fairhand help says how each command is used")
	}
	if isUsage {
		return exitUsage
	}
	return exitFailed
}

// args checks the number of arguments of a command.
func args(least, most int, names string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, given []string) error {
		switch {
		case len(given) < least:
			return withHint(usagef("%s: %s is missing", cmd.CommandPath(), names), "%s", cmd.UseLine())
		case len(given) > most:
			return withHint(usagef("%s: %q is one argument too many", cmd.CommandPath(), given[most]), "%s", cmd.UseLine())
		}
		return nil
	}
}

// noSuchCommand is what the root makes of an argument: no command of that name.
func noSuchCommand(root *cobra.Command, given []string) error {
	if len(given) == 0 {
		return nil
	}
	return meant(usagef("there is no command %q", given[0]), given[0], commandNames(root), "fairhand help lists the commands")
}

// noSuchFlag says of a flag that a command does not have which was perhaps meant.
func noSuchFlag(cmd *cobra.Command, err error) error {
	if wrong, is := errors.AsType[*pflag.InvalidValueError](err); is {
		kind := map[string]string{"int": "a whole number", "bool": "true or false"}[wrong.GetFlag().Value.Type()]
		return usagef("--%s %s: %s is wanted", wrong.GetFlag().Name, wrong.GetValue(), cmp.Or(kind, "another value"))
	}
	unknown, is := errors.AsType[*pflag.NotExistError](err)
	if !is || unknown.GetSpecifiedShortnames() != "" {
		return err
	}
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, "--"+f.Name) })
	return meant(err, "--"+unknown.GetSpecifiedName(), names, cmd.CommandPath()+" --help lists its flags")
}

// meant adds to the error of an unknown word the known one that it is near to, or else
// what to do.
func meant(err error, word string, known []string, otherwise string) error {
	if w := boxfile.Nearest(word, known); w != "" {
		otherwise = "did you mean " + w + "?"
	}
	return withHint(err, "%s", otherwise)
}

func commandNames(root *cobra.Command) []string {
	return each.Of(root.Commands(), (*cobra.Command).Name)
}

// terminal says whether a stream is a terminal.
func terminal(stream any) bool {
	f, ok := stream.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// notThere says whether an error means that a file is missing.
func notThere(err error) bool { return errors.Is(err, fs.ErrNotExist) }
