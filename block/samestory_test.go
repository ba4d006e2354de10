package block_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/notation"
)

// sameStories are physical stories on one line of double track and on one token
// section. OFFER, ENTER, OUT, CANCEL, DANGER and REMOVED stand for whole
// exchanges, received (<) or sent (>), in whatever beats the rule set has.
var sameStories = map[string][]string{
	"a regular train":               {"A <OFFER 1", "A <ENTER", "train 1 arrived complete", "A >OUT"},
	"accepted with one in section":  {"A <OFFER 1", "A <ENTER", "A <OFFER 2"},
	"accepted twice":                {"A <OFFER 1", "A <OFFER 2"},
	"entered without acceptance":    {"A <ENTER"},
	"out of section, not arrived":   {"A <OFFER 1", "A <ENTER", "A >OUT"},
	"tail lamp not seen":            {"A <OFFER 1", "A <ENTER", "train 1 arrived", "A >OUT"},
	"cancelled after entering":      {"A <OFFER 1", "A <ENTER", "A <CANCEL"},
	"accepted under danger":         {"A >DANGER", "A <OFFER 1"},
	"danger removed, then accepted": {"A >DANGER", "A >REMOVED", "A <OFFER 1"},
	"stands within the point":       {"train 9 moved to Foul", "A <OFFER 1"},
	"line blocked":                  {`blockage Up towards A "works"`, "A <OFFER 1"},
	"sent away without line clear":  {"train 5 departed for A", "A >ENTER"},
	"a second train sent in":        {"A >OFFER 5", "A >ENTER", "train 6 departed for A"},
	"token without release":         {"T token 1 out"},
	"token of another number":       {"T <OFFER 3", "T token 9 out", "T <ENTER", "train 3 arrived complete", "T token 8 in"},
	"token not in":                  {"T <OFFER 3", "T token 9 out", "T <ENTER", "train 3 arrived complete", "T >OUT"},
	"both ways":                     {"T >OFFER 4", "T token 1 out", "T <OFFER 3"},
	"entered without token":         {"T >OFFER 4", "T >ENTER"},
	"opposing train let in":         {"T <OFFER 3", "T token 9 out", "T <ENTER", "train 4 departed for T"},
}

// beats are the exchanges of the two rule sets; an Indian train entering section
// is preceded by call attention (General Rules 14.06), a British one is not.
var beats = map[string]map[string]string{
	"british-later":  {"OFFER": "!3-1", "ENTER": "2", "OUT": "!2-1", "CANCEL": "!3-5", "DANGER": "6", "REMOVED": "!2-1-2"},
	"indian-general": {"OFFER": "!2", "ENTER": "!3", "OUT": "!4", "CANCEL": "!5", "DANGER": "6", "REMOVED": "!4"},
}

// TestSameStorySameDanger: what endangers trains does not depend on the beats.
func TestSameStorySameDanger(t *testing.T) {
	for name, story := range sameStories {
		british := dangersOf(t, "british-later", story)
		indian := dangersOf(t, "indian-general", story)
		if diff := cmp.Diff(british, indian); diff != "" {
			t.Errorf("%s (-british +indian):\n%s", name, diff)
		}
		if regular := name == "a regular train" || name == "danger removed, then accepted"; regular != (len(british) == 0) {
			t.Errorf("%s: dangers %v", name, british)
		}
	}
}

func dangersOf(t *testing.T, rules string, story []string) []string {
	t.Helper()
	box := &block.Box{Name: "B", Rules: rulebook.RuleSetNamed(rules), ClockCheck: -1,
		Sections: []block.Section{
			{Neighbour: "A", Method: rulebook.Absolute, Lines: []block.Line{{Name: "Up", Way: block.In}, {Name: "Down", Way: block.Out}}},
			{Neighbour: "T", Method: rulebook.Token, Lines: []block.Line{{Name: "Single"}}, Tokens: block.Tokens{Charge: []int{1, 2, 8, 9}, Here: []int{1, 2}}},
		},
		Places: []block.Place{{Name: "Foul", Fouls: []block.Foul{{Section: "A"}}}},
	}
	if err := box.Prepare(); err != nil {
		t.Fatal(err)
	}
	var book strings.Builder
	book.WriteString("date 2026-05-05\n")
	for i, line := range story {
		fmt.Fprintf(&book, "10:%02d %s\n", i, inBeats(rules, line))
	}
	evs, err := notation.ParseAll(strings.NewReader(book.String()), time.UTC)
	if err != nil {
		t.Fatalf("%s:\n%s%v", rules, book.String(), err)
	}
	run := block.NewRunner(box, block.NewState(box))
	var out []string
	for i := range evs {
		for _, f := range run.Step(&evs[i]) {
			if f.Severity == rulebook.Danger {
				out = append(out, fmt.Sprintf("%s: %s", story[i], f.Rule))
			}
		}
	}
	slices.Sort(out)
	return out
}

// inBeats writes a line of a story in the beats of a rule set.
func inBeats(rules, line string) string {
	for word, code := range beats[rules] {
		for _, way := range []string{"<", ">"} {
			if !strings.Contains(line, way+word) {
				continue
			}
			back := map[string]string{"<": ">", ">": "<"}[way]
			exchange := way + strings.TrimPrefix(code, "!") + " " + back + strings.TrimPrefix(code, "!")
			if strings.HasPrefix(code, "!") {
				exchange = way + "1 " + back + "1 " + exchange
			}
			rest := strings.TrimSpace(line[strings.Index(line, word)+len(word):])
			if rest != "" {
				rest = " train " + rest
			}
			if word == "OFFER" && strings.HasPrefix(line, "T ") && rules == "indian-general" {
				rest += " pn 24"
			}
			return line[:strings.Index(line, way+word)] + exchange + rest
		}
	}
	return line
}
