package compare

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/registertest"
)

// words are what a comparison says, whatever it is read by: what the clocks do, which signals are one,
// what is found, and what a reader of the whole is given.
func (p *Pair) words() []string {
	var clocks, pairs, found strings.Builder
	fmt.Fprintf(&clocks, "%s, %v signals, %d matched, tolerance %d, rounded to %d and %d, fits %v: %s\n", p.Section(), p.Signals, p.Matched, p.Tolerance, p.First.step, p.Second.step, p.Fits(), p.fitWords())
	fmt.Fprintf(&clocks, "common %+v, named %v, in two ways %v\n", p.Common, p.named, p.twoWays)
	for _, c := range p.Clocks {
		fmt.Fprintf(&clocks, "clock %d to %d: %.2f, %.3f an hour, spread %.2f, %d\n", c.From, c.To, c.Offset, c.Drift, c.Spread, c.Matched)
	}
	for _, b := range p.books() {
		fmt.Fprintf(&clocks, "%s: %d entries from %d to %d, silences %v, put back %v\n", b.Box.Name, b.Entries, b.First, b.Last, b.silences, b.backs)
	}
	fmt.Fprintf(&clocks, "put back by the other %v\n", p.backs)
	for i, j := range p.pair.each() {
		a, b := p.a.bell(i), p.b.bell(j)
		fmt.Fprintf(&pairs, "%d %d %d, %d %d %d, late %.1f\n", i, a.seq, p.a.el[i].key, j, b.seq, p.b.el[j].key, p.late(i, j))
	}
	for m := range p.Matches() {
		fmt.Fprintf(&pairs, "%s %v %s %d %d %.1f\n", m.Code, m.Sent, m.Train, m.First.Seq, m.Second.Seq, m.Ahead)
	}
	for _, name := range slices.Sorted(maps.Keys(p.alias)) {
		fmt.Fprintf(&pairs, "%s is also %v\n", name, p.alias[name])
	}
	for _, f := range p.Findings {
		a, b := f.Entries[0], f.Entries[1]
		fmt.Fprintf(&found, "%s %s at %d, {%s %d %d} %v, {%s %d %d} %v, %s, %s\n  %s\n  expected %s\n", f.Rule, f.Severity, f.At, p.First.Box.Name, a.Seq, a.At, f.Rests[0],
			p.Second.Box.Name, b.Seq, b.At, f.Rests[1], f.Section, f.Train, f.Text, f.Expected)
	}
	return []string{clocks.String(), pairs.String(), found.String()}
}

// words are what a comparison of a line says as a document, and of each train.
func (c *Chain) words() string {
	var out strings.Builder
	doc := c.Document()
	for _, l := range doc.Plain(200) {
		out.WriteString(l.Text + "\n")
	}
	for _, w := range c.Ways {
		fmt.Fprintf(&out, "%q whole %v: %+v\n", w.Name, w.whole, w.Stops)
	}
	return out.String()
}

// sideBySide is two books or more as they stand in files.
type sideBySide struct {
	name  string
	boxes []string // each box file
	texts []string // and each book
}

// shown compares two books, or as a line all of them as well.
func (s *sideBySide) shown(t *testing.T, how string, line bool) registertest.Shown {
	t.Helper()
	out := registertest.Shown{Of: strings.Join(s.texts, "\n"), How: how}
	books, err := s.read(t)
	if err != nil {
		out.Words = []string{err.Error(), "", "", ""}
		return out
	}
	p, err := Two(books[0], books[1])
	if err != nil {
		t.Fatal(err)
	}
	out.Words = p.words()
	c := &Chain{Books: books[:2], Pairs: []*Pair{p}}
	if line {
		books, _ = s.read(t)
		if c, err = Line(books...); err != nil {
			t.Fatal(err)
		}
	}
	out.Words = append(out.Words, c.words())
	return out
}

func (s *sideBySide) read(t *testing.T) (books []*Book, err error) {
	t.Helper()
	for k := range s.boxes {
		file, err := boxfile.Decode(strings.NewReader(s.boxes[k]), "box.yaml")
		if err != nil {
			t.Fatal(err)
		}
		b, err := FromNotation(t.Context(), file, strings.NewReader(s.texts[k]), 0, 0)
		if err != nil {
			return nil, err
		}
		books = append(books, b)
	}
	return books, nil
}

// fewBooks are the books of testdata and of the scenarios of register that are of neighbours.
func fewBooks(t *testing.T) (all []sideBySide) {
	t.Helper()
	for _, names := range [][]string{{"pair", "eastmoor", "westbeck"}, {"pair", "westbeck", "eastmoor"}, {"spoken", "ried", "au"}, {"spoken", "au", "ried"},
		{"tokens", "eastmoor", "westbeck"}, {"tokens", "westbeck", "eastmoor"}, {"shrivenham", "marston", "shrivenham", "ashbury"}, {"shrivenham", "ashbury", "shrivenham", "marston"}} {
		s, a := sideBySide{name: strings.Join(names, "-")}, archive(t, names[0]+".txtar")
		for _, name := range names[1:] {
			s.boxes, s.texts = append(s.boxes, string(a[name+".yaml"])), append(s.texts, string(a[name+".txt"]))
		}
		all = append(all, s)
	}
	for _, names := range [][]string{{"absolute_a", "absolute_b", "absolute_c"}, {"absolute_a_british_early", "absolute_b_british_early"}, {"absolute_b_indian_general", "absolute_c_indian_general"}, {"permissive_north", "permissive_south"},
		{"track_circuit_ash", "track_circuit_cedar"}, {"axle_counter_x", "axle_counter_y"}, {"axle_counter_y", "axle_counter_x"}, {"telephone_ried", "telephone_au"}, {"piloted_west", "piloted_east"}, {"token_day_a", "token_day_b"}} {
		s := sideBySide{name: strings.Join(names, "-")}
		for _, name := range names {
			a := archive(t, "../../testdata/check/"+name+".txtar")
			s.boxes, s.texts = append(s.boxes, string(a["box.yaml"])), append(s.texts, string(a["book.txt"]))
		}
		all = append(all, s)
	}
	return all
}

// spoilt writes some lines of one of the books otherwise.
func (s sideBySide) spoilt(k int) (sideBySide, string) {
	if k == 0 {
		return s, "as they are"
	}
	of := k % len(s.texts)
	lines := strings.Split(strings.TrimSuffix(s.texts[of], "\n"), "\n")
	lines, how := registertest.Spoilt(s.name, k, lines)
	if k > 8 { // more of it
		more := ""
		lines, more = registertest.Spoilt(s.name, -k, lines)
		how += ", " + more
	}
	s.texts = slices.Clone(s.texts)
	s.texts[of] = strings.Join(lines, "\n") + "\n"
	return s, how
}

// TestShownAllFew holds what is said of the few books of testdata and of neighbours among the scenarios, as
// they are and as one of them comes when lines of it are written otherwise.
func TestShownAllFew(t *testing.T) {
	all := fewBooks(t)
	var names []string
	for _, s := range all {
		names = append(names, s.name)
	}
	registertest.HoldShown(t, "testdata/shown_few.txt", *update, names, 16, func(t *testing.T, i, k int) registertest.Shown {
		s, how := all[i].spoilt(k)
		return s.shown(t, how, k%4 == 0)
	})
}

// TestShownAllLines holds what is said of short lines in which much goes wrong at once, see troubles.
func TestShownAllLines(t *testing.T) {
	var names []string
	for n := range 100 {
		names = append(names, fmt.Sprintf("line-%03d", n))
	}
	registertest.HoldShown(t, "testdata/shown_lines.txt", *update, names, 3, func(t *testing.T, i, k int) registertest.Shown {
		rng := rand.New(rand.NewPCG(uint64(i), 4200+uint64(k)))
		boxes := 2 + k/2
		w := simLine(rng.Uint64(), boxes, 1, i%3 == 0)
		w.shorten(18 + rng.IntN(30))
		how := w.trouble(rng, 1+rng.IntN(3))
		s := sideBySide{}
		for box := range boxes {
			text, _ := w.text(box)
			if i%7 == 0 {
				text = strings.ReplaceAll(text, "date 2026", "date 1926") // before any moment above 0
			}
			s.boxes, s.texts = append(s.boxes, w.boxFile(box)), append(s.texts, text)
		}
		return s.shown(t, how, k > 1)
	})
}

// TestShownAllSimulated holds what is said of simulated mornings, spoilt more or less, by books of every kind.
func TestShownAllSimulated(t *testing.T) {
	var names []string
	for n := range 80 {
		names = append(names, fmt.Sprintf("morning-%03d", n))
	}
	registertest.HoldShown(t, "testdata/shown_simulated.txt", *update, names, 1, func(t *testing.T, i, _ int) registertest.Shown {
		rng := rand.New(rand.NewPCG(uint64(i), 77))
		opt := simCases[i%len(simCases)].opt
		opt.days, opt.every, opt.ahead, opt.drift = 1, []int{6, 9, 15, 30, 60}[rng.IntN(5)], float64(rng.IntN(400)-200), float64(rng.IntN(30)-15)
		opt.spoil, opt.other, opt.sorted, opt.named, opt.resets = float64(rng.IntN(12))/100, float64(rng.IntN(8))/200, rng.IntN(4) == 0, rng.IntN(2) == 0, rng.IntN(3) == 0
		if rng.IntN(2) == 0 {
			from := 5 + 4*rng.Float64()
			opt.wrong = wrongly{from, from + 1 + 6*rng.Float64(), float64(rng.IntN(10_000) - 5000)}
		}
		for k, b := range opt.booking {
			if b == "" {
				opt.booking[k] = "exchanges"
			}
		}
		w := simulate(t, rng.Uint64(), opt)
		until := simStart + block.Time(7+rng.IntN(8))*3600
		for k := range w.books {
			w.books[k] = slices.DeleteFunc(w.books[k], func(e block.Event) bool { return e.At > until })
		}
		p, err := Two(w.book(t, i/2%2), w.book(t, 1-i/2%2))
		if err != nil {
			t.Fatal(err)
		}
		return registertest.Shown{Of: fmt.Sprint(opt, until), How: fmt.Sprintf("%+v", opt), Words: p.words()}
	})
}
