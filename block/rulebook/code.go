package rulebook

import (
	"fmt"
	"slices"
	"strings"
)

// Code is a bell code in its canonical form: groups of beats in digits joined
// by hyphens, such as "3-1" or "16". It carries no meaning; a RuleSet does.
type Code string

const (
	maxBeats  = 20 // in one group; sixteen is the longest in any set we know
	maxGroups = 6
)

// ParseCode reads beats as written ("3-1"). Each group is 1 to 20 beats, at
// most six groups. The error says what is wrong with the text.
func ParseCode(s string) (Code, error) {
	if isCanonical(s) {
		return Code(s), nil
	}
	if s == "" {
		return "", fmt.Errorf("no beats given; write groups of beats such as 3-1")
	}
	groups := strings.Split(s, "-")
	if len(groups) > maxGroups {
		return "", fmt.Errorf("bell code %q has %d groups; at most %d are known", s, len(groups), maxGroups)
	}
	for _, g := range groups {
		n := 0
		for _, r := range g {
			if r < '0' || r > '9' {
				return "", fmt.Errorf("bell code %q: %q is not a number of beats", s, g)
			}
			n = n*10 + int(r-'0')
		}
		if g == "" || g[0] == '0' || n > maxBeats {
			return "", fmt.Errorf("bell code %q: a group is 1 to %d beats", s, maxBeats)
		}
	}
	return Code(s), nil
}

// isCanonical is the quick test for the usual case: single digits 1-9 between
// single hyphens.
func isCanonical(s string) bool {
	if len(s) == 0 || len(s)%2 == 0 || len(s) > 2*maxGroups-1 {
		return false
	}
	for i := 0; i < len(s); i++ {
		if i%2 == 1 {
			if s[i] != '-' {
				return false
			}
		} else if s[i] < '1' || s[i] > '9' {
			return false
		}
	}
	return true
}

// CompactCode reads beats typed without hyphens, one digit a group ("31" is
// 3-1); text with hyphens is read as ParseCode does. Sixteen beats are "16" by
// custom, so "16" is the testing code, never 1-6.
func CompactCode(s string) (Code, error) {
	if strings.Contains(s, "-") || s == "16" || len(s) < 2 {
		return ParseCode(s)
	}
	var b strings.Builder
	for i, r := range s {
		if i > 0 {
			b.WriteByte('-')
		}
		b.WriteRune(r)
	}
	return ParseCode(b.String())
}

// CodeRow is one line of a code book: beats, meaning, who may send it, and on
// what the row rests.
type CodeRow struct {
	Code        Code
	Means       Meaning
	Words       string   // as read out, e.g. "ordinary passenger train"
	Class       Class    // for Offer
	From        Side     // box in rear, box in advance, or either
	NoAttention bool     // sent without call attention
	Warning     bool     // offered like any other and always accepted under the warning arrangement
	Stops       bool     // its train stops in the section, to work or to be taken off there: no running time tells when it is late
	Gauge       int8     // out-of-gauge load: 1 may meet ordinary trains and its like, 2 not its like, 3 nothing on the other line
	Methods     []Method // where it has this meaning; nil for every method
	Source      string   // published source, "common practice" or "from memory: check your rule book"
}

// On says whether the row applies to a method of working.
func (r CodeRow) On(m Method) bool {
	return len(r.Methods) == 0 || slices.ContainsFunc(r.Methods, func(o Method) bool { return o.Is().Word == m.Is().Word })
}
