package tui

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/register"
)

// boxText is what box.yaml says now.
func (r *rig) boxText() string {
	r.t.Helper()
	text, err := os.ReadFile(filepath.Join(r.book.Dir, register.BoxFileName))
	if err != nil {
		r.t.Fatal(err)
	}
	return string(text)
}

// A name that nobody knows is added to the box in two keys, and what was typed is
// written by one more; the desk and the book then know it.
func TestAddingFromAnUnknownName(t *testing.T) {
	for _, c := range []struct {
		sort, typed, row, entry, last string
	}{
		{"person", "u|B. Newman", "{name: B. Newman, role: signaller}", "people B. Newman role signaller, was not given", `duty on "B. Newman"`},
		{"place", `e|train 1M44 arrived at "Long Siding" complete`, "{name: Long Siding}", "places Long Siding, was not given", `train 1M44 arrived at "Long Siding" complete`},
		{"gear", `e|failure "Points 9" "no detection"`, "{name: Points 9, kind: points}", "gear Points 9 kind points, was not given", `failure "Points 9" "no detection"`},
		{"signal", `e|signal "Up Advance" off`, "{name: Up Advance, kind: section, section: Coldbeck}", "signals Up Advance kind section", `signal "Up Advance" off`},
	} {
		r := newRig(t, "box.yaml", 80, 24, Options{})
		if c.sort != "person" {
			r.log(`09:50 duty on "A. Fell"`, "09:51 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "09:53 Saltgarth <2 >2 train 1M44")
		}
		if c.sort == "gear" {
			r.press("e", `new gear "Lever 5" lever`, "Enter") // from here on the box lists its gear
		}
		if c.sort == "signal" {
			r.press("e", `new signal "Up Home" home Saltgarth "Up Main"`, "Enter") // from here on the box lists its signals
		}
		was := r.boxText()
		key, typed, _ := strings.Cut(c.typed, "|")
		r.at("10:00").press(key, typed, "Enter").want("Tab adds it to the box").want("Tab add it to the box")
		r.keys = 0
		r.press("Tab").want("adds this to box.yaml").press("Enter").want("Enter goes on with what was typed").press("Enter")
		if r.keys != 3 {
			t.Errorf("%s: %d keys", c.sort, r.keys)
		}
		if r.desk.model.mode == modeStop {
			r.press("w")
		}
		if !strings.Contains(r.last(), c.last) {
			t.Errorf("%s: last %q\n%s", c.sort, r.last(), r.text())
		}
		lines := r.lines()
		if described := lines[len(lines)-2]; !strings.Contains(described, "box described") || !strings.Contains(described, c.entry) {
			t.Errorf("%s: %q tells nothing of it", c.sort, described)
		}
		now := r.boxText()
		if i := strings.Index(now, c.row); i < 0 || strings.Replace(strings.Replace(now, ", "+c.row, "", 1), "  - "+c.row+"\n", "", 1) != was {
			t.Errorf("%s: the file is otherwise than by %s:\n%s", c.sort, c.row, now)
		}
		if again := r.second(); again.File().Text != now {
			t.Errorf("%s: the register is kept under another description", c.sort)
		}
	}
}

// Typed as a line, or chosen among the kinds, with what may come next; what does not fit
// is told and changes neither the file nor the book.
func TestAddingAsALine(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`09:50 duty on "A. Fell"`).at("10:00")
	was, entries := r.boxText(), len(r.lines())
	for line, says := range map[string]string{
		`new person "A. Fell" signaller`:    "A. Fell",
		`new person "B. Newman" driver`:     "driver",
		`new person "B. Newman"`:            "new person NAME ROLE",
		`new signal "X" home Nowhere`:       "Nowhere",
		`new place "Platform 1"`:            "Platform 1",
		`new place "Bay" 1 2`:               "new place NAME [HOLDS]",
		`new person "B. Newman" signaller;`: "ends the line",
	} {
		r.press("e", line, "Enter").want("Not written.").want(says).press("Esc")
		if r.boxText() != was || len(r.lines()) != entries {
			t.Fatalf("%s changed something", line)
		}
	}
	r.press("k", "new person", "Enter").want("new person").press(`"B. Newman" sig`, "Tab", "Enter")
	if r.last() != `10:00 box described `+r.book.Described(r.book.Store().Tail().Seq).Digest+` "people B. Newman role signaller, was not given"` {
		t.Error(r.last())
	}
	r.press("u", "Ctrl-U", `duty on "B. Newman"`, "Enter")
	if r.last() != `10:00 duty on "B. Newman"` {
		t.Errorf("%s\n%s", r.last(), r.text())
	}
	r.press("z", "1") // it is not an entry of anybody's
	if r.last() != `10:00 correct 3 "10:00 note \"entered in error: wrong key\""` {
		t.Errorf("%s\n%s", r.last(), r.text())
	}
}

// Esc on the way goes back to what was typed, and adds nothing.
func TestAddingGivenUp(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	was := r.boxText()
	r.at("10:00").press("u", "B. Newman", "Enter", "Tab", "Esc").want("Not added").want("WHO SIGNS ON?").want("B. Newman").press("Esc")
	if r.boxText() != was || len(r.lines()) > 0 || r.desk.model.mode != modeDesk {
		t.Errorf("something was added:\n%s", r.text())
	}
}
