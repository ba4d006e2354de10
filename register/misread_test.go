package register

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
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
	misread, n := 0, 0
	for _, part := range strings.Split("\n"+string(text), "\n=== ")[1:] {
		head, body, _ := strings.Cut(part, "\n")
		id, rest, _ := strings.Cut(head, " | ")
		box, _, _ := strings.Cut(rest, " | ")
		// those of box B, with two boxes on double lines, whose bells are of no name
		if box != "B" || !strings.Contains(head, "| right |") || strings.Contains(body, "date ") || strings.Contains(body, "correct ") || strings.Contains(body, "clock ") {
			continue
		}
		if n++; testing.Short() && n%5 > 0 && !strings.HasPrefix(id, "m") {
			continue
		}
		book := []byte("date 2026-05-05\n" + body)
		yaml, err := os.ReadFile(filepath.Join("../block/testdata/clauses/boxes", box+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		b, clock := dayBook(t, yaml, nil)
		events, err := notation.ParseAll(bytes.NewReader(book), b.Location())
		if err != nil {
			t.Fatal(err)
		}
		for _, ev := range events {
			if at := time.Unix(int64(reading.WrittenAt(&ev)), 0); at.After(*clock) {
				*clock = at // an hour is now and then written wrong: the clock goes on
			}
			if _, err := b.Log(ev); err != nil {
				t.Fatal(err)
			}
		}
		standing := func(b *Book) (out []string) {
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
		at, first := standing(b), b.Recent()[0].Seq
		var want []string
		if _, err := Check(t.Context(), b.Box(), b.Location(), bytes.NewReader(book), func(f block.Finding) error {
			if f.Answered == 0 && f.Severity > rulebook.Advice {
				want = append(want, fmt.Sprintf("%d %s", f.Seq-2+first, f.Rule))
			}
			if strings.Contains(f.Text, "read so, nothing else is wrong") {
				misread++
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		slices.Sort(want)
		if diff := cmp.Diff(want, at); diff != "" {
			t.Errorf("%s (-check +desk):\n%s", head, diff)
		}
		again, err := Open(b.Dir, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(at, standing(again)); diff != "" {
			t.Errorf("%s (-desk +opened again):\n%s", head, diff)
		}
		again.Close()
	}
	if misread < 5 {
		t.Errorf("%d books in which an entry is read otherwise, of %d", misread, n)
	}
}
