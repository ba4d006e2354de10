package block_test

import (
	"errors"
	"fmt"
	"io"
	"maps"
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

// inTheNotes is how many rules the trade notes number in each series of the level
// crossings and of the further methods; rule and number are theirs.
var inTheNotes = map[string]int{"LC": 40, "TC": 14, "AX": 18, "AL": 5, "PB": 7, "TR": 17, "PL": 11, "TO": 7, "RT": 6, "OT": 3}

// series are the clauses of one series of rules, by number, and its further topics.
type series struct {
	name    string
	numbers map[int]clause
	topics  []clause
}

// TestClauses holds Apply to every machine-checkable rule of absolute block
// working (AB), of single lines (SL) and of the others in the trade notes: the marked
// lines of each book raise exactly the rules they are marked with, the others none. Of a
// rule of the notes on crossings and further methods one book breaks it and one keeps it.
// Rules that a register cannot decide are listed with the reason and counted.
func TestClauses(t *testing.T) {
	files, err := filepath.Glob("testdata/clauses/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no clauses: %v", err)
	}
	all := map[string]*series{}
	for _, file := range files {
		for _, c := range readClauses(t, file) {
			name := strings.TrimRight(c.id, "0123456789.-")
			if all[name] == nil {
				all[name] = &series{name: name, numbers: map[int]clause{}}
			}
			all[name].add(t, c)
		}
	}
	rules, decided := 0, 0
	for _, name := range slices.Sorted(maps.Keys(all)) {
		n := all[name].check(t, max(inTheNotes[name], len(all[name].numbers)))
		if inTheNotes[name] > 0 {
			rules, decided = rules+inTheNotes[name], decided+n
		}
	}
	for name := range inTheNotes {
		if all[name] == nil {
			t.Errorf("no rule of %s is tested", name)
		}
	}
	t.Logf("level crossings and further methods: %d rules, %d decided by test, %d listed as not decided with the reason", rules, decided, rules-decided)
}

func (s *series) add(t *testing.T, c clause) {
	if strings.Contains(c.id, ".") {
		s.topics = append(s.topics, c)
		return
	}
	n, err := strconv.Atoi(strings.TrimPrefix(c.id, s.name+"-"))
	if _, twice := s.numbers[n]; err != nil || twice {
		t.Errorf("the clause %s is no rule of %s, or stands twice, and is no topic such as 4.2", c.id, s.name)
	}
	s.numbers[n] = c
}

// check plays the books of a series of so many rules, and gives how many are decided.
func (s *series) check(t *testing.T, rules int) (decided int) {
	for n := range rules {
		c, ok := s.numbers[n+1]
		switch {
		case !ok:
			t.Errorf("%s: rule %d is neither tested nor listed with a reason", s.name, n+1)
		case c.undecided == "":
			decided++
			t.Run(c.id, func(t *testing.T) {
				if broken, kept := checkClause(t, c); inTheNotes[s.name] > 0 && (!broken || !kept) {
					t.Errorf("a book that breaks it: %v, one that keeps it: %v", broken, kept)
				}
			})
		}
	}
	for _, c := range s.topics {
		t.Run(c.id, func(t *testing.T) { checkClause(t, c) })
	}
	t.Logf("%s: %d rules, %d decided by test, %d listed as not decided with the reason; %d further topics decided by test", s.name, rules, decided, rules-decided, len(s.topics))
	return decided
}

// checkClause plays the books of a clause, and says whether one breaks it and one keeps it.
func checkClause(t *testing.T, c clause) (broken, kept bool) {
	t.Helper()
	for n, b := range c.books {
		got, want := playClause(t, b)
		broken, kept = broken || len(want) > 0, kept || len(want) == 0
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (%s), book %d (-want +got):\n%s", c.says, c.source, n+1, diff)
		}
	}
	return broken, kept
}

// clauseMark is a rule that a line raises; with > and a number, one that follows from
// the line of that number.
var clauseMark = regexp.MustCompile(`# (?:!|(> \d+)) ([a-z-]+)`)

// playClause replays one book and gives, for each line, the rules raised and
// the rules it is marked with.
func playClause(t *testing.T, b clauseBook) (got, want []string) {
	t.Helper()
	for i, line := range b.lines {
		for _, m := range clauseMark.FindAllStringSubmatch(line, -1) {
			want = append(want, strings.TrimSpace(fmt.Sprintf("%d %s %s", i+1, m[2], m[1])))
		}
	}
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
	_, run := b.play(t, add)
	add(run.Finish())
	slices.Sort(got)
	slices.Sort(want)
	return got, want
}

// play works the book, its entries numbered by their lines, and hands on what is found of each.
func (b *clauseBook) play(t *testing.T, take func([]block.Finding)) (*block.Box, *block.Runner) {
	t.Helper()
	file, err := boxfile.Load(filepath.Join("testdata/clauses/boxes", b.box+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	run := block.NewRunner(file.Box, block.NewState(file.Box))
	r := notation.NewReader(strings.NewReader("date 2026-05-05\n"+strings.Join(b.lines, "\n")+"\n"), file.Location)
	for {
		ev, err := r.Next()
		if errors.Is(err, io.EOF) {
			return file.Box, run
		}
		if err != nil {
			t.Fatal(err)
		}
		ev.Seq = int64(r.Line() - 1)
		take(run.Step(&ev))
	}
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
