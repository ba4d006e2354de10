package reading

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"path/filepath"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/notation"
	"fairhand/register/store"
)

func london(t testing.TB) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

// registerOf keeps a book in a register as it stands in the text.
func registerOf(t testing.TB, book string) *store.Store {
	t.Helper()
	loc := london(t)
	st, err := store.Create(filepath.Join(t.TempDir(), "register.db"), store.Meta{Railway: "Thrackley Vale Railway", Box: "Ennerholme", Zone: loc.String(), Created: 1})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	events, err := notation.ParseAll(strings.NewReader(book), loc)
	if err != nil {
		t.Fatal(err)
	}
	var drafts []store.Draft
	for _, ev := range events {
		drafts = append(drafts, store.Draft{At: int64(ev.At), Recorded: int64(ev.At), Day: calendar.Of(ev.At, loc), Line: notation.Format(ev, loc)})
	}
	if _, err := st.AppendBatch(drafts); err != nil {
		t.Fatal(err)
	}
	return st
}

func survey(t testing.TB, book string) *Notation {
	t.Helper()
	b, err := Survey(context.Background(), strings.NewReader(book), london(t))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// told is what a reading says of each entry, one a line.
func told(t testing.TB, entries iter.Seq2[*Entry, error]) string {
	t.Helper()
	var out strings.Builder
	for e, err := range entries {
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&out, "%d %d %s", e.Seq, e.Day, notation.Format(e.Event, london(t)))
		if e.CorrectedBy != 0 {
			fmt.Fprintf(&out, ", by %d instead of %s", e.CorrectedBy, notation.Format(*e.Written(), london(t)))
		}
		if c := e.Corrects; c != nil {
			fmt.Fprintf(&out, ", corrects %d, which said %s", c.Target, c.Was)
		}
		for _, r := range e.Remarks {
			fmt.Fprintf(&out, ", explained by %d: %s", r.Seq, r.Text)
		}
		out.WriteString("\n")
	}
	return out.String()
}

// corrected are books with corrections and remarks, and how each is read.
var corrected = map[string]struct{ book, want string }{
	"corrected twice": {"date 2026-05-05\n10:03 fog on\n10:05 correct 1 \"10:33 fog off\"\n10:06 correct 1 \"fog off\"\n",
		"1 20260505 10:03 fog off, by 3 instead of 10:03 fog on\n" +
			"2 20260505 10:05 correct 1 \"10:33 fog off\", corrects 1, which said 10:03 fog on\n" +
			"3 20260505 10:06 correct 1 \"fog off\", corrects 1, which said 10:33 fog off\n"},
	"on a day when the clocks did not leave the hour out": {"date 2026-03-28\n01:20 fog on\ndate 2026-03-29\n06:00 correct 1 \"01:30 fog on\"\n",
		"1 20260328 01:30 fog on, by 2 instead of 01:20 fog on\n2 20260329 06:00 correct 1 \"01:30 fog on\", corrects 1, which said 01:20 fog on\n"},
	"a correction corrected": {"date 2026-05-05\n10:00 fog on\n10:01 box open\n10:02 correct 1 \"10:00 fog off\"\n10:03 correct 3 \"10:02 correct 2 \\\"10:01 box closed\\\"\"\n",
		"1 20260505 10:00 fog on\n2 20260505 10:01 box closed, by 4 instead of 10:01 box open\n" +
			"3 20260505 10:02 correct 2 \"10:01 box closed\", by 4 instead of 10:02 correct 1 \"10:00 fog off\", corrects 2, which said 10:01 box open\n" +
			"4 20260505 10:03 correct 3 \"10:02 correct 2 \\\"10:01 box closed\\\"\", corrects 3, which said 10:02 correct 1 \"10:00 fog off\"\n"},
	"a correction corrected by a line of the same kind": {"date 2026-05-05\n10:00 fog on\n10:02 correct 1 \"10:00 message from Control \\\"a\\\"\"\n10:03 correct 2 \"10:00 message from Control \\\"b\\\"\"\n",
		"1 20260505 10:00 message from Control \"b\", by 3 instead of 10:00 fog on\n" +
			"2 20260505 10:02 correct 1 \"10:00 message from Control \\\"b\\\"\", by 3 instead of 10:02 correct 1 \"10:00 message from Control \\\"a\\\"\", corrects 1, which said 10:00 fog on\n" +
			"3 20260505 10:03 correct 2 \"10:00 message from Control \\\"b\\\"\", corrects 2, which said 10:02 correct 1 \"10:00 message from Control \\\"a\\\"\"\n"},
	"a correction corrected twice": {"date 2026-05-05\n10:00 fog on\n10:01 fog off\n10:02 correct 1 \"10:00 note \\\"a\\\"\"\n10:03 correct 3 \"10:02 correct 2 \\\"10:01 note \\\\\\\"b\\\\\\\"\\\"\"\n10:04 correct 3 \"10:02 correct 1 \\\"10:00 note \\\\\\\"c\\\\\\\"\\\"\"\n",
		"1 20260505 10:00 note \"c\", by 5 instead of 10:00 fog on\n" +
			"2 20260505 10:01 fog off\n" +
			"3 20260505 10:02 correct 1 \"10:00 note \\\"c\\\"\", by 5 instead of 10:02 correct 1 \"10:00 note \\\"a\\\"\", corrects 1, which said 10:00 fog on\n" +
			"4 20260505 10:03 correct 3 \"10:02 correct 2 \\\"10:01 note \\\\\\\"b\\\\\\\"\\\"\", corrects 3, which said 10:02 correct 1 \"10:00 note \\\"a\\\"\"\n" +
			"5 20260505 10:04 correct 3 \"10:02 correct 1 \\\"10:00 note \\\\\\\"c\\\\\\\"\\\"\", corrects 3, which said 10:02 correct 2 \"10:01 note \\\"b\\\"\"\n"},
	"a note struck out": {"date 2026-05-05\n10:00 fog on\n10:02 correct 1 \"10:00 note \\\"a\\\"\"\n10:03 correct 2 \"10:02 note \\\"nothing\\\"\"\n",
		"1 20260505 10:00 fog on\n" +
			"2 20260505 10:02 note \"nothing\", by 3 instead of 10:02 correct 1 \"10:00 note \\\"a\\\"\"\n" +
			"3 20260505 10:03 correct 2 \"10:02 note \\\"nothing\\\"\", corrects 2, which said 10:02 correct 1 \"10:00 note \\\"a\\\"\"\n"},
	"remarks in the order of the book": {"date 2026-05-05\n10:00 fog on\n10:01 explain 1 \"a\"\n10:02 explain 1 \"b\"\n10:03 correct 2 \"10:01 explain 1 \\\"c\\\"\"\n",
		"1 20260505 10:00 fog on, explained by 2: c, explained by 3: b\n" +
			"2 20260505 10:01 explain 1 \"c\", by 4 instead of 10:01 explain 1 \"a\"\n" +
			"3 20260505 10:02 explain 1 \"b\"\n" +
			"4 20260505 10:03 correct 2 \"10:01 explain 1 \\\"c\\\"\", corrects 2, which said 10:01 explain 1 \"a\"\n"},
	"a correction struck out": {"date 2026-05-05\n10:00 fog on\n10:02 correct 1 \"10:00 fog off\"\n10:03 correct 2 \"10:02 note \\\"nothing\\\"\"\n",
		"1 20260505 10:00 fog on\n2 20260505 10:02 note \"nothing\", by 3 instead of 10:02 correct 1 \"10:00 fog off\"\n" +
			"3 20260505 10:03 correct 2 \"10:02 note \\\"nothing\\\"\", corrects 2, which said 10:02 correct 1 \"10:00 fog off\"\n"},
	"a register with a correction of itself": {"date 2026-05-05\n10:00 fog on\n10:02 correct 1 \"10:00 fog off\"\n10:03 correct 2 \"10:02 correct 2 \\\"10:02 fog on\\\"\"\n",
		"1 20260505 10:00 fog on\n" +
			"2 20260505 10:02 correct 2 \"10:02 fog on\", by 3 instead of 10:02 correct 1 \"10:00 fog off\"\n" +
			"3 20260505 10:03 correct 2 \"10:02 correct 2 \\\"10:02 fog on\\\"\", corrects 2, which said 10:02 correct 1 \"10:00 fog off\"\n"},
	"a register with remarks": {"date 2026-05-05\n10:00 fog on\n10:01 fog off\n10:02 explain 2 \"a\"\n10:03 correct 3 \"10:02 explain 1 \\\"b\\\"\"\n10:04 note \"c\"\n10:05 correct 5 \"10:04 explain 1 \\\"d\\\"\"\n10:06 explain 9 \"of nothing\"\n",
		"1 20260505 10:00 fog on, explained by 3: b, explained by 5: d\n2 20260505 10:01 fog off\n" +
			"3 20260505 10:02 explain 1 \"b\", by 4 instead of 10:02 explain 2 \"a\"\n" +
			"4 20260505 10:03 correct 3 \"10:02 explain 1 \\\"b\\\"\", corrects 3, which said 10:02 explain 2 \"a\"\n" +
			"5 20260505 10:04 explain 1 \"d\", by 6 instead of 10:04 note \"c\"\n" +
			"6 20260505 10:05 correct 5 \"10:04 explain 1 \\\"d\\\"\", corrects 5, which said 10:04 note \"c\"\n" +
			"7 20260505 10:06 explain 9 \"of nothing\"\n"},
}

// TestBothBooksAlike: a register and the book it was made of are read alike: each
// correction rests on the entry as first written, the last one stands, one that
// corrects a correction takes its place, and a remark may be set right.
func TestBothBooksAlike(t *testing.T) {
	for name, c := range corrected {
		t.Run(name, func(t *testing.T) {
			st := registerOf(t, c.book)
			for _, s := range []Span{{}, {To: st.Tail().Seq, Proved: true}} {
				if diff := cmp.Diff(c.want, told(t, Of(st, london(t)).Entries(t.Context(), s))); diff != "" {
					t.Errorf("register, %+v (-want +got):\n%s", s, diff)
				}
			}
			if strings.HasPrefix(name, "a register") { // what one may hold, a book may not: see TestFaults
				return
			}
			if diff := cmp.Diff(c.want, told(t, survey(t, c.book).Entries(t.Context()))); diff != "" {
				t.Errorf("book (-want +got):\n%s", diff)
			}
		})
	}
}

// TestFromTheMiddle: of a span only its own entries are given, with all that is
// said of them and of what stands before it.
func TestFromTheMiddle(t *testing.T) {
	st := registerOf(t, "date 2026-05-05\n10:00 fog on\n10:01 box open\n10:02 correct 1 \"10:00 fog off\"\n10:03 correct 2 \"10:01 box closed\"\n")
	want := "2 20260505 10:01 box closed, by 4 instead of 10:01 box open\n3 20260505 10:02 correct 1 \"10:00 fog off\", corrects 1, which said 10:00 fog on\n"
	if diff := cmp.Diff(want, told(t, Of(st, london(t)).Entries(t.Context(), Span{After: 1, To: 3}))); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	with := &block.Event{Seq: 5, Kind: block.Correct, Target: 2, Text: "box switched out"}
	want = "2 20260505 10:01 box switched out, by 5 instead of 10:01 box open\n" +
		"5 19700101 01:00 correct 2 \"box switched out\", corrects 2, which said 10:01 box closed\n"
	if diff := cmp.Diff(want, told(t, Of(st, london(t)).Entries(t.Context(), Span{After: 1, To: 2, With: with}))); diff != "" {
		t.Errorf("with a correction that is not written (-want +got):\n%s", diff)
	}
}

// TestFaults: all faults of a book are told together, each with its line and
// column and in one form of words.
func TestFaults(t *testing.T) {
	for name, c := range map[string]struct{ book, want string }{
		"a line":            {"date 2026-05-05\n10:00 fig on\n", "line 2, column 11: "},
		"of one below":      {"date 2026-03-29\n06:00 fog on\n06:01 correct 3 \"01:30 fog on\"\n06:02 correct 1 \"fog off\"\n06:03 correct 3 \"fog on\"\n", "line 3, column 1: there is no entry 3 of this book before it"},
		"of nothing before": {"date 2026-05-05\n10:00 fog on ; 10:01 correct 2 \"10:00 fog off\"\n", "line 2, column 16: there is no entry 2 of this book before it; numbers count the book's own entries from 1"},
		"explains nothing":  {"date 2026-05-05\n10:00 fog on\n10:01 explain 7 \"x\"\n", "line 3, column 1: there is no entry 7 of this book before it; numbers count the book's own entries from 1"},
		"hour left out":     {"date 2026-03-29\n06:00 fog on\n06:01 correct 1 \"01:30 fog on\"\n", "line 3, column 1: the line that is to stand instead: the clocks never showed"},
		"instead of nothing": {"date 2026-05-05\n10:00 fog on\n10:01 correct 1 \"10:00 explain 4 \\\"x\\\"\"\n",
			"line 3, column 1: the line that is to stand instead: there is no entry 4 of this book before it"},
		"all of them, in order": {"date 2026-03-29\n06:00 fog on\n06:01 correct 1 \"01:30 fog on\"\n06:02 fig\n06:03 correct 9 \"fog on\"\n", "line 3, column 1: the line that\nline 4, column 10: \nline 5, column 1: there is no entry 9"},
	} {
		_, err := Survey(t.Context(), strings.NewReader(c.book), london(t))
		var faults notation.Errors
		if !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		want := strings.Split(c.want, "\n")
		if len(faults) != len(want) {
			t.Errorf("%s: %d faults:\n%v", name, len(faults), err)
			continue
		}
		for i, f := range faults {
			if !strings.HasPrefix(f.Error(), want[i]) {
				t.Errorf("%s:\n%s, want\n%s", name, f, want[i])
			}
		}
	}
	_, err := Survey(t.Context(), strings.NewReader("date 2026-05-05\n"+strings.Repeat("10:00 fig\n", 200)), london(t))
	if faults := (notation.Errors)(nil); !errors.As(err, &faults) || len(faults) != notation.MaxErrors {
		t.Errorf("%d faults of 200", len(faults))
	}
}

// TestByLine: entries are known to the rules by their lines, and so is what they
// speak of.
func TestByLine(t *testing.T) {
	b := survey(t, "date 2026-05-05\n\n10:00 message from Control \"a\"\n# no entry\n10:01 note \"b\"\n10:02 message to Control answers 1 \"c\"\n10:03 correct 2 \"10:01 explain 1 \\\"d\\\"\"\n10:04 correct 3 \"10:02 message to Control answers 1 \\\"e\\\"\"\n")
	var got []string
	for e, err := range b.ByLine().Entries(t.Context()) {
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range e.Before {
			got = append(got, fmt.Sprint("before ", v.Until, v.Event.Target))
		}
		got = append(got, fmt.Sprint(e.Seq, e.Place, e.Event.Seq, e.Event.Target))
	}
	if diff := cmp.Diff([]string{"1 3 3 0", "before 4 0", "2 5 5 3", "before 5 3", "3 6 6 3", "4 7 7 2", "5 8 8 3"}, got); diff != "" || b.Count() != 5 {
		t.Error(b.Count(), diff)
	}
}

// TestLeftAtAnyTime: a reading can be broken off, by its reader or by the context,
// and nothing of it works on.
func TestLeftAtAnyTime(t *testing.T) {
	var book strings.Builder
	book.WriteString("date 2026-05-05\n")
	for range longReading + 4000 {
		book.WriteString("10:00 fog on\n")
	}
	st := registerOf(t, book.String())
	last := int64(0)
	for e, err := range Of(st, london(t)).Entries(t.Context(), Span{}) {
		if err != nil || e.Seq != last+1 {
			t.Fatal(last, e, err)
		}
		last = e.Seq
	}
	if last != longReading+4000 {
		t.Errorf("the last entry read is %d", last)
	}
	for e, err := range Of(st, london(t)).Entries(t.Context(), Span{}) {
		if err != nil {
			t.Fatal(err)
		}
		if e.Seq == 3 {
			break
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var ended error
	for e, err := range Of(st, london(t)).Entries(ctx, Span{}) {
		if err != nil {
			ended = err
		} else if e.Seq == 1 {
			cancel()
		}
	}
	if !errors.Is(ended, context.Canceled) {
		t.Errorf("ended with %v", ended)
	}
	if _, err := Survey(ctx, strings.NewReader(book.String()), london(t)); !errors.Is(err, context.Canceled) {
		t.Errorf("the survey ended with %v", err)
	}
	if err := st.Close(); err != nil {
		t.Error(err)
	}
}

// TestUnreadable names the entry that this version cannot read.
func TestUnreadable(t *testing.T) {
	st := registerOf(t, "date 2026-05-05\n10:00 fog on\n")
	if _, err := st.Append(store.Draft{At: 1, Recorded: 1, Day: 20260505, Line: "10:00 fig"}); err != nil {
		t.Fatal(err)
	}
	read := func(s Span) (told []string) {
		for e, err := range Of(st, london(t)).Entries(t.Context(), s) {
			if err != nil {
				told = append(told, err.Error())
				continue
			}
			told = append(told, fmt.Sprint(e.Seq))
		}
		return told
	}
	if got := read(Span{}); len(got) != 1 || !strings.Contains(got[0], `entry 2 of the register cannot be read by this version ("10:00 fig")`) {
		t.Errorf("%q", got)
	}
	for _, line := range []string{"10:02 correct 1 fig", "10:02 explain 1 \"a\""} {
		if _, err := st.Append(store.Draft{At: 1777971720, Recorded: 1777971720, Day: 20260505, Line: line}); err != nil {
			t.Fatal(err)
		}
	}
	if got := read(Span{}); len(got) != 1 || !strings.Contains(got[0], "entry 3") {
		t.Errorf("%q", got)
	}
	if got := read(Span{Damaged: true}); strings.Join(got, " ") != "1 4" {
		t.Errorf("under an alarm %q, want the entries that can be read", got)
	}
}

// A box of two lines to one neighbour.
const plainBox = `box: Ennerholme
timezone: Europe/London
rules: british-later
sections:
  - neighbour: Saltgarth
    method: absolute
    lines: [{name: Up Main, way: out}, {name: Down Main, way: in}]
`

// TestAnswered: what was found of an entry as it was written stays on record until
// a correction answers it, and counts for nothing; what stands is found either way.
func TestAnswered(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct{ book, stands, answered string }{
		"a slip set right": {"10:00 Saltgarth <1 >1 <3-1 >4 train 2A01\n10:03 Saltgarth <2 >2\n10:05 correct 1 \"Saltgarth <1 >1 <3-1 >3-1 train 2A01\"\n",
			"", "1 acknowledged-wrongly by 3, 2 entered-without-acceptance by 3"},
		"set wrong": {"10:00 Saltgarth <1 >1 <3-1 >3-1 train 2A01\n10:03 Saltgarth <2 >2\n10:05 correct 1 \"Saltgarth <1 >1 <3-1 >4 train 2A01\"\n",
			"1 acknowledged-wrongly, 2 entered-without-acceptance", ""},
		"set right at the second try": {"10:00 fog on\n10:03 Saltgarth <2 >2\n10:05 correct 1 \"Saltgarth <1 >1 <3-1 >4 train 2A01\"\n10:06 correct 1 \"Saltgarth <1 >1 <3-1 >3-1 train 2A01\"\n",
			"", "1 acknowledged-wrongly by 4, 2 entered-without-acceptance by 4"},
		"nothing to do with it": {"10:00 fog on\n10:03 Saltgarth <2 >2\n10:05 correct 1 \"fog off\"\n", "2 entered-without-acceptance", ""},
	} {
		run := NewReplay(file.Box, block.NewState(file.Box))
		var stands, answered []string
		for e, err := range survey(t, "date 2026-05-05\n"+c.book).Entries(t.Context()) {
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range run.Take(e) {
				stands = append(stands, fmt.Sprintf("%d %s", f.Seq, f.Rule))
			}
			for _, f := range run.Answered() {
				answered = append(answered, fmt.Sprintf("%d %s by %d", f.Seq, f.Rule, f.Answered))
			}
		}
		if got := strings.Join(stands, ", "); got != c.stands {
			t.Errorf("%s: %s stand, want %s", name, got, c.stands)
		}
		if got := strings.Join(answered, ", "); got != c.answered {
			t.Errorf("%s: %s answered, want %s", name, got, c.answered)
		}
		if len(run.branches) != 0 {
			t.Errorf("%s: %d branches are still followed", name, len(run.branches))
		}
	}
}

// TestManyCorrections: of more corrections than are followed at once, what stands is
// found all the same.
func TestManyCorrections(t *testing.T) {
	file, err := boxfile.Decode(strings.NewReader(plainBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	const n = 3 * maxBranches
	book := "date 2026-05-05\n" + strings.Repeat("10:00 fog on\n", n) + "10:01 Saltgarth <2 >2\n"
	for i := range n {
		book += fmt.Sprintf("10:02 correct %d \"fog off\"\n", i+1)
	}
	run, found, most := NewReplay(file.Box, block.NewState(file.Box)), 0, 0
	for e, err := range survey(t, book).Entries(t.Context()) {
		if err != nil {
			t.Fatal(err)
		}
		found += len(run.Take(e))
		most = max(most, len(run.branches))
	}
	if found != 1 || most != maxBranches {
		t.Errorf("%d found, %d followed at once", found, most)
	}
}
