package main

import (
	"bufio"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/measure"
	"fairhand/register/notation"
	"fairhand/register/store"
)

func (p *program) logCommand() *cobra.Command {
	var dry, js bool
	cmd := &cobra.Command{
		Use:   "log LINE",
		Short: "Write one line of the book notation into the register",
		Long: `Write one line of the book notation into the register, and say what was found about
it. The time may be left out and is then now. LINE is - to read lines from standard
input; if one of them cannot be read, none is written. An entry is never refused for
breaking a regulation: --dry-run tells what would be found, and writes nothing.`,
		Example: `  fairhand log 'Coldbeck <1 >1 <3-1 >3-1 train 2P07'
  fairhand log --dry-run '10:54 Coldbeck >1 <1 >2-1 <2-1'`,
		Args: args(1, 1, "the LINE to write"),
		RunE: func(cmd *cobra.Command, given []string) error {
			book, _, err := p.openBook(cmd, dry)
			if err != nil {
				return err
			}
			defer book.Close()
			l := logging{program: p, book: book, dry: dry, json: js}
			alarms := alarmsOf(book)
			for _, a := range alarms {
				fmt.Fprintf(p.stderr, "fairhand: %s\n", a)
			}
			events, err := l.parse(given[0])
			if err != nil {
				return err
			}
			for _, ev := range events {
				if err := l.one(ev); err != nil {
					return l.stopped(err)
				}
			}
			return l.found.result()
		},
	}
	cmd.Flags().BoolVar(&dry, "dry-run", false, "tell what would be found, and write nothing")
	cmd.Flags().BoolVar(&js, "json", false, "one JSON object an entry")
	return cmd
}

// logging is one run of fairhand log.
type logging struct {
	*program
	book      *register.Book
	dry, json bool
	found     tally
	written   int64        // entries written so far
	state     *block.State // dry run: as it would be after the lines before
}

// parse reads the line, or the lines of standard input.
func (l *logging) parse(line string) ([]block.Event, error) {
	if line != "-" {
		events, err := l.book.Parse(line)
		if err != nil {
			return nil, underline(line, err)
		}
		if len(events) == 0 {
			return nil, usagef("the line has no entry")
		}
		return events, nil
	}
	var all []block.Event
	var faults notation.Errors
	lines := bufio.NewScanner(l.stdin)
	lines.Buffer(nil, notation.MaxLine)
	for n := 1; lines.Scan(); n++ {
		events, err := l.book.Parse(lines.Text())
		var one *notation.Error
		switch {
		case errors.As(err, &one):
			one.Line = n
			faults = append(faults, one)
		case err != nil:
			return nil, err
		}
		all = append(all, events...)
	}
	if err := lines.Err(); err != nil {
		return nil, fmt.Errorf("reading standard input: %w", err)
	}
	if len(faults) > 0 {
		return nil, &bookError{"-", faults}
	}
	return all, nil
}

// underline shows the place of a line that could not be read.
func underline(line string, err error) error {
	var one *notation.Error
	if !errors.As(err, &one) || one.Column < 1 || one.Column > utf8.RuneCountInString(line)+1 || strings.ContainsRune(line, '\t') {
		return err
	}
	return withHint(err, "%s\n%*s^", line, measure.Width(string([]rune(line)[:one.Column-1])), "")
}

// one writes an entry, or in a dry run only judges it, and prints what came of it.
func (l *logging) one(ev block.Event) error {
	if l.dry {
		return l.preview(ev)
	}
	const tries = 5
	for i := 0; ; i++ {
		_, found := l.book.Preview(ev)
		entry, err := l.book.Log(ev)
		if errors.Is(err, store.ErrConflict) && i < tries {
			continue // another program wrote first, and the book has caught up: judge again
		}
		if err != nil {
			return err
		}
		l.written++
		ev.Seq = entry.Seq
		return l.print(ev, entry.Line, append(found, l.recast(ev)...))
	}
}

// preview judges an entry after those before it, none of which is written.
func (l *logging) preview(ev block.Event) error {
	last := l.book.Store().Tail().Seq
	if ev.Kind == block.Correct && ev.Target > last {
		return fmt.Errorf("there is no entry %d to correct; the last is %d", ev.Target, last)
	}
	if l.state == nil {
		s := *l.book.State()
		l.state = &s
	}
	l.written++
	ev.Seq = last + l.written
	next, found := block.Apply(l.book.Box(), *l.state, &ev)
	*l.state = next
	return l.print(ev, notation.Format(ev, l.book.Location()), found)
}

// recast are the findings on an entry of today that has just been corrected.
func (l *logging) recast(ev block.Event) []block.Finding {
	if ev.Kind != block.Correct {
		return nil
	}
	for _, e := range l.book.Recent() {
		if e.Seq == ev.Target {
			return e.Findings
		}
	}
	return nil
}

// stopped says how far several lines got before one could not be written.
func (l *logging) stopped(err error) error {
	if l.dry || l.written == 0 {
		return err
	}
	return fmt.Errorf("%d entries are written, up to entry %d; then: %w", l.written, l.book.Store().Tail().Seq, err)
}

func (l *logging) print(ev block.Event, line string, found []block.Finding) error {
	for _, f := range found {
		l.found.add(f)
	}
	loc := l.book.Location()
	if l.json {
		v := loggedJSON{Entry: ev.Seq, Time: calendar.Exact(ev.At, loc), Date: l.book.DayOf(ev.At).String(), Notation: line, Written: !l.dry, Findings: []findingJSON{}}
		for _, f := range found {
			v.Findings = append(v.Findings, asJSON(f, loc))
		}
		return l.program.json(v)
	}
	head := "entry"
	if l.dry {
		head = "not written: entry"
	}
	fmt.Fprintf(l.out, "%s %d: %s\n", head, ev.Seq, line)
	for _, f := range found {
		fmt.Fprintf(l.out, "  %s\n", strings.Join(append(register.FindingLines(&f), register.Standing(&f)...), "\n    "))
	}
	return nil
}

// loggedJSON is an entry just written, for programs.
type loggedJSON struct {
	Entry    int64         `json:"entry"`
	Time     string        `json:"time"`
	Date     string        `json:"date"`
	Notation string        `json:"notation"`
	Written  bool          `json:"written"`
	Findings []findingJSON `json:"findings"`
}
