package block_test

import (
	"fmt"
	"hash/fnv"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"fairhand/block"
)

// kept is a book under testdata, of here or of register.
type kept struct {
	id, box string
	lines   []string
}

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
		now[i] = books[i].id + " " + strings.Join(is, " ") + "\n"
		old := was[books[i].id]
		if old == nil || old[0] != is[0] {
			continue
		}
		held++
		for k, what := range []string{"found", "next", "told", "state"} {
			if old[k+1] != is[k+1] && !block.UpdateGolden() && show == "" {
				if moved[what]++; moved[what] <= 5 {
					t.Errorf("%s, a book of %s: another %s than before", books[i].id, books[i].box, what)
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
func digests(t *testing.T, books []kept, show string) [][]string {
	all := make([][]string, len(books))
	const parts = 4 // read beside each other
	t.Run("read", func(t *testing.T) {
		for part := range parts {
			t.Run(fmt.Sprint(part), func(t *testing.T) {
				t.Parallel()
				for i := part; i < len(books); i += parts {
					words := shownBook(t, books[i].box, books[i].lines, true)
					all[i] = append([]string{digest(books[i].box + strings.Join(books[i].lines, "\n"))}, sorted(words)...)
					if show == "" {
						continue
					}
					if err := os.WriteFile(filepath.Join(show, strings.ReplaceAll(books[i].id, "/", "_")+".txt"), []byte(words), 0o644); err != nil {
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

var marked = regexp.MustCompile(`\s+# .*$`) // what a line is to raise

// keptBooks are all books that tests judge otherwise, by what they are called.
func keptBooks(t *testing.T) (books []kept) {
	t.Helper()
	add := func(id, box string, lines []string) {
		b := kept{id: strings.ReplaceAll(id, " ", "-"), box: box}
		for _, line := range lines {
			if line = strings.TrimSpace(marked.ReplaceAllString(" "+line, "")); line != "" && line[0] != '#' {
				b.lines = append(b.lines, line)
			}
		}
		books = append(books, b)
	}
	for _, file := range globbed(t, "testdata/clauses/*.txt") {
		for _, c := range readClauses(t, file) {
			for n, b := range c.books {
				add(fmt.Sprintf("%s/%d", c.id, n+1), b.box, b.lines)
			}
		}
	}
	for _, name := range []string{"examined", "untidy", "misjudged"} {
		text, err := os.ReadFile("../register/testdata/" + name + ".txt")
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range strings.Split("\n"+string(text), "\n=== ")[1:] {
			head, body, _ := strings.Cut(b, "\n")
			part := strings.Split(head, " | ")
			add(part[0], part[1], strings.Split(body, "\n"))
		}
	}
	for _, file := range globbed(t, "../register/testdata/check/*.txtar") {
		a, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name := strings.TrimSuffix(filepath.Base(file), ".txtar")
		at := slices.IndexFunc(a.Files, func(f txtar.File) bool { return f.Name == "book.txt" })
		add(name, "scenario "+name, strings.Split(string(a.Files[at].Data), "\n"))
	}
	return books
}

func globbed(t *testing.T, pattern string) []string {
	t.Helper()
	files, err := filepath.Glob(pattern)
	if err != nil || len(files) == 0 {
		t.Fatalf("%s: no files: %v", pattern, err)
	}
	return files
}
