package block_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/registertest"
)

// TestShownAll works every book there is and holds what each entry changes to what it changed
// when testdata/shown_all.txt was written, of which that keeps four digests: of what is found, of
// what comes next, of what a relief is told and what falls due, of the state. A book that
// is new or was written otherwise since is left out. What a moved line means is not to be seen
// from it: bash .ci/shown REVISION tells it in words, book by book. Read that before -update.
func TestShownAll(t *testing.T) {
	books := keptBooks(t)
	names := make([]string, len(books))
	for i := range books {
		names[i] = books[i].ID
	}
	registertest.HoldShown(t, "testdata/shown_all.txt", block.UpdateGolden(), names, 1, func(t *testing.T, i, _ int) registertest.Shown {
		b := &books[i]
		words := shownBook(t, b.Box, b.Lines, true)
		return registertest.Shown{Of: b.Box + strings.Join(b.Lines, "\n"), How: "a book of " + b.Box, Words: sorted(words), Kinds: []string{"found", "next", "told", "state"}, Told: words}
	})
}

// sorted are the words shown of a book by their kind.
func sorted(words string) (out []string) {
	var kinds [4]strings.Builder
	for line := range strings.Lines(words) {
		of, _, _ := strings.Cut(strings.TrimSpace(line), " ")
		k, is := map[string]int{"found": 0, "answers": 0, "<": 1, ">": 1, "in": 1, "relief": 2, "due": 2, "at": 2, "may": 2}[of]
		switch {
		case line[0] != ' ':
			for i := range kinds {
				kinds[i].WriteString("\n")
			}
		case is:
			kinds[k].WriteString(line)
		default:
			kinds[3].WriteString(line)
		}
	}
	for i := range kinds {
		out = append(out, kinds[i].String())
	}
	return out
}

// keptBooks are all books that tests judge otherwise, by what they are called.
func keptBooks(t *testing.T) (books []registertest.Kept) {
	t.Helper()
	files, err := filepath.Glob("testdata/clauses/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no clauses: %v", err)
	}
	for _, file := range files {
		for _, c := range readClauses(t, file) {
			for n, b := range c.books {
				books = append(books, registertest.NewKept(fmt.Sprintf("%s/%d", c.id, n+1), b.box, b.lines))
			}
		}
	}
	return append(books, registertest.KeptBooks(t, "..")...)
}
