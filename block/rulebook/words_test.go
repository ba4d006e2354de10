package rulebook

import (
	"slices"
	"testing"
)

// A method that may be over a single line or a double one has one word in the box file,
// and is told apart by the section; a set covers both where it has rules for one.
func TestMethodsByWord(t *testing.T) {
	for _, c := range []struct {
		word         string
		double, line Method
	}{{"telephone", ByTelephone, ByTelephoneSingle}, {"axle-counter", AxleCounter, AxleCounterSingle}, {"absolute", Absolute, Absolute}, {"token", Token, Token}, {"permissive", Permissive, Permissive}} {
		if m, ok := MethodNamed(c.word); !ok || m.Over(false) != c.double || m.Over(true) != c.line {
			t.Errorf("%s: %v, %t, over a double line %v, a single one %v", c.word, m, ok, m.Over(false), m.Over(true))
		}
		if c.line.Over(false) != c.double || c.double.Over(true) != c.line {
			t.Errorf("%s: the one over a single line is not told from the other", c.word)
		}
	}
	if _, ok := MethodNamed("semaphore"); ok {
		t.Error("a word that is no method was taken")
	}
	words := Methods()
	if slices.Contains(words, SingleLineWorking.Is().Word) || len(slices.Compact(slices.Sorted(slices.Values(words)))) != len(words) {
		t.Errorf("the box file may name %v: single line working is begun by an entry, and each word stands once", words)
	}
	for _, r := range ruleSets {
		for m := range MethodCount {
			if want := slices.ContainsFunc(r.Methods, func(o Method) bool { return o == m || o.Is().Word == m.Is().Word }); r.Covers(m) != want {
				t.Errorf("%s covers %s: %t", r.Name, m.Is().Word, !want)
			}
		}
	}
}

func TestNames(t *testing.T) {
	for _, s := range []Severity{Advice, Irregular, Danger} {
		if got, ok := ParseSeverity(s.String()); !ok || got != s {
			t.Errorf("%s reads as %s, %t", s, got, ok)
		}
	}
	if s, ok := ParseSeverity("grave"); ok || s != Advice {
		t.Errorf("a word that is no severity reads as %s", s)
	}
	if RuleSetNamed("no-such-set") != nil || RuleSetNamed("british-later") != &britishLater {
		t.Error("rule sets by name")
	}
	if r, ok := RuleNamed(TrainNotDescribed); !ok || r.ID != TrainNotDescribed {
		t.Errorf("found %v", r)
	}
}

// What is to cross is taken as large, low or slow by a word of its own, one or many.
func TestSoundsLarge(t *testing.T) {
	for what, want := range map[string]bool{"tractor": true, "two Tractors": true, "a low-loader, empty": true, "sheep(200)": true, "horses": true, "car": false, "": false, "tractors' shop": false, "wagonette": false} {
		if SoundsLarge(what) != want {
			t.Errorf("%q: %t", what, !want)
		}
	}
}

func TestSaysPassed(t *testing.T) {
	for text, want := range map[string]bool{"Train PASSED": true, "it has gone by": true, "2P08 has gone": true, "train gone": true, "gone past the farm": true, "going": false, "": false} {
		if SaysPassed(text) != want {
			t.Errorf("%q: %t", text, !want)
		}
	}
}
