package tui

import (
	"strings"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"fairhand/register/measure"
)

// The mouse presses keys and has no way of its own: a click on a key that is drawn, or
// on the words beside it, is that key, with the guard of the hand and its questions;
// the wheel is Up and Down.

// mouse handles what the mouse does.
func (d *desk) mouse(ev *tcell.EventMouse, action tview.MouseAction) {
	name := ""
	switch action {
	case tview.MouseLeftClick:
		m := &d.model
		x, y := ev.Position()
		if rows := view(m, &d.theme, m.width, m.height); y >= 0 && y < len(rows) {
			name = rows[y].keyAt(x)
		}
	case tview.MouseScrollUp:
		name = "Up"
	case tview.MouseScrollDown:
		name = "Down"
	}
	wheel := action != tview.MouseLeftClick
	if name == "" || wheel && d.model.mode.typing() && d.model.mode != modeForms || lookup(d.model.mode, name) == nil {
		return
	}
	d.pressed(name, d.stamp(ev))
}

// keyAt is the key whose cap, or the words beside it, take cell x of the row; "" for
// none. Words end at the next cap, at what is dim, and at a gap.
func (r row) keyAt(x int) string {
	key, from := "", 0
	for _, s := range r {
		to := from + measure.Width(s.text)
		switch {
		case s.role == keycap:
			key = strings.TrimSpace(s.text)
		case s.role == dim || len(s.text) > 1 && strings.TrimSpace(s.text) == "":
			key = ""
		}
		if x >= from && x < to {
			return key
		}
		from = to
	}
	return ""
}
