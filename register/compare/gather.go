package compare

import (
	"cmp"
	"iter"
	"slices"
	"time"
	"unique"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/reading"
)

// bell is one bell signal as a book has it. A year of a busy box has a million, so
// it is kept small: what its entry says is kept once for all bells of the entry.
type bell struct {
	*ringing
	exchange int32  // index into side.exchanges
	code     uint16 // index into side.codes
	part     part
	sent     bool // by the box of this book
}

// noted is an entry of a book, as what was made of it names it.
type noted struct {
	seq   int64
	at    block.Time // by the clock of the box
	entry int32      // index among the entries of the book
	train int32      // id in the book's trains, 0 none: here it takes no room
}

// ringing is an entry that has bells.
type ringing struct {
	noted
	reached block.Time            // time that the book had surely reached at it, by its own clock
	name    unique.Handle[string] // train as the entry names it
}

// unnamed is the name of a train that the entry does not name.
var unnamed = unique.Make("")

// mayBeOne says whether two names may be of one train: they are the same, or one is not given.
func mayBeOne(a, b unique.Handle[string]) bool { return a == b || a == unnamed || b == unnamed }

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
	seq    int64  // entry of the acceptance
	code   uint16 // of the signal; 0 while there was call attention only
	sent   bool   // begun by the box of this book
	offer  bool
	accept acceptance
}

// acceptance is how an offer was answered.
type acceptance uint8

const (
	unanswered acceptance = iota
	full
	restricted
	refused
)

// roundings are what the times of a book may be rounded to, and inFives is of how many entries
// it is believed that they are so by more than chance (common practice).
var roundings = [...]block.Time{5 * block.Minute, block.Minute, block.Minute / 2}

const inFives = 20

// gathering makes a Book of entries.
type gathering struct {
	b      *Book
	run    *reading.Replay
	off    [len(roundings)]int // entries whose times are not of each step
	times  []block.Time        // of all entries
	places map[int64]int       // in times, of entries that are counted and not yet read

	onHand int        // trains after the last entry
	last   block.Time // that the book had come to then
}

func newGathering(box *block.Box, loc *time.Location) *gathering {
	g := &gathering{
		b:   &Book{Box: box, Location: loc, sides: make([]side, len(box.Sections)), trains: map[int]*train{}},
		run: reading.NewReplay(box, block.NewState(box)), places: map[int64]int{},
	}
	for i := range g.b.sides {
		g.b.sides[i].codes = []rulebook.Code{""}
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
				for k, step := range roundings {
					if at%step != 0 {
						g.off[k]++
					}
				}
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

// ringing gives room for one more: many are made at once, all of one section, so that they go
// with it where it is not compared.
func (s *side) ringing() *ringing {
	if len(s.room) == 0 {
		s.room = make([]ringing, 256)
	}
	r := &s.room[0]
	s.room = s.room[1:]
	return r
}

// number is the place of a code in the list of those of the side.
func (s *side) number(c rulebook.Code) uint16 {
	i := slices.Index(s.codes, c)
	if i < 0 {
		i = len(s.codes)
		s.codes = append(s.codes, c)
	}
	return uint16(i)
}

// take reads one entry.
func (g *gathering) take(e *reading.Entry) {
	b, ev := g.b, &e.Event
	at := noted{seq: ev.Seq, at: ev.At, entry: int32(g.places[e.Seq])}
	delete(g.places, e.Seq)
	g.fresh(ev.At)
	g.run.Take(e)
	at.train = g.trainsOf()
	if ev.Kind == block.TrainRenamed {
		b.renames = append(b.renames, rename{at, ev.Train, ev.Subject})
	}
	g.passed(ev, at)
	i := b.Box.SectionIndex(ev.Section)
	if i < 0 {
		return
	}
	b.sides[i].worked(b.Box, i, ev, at)
	if ev.Kind == block.Obstruct {
		b.sides[i].obstructed = append(b.sides[i].obstructed, obstructed{at.entry, ev.Line})
	}
	switch ev.Kind {
	case block.Bells:
		s := &b.sides[i]
		of := s.ringing()
		s.numbered(ev, at.entry)
		*of = ringing{noted: at, name: unique.Make(ev.Train)}
		for _, x := range ev.Bells {
			s.bells = append(s.bells, bell{ringing: of, sent: x.Sent, code: s.number(x.Code)})
		}
	case block.TokenCount:
		b.sides[i].counts = append(b.sides[i].counts, count{at, ev.Number, ev.Other})
	default:
		if m, ok := moveOf(ev); ok {
			m.noted = at
			b.sides[i].moves = append(b.sides[i].moves, m)
		}
	}
}

// fresh begins the state anew, at a quiet time, when trains whose entries are
// missing have gathered in it: nothing here needs them, and each would be looked
// at with every entry to the end of the book. The state is not asked for before that: an
// entry may have been tried, and would have to be taken back.
func (g *gathering) fresh(at block.Time) {
	if g.onHand < 50 || g.onHand < 400 && at-g.last < 15*block.Minute {
		return
	}
	next := block.NewState(g.b.Box)
	next.NextID = g.run.Look().NextID
	g.run.Begin(next)
}

// trainsOf keeps the trains that the last entry concerned, and gives the first.
func (g *gathering) trainsOf() int32 {
	s := g.run.Look()
	g.onHand, g.last = len(s.Trains), s.LastAt
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
		name: t.Name, in: int16(t.In.Section), out: int16(t.Out.Section), givenOut: cmp.Or(t.In.OutOf, t.In.Given),
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
	for k, step := range roundings {
		if g.off[k] < few && (k > 0 || g.b.Entries >= inFives) {
			g.b.step = step
			break
		}
	}
	g.b.silences = silences(g.times)
	times := steady(g.times)
	g.putBack(times)
	for i := range g.b.sides {
		s := &g.b.sides[i]
		s.bells = slices.Clone(s.bells) // without the room they grew by
		slices.SortStableFunc(s.bells, func(a, b bell) int { return cmp.Compare(a.entry, b.entry) })
		slices.SortStableFunc(s.moves, func(a, b move) int { return cmp.Compare(a.entry, b.entry) })
		newReading(g.b.Box, i, s, times).all()
		s.places(times)
	}
	return g.b
}

// putBack notes where the clock was put back: at the entry that shows it most, of the few
// among which the steady times do. Those of the entries between are as they give them.
func (g *gathering) putBack(times []block.Time) {
	all := block.Time(0)
	for i := 1; i < len(times); i++ {
		if times[i] >= times[i-1] {
			continue
		}
		at := i
		for k := max(1, i-2); k <= min(len(times)-1, i+2); k++ {
			if g.times[k-1]-g.times[k] > g.times[at-1]-g.times[at] {
				at = k
			}
		}
		for k := min(i, at); k < max(i, at); k++ {
			times[k] = g.times[k]
		}
		all += g.times[at-1] - g.times[at] + block.Minute // which went by at least
		g.b.backs = append(g.b.backs, setBackBy{int32(at), all})
		i = max(i, at)
	}
}

// trainName is the name of a bell's train: as the entry has it, or as the book
// took it.
func (b *Book) trainName(x *bell) string {
	if x.name != unnamed {
		return x.name.Value()
	}
	if t := b.trains[int(x.train)]; t != nil {
		return t.name
	}
	return ""
}
