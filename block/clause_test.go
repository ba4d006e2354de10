package block_test

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	_ "time/tzdata"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
)

// A clause is one rule of the trade notes with the books that keep and break it.
type clause struct {
	id, says, source string
	undecided        string
	books            []clauseBook
}

type clauseBook struct {
	box   string
	lines []string
}

// TestClauses holds Apply to every machine-checkable rule of absolute block
// working (AB) and of single lines (SL) in the trade notes: the marked lines of
// each book raise exactly the rules they are marked with, the others none. Rules
// that a register cannot decide are listed with the reason and counted.
func TestClauses(t *testing.T) {
	files, err := filepath.Glob("testdata/clauses/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no clauses: %v", err)
	}
	for _, file := range files {
		clauses := readClauses(t, file)
		decided, topics, missing := 0, 0, map[int]bool{}
		for _, c := range clauses {
			if !strings.Contains(c.id, ".") {
				missing[len(missing)+1] = true
			}
		}
		rules := len(missing)
		for _, c := range clauses {
			if !strings.Contains(c.id, ".") {
				_, number, _ := strings.Cut(c.id, "-")
				n, err := strconv.Atoi(number)
				if delete(missing, n); err != nil {
					t.Errorf("%s has the clause %s, which is none of its rules nor a topic such as 4.2", file, c.id)
				}
				if c.undecided != "" {
					continue
				}
				decided++
			} else {
				topics++
			}
			t.Run(c.id, func(t *testing.T) { checkClause(t, c) })
		}
		for n := range missing {
			t.Errorf("%s: rule %d is neither tested nor listed with a reason", file, n)
		}
		t.Logf("%s: %d rules, %d decided by test, %d listed as not decided with the reason; %d further topics of section 4 decided by test", file, rules, decided, rules-decided, topics)
	}
}

func checkClause(t *testing.T, c clause) {
	t.Helper()
	for n, b := range c.books {
		got, want := playClause(t, b)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (%s), book %d (-want +got):\n%s", c.says, c.source, n+1, diff)
		}
	}
}

// clauseMark is a rule that a line raises; with > and a number, one that follows from
// the line of that number.
var clauseMark = regexp.MustCompile(`# (?:!|(> \d+)) ([a-z-]+)`)

// playClause replays one book and gives, for each line, the rules raised and
// the rules it is marked with.
func playClause(t *testing.T, b clauseBook) (got, want []string) {
	t.Helper()
	file, err := boxfile.Load(filepath.Join("testdata/clauses/boxes", b.box+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	text := "date 2026-05-05\n" + strings.Join(b.lines, "\n") + "\n"
	for i, line := range b.lines {
		for _, m := range clauseMark.FindAllStringSubmatch(line, -1) {
			want = append(want, strings.TrimSpace(fmt.Sprintf("%d %s %s", i+1, m[2], m[1])))
		}
	}
	run := block.NewRunner(file.Box, block.NewState(file.Box))
	r := notation.NewReader(strings.NewReader(text), file.Location)
	add := func(found []block.Finding) {
		for _, f := range found {
			is, root := fmt.Sprintf("%d %s", f.Seq, f.Rule), fmt.Sprintf("%d %s > %d", f.Seq, f.Rule, f.Root)
			if slices.Contains(want, root) {
				is = root
			}
			got = append(got, is)
			if f.Text == "" || f.Expected == "" || f.Ref == "" {
				t.Errorf("%s: text %q, expected %q, reference %q", f.Rule, f.Text, f.Expected, f.Ref)
			}
		}
	}
	for {
		ev, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		ev.Seq = int64(r.Line() - 1)
		add(run.Step(&ev))
	}
	add(run.Finish())
	slices.Sort(got)
	slices.Sort(want)
	return got, want
}

func readClauses(t *testing.T, path string) []clause {
	t.Helper()
	text, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	var out []clause
	box := ""
	for _, line := range strings.Split(string(text), "\n") {
		switch {
		case strings.HasPrefix(line, "==="):
			f := strings.SplitN(strings.TrimSpace(line[3:]), " | ", 3)
			if len(f) != 3 {
				t.Fatalf("%s: %q lacks a statement or a source", path, line)
			}
			out = append(out, clause{id: f[0], says: f[1], source: f[2]})
			box = ""
		case len(out) == 0 || line == "" || strings.HasPrefix(line, "#"):
		case strings.HasPrefix(line, "not decided: "):
			out[len(out)-1].undecided = line
		case strings.HasPrefix(line, "box ") && !strings.Contains(line, ":"):
			box = strings.Fields(line)[1]
			c := &out[len(out)-1]
			if n := len(c.books); n > 0 && len(c.books[n-1].lines) == 0 {
				c.books[n-1].box = box
			} else {
				c.books = append(c.books, clauseBook{box: box})
			}
		case line == "---":
			c := &out[len(out)-1]
			c.books = append(c.books, clauseBook{box: box})
		default:
			c := &out[len(out)-1]
			c.books[len(c.books)-1].lines = append(c.books[len(c.books)-1].lines, line)
		}
	}
	return out
}
