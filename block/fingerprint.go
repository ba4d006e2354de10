package block

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

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
