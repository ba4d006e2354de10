package block

import (
	"cmp"
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// The parties on a line given up to people: those that come to it, and what each reports of itself.

// partyOn puts a further party under the blockage of a line.
func (st *step) partyOn() {
	st.authority()
	k := st.blockageAt(func(k *LineBlockage) bool { return !k.GivenUp })
	if k == nil {
		st.note(rulebook.PartyNotProtected, st.e.Section, "", "the line blocked before "+st.e.Party+" goes on it").Line = st.e.Line
		st.block(LineBlockage{Line: st.e.Line, Section: st.b.SectionIndex(st.e.Section), At: st.e.At, Seq: st.e.Seq, Number: st.e.PN, Parties: []Party{{st.e.Party, st.e.At, st.e.Seq, st.e.PN}}})
		return // all the same he is there
	}
	p := Party{st.e.Party, st.e.At, st.e.Seq, cmp.Or(st.e.PN, k.Number)}
	if sameFigures(p.Number, k.Number) {
		p.Number = k.Number
		st.sameAuthority(k.Number)
	}
	if !slices.ContainsFunc(k.Parties, func(o Party) bool { return o.Name == p.Name && o.Number == p.Number }) { // else the entry twice
		k.Parties = append(slices.Clone(k.Parties), p)
	}
}

// sameFigures says whether a number has the figures of another, perhaps turned: one that has
// others is another authority's.
func sameFigures(a, b string) bool {
	x, y := []byte(a), []byte(b)
	slices.Sort(x)
	slices.Sort(y)
	return string(x) == string(y)
}

// sameAuthority judges the number of the authority that an entry about a party gives.
func (st *step) sameAuthority(number string) bool {
	if st.e.PN == "" || number == "" || st.e.PN == number {
		return true
	}
	st.note(rulebook.PartyDiffers, st.e.Section, "", "the number of the authority in force, "+number)
	return false
}

// Misnumbered is a report of clear under another number, name or line than that of the authority:
// a slip of the pen until that party reports again, under the right one. Then the first was of
// another authority, and it was on the line till now. Source: Parikawa, 1 August 2012, by
// the case list: a report that differs from the authority as issued.
type Misnumbered struct {
	Party
	Line string
	Up   Since // when the blockage was given up on it
}

// reportedAgain says whether a party that was reported clear under another number, name or
// line reports now under its own.
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
// clear, and no other.
func (st *step) partyClear() {
	if st.reportedAgain() {
		return
	}
	is := func(p Party) bool { return p.Name == st.e.Party }
	k := st.blockageAt(func(k *LineBlockage) bool {
		return slices.ContainsFunc(k.Parties, func(p Party) bool { return is(p) && p.Number == st.e.PN })
	})
	if k == nil {
		k = st.blockageAt(func(k *LineBlockage) bool { return slices.ContainsFunc(k.Parties, is) })
	}
	name := st.e.Party
	if k == nil {
		if k, name = st.clearUnderAnother(); k == nil {
			return
		}
	}
	i := slices.IndexFunc(k.Parties, func(p Party) bool { return p.Name == name })
	p := k.Parties[i]
	if number := p.Number; !st.sameAuthority(number) || !is(p) && !misspelt(st.e.Party, name) || !k.is(st.e.Line, st.b.SectionIndex(st.e.Section)) {
		p.At, p.Seq = st.e.At, st.e.Seq
		st.s.Misnumbered = append(slices.Clone(st.s.Misnumbered), Misnumbered{p, k.Line, Since{}})
	}
	k.Parties, k.Left = slices.Delete(slices.Clone(k.Parties), i, i+1), append(slices.Clone(k.Left), name)
	st.dropGivenUp()
}

// partySays takes the message of a party that says it is clear as its report: of the line it
// names, or of the only one that party is on. Common practice: the words are written down.
func (st *step) partySays() {
	if st.e.Kind != MessageFrom || !saysClear(st.e.Text) {
		return
	}
	is := func(p *Party) bool { return p.Name == st.e.Subject }
	on := 0
	for i := range st.s.Blockages {
		if k := &st.s.Blockages[i]; !k.Key && first(k.Parties, is) != nil {
			on++
		}
	}
	st.clearOf(func(k *LineBlockage) bool { return on == 1 || strings.Contains(st.e.Text, k.Line) }, is)
	st.dropGivenUp()
}

// saysUp says whether the text with which a blockage is given up has a party in it, by the name or by
// a surname that no other has there, and not as on the line yet. Common practice.
func (st *step) saysUp(name string) bool {
	text, last := wordsIn(st.e.Text), func(name string) string { return name[strings.LastIndexByte(name, ' ')+1:] }
	if says(text, notYet) || says(text, saidStands) || says(text, denies) {
		return false
	}
	another := slices.ContainsFunc(st.s.Blockages, func(k LineBlockage) bool {
		return slices.ContainsFunc(k.Parties, func(p Party) bool { return p.Name != name && last(p.Name) == last(name) })
	})
	return strings.Contains(st.e.Text, name) || !another && says(text, []string{strings.ToLower(last(name))})
}

// clearOf takes parties as clear of lines blocked without a key.
func (st *step) clearOf(of func(*LineBlockage) bool, is func(*Party) bool) {
	st.s.Blockages = slices.Clone(st.s.Blockages)
	for i := range st.s.Blockages {
		k := &st.s.Blockages[i]
		if k.Key || !of(k) {
			continue
		}
		for _, p := range k.Parties {
			if is(&p) {
				k.Left = append(slices.Clone(k.Left), p.Name)
			}
		}
		k.Parties = left(k.Parties, is)
	}
}

// clearUnderAnother finds the party that is reported clear under a name that no party on the
// line has: one a letter off, or the only one under the number that he gives; or the party of
// that name and number on another line. By inference.
func (st *step) clearUnderAnother() (k *LineBlockage, name string) {
	f := st.note(rulebook.PartyDiffers, st.e.Section, "", "the name under which the party went on the line")
	if st.blockageAt(func(k *LineBlockage) bool { return slices.Contains(k.Left, st.e.Party) }) != nil {
		f.Severity, f.Text, f.Expected = rulebook.Advice, words(st.e.Party+" was reported clear already", st.e.Section, ""), "one report of clear for each party"
		return nil, ""
	}
	k = st.blockageAt(func(k *LineBlockage) bool {
		name, _ = among(k.Parties, st.e.Party, func(p *Party) string { return p.Name })
		return slices.ContainsFunc(k.Parties, func(p Party) bool { return p.Name == name && (st.e.PN == "" || st.e.PN == p.Number) })
	})
	if k == nil && st.e.PN != "" {
		k = st.blockageAt(func(k *LineBlockage) bool {
			under := slices.DeleteFunc(slices.Clone(k.Parties), func(p Party) bool { return p.Number != st.e.PN })
			if len(under) == 1 {
				name = under[0].Name
			}
			return len(under) == 1
		})
	}
	if k != nil {
		st.perhaps(f, name)
	} else if st.e.PN != "" {
		name = st.e.Party
		k = first(st.s.Blockages, func(k *LineBlockage) bool {
			return slices.ContainsFunc(k.Parties, func(p Party) bool { return p.Name == name && p.Number == st.e.PN })
		})
	}
	return k, name
}

// The occupation key, and what an entry means that ends no blockage and no key out.

// key takes the occupation key out, which closes the section to trains, or puts it
// in again. Source: General Rules (India), Subsidiary Rule 13.03.1.4: what is gone
// from the box is the proof that the line is occupied.
func (st *step) key() {
	section := st.b.SectionIndex(st.e.Section)
	is := func(k *LineBlockage) bool { return k.Key && k.Section == section }
	out := slices.ContainsFunc(st.s.Blockages, func(k LineBlockage) bool { return is(&k) })
	if p := st.presumedOver(); p != nil && st.e.Kind == KeyIn && !out {
		st.contradicted(p)
		return
	}
	if out != (st.e.Kind == KeyIn) {
		st.note(rulebook.OccupationKeyDiffers, st.e.Section, "", "the key in the instrument before it is taken, and out before it is given up")
	}
	switch {
	case st.e.Kind == KeyIn && out:
		st.dropBlockages(is)
	case st.e.Kind == KeyIn:
		st.onlyOther(true)
	case st.e.Kind == KeyOut && !out && section >= 0:
		text := "occupation key out" + So(st.e.Party != "", " to "+st.e.Party)
		st.block(LineBlockage{Section: section, Text: text, At: st.e.At, Seq: st.e.Seq, Key: true})
	}
}

// onlyOther takes an entry that ends no blockage, or key out, as of the only one in the book:
// that is over once trains have run, unless an entry ends it by its own name. By inference.
func (st *step) onlyOther(key bool) {
	is := func(k *LineBlockage) bool { return k.Key == key && !k.GivenUp }
	st.s.Blockages = slices.Clone(st.s.Blockages)
	if k := first(st.s.Blockages, is); k != nil && first(st.s.Blockages, func(o *LineBlockage) bool { return is(o) && o.Seq != k.Seq }) == nil {
		k.Ended = true
	}
}
