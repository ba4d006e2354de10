package reading_test

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/notation"
	"fairhand/register/reading"
	"fairhand/register/registertest"
)

// shown reads a book to its end and says in words what the reading gives: in what order, as of
// what time, with what others, what stands corrected and explained; what is found, what is
// held back and when it is told. What rules say of it is told by their names, the words are block's;
// only how an entry was meant is the reading's own.
type shown struct {
	order, found strings.Builder
	loc          *time.Location
	run          *reading.Replay
	hold         reading.Hold
	open         block.Time
}

func shownBook(t *testing.T, b *registertest.Kept) *shown {
	t.Helper()
	file := registertest.BoxOf(t, "../..", b.Box)
	s := &shown{loc: file.Location, run: reading.NewReplay(file.Box, block.NewState(file.Box))}
	text := strings.Join(b.Lines, "\n") + "\n"
	if !strings.HasPrefix(text, "date ") {
		text = "date 2026-05-05\n" + text
	}
	book, err := reading.Survey(t.Context(), strings.NewReader(text), file.Location)
	if err != nil {
		var faults notation.Errors
		if !errors.As(err, &faults) {
			t.Fatalf("%s: %v", b.ID, err)
		}
		for _, f := range faults {
			fmt.Fprintf(&s.order, "%d:%d %s\n", f.Line, f.Column, f.Problem)
		}
		return s
	}
	fmt.Fprintf(&s.order, "%d entries from %s to %s\n", book.Count(), s.at(book.From), s.at(book.To))
	for i := range book.Repeated {
		r := &book.Repeated[i]
		fmt.Fprintf(&s.order, "entries %d to %d, %s: %s\n", r.From, r.To, s.at(r.At), r.Again())
	}
	if len(b.ID)%2 == 0 { // known to the rules by their lines, as where a book is checked
		book = book.ByLine()
	}
	for e, err := range s.run.Ordered(book.Entries(t.Context())) {
		if err != nil {
			t.Fatalf("%s: %v", b.ID, err)
		}
		s.take(e)
	}
	found := s.run.Finish()
	s.tell("found", found)
	s.tell("told", s.hold.Take(found, s.run.Look()))
	s.tell("last", s.hold.Rest())
	s.tell("stood", s.run.Answered())
	s.state()
	return s
}

func (s *shown) at(at block.Time) string {
	return time.Unix(int64(at), 0).In(s.loc).Format("02 15:04:05")
}

func (s *shown) take(e *reading.Entry) {
	fmt.Fprintf(&s.order, "%d. entry %d, line %d of %d: %d, %s %s", e.Nth, e.Seq, e.Place, e.Day, e.Event.Seq, s.at(e.Event.At), notation.Format(e.Event, s.loc))
	for _, f := range []struct {
		is   bool
		what string
	}{{e.Odd, "odd"}, {e.Early, "early"}, {e.Slip, "slip"}, {e.Redated, "redated"}, {s.run.Whole(), "whole"}, {e.Recorded != e.At, fmt.Sprint("late by ", e.Recorded-e.At)},
		{e.Others != 0, fmt.Sprint("others ", e.Others)}, {e.Relief != "", "relief " + e.Relief}, {e.As != 0, "as of " + s.at(e.As)}, {s.run.Reached() != e.Nth-1, fmt.Sprint("reached ", s.run.Reached())},
		{e.CorrectedBy != 0, fmt.Sprint("by ", e.CorrectedBy)}, {e.Event.Target != 0, fmt.Sprint("of ", e.Event.Target)}} {
		if f.is {
			s.order.WriteString(", " + f.what)
		}
	}
	s.order.WriteString("\n")
	if c := e.Corrects; c != nil {
		fmt.Fprintf(&s.order, "  puts in place of %d, which said %s: %s\n", c.Target, c.Was, c.Text)
	}
	for _, r := range e.Remarks {
		fmt.Fprintf(&s.order, "  remark %d %s %s\n", r.Seq, s.at(r.At), r.Text)
	}
	for _, v := range e.Before {
		fmt.Fprintf(&s.order, "  until %d: %d %s of %d\n", v.Until, v.Event.Seq, notation.Format(v.Event, s.loc), v.Event.Target)
	}
	fmt.Fprintf(&s.found, "%d\n", e.Seq)
	found := s.run.Take(e)
	s.tell("found", found)
	s.tell("told", s.hold.Take(found, s.run.Look()))
	s.tell("stood", s.run.Answered())
	for _, a := range s.run.Look().Answers {
		fmt.Fprintf(&s.found, "  answers %d %s %s %s %s\n", a.Seq, a.Rule, a.Section, a.Line, a.Train)
	}
	if s.run.Open() != s.open {
		s.open = s.run.Open()
		fmt.Fprintf(&s.order, "  open from %s\n", s.at(s.open))
	}
}

func (s *shown) tell(what string, found []block.Finding) {
	for i := range found {
		f := &found[i]
		fmt.Fprintf(&s.found, "  %s %d %s %s, %s %s %s %v", what, f.Seq, f.Rule, f.Severity, f.Section, f.Line, f.Train, f.Rests)
		if f.Root != 0 {
			fmt.Fprintf(&s.found, " from %d", f.Root)
		}
		if f.Answered != 0 {
			fmt.Fprintf(&s.found, " answered by %d", f.Answered)
		}
		if f.Rule == rulebook.TrainNameDiffers || f.Rule == rulebook.EntryOutOfOrder {
			fmt.Fprintf(&s.found, " at %s: %s", s.at(f.At), f.Text)
		}
		s.found.WriteString("\n")
	}
}

// state is what is at hand at the end, since how the last entries were read shows in that alone.
func (s *shown) state() {
	now := s.run.State()
	fmt.Fprintf(&s.found, "last entry %d, %s", now.LastSeq, s.at(now.LastAt))
	for _, t := range now.Trains {
		fmt.Fprintf(&s.found, ", train %s", t.Name)
	}
	s.found.WriteString("\n")
}

// readingOf is the k-th reading of a book: as it is, or with some lines written otherwise.
func readingOf(t *testing.T, b registertest.Kept, k int) registertest.Shown {
	how := "as it is"
	if k > 0 {
		b.Lines, how = registertest.Spoilt(b.ID, k, b.Lines)
	}
	s := shownBook(t, &b)
	return registertest.Shown{Of: strings.Join(b.Lines, "\n") + "\n", How: how, Words: []string{s.order.String(), s.found.String()}}
}

// TestShown holds some of the readings of TestShownAll in words: few in which as much as may be
// comes by. A reading is added by its heading, the book and which reading of it; -update writes the rest.
func TestShown(t *testing.T) {
	const file = "testdata/shown.txt"
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	books := map[string]registertest.Kept{}
	for _, b := range registertest.KeptBooks(t, "../..") {
		books[b.ID] = b
	}
	head, rest, _ := strings.Cut(string(text), "\n=== ")
	got := head
	for _, part := range strings.Split(rest, "\n=== ") {
		var id string
		var k int
		if n, err := fmt.Sscan(part, &id, &k); n < 2 {
			t.Fatalf("%s: %.20q names no reading: %v", file, part, err)
		}
		b, is := books[id]
		if !is {
			t.Fatalf("%s: there is no book %s; take out that part", file, id)
		}
		s := readingOf(t, b, k)
		got += fmt.Sprintf("\n=== %s %d, %s\n%s\n%s", id, k, s.How, s.Of, strings.Join(s.Words, "\n"))
	}
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if diff := cmp.Diff(strings.Split(string(text), "\n"), strings.Split(got, "\n")); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// TestShownAll reads every book that the tests of register judge, each as it is and as it comes when some
// lines of it are written otherwise, and many behind each other; and holds in what order
// it is read, and what is found.
func TestShownAll(t *testing.T) {
	books := registertest.KeptBooks(t, "../..")
	books = append(books, joined(books)...)
	names := make([]string, len(books))
	for i := range books {
		names[i] = books[i].ID
	}
	registertest.HoldShown(t, "testdata/shown_all.txt", *update, names, 3, func(t *testing.T, i, k int) registertest.Shown { return readingOf(t, books[i], k) })
}

// joined are books that go on for longer: of one box those that lie in one day, one after the other.
func joined(books []registertest.Kept) (out []registertest.Kept) {
	var all []*registertest.Kept
	of := map[string]*registertest.Kept{}
	for i := range books {
		b := &books[i]
		first, last := registertest.MinuteOf(b.Lines[0]), registertest.MinuteOf(b.Lines[len(b.Lines)-1])
		plain := first >= 0 && last >= first && !strings.Contains(b.Box, " ")
		for _, line := range b.Lines {
			plain = plain && registertest.MinuteOf(line) >= first && !strings.Contains(line, "correct ") && !strings.Contains(line, "explain ") && !strings.Contains(line, "written ") && !strings.Contains(line, ";")
		}
		if !plain {
			continue
		}
		j := of[b.Box]
		if j != nil {
			by := registertest.MinuteOf(j.Lines[len(j.Lines)-1]) + 9 - first
			if last+by < 23*60 {
				more := slices.Clone(b.Lines)
				for i := range more {
					more[i] = registertest.Later(more[i], by)
				}
				j.Lines = append(j.Lines, more...)
				continue
			}
		}
		of[b.Box] = &registertest.Kept{ID: "from-" + b.ID, Box: b.Box, Lines: slices.Clone(b.Lines)}
		all = append(all, of[b.Box])
	}
	for i, b := range all {
		if i%2 == 0 { // they take the most of the time
			out = append(out, *b)
		}
	}
	return out
}
