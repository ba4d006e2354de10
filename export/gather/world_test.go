package gather

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/registertest"
)

// A line of boxes at work for the tests: a double line worked by absolute block, trains
// from end to end in both directions, each box with its own clock and its own people.
// The railway is invented.

// worldOptions say which line is worked.
type worldOptions struct {
	boxes, days int
	every       int // minutes between trains in one direction
	careless    int // one train in so many is given out of section before it is booked to have passed, while Lax is on duty; 0 for none
}

// act is an entry of one box: seconds of true time from the first midnight, and the
// entry after its time.
type act struct {
	at    int
	text  string
	fault bool
}

const (
	runTime  = 240 // from box to box
	turnTime = 8 * 3600
)

var (
	firstParts = []string{"Abbot", "Birk", "Coln", "Dray", "Esk", "Fern", "Gorse", "Hazel", "Ings", "Keld", "Lyth", "Mire", "Nether", "Oxen", "Pike", "Raven", "Scar", "Thorn", "Ulver", "Wether"}
	lastParts  = []string{"by", "dale", "ford", "garth", "ham", "holm", "ley", "mere", "thwaite", "ton"}
)

// nameOf is the name of a box of the line.
func nameOf(i int) string { return firstParts[i%20] + lastParts[i/20%10] }

// ahead is by how many seconds the clock of a box is ahead of true time: it has an error,
// and gains on one day what it loses on the next.
func ahead(box, at int) int {
	gained := at % (2 * 86400)
	if gained > 86400 {
		gained = 2*86400 - gained
	}
	return (box*7)%41 - 20 + (box%5-2)*4*gained/86400
}

// world is the line and its books.
type world struct {
	opt   worldOptions
	books [][]act
	rng   *rand.Rand
}

func newWorld(o worldOptions) *world {
	w := &world{opt: o, books: make([][]act, o.boxes), rng: rand.New(rand.NewPCG(1, 2))}
	for box := range o.boxes {
		w.duty(box)
	}
	for dir := range 2 {
		for n, at := 0, 300+dir*600; at < o.days*86400-o.boxes*runTime-3600; n, at = n+1, at+o.every*60 {
			w.train(fmt.Sprintf("%d%c%03d", dir+1, 'A'+n/1000, n%1000), dir, at)
		}
	}
	for i := range w.books {
		slices.SortStableFunc(w.books[i], func(a, b act) int { return cmp.Compare(a.at, b.at) })
	}
	return w
}

func (w *world) book(box, at int, format string, args ...any) {
	w.books[box] = append(w.books[box], act{at: at + ahead(box, at), text: fmt.Sprintf(format, args...)})
}

// personAt is who is on duty. The third turn of every box is that of one of a few
// relief signallers, Lax among them, who go from box to box.
func personAt(box, at int) string {
	turn := at / turnTime
	if turn%3 == 2 {
		return []string{"C. Lax", "D. Moor", "E. Nunn"}[(box+turn/3)%3]
	}
	return []string{"A.", "B."}[turn%3] + " " + nameOf(box)
}

func (w *world) duty(box int) {
	for at := 0; at < w.opt.days*86400; at += turnTime {
		if at > 0 {
			w.book(box, at-1-ahead(box, at-1), "duty off %q", personAt(box, at-1))
		}
		w.book(box, at-ahead(box, at), "duty on %q", personAt(box, at))
		if at == 0 {
			w.book(box, -ahead(box, at), "box open")
		}
		if box%4 == 1 && at%(7*86400) == 2*turnTime {
			w.book(box, at+60, `sign "R. Garth" "examined"`)
		}
		if box%4 == 2 && at%(7*86400) == 5*turnTime { // the day before by its name, and no other
			w.book(box, at+60, `sign "R. Garth" "examined 2026-02-01"`)
		}
	}
}

// train works a train over the line, the one way or the other.
func (w *world) train(name string, dir, at int) {
	order := make([]int, w.opt.boxes)
	for i := range order {
		order[i] = i
		if dir == 1 {
			order[i] = w.opt.boxes - 1 - i
		}
	}
	for i, here := range order {
		there := at + i*runTime + w.rng.IntN(30) // passes here
		last := i == len(order)-1
		if i > 0 {
			w.cleared(here, order[i-1], there, name, last)
		}
		if last {
			w.book(here, there+120, "train %s put away", name)
			continue
		}
		next := order[i+1]
		w.exchange(there-100, here, next, "3-1", " train "+name)
		if i == 0 {
			w.book(here, there, "train %s departed for %s", name, nameOf(next))
		}
		w.exchange(there+2, here, next, "2", "")
	}
}

// cleared books the train at a box and gives it out of section to the one in rear.
func (w *world) cleared(here, rear, at int, name string, last bool) {
	passed := fmt.Sprintf("train %s passed complete", name)
	if last {
		passed = fmt.Sprintf(`train %s arrived at "Platform" complete`, name)
	}
	if c := w.opt.careless; c > 0 && personAt(here, at) == "C. Lax" && w.rng.IntN(c) == 0 {
		w.exchange(at-20, here, rear, "2-1", "")
		w.books[here][len(w.books[here])-1].fault = true
		if w.rng.IntN(3) == 0 {
			w.book(here, at+60*(1+w.rng.IntN(30)), `explain {} "a slip"`)
		}
		w.book(here, at, "%s", passed)
		return
	}
	w.book(here, at, "%s", passed)
	w.exchange(at+20, here, rear, "2-1", "")
}

// exchange books a bell signal with its answer at both ends.
func (w *world) exchange(at, from, to int, code, tail string) {
	if code == "2" {
		w.book(from, at, "%s >2 <2%s", nameOf(to), tail)
		w.book(to, at, "%s <2 >2%s", nameOf(from), tail)
		return
	}
	w.book(to, at, "%s <1 >1 <%s >%s%s", nameOf(from), code, code, tail)
	w.book(from, at, "%s >1 <1 >%s <%s%s", nameOf(to), code, code, tail)
}

// boxFile is the description of a box.
func (w *world) boxFile(box int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "railway: Long Line\nbox: %s\ntimezone: UTC\nrules: british-later\nsections:\n", nameOf(box))
	for i, other := range []int{box - 1, box + 1} {
		if other < 0 || other == w.opt.boxes {
			continue
		}
		ways := [2]string{"in", "out"}
		fmt.Fprintf(&b, "  - neighbour: %s\n    method: absolute\n    lines: [{name: Down Main, way: %s}, {name: Up Main, way: %s}]\n    towards: %s\n",
			nameOf(other), ways[i], ways[1-i], [2]string{"up", "down"}[i])
	}
	b.WriteString("places:\n  - {name: Platform, holds: 4}\npeople:\n  - {name: R. Garth, role: inspector}\n")
	for turn := range 9 {
		name := personAt(box, turn*turnTime)
		if !strings.Contains(b.String(), "name: "+name+",") {
			fmt.Fprintf(&b, "  - {name: %s, role: signaller}\n", name)
		}
	}
	return b.String()
}

// text is the book of a box, of the days from the first, in notation.
func (w *world) text(box, days int) string {
	var b strings.Builder
	day, fault := -1, 0
	for i, a := range w.books[box] {
		at := max(a.at, 0)
		if at >= days*86400 {
			break
		}
		if at/86400 != day {
			day = at / 86400
			fmt.Fprintf(&b, "date %s\n", time.Date(2026, 2, 1+day, 0, 0, 0, 0, time.UTC).Format(time.DateOnly))
		}
		if a.fault {
			fault = i + 1
		}
		a.text = strings.Replace(a.text, "{}", strconv.Itoa(fault), 1)
		fmt.Fprintf(&b, "%02d:%02d:%02d %s\n", at%86400/3600, at%3600/60, at%60, a.text)
	}
	return b.String()
}

// make makes the register of a box in its own directory under dir.
func (w *world) make(tb testing.TB, dir string, box, days int) string {
	tb.Helper()
	dir = filepath.Join(dir, nameOf(box))
	err := os.MkdirAll(dir, 0o700)
	if err == nil {
		var b *register.Book
		if b, err = registertest.Make(dir, w.boxFile(box), w.text(box, days)); err == nil {
			err = b.Close()
		}
	}
	if err != nil {
		tb.Errorf("%s: %v", nameOf(box), err)
	}
	return dir
}

// makeAll makes the registers of all boxes.
func (w *world) makeAll(tb testing.TB, dir string) []string {
	tb.Helper()
	dirs := make([]string, len(w.books))
	inParallel(2, len(dirs), nil, func(i int) { dirs[i] = w.make(tb, dir, i, w.opt.days) })
	return dirs
}

// more writes entries to the end of a register.
func more(tb testing.TB, dir, book string) {
	tb.Helper()
	b, err := register.Open(dir, register.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	defer b.Close()
	if _, err := b.Import(tb.Context(), strings.NewReader(book), register.ImportOptions{AsWritten: true}); err != nil {
		tb.Fatal(err)
	}
}
