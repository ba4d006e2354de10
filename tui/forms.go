package tui

import (
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
	"fairhand/register/measure"
	"fairhand/register/notation"
)

// kind is a form of entry under its heading, or a bell signal.
type kind struct {
	title string
	notation.Form
	alike string        // other words by which it is looked for
	beats rulebook.Code // of a bell signal, which the pad takes
}

// noKind is said where no kind of entry has the words typed.
const noKind = "No kind of entry has all these words: fewer find more."

// kinds are the kinds of entry that contain what was typed, word by word: first those whose
// line begins with it, then those whose words do, then those that say it themselves, then those
// that are looked for by such words, or stand under them.
func (m *model) kinds() []kind {
	words := strings.Fields(strings.ToLower(m.edit.String()))
	var begun, told, said, meant []kind
	has := func(text string) bool {
		text = strings.ToLower(text)
		return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(text, w) })
	}
	begins := func(text string) bool { return strings.HasPrefix(strings.ToLower(text), strings.Join(words, " ")) }
	list := func(k kind) {
		switch own := k.Pattern + " " + k.Says; {
		case len(words) > 0 && begins(k.Pattern):
			begun = append(begun, k)
		case len(words) > 0 && begins(k.Says):
			told = append(told, k)
		case has(own):
			said = append(said, k)
		case has(own + " " + k.title + " " + k.alike):
			meant = append(meant, k)
		}
	}
	for _, g := range append(slices.Clip(notation.Groups), newForms()) {
		for _, f := range g.Forms {
			list(kind{title: g.Title, Form: f, alike: f.Alike()})
		}
	}
	pad := m.openPad()
	for _, r := range m.box.CodeBook(pad.section) {
		list(kind{"Bell signals, " + pad.neighbour(), notation.Form{Pattern: string(r.Code), Says: r.Words, Example: notation.Word(pad.neighbour()) + " " + bellsText(pad.exchange(r.Code, true))}, bellsAlike[r.Means], r.Code})
	}
	return slices.Concat(begun, told, said, meant)
}

// bellsAlike are other words under which a bell signal is looked for.
var bellsAlike = map[rulebook.Meaning]string{
	rulebook.ObstructionDanger: "emergency stop all trains foul blocked",
	rulebook.CallAttention:     "attract one beat",
	rulebook.Entering:          "train on line departed away",
	rulebook.OutOfSection:      "train arrived clear complete",
	rulebook.Cancelling:        "not running withdrawn",
	rulebook.Offer:             "is line clear description",
}

// example is the example of a form with a neighbour of this box where it begins with one.
func (m *model) example(k *kind) string {
	words := strings.Fields(k.Pattern)
	if _, rest, ok := strings.Cut(k.Example, " "); ok && len(words) > 1 && words[0] == "SECTION" {
		return m.likely(words[1:]) + " " + rest
	}
	return k.Example
}

// newForms are the lines that add to the box, as a group of forms.
func newForms() notation.Group {
	g := notation.Group{Title: "What is new at this box (written into box.yaml too)"}
	for _, a := range boxfile.Additions {
		g.Forms = append(g.Forms, notation.Form{Kind: block.Described, Pattern: a.Form(), Says: a.Says, Example: a.Example})
	}
	return g
}

// pressForms is the keys of the list of kinds: what is typed narrows it.
func (m model) pressForms(p pressed) (model, cmd) {
	list := m.kinds()
	switch p.do {
	case doText:
		m.edit, m.pick = m.edit.put(p.key), 0
	case doRub, doRubWord, doRubAll:
		m.edit, m.pick = m.edit.do(p.do), 0
	case doAccept:
		if m.pick >= len(list) {
			return m.says(noKind, warn)
		}
		if beats := list[m.pick].beats; beats != "" {
			m = m.openPad()
			m.edit = edited(string(beats))
			return m, cmd{}
		}
		return m.line(forEntry, 0, m.opening(list[m.pick].Pattern)), cmd{}
	default:
		return m.pressList(p)
	}
	return m, cmd{}
}

// formsPage lists the kinds of entry, each with how it is written.
func formsPage(m *model, p *page) {
	p.put(ruled(p.t, " KINDS OF ENTRY ", p.w), field("type to narrow:", m.edit, 0, p))
	list := m.kinds()
	var rows []row
	at, title := 0, ""
	for n, f := range list {
		if f.title != title {
			title = f.title
			rows = append(rows, line(head, " "+title))
		}
		room, says := p.w-5, measure.Width(f.Says)
		beside := min(max(48, p.w*2/5), room-measure.Width(f.Pattern)-1) // in a column where there is room, and neither is cut
		kind := []row{{txt(plain, "   "+pad(f.Says, max(beside, says))+" "), txt(dim, f.Pattern)}}
		if says > beside {
			kind = append(line(plain, "   "+f.Says).wrapped(p.w-2, 5), line(dim, "     "+f.Pattern).wrapped(p.w-2, 7)...)
		}
		if n == m.pick {
			kind[0], at = kind[0].marked(p.w, p.t), len(rows)
		}
		rows = append(rows, kind...)
	}
	foot := []row{line(dim, " "+noKind)}
	if m.pick < len(list) {
		foot = append([]row{ruled(p.t, "", p.w)}, row{txt(dim, " such as  "), txt(strong, m.example(&list[m.pick]))}.wrapped(p.w, 10)...)
	}
	room := p.left() - len(foot)
	p.window(rows, at-room/2, room)
	p.put(foot...)
}
