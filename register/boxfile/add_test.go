package boxfile

import (
	"strings"
	"testing"
)

// A row goes to the end of its list, however that is written, and nothing else in the
// file is touched.
func TestWith(t *testing.T) {
	const top = "box: Ennerholme # ours\nrules: british-later\nsections:\n  - {neighbour: Coldbeck, method: one-train, lines: [{name: Single}]}\n"
	for _, c := range []struct{ name, text, want string }{
		{"no list", top, top + "people:\n  - {name: 'Z: Fell', role: signaller}\n"},
		{"no end of line", strings.TrimSuffix(top, "\n"), top + "people:\n  - {name: 'Z: Fell', role: signaller}\n"},
		{"rows", top + "people:\n- {name: A. Fell,\n   role: signaller} # first\n  # and his relief\n\n# the rest\nrounding: nearest-minute\n",
			top + "people:\n- {name: A. Fell,\n   role: signaller} # first\n  # and his relief\n- {name: 'Z: Fell', role: signaller}\n\n# the rest\nrounding: nearest-minute\n"},
		{"keys a line", top + "people:\n    - name: A. Fell\n      role: signaller\n", top + "people:\n    - name: A. Fell\n      role: signaller\n    - {name: 'Z: Fell', role: signaller}\n"},
		{"brackets", top + "people: [{name: \"a] b\", role: signaller}] # ]\npins: true\n", top + "people: [{name: \"a] b\", role: signaller}, {name: 'Z: Fell', role: signaller}] # ]\npins: true\n"},
		{"empty brackets", top + "people: []\n", top + "people: [{name: 'Z: Fell', role: signaller}]\n"},
		{"other line ends", strings.ReplaceAll(top+"people:\n- {name: A, role: other}\n", "\n", "\r\n"), strings.ReplaceAll(top+"people:\n- {name: A, role: other}\n- {name: 'Z: Fell', role: signaller}\n", "\n", "\r\n")},
	} {
		f := decoded(t, c.text)
		next, err := f.With(AdditionOf("new person"), []string{"Z: Fell", "signaller"})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if next.Text != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, next.Text, c.want)
		}
		if n := len(next.Box.People); n != len(f.Box.People)+1 || next.Box.People[n-1].Name != "Z: Fell" {
			t.Errorf("%s: people %v", c.name, next.Box.People)
		}
	}
}

// The example of each sort of row says what its form says.
func TestAdditions(t *testing.T) {
	for _, a := range Additions {
		if got := AdditionOf(a.Example); got == nil || got.Word != a.Word || !strings.HasPrefix(a.Form(), "new "+a.Word+" NAME") {
			t.Errorf("%s: %v", a.Example, got)
		}
	}
	for _, other := range []string{"new", "new token 5 out", "renew person x", ""} {
		if AdditionOf(other) != nil {
			t.Errorf("%q adds something", other)
		}
	}
}
