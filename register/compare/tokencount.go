package compare

import (
	"fmt"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// countReach is how far apart two counts may be to be added up.
const countReach = 2 * 60 * block.Minute

// counts adds up counts of the two instruments, with what was drawn and put in
// between them and what was out: they should make the charge. A difference that
// stays the same is reported once.
func (p *Pair) counts(sides [2]*side, all []*journey, charge int) {
	if charge == 0 {
		return
	}
	before := charge
	for i := range sides[0].counts {
		a := &sides[0].counts[i]
		b := p.nearestCount(sides[1].counts, a.at)
		if b == nil {
			continue
		}
		if sum, out, ok := p.addUp(a, b, all); ok {
			if sum != charge && sum != before {
				p.counted(a, b, fmt.Sprintf("%d counted at %s at %s and %d at %s at %s with %d out make %d of the charge of %d",
					a.here, p.First.Box.Name, p.First.said(a.noted), b.here, p.Second.Box.Name, p.Second.said(b.noted), out, sum, charge))
			}
			before = sum
		}
		if dist(p.diff.firstOf(b.noted), a.at) <= waitAnswer && (a.there >= 0 && a.there != b.here || b.there >= 0 && b.there != a.here) {
			p.counted(a, b, fmt.Sprintf("%s counted %d and was told %s (%s); %s counted %d and was told %s (%s)",
				p.First.Box.Name, a.here, toldWords(a.there), p.First.entry(a.seq), p.Second.Box.Name, b.here, toldWords(b.there), p.Second.entry(b.seq)))
		}
	}
}

func toldWords(n int) string {
	if n < 0 {
		return "nothing"
	}
	return fmt.Sprint(n)
}

func (p *Pair) counted(a, b *count, text string) {
	p.add(rulebook.TokenCountDiffers, p.aboutBoth(a.noted, b.noted), text, "both counts, what is out and what is in custody making up the charge")
}

// nearestCount finds the count nearest to a moment of the first clock.
func (p *Pair) nearestCount(counts []count, at block.Time) *count {
	var best *count
	least := countReach
	for i := range counts {
		if d := dist(p.diff.firstOf(counts[i].noted), at); d <= least {
			best, least = &counts[i], d
		}
	}
	return best
}

// addUp brings both counts to the moment of the first and adds what is out or in
// custody then. It cannot tell when a technician was at work in between.
func (p *Pair) addUp(a, b *count, all []*journey) (sum, out int, ok bool) {
	there, then := b.here, p.diff.firstOf(b.noted)
	last := map[int]handling{}
	for _, t := range all {
		if t.at <= a.at {
			last[t.number] = t.what
		}
		if t.at <= min(then, a.at) || t.at > max(then, a.at) {
			continue
		}
		if t.what == placed || t.what == away {
			return 0, 0, false
		}
		if t.first {
			continue
		}
		if (t.what == drawn) == (then <= a.at) {
			there--
		} else {
			there++
		}
	}
	for _, what := range last {
		if what == drawn || what == away {
			out++
		}
	}
	return a.here + there + out, out, true
}
