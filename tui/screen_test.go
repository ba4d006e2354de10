package tui

import (
	"fmt"
	"strings"
	"testing"
	"unicode"

	"github.com/gdamore/tcell/v2"

	"fairhand/register/measure"
	"fairhand/register/registertest"
)

// busy is a quarter of an hour with something of everything.
var busy = []string{
	`09:50 duty on "A. Fell"`, "09:50 clock slow 1", "09:50 box open",
	"10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "10:01 Saltgarth <2 >2",
	"10:02 Coldbeck >1 <1 >3-1 <3-1 train 1M44", "10:02 Coldbeck token 3 out",
	"10:05 train 1M44 passed for Coldbeck complete", "10:05 Coldbeck >2 <2", "10:06 Saltgarth >1 <1 >2-1 <2-1",
	`10:07 reminder on "Lever 5" "6K20 in the yard"`, "10:07 train 6K20 moved to Yard",
	`10:08 blockage "Up Main" towards Saltgarth "person in charge J. Wray"`,
	"10:09 Saltgarth <1 >1 <3-1 >3-1 train 2P07",
	`10:10 note "kettle [UP] mended"`,
	`10:10 correct 15 "10:10 note \"kettle mended\""`,
}

// moments are the screens worth looking at.
var moments = []struct {
	name string
	do   func(r *rig)
}{
	{"quiet", func(r *rig) {}},
	{"busy", func(r *rig) { r.log(busy...).at("10:11") }},
	{"ask", func(r *rig) { r.log(busy[:2]...).at("10:11").pick("from Saltgarth").press("31 2P0") }},
	{"lamp", func(r *rig) { r.log(busy[:5]...).at("10:05").pick("1M44 arrived").press("Tab") }},
	{"beats", func(r *rig) { r.log(busy...).at("10:11").press("b", "Tab", "355") }},
	{"line", func(r *rig) { r.log(busy...).at("10:11").press("e", "train 6K20 departs", "Enter") }},
	{"complete", func(r *rig) { r.log(busy...).at("10:11").press("e", "train 6K20 moved to P", "Tab") }},
	{"stop", func(r *rig) { r.log(busy...).at("10:11").press("e", "Saltgarth <1 >1 <1-4 >1-4 train 5Z01", "Enter") }},
	{"findings", func(r *rig) {
		r.log(busy...).at("10:11").press("e", "Saltgarth <1 >1 <1-4 >1-4 train 5Z01", "Enter", "w", "f")
	}},
	{"register", func(r *rig) { r.log(busy...).at("10:11").press("r", "Up") }},
	{"due", func(r *rig) { r.log(busy...).log("10:10 Saltgarth <2 >2").at("10:12").press("d") }},
	{"late", func(r *rig) { r.log(busy...).log("10:10 Saltgarth <2 >2").at("10:40") }},
	{"page", func(r *rig) { r.log(busy...).at("10:11").press("r", "p") }},
	{"time", func(r *rig) { r.log(busy...).at("10:11").press("t", ":09", "Enter") }},
	{"search", func(r *rig) { r.log(busy...).at("10:11").press("r", "/", "1m44", "Enter") }},
	{"kinds", func(r *rig) { r.press("k", "PgDn", "PgDn") }},
	{"help", func(r *rig) { r.press("?") }},
	{"leave", func(r *rig) { r.log(busy...).at("10:11").press("e", "train 6K20", "Ctrl-C") }},
}

// TestScreens compares each moment at two sizes with what was looked at and
// found right; -update rewrites them. Then the same moment is drawn at many
// sizes (a quarter of them, another for each moment, or all), where nothing may panic and the footer must stand, and in plain ASCII.
func TestScreens(t *testing.T) {
	for n, m := range moments {
		r := newRig(t, "box.yaml", 80, 24, Options{})
		m.do(r)
		for _, size := range [][2]int{{80, 24}, {120, 40}} {
			r.resize(size[0], size[1])
			golden(t, fmt.Sprintf("%s-%dx%d.screen", m.name, size[0], size[1]), r.text())
		}
		for i, w := range []int{1, 79, 80, 93, 110, 200} {
			for k, h := range []int{1, 23, 24, 35, 60} {
				if (n+i+k)%registertest.Depth(4, 1) > 0 {
					continue
				}
				r.resize(w, h)
				lines := strings.Split(strings.TrimRight(r.text(), "\n"), "\n")
				if w >= minWidth && h >= minHeight && len(lines) != h {
					t.Errorf("%s at %dx%d: the footer is missing:\n%s", m.name, w, h, r.text())
				}
			}
		}
		r.desk.theme = newTheme(true, Auto)
		r.resize(80, 24)
		for _, c := range r.text() {
			if c > unicode.MaxASCII {
				t.Errorf("%s: %q is not ASCII:\n%s", m.name, c, r.text())
				break
			}
		}
	}
}

func TestTooSmall(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.press("e", "note").resize(60, 20)
	golden(t, "small-60x20.screen", r.text())
	r.press(` "x"`, "Enter")
	if len(r.lines()) != 0 {
		t.Error("something was written that could not be seen")
	}
	r.resize(80, 24).want("line: note")
}

func TestASCIIDesk(t *testing.T) {
	r := newRig(t, "box.yaml", 120, 40, Options{ASCII: true})
	r.log(busy...).at("10:11")
	r.app.ForceDraw()
	golden(t, "ascii-120x40.screen", r.text())
}

// Without colour no cell has one; that the words alone carry the meaning, the
// golden screens show, which are text only.
func TestNoColour(t *testing.T) {
	for _, viaEnv := range []bool{false, true} {
		if viaEnv {
			t.Setenv("NO_COLOR", "1")
		}
		r := newRig(t, "box.yaml", 80, 24, Options{Look: map[bool]string{false: Never}[viaEnv]})
		moments[7].do(r)
		cells, _, _ := r.screen.GetContents()
		for _, c := range cells {
			if fg, bg, _ := c.Style.Decompose(); fg != tcell.ColorDefault || bg != tcell.ColorDefault {
				t.Fatalf("NO_COLOR %v: a cell has colours %v on %v", viaEnv, fg, bg)
			}
		}
	}
}

// A colour never stands on the terminal's own ground, which may be light or dark: ink and
// ground come together, or neither.
func TestColourHasItsOwnGround(t *testing.T) {
	for _, look := range Looks {
		for i, style := range newTheme(false, look).style {
			if fg, bg, _ := style.Decompose(); (fg == tcell.ColorDefault) != (bg == tcell.ColorDefault) {
				t.Errorf("%s: role %d has %v on %v", look, i, fg, bg)
			}
		}
	}
}

// Texts that a markup reader would swallow (style T4), and texts that a terminal
// would obey (T5), are shown whole and harmless.
func TestHostileText(t *testing.T) {
	r := newRig(t, "box.yaml", 120, 40, Options{})
	for _, s := range []string{"[UP]", "[TA]", "[A]", "a[b]c", "[3-1]", "[12:05]", "[red]x[-]", "é漢字"} {
		r.log(`10:00 note "` + s + `"`).want(s)
	}
	for _, s := range []string{"a\x1b[31mred", "tab\there", "line\nend", "bell\a", "\u202eright to left", "zero\u200bwidth", "\u0301"} {
		got := safe(s)
		if strings.ContainsFunc(got, measure.Hidden) {
			t.Errorf("safe(%q) = %q is not", s, got)
		}
	}
	if got := safe("a\nb\x1bc\u3164"); got != "a / b[U+001B]c[U+3164]" {
		t.Errorf("safe = %q", got)
	}
}

// A line typed that is longer than the window says on which side it goes on, and the cursor
// or the mistake is always in it.
func TestALongLineSaysThatItIsCut(t *testing.T) {
	p := &page{w: 16, t: &theme{glyphs: lineGlyphs}}
	for _, c := range []struct {
		text    string
		at, bad int
		want    string
	}{
		{"0123456789", 10, 0, " p: 0123456789 "},
		{"0123456789ab", 12, 0, " p: …23456789ab "},
		{"0123456789ab", 0, 0, " p: 0123456789a…"},
		{"0123456789a", 0, 0, " p: 0123456789a "},
		{"0123456789abcdefgh", 9, 0, " p: 0123456789a…"},
		{"0123456789abcdefgh", 12, 0, " p: …3456789abc…"},
		{"0123456789abcdefgh", 18, 3, " p: 0123456789a…\n      ^ here"},
		{"0123456789abcdefgh", 18, 16, " p: …6789abcdef…\n              ^ here"},
		{"x\u202ey", 3, 0, " p: x[U+202E]y "},
		{"漢字漢字漢字漢字", 8, 0, " p: …字漢字漢字 "},
	} {
		e := editor{[]rune(c.text), c.at}
		rows := []row{field("p:", e, c.bad, p)}
		if c.bad > 0 {
			rows = append(rows, caret("p:", e, c.bad, p))
		}
		got := ""
		for i, r := range rows {
			if i > 0 {
				got += "\n"
			}
			for _, s := range r {
				got += s.text
			}
			if w := r.width(); i == 0 && w > p.w {
				t.Errorf("%q at %d is %d cells wide", c.text, c.at, w)
			}
		}
		if got != c.want {
			t.Errorf("%q at %d, bad %d:\n%q, want\n%q", c.text, c.at, c.bad, got, c.want)
		}
	}
}

// A line that is offered is not drawn as one that is clear, with ASCII either.
func TestEveryStateHasItsDrawing(t *testing.T) {
	for _, g := range []glyphs{lineGlyphs, asciiGlyphs} {
		seen := map[string]bool{}
		for _, fill := range []string{g.normal, g.offered, g.given, g.taken, g.barred} {
			if seen[fill] {
				t.Errorf("two states are drawn with %q", fill)
			}
			seen[fill] = true
		}
	}
}
