package block_test

import (
	"slices"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// page is a book as far as it has been written, one for all histories that lead to states of
// one key. Many scenes share it: what was done, and what the other box wrote, differ.
type page struct {
	block.State
	stands [2]string // a danger that stands, of those that are not in notShown, and of all
}

// wrote is what comes of writing an entry.
type wrote struct {
	page            *page  // nil after a danger with which the search ends
	danger, lasting bool   // found, and such that no later entry may answer it
	said            string // what was found last
}

// shelf has the pages that a search comes to. An entry is judged once on each, in whatever
// scene it is written: the same state and the same entry give the same (TestReplayIsStepByStep).
type shelf struct {
	t       testing.TB
	p       *plant
	keys    *keyer
	pages   [2]map[uint64]*page
	written map[onPage]wrote
	beyond  bool // what comes after a danger is looked at as well
}

type onPage struct {
	page *page
	line string
}

func newShelf(t testing.TB, p *plant, beyond bool) *shelf {
	return &shelf{t: t, p: p, beyond: beyond, keys: newKeyer(), pages: [2]map[uint64]*page{{}, {}}, written: map[onPage]wrote{}}
}

// of is the page of a state of box x.
func (s *shelf) of(x int, st *block.State) *page {
	k := s.keys.book(st)
	p := s.pages[x][k]
	if p == nil {
		p = &page{State: *st}
		for i := range p.stands {
			if n := slices.IndexFunc(p.Open, func(f block.Finding) bool {
				return f.Severity == rulebook.Danger && (i == 1 || notShown[f.Rule] == "")
			}); n >= 0 {
				p.stands[i] = string(p.Open[n].Rule)
			}
		}
		s.pages[x][k] = p
	}
	return p
}

// write puts an entry into the book of box x.
func (s *shelf) write(from *page, x int, line string) wrote {
	if w, ok := s.written[onPage{from, line}]; ok {
		return w
	}
	var w wrote
	st := from.State
	for _, f := range write(s.t, s.p, &st, x, line, clock) {
		danger := f.Severity == rulebook.Danger
		w.danger, w.lasting = w.danger || danger, w.lasting || danger && !st.MayAnswer(&f)
		w.said = f.Severity.String() + " " + string(f.Rule)
	}
	if s.beyond || !w.danger {
		w.page = s.of(x, &st)
	}
	s.written[onPage{from, line}] = w
	return w
}
