package register

import (
	"bytes"
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
)

// TestMisreadAtTheDesk writes the examined books entry by entry: what stands at the desk
// after the last is what check tells of the whole book, also where an entry was read as of
// another box in between, and the book opened again has it so too.
func TestMisreadAtTheDesk(t *testing.T) {
	text, err := os.ReadFile("testdata/examined.txt")
	if err != nil {
		t.Fatal(err)
	}
	yaml, err := os.ReadFile("../block/testdata/clauses/boxes/B.yaml")
	if err != nil {
		t.Fatal(err)
	}
	misread, n := 0, 0
	for _, part := range strings.Split("\n"+string(text), "\n=== ")[1:] {
		head, body, _ := strings.Cut(part, "\n")
		// box B works double lines with two others; what only the program writes is left out
		if !strings.Contains(head, " | B | right | ") || strings.Contains(body, "date ") || strings.Contains(body, "correct ") || strings.Contains(body, "clock ") {
			continue
		}
		if n++; testing.Short() && n%5 > 0 && !strings.HasPrefix(head, "m") {
			continue
		}
		book := []byte("date 2026-05-05\n" + body)
		b := deskBook(t, yaml, book)
		at := standingNow(b)
		want, read := checkStands(t, b, book)
		misread += read
		if diff := cmp.Diff(want, at); diff != "" {
			t.Errorf("%s (-check +desk):\n%s", head, diff)
		}
		again, err := Open(b.Dir, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(at, standingNow(again)); diff != "" {
			t.Errorf("%s (-desk +opened again):\n%s", head, diff)
		}
		again.Close()
	}
	if misread < 5 {
		t.Errorf("%d entries are read otherwise, in %d books", misread, n)
	}
}

// deskBook writes a book entry by entry, by a clock that only goes on: an hour is now and
// then written wrong.
func deskBook(t *testing.T, yaml, book []byte) *Book {
	t.Helper()
	b, clock := dayBook(t, yaml, nil)
	events, err := notation.ParseAll(bytes.NewReader(book), b.Location())
	if err != nil {
		t.Fatal(err)
	}
	for _, ev := range events {
		if at := time.Unix(int64(reading.WrittenAt(&ev)), 0); at.After(*clock) {
			*clock = at
		}
		if _, err := b.Log(ev); err != nil {
			t.Fatal(err)
		}
	}
	return b
}

func standingNow(b *Book) (out []string) {
	for _, e := range b.Recent() {
		for _, f := range e.Findings {
			if f.Severity > rulebook.Advice {
				out = append(out, fmt.Sprintf("%d %s", f.Seq, f.Rule))
			}
		}
	}
	slices.Sort(out)
	return out
}

// checkStands is what check finds of the book by the numbers of the register, and how many
// entries it read otherwise than they are written.
func checkStands(t *testing.T, b *Book, book []byte) (out []string, misread int) {
	t.Helper()
	shift := b.Recent()[0].Seq - 2 // the first entry stands below the date
	_, err := Check(t.Context(), b.Box(), b.Location(), bytes.NewReader(book), func(f block.Finding) error {
		if f.Answered == 0 && f.Severity > rulebook.Advice {
			out = append(out, fmt.Sprintf("%d %s", f.Seq+shift, f.Rule))
		}
		if strings.Contains(f.Text, "read so, nothing else is wrong") {
			misread++
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(out)
	return out, misread
}
