package block

import (
	"fmt"
	"slices"

	"fairhand/block/rulebook"
)

// Follow arranges a prepared description so that it can take the place of the one
// that a book was kept by before: sections and lines that both have keep their
// numbers, by which trains and states know them, and new ones come after. A
// section or a line may not go: the book may still speak of it, and would not be
// understood. The error names all that are missing.
func (b *Box) Follow(old *Box) error {
	var errs []string
	var sections []Section
	for i := range old.Sections {
		was := &old.Sections[i]
		j := slices.IndexFunc(b.Sections, func(s Section) bool { return s.Neighbour == was.Neighbour })
		if j < 0 {
			errs = append(errs, "the section to "+was.Neighbour)
			continue
		}
		now := b.Sections[j]
		lines := slices.Clone(now.Lines)
		slices.SortStableFunc(lines, func(x, y Line) int { return lineOrder(was, x) - lineOrder(was, y) })
		for _, l := range was.Lines {
			if !slices.ContainsFunc(lines, func(o Line) bool { return o.Name == l.Name }) {
				errs = append(errs, fmt.Sprintf("line %q to %s", l.Name, was.Neighbour))
			}
		}
		now.Lines = lines
		sections = append(sections, now)
	}
	if len(errs) > 0 {
		return &GoneError{errs}
	}
	for i := range b.Sections {
		if !slices.ContainsFunc(old.Sections, func(s Section) bool { return s.Neighbour == b.Sections[i].Neighbour }) {
			sections = append(sections, b.Sections[i])
		}
	}
	b.Sections = sections
	fresh := b.refs()
	b.lines = slices.Clone(old.lines)
	for _, r := range fresh {
		if !slices.Contains(b.lines, r) {
			b.lines = append(b.lines, r)
		}
	}
	b.prepareCodes()
	return nil
}

// GoneError is a description that lacks what the book was kept for.
type GoneError struct{ What []string }

func (e *GoneError) Error() string { return fmt.Sprintf("%q is no longer described", e.What) }

// lineOrder is the place of a line among those of a section as it was, and that
// after the last for a new one.
func lineOrder(was *Section, l Line) int {
	i := slices.IndexFunc(was.Lines, func(o Line) bool { return o.Name == l.Name })
	if i < 0 {
		return len(was.Lines)
	}
	return i
}

// refs are the lines of all sections in the order of the description.
func (b *Box) refs() []lineRef {
	var out []lineRef
	for i := range b.Sections {
		for j := range b.Sections[i].Lines {
			out = append(out, lineRef{i, j})
		}
	}
	return out
}

// described goes on under another description of the box, as from the book's
// beginning when this is its first entry. What the state tells stays; a line that is
// worked otherwise than before is normal, and tokens that were not on the charge
// list are where the description has them.
func (st *step) described() {
	now := st.e.Box
	if now == nil || now == st.base {
		return // a book without its descriptions, or one that is in force already
	}
	was := st.base
	st.base, st.b = now, now.Worked(st.s)
	s, fresh := st.s, NewState(now)
	if st.s.LastSeq == 0 {
		s.Lines, s.Bells, s.Circuits, s.Tokens, s.Staffs = fresh.Lines, fresh.Bells, fresh.Circuits, fresh.Tokens, fresh.Staffs
		return
	}
	for i, r := range was.lines {
		a, b := &was.Sections[r.section], &now.Sections[r.section]
		if a.Method == b.Method && a.Lines[r.line].Way == b.Lines[r.line].Way {
			fresh.Lines[i] = s.Lines[i]
		}
	}
	for i := range was.Sections {
		fresh.Bells[i], fresh.Circuits[i], fresh.Staffs[i] = s.Bells[i], s.Circuits[i], s.Staffs[i]
		t := s.Tokens[i]
		t.Where = fresh.Tokens[i].Where
		for j, n := range now.Sections[i].Tokens.Charge {
			if k := slices.Index(was.Sections[i].Tokens.Charge, n); k >= 0 {
				t.Where[j] = s.Tokens[i].Where[k]
			}
		}
		fresh.Tokens[i] = t
	}
	s.Lines, s.Bells, s.Circuits, s.Tokens, s.Staffs = fresh.Lines, fresh.Bells, fresh.Circuits, fresh.Tokens, fresh.Staffs
	s.lines, s.bells, s.circuits, s.tokens, s.staffs = s.gen, s.gen, s.gen, s.gen, s.gen
}

// describe takes the description of an offer. Words have none, and take none away.
func (d *action) describe(t *Train) {
	if d.code != nil && d.code.Means == rulebook.Offer && (t.Code == "" || !d.code.Code.Spoken()) {
		t.Code, t.Class, t.Gauge = d.code.Code, d.code.Class, d.code.Gauge
	}
}

// redescribed undoes the offer but keeps the train for the right description.
func (d *action) redescribed(bool) {
	if d.train != nil {
		t := d.itsTrain()
		l := t.leg(d.dir)
		l.Accepted, l.Offered = 0, 0
		d.editLine(d.line).Train = t.ID
		if d.dir == Inward {
			t.Where = OfferedHere
		}
	}
	d.owe(rulebook.WrongDescriptionNotFollowed, d.onLine())
}
