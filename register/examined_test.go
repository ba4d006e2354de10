package register_test

import (
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// TestExaminedBooks reads the books of which the truth was noted before any program was
// asked, as an inspector would: what matters is whether a danger stands, and where.
func TestExaminedBooks(t *testing.T) {
	for _, b := range untidyBooks(t, "examined.txt", 4) {
		t.Run(b[0], func(t *testing.T) {
			if found := bookFound(t, b[1], b[4]); !judgedRightly(t, b[2], b[4], found) {
				t.Errorf("is %s: %s; found %s", b[2], b[3], strings.Join(untidyMarks(found), ", "))
			}
		})
	}
}

// TestMisjudgedBooks keeps those that are known to be judged wrongly. It fails where one has
// come to be judged rightly, which then belongs among the examined or the untidy books.
func TestMisjudgedBooks(t *testing.T) {
	for _, b := range untidyBooks(t, "misjudged.txt", 4) {
		t.Run(b[0], func(t *testing.T) {
			if judgedRightly(t, b[2], b[4], bookFound(t, b[1], b[4])) {
				t.Errorf("is judged rightly now: it belongs in examined.txt (%s)", b[3])
			}
		})
	}
}

// bornOut is how many lines below a breach may prove it.
const bornOut = 4

// judgedRightly says whether what was found of a book agrees with its truth: "right" no
// danger that stands and not more than a slip is worth, "irregular" something but no
// danger, "breach" a danger on a marked line or just below.
func judgedRightly(t *testing.T, truth, body string, found []block.Finding) bool {
	t.Helper()
	var dangers []int64
	irregular := 0
	for _, f := range found {
		switch {
		case f.Answered != 0:
		case f.Severity == rulebook.Danger:
			dangers = append(dangers, f.Seq)
		default:
			irregular++
		}
	}
	switch truth {
	case "right":
		return len(dangers) == 0 && irregular <= 3
	case "irregular":
		return len(dangers) == 0 && irregular > 0
	case "breach":
		return breachTold(body, dangers)
	}
	t.Fatalf("no truth %q", truth)
	return false
}

func breachTold(body string, dangers []int64) bool {
	marked := false
	for n, line := range strings.Split(body, "\n") {
		if !strings.Contains(line, "# BREACH") {
			continue
		}
		marked = true
		for _, d := range dangers {
			if d >= int64(n+1) && d <= int64(n+1+bornOut) {
				return true
			}
		}
	}
	return !marked && len(dangers) > 0
}
