package compare

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/registertest"
)

// misname plants one kind of difference in the names of a train, in the second
// book, and gives the two names that should be told.
var misname = []struct {
	kind  string
	plant func(w *world, train string) (first, second string)
}{
	{"wrong in every entry", func(w *world, train string) (string, string) {
		return train, w.rename(1, train, "9Z99", 0)
	}},
	{"wrong in one entry", func(w *world, train string) (string, string) {
		return train, w.rename(1, train, "9Z99", 1)
	}},
	{"cut short", func(w *world, train string) (string, string) {
		return train, w.rename(1, train, train[:3], 0)
	}},
	{"exchanged with the next", func(w *world, train string) (string, string) {
		next := w.next(train)
		w.rename(1, train, "swap", 0)
		w.rename(1, next, train, 0)
		w.rename(1, "swap", next, 0)
		return train, next
	}},
	{"renamed in one book", func(w *world, train string) (string, string) {
		for i, ev := range w.books[1] {
			if ev.Train != train {
				continue
			}
			named := block.Event{Seq: 100000, At: ev.At, Kind: block.TrainRenamed, Train: train, Subject: "5X01"}
			w.rename(1, train, "5X01", 0)
			w.books[1][i].Train = train
			w.books[1] = slices.Insert(w.books[1], i+1, named)
			break
		}
		return train, "5X01"
	}},
}

// rename puts another name into the entries of a train in a book, at most so many
// of its bells where most is not 0.
func (w *world) rename(book int, train, name string, most int) string {
	n := 0
	for i := range w.books[book] {
		if ev := &w.books[book][i]; ev.Train == train && (most == 0 || n < most && ev.Kind == block.Bells && slices.ContainsFunc(ev.Bells, func(b block.Bell) bool { return b.Code != "1" })) {
			ev.Train = name
			n++
		}
	}
	return name
}

// next is the train after another in the same direction.
func (w *world) next(train string) string {
	seen := false
	for _, d := range w.deeds {
		seen = seen || d.train == train
		if seen && d.train != train && d.train[0] == train[0] {
			return d.train
		}
	}
	return ""
}

// TestNames: a train under another name in each book is told once, with both
// names, and nothing else is found for it. Names left out are no difference.
func TestNames(t *testing.T) {
	const trains = 8
	for _, c := range misname {
		planted, found, wrong := 0, 0, 0
		for seed := uint64(3000); seed < registertest.Depth[uint64](3004, 3010); seed++ {
			w := simulate(t, seed, simOptions{method: "absolute", booking: [2]string{"exchanges", "exchanges"}, days: 1, every: 9, ahead: 70, named: true})
			want, spoilt := map[[2]string]bool{}, map[string]bool{}
			for i := range trains {
				a, b := c.plant(w, fmt.Sprintf("%dT%02d", 1+i%2, 40+5*i))
				want[[2]string{a, b}] = true
				spoilt[a], spoilt[b] = true, true
			}
			for i := range w.books[0] { // a tired hand leaves some out
				if i%7 == 0 && !spoilt[w.books[0][i].Train] {
					w.books[0][i].Train = ""
				}
			}
			p, err := Two(w.book(t, 0), w.book(t, 1))
			if err != nil {
				t.Fatal(err)
			}
			planted += trains
			for _, f := range p.Findings {
				switch {
				case f.Rule == rulebook.ClockOffset:
				case f.Rule == rulebook.NameDiffers && slices.ContainsFunc(namesOf(want), func(k [2]string) bool {
					return strings.Contains(f.Text, k[0]) && strings.Contains(f.Text, k[1])
				}):
					found++
				default:
					wrong++
					t.Logf("seed %d: %s %s", seed, f.Rule, f.Text)
				}
			}
		}
		fmt.Printf("%-24s %3d planted, %3d told, %d wrong\n", c.kind, planted, found, wrong)
		if found > planted || found*100 < planted*99 || wrong*100 > planted {
			t.Errorf("%s: %d of %d told once, %d wrong", c.kind, found, planted, wrong)
		}
	}
}

func namesOf(m map[[2]string]bool) (out [][2]string) {
	for k := range m {
		out = append(out, k)
	}
	return out
}

// Books that name trains in two ways throughout say so once.
func TestNamesInTwoWays(t *testing.T) {
	w := simulate(t, 3100, simOptions{method: "absolute", booking: [2]string{"exchanges", "exchanges"}, days: 1, every: 9, named: true})
	for i := range w.books[1] {
		w.books[1][i].Train = "No " + w.books[1][i].Train[1:]
	}
	p, err := Two(w.book(t, 0), w.book(t, 1))
	if err != nil {
		t.Fatal(err)
	}
	if rules(p.Findings) != "name-differs" || !strings.Contains(p.Findings[0].Text, "name trains in two ways") {
		t.Errorf("found %s", listing(p))
	}
}

// TestBookCutShort: a book that ends early, or begins late, says so once, and the
// rest is compared as before.
func TestBookCutShort(t *testing.T) {
	for _, c := range []struct {
		name string
		keep func(at block.Time) bool
		says string
	}{
		{"ends at two", func(at block.Time) bool { return at < simStart+14*3600 }, "The book of Westbeck ends at 2026-05-04 13:5"},
		{"begins at two", func(at block.Time) bool { return at > simStart+14*3600 }, "The book of Westbeck begins at 2026-05-04 14:0"},
	} {
		w := simulate(t, 3200, simOptions{method: "absolute", booking: [2]string{"exchanges", "exchanges"}, days: 1, every: 9})
		w.books[1] = slices.DeleteFunc(w.books[1], func(ev block.Event) bool { return !c.keep(ev.At) })
		p, err := Two(w.book(t, 0), w.book(t, 1))
		if err != nil {
			t.Fatal(err)
		}
		if rules(p.Findings) != "book-part-missing" || !strings.HasPrefix(p.Findings[0].Text, c.says) || !p.Fits() {
			t.Errorf("%s: found %s", c.name, listing(p))
		}
	}
}

// TestBooksThatDoNotFit: books of other days, of other boxes, and one without
// signals are not called agreed.
func TestBooksThatDoNotFit(t *testing.T) {
	opt := simOptions{method: "absolute", booking: [2]string{"exchanges", "exchanges"}, days: 1, every: 9}
	w, other := simulate(t, 3300, opt), simulate(t, 3301, opt)
	for _, c := range []struct {
		name   string
		second []block.Event
	}{
		{"a month later", shifted(w.books[1], 31*86400)},
		{"a working of its own", other.books[1]},
		{"one note", []block.Event{{Seq: 1, At: simStart + 8*3600, Kind: block.Note, Text: "nothing"}}},
		{"the first box's own", w.books[0]},
	} {
		two := *w
		two.books[1] = c.second
		p, err := Two(two.book(t, 0), two.book(t, 1))
		if err != nil {
			t.Fatal(err)
		}
		if p.Fits() || len(p.Findings) > 0 {
			t.Errorf("%s: fits, %s", c.name, listing(p))
		}
	}
}

// Two books that name none of each other's trains do not fit, though the signals of a
// working that is much like the other may be laid to it by chance: here it is the same,
// each hour of it shifted by up to 17 minutes, and with other trains.
func TestBooksOfOtherTrains(t *testing.T) {
	for seed := range uint64(4) {
		w := simulate(t, 3310+seed, simOptions{method: "token", booking: [2]string{"exchanges", "exchanges"}, named: true, days: 2, every: 40})
		two := *w
		two.books[1] = slices.Clone(w.books[1])
		for i := range two.books[1] {
			e := &two.books[1][i]
			if e.Train != "" {
				e.Train = "9Z" + e.Train[2:]
			}
			e.At += (e.At/3600*23%35 - 17) * block.Minute
		}
		slices.SortStableFunc(two.books[1], func(a, b block.Event) int { return cmp.Compare(a.At, b.At) })
		for i := range two.books[1] {
			two.books[1][i].Seq = int64(i + 1)
		}
		p, err := Two(two.book(t, 0), two.book(t, 1))
		if err != nil {
			t.Fatal(err)
		}
		if p.Fits() || len(p.Findings) > 0 {
			t.Errorf("seed %d, %d of %v signals matched: fits, %s", seed, p.Matched, p.Signals, rules(p.Findings))
		}
	}
}

func shifted(events []block.Event, by block.Time) []block.Event {
	out := slices.Clone(events)
	for i := range out {
		out[i].At += by
	}
	return out
}

// TestNamesExchangedInARow: trains that have changed names two by two, one pair after the other,
// are told pair by pair with both names, and not as names out of step for a time.
func TestNamesExchangedInARow(t *testing.T) {
	w := simulate(t, 3005, simOptions{method: "absolute", booking: [2]string{"exchanges", "exchanges"}, days: 1, every: 9, named: true})
	const pairs = 8
	for i := range pairs {
		misname[3].plant(w, fmt.Sprintf("%dT%02d", 1+i%2, 40+2*(i/2)))
	}
	p, err := Two(w.book(t, 0), w.book(t, 1))
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]bool{}
	for _, f := range p.Findings {
		if strings.Contains(f.Text, "the two names are exchanged in one of the books") {
			told[f.Train] = true
		}
	}
	if len(told) != pairs || len(p.Findings) != pairs {
		t.Errorf("told %d of %d: %s", len(told), pairs, listing(p))
	}
}
