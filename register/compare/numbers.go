package compare

import (
	"fmt"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// numbers are what an entry of a signal has beside it: the number of the inquiry on
// paper, and the private number. One box gives each and the other writes it down
// (Block Working Manual, annexure on paper line clear, 1.2).
type numbers struct {
	inquiry int
	pn      string
}

// numbered keeps the numbers of an entry; few books have any.
func (s *side) numbered(ev *block.Event, entry int32) {
	if ev.Number == 0 && ev.PN == "" {
		return
	}
	if s.numbers == nil {
		s.numbers = map[int32]numbers{}
	}
	s.numbers[entry] = numbers{ev.Number, ev.PN}
}

// numbersDiffer reports numbers of one exchange that are not the same in both books.
func (p *Pair) numbersDiffer(pairs [][2]int) {
	for _, x := range pairs {
		a, b := p.a.side.numbers[p.a.bell(x[0]).entry], p.b.side.numbers[p.b.bell(x[1]).entry]
		id, what, first, second := rulebook.PrivateNumberDiffers, "the private number", a.pn, b.pn
		if first == second || first == "" || second == "" {
			if a.inquiry == b.inquiry || a.inquiry == 0 || b.inquiry == 0 {
				continue
			}
			id, what, first, second = rulebook.InquiryNumberDiffers, "the inquiry", fmt.Sprint(a.inquiry), fmt.Sprint(b.inquiry)
		}
		f := p.both([][2]int{x})
		p.add(id, f, fmt.Sprintf("%s has %s as %s (%s), %s as %s (%s)", p.First.Box.Name, what, first, p.First.entry(f.Entries[0].Seq), p.Second.Box.Name, second, p.Second.entry(f.Entries[1].Seq)),
			"the same number in both books: one box gives it, the other writes what it heard")
		return // one finding for an exchange
	}
}
