package registertest

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"golang.org/x/tools/txtar"

	"fairhand/register/boxfile"
)

// Kept is a book of the tests of register, in the zone of its box.
type Kept struct {
	ID, Box string
	Lines   []string
}

var marked = regexp.MustCompile(`\s+# .*$`) // what a line is to raise

// NewKept is a book by the name of its box, its lines without what they are marked with.
func NewKept(id, box string, lines []string) Kept {
	k := Kept{ID: strings.ReplaceAll(id, " ", "-"), Box: box}
	for _, line := range lines {
		if line = strings.TrimSpace(marked.ReplaceAllString(" "+line, "")); line != "" && line[0] != '#' {
			k.Lines = append(k.Lines, line)
		}
	}
	return k
}

// KeptBooks are the books that the tests of register judge, by what they are called; root is the
// path to the top of the module.
func KeptBooks(tb testing.TB, root string) (books []Kept) {
	tb.Helper()
	for _, name := range []string{"examined", "untidy", "misjudged"} {
		for _, b := range Headed(tb, filepath.Join(root, "register/testdata", name+".txt")) {
			part := strings.Split(b.Head, " | ")
			books = append(books, NewKept(part[0], part[1], strings.Split(b.Body, "\n")))
		}
	}
	files, err := filepath.Glob(filepath.Join(root, scenarios, "*.txtar"))
	if err != nil || len(files) == 0 {
		tb.Fatalf("no scenarios: %v", err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".txtar")
		books = append(books, NewKept(name, ofScenario+name, strings.Split(inArchive(tb, file, "book.txt"), "\n")))
	}
	return books
}

const (
	scenarios  = "register/testdata/check"
	ofScenario = "scenario " // before its name, for the box of one
)

// Headline is a book of a file of several: its heading, and its lines.
type Headline struct{ Head, Body string }

// Headed are the books of a file, each below a heading that begins with ===.
func Headed(tb testing.TB, file string) (books []Headline) {
	tb.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		tb.Fatal(err)
	}
	for _, b := range strings.Split("\n"+string(text), "\n=== ")[1:] {
		head, body, _ := strings.Cut(b, "\n")
		books = append(books, Headline{head, body})
	}
	return books
}

var boxes sync.Map // those that were read, by root and name

// BoxOf is the box of a book by its name: one of the clauses of block, in the zone that is named with
// it, or that of a scenario. It is shared: not to be changed.
func BoxOf(tb testing.TB, root, box string) *boxfile.File {
	tb.Helper()
	key := root + " " + box
	if read, ok := boxes.Load(key); ok {
		return read.(*boxfile.File)
	}
	name, zone, _ := strings.Cut(box, " in ")
	var text []byte
	if of, found := strings.CutPrefix(name, ofScenario); found {
		text = []byte(inArchive(tb, filepath.Join(root, scenarios, of+".txtar"), "box.yaml"))
	} else if clause, err := os.ReadFile(filepath.Join(root, "block/testdata/clauses/boxes", name+".yaml")); err != nil {
		tb.Fatal(err)
	} else {
		text = clause
	}
	if zone != "" {
		text = append([]byte("timezone: "+zone+"\n"), text...)
	}
	file, err := boxfile.Decode(bytes.NewReader(text), name)
	if err != nil {
		tb.Fatal(err)
	}
	boxes.Store(key, file)
	return file
}

func inArchive(tb testing.TB, file, part string) string {
	tb.Helper()
	a, err := txtar.ParseFile(file)
	if err != nil {
		tb.Fatal(err)
	}
	for _, f := range a.Files {
		if f.Name == part {
			return string(f.Data)
		}
	}
	tb.Fatalf("%s has no %s", file, part)
	return ""
}
