package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/measure"
	"fairhand/register/notation"
	"fairhand/register/store"
)

func (p *program) logCommand() *cobra.Command {
	var dry, resume, clockRight bool
	cmd := &cobra.Command{
		Use:   "log LINE",
		Short: "Write one line of the book notation into the register",
		Long: `Write one line of the book notation into the register, and say what was found about
it. The time may be left out and is then now. LINE is - to read lines from standard
input; if one of them cannot be read, none is written. Each entry is told as soon as it
is on disk. With --resume those of the lines that stand at the end of the register
already are not written again, as after a power cut; then every line needs its time. An
entry is never refused for breaking a regulation: --dry-run tells what would be found,
and writes nothing. When the computer's clock has gone back, or far on, nothing
is written until it is set, or it is said with --clock-right, or by the line clock right, that it is right.

Where a LINE that somebody signs ends with by-pin, his PIN is asked for, and the entry
says so: duty on, sign, countersign (fairhand help people).`,
		Example: `  fairhand log 'Coldbeck <1 >1 <3-1 >3-1 train 2P07'
  fairhand log --dry-run '10:54 Coldbeck >1 <1 >2-1 <2-1'`,
		Args: args(1, 1, "the LINE to write"),
		RunE: func(cmd *cobra.Command, given []string) error {
			book, _, err := p.openBook(cmd, dry)
			if err != nil {
				return err
			}
			defer book.Close()
			if clockRight && !dry {
				if err := book.ClockIsRight(); err != nil {
					return err
				}
			}
			if !dry {
				if err := p.describe(book); err != nil && !errors.Is(err, register.ErrClock) {
					return err
				}
			}
			l := logging{program: p, book: book, dry: dry}
			return l.all(cmd.Context(), given[0], resume)
		},
	}
	cmd.Flags().BoolVar(&dry, "dry-run", false, "tell what would be found, and write nothing")
	cmd.Flags().BoolVar(&resume, "resume", false, "leave out the first lines of - that the register ends with")
	cmd.Flags().BoolVar(&clockRight, "clock-right", false, "book that the computer's clock is right, where it is in doubt, and go on")
	return p.withJSON(" an entry", cmd)
}

// logging is one run of fairhand log.
type logging struct {
	*program
	book    *register.Book
	dry     bool
	lines   []string         // of standard input
	given   []register.Given // PINs of those who sign the line
	found   tally
	written int64        // entries written so far
	state   *block.State // dry run: as it would be after the lines before
}

// all writes the line given, or those of standard input.
func (l *logging) all(ctx context.Context, line string, resume bool) error {
	l.underAlarms(ctx, l.book)
	events, err := l.parse(line)
	if err != nil {
		return err
	}
	if resume {
		if events, err = l.resumed(line, events); err != nil {
			return err
		}
	}
	if line != "-" && !l.dry {
		if l.given, err = l.signing(l.book, events...); err != nil {
			return err
		}
	}
	for _, ev := range events {
		if err := l.one(ev); err != nil {
			return l.stopped(err)
		}
		if err := l.out.Flush(); err != nil && !l.dry { // what is on disk is acknowledged at once
			return l.stopped(fmt.Errorf("telling what is written: %w", err))
		}
	}
	return l.found.result()
}

// parse reads the line, or the lines of standard input.
func (l *logging) parse(line string) ([]block.Event, error) {
	if line != "-" {
		line = notation.Hyphened(line)
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
	lines := bufio.NewScanner(bounded.Of(l.stdin, notation.MaxLine, bounded.Lines))
	lines.Buffer(nil, notation.MaxLine+2)
	for n := 1; len(faults) < notation.MaxErrors && lines.Scan(); n++ {
		l.lines = append(l.lines, notation.Hyphened(lines.Text()))
		events, err := l.book.Parse(l.lines[n-1])
		switch one, is := errors.AsType[*notation.Error](err); {
		case is:
			one.Line = n
			faults = append(faults, one)
		case err != nil:
			return nil, err
		}
		all = append(all, events...)
	}
	if err := lines.Err(); err != nil {
		return nil, withHint(fmt.Errorf("reading standard input: %w", err), "nothing was written; a whole book is taken in by fairhand import")
	}
	if len(faults) > 0 {
		return nil, &bookError{"-", faults}
	}
	return all, nil
}

// resumed leaves out the events with which the register ends: those of an earlier run
// with the same lines that did not come to its end.
func (l *logging) resumed(line string, events []block.Event) ([]block.Event, error) {
	if line != "-" {
		return nil, usagef("--resume goes with lines from standard input, fairhand log --resume -")
	}
	later := l.book.Now() + block.Minute
	for i, text := range l.lines { // what has no time of its own has another a minute later
		now, err := l.book.Parse(text)
		then, err2 := notation.ParseLine(l.book.Location(), later, text)
		same := func(a, b block.Event) bool { return a.At == b.At }
		if err != nil || err2 != nil || !slices.EqualFunc(now, then, same) {
			return nil, usagef("line %d has no time of its own, and cannot be known again", i+1)
		}
	}
	tail := l.book.Store().Tail().Seq
	rows, err := l.book.Store().Range(max(1, tail-int64(len(events))+1), tail)
	if err != nil {
		return nil, err
	}
	loc := l.book.Location()
	there := make([]string, len(rows))
	for i := range rows {
		ev, err := notation.NewStored(loc).Event(block.Time(rows[i].At), rows[i].Line)
		if err != nil {
			return nil, err
		}
		there[i] = known(ev, loc)
	}
	same := func(line string, ev block.Event) bool { return line == known(ev, loc) }
	for n := len(rows); n > 0; n-- {
		if slices.EqualFunc(there[len(there)-n:], events[:n], same) {
			fmt.Fprintf(l.notes, "fairhand: the first %d entries are in the register already, up to entry %d\n", n, tail)
			return events[n:], nil
		}
	}
	return events, nil
}

// known is an entry by which it is known again, whenever it was written.
func known(ev block.Event, loc *time.Location) string {
	ev.Written = 0
	return calendar.Stamp(ev.At, loc) + " " + notation.Format(ev, loc)
}

// underline shows the place of a line that could not be read.
func underline(line string, err error) error {
	one, is := errors.AsType[*notation.Error](err)
	if !is || one.Column < 1 || one.Column > utf8.RuneCountInString(line)+1 || strings.ContainsRune(line, '\t') {
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
		entry, err := l.book.Log(ev, l.given...)
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
	if e := each.First(l.book.Recent(), func(e *register.Entry) bool { return ev.Kind == block.Correct && e.Seq == ev.Target }); e != nil {
		return e.Findings
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
	l.found.add(found...)
	loc := l.book.Location()
	if l.js {
		return l.json(loggedJSON{Entry: ev.Seq, Time: calendar.Exact(ev.At, loc), Date: l.book.DayOf(ev.At).String(), Notation: line, Written: !l.dry, Findings: allAsJSON(found, loc)})
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
