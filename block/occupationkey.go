package block

import (
	"slices"

	"fairhand/block/rulebook"
)

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
		text := "occupation key out"
		if st.e.Party != "" {
			text += " to " + st.e.Party
		}
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
