package tui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register/each"
	"fairhand/register/measure"
)

// diagram draws the line from the box description in at most limit rows: the
// neighbours of the down direction on the left, of the up direction on the
// right, the places of the station between, and every train by its name where
// it is.
func diagram(m *model, t *theme, w, limit int) []row {
	left, right := sides(m)
	mid := middle(m, t, limit)
	cw := measure.Width(m.box.Name) + 2
	for _, c := range mid {
		cw = max(cw, measure.Width(c)+2)
	}
	cw = min(cw, w*2/5)
	lw := (w - cw - 2) / 2
	rw := w - cw - 2 - lw
	l := sideLines(m, t, left, lw, false)
	r := sideLines(m, t, right, rw, true)
	l, r = foldedSide(l, lw, limit), foldedSide(r, rw, limit)
	n := min(limit, max(len(l), len(r), len(mid)))
	var out []row
	for i := range n {
		left, leftJoin := cell(l, i, lw, t.wall, t.joinLeft)
		right, rightJoin := cell(r, i, rw, t.wall, t.joinRight)
		c := ""
		if i < len(mid) {
			c = mid[i]
		}
		k := strong
		if i > 0 && strings.HasSuffix(c, t.none) || c == "" {
			k = dim
		}
		d := left.add(plain, leftJoin).add(k, " "+pad(c, cw-1)).add(plain, rightJoin)
		out = append(out, append(d, right...))
	}
	return out
}

// foldedSide is a side in at most limit rows, the last of which says how many lines
// are not drawn: the words below have them all.
func foldedSide(side []sideRow, w, limit int) []sideRow {
	if len(side) <= limit || limit < 1 {
		return side
	}
	lines := 0
	for _, s := range side[limit-1:] {
		if s.track {
			lines++
		}
	}
	more := line(dim, pad(fmt.Sprintf(" and %d more below", lines), w))
	return append(slices.Clip(side[:limit-1]), sideRow{row: more})
}

func cell(side []sideRow, i, w int, wall, join string) (row, string) {
	switch {
	case i >= len(side):
		return line(plain, strings.Repeat(" ", w)), wall
	case side[i].track:
		wall = join
	}
	return slices.Clip(side[i].row), wall
}

// sides sorts the sections to the two sides of the diagram. One whose box file
// says neither up nor down goes to the emptier side.
func sides(m *model) (left, right []int) {
	for i := range m.box.Sections {
		switch m.box.Sections[i].Towards {
		case "down":
			left = append(left, i)
		case "up":
			right = append(right, i)
		default:
			if len(left) <= len(right) {
				left = append(left, i)
			} else {
				right = append(right, i)
			}
		}
	}
	return left, right
}

// drawnIn is how many rows the diagram takes to show every line.
func (m *model) drawnIn() (rows int) {
	left, right := sides(m)
	for _, side := range [][]int{left, right} {
		n := 0
		for _, i := range side {
			n += 1 + len(m.box.Sections[i].Lines)
		}
		rows = max(rows, n)
	}
	return rows
}

// sideRow is a row of one side; track says that a line joins the box there.
type sideRow struct {
	row   row
	track bool
}

// sideLines are the rows of one side: each neighbour's name, then its lines.
func sideLines(m *model, t *theme, sections []int, w int, right bool) []sideRow {
	var out []sideRow
	_, labelW := columns(m)
	for _, s := range sections {
		name := strings.ToUpper(m.box.Sections[s].Neighbour)
		if right {
			name = strings.Repeat(" ", max(0, w-1-measure.Width(name))) + name
		} else {
			name = " " + name
		}
		out = append(out, sideRow{row: line(strong, pad(name, w))})
		for _, l := range m.box.Lines() {
			if l.Section != s {
				continue
			}
			track := trackSpans(m, t, l.Index, w-labelW-2, right)
			if right {
				gap := strings.Repeat(" ", max(0, labelW-measure.Width(l.Line.Name)))
				out = append(out, sideRow{append(track, txt(dim, " "+gap+measure.Clip(l.Line.Name, labelW)+" ")), true})
			} else {
				out = append(out, sideRow{append(line(dim, " "+pad(l.Line.Name, labelW)+" "), track...), true})
			}
		}
	}
	return out
}

// trackSpans draws one line w cells long: by its state, with its trains.
func trackSpans(m *model, t *theme, index, w int, right bool) row {
	ls := m.state.Lines[index]
	fill := t.taken
	if ls.Phase == block.Normal {
		fill = t.normal
	}
	k := dim
	switch ls.Phase {
	case block.Offered:
		fill, k = t.offered, plain
	case block.Accepted, block.RestrictedLC:
		fill, k = t.given, plain
	case block.Obstructed, block.BlockedInside, block.BlockedOutside:
		fill, k = t.barred, peril
	case block.InSection:
		k = plain
	}
	if l := m.box.Lines()[index]; m.state.Shut(m.box, l) || len(m.state.Blockages) > 0 && blockaded(m, l) {
		fill, k = t.barred, peril
	}
	names := row{}
	for _, tr := range m.state.On(index) {
		going := tr.Out.Line == index && tr.Out.Entered != 0 && !tr.Returned
		names = names.add(strong, arrowed(t, tr.Label(m.box), going == right))
		names = names.add(k, fill)
	}
	if tr := m.state.Train(ls.Train); tr != nil && len(names) == 0 && ls.Phase != block.Normal {
		names = names.add(plain, "("+arrowed(t, tr.Label(m.box), (ls.Dir == block.Outward) == right)+")").add(k, fill)
	}
	if edge := min(2, w/4); names.width() > w { // how the line stands is seen on both sides of a name that is cut
		names = names.fit(w-2*edge, t.more)
	}
	free := w - names.width()
	before := free / 2
	r := line(k, strings.Repeat(fill, before))
	r = append(r, names...)
	return r.add(k, strings.Repeat(fill, free-before))
}

// arrowed is a train's name with the arrow of its direction on the screen.
func arrowed(t *theme, name string, toRight bool) string {
	if toRight {
		return name + t.toRight
	}
	return t.toLeft + name
}

func blockaded(m *model, l block.BoxLine) bool {
	return slices.ContainsFunc(m.state.Blockages, func(b block.LineBlockage) bool { return b.Over(l.Line.Name, l.Section) })
}

// standing is a row of the middle of the diagram: a place, and who stands there.
type standing struct{ where, who string }

// middle is the box and its places with the trains that stand there. When there
// are more than fit, places with a train come first, and the last row says how
// many are left out, with their trains.
func middle(m *model, t *theme, limit int) []string {
	all := standings(m)
	nameW := 0
	for _, p := range m.box.Places {
		nameW = max(nameW, min(18, measure.Width(p.Name)))
	}
	shown, hidden := chosenStandings(all, limit-1)
	out := []string{strings.ToUpper(m.box.Name)}
	for _, s := range shown {
		who := cmp.Or(s.who, t.none)
		if m.box.PlaceNamed(s.where) == nil {
			out = append(out, strings.TrimPrefix(s.where+"  "+who, "  "))
			continue
		}
		out = append(out, pad(s.where, nameW)+"  "+who)
	}
	if len(hidden) == 0 {
		return out
	}
	trains := each.Joined(hidden, " ", func(s standing) string { return s.who })
	if trains == "" {
		return append(out, fmt.Sprintf("and %d more, empty", len(hidden)))
	}
	return append(out, fmt.Sprintf("and %d more: %s", len(hidden), trains))
}

// standings are the trains at places the box file does not have, then all places
// in its order.
func standings(m *model) []standing {
	at := map[string][]string{}
	var out []standing
	for _, tr := range m.state.Trains {
		switch {
		case tr.Where != block.Here && tr.Where != block.PassedHere:
		case m.box.PlaceNamed(tr.Place) == nil:
			out = append(out, standing{tr.Place, tr.Label(m.box)})
		default:
			at[tr.Place] = append(at[tr.Place], tr.Label(m.box))
		}
	}
	for _, p := range m.box.Places {
		out = append(out, standing{p.Name, strings.Join(at[p.Name], " ")})
	}
	return out
}

// chosenStandings are those for which there is room, in their order. When not all
// fit, one row is kept free to say so, and an empty place gives way to a train.
func chosenStandings(all []standing, room int) (shown, hidden []standing) {
	if len(all) <= room {
		return all, nil
	}
	trains := 0 // still to come
	for _, s := range all {
		if s.who != "" {
			trains++
		}
	}
	for room--; len(all) > 0; all = all[1:] {
		s := all[0]
		if s.who != "" {
			trains--
		}
		if room > 0 && (s.who != "" || trains < room) {
			shown = append(shown, s)
			room--
		} else {
			hidden = append(hidden, s)
		}
	}
	return shown, hidden
}
