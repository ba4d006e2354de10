package block

import (
	"fairhand/block/rulebook"
)

// where tells which line of section i, in which direction, a signal concerns:
// the line named; else the line of the train named; else the first on which it
// is the regular next step; else the first.
func (st *step) where(i int, row *rulebook.CodeRow, bell Bell, a Act) (int, Dir) {
	dir := dirOf((row.From == rulebook.Advance) == bell.Sent)
	if row.From == rulebook.Either { // the sender does its act; with no act it concerns the trains that come to him
		dir = dirOf(bell.Sent != (a.By() == rulebook.Rear))
	}
	if a == ActDanger && st.e.Line == "" {
		if l := st.obstructedLately(i, bell); l >= 0 {
			return l, dir // it is given for the line the obstruction is booked on
		}
	}
	return st.lineFor(i, dir, a), dir
}

// obstructedLately is the line of section i for which obstruction danger, now given, is
// to be: one that it is owed for, or on which an obstruction was just booked; -1 for none.
func (st *step) obstructedLately(i int, bell Bell) int {
	owed := func(p *Pending) bool { return p.Rule == rulebook.ObstructionDangerNotSent && p.Section == i }
	if p := first(st.s.Pending, owed); bell.Sent && p != nil {
		return p.Line
	}
	return st.b.lineThat(i, func(l int) bool {
		return st.s.Lines[l].Phase != Obstructed && first(st.s.Obstructions, func(o *Obstruction) bool {
			return st.online(l).isOn(o) && st.e.At-o.At <= st.b.Limit(rulebook.LateAfter)
		}) != nil
	})
}

// waysOf tells the lines of each section on which trains may go in a direction. One that is
// shut may be meant in either; it never stands alone, for the other is in use.
func (b *Box) waysOf() [][2][]int {
	ways := make([][2][]int, len(b.Sections))
	for l, r := range b.lines {
		of, way := &ways[r.section], b.lineAt(l).Way
		if way != In {
			of[Outward] = append(of[Outward], l)
		}
		if way != Out {
			of[Inward] = append(of[Inward], l)
		}
	}
	return ways
}

// lineFor picks the line of section i for an act in a direction: where there is one, that.
func (st *step) lineFor(i int, dir Dir, a Act) int {
	if st.e.Line != "" {
		return st.b.lineNamed(i, st.e.Line)
	}
	ways := st.b.ways[i][dir]
	var t *Train
	if st.e.Train != "" && (len(ways) > 1 || a == ActOut) {
		t = st.s.TrainNamed(st.e.Train)
	}
	if t != nil && a == ActOut {
		if l := t.leg(dir); l.Section == i && t.shownIn(l.Line) {
			return l.Line // single line working may be over since
		}
	}
	if len(ways) == 1 {
		return ways[0]
	}
	first, regular, second := -1, -1, -1
	m := st.b.machine(i)
	for _, l := range ways {
		shut := st.b.lineAt(l).Way == Shut
		if first < 0 && !shut {
			first = l
		}
		if t != nil && t.leg(dir).Line == l && t.leg(dir).open() && (!shut || t.occupies(l) || t.accepted(l)) {
			return l
		}
		if shut && (a != ActUnblock || !st.s.Lines[l].Phase.Blocked()) {
			continue // meant only where it is named, the train still on it, or what blocks it gone
		}
		if regular < 0 && a < actCount {
			switch row := m.Row(st.s.Lines[l].Phase, false, a); {
			case row == nil || row.Rule != "":
			case a == ActEnter && st.s.Lines[l].Phase == InSection:
				if second < 0 {
					second = l // sent already, if no train waits on another line
				}
			default:
				regular = l
			}
		}
	}
	for _, l := range [...]int{regular, second, first} {
		if l >= 0 {
			return l
		}
	}
	return st.b.firstLine(i)
}
