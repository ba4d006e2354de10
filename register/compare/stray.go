package compare

import (
	"math"
	"slices"

	"fairhand/block"
)

// Strays are signals that the order of the books left alone. Those that another
// book has at the same time by one clock were written out of order: a late
// entry, or calls that crossed. Those of the same train somewhat later were
// written in order of a wrong time.
const (
	strayNamed   = 3600 // seconds a named train's signal may be away
	strayUnnamed = 300  // seconds beyond the tolerance for one without a name
	straySorted  = 1800 // the same in a book whose order follows its times
	strayMost    = 200  // candidates looked at for one signal
)

// sorted says whether the entries of a line stand in the order of their times. A
// wrong time does not show in such a book by its place, so what is left alone is
// rather that than two missing signals.
func (l *line) sorted() bool {
	return slices.IsSortedFunc(l.el, func(a, b element) int { return int(a.at - b.at) })
}

// mates pairs what is left of an exchange with what is left of the exchange that
// its other signals were matched with, whatever the times: parts of it up to the last.
func (al *aligner) mates(p *pairing, last part) {
	from := 0
	for i := range p.toB {
		if al.a.bell(i).exchange != al.a.bell(from).exchange {
			from = i
		}
		if p.toB[i] >= 0 || partOf(al.a.el[i].key) > last {
			continue
		}
		for k := from; k < len(p.toB) && al.a.bell(k).exchange == al.a.bell(from).exchange; k++ {
			if p.toB[k] >= 0 {
				al.mate(p, i, int(p.toB[k]))
				break
			}
		}
	}
}

// mate looks for element i of the first book in the exchange of element j of the
// second.
func (al *aligner) mate(p *pairing, i, j int) {
	exchange := al.b.bell(j).exchange
	for j > 0 && al.b.bell(j-1).exchange == exchange {
		j--
	}
	for ; j < len(p.toA) && al.b.bell(j).exchange == exchange; j++ {
		if p.toA[j] < 0 && shared(al.a.el[i].key) == shared(al.b.el[j].key) && math.Abs(al.late(i, j)) <= lateReach {
			p.toB[i], p.toA[j] = int32(j), int32(i)
			return
		}
	}
}

// strayness is by what two signals left alone are taken for one, the surest first.
type strayness uint8

const (
	sameMinute strayness = iota
	otherTime            // of one train
	otherName            // at the same time
	otherBeats           // of one train at the same time
)

// anyBeats drops the beats from a key: no signal has it for its own.
func anyBeats(key uint32) uint32 { return key &^ 0xffff }

// unlike parts the signals that were paired with others of other beats, of another
// train or, as call attention may be, of another exchange, so that each may find its
// like at the same time: two exchanges of one minute, which the books have in opposite
// order. restore pairs again those that found nothing.
func (al *aligner) unlike(p *pairing) (parted [][2]int32) {
	mate := [2]map[int32]int32{{}, {}} // the exchange in the other book that has the same signal
	for i, j := range p.each() {
		if al.a.el[i].key == al.b.el[j].key && partOf(al.a.el[i].key) == signal {
			x, y := al.a.bell(i).exchange, al.b.bell(j).exchange
			mate[0][x], mate[1][y] = y, x
		}
	}
	strange := func(i, j int) bool {
		if partOf(al.a.el[i].key) > ready {
			return false
		}
		x, y := al.a.bell(i).exchange, al.b.bell(j).exchange
		of, known := mate[0][x]
		back, known2 := mate[1][y]
		return known && of != y || known2 && back != x
	}
	for i, j := range p.each() {
		if a, b := &al.a.el[i], &al.b.el[j]; a.key != b.key || !mayBeOne(a.name, b.name) || strange(i, j) {
			parted = append(parted, [2]int32{int32(i), int32(j)})
			p.toB[i], p.toA[j] = -1, -1
		}
	}
	return parted
}

func (p *pairing) restore(parted [][2]int32) {
	for _, x := range parted {
		if p.toB[x[0]] < 0 && p.toA[x[1]] < 0 {
			p.toB[x[0]], p.toA[x[1]] = x[1], x[0]
		}
	}
}

// strays pairs what is left, nearest first within each kind of signal.
func (al *aligner) strays(p *pairing) {
	al.mates(p, answered)
	crossed := al.unlike(p)
	al.mates(p, ready)
	left := map[uint32][]int32{}
	for j, i := range p.toA {
		if i < 0 {
			for _, k := range [...]uint32{al.b.el[j].key, anyBeats(al.b.el[j].key)} {
				left[k] = append(left[k], int32(j))
			}
		}
	}
	if len(left) == 0 {
		return
	}
	al.reach = strayUnnamed
	if al.a.sorted() || al.b.sorted() {
		al.reach = straySorted
	}
	at := func(j int32) block.Time { return al.inFirst(int(j)) }
	for _, js := range left {
		slices.SortFunc(js, func(x, y int32) int { return int(at(x) - at(y)) })
	}
	for _, how := range [...]strayness{sameMinute, otherTime, otherName, otherBeats} {
		if how != sameMinute {
			p.restore(crossed)
		}
		for i := range p.toB {
			if p.toB[i] >= 0 {
				continue
			}
			e := &al.a.el[i]
			js := left[e.key]
			if how == otherBeats {
				js = left[anyBeats(e.key)]
			}
			reach := strayNamed + block.Time(al.tol)
			js = between(js, e.at-reach, e.at+reach, func(j *int32) block.Time { return at(*j) })
			best, least := int32(-1), math.Inf(1)
			for _, j := range js[:min(len(js), strayMost)] {
				if late := math.Abs(al.late(i, int(j))); p.toA[j] < 0 && late < least && al.stray(e, &al.b.el[j], late, how) {
					best, least = j, late
				}
			}
			if best >= 0 {
				p.toB[i], p.toA[best] = best, int32(i)
			}
		}
	}
	al.inPlace(p)
}

// inPlace pairs what is left alone at one place of both books, just after signals that are
// one: of a time written much too late the place still tells.
func (al *aligner) inPlace(p *pairing) {
	for i := 1; i < len(p.toB); i++ {
		if p.toB[i] >= 0 || p.toB[i-1] < 0 {
			continue
		}
		j := int(p.toB[i-1]) + 1
		if j >= len(p.toA) || p.toA[j] >= 0 {
			continue
		}
		a, b := &al.a.el[i], &al.b.el[j]
		if a.key == b.key && oneTopic(a, b) && mayBeOne(a.name, b.name) && math.Abs(al.late(i, j)) <= strayNamed {
			p.toB[i], p.toA[j] = int32(j), int32(i)
		}
	}
}

// stray says whether two signals left alone may be one.
func (al *aligner) stray(a, b *element, late float64, how strayness) bool {
	named := a.name != unnamed && b.name != unnamed
	switch {
	case how == otherBeats:
		return named && a.name == b.name && late <= al.tol
	case named && a.name != b.name:
		return how == otherName && late <= al.tol
	case late <= al.tol:
		return true
	case how != otherTime || !oneTopic(a, b):
		return false
	case named:
		return late <= strayNamed
	}
	return late <= al.tol+al.reach
}
