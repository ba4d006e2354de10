package rulebook

import (
	"strconv"
	"strings"
	"testing"
)

// Beats are read in groups of one up to the most that are known, as many groups as are
// known, without noughts in front; a code is spelt in one way.
func TestParseCode(t *testing.T) {
	most, long := strconv.Itoa(maxBeats), strings.Repeat("1-", maxGroups-1)
	for _, s := range []string{"1", "9", "10", "16", most, "3-1", "3-16", "10-1", "9-9", long + "1", long + most} {
		if c, err := ParseCode(s); err != nil || string(c) != s {
			t.Errorf("%s reads as %q, %v", s, c, err)
		}
	}
	for _, s := range []string{"", "0", "0-1", "1-0", "01", "1-01", "00", "1-", "-1", "1--2", "1-2-", "1 2", "1_2", "a", "1-a", "1-:", "1-/", "²", strconv.Itoa(maxBeats + 1), "3-" + strconv.Itoa(maxBeats+1), long + "1-1"} {
		if c, err := ParseCode(s); err == nil || c != "" {
			t.Errorf("%s is taken as %q", s, c)
		}
	}
}

// Typed without hyphens each digit is a group, but for the sixteen beats of testing.
func TestCompactCode(t *testing.T) {
	for typed, want := range map[string]Code{"31": "3-1", "355": "3-5-5", "16": "16", "6": "6", "3-1": "3-1", "3-16": "3-16", "161": "1-6-1", "11": "1-1"} {
		if c, err := CompactCode(typed); err != nil || c != want {
			t.Errorf("%s reads as %q, %v, want %s", typed, c, err, want)
		}
	}
	for _, s := range []string{"", "30", "3a", "0"} {
		if c, err := CompactCode(s); err == nil {
			t.Errorf("%s is taken as %q", s, c)
		}
	}
}

// After the arrow stands a word said between boxes, or beats: what is neither is told
// as what it was meant for.
func TestParseSignal(t *testing.T) {
	for _, s := range append(SpokenWords(), "3-1", "16") {
		c, err := ParseSignal(s)
		if spoken := s[0] > '9'; err != nil || string(c) != s || c.Spoken() != spoken {
			t.Errorf("%s reads as %q, spoken %t, %v", s, c, c.Spoken(), err)
		}
	}
	if Code("").Spoken() || Code("9").Spoken() {
		t.Error("nothing, or beats, taken for a word")
	}
	for s, want := range map[string]string{"offr": "no word said between boxes: they are offer, accept", "offer1": "not a number of beats", "1x": "not a number of beats", "": "no beats", "30-": "1 to 20 beats"} {
		if c, err := ParseSignal(s); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q reads as %q, %v, want %s", s, c, err, want)
		}
	}
}
