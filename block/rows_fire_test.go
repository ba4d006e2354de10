package block_test

import (
	"math/rand/v2"
	"testing"

	"fairhand/block"
)

// TestRowsFire looks for rows that no event can bring about: moves of the model
// and bells and token entries at random, right and wrong, are put to both boxes
// under every rule set that covers the method, and every row must have judged
// at least one of them. The seed is fixed, so the test says the same each time.
func TestRowsFire(t *testing.T) {
	for _, m := range []block.Method{block.Absolute, block.Token, block.StaffAndTicket, block.OneTrain, block.Tokenless} {
		t.Run(m.String(), func(t *testing.T) {
			fired, stop := block.WatchRows(m)
			defer stop()
			events := 0
			for _, rules := range block.RuleSetNames() {
				if !block.RuleSetNamed(rules).Covers(m) {
					continue
				}
				p := newPlant(t, m, rules, rules != "british-early")
				for seed := range uint64(160) {
					events += wander(t, p, rand.New(rand.NewPCG(seed, uint64(m))))
				}
			}
			unused := 0
			for i, n := range fired {
				if n > 0 {
					continue
				}
				unused++
				if why := neverFires[m.String()+" "+block.RowName(m, i)]; why != "" {
					t.Logf("open point %s: row %s never fires", why, block.RowName(m, i))
					continue
				}
				t.Errorf("row %d never fires: %s", i, block.RowName(m, i))
			}
			t.Logf("%d events, %d of %d rows fired", events, len(fired)-unused, len(fired))
		})
	}
}

// neverFires are the rows known not to fire, with the wish that tells of them.
var neverFires = map[string]string{}

// wander puts one random history to both books.
func wander(t *testing.T, p *plant, r *rand.Rand) (events int) {
	sc := p.open(t)
	book := p.box[0].CodeBook(0)
	for range 60 {
		if r.IntN(3) > 0 {
			if all := p.moves(&sc.world); len(all) > 0 {
				m := all[r.IntN(len(all))]
				sc.world = m.next
				for x := range 2 {
					for _, line := range m.book[x] {
						write(t, p, &sc.book[x], x, line, clock)
						events++
					}
				}
				continue
			}
		}
		x := r.IntN(2)
		e := block.Event{At: clock, Seq: sc.book[x].LastSeq + 1, Section: far(x), Kind: block.Bells}
		sent := r.IntN(2) == 0
		code := book[r.IntN(len(book))].Code
		e.Bells = []block.Bell{{Sent: sent, Code: "1"}, {Sent: !sent, Code: "1"}, {Sent: sent, Code: code}, {Sent: !sent, Code: code}}
		e.Bells = e.Bells[2*r.IntN(2) : 3+r.IntN(2)]
		switch r.IntN(8) {
		case 0:
			e.Kind, e.Number, e.Far, e.Bells = block.TokenOut, 1+r.IntN(3), r.IntN(3) == 0, nil
		case 1:
			e.Kind, e.Number, e.Far, e.Bells = block.TokenIn, 1+r.IntN(3), r.IntN(3) == 0, nil
		case 2:
			e.Kind, e.Train, e.Bells = block.TrainDeparted, trainNames[r.IntN(3)], nil
		case 3:
			e.Train = trainNames[r.IntN(3)]
		}
		sc.book[x], _ = block.Apply(p.box[x], sc.book[x], &e)
		events++
	}
	return events
}
