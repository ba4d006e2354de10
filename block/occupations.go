package block

import (
	"slices"
	"strconv"
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
	Up      Since    `json:",omitzero"`  // when that was
	Ended   bool     `json:",omitempty"` // by an entry of another line or section, and of none does more stand: over as soon as trains have run
	Instead bool     `json:",omitempty"` // of another line, clear of its parties, that may have been meant: this one is still blocked, if no train went on it
}

// Party is somebody on a line under an authority, which has the number of the blockage
// or one of its own.
type Party struct {
	Name   string
	At     Time
	Seq    int64
	Number string `json:",omitempty"`
}

// Over says whether the blockage keeps trains from a line of section i.
func (k *LineBlockage) Over(line string, section int) bool { return !k.GivenUp && k.is(line, section) }

func (k *LineBlockage) is(line string, section int) bool {
	return (k.Line == "" || k.Line == line) && (k.Section < 0 || section < 0 || k.Section == section)
}

// peopled says whether somebody may be on the line: not where each party that went on it
// has reported clear, nor where it was ended by another name.
func (k *LineBlockage) peopled() bool {
	return len(k.Parties) > 0 || !k.Ended && (len(k.Left) == 0 || k.Key)
}

// Words says what the blockage is and who is on the line.
func (k *LineBlockage) Words() string {
	names := make([]string, len(k.Parties))
	for i, p := range k.Parties {
		names[i] = p.Name + So(p.Number != "" && p.Number != k.Number, " ("+p.Number+")")
	}
	peopled := len(names) > 0
	return strings.Join(WordsOf(So(k.GivenUp && peopled, "GIVEN UP WITH PEOPLE ON THE LINE"), k.Text, So(k.Number != "", "authority "+k.Number),
		So(peopled, "on the line: "+strings.Join(names, ", "))), "; ")
}

// blockage takes a line blockage, with the first party on it if the entry names one.
func (st *step) blockage() {
	k := LineBlockage{Line: st.e.Line, Section: st.b.SectionIndex(st.e.Section), Text: st.e.Text, At: st.e.At, Seq: st.e.Seq, Number: st.e.PN}
	st.authority()
	if first(st.s.Blockages, func(o *LineBlockage) bool { return o.sameAs(&k, st.e.Party) }) != nil {
		return // the entry twice
	}
	if st.e.Party != "" {
		k.Parties = []Party{{st.e.Party, st.e.At, st.e.Seq, st.e.PN}}
	}
	st.block(k)
}

// sameAs says whether a blockage in force is another of the same moment, with the same party.
func (k *LineBlockage) sameAs(o *LineBlockage, party string) bool {
	on := len(k.Parties) == 0 && party == "" || slices.ContainsFunc(k.Parties, func(p Party) bool { return p.Name == party && p.Seq == k.Seq })
	return on && !k.Key && !k.GivenUp && k.At == o.At && k.Line == o.Line && k.Section == o.Section && k.Text == o.Text && k.Number == o.Number
}

// block puts a blockage in force: no train may be on the line or on its way to it.
func (st *step) block(k LineBlockage) {
	st.s.Blockages = append(slices.Clone(st.s.Blockages), k)
	for l, r := range st.b.lines {
		if !st.online(l).under(&k) {
			continue
		}
		st.online(l).goneOn()
		p := st.s.Lines[l].Phase
		if st.b.Sections[r.section].Method.Is().Described && slices.ContainsFunc(st.s.Trains, func(t *Train) bool { return t.accepted(l) }) {
			p = Accepted
		}
		if p.lineClear() || p == InSection {
			f := st.note(rulebook.BlockageTrainInSection, st.b.Sections[r.section].Neighbour, st.e.Train, "the line free of trains before it is blocked")
			f.Line = st.b.lineAt(l).Name
			st.onlyOutDue(r.section, "A line blockage was taken", f)
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
	return first(st.s.Blockages, func(k *LineBlockage) bool {
		return !k.Key && k.is(st.e.Line, st.b.SectionIndex(st.e.Section)) && match(k)
	})
}

// blockageUp gives a blockage up: every party has reported clear for itself.
// One that has not stays in the book until it does.
func (st *step) blockageUp() {
	if st.givenUpNow() {
		return
	}
	over := func(k *LineBlockage) bool { return k.Over(st.e.Line, st.b.SectionIndex(st.e.Section)) }
	st.clearOf(over, func(p *Party) bool { return st.saysUp(p.Name) }) // who says so as it is given up
	out := st.blockageAt(func(k *LineBlockage) bool { return !k.GivenUp && len(k.Parties) > 0 })
	if out != nil {
		f := st.note(rulebook.BlockagePartyNotClear, st.e.Section, "", "each party's own report; "+out.Words())
		f.Rests = []int64{out.Parties[0].Seq, st.e.Seq}
		out.GivenUp, out.Up, out.Instead = true, Since{st.e.At, st.e.Seq}, first(st.s.Blockages, (*LineBlockage).allClear) != nil
	}
	if p := st.presumedOver(); p != nil {
		st.contradicted(p)
	}
	ends := func(k *LineBlockage) bool {
		return !k.Key && k.is(st.e.Line, st.b.SectionIndex(st.e.Section)) && len(k.Parties) == 0
	}
	if first(st.s.Blockages, ends) != nil { // no other entry was of it
		st.openOthers(func(*LineBlockage) bool { return true })
	}
	if !st.dropBlockages(ends) && out == nil {
		st.onlyOther(false)
	}
	st.s.Misnumbered = left(slices.Clone(st.s.Misnumbered), func(m *Misnumbered) bool { return m.At < st.e.At-bindsLongest })
	for i := range st.s.Misnumbered {
		if m := &st.s.Misnumbered[i]; !m.Up.is() && m.Line == st.e.Line {
			m.Up = Since{st.e.At, st.e.Seq}
		}
	}
}

// allClear says whether all that were on the line have reported clear, and it is blocked yet.
func (k *LineBlockage) allClear() bool { return !k.peopled() && !k.GivenUp }

// openOthers has the blockages that match given up when that was booked, for no other line.
func (st *step) openOthers(match func(*LineBlockage) bool) {
	st.s.Blockages = slices.Clone(st.s.Blockages)
	for i := range st.s.Blockages {
		if k := &st.s.Blockages[i]; match(k) {
			k.Instead = false
		}
	}
	st.dropGivenUp()
}

// dropGivenUp forgets the blockages that were given up with parties on the line, and all of
// these clear since.
func (st *step) dropGivenUp() {
	st.dropBlockages(func(k *LineBlockage) bool { return k.GivenUp && !k.Instead && len(k.Parties) == 0 })
}

// givenUpNow takes a line as given up only now whose parties have all reported clear since it
// was booked as given up with them on it: no train was let onto it, and that entry was of
// another line, of which all were clear. By inference.
func (st *step) givenUpNow() bool {
	k := st.blockageAt(func(k *LineBlockage) bool { return k.Instead && len(k.Parties) == 0 })
	if k == nil {
		return false
	}
	was := k.Up
	if f := st.s.open(func(f *Finding) bool { return f.Rule == rulebook.BlockagePartyNotClear && f.Seq == was.Seq }); f != nil {
		st.answered([]Answer{*f.answer()})
	}
	st.dropBlockages(func(o *LineBlockage) bool { return o == k })
	if other := first(st.s.Blockages, func(o *LineBlockage) bool { return o.allClear() && o.At <= was.At }); other != nil {
		f := st.note(rulebook.StepNotBooked, st.e.Section, "", "each blockage given up by the name of its line")
		f.Text = words("The giving up of the blockage of "+other.Line+" not booked; entry "+strconv.FormatInt(was.Seq, 10)+", of "+st.e.Line+", was of it", f.Section, "")
		f.Rests = []int64{was.Seq, st.e.Seq}
		for l, r := range st.b.lines { // what was found of trains on its lines since
			for _, rule := range [...]rulebook.RuleID{rulebook.AcceptedWhileBlocked, rulebook.OfferedWhileBlocked, rulebook.EnteredWhileBlocked} {
				if d := st.online(l); other.Over(d.lineName(), r.section) {
					st.answered(d.without(rule, func(f *Finding) bool { return f.At >= was.At }))
				}
			}
		}
		st.dropBlockages(func(o *LineBlockage) bool { return o.Seq == other.Seq })
	}
	return true
}

// dropBlockages forgets the blockages that match, and says whether there are any.
func (st *step) dropBlockages(match func(*LineBlockage) bool) bool {
	n := len(st.s.Blockages)
	st.s.Blockages = left(st.s.Blockages, match)
	return len(st.s.Blockages) < n
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
			x.offer(Expectation{Event: Event{Kind: KeyIn, Section: where}, Wanted: later, Label: "occupation key in, " + where,
				Clears: "The section to " + where + " is given up to trains. Is the key in the instrument?"})
			continue
		}
		for _, p := range k.Parties {
			x.offer(Expectation{Event: Event{Kind: PartyClear, Party: p.Name, Line: k.Line, Section: where, PN: p.Number}, Wanted: later, Label: p.Name + " clear of " + k.Line})
		}
		if len(k.Parties) == 0 {
			x.offer(Expectation{Event: Event{Kind: BlockageUp, Line: k.Line, Section: where}, Wanted: later + 1, Label: "blockage of " + k.Line + " given up",
				Clears: "The blockage of " + k.Line + " is given up and trains may run. Has whoever took it said that everybody is clear?"})
		}
	}
}

// ranOverKey takes the occupation key as given up, and that as not booked, where the second train let
// onto its line has run through: what was found of the two stands, and is not found of all that follow.
func (d *action) ranOverKey() {
	out := func(k *LineBlockage) bool {
		return k.Key && !k.Ended && d.under(k) && d.brokenTwice(k.At, rulebook.EnteredWhileBlocked, rulebook.AcceptedWhileBlocked)
	}
	if first(d.s.Blockages, out) != nil {
		d.s.Blockages = left(d.s.Blockages, out)
		d.endDoubts(func(o *Doubt) bool { return o.Line == d.line && o.Step == StepClear })
		d.notBooked(Doubt{Line: d.line}, nil, StepClear)
	}
}
