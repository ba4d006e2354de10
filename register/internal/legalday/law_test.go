package legalday_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/boxfile"
	"fairhand/register/compare"
	"fairhand/register/reading"
)

// TestOneLaw: a book has one meaning. What is found, as entry, rule and root, and what
// of it which later entry has answered, is the same by check, by the audit of the book
// and of a register made of it, and by its import; what stands also by the days of that
// register, which are not read to its end.
func TestOneLaw(t *testing.T) {
	for _, b := range lawBooks(t, 0) {
		t.Run(b.name, func(t *testing.T) {
			t.Parallel()
			file, err := boxfile.Decode(strings.NewReader(b.box), "box.yaml")
			if err != nil {
				t.Fatal(err)
			}
			l := law{t: t, file: file, b: b}
			l.number()
			want := l.check()
			dir := t.TempDir()
			book, imported := l.imported(dir)
			defer book.Close()
			for _, c := range []struct {
				name string
				got  []string
			}{
				{"audit of the book", l.audit(audit.Notation(file, strings.NewReader(b.book)))},
				{"audit of the register", l.audit(audit.Register(book))},
				{"days of the register", l.days(book)},
				{"import", imported},
			} {
				want := want
				if c.name == "days of the register" {
					want = slices.DeleteFunc(slices.Clone(want), func(s string) bool { return strings.Contains(s, " answered by ") })
					c.got = withLater(want, c.got, l.later)
				}
				if diff := cmp.Diff(want, c.got, cmpopts.EquateEmpty()); diff != "" {
					t.Errorf("%s (-check +%s):\n%s", b.name, c.name, diff)
				}
			}
			l.compared(book)
			l.verified(dir)
		})
	}
}

type law struct {
	t     *testing.T
	file  *boxfile.File
	b     lawBook
	lines map[int64]int64 // number of an entry to its line
	later []string        // what days tell of entries of the days before
}

// number notes the line of each entry.
func (l *law) number() {
	l.t.Helper()
	book, err := reading.Survey(l.t.Context(), strings.NewReader(l.b.book), l.file.Location)
	if err != nil {
		l.t.Fatal(err)
	}
	l.lines = map[int64]int64{}
	for e, err := range book.Entries(l.t.Context()) {
		if err != nil {
			l.t.Fatal(err)
		}
		l.lines[e.Seq] = int64(e.Place)
	}
}

// told is one finding, by line, with the line of its root and of what answered it.
func told(line int64, rule string, root, answered int64) string {
	out := fmt.Sprintf("%d %s", line, rule)
	if root != 0 {
		out += fmt.Sprintf(" follows from %d", root)
	}
	if answered != 0 {
		out += fmt.Sprintf(" answered by %d", answered)
	}
	return out
}

// found lists what was found, sorted, by line.
func (l *law) found(list []block.Finding) []string {
	var out []string
	for _, f := range list {
		out = append(out, told(l.lines[f.Seq], string(f.Rule), l.lines[f.Root], l.lines[f.Answered]))
	}
	slices.Sort(out)
	return out
}

func (l *law) check() (out []string) {
	l.t.Helper()
	_, err := register.Check(l.t.Context(), l.file.Box, l.file.Location, strings.NewReader(l.b.book), func(f block.Finding) error {
		out = append(out, told(f.Seq, string(f.Rule), f.Root, f.Answered))
		return nil
	})
	if err != nil {
		l.t.Fatal(err)
	}
	slices.Sort(out)
	return out
}

func (l *law) audit(src audit.Source) (out []string) {
	l.t.Helper()
	r, err := audit.Run(context.Background(), src, audit.Options{Details: 1_000_000})
	if err != nil {
		l.t.Fatal(err)
	}
	all := r.Answered.Details
	for _, rule := range r.Rules {
		all = append(all, rule.Details...)
	}
	for _, f := range all {
		out = append(out, told(l.lines[f.Entry], f.Rule, l.lines[f.Root], l.lines[f.Answered]))
	}
	slices.Sort(out)
	return out
}

// days gathers what was found on each day about its own entries. A register goes
// on, so that what the end of the book leaves undone is added. What they tell of earlier
// days is kept beside: most of it stands there already.
func (l *law) days(b *register.Book) []string {
	l.t.Helper()
	days, err := b.Store().Days(0, 0)
	if err != nil {
		l.t.Fatal(err)
	}
	all := block.NewRunner(l.file.Box, *b.State()).Finish()
	var later []block.Finding
	for _, day := range days {
		d, err := b.LoadDay(l.t.Context(), day)
		if err != nil {
			l.t.Fatal(err)
		}
		for _, e := range d.Entries {
			for _, f := range e.Findings {
				if f.Seq == e.Seq {
					all = append(all, f)
				} else if f.Seq < d.Entries[0].Seq {
					later = append(later, f)
				}
			}
		}
	}
	l.later = l.found(later)
	return l.found(all)
}

// withLater adds what the day of its entry could not tell yet: a bell that the first
// bell of the next day shows not to have been answered.
func withLater(want, got, later []string) []string {
	for _, f := range want {
		if !slices.Contains(got, f) && slices.Contains(later, f) {
			got = append(got, f)
		}
	}
	slices.Sort(got)
	return got
}

// imported makes a register of the book in a directory, and gives what its import finds in
// one that is empty, which it has not yet written, and what its end leaves undone.
func (l *law) imported(dir string) (*register.Book, []string) {
	l.t.Helper()
	if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), []byte(l.b.box), 0o600); err != nil {
		l.t.Fatal(err)
	}
	b, err := register.Create(dir, register.Options{})
	if err != nil {
		l.t.Fatal(err)
	}
	in, err := b.Import(l.t.Context(), strings.NewReader(l.b.book), register.ImportOptions{AsWritten: true})
	if err != nil {
		b.Close()
		l.t.Fatal(err)
	}
	return b, l.found(append(append(in.Findings, in.Answered...), block.NewRunner(l.file.Box, *b.State()).Finish()...))
}

// compared holds that the comparison reads the book and the register alike: laid
// beside each other they are one book.
func (l *law) compared(b *register.Book) {
	l.t.Helper()
	text, err := compare.FromNotation(l.t.Context(), l.file, strings.NewReader(l.b.book), 0, 0)
	if err != nil {
		l.t.Fatal(err)
	}
	kept, err := compare.FromStore(l.t.Context(), b.File(), b.Store(), 0, 0)
	if err != nil {
		l.t.Fatal(err)
	}
	if text.Entries != kept.Entries || text.First != kept.First || text.Last != kept.Last {
		l.t.Errorf("%d entries from %d to %d by the book, %d from %d to %d by its register", text.Entries, text.First, text.Last, kept.Entries, kept.First, kept.Last)
	}
}

// verified holds that the states kept beside the entries are those that a replay
// comes to.
func (l *law) verified(dir string) {
	l.t.Helper()
	v, err := register.Verify(l.t.Context(), filepath.Join(dir, register.RegisterName), l.file, nil, nil)
	if err != nil || len(v.Forged) > 0 || len(v.Unfit) > 0 {
		l.t.Errorf("verify: %v; states of entries %v are not what they come to, of %v damaged", err, v.Forged, v.Unfit)
	}
}
