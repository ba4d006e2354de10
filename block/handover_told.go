package block

import (
	"slices"
	"strings"
)

// carriedUnknown strikes off a train that no entry has named yet, or that may be
// another than the one signalled: what was handed over is no other thing that the
// book knows to be here.
func (st *step) carriedUnknown() {
	for k, name := range st.s.Uncarried {
		if slices.ContainsFunc(st.s.Trains, func(t *Train) bool {
			return (t.Name == "" || t.Out.open() && t.Out.Assumed) && t.Label(st.b) == name
		}) {
			st.s.Uncarried = slices.Delete(st.s.Uncarried, k, k+1)
			return
		}
	}
}

// toldBy says whether what a relief said tells of the item, or of what it is told with.
func (i *LiveItem) toldBy(said string, all []string) bool {
	return mentions(said, i.Name, all) || i.with != "" && strings.Contains(" "+said, " "+i.with)
}

// mentions says whether what a relief said names one of the items named. Said by
// the name that several have, all of them are meant; said in full, that one alone.
func mentions(said, name string, all []string) bool {
	if strings.Contains(said, name) {
		return true
	}
	common, _, several := strings.Cut(name, ", ")
	return several && strings.Contains(said, common) &&
		!slices.ContainsFunc(all, func(o string) bool { return strings.HasPrefix(o, common+", ") && strings.Contains(said, o) })
}

// saysWhat says whether a relief told of an item by what it is: the only one of its kind.
func saysWhat(live []LiveItem, said, name string) bool {
	it := first(live, func(i *LiveItem) bool { return i.Name == name })
	return it != nil && it.rank == shut && it.apart != "" && strings.Contains(said, it.apart) &&
		first(live, func(o *LiveItem) bool { return o != it && o.apart == it.apart }) == nil
}
