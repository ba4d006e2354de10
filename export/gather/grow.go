package gather

import (
	"cmp"
	"errors"
	"math"

	"fairhand/block"
	"fairhand/register/audit"
	"fairhand/register/calendar"
)

// A register only grows, so its earlier years come out as they did. Of a box that was
// gathered before, the whole register is proved and replayed again, which costs little,
// but rows are made only of the years that what was written since may touch. Should a row
// of an earlier year come out after all once something of it has been read (a correction
// of an old entry, an entry of last year written late), the whole register is taken.

// growing is how a gathering goes on from the one before; zero to take the whole.
type growing struct {
	year  int   // rows of earlier years stay as they are
	after int64 // entries up to this one are proved and replayed, and no more
	head  int64 // last entry that was gathered before

	fresh  bool  // something was read that was not gathered before
	ended  int   // the earliest year of a row that came after the last entry read
	signed int64 // the last signature read
	days   []dayFrom
}

// dayFrom is the first entry of a day.
type dayFrom struct {
	day   calendar.Day
	entry int64
}

// settleDays is how many days of a register may come out otherwise for what is written
// after them, whatever waited in them: a slip is settled, a line cleared, within hours.
const settleDays = 40

// errEarlier is met when a row of an earlier year may have come out otherwise.
var errEarlier = errors.New("a row of an earlier year")

// grows says from where a register is read again that goes on from m.
func (m *Manifest) grows(out string, s *source) (g growing) {
	if m == nil || s.tail.Seq <= m.Head.Entry || !m.fits(out, s) {
		return g
	}
	for _, y := range m.Years {
		if y.Year == m.OpenYear && y.Entry > 1 {
			return growing{year: y.Year, after: y.Entry - 1, head: m.Head.Entry}
		}
	}
	return g
}

// begin takes over what was found of the entries that are not read again.
func (b *gathering) begin(before *Manifest, g growing) {
	if b.grow = g; g.after == 0 {
		return
	}
	b.m.FirstDay, b.m.Examined, b.m.ExaminedTo, b.m.ExaminedBy = before.FirstDay, before.Examined, before.ExaminedTo, before.ExaminedBy
	for _, d := range before.Descriptions {
		if d.Entry <= g.after {
			b.m.Descriptions = append(b.m.Descriptions, d)
		}
	}
	for _, y := range before.Years {
		if y.Year <= g.year {
			b.m.Years = append(b.m.Years, y)
		}
	}
}

// reads looks at an entry before its row is made.
func (g *growing) reads(b *gathering, w *audit.Worked) {
	e := w.Entry
	g.ended = math.MaxInt
	if g.after > 0 && !g.fresh {
		g.fresh = e.Seq > g.head || e.CorrectedBy > g.head
		for _, r := range e.Remarks {
			g.fresh = g.fresh || r.Seq > g.head
		}
	}
	earlier := e.Seq > g.head && e.Event.Target > 0 && e.Event.Target <= g.after || g.fresh && e.Row.Day.Year() < g.year
	if e.Event.Kind == block.Sign {
		earlier = earlier || g.after > 0 && g.signed == 0 && e.Day.Year() >= g.year // it covers the days from the first
	}
	if earlier {
		b.err = cmp.Or(b.err, errEarlier)
	}
	if n := len(g.days); n == 0 || e.Day > g.days[n-1].day {
		g.days = append(g.days, dayFrom{e.Day, e.Seq})
	}
	if n := len(b.m.Years); n == 0 || e.Day.Year() > b.m.Years[n-1].Year {
		b.m.Years = append(b.m.Years, YearFrom{e.Day.Year(), g.reach(b, w)})
	}
	if e.Event.Kind == block.Sign { // from the next entry on
		g.signed = e.Seq
	}
}

// reach is the first entry of all that is under way at an entry, and of the days before it.
func (g *growing) reach(b *gathering, w *audit.Worked) int64 {
	from := min(w.Turn, w.Entry.Seq)
	for _, a := range b.opened {
		from = min(from, a.entry)
	}
	for _, d := range w.State.OnDuty {
		from = min(from, d.Seq)
	}
	if g.signed > 0 {
		from = min(from, g.signed) // the next signature covers the days from it
	}
	for _, d := range g.days {
		if d.day >= w.Entry.Day.Add(-settleDays) {
			from = min(from, d.entry)
		}
	}
	return from
}

// takes says whether a row of a year is kept.
func (g *growing) takes(year int) (bool, error) {
	g.ended = min(g.ended, year)
	if year >= g.year {
		return true, nil
	}
	if g.fresh {
		return false, errEarlier
	}
	return false, nil
}

// open is the first year whose rows may come out otherwise when more is written after
// the last day.
func (g *growing) open(last string) int {
	day, _ := calendar.Parse(last)
	return min(g.ended, day.Add(-settleDays).Year())
}
