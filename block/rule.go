package block

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
	ID       RuleID
	Severity Severity
	What     string // what was done or left undone
	Why      string // what can come of it
	Do       string // what to do now
	Ref      string // published reference, "common practice" or "from memory: check your rule book"
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

// Finding is one thing found against the regulations. It is a value: nothing is
// refused because of it.
type Finding struct {
	Rule     RuleID
	Severity Severity
	Seq      int64 // entry on which it was raised
	At       Time
	Section  string
	Line     string
	Train    string
	Text     string  // plain words, with names
	Expected string  // what the regulations expected instead
	Rests    []int64 // entries it rests on, Seq last
	Ref      string
}

// Less orders findings for reading: danger first, then by entry, then by rule.
func (f Finding) Less(g Finding) bool {
	if f.Severity != g.Severity {
		return f.Severity > g.Severity
	}
	if f.Seq != g.Seq {
		return f.Seq < g.Seq
	}
	return strings.Compare(string(f.Rule), string(g.Rule)) < 0
}
