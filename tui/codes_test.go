package tui

import (
	"fmt"
	"strings"
	"testing"
)

// The code card is one key away and scrolls to its last line; it writes nothing.
func TestCodeCard(t *testing.T) {
	var card strings.Builder
	fmt.Fprintln(&card, "Bell codes of Ennerholme")
	for n := range 40 {
		fmt.Fprintf(&card, "%-8d meaning %d\n", n+1, n+1)
	}
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.press("c").want("without the code card").press("Esc")
	r.open(r.book, 80, 24, Options{Codes: card.String()})
	r.press("?", "PgDn", "Down").want("the bell codes of this box").press("Esc")
	r.press("c").want("BELL CODES").want("Bell codes of Ennerholme").want("1        meaning 1").press("End").want("lines 22 to 41 of 41").want("40       meaning 40")
	r.press("Up").want("lines 21 to 40 of 41").press("Home").want("Bell codes of Ennerholme").press("q").wrote(0)
	if r.desk.model.mode != modeDesk {
		t.Errorf("q leads to %s", r.desk.model.mode)
	}
}

// 31 is 3-1 in the line of an entry and of a correction as it is on the bell pad; the
// column of a mistake is that of the line as shown.
func TestBeatsWithoutHyphens(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing[:2]...).at("10:02").press("e", "Saltgarth <1 >1 <31 >31 train 1M44", "Enter")
	if want := "10:02 Saltgarth <1 >1 <3-1 >3-1 train 1M44"; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.press("r", "c", "Ctrl-U", "10:02 Saltgarth <1 >1 <32 >32 train 1M44", "Enter")
	if want := `10:02 correct 3 "10:02 Saltgarth <1 >1 <3-2 >3-2 train 1M44"`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.press("e", "Saltgarth <1 >1 <31 >31 trian 1M44", "Enter").want("line: Saltgarth <1 >1 <3-1 >3-1 trian 1M44")
}
