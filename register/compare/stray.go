package compare

import (
	"math"
	"slices"
	"sort"

	"fairhand/block"
)

// Strays are signals that the order of the books left alone. Those that another
// book has at the same time by one clock were written out of order: a late
// entry, or calls that crossed. Those of the same train somewhat later were
// written in order of a wrong time.
const (
	strayNamed   = 3600 // seconds a named train's signal may be away
	strayUnnamed = 300  // seconds beyond the tolerance for one without a name
)

// strays pairs what is left, nearest first within each kind of signal.
func (al *aligner) strays(p *pairing) {
	left := map[uint32][]int32{}
	for j, i := range p.toA {
		if i < 0 {
			k := al.b.el[j].key
			left[k] = append(left[k], int32(j))
		}
	}
	if len(left) == 0 {
		return
	}
	at := func(j int32) block.Time { return al.diff.first(al.b.el[j].at) }
	for _, js := range left {
		slices.SortFunc(js, func(x, y int32) int { return int(at(x) - at(y)) })
	}
	for _, near := range [...]bool{true, false} {
		for i := range p.toB {
			if p.toB[i] >= 0 {
				continue
			}
			e := &al.a.el[i]
			js := left[e.key]
			from := sort.Search(len(js), func(k int) bool { return at(js[k]) >= e.at-2*strayNamed })
			best, least := int32(-1), math.Inf(1)
			for _, j := range js[from:] {
				if at(j) > e.at+2*strayNamed {
					break
				}
				if late := math.Abs(al.late(i, int(j))); p.toA[j] < 0 && late < least && al.stray(e, &al.b.el[j], late, near) {
					best, least = j, late
				}
			}
			if best >= 0 {
				p.toB[i], p.toA[best] = best, int32(i)
			}
		}
	}
}

// stray says whether two signals left alone may be one.
func (al *aligner) stray(a, b *element, late float64, near bool) bool {
	named := a.name != "" && b.name != ""
	switch {
	case named && a.name != b.name:
		return false
	case late <= al.tol:
		return true
	case near || a.topic != b.topic:
		return false
	case named:
		return late <= strayNamed
	}
	return late <= al.tol+strayUnnamed
}
