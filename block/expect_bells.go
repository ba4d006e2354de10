package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// exchange is the bells of a whole exchange of a code, from where the circuit stands.
func (x *expecting) exchange(section int, row *rulebook.CodeRow, mine bool) []Bell {
	if row.Code.Spoken() {
		if row.Means == rulebook.Offer {
			return []Bell{{mine, row.Code}, {!mine, "accept"}}
		}
		return []Bell{{mine, row.Code}}
	}
	if x.b.Booking == BookSignals {
		return []Bell{{mine, row.Code}}
	}
	var bells []Bell
	if c := &x.s.Bells[section]; !row.NoAttention && !(c.Ready && c.ReadyMe == mine) {
		bells = append(bells, Bell{mine, "1"}, Bell{!mine, "1"})
	}
	return append(bells, Bell{mine, row.Code}, Bell{!mine, row.Code})
}

// codeFor is the first code of a section with a meaning, of a class if any has it.
func (b *Box) codeFor(section int, m rulebook.Meaning, c rulebook.Class) (first *rulebook.CodeRow) {
	for _, row := range b.codes[section] {
		switch {
		case row.Means != m:
		case row.Class == c:
			return row
		case first == nil:
			first = row
		}
	}
	return first
}

// row is the code of a section with a meaning, and the word for it while no bells let trains
// go over it.
func (x *expecting) row(section int, m rulebook.Meaning, c rulebook.Class) *rulebook.CodeRow {
	if x.s.Circuits[section].unbelled() {
		if i := slices.IndexFunc(rulebook.Spoken(), func(r rulebook.CodeRow) bool { return r.Means == m }); i >= 0 {
			return &rulebook.Spoken()[i]
		}
	}
	return x.b.codeFor(section, m, c)
}

func (x *expecting) bellEvent(d *action, row *rulebook.CodeRow, t *Train) Event {
	e := Event{Kind: Bells, Section: d.section().Neighbour, Bells: x.exchange(d.ref().section, row, d.mine)}
	if t != nil {
		e.Train = t.Name
	}
	if d.shut() {
		e.Line = d.lineName()
	}
	if n := 0; len(d.section().Lines) > 2 {
		for _, ln := range d.section().Lines {
			if ln.Way == d.b.lineAt(d.line).Way {
				n++
			}
		}
		if n > 1 {
			e.Line = d.lineName()
		}
	}
	return e
}

// LineWords is what the label of a bell adds where the section has more lines than one that
// way: which it is.
func LineWords(e *Event) string {
	return So(e.Kind == Bells && e.Line != "", ", "+e.Line)
}

// offerRow is the code by which a train is offered in section i: the one it was described
// by, or where that is not said there, or all is told in words, that of its class.
func (x *expecting) offerRow(i int, code rulebook.Code, c rulebook.Class) *rulebook.CodeRow {
	row := x.b.lookup(i, code, rulebook.Offer)
	if row == nil || !x.b.says(i, row) || x.s.Circuits[i].unbelled() {
		return x.row(i, rulebook.Offer, c)
	}
	return row
}
