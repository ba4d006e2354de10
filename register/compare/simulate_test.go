package compare

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
	"fairhand/register/reading"
	"fairhand/register/store"
)

// The simulated check: one physical time of working on a section between two
// boxes, written down in two books by two clocks, and then spoilt.

const simBox = `railway: Test Railway
box: %s
timezone: UTC
rules: british-later
booking: %s
sections:
  - neighbour: %s
    method: %s
    lines: [%s]
`

func simFile(t testing.TB, name, other, method, booking string, flip bool) *boxfile.File {
	t.Helper()
	ln := "{name: Up Main, way: out}, {name: Down Main, way: in}"
	if flip {
		ln = "{name: Up Main, way: in}, {name: Down Main, way: out}"
	}
	text := fmt.Sprintf(simBox, name, booking, other, method, ln)
	if method == "token" {
		here := "1-6"
		if flip {
			here = "7-12"
		}
		text = strings.Replace(text, ln, "{name: Single}", 1) + fmt.Sprintf("    tokens: {charge: \"1-12\", here: %q}\n", here)
	}
	f, err := boxfile.Decode(strings.NewReader(text), name)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// deed is something that happened, at a true time: bells, or a token handled.
type deed struct {
	at     block.Time
	from   int // box that rings first, or whose instrument it is
	bells  []deedBell
	token  int
	put    bool // the token is put in
	arrive bool // the train arrives
	away   bool // it is put away
	train  string
}

type deedBell struct {
	from int
	code rulebook.Code
}

// kinds of planted difference.
const (
	dropped  = "dropped"
	mistimed = "mistimed"
	miscoded = "miscoded"
	misread  = "misread token"
)

type planted struct {
	kind   string
	book   int
	seq    int64
	deed   *deed
	event  block.Event
	signal bool // the entry had the signal itself, not only what goes with it
}

// world is a simulated working and its two books.
type world struct {
	rng    *rand.Rand
	files  [2]*boxfile.File
	deeds  []*deed
	books  [2][]block.Event
	of     [2][]*deed // of each entry
	plants []planted
	opt    simOptions

	// For the score: see tell.
	told    map[*deed][]*Finding
	place   map[*deed]int
	spoilt  map[*deed][2]int
	left    [2]map[*deed][]int64
	written [2][]block.Event // before they were spoilt
}

type simOptions struct {
	method  string
	booking [2]string
	days    int
	every   int     // minutes between trains, about
	seconds bool    // books in seconds, else whole minutes
	ahead   float64 // clock of book 1 ahead of true, seconds at the beginning
	drift   float64 // seconds in an hour
	resets  bool    // set right to ahead every day at nine
	wrong   wrongly // a time for which the clock of book 1 is set wrong
	spoil   float64 // share of entries dropped or mistimed in each book
	other   float64 // share of entries with a wrong code or token number
	named   bool    // trains named in both books
	sorted  bool    // books in the order of the times written
}

// wrongly is a clock set wrong by so many seconds, from one hour of the working to
// another.
type wrongly struct{ from, to, by float64 }

// clockOf is what the clock of a book is ahead of true time.
func (w *world) clockOf(book int, at block.Time) float64 {
	if book == 0 {
		return 0
	}
	since := float64(at-simStart) / 3600
	if w.opt.resets {
		since = math.Mod(since+24-9, 24)
	}
	off := w.opt.ahead + w.opt.drift*since
	if hour := float64(at-simStart) / 3600; hour >= w.opt.wrong.from && hour < w.opt.wrong.to {
		off += w.opt.wrong.by
	}
	return off
}

var simStart = block.Time(time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC).Unix())

func simulate(t testing.TB, seed uint64, opt simOptions) *world {
	w := &world{rng: rand.New(rand.NewPCG(seed, 7)), opt: opt}
	w.files[0] = simFile(t, "Eastmoor", "Westbeck", opt.method, opt.booking[0], false)
	w.files[1] = simFile(t, "Westbeck", "Eastmoor", opt.method, opt.booking[1], true)
	if opt.method == "token" {
		w.workToken()
	} else {
		w.workDouble()
	}
	slices.SortStableFunc(w.deeds, func(a, b *deed) int { return int(a.at - b.at) })
	for book := range w.books {
		w.write(book)
		w.spoil(book)
	}
	return w
}

var simCodes = []rulebook.Code{"4", "3-1", "3-1", "3-1", "1-3-1", "2-2-1", "4-1", "3-2", "2-3"}

// ring adds an exchange: call attention where the code needs it.
func (w *world) ring(at block.Time, from int, code rulebook.Code, train string) {
	d := &deed{at: at, from: from, train: train}
	codes := []rulebook.Code{"1", code}
	if code == "2" {
		codes = codes[1:]
	}
	for _, c := range codes {
		d.bells = append(d.bells, deedBell{from, c}, deedBell{1 - from, c})
	}
	w.deeds = append(w.deeds, d)
}

func (w *world) minutes(least, most float64) block.Time {
	return block.Time(60 * (least + (most-least)*w.rng.Float64()))
}

// workDouble works trains on two lines, each in its own order.
func (w *world) workDouble() {
	for dir := range 2 {
		at := simStart + 4*3600
		for n := 0; at < simStart+block.Time(w.opt.days)*86400-3600; n++ {
			train := fmt.Sprintf("%dT%02d", dir+1, n%100)
			w.ring(at, dir, simCodes[w.rng.IntN(len(simCodes))], train)
			enter := at + w.minutes(1, 4)
			w.ring(enter, dir, "2", train)
			out := enter + w.minutes(3, 7)
			w.deeds = append(w.deeds, &deed{at: out - 40, from: 1 - dir, arrive: true, train: train})
			w.ring(out, 1-dir, "2-1", train)
			w.deeds = append(w.deeds, &deed{at: out + 20, from: 1 - dir, away: true, train: train})
			at = max(out+w.minutes(0.5, 2), at+w.minutes(0.5, 1.5)*block.Time(w.opt.every))
			if hour := (at - simStart) % 86400 / 3600; hour < 4 {
				at += 4 * 3600
			}
		}
	}
}

// workToken works trains one at a time, with real tokens in two instruments.
func (w *world) workToken() {
	in := [2][]int{{1, 2, 3, 4, 5, 6}, {7, 8, 9, 10, 11, 12}}
	at := simStart + 4*3600
	for n := 0; at < simStart+block.Time(w.opt.days)*86400-3600; n++ {
		dir := w.rng.IntN(2)
		if len(in[dir]) == 0 {
			dir = 1 - dir
		}
		train := fmt.Sprintf("%dT%02d", dir+1, n%100)
		k := w.rng.IntN(len(in[dir]))
		token := in[dir][k]
		in[dir] = slices.Delete(in[dir], k, k+1)
		w.ring(at, dir, simCodes[w.rng.IntN(len(simCodes))], train)
		w.deeds = append(w.deeds, &deed{at: at + 30, from: dir, token: token, train: train})
		enter := at + w.minutes(1, 4)
		w.ring(enter, dir, "2", train)
		arrived := enter + w.minutes(4, 8)
		w.deeds = append(w.deeds, &deed{at: arrived - 20, from: 1 - dir, arrive: true, train: train})
		w.deeds = append(w.deeds, &deed{at: arrived, from: 1 - dir, token: token, put: true})
		in[1-dir] = append(in[1-dir], token)
		w.ring(arrived+30, 1-dir, "2-1", train)
		w.deeds = append(w.deeds, &deed{at: arrived + 50, from: 1 - dir, away: true, train: train})
		at = max(arrived+w.minutes(1, 3), at+w.minutes(0.5, 1.5)*block.Time(w.opt.every))
	}
}

// write puts everything into one book: a whole exchange in one entry, in two, or
// each bell in its own. Draws are told and booked at both ends, tokens put in
// where they are put in.
func (w *world) write(book int) {
	me := w.files[1-book].Box.Name
	for _, d := range w.deeds {
		at := d.at + block.Time(math.Round(w.clockOf(book, d.at))) + block.Time(w.rng.IntN(9))
		if !w.opt.seconds {
			at = (at + 30) / 60 * 60
		}
		ev := block.Event{At: at, Kind: block.TokenOut, Section: me, Number: d.token}
		switch {
		case (d.put || d.arrive || d.away) && d.from != book:
		case d.arrive:
			w.enter(book, block.Event{At: at, Kind: block.TrainArrived, Train: d.train, Proof: block.Complete}, d)
		case d.away:
			w.enter(book, block.Event{At: at, Kind: block.TrainPutAway, Train: d.train}, d)
		case d.token > 0:
			if d.put {
				ev.Kind = block.TokenIn
			}
			w.enter(book, ev, d)
		case w.opt.booking[book] == "signals":
			w.enter(book, w.bells(book, at, d, d.bells[len(d.bells)-2:len(d.bells)-1]), d)
		default:
			per := []int{1, 2, 4}[w.rng.IntN(3)]
			for i := 0; i < len(d.bells); i += per {
				w.enter(book, w.bells(book, at, d, d.bells[i:min(len(d.bells), i+per)]), d)
			}
		}
	}
}

func (w *world) bells(book int, at block.Time, d *deed, bells []deedBell) block.Event {
	ev := block.Event{At: at, Kind: block.Bells, Section: w.files[1-book].Box.Name}
	for _, b := range bells {
		ev.Bells = append(ev.Bells, block.Bell{Sent: b.from == book, Code: b.code})
	}
	if w.opt.named {
		ev.Train = d.train
	}
	return ev
}

func (w *world) enter(book int, ev block.Event, d *deed) {
	ev.Seq = int64(len(w.books[book]) + 1)
	w.books[book] = append(w.books[book], ev)
	w.of[book] = append(w.of[book], d)
}

// spoil drops, mistimes and miswrites entries. The first and last hour are left
// alone, so that the books still cover the same time.
func (w *world) spoil(book int) {
	var kept []block.Event
	w.written[book] = slices.Clone(w.books[book])
	first, last := w.books[book][0].At+3600, w.books[book][len(w.books[book])-1].At-3600
	for i, ev := range w.books[book] {
		d := w.of[book][i]
		x := w.rng.Float64()
		safe := ev.At < first || ev.At > last || d.arrive || d.away
		switch {
		case safe || x > w.opt.spoil+w.opt.other:
		case x < w.opt.spoil/2:
			w.plants = append(w.plants, planted{dropped, book, ev.Seq, d, w.books[book][i], hasSignal(d, w.books[book][i], book)})
			continue
		case x < w.opt.spoil:
			least := block.Time(4)
			if w.opt.seconds {
				least = 3
			}
			by := (least + block.Time(w.rng.IntN(9))) * block.Minute
			if w.rng.IntN(2) == 0 {
				by = -by
			}
			ev.At += by
			w.plants = append(w.plants, planted{mistimed, book, ev.Seq, d, w.books[book][i], hasSignal(d, w.books[book][i], book)})
		case ev.Kind == block.Bells:
			k := len(ev.Bells) - 1
			if ev.Bells[k].Code == "1" {
				break
			}
			ev.Bells = slices.Clone(ev.Bells)
			for j := range ev.Bells {
				if ev.Bells[j].Code != "1" {
					ev.Bells[j].Code = "3-3-1" // beats of no other signal here
				}
			}
			w.plants = append(w.plants, planted{miscoded, book, ev.Seq, d, w.books[book][i], hasSignal(d, w.books[book][i], book)})
		default:
			ev.Number = ev.Number%12 + 1
			w.plants = append(w.plants, planted{misread, book, ev.Seq, d, w.books[book][i], hasSignal(d, w.books[book][i], book)})
		}
		kept = append(kept, ev)
	}
	if w.opt.sorted {
		slices.SortStableFunc(kept, func(a, b block.Event) int { return int(a.At - b.At) })
	}
	w.books[book] = kept
}

func hasSignal(d *deed, ev block.Event, book int) bool {
	if len(d.bells) == 0 {
		return false
	}
	s := d.bells[len(d.bells)-2]
	return slices.Contains(ev.Bells, block.Bell{Sent: s.from == book, Code: s.code})
}

func (w *world) book(t testing.TB, book int) *Book {
	t.Helper()
	b, err := FromEntries(w.files[book].Box, w.files[book].Location, func(yield func(*reading.Entry, error) bool) {
		for _, ev := range w.books[book] {
			if !yield(&reading.Entry{Row: store.Row{Seq: ev.Seq}, Event: ev}, nil) {
				return
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	return b
}
