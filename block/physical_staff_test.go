package block_test

import (
	"fairhand/block/rulebook"
)

// The one staff of a section under staff and ticket or one-train working: at a
// box or with a train; and tickets, which only a signaller who has the staff
// may issue (General Rules (India) 12.01, 12.08).

// staffed says whether the method has a staff.
func (p *plant) staffed() bool {
	return p.method.Is().Carries == rulebook.CarriesStaff
}

// authority says whether train t, at box x, has what its driver must carry.
func (g *moving) authority(x, t int) bool {
	switch {
	case g.p.method.Is().Carries == rulebook.CarriesToken:
		return g.w.inHand(x) >= 0
	case g.p.staffed():
		return g.w.staff == int8(4+t) || g.w.ticket[t]
	}
	return true
}

// staffFor says whether a train may be accepted to leave box x as the staff stands.
func (g *moving) staffFor(x int) bool {
	return !g.p.staffed() || g.w.staff == int8(x)
}

func (g *moving) staffs(t int) {
	w, k, n := g.w, &g.w.work, trainNames[t]
	s := w.at[t]
	if s > point1 {
		return
	}
	x := int(s) % 2
	due := k.stage == clear && int(k.train) == t && int(k.from) == x && w.quiet() ||
		!g.p.method.Is().Offers && k.stage == idle && x == 0 && w.quiet()
	if w.staff == int8(x) && w.written[t] {
		g.do("staff to "+n, due && !w.ticket[t], func(m *move, w *world, k *working) {
			m.note(x, far(x)+" staff to train "+n)
			w.staff = int8(4 + t)
			if !g.p.method.Is().Offers {
				*k = working{stage: clear, train: int8(t)}
			}
		})
	}
	if w.staff == int8(4+t) {
		ok := w.written[t] && (k.stage == clear || k.arrived && int(k.train) == t && k.proved)
		g.do("staff from "+n, ok, func(m *move, w *world, k *working) {
			m.note(x, far(x)+" staff from train "+n)
			w.staff = int8(x)
			if !g.p.method.Is().Offers {
				*k = working{}
			}
		})
	}
	if !g.p.method.Is().Tickets {
		return
	}
	number := string(rune('7' + t))
	if !w.ticket[t] {
		g.do("ticket to "+n, due && w.staff == int8(x), func(m *move, w *world, k *working) {
			m.note(x, far(x)+" ticket "+number+" to train "+n)
			w.ticket[t] = true
		})
		return
	}
	g.do("ticket from "+n, w.written[t] && (k.stage == clear || k.arrived && int(k.train) == t), func(m *move, w *world, k *working) {
		m.note(x, far(x)+" ticket "+number+" from train "+n)
		w.ticket[t] = false
	})
}

// staffBack says whether nothing of train t's authority is still with it.
func (g *moving) staffBack(t int8) bool {
	return !g.p.staffed() || g.w.staff != 4+t && !g.w.ticket[t]
}
