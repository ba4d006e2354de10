package compare

import (
	"fmt"
	"math"

	"fairhand/block/rulebook"
	"fairhand/register/median"
)

// What a book does by habit is told once, and not of each signal: as how somebody books
// bells, or times.

// habitLeast is how many signals, and one in how many of all, must show a habit for it to
// be told as one (common practice).
const (
	habitLeast = 10
	habitShare = 20
)

// habitual says whether so many of all signals show a habit.
func habitual(n, all int) bool { return n >= habitLeast && n*habitShare >= all }

// asOne is a finding that stands for those of a list, and the last of these.
func (p *Pair) asOne(list []int) (f, last Finding) {
	f = p.Findings[list[0]]
	for _, i := range list[1:] {
		f.with(&p.Findings[i])
	}
	f.restsOnce()
	f.Train = ""
	return f, p.Findings[list[len(list)-1]]
}

// leftOut tells once of call attention and acknowledgements that a book leaves out by habit.
func (p *Pair) leftOut() {
	told := map[int]bool{}
	var all []Finding
	for k, list := range p.beside {
		signals := 0
		for i := range p.lines()[k].el {
			if partOf(p.lines()[k].el[i].key) == signal {
				signals++
			}
		}
		if !habitual(len(list), signals) {
			continue
		}
		for _, i := range list {
			told[i] = true
		}
		f, end := p.asOne(list)
		mine, other, last := p.books()[k], p.books()[1-k], end.Entries[k]
		f.Text = fmt.Sprintf("%s leaves out call attention or acknowledgements of %d of the %d signals that %s has, from %s to %s (%s), such as this: %s",
			other.Box.Name, len(list), signals, mine.Box.Name, mine.moment(f.Entries[k].At), mine.moment(last.At), mine.entry(last.Seq), f.Text)
		f.Expected = "every bell in both books, or booking: signals in the box file of " + other.Box.Name
		all = append(all, f)
	}
	p.drop(told)
	p.Findings = append(p.Findings, all...)
}

// scatterMost is how many times as far apart as half of all signals are those may be that
// are told as guessed minutes: one further off is a wrong time also there (common practice).
const scatterMost = 3

// scattered tells once of times that lie apart all over the books by somewhat more than the
// tolerance: minutes guessed, or filled in when the turn was over.
func (p *Pair) scattered() {
	var apart []float64
	for i, j := range p.telling(p.pair) {
		apart = append(apart, math.Abs(p.late(i, j)))
	}
	signals := len(apart)
	most := float64(p.Tolerance) + scatterMost*median.Of(apart)
	var list []int
	told, far := map[int]bool{}, 0.0
	for i := range p.Findings {
		if f := &p.Findings[i]; f.Rule == rulebook.TimeDiffers && math.Abs(f.late) <= most {
			told[i], list, far = true, append(list, i), max(far, math.Abs(f.late))
		}
	}
	if !habitual(len(list), signals) {
		return
	}
	f, last := p.asOne(list)
	f.Text = fmt.Sprintf("%d times lie more than %s and up to %s apart, after the difference of the clocks, beside %d signals that both books have, from %s to %s: minutes were guessed or rounded in one of the books; such as this: %s",
		len(list), span(float64(p.Tolerance)), p.apart(far), signals, p.First.moment(f.At), p.First.moment(last.At), f.Text)
	f.Expected = "times read off the clock at each signal"
	p.drop(told)
	p.Findings = append(p.Findings, f)
}
