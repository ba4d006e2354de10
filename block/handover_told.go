package block

import (
	"cmp"
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

// covered says whether what a relief said tells of what is live under a name: by that, by what it
// is told with, or by what it is, where it is the only one of its kind.
func covered(live []LiveItem, said, name string, all []string) bool {
	it := first(live, func(i *LiveItem) bool { return i.Name == name })
	return mentions(said, name, all) || it != nil && (it.with != "" && strings.Contains(" "+said, " "+it.with) ||
		it.rank == shut && it.apart != "" && strings.Contains(said, it.apart) && first(live, func(o *LiveItem) bool { return o != it && o.apart == it.apart }) == nil)
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

// TrainsOf are the trains that the state of a line is about, each with where it goes: those on
// it, else the one that is signalled, or shunted into it.
func TrainsOf(b *Box, s *State, line int) (list []string) {
	for _, t := range s.On(line) {
		list = append(list, t.Label(b)+" "+t.wayOn(line))
	}
	ls := s.Lines[line]
	switch t := s.Train(ls.Train); {
	case ls.Phase == Normal || t == nil:
	case t.In.Line != line && t.Out.Line != line:
		list = append(list, t.Label(b))
	case len(list) == 0:
		list = append(list, t.Label(b)+" to "+cmp.Or(So(ls.Dir == Outward, "go"), "come"))
	}
	if ls.Shunts != "" && len(list) == 0 {
		list = append(list, ls.Shunts)
	}
	return list
}

// wayOn says whether a train on a line comes here or goes away.
func (t *Train) wayOn(line int) string {
	switch {
	case t.Out.Line == line && t.Returned:
		return "back"
	case t.Out.Line == line && t.Out.Entered != 0:
		return cmp.Or(So(t.Helps == 0, "going"), "helps")
	case t.In.Arrived != 0 && t.Out.Entered != 0:
		return "gone on"
	case t.In.Arrived != 0:
		return "here"
	}
	return "coming"
}
