package compare

import (
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/sheet"
)

// TestWayThroughShrivenham follows the trains of 15 January 1936 through three
// books by the clock of Marston, which was right (report pp. 6, 7).
func TestWayThroughShrivenham(t *testing.T) {
	marston, shriv, ashbury := shrivenham(t)
	c, err := Line(marston, shriv, ashbury)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	for _, w := range c.Ways {
		var parts []string
		for _, s := range w.Stops {
			text := s.Box
			for _, x := range []struct {
				name string
				at   block.Time
			}{{"entered", s.Common.Entered}, {"arrived", s.Common.Arrived}, {"departed", s.Common.Departed}, {"cleared", s.Common.Cleared}} {
				if x.at != 0 {
					text += " " + x.name + " " + marston.clock(x.at)
				}
			}
			parts = append(parts, text)
		}
		got[w.Name] = strings.Join(parts, "; ")
		t.Log(w.Name, got[w.Name])
	}
	for name, want := range map[string]string{
		// Marston passed it complete at 5.8, Shrivenham gave out of section at 5.15.
		"mineral": "Marston Crossing entered 04:59 arrived 05:08 departed 05:08 cleared 05:15; Shrivenham entered 05:08 arrived 05:15 departed 05:15",
		// The express entered at Highworth at 5.18 and passed Marston at 5.22.
		"express": "Marston Crossing entered 05:18 arrived 05:22 departed 05:22; Shrivenham entered 05:22",
		// The down empty stock entered from Ashbury at 5.26 and never went on.
		"down stock": "Ashbury Crossing departed 05:26; Shrivenham entered 05:26",
	} {
		if got[name] != want {
			t.Errorf("%s: %s\nwant %s", name, got[name], want)
		}
	}
	if ids := rules(slices.Concat(c.Pairs[0].Findings, c.Pairs[1].Findings)); ids != "clock-offset clock-offset" {
		t.Errorf("found %s", ids)
	}
}

// Of the ways of several days those are told that a box has not booked whole, or under
// another name; of one day all are.
func TestWaysThatAreTold(t *testing.T) {
	for days, all := range map[int]bool{1: true, 3: false} {
		w := simLine(8100, 4, days, false)
		lineRenamed(func(*lineWorld, int) string { return "9Z99" })(w, 2, 0, 11)
		w.books[1] = slices.DeleteFunc(w.books[1], func(e lineEntry) bool { return e.train == 14 && e.what == "come" })
		c, _ := w.compare(t)
		told := map[string]string{} // with the count of the others
		for _, l := range c.wayList().Parts[0].(*sheet.List).Lines {
			if name, way, ok := strings.Cut(l.Text, ": "); ok && !l.Head {
				told[name] += way
			}
		}
		if (len(told) == w.trains) != all || !all && len(told) != 2+1 || !strings.Contains(told[lineName(11)], "; Box2 as 9Z99 entered") || told[lineName(14)] == "" {
			t.Errorf("%d days: %d trains told of %d: %v", days, len(told), w.trains, told)
		}
	}
}

// Books of which one names trains in a way of its own list no train for that; and of books
// that do not fit together no train is put together of two.
func TestWaysOfOtherBooks(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(w *lineWorld)
		told int
		ways bool
	}{
		{"names of its own", func(w *lineWorld) {
			for i := range w.books[2] {
				if e := &w.books[2][i]; e.train >= 0 {
					e.text = strings.ReplaceAll(e.text, lineName(e.train), "x"+lineName(e.train)[1:])
				}
			}
		}, 0, true},
		{"the days exchanged", func(w *lineWorld) {
			for i := range w.books[1] {
				e := &w.books[1][i]
				e.at = simStart + (e.at-simStart+86400)%(3*86400)
			}
			slices.SortStableFunc(w.books[1], func(a, b lineEntry) int { return int(a.at - b.at) })
		}, 0, false},
	} {
		w := simLine(8200, 3, 3, false)
		c.do(w)
		l, _ := w.compare(t)
		if (len(l.Ways) > 0) != c.ways {
			t.Errorf("%s: %d ways", c.name, len(l.Ways))
		}
		n := 0
		for _, x := range l.Ways {
			if !x.whole {
				n++
				t.Logf("%s: %+v", c.name, x)
			}
		}
		if n != c.told {
			t.Errorf("%s: %d trains told of, want %d", c.name, n, c.told)
		}
	}
}

// Trains of one name that two neighbours have on the section between them may be one where
// they are within an hour of each other, before or after; the nearer the likelier.
func TestTrainsOfOneName(t *testing.T) {
	east, west := pairBooks(t)
	c := &Chain{Books: []*Book{east, west}, Pairs: []*Pair{{diff: &difference{second: table{{secs: 100}}}}}}
	const at, hour, ahead = block.Time(1_000_000), 60 * block.Minute, 100 // of the second clock, by which its times are
	east.trains = map[int]*train{1: {name: "2T01", in: -1, times: Times{Departed: at}}}
	came := func(name string, at block.Time) *train {
		return &train{name: name, out: -1, times: Times{Arrived: at + ahead}}
	}
	west.trains = map[int]*train{3: came("2T01", at-hour-1), 4: came("2T01", at-hour), 5: came("2T01", at+60), 6: came("2T01", at+hour), 7: came("2T01", at+hour+1), 8: came("2T02", at)}
	got := c.byName(0)
	slices.SortFunc(got, link.before)
	if want := []link{{1, 5, -60}, {1, 4, -int(hour)}, {1, 6, -int(hour)}}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestLineNeedsTwo(t *testing.T) {
	marston, _, _ := shrivenham(t)
	if _, err := Line(marston); err == nil {
		t.Error("a line of one box")
	}
}
