package tui

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/notation"
	"fairhand/register/pattern"
)

// help tells the keys of the present mode, from the table that answers them.
func (t *talker) help() {
	m := t.d.model.mode
	for i := range keyTable {
		r := &keyTable[i]
		if !r.modes.has(m) || r.keys[0] == anyText || onALine.has(m) && r.footer == 30 || m == modeDesk && r.footer == 20 && r.do != doDrop {
			continue
		}
		key := r.keyWords()
		if last := r.keys[len(r.keys)-1]; len(r.keys) == 2 && len(r.keys[0]) > 1 && len(last) == 1 {
			key = last // a letter is typed sooner than a name
		}
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
	under, others := map[string]string{}, 0
	for i := range m.listed {
		l := &m.listed[i]
		words := l.Label
		if w := l.wants(); w != "" {
			words += ", asks " + w
		}
		if l.number == 0 {
			others++
			continue
		}
		under[itoa(l.number)] = rowKey(l)
		out = append(out, fmt.Sprintf("%d: %s", l.number, words))
	}
	if others > 0 {
		out = append(out, fmt.Sprintf("0: %d more", others))
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

var blanks = pattern.Late(` {2,}`)

// rowWords is a row as it is read out: without rules and columns, and the sign of how grave
// a thing is as its word.
func rowWords(r row) string {
	r = slices.Clone(r)
	for i, s := range r[:min(2, len(r))] { // where the lists have it
		if grave := slices.IndexFunc(severitySigns[:], func(sign string) bool { return strings.TrimSpace(sign) == strings.TrimSpace(s.text) }); grave >= 0 {
			r[i].text = severityWord(rulebook.Severity(grave)) + " "
		}
	}
	words := blanks().ReplaceAllString(strings.Trim(r.text(), "─! "), ", ")
	for _, s := range signs {
		if rest, ok := strings.CutPrefix(words, s.drawn); ok {
			return s.said + rest
		}
	}
	return words
}

// signs are what stands before a row only to be seen, and what is read out for it.
var signs = []struct{ drawn, said string }{
	{"[ ] ", "to take over: "},
	{"[x] ", "taken over: "},
	{"[?] ", "queried: "},
	{"^ here", ""}, // the column is told
}

// standing tells everything that stands: who, each line, and what is out of the ordinary.
func (t *talker) standing() {
	m := &t.d.model
	t.say(rowWords(topLine(m, talkWidth)))
	t.lines, t.notices = nil, nil
	for _, l := range t.sections(tight) {
		t.say(l)
	}
	t.lines = t.sections(briefest)
	for _, s := range standings(m) {
		if s.who != "" {
			t.say(orHere(s.where) + ": " + s.who)
		}
	}
	t.tellNotices()
	_, t.duty = dutyWords(m)
	t.shift = 0
	t.tellShift()
	t.under, t.next = nil, ""
	t.tellNext()
}

// sections are the states of the lines and crossings; the briefest without lengths
// of time.
func (t *talker) sections(room int) []string {
	var out []string
	for _, l := range t.d.model.box.Lines() {
		r := sectionIn(&t.d.model, &t.d.theme, l, room)
		out = append(out, rowWords(r[:1])+", "+rowWords(r[1:2])+": "+spokenState(r[2:].text()))
	}
	for _, r := range crossingRows(&t.d.model, talkWidth) {
		out = append(out, rowWords(r))
	}
	return out
}

// spokenState is the state of a line as a sentence: its parts by commas, and what tokens are
// where by words.
func spokenState(words string) string {
	words = blanks().ReplaceAllString(strings.TrimSpace(words), ", ")
	words = strings.Replace(words, "TOKEN ? OUT", "A TOKEN OUT, its number not known", 1)
	return tokensHere().ReplaceAllStringFunc(words, func(here string) string {
		n := tokensHere().FindStringSubmatch(here)
		if n[1] == "1" {
			return ", 1 token here" + n[2]
		}
		return ", " + n[1] + " tokens here" + n[2]
	})
}

// tokensHere is how many tokens are here, at the end of the state of a line.
var tokensHere = pattern.Late(`, (\d+) here( LOW)?$`)

// tellLines tells the lines whose state has changed.
func (t *talker) tellLines() {
	now := t.sections(briefest)
	for _, l := range now {
		if !slices.Contains(t.lines, l) {
			t.say(l)
		}
	}
	t.lines = now
}

// goesBy is the part of a notice that changes as time goes by.
var goesBy = pattern.Late(` (\((now|\d+ (min|h \d\d))\)|for (now|\d+ (min|h \d\d)))$`)

// where tells all that stands of a train: where it is, and what is expected of it next;
// false when nothing does.
func (t *talker) where(train string) bool {
	stands := t.sections(tight)
	for _, s := range standings(&t.d.model) {
		stands = append(stands, orHere(s.where)+": "+s.who)
	}
	found := false
	for _, l := range append(stands, strings.Split(t.next, "\n")...) {
		if slices.Contains(strings.FieldsFunc(l, func(r rune) bool { return r == ' ' || r == ',' }), train) {
			t.say(l)
			found = true
		}
	}
	return found
}

// everything tells all that stands, and what is due and to explain.
func (t *talker) everything() {
	m := &t.d.model
	t.standing()
	rows := aheadRows(m, talkWidth)
	if len(m.due)+len(m.unexplained()) == 0 {
		rows[len(rows)-1] = line(head, "Nothing is due, and nothing to explain.")
	}
	for _, r := range rows {
		t.say(rowWords(r))
	}
}

// tellDuty tells who is on duty when that has changed.
func (t *talker) tellDuty() {
	if _, now := dutyWords(&t.d.model); now != t.duty {
		t.duty = now
		t.say(now)
	}
}

// tellShift tells for when the next entry is set, when that has changed otherwise than
// by its being written.
func (t *talker) tellShift() {
	m := &t.d.model
	switch {
	case m.shift == t.shift:
	case m.shift < 0:
		at := m.then(m.now)
		t.say(fmt.Sprintf("The next entry is for %s, %d min ago, and is marked late.", m.clock(at), (m.now-at)/block.Minute))
	case !strings.Contains(strings.ToLower(m.msg.text), "written as"):
		t.say("The next entry is for the moment it is entered.")
	}
	t.shift = m.shift
}

// tellPanel tells the prompt or the page of the present mode; of a page told
// already, what changed and where one stands.
func (t *talker) tellPanel() {
	m := &t.d.model
	if m.mode == modeGraph {
		t.say("The train graph is a drawing. p tells the day as a page.")
		return
	}
	if m.mode == modeForms && m.edit.empty() {
		t.say(fmt.Sprintf("KINDS OF ENTRY: %d. Type words that it has, such as tail lamp; fairhand help notation lists all.", len(m.kinds())))
		t.page = nil
		return
	}
	rows := t.panel()
	told, same := t.page, t.mode == m.mode
	switch {
	case m.mode.typing() && lists.has(t.mode) && !t.mode.typing():
		t.behind, t.paper = t.mode, t.page
	case t.mode.typing() && m.mode == t.behind: // back from what was asked there: only what changed is told
		told, same = t.paper, true
	}
	t.page = nil
	here := ""
	for _, r := range rows {
		text := rowWords(r)
		if lists.has(m.mode) && len(r) > 0 && r[0].role == chosen {
			text = strings.TrimSuffix(strings.TrimSuffix(text, t.d.theme.toLeft), ", ")
			here = text
		}
		t.page = append(t.page, text)
		if !same || !slices.Contains(told, text) {
			t.say(text)
		}
	}
	if live, taken, queried := m.counted(); m.mode == modeHandover && live > 0 && taken+queried == live {
		t.say("Nothing is left to take over; s signs the relief on.")
	} else if here != "" {
		t.say("Here: " + here)
	}
	if m.mode == modeLine && t.mode != m.mode && m.purpose == forEntry && !m.edit.empty() && m.msg.text == "" {
		if _, err := notation.ParseLine(m.zone, m.now, m.edit.String()); err == nil {
			t.say("An empty line writes it, /esc drops it.")
		}
	}
	if m.mode == modeAsk && t.mode != m.mode && canRefuse(m) {
		t.say("/tab: it is not accepted. /esc: drop it.")
	}
}

// panel is what a screen shows in the present mode, without the desk around it.
func (t *talker) panel() []row {
	m := &t.d.model
	p := &page{w: talkWidth, h: talkHeight, t: &t.d.theme}
	switch {
	case lists.has(m.mode):
		pageTable[m.mode].put(m, p)
	case m.mode == modeStop:
		stopPanel(m, p)
	default:
		return typingPanel(m, p)
	}
	return p.rows
}

// tell tells what has changed since it was told last.
func (t *talker) tell() {
	m := &t.d.model
	t.unseen(m.mode == modePIN || m.mode == modeLocked)
	t.say(m.msg.text)
	if m.mode != modeDesk {
		if !m.mode.typing() {
			t.again = false
		}
		t.tellPanel()
		t.mode = m.mode
		return
	}
	if t.mode != modeDesk {
		t.page = nil
	}
	t.mode, t.again = modeDesk, false
	t.tellDuty()
	t.tellShift()
	t.tellLines()
	t.tellNotices()
	t.tellNext()
}

// unseen has what is typed not shown, or shown again; where that cannot be, it says so.
func (t *talker) unseen(hide bool) {
	if hide == t.hidden {
		return
	}
	t.hidden = hide
	if (t.hide == nil || t.hide(hide) != nil) && hide {
		t.say("What is typed next cannot be hidden here: see that nobody reads it.")
	}
}
