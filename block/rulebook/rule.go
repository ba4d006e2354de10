package rulebook

import (
	"slices"
	"strings"
)

// RuleID is the stable name of a rule; scripts depend on it.
type RuleID string

// Severity says how much a finding matters.
type Severity uint8

// The severities.
const (
	Advice    Severity = iota // worth knowing
	Irregular                 // against the book
	Danger                    // trains or people could meet
)

var severityWords = [...]string{"advice", "irregular", "danger"}

func (s Severity) String() string { return severityWords[s] }

// ParseSeverity reads a severity word; ok is false when it is none.
func ParseSeverity(w string) (Severity, bool) {
	i := slices.Index(severityWords[:], w)
	return Severity(max(i, 0)), i >= 0
}

// Rule is one thing Fairhand looks for, as a signaller would want it read out.
type Rule struct {
	ID        RuleID
	Severity  Severity
	What      string // what was done or left undone
	Why       string // what can come of it
	Do        string // what to do now
	Ref       string // published reference, "common practice" or "from memory: check your rule book"
	RefSingle string // on single lines, where that is another
	Ordered   bool   // a danger where the section's own instruction is named as its source
}

// Rules lists every rule, in the order of the catalogue.
func Rules() []Rule { return rules }

// RuleNamed finds a rule; ok is false when there is none of that id.
func RuleNamed(id RuleID) (Rule, bool) {
	for i := range rules {
		if rules[i].ID == id {
			return rules[i], true
		}
	}
	return Rule{}, false
}

// Cite is what a finding under the rule set names as its source: the clause of
// the set's own book, else the publication for the kind of line. It names what a
// signaller knows; where that was read is for whoever reads the rule itself.
func (s *RuleSet) Cite(r Rule, single bool) string {
	ref := r.Ref
	if single && r.RefSingle != "" {
		ref = r.RefSingle
	}
	if c := s.Clauses[r.ID]; c != "" {
		ref = c
	}
	parts := strings.Split(ref, "; ")
	for i, p := range parts {
		parts[i], _, _ = strings.Cut(p, ", http")
	}
	own := slices.DeleteFunc(slices.Clone(parts), func(p string) bool {
		return slices.ContainsFunc(s.Abroad, func(w string) bool { return strings.Contains(p, w) })
	})
	if len(own) == 0 {
		return "no British text found; as " + strings.Join(parts, "; ")
	}
	return strings.Join(own, "; ")
}
