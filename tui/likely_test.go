package tui

import "testing"

// TestLikelyFirst: of an entry that ends something, Tab puts first what it can be of.
func TestLikelyFirst(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.at("09:55").log(duty...)
	r.log(`09:51 failure "Lever 12" "lamp out"`, `09:52 failure "Points 3" "no detection"`, `09:52 disconnected "Points 9"`, `09:53 reminder on "Lever 5" "x"`,
		`09:54 obstruct "Down Main" Saltgarth "wagon foul"`, "09:55 Coldbeck >1 <1 >3-1 <3-1 train 1M44", "09:55 Coldbeck token 3 out")
	for _, c := range []struct{ typed, first string }{
		{"restored ", `restored "Lever 12"`},
		{"09:58 restored ", `09:58 restored "Lever 12"`},
		{"reconnected ", `reconnected "Points 9"`},
		{"reminder off ", `reminder off "Lever 5"`},
		{"duty off ", `duty off "A. Fell"`},
		{"clear ", `clear "Down Main"`},
		{"Coldbeck token ", "Coldbeck token 3"},
	} {
		r.press("Esc", "Esc", "e", c.typed, "Tab")
		if got := r.desk.model.edit.String(); got != c.first && got != c.first+" " {
			t.Errorf("after %q Tab puts %q, not %q", c.typed, got, c.first)
		}
	}
	r.press("Esc", "e", "restored ", "Tab", "Tab")
	if got := r.desk.model.edit.String(); got != `restored "Points 3"` {
		t.Errorf("the second Tab puts %q", got)
	}
}
