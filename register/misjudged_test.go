package register_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"fairhand/block/rulebook"
)

// TestMisjudgedBooks keeps the books that are known to be judged wrongly: the truth stands
// in the heading of each, a breach on the lines marked. It fails where one has come to
// be judged rightly, which then belongs among the untidy books, and where one cannot be
// read.
func TestMisjudgedBooks(t *testing.T) {
	text, err := os.ReadFile("testdata/misjudged.txt")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "=== ")
	for _, b := range strings.Split(rest, "\n=== ") {
		head, body, _ := strings.Cut(b, "\n")
		part := strings.Split(head, " | ")
		if len(part) != 4 {
			t.Fatalf("no name, box, truth and words: %q", head)
		}
		t.Run(part[0], func(t *testing.T) {
			rightly, err := judgedRightly(part[2], body, untidyFound(t, part[1], body))
			if err != nil {
				t.Fatal(err)
			}
			if rightly {
				t.Errorf("is judged rightly now: it belongs in untidy.txt (%s)", part[3])
			}
		})
	}
}

// bornOut is how many lines below a breach may prove it.
const bornOut = 4

// judgedRightly says whether what was found of a book agrees with its truth: "right" no
// danger that stands and not more than a slip is worth, "irregular" something but no
// danger, "breach" a danger on a marked line or just below.
func judgedRightly(truth, body string, found []string) (bool, error) {
	dangers, irregular := []int{}, 0
	for _, f := range found {
		var line int
		var mark, rule string
		if _, err := fmt.Sscan(f, &line, &mark, &rule); err != nil {
			return false, err
		}
		info, known := rulebook.RuleNamed(rulebook.RuleID(rule))
		switch {
		case !known:
			return false, fmt.Errorf("no rule %q", rule)
		case mark != "!":
		case info.Severity == rulebook.Danger:
			dangers = append(dangers, line)
		default:
			irregular++
		}
	}
	switch truth {
	case "right":
		return len(dangers) == 0 && irregular <= 3, nil
	case "irregular":
		return len(dangers) == 0 && irregular > 0, nil
	case "breach":
		return breachTold(body, dangers), nil
	}
	return false, fmt.Errorf("no truth %q", truth)
}

func breachTold(body string, dangers []int) bool {
	marked := false
	for n, line := range strings.Split(body, "\n") {
		if !strings.Contains(line, "# BREACH") {
			continue
		}
		marked = true
		for _, d := range dangers {
			if d >= n+1 && d <= n+1+bornOut {
				return true
			}
		}
	}
	return !marked && len(dangers) > 0
}
