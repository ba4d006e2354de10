package compare

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
)

// Names of trains. Of a signal that both books have, each names the train, or
// leaves it out; what is left out is no difference. A train under another name in
// each book is told once, with both names, however many entries it has.
const (
	// nameSpan is how far apart two signals under the same two names may be and
	// still be of one train: names come again the next day (common practice).
	nameSpan = 6 * 60 * block.Minute
	// namesApart is the number of trains, at least, of which more than half must
	// be named differently before the books are said to name trains in two ways.
	namesApart = 10
)

// rename is an entry that gives a train another name.
type rename struct {
	noted
	from, to string
}

// misnamed is one train under two names.
type misnamed struct {
	first, second string // its name in each book
	signals       [][2]int
	at            block.Time
}

// names reports the trains that the books name differently.
func (p *Pair) names() {
	all, same := p.misnamed()
	p.alias = map[string][]string{}
	also := func(a, b string) {
		if !slices.Contains(p.alias[a], b) {
			p.alias[a], p.alias[b] = append(p.alias[a], b), append(p.alias[b], a)
		}
	}
	for _, m := range all {
		also(m.first, m.second)
	}
	for _, b := range p.books() {
		for _, r := range b.renames {
			also(r.from, r.to)
		}
	}
	for _, s := range p.outOf {
		for _, m := range s.trains {
			also(m.first, m.second)
		}
		p.tellOutOfStep(s)
	}
	if p.otherwise(all, same) {
		p.twoWays = true
		p.namedOtherwise(all, same)
		return
	}
	other := exchanged(all)
	for i, m := range all {
		k, changed := other[i]
		if changed && k < i {
			continue // told with the one that it changed names with
		}
		f := p.both(m.signals)
		f.Train = m.first
		a, b := f.Entries[0], f.Entries[1]
		text := fmt.Sprintf("%s has the train as %s (%s, %s), %s as %s (%s, %s)", p.First.Box.Name, m.first, p.First.entry(a.Seq), p.First.clock(a.At),
			p.Second.Box.Name, m.second, p.Second.entry(b.Seq), p.Second.clock(b.At))
		switch r := p.renamed(&m); {
		case changed:
			o := p.both(all[k].signals)
			f.with(&o)
			text += fmt.Sprintf(", and %s the other way about (%s): the two names are exchanged in one of the books", m.second, p.First.entry(o.Entries[0].Seq))
		case r != "":
			text += "; " + r
		case strings.Contains(m.first, m.second) || strings.Contains(m.second, m.first):
			text += ": one of the names is cut short"
		}
		p.add(rulebook.NameDiffers, f, text, "one name for a train in both books")
	}
}

// exchanged gives, of each two trains that have each other's name in one of the books, by the
// place of either that of the other.
func exchanged(all []misnamed) map[int]int {
	alone, of := map[[2]string][]int{}, map[int]int{}
	for i := range all {
		m := &all[i]
		back := [2]string{m.second, m.first}
		if k := slices.IndexFunc(alone[back], func(k int) bool { return dist(all[k].at, m.at) <= nameSpan }); k >= 0 {
			of[i], of[alone[back][k]] = alone[back][k], i
			alone[back] = slices.Delete(alone[back], k, k+1)
			continue
		}
		alone[[2]string{m.first, m.second}] = append(alone[[2]string{m.first, m.second}], i)
	}
	return of
}

// misnamed gathers the trains that both books name, and differently, and counts
// those that they name alike.
func (p *Pair) misnamed() (all []misnamed, same int) {
	last := map[string]int{} // place in all of the last train under two names
	alike := map[string]bool{}
	for i, j := range p.pair.each() {
		a, b := p.a.el[i].name.Value(), p.b.el[j].name.Value()
		if a == "" || b == "" || partOf(p.a.el[i].key) < signal || shared(p.a.el[i].key) != shared(p.b.el[j].key) {
			continue
		}
		if a == b {
			alike[a] = true
			continue
		}
		at := p.a.el[i].at
		if p.sameByBoth(a, b, at) {
			continue
		}
		key := a + "\x00" + b
		k, ok := last[key]
		if !ok || dist(all[k].at, at) > nameSpan {
			k = len(all)
			last[key], all = k, append(all, misnamed{first: a, second: b})
		}
		all[k].at = at
		all[k].signals = append(all[k].signals, [2]int{i, j})
	}
	return all, len(alike)
}

// sameByBoth says whether both books say that the one name became the other.
func (p *Pair) sameByBoth(a, b string, at block.Time) bool {
	return p.First.becomes(a, b, at) != nil && p.Second.becomes(a, b, at) != nil
}

// becomes finds the entry by which a train of one name had the other from then on.
func (b *Book) becomes(x, y string, at block.Time) *rename {
	return each.First(b.renames, func(r *rename) bool {
		return (r.from == x && r.to == y || r.from == y && r.to == x) && dist(r.at, at) <= nameSpan
	})
}

// renamed tells that one of the books, and not the other, gives the train its
// other name.
func (p *Pair) renamed(m *misnamed) string {
	for k, b := range p.books() {
		if r := b.becomes(m.first, m.second, m.at); r != nil {
			return fmt.Sprintf("%s has it renamed at %s, %s has not", b.Box.Name, b.said(r.noted), p.books()[1-k].Box.Name)
		}
	}
	return ""
}

// otherwise says whether the books name most trains in two ways.
func (p *Pair) otherwise(all []misnamed, same int) bool {
	return len(all) >= namesApart && len(all) > same
}

// namedOtherwise reports books that name most trains in two ways, such as one by
// its number and one by its time.
func (p *Pair) namedOtherwise(all []misnamed, same int) {
	f := p.both(all[0].signals)
	for _, m := range all {
		o := p.both(m.signals[:1])
		f.with(&o)
	}
	p.add(rulebook.NameDiffers, f, fmt.Sprintf("the books name trains in two ways: %d trains differently, such as %s in the book of %s and %s in that of %s, and %d alike",
		len(all), all[0].first, p.First.Box.Name, all[0].second, p.Second.Box.Name, same), "one name for a train in both books")
}

// with has a finding rest on what another does as well.
func (f *Finding) with(o *Finding) {
	for k := range f.Rests {
		f.Rests[k] = append(f.Rests[k], o.Rests[k]...)
	}
}
