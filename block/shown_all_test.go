package block_test

import (
	"fmt"
	"hash/fnv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/registertest"
)

const shownAll = "testdata/shown_all.txt"

// TestShownAll works every book there is and holds what each entry changes to what it changed
// when testdata/shown_all.txt was written, of which that keeps four digests: of what is found, of
// what comes next, of what a relief is told and what falls due, of the state. A book that
// is new or was written otherwise since is left out. What a moved line means is not to be seen
// from it: bash .ci/shown REVISION tells it in words, book by book. Read that before -update.
func TestShownAll(t *testing.T) {
	books := keptBooks(t)
	was := map[string][]string{}
	text, err := os.ReadFile(shownAll)
	if err != nil && !block.UpdateGolden() {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		if f := strings.Fields(line); len(f) == 6 {
			was[f[0]] = f[1:]
		}
	}
	show := os.Getenv("FAIRHAND_SHOWN") // a directory for the words
	now := make([]string, len(books))
	held, moved := 0, map[string]int{}
	for i, is := range digests(t, books, show) {
		now[i] = books[i].ID + " " + strings.Join(is, " ") + "\n"
		old := was[books[i].ID]
		if old == nil || old[0] != is[0] {
			continue
		}
		held++
		for k, what := range []string{"found", "next", "told", "state"} {
			if old[k+1] != is[k+1] && !block.UpdateGolden() && show == "" {
				if moved[what]++; moved[what] <= 5 {
					t.Errorf("%s, a book of %s: another %s than before", books[i].ID, books[i].Box, what)
				}
			}
		}
	}
	if len(moved) > 0 {
		t.Errorf("another in so many books: %v. In words: bash .ci/shown HEAD", moved)
	}
	if block.UpdateGolden() {
		head := "# Of every book: its text, what is found, what comes next, what is told, the state. See shown_all_test.go.\n"
		if err := os.WriteFile(shownAll, []byte(head+strings.Join(now, "")), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if held < len(books)*9/10 {
		t.Errorf("%d books, and only %d are held: -update", len(books), held)
	}
}

// digests gives, of each book, the digest of its text and those of what is shown.
func digests(t *testing.T, books []registertest.Kept, show string) [][]string {
	all := make([][]string, len(books))
	const parts = 4 // read beside each other
	t.Run("read", func(t *testing.T) {
		for part := range parts {
			t.Run(fmt.Sprint(part), func(t *testing.T) {
				t.Parallel()
				for i := part; i < len(books); i += parts {
					words := shownBook(t, books[i].Box, books[i].Lines, true)
					all[i] = append([]string{digest(books[i].Box + strings.Join(books[i].Lines, "\n"))}, sorted(words)...)
					if show == "" {
						continue
					}
					if err := os.WriteFile(filepath.Join(show, strings.ReplaceAll(books[i].ID, "/", "_")+".txt"), []byte(words), 0o644); err != nil {
						t.Fatal(err)
					}
				}
			})
		}
	})
	return all
}

// sorted are the digests of the kinds of what is shown of a book.
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
		out = append(out, digest(kinds[i].String()))
	}
	return out
}

func digest(text string) string {
	h := fnv.New32a()
	h.Write([]byte(text))
	return fmt.Sprintf("%05x", h.Sum32()>>12)
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
