package legalday_test

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/boxfile"
	"fairhand/register/internal/legalday"
	"fairhand/register/registertest"
)

// dayFinding is a finding of a generated day; follows is set for one that is told
// to follow from another, answered for one that a later entry showed to stand no more.
type dayFinding struct {
	rule     string
	severity rulebook.Severity
	line     int64
	train    string
	text     string
	follows  bool
	answered bool
	by       int64     // line that answers it
	way      block.Way // of the line it is about
}

// checkedDay is the one door by which these tests read a book: the findings above
// advice that stand, in the order raised.
func checkedDay(t testing.TB, d *legalday.Day) []dayFinding {
	t.Helper()
	return slices.DeleteFunc(foundOnDay(t, d), func(f dayFinding) bool { return f.answered })
}

// foundOnDay is every finding above advice, also what was found at the time and
// answered since.
func foundOnDay(t testing.TB, d *legalday.Day) []dayFinding {
	t.Helper()
	file, err := boxfile.Decode(strings.NewReader(d.BoxFile), "box.yaml")
	if err != nil {
		t.Fatalf("%v\n%s", err, d.BoxFile)
	}
	var out []dayFinding
	_, err = register.Check(t.Context(), file.Box, file.Location, strings.NewReader(d.Book()), func(f block.Finding) error {
		if f.Severity > rulebook.Advice {
			out = append(out, dayFinding{string(f.Rule), f.Severity, f.Seq, f.Train, f.Text, f.Root != 0, f.Answered != 0, f.Answered, wayOf(file.Box, f.Section, f.Line)})
		}
		return nil
	})
	if err != nil {
		t.Fatalf("%v\n%s", err, d.Book())
	}
	return out
}

// defaultDays is how many days are worked in each variant, and depthDays at full depth, some
// 2,000 together, unless FAIRHAND_DAYS says otherwise (2000 is the full number in each);
// FAIRHAND_SEED is the seed of the first.
const (
	defaultDays = 3
	depthDays   = 22
)

func days() int {
	if n, err := strconv.Atoi(os.Getenv("FAIRHAND_DAYS")); err == nil && n > 0 {
		return n
	}
	return defaultDays
}

// knownFalse says, by the end of a variant's name, why its legal days are not yet
// read without a finding; how many there are is in testdata/legalday/days.txt.
var knownFalse = []struct{ variant, why string }{
	{"by message", "a train let in by message is taken to come without line clear"},
	{"by pilot", "a train that comes with the pilot is taken to come without line clear"},
}

// TestLegalDays: a day worked by the rules raises nothing above advice.
func TestLegalDays(t *testing.T) {
	got, known := map[string]int{}, readKnown(t, "days")
	first, _ := strconv.ParseUint(os.Getenv("FAIRHAND_SEED"), 10, 64)
	for _, v := range legalday.Variants() {
		n, badSeeds := days(), []uint64(nil)
		if n == defaultDays {
			n = registertest.Depth(defaultDays, depthDays)
		}
		if known[v.Name] > 0 {
			n = defaultDays // more of them would show nothing new
		}
		rules, entries := map[string]int{}, 0
		for seed := first; seed < first+uint64(n); seed++ {
			v.Options.Seed = seed
			d := legalday.Make(v.Options)
			found := checkedDay(t, d)
			entries += len(d.Acts)
			for _, f := range found {
				rules[f.rule]++
			}
			if got[v.Name] += len(found); len(found) > 0 {
				if badSeeds = append(badSeeds, seed); len(badSeeds) == 1 && known[v.Name] == 0 {
					t.Errorf("%s: a legal day is not read as one\n%s", v.Name, around(d, found[0]))
				}
			}
			if show := os.Getenv("FAIRHAND_SHOW"); seed == first && (show == v.Name || show == "all") {
				t.Logf("%s\n%s\n%s", v.Name, d.BoxFile, d.Book())
			}
		}
		why := ""
		for _, k := range knownFalse {
			if got[v.Name] > 0 && strings.HasSuffix(v.Name, k.variant) {
				why = ": " + k.why
			}
		}
		t.Logf("%-64s %6d entries, %3d of %d days with %d false findings of %d rules%s %v", v.Name, entries, len(badSeeds), n, got[v.Name], len(rules), why, badSeeds)
	}
	holdKnown(t, "days", got)
}

// around is a finding with the lines around it.
func around(d *legalday.Day, f dayFinding) string {
	lines := strings.Split(d.Book(), "\n")
	from, to := max(0, int(f.line)-26), min(len(lines), int(f.line)+6)
	var b strings.Builder
	for i := from; i < to; i++ {
		mark := "   "
		if int64(i+1) == f.line {
			mark = ">>>"
		}
		fmt.Fprintf(&b, "%s %d %s\n", mark, i+1, lines[i])
	}
	return fmt.Sprintf("seed %d line %d %s %s: %s\n%s", d.Options.Seed, f.line, f.rule, f.train, f.text, b.String())
}

// wayOf is the way of a line of the section to a neighbour; Both where none is named.
func wayOf(b *block.Box, section, line string) block.Way {
	if i := b.SectionIndex(section); i >= 0 {
		for _, l := range b.Sections[i].Lines {
			if l.Name == line {
				return l.Way
			}
		}
	}
	return block.Both
}
