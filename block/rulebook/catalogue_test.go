package rulebook

import (
	"flag"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
)

var update = flag.Bool("update", false, "write testdata/rules.txt again, with the rules that came to it")

// Scripts depend on the ids and severities published in testdata/rules.txt: a rule
// is added to them by -update, and none is ever dropped, renamed or of another severity.
func TestRulesArePublished(t *testing.T) {
	const path = "testdata/rules.txt"
	var now []string
	for _, r := range Rules() {
		now = append(now, string(r.ID)+" "+r.Severity.String()+"\n")
	}
	slices.Sort(now)
	old, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(old)) {
		if !slices.Contains(now, line) {
			t.Errorf("published, and no longer in the catalogue: %s", line)
		}
	}
	text := strings.Join(now, "")
	if *update && !t.Failed() {
		err = os.WriteFile(path, []byte(text), 0o600)
	} else if text != string(old) {
		t.Error("the catalogue has rules that are not published: run with -update")
	}
	if err != nil {
		t.Fatal(err)
	}
}

func TestEveryRuleIsCompleteAndUnique(t *testing.T) {
	form := regexp.MustCompile(`^[a-z]+(-[a-z]+)+$`)
	seen, said := map[RuleID]bool{}, map[string]RuleID{}
	for _, r := range Rules() {
		if !form.MatchString(string(r.ID)) {
			t.Errorf("id %q is not words joined by hyphens", r.ID)
		}
		if seen[r.ID] {
			t.Errorf("%s stands twice", r.ID)
		}
		seen[r.ID] = true
		if other, twice := said[r.What]; twice {
			t.Errorf("%s and %s say the same", r.ID, other)
		}
		said[r.What] = r.ID
		if !published(r.Ref) {
			t.Errorf("%s: reference %q", r.ID, r.Ref)
		}
	}
}

// A finding is read out at night: short sentences, plain words, no beats (they
// differ by rule set) and no shorthand.
func TestRulesReadWell(t *testing.T) {
	digits := regexp.MustCompile(`[0-9]`)
	shorthand := regexp.MustCompile(`\b[A-Z]{2,}\b`)
	for _, r := range Rules() {
		for part, text := range map[string]string{"what": r.What, "why": r.Why, "do": r.Do} {
			first := []rune(text + " ")[0]
			if !unicode.IsUpper(first) || !strings.HasSuffix(text, ".") {
				t.Errorf("%s %s: %q is no sentence", r.ID, part, text)
			}
			if n := strings.Count(text, ". ") + 1; n > 2 {
				t.Errorf("%s %s has %d sentences", r.ID, part, n)
			}
			if len(text) > 160 {
				t.Errorf("%s %s is %d characters long", r.ID, part, len(text))
			}
			if digits.MatchString(text) || shorthand.MatchString(text) {
				t.Errorf("%s %s: %q has figures or shorthand", r.ID, part, text)
			}
		}
	}
}

// Rules of single lines rest on single-line sources, never on the absolute block.
func TestSingleLineRulesCiteSingleLineSources(t *testing.T) {
	for _, r := range singleRules {
		if r.Ref == FromMemory || r.Ref == CommonPractice {
			continue
		}
		for _, absolute := range []string{"TS3", "Block system", refWinwick, refHawes, refShrivenham, refGreatNorth} {
			if strings.Contains(r.Ref, absolute) {
				t.Errorf("%s cites %q", r.ID, absolute)
			}
		}
	}
}

func TestRuleNamedKnowsOnlyRules(t *testing.T) {
	if r, ok := RuleNamed("no-such-rule"); ok || r.ID != "" {
		t.Errorf("found %v", r)
	}
}

// A value from memory is never a danger.
func TestNoDangerFromMemory(t *testing.T) {
	for _, name := range RuleSetNames() {
		set := RuleSetNamed(name)
		for _, r := range Rules() {
			for _, single := range []bool{false, true} {
				if r.Severity == Danger && set.Cite(r, single) == FromMemory {
					t.Errorf("%s: %s is a danger from memory alone", name, r.ID)
				}
			}
		}
	}
}

// A finding names the publication and clause that a signaller knows, never the
// address it was read at; and a British box is not shown an Indian rule as its own.
func TestFindingsCiteNoAddress(t *testing.T) {
	address := regexp.MustCompile(`://|www\.|\.(org|com|net|info|uk|ru|mx|us)\b`)
	for _, name := range RuleSetNames() {
		set := RuleSetNamed(name)
		for _, r := range Rules() {
			for _, single := range []bool{false, true} {
				c := set.Cite(r, single)
				if c == "" || address.MatchString(c) {
					t.Errorf("%s, %s: %q", name, r.ID, c)
				}
				indian := slices.ContainsFunc(indianBooks, func(w string) bool { return strings.Contains(c, w) })
				if name != "indian-general" && indian && !strings.HasPrefix(c, "no British text found; as ") {
					t.Errorf("%s, %s: %q reads as a British rule", name, r.ID, c)
				}
			}
			if r.Ref != CommonPractice && r.Ref != FromMemory && !strings.Contains(r.Ref, "://") {
				t.Errorf("%s: where %q was read is not told", r.ID, r.Ref)
			}
		}
	}
}

// A source names the book and its clause before the place where it was read: an
// address alone says nothing to whoever has the book.
func TestSourcesNameTheBookFirst(t *testing.T) {
	sources := map[string]bool{}
	for _, r := range Rules() {
		sources[r.Ref] = true
	}
	for _, s := range ruleSets {
		for _, c := range s.Codes {
			sources[c.Source] = true
		}
	}
	for s := range sources {
		if book, _, found := strings.Cut(s, "http"); found && len(strings.Fields(book)) < 2 {
			t.Errorf("an address before its book: %s", s)
		}
	}
}
