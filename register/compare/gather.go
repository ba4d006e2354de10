package compare

import (
	"cmp"
	"iter"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/reading"
)

// bell is one bell signal as a book has it.
type bell struct {
	seq      int64
	at       block.Time
	sent     bool // by the box of this book
	part     part
	exchange int32 // index into side.exchanges
	entry    int32 // index among the entries of the book
	train    int32 // id in the book's trains, 0 none
	code     rulebook.Code
	name     string // train as the entry names it
}

// part is what a bell is in its exchange.
type part uint8

const (
	attention part = iota // call attention
	ready                 // its acknowledgement
	signal                // the signal itself
	repeated              // its acknowledgement
	answer                // a signal that answers an offer: restricted acceptance, not clear
	answered              // its acknowledgement
)

// exchange is one signal with what belongs to it.
type exchange struct {
	sent   bool          // begun by the box of this book
	code   rulebook.Code // of the signal; "" while there was call attention only
	offer  bool
	accept acceptance
	seq    int64 // entry of the acceptance
}

// acceptance is how an offer was answered.
type acceptance uint8

const (
	unanswered acceptance = iota
	full
	restricted
	refused
)

// gathering makes a Book of entries.
type gathering struct {
	b      *Book
	run    *reading.Replay
	steps  [3]int        // entries with times in whole minutes, halves, other
	times  []block.Time  // of all entries
	places map[int64]int // in times, of entries that are counted and not yet read
}

func newGathering(box *block.Box, loc *time.Location) *gathering {
	g := &gathering{
		b:   &Book{Box: box, Location: loc, sides: make([]side, len(box.Sections)), trains: map[int]*train{}},
		run: reading.NewReplay(box, block.NewState(box)), places: map[int64]int{},
	}
	return g
}

// counted counts the entries in the order of the book, which tells more of how
// bells followed each other than times that may be wrong.
func (g *gathering) counted(entries iter.Seq2[*reading.Entry, error]) iter.Seq2[*reading.Entry, error] {
	return func(yield func(*reading.Entry, error) bool) {
		for e, err := range entries {
			if err == nil {
				b, at := g.b, e.Event.At
				if b.Entries == 0 || at < b.First {
					b.First = at
				}
				b.Last = max(b.Last, at)
				g.places[e.Seq] = len(g.times)
				g.times = append(g.times, at)
				b.Entries++
				g.rounding(at)
				if e.Place > 0 {
					b.lines = append(slices.Grow(b.lines, int(e.Seq)-len(b.lines)), make([]int32, int(e.Seq)-len(b.lines))...)
					b.lines[e.Seq-1] = int32(e.Place)
				}
			}
			if !yield(e, err) {
				return
			}
		}
	}
}

// inBook puts the bells and tokens of a section in the order of the book.
func (s *side) inBook() {
	slices.SortStableFunc(s.bells, func(a, b bell) int { return cmp.Compare(a.entry, b.entry) })
	slices.SortStableFunc(s.moves, func(a, b move) int { return cmp.Compare(a.entry, b.entry) })
}

// take reads one entry.
func (g *gathering) take(e *reading.Entry) {
	b, ev := g.b, &e.Event
	at := g.places[e.Seq]
	delete(g.places, e.Seq)
	g.fresh(ev.At)
	g.run.Take(e)
	train := g.trainsOf()
	if ev.Kind == block.TrainRenamed {
		b.renames = append(b.renames, rename{ev.Train, ev.Subject, ev.Seq, ev.At})
	}
	g.passed(ev, int32(at))
	i := b.Box.SectionIndex(ev.Section)
	if i < 0 {
		return
	}
	b.sides[i].worked(ev, int32(at))
	switch ev.Kind {
	case block.Bells:
		for _, x := range ev.Bells {
			b.sides[i].bells = append(b.sides[i].bells, bell{entry: int32(at), seq: ev.Seq, at: ev.At, sent: x.Sent, code: x.Code, train: train, name: ev.Train})
		}
	case block.TokenCount:
		b.sides[i].counts = append(b.sides[i].counts, count{ev.Seq, int32(at), ev.At, ev.Number, ev.Other})
	default:
		if m, ok := moveOf(ev); ok {
			m.entry = at
			b.sides[i].moves = append(b.sides[i].moves, m)
		}
	}
}

// fresh begins the state anew, at a quiet time, when trains whose entries are
// missing have gathered in it: nothing here needs them, and each would be looked
// at with every entry to the end of the book.
func (g *gathering) fresh(at block.Time) {
	s := g.run.Look()
	if n := len(s.Trains); n < 50 || n < 400 && at-s.LastAt < 15*block.Minute {
		return
	}
	next := block.NewState(g.b.Box)
	next.NextID = s.NextID
	g.run.Begin(next)
}

func (g *gathering) rounding(at block.Time) {
	switch at % block.Minute {
	case 0:
		g.steps[0]++
	case 30:
		g.steps[1]++
	default:
		g.steps[2]++
	}
}

// trainsOf keeps the trains that the last entry concerned, and gives the first.
func (g *gathering) trainsOf() int32 {
	s := g.run.Look()
	for _, id := range s.Touched {
		if t := s.Train(id); t != nil {
			g.keep(t)
		}
	}
	for _, t := range s.Closed {
		g.keep(t)
	}
	if len(s.Touched) == 0 {
		return 0
	}
	return int32(s.Touched[0])
}

func (g *gathering) keep(t *block.Train) {
	kept := g.b.trains[t.ID]
	if kept == nil {
		kept = new(train)
		g.b.trains[t.ID] = kept
	}
	*kept = train{
		name: t.Name, in: t.In.Section, out: t.Out.Section, givenOut: cmp.Or(t.In.OutOf, t.In.Given),
		times: Times{
			Entered:  t.In.Entering,
			Arrived:  cmp.Or(t.In.Arrived, t.PlaceAt),
			Departed: cmp.Or(t.DepartedAt, t.Out.Entering),
			Cleared:  t.Out.OutOf,
		},
	}
}

func (g *gathering) finish() *Book {
	// One entry in fifty may have a stray time, or its seconds by chance.
	few := max(1, g.b.Entries/50)
	switch {
	case g.steps[1]+g.steps[2] < few:
		g.b.step = 60
	case g.steps[2] < few:
		g.b.step = 30
	}
	times := steady(g.times)
	for i := range g.b.sides {
		g.b.sides[i].inBook()
		newReading(g.b.Box, i, &g.b.sides[i], times).all()
		g.b.sides[i].places(times)
	}
	g.order(times)
	return g.b
}

// order gives each token movement the time of its place in the book, so that a
// wrong time does not put it before another. Late entries keep their own.
func (g *gathering) order(times []block.Time) {
	for i := range g.b.sides {
		for k := range g.b.sides[i].moves {
			m := &g.b.sides[i].moves[k]
			m.order = m.at
			if !m.late {
				m.order = times[m.entry]
			}
		}
	}
}

// trainName is the name of a bell's train: as the entry has it, or as the book
// took it.
func (b *Book) trainName(x *bell) string {
	if x.name != "" {
		return x.name
	}
	if t := b.trains[int(x.train)]; t != nil {
		return t.name
	}
	return ""
}
