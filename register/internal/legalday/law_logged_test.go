package legalday_test

import (
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/boxfile"
	"fairhand/register/reading"
)

// shortBook is how many entries a book has at most that is logged entry by entry unless
// the long form is asked for: each is synced to the disk.
const shortBook = 60

// TestOneByOne: a book logged entry by entry, as at the desk, is found what checking the
// whole of it finds: by the book that is open, which has each entry as it stands now, and
// by an audit of what was written.
func TestOneByOne(t *testing.T) {
	books := 0
	for _, b := range lawBooks(t, 1) {
		file, err := boxfile.Decode(strings.NewReader(b.box), "box.yaml")
		if err != nil {
			t.Fatal(err)
		}
		l := law{t: t, file: file, b: b}
		l.number()
		if len(l.lines) > shortBook && days() == defaultDays || ofClocks(b.book) {
			continue
		}
		books++
		t.Run(b.name, func(t *testing.T) {
			t.Parallel()
			l := l
			l.t = t
			book := l.logged()
			defer book.Close()
			want := l.check()
			if diff := cmp.Diff(want, l.audit(audit.Register(book)), cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("audit of what was logged (-check +audit):\n%s", diff)
			}
			got, today := l.live(book)
			want = slices.DeleteFunc(want, func(s string) bool {
				line, _, _ := strings.Cut(s, " ")
				return !today[line] || strings.Contains(s, " answered by ")
			})
			if diff := cmp.Diff(want, got, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("the open book (-check +book):\n%s", diff)
			}
		})
	}
	if books < 100 {
		t.Errorf("%d books logged, want 100", books)
	}
	t.Logf("%d books", books)
}

// logged writes the book into a new register, one entry after another.
func (l *law) logged() *register.Book {
	l.t.Helper()
	dir := l.t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), []byte(l.b.box), 0o600); err != nil {
		l.t.Fatal(err)
	}
	made := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	book, err := register.Create(dir, register.Options{Now: func() time.Time { return made }})
	if err != nil {
		l.t.Fatal(err)
	}
	text, err := reading.Survey(l.t.Context(), strings.NewReader(l.b.book), l.file.Location)
	if err != nil {
		l.t.Fatal(err)
	}
	for e, err := range text.Entries(l.t.Context()) {
		if err == nil {
			_, err = book.Log(*e.Written())
		}
		if err != nil {
			l.t.Fatalf("line %d: %v", e.Place, err)
		}
	}
	return book
}

// live is what stands of the entries of the present day as the open book has them, with
// what its end would leave undone, and the lines of those entries.
func (l *law) live(b *register.Book) (found []string, today map[string]bool) {
	l.t.Helper()
	today = map[string]bool{}
	all := block.NewRunner(b.Box(), *b.State()).Finish()
	for _, e := range b.Recent() {
		today[strconv.FormatInt(l.lines[e.Seq], 10)] = true
		all = append(all, e.Findings...)
	}
	for _, s := range l.found(all) {
		if line, _, _ := strings.Cut(s, " "); today[line] {
			found = append(found, s)
		}
	}
	return found, today
}
