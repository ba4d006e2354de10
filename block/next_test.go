package block_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/register/notation"
)

// TestNextInTurn holds what may come next after each book of testdata/next.txt to the list
// below it, whole and in its order: > is of this box and < of another or of a user, ? is asked
// about before it is written, and what is wanted later than ten minutes from now says so. Below
// each stands the entry that is written of it. Rewritten with -update.
func TestNextInTurn(t *testing.T) {
	const file = "testdata/next.txt"
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	parts := strings.Split(string(text), "\n=== ")
	for i, part := range parts[1:] {
		head, body, _ := strings.Cut(part, "\n")
		box, what, _ := strings.Cut(head, " | ")
		t.Run(what, func(t *testing.T) {
			book, want := []string{}, []string{}
			for line := range strings.Lines(body) {
				switch line = strings.TrimSuffix(line, "\n"); {
				case line == "":
				case strings.ContainsAny(line[:1], "<> "):
					want = append(want, line)
				default:
					book = append(book, line)
				}
			}
			got := inTurn(stateOf(t, box, book...))
			parts[i+1] = strings.Join(slices.Concat([]string{head}, book, got), "\n") + "\n"
			if diff := cmp.Diff(want, got); diff != "" && !block.UpdateGolden() {
				t.Errorf("%s (-want +got):\n%s", box, diff)
			}
		})
	}
	if block.UpdateGolden() {
		if err := os.WriteFile(file, []byte(strings.Join(parts, "\n=== ")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func inTurn(b *block.Box, s *block.State) []string {
	next := block.Expected(b, s)
	slices.SortStableFunc(next, func(x, y block.Expectation) int { return int(x.Wanted - y.Wanted) })
	list := []string{}
	for _, e := range next {
		who, asks, when := "<", " ", ""
		if e.Mine {
			who = ">"
		}
		if e.Clears != "" {
			asks = "? "
		}
		if e.Wanted > s.Now+10*block.Minute {
			when = "   later"
		}
		list = append(list, fmt.Sprint(who, asks, e.Label, when), "      "+notation.FormatBody(e.Event))
	}
	return list
}
