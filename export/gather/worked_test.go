package gather

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"fairhand/register/compare"
)

// What the questions are compared with beside the audits: the comparison of neighbours,
// and the line as it was worked.

// clocks sums up what the comparison of neighbours says of their clocks, month by month.
func (l *line) clocks() (out []string) {
	for i := range l.w.books[1:] {
		first, second := i, i+1 // by name
		if nameOf(first) > nameOf(second) {
			first, second = second, first
		}
		box, other, p := nameOf(first), nameOf(second), compared(l.T, l.dirs[first], l.dirs[second])
		months := map[string][]compare.Clock{}
		for _, c := range p.Clocks {
			month := time.Unix(int64(c.From), 0).UTC().Format("2006-01") + "-01"
			months[month] = append(months[month], c)
		}
		for month, list := range months {
			var ahead []float64
			drift, matched, sum := 0.0, 0, 0.0
			for _, c := range list {
				ahead, drift, matched, sum = append(ahead, c.Middle()), drift+c.Drift, matched+c.Matched, sum+c.Middle()
			}
			n := float64(len(ahead))
			out = append(out, row("Long Line", box, other, month, len(ahead), matched,
				places(slices.Min(ahead), 1), places(sum/n, 1), places(slices.Max(ahead), 1), places(drift/n*24, 1)))
		}
	}
	return out
}

// occupation is what the audits say of the busiest hours of each line.
func (l *line) occupation() (out []string) {
	for _, r := range l.reports {
		for _, u := range r.Occupation.Lines {
			if u.PeakHour.Share > 0 {
				out = append(out, row(r.Railway, r.Box, u.Section, u.Line, places(u.PeakHour.Share, 4), places(u.BusiestHour.Share, 4)))
			}
		}
	}
	return out
}

// busiest are the busiest hours of each line among rows of all hours.
func busiest(t *testing.T, rows []string) (out []string) {
	most := map[string][2]float64{}
	for _, r := range rows {
		cells := strings.Split(r, "|")
		n := len(cells)
		share, err := strconv.ParseFloat(cells[n-2], 64)
		busy, err2 := strconv.ParseFloat(cells[n-1], 64)
		if err != nil || err2 != nil {
			t.Fatalf("no shares: %s", r)
		}
		key := strings.Join(cells[:n-3], "|")
		most[key] = [2]float64{max(share, most[key][0]), max(busy, most[key][1])}
	}
	for k, v := range most {
		out = append(out, row(k, v[0], v[1]))
	}
	return out
}

// seen is a train at a box, by the box's clock, as it was worked.
type seen struct {
	box, at int
	offered int
	first   bool // it began here
	last    bool // it ended here
}

// truly is when it was there, by no clock of theirs.
func (s seen) truly() int { return s.at - ahead(s.box, s.at-ahead(s.box, s.at)) }

// trains are the ways of all trains as they were worked.
func (l *line) trains() map[string][]seen {
	out := map[string][]seen{}
	for i, book := range l.w.books {
		offered := map[string]int{} // from when the row is
		for _, a := range book {
			var s seen
			var name string
			f := strings.Fields(a.text)
			if n := len(f); f[n-2] == "train" && offered[f[n-1]] == 0 {
				offered[f[n-1]] = a.at
			}
			if f[0] != "train" || len(f) < 3 {
				continue
			}
			switch name = f[1]; f[2] {
			case "passed":
				s = seen{box: i, at: a.at}
			case "departed":
				s = seen{box: i, at: a.at, first: true}
			case "arrived":
				s = seen{box: i, at: a.at, last: true}
			default:
				continue
			}
			s.offered = offered[name]
			out[name] = append(out[name], s)
		}
	}
	for _, way := range out {
		slices.SortFunc(way, func(a, b seen) int { return cmp.Compare(a.at, b.at) })
	}
	return out
}

func (l *line) running() (out []string) {
	times := map[[2]int][]float64{}
	for _, way := range l.trains() {
		for i, a := range way {
			for _, b := range way[i+1:] {
				times[[2]int{a.box, b.box}] = append(times[[2]int{a.box, b.box}], float64(b.truly()-a.truly()))
			}
		}
	}
	for k, list := range times {
		sum := 0.0
		for _, x := range list {
			sum += x
		}
		out = append(out, row("Long Line", nameOf(k[0]), nameOf(k[1]), "passenger", len(list), slices.Min(list), places(sum/float64(len(list)), 1), slices.Max(list)))
	}
	return out
}

func (l *line) way() (out []string) {
	stamp := func(at int) string {
		return time.Date(2026, 2, 1, 0, 0, at, 0, time.UTC).Format("2006-01-02 15:04:05")
	}
	way := l.trains()["1A001"]
	for i, s := range way {
		from, to, arrived, left, clock, minutes := "null", "null", stamp(s.at), stamp(s.at), "null", "null"
		if i > 0 {
			b := way[i-1]
			from, clock = nameOf(b.box), row(float64(s.truly()-b.truly()-(s.at-b.at)))
			minutes = row(places(float64(s.truly()-b.truly())/60, 1))
		} else {
			arrived = "null"
		}
		if i+1 < len(way) {
			to = nameOf(way[i+1].box)
		} else {
			left = "null"
		}
		out = append(out, row("Long Line", "1A001", stamp(s.at), nameOf(s.box), from, to, arrived, left, clock, minutes, personAt(s.box, s.offered)))
	}
	return out
}

// nearly puts what is wanted in the place of each number of an answer that is as near to it:
// of what rests on clocks as the bells tell them. The words before the numbers tell which
// row it is. widest is how far one is from it at the most, of each.
func nearly(got, want []string, words int, near map[int]float64) (out []string, widest map[int]float64) {
	widest = map[int]float64{}
	by := map[string][]string{}
	for _, w := range want {
		cells := strings.Split(w, "|")
		by[strings.Join(cells[:words], "|")] = cells
	}
	for _, g := range got {
		cells := strings.Split(g, "|")
		if w := by[strings.Join(cells[:words], "|")]; w != nil {
			for i, off := range near {
				x, err := strconv.ParseFloat(cells[i], 64)
				y, err2 := strconv.ParseFloat(w[i], 64)
				if err == nil && err2 == nil {
					widest[i] = max(widest[i], x-y, y-x)
				}
				if err == nil && err2 == nil && max(x-y, y-x) < off+1e-6 { // 4.2 is more than a tenth from 4.1 in binary
					cells[i] = w[i]
				}
			}
		}
		out = append(out, strings.Join(cells, "|"))
	}
	return out, widest
}
