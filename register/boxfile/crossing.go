package boxfile

import (
	"slices"

	"fairhand/block"
)

// checkCrossing checks one level crossing: where it lies, and that what it names
// is there.
func (d *decoder) checkCrossing(f *draft, l *located[crossingDraft]) {
	c := &l.v
	switch {
	case c.Section != "" && c.Place != "":
		d.fault(l.where("place"), "crossing %q lies in a section or at a place of the box; keep one of section and place", c.Name)
	case l.at["section"] == nil && l.at["place"] == nil:
		d.fault(l.node, "crossing %q: say where it lies with section (a neighbour) or place (a place of this box)", c.Name)
	case c.Section != "":
		d.sectionOf(f, l.where("section"), "crossings", c.Section)
	}
	d.oneOf(l.where("place"), "crossings", c.Place, "place of this box", namesOf(f.places, "name"))
	for _, s := range c.ProtectedBy {
		d.oneOf(l.where("protected-by"), "protected-by", s, "signal of this box", namesOf(f.signals, "name"))
	}
	for i, m := range c.from {
		switch {
		case slices.ContainsFunc(c.from[:i], func(o located[block.MinutesFrom]) bool { return o.v.Box == m.v.Box }):
			d.fault(m.node, "minutes-from: %q is given twice; keep one", m.v.Box)
		case m.v.Box == block.FromHere:
		case c.Section != "" && m.v.Box != c.Section:
			d.fault(m.node, "minutes-from: trains reach a crossing in the section to %s from there or from here, not from %q", c.Section, m.v.Box)
		default:
			d.sectionOf(f, m.node, "minutes-from", m.v.Box)
		}
	}
	d.checkBeyond(f, c.beyond)
	for _, key := range []string{"told-before", "private-numbers"} {
		if n := l.at[key]; n != nil && c.Kind != "" && c.Kind != block.KeeperCrossing {
			d.fault(n, "%s belongs to a crossing with a keeper; leave it out, or write kind: %s", key, block.KeeperCrossing)
		}
	}
}
