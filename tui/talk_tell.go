package tui

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// help tells the keys of the present mode, from the table that answers them.
func (t *talker) help() {
	m := t.d.model.mode
	for i := range keyTable {
		r := &keyTable[i]
		if !r.modes.has(m) || r.keys[0] == anyText || onALine.has(m) && r.footer == 30 {
			continue
		}
		key := r.keyWords()
		for name, k := range talkKeys {
			if k == key && name != "drop" {
				key = "/" + name
			}
		}
		if utf8.RuneCountInString(key) > 1 && key[0] != '/' && key[1] != '-' {
			continue // a line cannot name it, nor needs to
		}
		t.say(key + ": " + r.help)
	}
	if m == modeDesk {
		t.say("An empty line: what is expected next. A longer line is an entry, k and words the kinds of entry that have them.")
	} else if m.typing() {
		t.say("A line is the answer; an empty one takes what is proposed.")
	}
}

// tellNext tells the entries expected next when they have changed.
func (t *talker) tellNext() {
	m := &t.d.model
	var out []string
	under := map[string]string{}
	for i := range m.listed {
		l := &m.listed[i]
		words := l.Label
		if w := wants(&l.Expectation); w != "" {
			words += ", asks " + w
		}
		if l.number == 0 {
			continue
		}
		under[itoa(l.number)] = rowKey(l)
		out = append(out, fmt.Sprintf("%d: %s", l.number, words))
	}
	if next := strings.Join(out, "\n"); next != t.next || t.under == nil {
		t.say("Expected next:")
		for _, l := range out {
			t.say(l)
		}
		t.next = next
	}
	t.under = under
}

// tellNotices tells what is newly out of the ordinary, and what is so no more.
func (t *talker) tellNotices() {
	var now []string
	for _, n := range notices(&t.d.model) {
		text := n.text + n.reason
		key := goesBy().ReplaceAllString(text, "")
		now = append(now, key)
		if slices.Contains(t.notices, key) {
			continue
		}
		if n.role == peril {
			text = "DANGER. " + text
		}
		t.say(text)
	}
	for _, was := range t.notices {
		if !slices.Contains(now, was) {
			t.say("No more: " + was)
		}
	}
	t.notices = now
}
