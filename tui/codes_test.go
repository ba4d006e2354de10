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
	r.press("?", "PgDn").want("the bell codes of this box").press("Esc")
	r.press("c").want("BELL CODES").want("Bell codes of Ennerholme").want("1        meaning 1").press("End").want("lines 22 to 41 of 41").want("40       meaning 40")
	r.press("Up").want("lines 21 to 40 of 41").press("Home").want("Bell codes of Ennerholme").press("q").wrote(0)
	if r.desk.model.mode != modeDesk {
		t.Errorf("q leads to %s", r.desk.model.mode)
	}
}
