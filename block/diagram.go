package block

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// Diagram draws the machine of a method of working as a Graphviz graph, made
// from the rows that Apply judges by: what is regular in full lines, what is
// against the regulations and still leads somewhere else in dashed ones.
func Diagram(m rulebook.Method) string {
	mc := machines[m]()
	var b strings.Builder
	fmt.Fprintf(&b, "digraph %q {\n", m.String())
	b.WriteString("  rankdir=LR;\n  node [shape=box, style=rounded, fontname=\"sans-serif\"];\n  edge [fontname=\"sans-serif\", fontsize=10];\n")
	for _, p := range mc.phases {
		fmt.Fprintf(&b, "  %q;\n", p.String())
	}
	for _, p := range mc.phases {
		for _, opposed := range []bool{false, true} {
			for a := Act(0); a < actCount; a++ {
				if r := mc.Row(p, opposed, a); r != nil {
					b.WriteString(edge(p, opposed, r))
				}
			}
		}
	}
	b.WriteString("}\n")
	return b.String()
}

// edge is the arrow of one row, empty where the row leads nowhere else.
func edge(from Phase, opposed bool, r *Row) string {
	to := r.To
	if to == settled {
		to = Normal // with the last train gone, as in the regular case
	}
	if to == stay || to == from {
		return ""
	}
	label := r.Act.String() + So(opposed, " (other way)")
	if r.Rule == "" {
		return fmt.Sprintf("  %q -> %q [label=%q];\n", from.String(), to.String(), label)
	}
	label += "\n" + string(r.Rule)
	if len(r.Unless) > 0 {
		label += "\nunless " + r.Unless[0].Name
	}
	return fmt.Sprintf("  %q -> %q [label=%q, style=dashed, fontcolor=gray30];\n", from.String(), to.String(), label)
}

// Fingerprint is all of the rules that is data, in words that differ when it does:
// the rows of every machine, the catalogue, the kinds of entry. What the effects
// of an act are is code and not in it. A state that other rules made is not to be
// used with these.
func Fingerprint() string {
	var h strings.Builder
	for _, made := range machines {
		m := made()
		fmt.Fprintln(&h, m.Method, m.phases)
		for i := range m.Rows {
			r := &m.Rows[i]
			fmt.Fprintln(&h, r.From, r.Opposed, r.Act, r.To, r.Rule, r.Regular)
			for _, g := range slices.Concat(r.Unless, r.Guards) {
				fmt.Fprintln(&h, g.Name, g.Rule, g.Mine, g.Replaces)
			}
		}
	}
	fmt.Fprintf(&h, "%+v\n%d\n", rulebook.Rules(), Kinds)
	return h.String()
}
