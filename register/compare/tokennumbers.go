package compare

import (
	"fmt"

	"fairhand/block/rulebook"
)

// numberedLeast is how many tokens must have come under another number than they left
// for the books to be said to number them in two ways: more than all others together, so
// that one misread now and then is none (common practice).
const numberedLeast = 5

// numberedBy is by how much the second book numbers tokens higher than the first, as one
// that writes 101 for 1 does; 0 where it does not.
func numberedBy(all []*journey) (most int) {
	apart, n := map[int]int{}, 0
	var out [2]*move // drawn last, in each book
	for _, t := range all {
		m, of := t.moves[t.own()], &out[1-t.own()]
		switch {
		case t.what == drawn:
			for k, x := range t.moves {
				if x != nil {
					out[k] = x
				}
			}
		case t.what == restored && m != nil && *of != nil:
			by := m.number - (*of).number
			if t.own() == 0 {
				by = -by
			}
			if n, apart[by] = n+1, apart[by]+1; apart[by] > apart[most] {
				most = by
			}
			*of = nil
		}
	}
	if apart[most] < numberedLeast || 2*apart[most] <= n {
		return 0
	}
	return most
}

// renumbered tells of tokens that the second book numbers in another way, and takes them
// by the numbers of the first.
func (p *Pair) renumbered(all []*journey, second *side, by int) {
	var f *Finding
	for _, t := range all {
		if a, b := t.moves[0], t.moves[1]; a != nil && f == nil {
			x := p.about(0, a.noted)
			if f = &x; b != nil {
				f.rests(1, b.noted)
			}
		}
	}
	for i := range second.moves {
		second.moves[i].number -= by
	}
	p.add(rulebook.TokenNumberDiffers, *f, fmt.Sprintf("the books number the tokens in two ways: token %d of %s is token %d of %s; they are told here by the numbers of %s",
		max(1, 1-by), p.First.Box.Name, max(1+by, 1), p.Second.Box.Name, p.First.Box.Name), "one number for a token in both books")
}
