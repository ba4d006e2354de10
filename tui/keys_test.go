package tui

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
)

// universe is every key of the table and some that have no row anywhere.
func universe() []string {
	keys := []string{"z", "Z", "0", "7", "é", "["}
	for _, r := range keyTable {
		for _, k := range r.keys {
			if k != anyText && !slices.Contains(keys, k) {
				keys = append(keys, k)
			}
		}
	}
	slices.Sort(keys)
	return keys
}

// TestEveryKeyInEveryMode presses every key in every mode of a desk with a
// train in each section and compares what it leads to with the golden table:
// mode and key to action, mode after, and what is done. A row that changes is
// to be read and believed before -update.
func TestEveryKeyInEveryMode(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right", "10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44", "10:00 Saltgarth <2 >2",
		"10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M46")
	start := r.at("10:04").desk.model
	var out strings.Builder
	for md := range modeCount {
		for _, k := range universe() {
			m := start
			m = inMode(t, m, md)
			row := lookup(md, k)
			if row == nil {
				continue
			}
			after, do := update(m, pressed{do: row.do, key: k, at: m.now})
			fmt.Fprintf(&out, "%-15s %-10s %-30s -> %-15s %s\n", md, k, row.help[:min(30, len(row.help))], after.mode, did(m, after, do))
		}
	}
	golden(t, "keys.golden", out.String())
}

// inMode brings a desk into a mode as its own keys would.
func inMode(t *testing.T, m model, md mode) model {
	t.Helper()
	m.back = modeDesk
	switch md {
	case modeAsk, modeProof:
		for _, x := range m.next {
			if x.AskProof == (md == modeProof) && (x.AskProof || x.AskTrain) {
				m.ask = asking{exp: x, was: m.now}
			}
		}
		if m.ask.was == 0 {
			t.Fatalf("nothing expected asks for what mode %s needs", md)
		}
	case modeMove, modeWhere:
		m.moving, m.choices = "2P07", []string{"Platform 1", "Yard"}
	case modeWhich:
		m = m.asksWhich("WHICH", gathered(m.next))
	case modeSure:
		m.ask = asking{exp: m.next[0], was: m.now}
		m.ask.exp.Clears = "something"
	case modeStop:
		m.stop = stopped{events: []block.Event{{Kind: block.Note, Text: "x", At: m.now}}, findings: make([]block.Finding, 2)}
	case modeLine:
		m = m.line(forEntry, 0, "fog o")
	case modeBook:
		m.pick = len(m.day) - 1
	}
	m.mode = md
	return m
}

// did says what changed, for the golden table.
func did(before, after model, do cmd) string {
	var out []string
	switch do.do {
	case write:
		out = append(out, fmt.Sprintf("writes %d%s", len(do.events), do.line))
		if do.sure {
			out = append(out, "sure")
		}
	case leave:
		out = append(out, "leaves")
	}
	if a, b := after.edit.String(), before.edit.String(); a != b {
		out = append(out, fmt.Sprintf("text %q", a))
	}
	if after.edit.at != before.edit.at && after.edit.String() == before.edit.String() {
		out = append(out, fmt.Sprintf("cursor %d", after.edit.at))
	}
	for _, n := range []struct {
		name string
		a, b int
	}{{"pick", after.pick, before.pick}, {"top", after.top, before.top}, {"shift", after.shift, before.shift},
		{"section", after.section, before.section}, {"place", after.place, before.place}} {
		if n.a != n.b {
			out = append(out, fmt.Sprintf("%s %d", n.name, n.a))
		}
	}
	if after.alter != before.alter {
		out = append(out, fmt.Sprint("alter ", after.alter))
	}
	if after.msg != before.msg {
		out = append(out, fmt.Sprintf("says %q", after.msg.text))
	}
	return strings.Join(out, ", ")
}

func TestNoKeyHasTwoRows(t *testing.T) {
	for md := range modeCount {
		seen := map[string]bool{}
		for _, r := range keyTable {
			if !r.modes.has(md) {
				continue
			}
			for _, k := range r.keys {
				if seen[k] {
					t.Errorf("%s: key %q has two rows, one of them %q", md, k, r.help)
				}
				seen[k] = true
			}
		}
	}
}

// A desk that cannot be left, or a row without help, is a mistake in the table.
func TestTableIsWhole(t *testing.T) {
	for a := doNext; a < actionCount; a++ {
		if !slices.ContainsFunc(keyTable, func(r keyRow) bool { return r.do == doer(a) }) {
			t.Errorf("action %d has no key", a)
		}
	}
	for _, r := range keyTable {
		if r.help == "" || r.modes == 0 {
			t.Errorf("row %v: help %q, modes %b", r.keys, r.help, r.modes)
		}
	}
	for md := range modeCount {
		if lookup(md, "Ctrl-C") == nil || lookup(md, "Esc") == nil {
			t.Errorf("%s cannot be left by Ctrl-C and Esc", md)
		}
	}
}

// Terminals send these for Backspace, Tab, Enter and Esc (style T11).
func TestNoKeyATerminalCannotTell(t *testing.T) {
	for _, r := range keyTable {
		for _, k := range r.keys {
			if slices.Contains([]string{"Ctrl-H", "Ctrl-I", "Ctrl-M", "Ctrl-["}, k) || strings.HasPrefix(k, "Alt") {
				t.Errorf("%q cannot be told from another key", k)
			}
			named := false
			for _, n := range keyNames {
				named = named || n == k
			}
			if !named && k != anyText && len([]rune(k)) != 1 {
				t.Errorf("%q is no key app.go can name", k)
			}
		}
	}
}

// The footer and the help come from the same table: every labelled row of a
// mode stands in the footer, every row in the help.
func TestFooterAndHelpShowTheTable(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	for md := range modeCount {
		m := r.desk.model
		m.mode = md
		foot := rowsText(footer(&m, 80))
		help := rowsText(helpText(md))
		for _, k := range keyTable {
			if !k.modes.has(md) {
				continue
			}
			if k.label != "" && k.fits == nil && !strings.Contains(foot, k.label) {
				t.Errorf("%s: the footer does not show %q: %s", md, k.label, foot)
			}
			if first := strings.Fields(k.help)[0]; !strings.Contains(help, first) {
				t.Errorf("%s: the help does not show %q", md, k.help)
			}
		}
		if n := len(footer(&m, 80)); n > 2 {
			t.Errorf("%s: the footer takes %d rows", md, n)
		}
	}
}

func rowsText(rows []row) string {
	var b strings.Builder
	for _, r := range rows {
		for _, s := range r {
			b.WriteString(s.text)
		}
		b.WriteByte('\n')
	}
	return b.String()
}
