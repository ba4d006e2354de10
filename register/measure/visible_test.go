package measure

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestVisible(t *testing.T) {
	for in, want := range map[string]string{
		"2A05":                 "2A05",
		"Łódź 站 क्ष é":         "Łódź 站 क्ष é",
		"a\u202Eb":             "a[U+202E]b",
		"2P\u200D07":           "2P[U+200D]07", // looks like another train's name
		"क्\u200Dष":            "क्\u200Dष",    // decides how the letters are written
		"می\u200Cخواهم":        "می\u200Cخواهم",
		"a\u200Cb":             "a[U+200C]b",
		"x\x1b]52;c;AA\a":      "x[U+001B]]52;c;AA[U+0007]",
		"\u2028\u0085\ufeff":   "[U+2028][U+0085][U+FEFF]",
		"bad \xff byte":        `bad \xff byte`,
		"a real \ufffd stays":  "a real \ufffd stays",
		"lines\nand\ttabs":     "lines\nand\ttabs",
		"tag \U000E0041 hides": "tag [U+E0041] hides",
	} {
		if got := Visible(in); got != want {
			t.Errorf("Visible(%q) = %q, want %q", in, got, want)
		}
	}
}

// TestScreen: the same whatever pieces a text comes in; as JSON its value stays.
func TestScreen(t *testing.T) {
	const text = "{\"a\":\"b\u202Ec\U000E0041 Łódź\"}"
	for n := 1; n < len(text); n++ {
		var plain, js, raw strings.Builder
		for _, s := range []*Screen{{To: &plain}, {To: &js, JSON: true}, {To: &raw, Raw: true}} {
			for i := 0; i < len(text); i += n {
				if _, err := s.Write([]byte(text[i:min(i+n, len(text))])); err != nil {
					t.Fatal(err)
				}
			}
		}
		if plain.String() != "{\"a\":\"b[U+202E]c[U+E0041] Łódź\"}" || raw.String() != text {
			t.Fatalf("in pieces of %d: %q, %q", n, plain.String(), raw.String())
		}
		var was, is any
		if json.Unmarshal([]byte(text), &was) != nil || json.Unmarshal([]byte(js.String()), &is) != nil || was.(map[string]any)["a"] != is.(map[string]any)["a"] {
			t.Fatalf("in pieces of %d the value changes: %s", n, js.String())
		}
		if strings.ContainsFunc(js.String(), Hidden) {
			t.Fatalf("%q", js.String())
		}
	}
}
