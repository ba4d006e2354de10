package block_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/register/notation"
	"fairhand/register/registertest"
)

// TestShown works the books of testdata/shown and holds what each entry changes, below
// it: what is found, what comes and goes among what is expected next, what a relief is told
// and what falls due, and what of the state moves. The other books are held to their findings
// above advice; this holds all the rest, of books chosen once so that as few as may be come by as
// much as may be. Below the last stands what is expected in its order.
// Rewritten with -update: read the difference as a list of what the signaller would see otherwise.
func TestShown(t *testing.T) {
	files, err := filepath.Glob("testdata/shown/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no books: %v", err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		head, rest, _ := strings.Cut(string(text), "\n=== ")
		var got strings.Builder
		got.WriteString(head)
		for _, part := range strings.Split(rest, "\n=== ") {
			title, body, _ := strings.Cut(part, "\n")
			box, _, _ := strings.Cut(title, " | ")
			var book []string
			for line := range strings.Lines(body) {
				if line = strings.TrimSuffix(line, "\n"); line != "" && line[0] != ' ' {
					book = append(book, line)
				}
			}
			fmt.Fprintf(&got, "\n=== %s\n%s", title, shownBook(t, box, book, false))
		}
		if block.UpdateGolden() {
			if err := os.WriteFile(file, []byte(got.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		} else if diff := cmp.Diff(strings.Split(string(text), "\n"), strings.Split(got.String(), "\n")); diff != "" {
			t.Errorf("%s (-want +got):\n%s", file, diff)
		}
	}
}

// shownBook works a book and writes below each entry what it changes, and below the last, or
// each, what is expected in its order, with the minutes until it is wanted.
func shownBook(t *testing.T, box string, book []string, each bool) string {
	t.Helper()
	file := registertest.BoxOf(t, "..", box)
	text := strings.Join(book, "\n") + "\n"
	if !strings.HasPrefix(text, "date ") {
		text = "date 2026-05-05\n" + text
	}
	events, err := notation.ParseAll(strings.NewReader(text), file.Location)
	if err != nil {
		t.Fatalf("%s: %v\n%s", box, err, text)
	}
	run := block.NewRunner(file.Box, block.NewState(file.Box))
	var out strings.Builder
	before := shownNow(run.Box(), run.Look(), file.Location, nil)
	next, all := 0, []block.Finding{}
	for _, line := range book {
		out.WriteString(line + "\n")
		if strings.HasPrefix(line, "date ") || line[0] == '#' {
			continue
		}
		e := &events[next]
		next++
		e.Seq = int64(next)
		found := run.Step(e)
		tellFound(&out, found)
		all = append(all, found...)
		s := run.Look()
		for _, a := range s.Answers {
			fmt.Fprintf(&out, "   answers %d %s %s %s %s\n", a.Seq, a.Rule, a.Section, a.Line, a.Train)
		}
		after := shownNow(run.Box(), s, file.Location, all)
		after.since(&out, before)
		if before = after; each {
			before.inTurn(&out)
		}
	}
	tellFound(&out, run.Finish())
	if !each {
		before.inTurn(&out)
	}
	return out.String()
}

func tellFound(out *strings.Builder, found []block.Finding) {
	for _, f := range found {
		fmt.Fprintf(out, "   found %d %s, %s, %s %s %s %v%s: %s (%s)\n", f.Seq, f.Rule, f.Severity, f.Section, f.Line, f.Train, f.Rests, block.So(f.Root != 0, fmt.Sprint(" root ", f.Root)), f.Text, f.Expected)
	}
}
