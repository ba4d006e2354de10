package legalday_test

import (
	"fmt"
	"iter"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/internal/legalday"
)

// What one slip of the pen is worth. The targets: an entry written late, nothing
// once it stands; left out, three findings beside that it is missing; a wrong
// minute, one; none of them later than the second regular train over that line after
// it, or than an hour in which two have run: until a train runs, nothing can show what
// is missing.
var slipTargets = map[string]int{"left out": 3, "5 late": 0, "20 late": 0, "90 late": 0, "15 wrong": 1, "no name": 1, "misspelt": 1}

// undecided are the slips that no one book can decide sooner, with the reason: they
// are printed beside the table, and counted apart.
var undecided = map[string]string{
	"token moved | left out":         "a number that the technician moved, unbooked, shows only when it is drawn or counted again: until then nobody can know",
	"token drawn | left out":         "the number drawn is not in the book, and another may have gone: each number that then is not where the book has it is found once",
	"shunt movement | left out":      "a vehicle booked within the clearing point may be there still: what is accepted over it stays a danger until a train has run over the line",
	"line blockage | left out":       "men at work may be on the line still: likewise",
	"arrival | left out":             "where no bell tells the train out of section, it shows when the next one comes",
	"offer received | left out":      "a line clear given and not booked looks like one not given",
	"cancelling received | left out": "a train described and not booked as not coming is waited for until the next one comes",
}

const (
	slipTrains  = 2
	slipMinutes = 60
)

// slipBoxes are the boxes whose books are spoilt.
var slipBoxes = []legalday.Options{
	{Rules: "british-later", Methods: []string{"absolute", "absolute"}},
	{Rules: "british-later", Methods: []string{"token", "token"}},
	{Rules: "indian-general", Methods: []string{"token", "absolute"}},
	{Rules: "british-later", Methods: []string{"absolute", "staff-and-ticket"}},
	{Rules: "indian-general", Methods: []string{"absolute", "one-train"}},
	{Rules: "british-later", Methods: []string{"tokenless", "absolute"}},
	{Rules: "british-later", Methods: []string{"absolute", "token"}, Night: true},
	{Rules: "british-later", Methods: []string{"telephone", "telephone/double"}},
	{Rules: "indian-general", Methods: []string{"axle-counter", "axle-counter/double"}},
	{Rules: "british-later", Methods: []string{"permissive", "track-circuit"}},
	{Rules: "british-later", Methods: []string{"absolute", "token"}, Further: true},
	{Rules: "british-later", Methods: []string{"absolute", "absolute"}, Single: true},
	{Rules: "british-later", Methods: []string{"absolute", "absolute"}, Crossing: true},
}

// slipDays are the days of which an entry is spoilt, each with what draws it.
func slipDays() iter.Seq2[legalday.Options, *rand.Rand] {
	return func(yield func(legalday.Options, *rand.Rand) bool) {
		for n, o := range slipBoxes {
			for seed := range max(1, days()/20) {
				if o.Seed, o.Last = uint64(seed), 11; o.Night {
					o.Last = 15
				}
				if !yield(o, rand.New(rand.NewPCG(uint64(n), uint64(seed)))) {
					return
				}
			}
		}
	}
}

// slipKey is one cell of the table.
type slipKey struct{ method, kind, slip string }

func (k slipKey) String() string { return k.method + " | " + k.kind + " | " + k.slip }

// worth is what a slip led to beside its own finding; told is the book around it,
// where that is beyond the target.
type worth struct {
	findings, minutes, trains int
	told                      string
}

// beyond says whether a slip is worth more than its target.
func (w worth) beyond(slip string) bool {
	return w.findings > slipTargets[slip] || w.trains > slipTrains || w.trains == slipTrains && w.minutes > slipMinutes
}

// TestLegalDaySlips spoils one entry of a day at a time: each kind of entry, each
// slip, each method.
func TestLegalDaySlips(t *testing.T) {
	cells := map[slipKey][]worth{}
	for o, rng := range slipDays() {
		spoil(t, legalday.Make(o), rng, cells)
	}
	got := tellSlips(t, cells)
	holdKnown(t, "slips", got)
}

// tellSlips prints the table, one row a kind of entry, and sums it by method and
// slip.
func tellSlips(t *testing.T, cells map[slipKey][]worth) map[string]int {
	sums, beyond, rows, apart := map[string]int{}, map[string]int{}, map[string]string{}, 0
	for k, c := range cells {
		slices.SortFunc(c, func(a, b worth) int { return a.findings - b.findings })
		var most worth
		for _, w := range c {
			sums[k.method+" | "+k.slip] += w.findings
			most.findings, most.minutes, most.trains = max(most.findings, w.findings), max(most.minutes, w.minutes), max(most.trains, w.trains)
			if w.beyond(k.slip) {
				most.told = w.told
			}
		}
		if why := undecided[k.kind+" | "+k.slip]; most.beyond(k.slip) && why != "" {
			apart++
			t.Logf("beyond the target, as one book cannot decide it: %s: %s", k, why)
		} else if most.beyond(k.slip) {
			beyond[k.slip]++
			t.Logf("beyond the target: %s\n%s", k, most.told)
		}
		rows[k.String()] = fmt.Sprintf("%3d/%-3d %4d min %2d tr ", c[len(c)/2].findings, most.findings, most.minutes, most.trains)
	}
	head := fmt.Sprintf("%-45s", "median/most, until, trains after")
	for _, s := range legalday.Slips() {
		head += fmt.Sprintf("%-23s", s.Name)
	}
	t.Log(head)
	for _, k := range slices.Sorted(maps.Keys(rows)) {
		name, slip, _ := cutLast(k, " | ")
		if slip != legalday.Slips()[0].Name {
			continue
		}
		line := fmt.Sprintf("%-43s", name)
		for _, s := range legalday.Slips() {
			line += fmt.Sprintf("%-23s", rows[name+" | "+s.Name])
		}
		t.Log(line)
	}
	t.Logf("%d kinds of slip on kinds of entry tried; beyond the target: %v, and %d that one book cannot decide", len(cells), beyond, apart)
	return sums
}

func cutLast(s, sep string) (before, after string, found bool) {
	i := strings.LastIndex(s, sep)
	if i < 0 {
		return s, "", false
	}
	return s[:i], s[i+len(sep):], true
}

// spoil makes every slip on one entry of each kind, at a busy hour.
func spoil(t *testing.T, d *legalday.Day, rng *rand.Rand, cells map[slipKey][]worth) {
	for _, kind := range kindsOf(d) {
		i, ok := oneOf(d, kind, rng)
		if !ok {
			continue
		}
		for _, s := range legalday.Slips() {
			if spoilt, place, ok := s.On(d, i, rng); ok {
				key := slipKey{kind.method, kind.kind, s.Name}
				cells[key] = append(cells[key], weigh(spoilt, s.Name, place, d.Acts[i], checkedDay(t, spoilt)))
			}
		}
	}
}

// oneOf draws an entry of a kind, at a busy hour; ok is false where there is none.
func oneOf(d *legalday.Day, kind slipKey, rng *rand.Rand) (i int, ok bool) {
	var at []int
	for i, a := range d.Acts {
		if string(a.Kind) == kind.kind && methodOf(d, i) == kind.method && busy(d, a.At) {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		return 0, false
	}
	return at[rng.IntN(len(at))], true
}

// busy is some hours after the box opened; at night those before midnight, so that
// what is late is written on the next date.
func busy(d *legalday.Day, at int) bool {
	if d.Options.Night {
		return at > 22*3600+1800 && at < 24*3600
	}
	return at > 6*3600+1800 && at < 9*3600
}

// kindsOf lists the kinds of entry of a day with the method they belong to.
func kindsOf(d *legalday.Day) []slipKey {
	seen := map[slipKey]bool{}
	for i, a := range d.Acts {
		if m := methodOf(d, i); m != "" {
			seen[slipKey{m, string(a.Kind), ""}] = true
		}
	}
	return slices.SortedFunc(maps.Keys(seen), func(a, b slipKey) int { return strings.Compare(a.String(), b.String()) })
}

// methodOf tells a row of the table: the method that entry i belongs to, and what sets
// the day apart. Of a day with further entries, or with a crossing, those alone.
func methodOf(d *legalday.Day, i int) string {
	section := d.Acts[i].Section
	switch {
	case d.Options.Further != d.Acts[i].Kind.Further() || d.Options.Single && !d.BothWays(i):
		return ""
	case d.Options.Crossing != (d.Acts[i].Kind == legalday.CrossingCall):
		return ""
	case d.Options.Further && section == "":
		return "at the station"
	}
	for k, n := range legalday.Neighbours() {
		if n == section && k < len(d.Options.Methods) {
			return d.Options.Methods[k] + suffixOf(d, i)
		}
	}
	return ""
}

func suffixOf(d *legalday.Day, i int) string {
	switch {
	case d.Options.Rules == "indian-general":
		return ", India"
	case d.Options.Night:
		return ", midnight"
	case d.Options.Further:
		return ", further"
	case d.Options.Single:
		return ", single line working"
	case d.Options.Crossing:
		return ", crossing"
	}
	return ""
}

// own are the rules that say the slip itself, once.
var own = map[string][]string{
	"left out": {"step-not-booked"}, "15 wrong": {"entry-out-of-order"},
	"5 late": {"entry-late"}, "20 late": {"entry-late"}, "90 late": {"entry-late"},
}

// weigh counts what was found beside the slip's own finding, and for how long.
func weigh(d *legalday.Day, slip string, place int, a legalday.Act, found []dayFinding) worth {
	var w worth
	said := false
	for _, f := range found {
		i := d.EntryOf(f.line)
		mine := slices.Contains(own[slip], f.rule) || own[slip] == nil && i == place
		if mine && !said {
			said = true
			continue
		}
		w.findings++
		if i < 0 {
			continue
		}
		w.minutes = max(w.minutes, (d.Acts[i].At-a.At)/60)
		w.trains = max(w.trains, trainsBetween(d, a, i, f.way))
	}
	if w.beyond(slip) {
		w.told = fmt.Sprintf("%s: %s\n", slip, a.Line())
		for _, f := range found {
			w.told += around(d, f)
		}
	}
	return w
}

// trainsBetween counts the trains offered on the section after the slip and up to
// entry i; on a double line those of the way that the finding is about.
func trainsBetween(d *legalday.Day, a legalday.Act, i int, way block.Way) int {
	seen := map[string]bool{}
	for _, b := range d.Acts[:i+1] {
		offer := b.Kind == legalday.OfferIn && way != block.Out || b.Kind == legalday.OfferOut && way != block.In
		if offer && b.At > a.At && b.Section == a.Section && b.Train != a.Train {
			seen[b.Train] = true
		}
	}
	return len(seen)
}
