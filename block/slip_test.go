package block_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// A regular day of one box with a section on either side, and what is found of
// it when one entry is not booked. The trains run one after another, so that
// everything found above advice is the slip's doing.

// dayLine is one entry of the day: what it is of which train, and when.
type dayLine struct {
	what  string
	train int
	at    block.Time
	text  string
}

// slipDay is the day of a method; with few names only offers and movements
// name their train, as in the older books.
type slipDay struct {
	method   rulebook.Method
	fewNames bool
	lines    []dayLine
	at       block.Time
	train    int
	token    [2]int // of West and East, the number that runs
}

func slipBox(t *testing.T, m rulebook.Method) *block.Box {
	t.Helper()
	single := []block.Line{{Name: "Single"}}
	west, east := single, single
	if !m.Is().Single {
		west = []block.Line{{Name: "Down", Way: block.In}, {Name: "Up", Way: block.Out}}
		east = []block.Line{{Name: "Down", Way: block.Out}, {Name: "Up", Way: block.In}}
	}
	var tokens block.Tokens
	if m.Is().Carries == rulebook.CarriesToken {
		tokens = block.Tokens{Charge: []int{1, 2, 3, 4, 5, 6}, Here: []int{1, 2, 3}}
	}
	names := rulebook.RuleSetNames() // the first that has the method
	has := slices.IndexFunc(names, func(name string) bool { return rulebook.RuleSetNamed(name).Covers(m) })
	b := &block.Box{Name: "Mid", Rules: rulebook.RuleSetNamed(names[max(has, 0)]), ClockCheck: -1,
		Sections: []block.Section{
			{Neighbour: "West", Method: m, Lines: west, Towards: "up", Tokens: tokens},
			{Neighbour: "East", Method: m, Lines: east, Towards: "down", Tokens: tokens},
		},
		Places: []block.Place{{Name: "Platform", Holds: 2}, {Name: "Yard", Holds: 9, Siding: true}},
	}
	for i := range b.Sections {
		b.Sections[i].Running[rulebook.Passenger] = 6 * block.Minute
	}
	if err := b.Prepare(); err != nil {
		t.Fatal(err)
	}
	return b
}

var sides = [2]string{"West", "East"}

func (d *slipDay) add(what string, minutes block.Time, text string) {
	d.at += minutes * block.Minute
	d.lines = append(d.lines, dayLine{what, d.train, d.at, text})
}

func (d *slipDay) name() string { return fmt.Sprintf("%dA%02d", 1+d.train%2, d.train) }

// of names the train in a bell of its own, unless few are named.
func (d *slipDay) of() string {
	if d.fewNames {
		return ""
	}
	return " train " + d.name()
}

func (d *slipDay) bells() bool { return d.method.Is().Offers }

// in brings the train from a side to a stand here and clears the section.
func (d *slipDay) in(side int, how string) {
	s, n := sides[side], d.name()
	if d.bells() {
		d.add("offer received", 1, s+" <1 >1 <3-1 >3-1 train "+n)
		d.add("entering received", 2, s+" <2 >2"+d.of())
	}
	d.add("arrival", 6, "train "+n+" "+how+" complete")
	d.add("(time)", 0, "note \"on time\"")
	switch d.method.Is().Carries {
	case rulebook.CarriesToken:
		d.token[side] = 4 + d.train%3
		d.add("token from train", 0, fmt.Sprintf("%s token %d from train %s", s, d.token[side], n))
		d.add("token in", 0, fmt.Sprintf("%s token %d in", s, d.token[side]))
	case rulebook.CarriesStaff:
		d.add("staff from train", 0, s+" staff from train "+n)
	}
	if d.bells() {
		d.add("out sent", 1, s+" >1 <1 >2-1 <2-1"+d.of())
	}
}

// out sends the train to a side.
func (d *slipDay) out(side int) {
	s, n := sides[side], d.name()
	if d.bells() {
		d.add("offer sent", 1, s+" >1 <1 >3-1 <3-1 train "+n)
	}
	switch d.method.Is().Carries {
	case rulebook.CarriesToken:
		d.add("token out", 0, fmt.Sprintf("%s token %d out", s, d.token[side]))
		d.add("token to train", 0, fmt.Sprintf("%s token %d to train %s", s, d.token[side], n))
	case rulebook.CarriesStaff:
		d.add("staff to train", 0, s+" staff to train "+n)
	}
	d.add("departure", 2, "train "+n+" departed for "+s)
	if d.bells() {
		d.add("entering sent", 0, s+" >2 <2"+d.of())
		d.add("out received", 6, s+" <1 >1 <2-1 >2-1"+d.of())
	}
}

// newSlipDay runs pairs of trains: one each way, on a single line so that staff
// and token come back; every third pair ends here and another starts.
func newSlipDay(m rulebook.Method, few bool, pairs int) *slipDay {
	d := &slipDay{method: m, fewNames: few, at: clock, token: [2]int{1, 1}}
	if m.Is().Carries == rulebook.CarriesStaff {
		d.add("", 0, "East staff here")
	}
	if m.Is().Tickets {
		d.add("", 0, "West staff away")
	}
	for range pairs {
		if !m.Is().Offers { // out to the end of the branch and back
			d.train++
			d.out(1)
			d.at += 9 * block.Minute
			d.in(1, "arrived at Platform")
			d.add("put away", 2, "train "+d.name()+" put away")
			continue
		}
		for side := range 2 {
			d.train++
			d.in(side, "arrived at Platform")
			d.out(1 - side)
			d.at += 4 * block.Minute
		}
	}
	return d
}

// slipped is what a book with one entry not booked comes to.
type slipped struct {
	what    string
	dangers int      // found in all
	stand   []string // dangers and irregularities that stand at the end
	last    int      // the train of the last of them, counted from the slip's
	roots   int      // found above advice that name no root
}

// without replays the day with line number gone left out.
func (d *slipDay) without(t *testing.T, b *block.Box, gone int) slipped {
	t.Helper()
	run := block.NewRunner(b, block.NewState(b))
	var all []block.Finding
	trains := map[int64]int{}
	take := func(found []block.Finding) {
		for _, a := range run.Look().Answers {
			for i := range all {
				if a.Of(&all[i]) {
					all[i].Answered = run.Look().LastSeq
				}
			}
		}
		all = append(all, found...)
	}
	for i, l := range d.lines {
		if i == gone {
			continue
		}
		e := reading(t, l.text)
		e.At, e.Seq = l.at, int64(i+1)
		trains[e.Seq] = l.train
		take(run.Step(&e))
	}
	take(run.Finish())
	out := slipped{}
	if gone >= 0 {
		out.what = d.lines[gone].what
	}
	for _, f := range all {
		if f.Severity == rulebook.Advice {
			continue
		}
		if f.Severity == rulebook.Danger {
			out.dangers++
		}
		if f.Root == 0 {
			out.roots++
		}
		if gone >= 0 {
			out.last = max(out.last, trains[f.Seq]-d.lines[gone].train)
		}
		if f.Answered == 0 {
			out.stand = append(out.stand, fmt.Sprintf("%s %s (%d)", f.Severity, f.Rule, f.Seq))
		}
	}
	slices.Sort(out.stand)
	return out
}

// TestOneEntryNotBooked leaves out each entry of a train in the middle of a
// regular day, by every method and in both directions.
func TestOneEntryNotBooked(t *testing.T) {
	for m := range rulebook.MethodCount {
		if how := m.Is(); how.Offers && !how.ByBell || how.Described || how.Follows || how.Piloted {
			continue // nothing of it is belled, trains do not run one after another, or it is begun by entries
		}
		for _, few := range []bool{false, true} {
			b, d := slipBox(t, m), newSlipDay(m, few, 5)
			name := m.String()
			if few {
				name += " few names"
			}
			t.Run(name, func(t *testing.T) {
				if clean := d.without(t, b, -1); len(clean.stand) > 0 {
					t.Fatalf("the day itself: %s", strings.Join(clean.stand, ", "))
				}
				for i, l := range d.lines {
					if l.train != 3 && l.train != 4 || l.what == "" {
						continue
					}
					s := d.without(t, b, i)
					t.Logf("train %d %-18s %2d dangers, %d roots, last %d trains on; stand: %s", l.train, s.what, s.dangers, s.roots, s.last, strings.Join(s.stand, ", "))
					authority := strings.HasPrefix(l.what, "offer") // never to be told from one not given
					if danger := slices.ContainsFunc(s.stand, func(f string) bool { return strings.HasPrefix(f, "danger") }); danger && !authority {
						t.Errorf("%s of train %d not booked: a danger stands: %s", l.what, l.train, strings.Join(s.stand, ", "))
					}
					if len(s.stand) > 2 || s.dangers > 2 || s.last > 2 {
						t.Errorf("%s of train %d not booked: %d dangers, %d stand, the last %d trains on", l.what, l.train, s.dangers, len(s.stand), s.last)
					}
				}
			})
		}
	}
}
