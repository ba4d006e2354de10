package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// Lines given up to people: blockages with the parties that are protected by
// them, each of which reports clear for itself, and the occupation key.

// LineBlockage is a line blockage in force, or an occupation key that is out.
type LineBlockage struct {
	Line    string // "" for every line of the section
	Section int    // -1 when none was named
	Text    string
	At      Time
	Seq     int64
	Key     bool     // by the occupation key
	Number  string   // of the authority
	Parties []Party  // on the line, not reported clear
	Left    []string // those that have reported clear
	GivenUp bool     // while parties were still on it: the line is open to trains by the book
}

// Party is somebody on a line under an authority.
type Party struct {
	Name string
	At   Time
	Seq  int64
}

// Over says whether the blockage keeps trains from a line of section i.
func (k *LineBlockage) Over(line string, section int) bool { return !k.GivenUp && k.is(line, section) }

func (k *LineBlockage) is(line string, section int) bool {
	return (k.Line == "" || k.Line == line) && (k.Section < 0 || section < 0 || k.Section == section)
}

// peopled says whether somebody may be on the line: not where each party that went on it
// has reported clear.
func (k *LineBlockage) peopled() bool { return len(k.Parties) > 0 || len(k.Left) == 0 || k.Key }

// Words says what the blockage is and who is on the line.
func (k *LineBlockage) Words() string {
	var out []string
	if k.GivenUp {
		out = append(out, "GIVEN UP WITH PEOPLE ON THE LINE")
	}
	if k.Text != "" {
		out = append(out, k.Text)
	}
	if k.Number != "" {
		out = append(out, "authority "+k.Number)
	}
	if len(k.Parties) > 0 {
		names := make([]string, len(k.Parties))
		for i, p := range k.Parties {
			names[i] = p.Name
		}
		out = append(out, "on the line: "+strings.Join(names, ", "))
	}
	return strings.Join(out, "; ")
}

// sectionOf is the section an entry names, or that of a neighbour a letter from its name;
// -1 when it names none. So a line blocked towards a box that was miswritten is blocked
// there, and not wherever a line has its name.
func (st *step) sectionOf() int {
	if i := st.b.SectionIndex(st.e.Section); i >= 0 || st.e.Section == "" {
		return i
	}
	return st.b.SectionIndex(st.nearBox(st.e.Section))
}

// blockage takes a line blockage, with the first party on it if the entry names one.
func (st *step) blockage() {
	k := LineBlockage{Line: st.e.Line, Section: st.sectionOf(), Text: st.e.Text, At: st.e.At, Seq: st.e.Seq, Number: st.e.PN}
	st.authority()
	if st.e.Party != "" {
		k.Parties = []Party{{st.e.Party, st.e.At, st.e.Seq}}
	}
	st.block(k)
}

// block puts a blockage in force: no train may be on the line or on its way to it.
func (st *step) block(k LineBlockage) {
	st.s.Blockages = append(slices.Clone(st.s.Blockages), k)
	for l, r := range st.b.lines {
		if !k.Over(st.b.Sections[r.section].Lines[r.line].Name, r.section) {
			continue
		}
		p := st.s.Lines[l].Phase
		if st.b.Sections[r.section].Method.Is().Described && slices.ContainsFunc(st.s.Trains, func(t *Train) bool { return t.accepted(l) }) {
			p = Accepted
		}
		if p.lineClear() || p == InSection {
			st.note(rulebook.BlockageTrainInSection, st.b.Sections[r.section].Neighbour, st.e.Train, "the line free of trains before it is blocked")
		}
	}
}

// authority judges an authority given to a party: it has a number and is repeated.
func (st *step) authority() {
	if st.e.Party != "" && (st.e.Which == "" || st.e.Kind == Blockage && st.e.PN == "") {
		st.note(rulebook.AuthorityIncomplete, st.e.Section, "", "the number of the authority, and that "+st.e.Party+" repeated it back")
	}
}

// blockageAt finds the blockage, not by a key, that an entry about a line means; nil for none.
func (st *step) blockageAt(match func(*LineBlockage) bool) *LineBlockage {
	st.s.Blockages = slices.Clone(st.s.Blockages)
	return first(st.s.Blockages, func(k *LineBlockage) bool { return !k.Key && k.is(st.e.Line, st.sectionOf()) && match(k) })
}

// partyOn puts a further party under the blockage of a line.
func (st *step) partyOn() {
	st.authority()
	k := st.blockageAt(func(k *LineBlockage) bool { return !k.GivenUp })
	if k == nil {
		st.note(rulebook.PartyNotProtected, st.e.Section, "", "the line blocked before "+st.e.Party+" goes on it").Line = st.e.Line
		st.block(LineBlockage{Line: st.e.Line, Section: st.sectionOf(), At: st.e.At, Seq: st.e.Seq, Number: st.e.PN, Parties: []Party{{st.e.Party, st.e.At, st.e.Seq}}})
		return // all the same he is there
	}
	st.sameAuthority(k)
	k.Parties = append(slices.Clone(k.Parties), Party{st.e.Party, st.e.At, st.e.Seq})
}

// sameAuthority judges the number of the authority that an entry about a party gives.
func (st *step) sameAuthority(k *LineBlockage) bool {
	if st.e.PN == "" || k.Number == "" || st.e.PN == k.Number {
		return true
	}
	st.note(rulebook.PartyDiffers, st.e.Section, "", "the number of the authority in force, "+k.Number)
	return false
}

// Misnumbered is a report of clear under another number than that of the authority: a slip
// of the pen until that party reports again, under the right one. Then the first was of
// another authority, and it was on the line till now. Source: Parikawa, 1 August 2012, by
// the case list: a report that differs from the authority as issued.
type Misnumbered struct {
	Party
	Number string
	Line   string
	Up     Since // when the blockage was given up on it
}

// reportedAgain says whether a party that reported clear under another number reports
// now under its own.
func (st *step) reportedAgain() bool {
	at := slices.IndexFunc(st.s.Misnumbered, func(m Misnumbered) bool {
		return m.Name == st.e.Party && m.Number == st.e.PN && m.Line == st.e.Line
	})
	if at < 0 {
		return false
	}
	m := st.s.Misnumbered[at]
	st.s.Misnumbered = slices.Delete(slices.Clone(st.s.Misnumbered), at, at+1)
	if m.Up.is() {
		f := st.note(rulebook.BlockagePartyNotClear, st.e.Section, "", m.Name+"'s report under the number of the authority, "+m.Number+": it came only with the later entry")
		f.Seq, f.At, f.Rests = m.Up.Seq, m.Up.At, []int64{m.Seq, m.Up.Seq, st.e.Seq}
	}
	return true
}

// partyClear takes the report of one party that it is clear of the line: it is
// clear, and no other. A name a letter off is of the one that it can be of.
func (st *step) partyClear() {
	if st.reportedAgain() {
		return
	}
	name := st.e.Party
	is := func(p Party) bool { return p.Name == name }
	k := st.blockageAt(func(k *LineBlockage) bool { return slices.ContainsFunc(k.Parties, is) })
	if k == nil {
		f := st.note(rulebook.PartyDiffers, st.e.Section, "", "the name under which the party went on the line")
		if st.blockageAt(func(k *LineBlockage) bool { return slices.Contains(k.Left, name) }) != nil {
			f.Severity, f.Text, f.Expected = rulebook.Advice, words(name+" was reported clear already", st.e.Section, ""), "one report of clear for each party"
			return
		}
		k = st.blockageAt(func(k *LineBlockage) bool {
			near, _ := among(k.Parties, st.e.Party, func(p *Party) string { return p.Name })
			name = near
			return near != "" && (st.e.PN == "" || st.e.PN == k.Number)
		})
		if k == nil {
			return
		}
		st.perhaps(f, name)
	}
	if !st.sameAuthority(k) {
		st.s.Misnumbered = append(slices.Clone(st.s.Misnumbered), Misnumbered{Party{st.e.Party, st.e.At, st.e.Seq}, k.Number, st.e.Line, Since{}})
	}
	k.Parties, k.Left = slices.DeleteFunc(slices.Clone(k.Parties), is), append(slices.Clone(k.Left), name)
	if k.GivenUp && len(k.Parties) == 0 {
		st.dropBlockages(func(o *LineBlockage) bool { return o == k })
	}
}

// blockageUp gives a blockage up: every party has reported clear for itself.
// One that has not stays in the book until it does.
func (st *step) blockageUp() {
	out := st.blockageAt(func(k *LineBlockage) bool { return !k.GivenUp && len(k.Parties) > 0 })
	if out != nil {
		f := st.note(rulebook.BlockagePartyNotClear, st.e.Section, "", "each party's own report; "+out.Words())
		f.Rests = []int64{out.Parties[0].Seq, st.e.Seq}
		out.GivenUp = true
	}
	st.dropBlockages(func(k *LineBlockage) bool { return !k.Key && k.is(st.e.Line, st.sectionOf()) && len(k.Parties) == 0 })
	st.s.Misnumbered = left(slices.Clone(st.s.Misnumbered), func(m *Misnumbered) bool { return m.At < st.e.At-bindsLongest })
	for i := range st.s.Misnumbered {
		if m := &st.s.Misnumbered[i]; !m.Up.is() && m.Line == st.e.Line {
			m.Up = Since{st.e.At, st.e.Seq}
		}
	}
}

func (st *step) dropBlockages(match func(*LineBlockage) bool) {
	st.s.Blockages = left(st.s.Blockages, match)
}

// key takes the occupation key out, which closes the section to trains, or puts it
// in again. Source: General Rules (India), Subsidiary Rule 13.03.1.4: what is gone
// from the box is the proof that the line is occupied.
func (st *step) key() {
	section := st.sectionOf()
	is := func(k *LineBlockage) bool { return k.Key && k.Section == section }
	out := slices.ContainsFunc(st.s.Blockages, func(k LineBlockage) bool { return is(&k) })
	if out != (st.e.Kind == KeyIn) {
		st.note(rulebook.OccupationKeyDiffers, st.e.Section, "", "the key in the instrument before it is taken, and out before it is given up")
	}
	switch {
	case st.e.Kind == KeyIn && out:
		st.dropBlockages(is)
	case st.e.Kind == KeyOut && !out && section >= 0:
		text := "occupation key out"
		if st.e.Party != "" {
			text += " to " + st.e.Party
		}
		st.block(LineBlockage{Section: section, Text: text, At: st.e.At, Seq: st.e.Seq, Key: true})
	}
}

// occupations expects each party to report clear, then the line to be given up,
// and an occupation key to come back.
func (x *expecting) occupations() {
	for i := range x.s.Blockages {
		k := &x.s.Blockages[i]
		where, later := "", x.s.Now+laterHandBack
		if k.Section >= 0 {
			where = x.b.Sections[k.Section].Neighbour
		}
		if k.Key {
			x.offer(Expectation{Event: Event{Kind: KeyIn, Section: where}, Act: NoAct, Wanted: later, Label: "occupation key in, " + where,
				Clears: "The section to " + where + " is given up to trains. Is the key in the instrument?"})
			continue
		}
		for _, p := range k.Parties {
			x.offer(Expectation{Event: Event{Kind: PartyClear, Party: p.Name, Line: k.Line, Section: where, PN: k.Number}, Act: NoAct, Wanted: later, Label: p.Name + " clear of " + k.Line})
		}
		if len(k.Parties) == 0 {
			x.offer(Expectation{Event: Event{Kind: BlockageUp, Line: k.Line, Section: where}, Act: NoAct, Wanted: later + 1, Label: "blockage of " + k.Line + " given up",
				Clears: "The blockage of " + k.Line + " is given up and trains may run. Has whoever took it said that everybody is clear?"})
		}
	}
}
