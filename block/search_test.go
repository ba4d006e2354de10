package block_test

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// clock is the one moment at which everything in a search happens: rules about
// time are left to the random walks, and states that differ only in time fall
// together.
const clock = block.Time(1_777_975_200) // 2026-05-05 10:00 UTC

// scene is one joint state of the world and the two books.
type scene struct {
	world world
	book  [2]block.State
	at    int32 // its number in the search
}

// search is an exhaustive breadth-first search of the model. A branch ends
// where one of the books carries a danger finding: what comes after is found.
type search struct {
	t       testing.TB
	p       *plant
	limit   int // moves in a history
	wrong   int // of them against the rules
	slips   int // entries of a history left out or misspelt by one of the boxes
	seen    map[uint64]uint8
	keys    *keyer
	moves   []string // by scene: the move that led there
	parents []int32
	report  map[string]int    // failures by kind, counted
	shown   map[string]string // the first of each kind as a story
	tried   int
	done    int // moves made
	judged  int // scenes two trains after a slip
	visit   func(*scene)
	right   map[uint64]bool // the books of right working with no slip, by their key
	parts   int             // collisions of which a book has a name that is that of a part of another train
	hidden  int             // collisions of which the books are those of right working
	list    []move          // those of the scene that is taken up
	apart   map[world]int   // within how many moves nothing comes that is judged
	trial   scene           // after the move that is tried
}

// depth is how deep a search goes: so many moves less than the whole by default,
// so that an answer is there in seconds; the whole with FAIRHAND_DEPTH=full; or
// as many moves as FAIRHAND_DEPTH says.
func depth(t testing.TB, whole, less int) int {
	switch v := os.Getenv("FAIRHAND_DEPTH"); v {
	case "":
		return whole - less
	case "full":
		return whole
	default:
		n, err := strconv.Atoi(v)
		if err != nil {
			t.Fatalf("FAIRHAND_DEPTH=%s: %v; give a number of moves, or full", v, err)
		}
		return n
	}
}

// open is the scene before the first move, its entries found regular.
func (p *plant) open(t testing.TB) scene {
	s := scene{world: p.begin()}
	for x := range 2 {
		s.book[x] = block.NewState(p.box[x])
		for _, line := range p.prefix[x] {
			if f := write(t, p, &s.book[x], x, line, clock); len(f) > 0 {
				t.Fatalf("%s, before the first move, %s: %s", p.name, line, told(f))
			}
		}
	}
	return s
}

// write puts an entry into a book and gives what is found.
func write(t testing.TB, p *plant, s *block.State, x int, line string, at block.Time) []block.Finding {
	e := reading(t, line)
	e.At, e.Seq = at, s.LastSeq+1
	next, found := block.Apply(p.box[x], *s, &e)
	*s = next
	return found
}

func told(found []block.Finding) string {
	var parts []string
	for _, f := range found {
		parts = append(parts, f.Severity.String()+" "+string(f.Rule))
	}
	return strings.Join(parts, ", ")
}

// run searches in the order of length, so that the first failure shown is a
// shortest one, and returns the number of moves of the longest history.
func (s *search) run() (length int) {
	s.seen = map[uint64]uint8{}
	if s.keys == nil {
		s.keys = newKeyer()
	}
	s.report, s.shown, s.apart = map[string]int{}, map[string]string{}, map[world]int{}
	first := s.p.open(s.t)
	s.moves, s.parents = []string{"begin"}, []int32{-1}
	s.seen[s.keys.scene(&first)] = 0
	level := []*scene{&first}
	for length < s.limit && len(level) > 0 {
		var next []*scene
		for i := range level {
			next = s.expand(level[i], next)
			level[i] = nil
		}
		level = next
		length++
		s.done = length
	}
	return length
}

// expand makes every move in a scene. A scene met before is not taken up again,
// unless it was met after more wrong moves.
func (s *search) expand(sc *scene, next []*scene) []*scene {
	if s.visit != nil {
		s.visit(sc)
	}
	s.list = s.withSlips(s.list[:0], &sc.world, int(sc.world.wrong) < s.wrong)
	n := &s.trial
	for _, m := range s.list {
		if int(m.next.wrong) > s.wrong || int(m.next.slips) > s.slips {
			continue
		}
		if s.visit == nil && s.slips+s.wrong > 0 && !s.comes(&m.next, s.limit-s.done-1) {
			continue // whatever the books say, there is nothing in time that they are judged by
		}
		s.tried++
		*n = scene{world: m.next, book: sc.book, at: int32(len(s.moves))}
		danger, any := false, ""
		for x := range 2 {
			for _, line := range m.book[x] {
				for _, f := range write(s.t, s.p, &n.book[x], x, line, clock) {
					danger = danger || f.Severity == rulebook.Danger && (s.slips == 0 || !n.book[x].MayAnswer(&f))
					any = f.Severity.String() + " " + string(f.Rule)
				}
			}
		}
		switch {
		case n.world.wrong == 0 && n.world.slips == 0 && any != "":
			s.fail("crying wolf at "+generic(m.name)+": "+any, sc.at, m)
			continue
		case s.wrong == 0 && s.judges(&n.world) && s.forgets(n):
			s.fail("right working, one slip, and found for good: "+s.standing(n, false), sc.at, m)
			continue
		case danger && (n.world.wrong > 0 || n.world.slips == 0):
			continue
		case s.p.collided(&n.world) != "" && s.standing(n, true) != "":
			continue
		case s.p.collided(&n.world) != "" && s.right[s.keys.books(n)]:
			s.hidden++ // a slip left no trace of what was done: nobody could tell
			continue
		case s.p.collided(&n.world) != "" && s.underPartsName(n):
			s.parts++
		case s.p.collided(&n.world) != "":
			s.fail(s.p.collided(&n.world)+", and no danger found", sc.at, m)
			continue
		}
		k := s.keys.scene(n)
		if least, ok := s.seen[k]; ok && least <= n.world.wrong {
			continue
		}
		s.seen[k] = n.world.wrong
		s.moves, s.parents = append(s.moves, m.name), append(s.parents, sc.at)
		kept := *n
		next = append(next, &kept)
	}
	return next
}

// judges says whether a history that has come to this is judged by it: two trains are in
// one section; or, where all is done rightly, two are out of it since the slip.
func (s *search) judges(w *world) bool {
	if s.wrong == 0 {
		return w.since > 1 && w.work.stage == idle
	}
	return s.p.collided(w) != ""
}

// comes says whether that may come within so many moves. Most histories are of the greatest
// length, and most of those end in nothing that they are judged by: that is told by the world
// alone, and nothing of them need be written. What right working finds is the business of
// TestNoCryingWolf.
func (s *search) comes(w *world, left int) bool {
	if s.judges(w) {
		return true
	}
	as := *w
	if s.wrong > 0 {
		as.slips, as.since = 1, 0 // a slip changes nothing of what comes
	}
	if no, ok := s.apart[as]; left == 0 || ok && left <= no {
		return false
	}
	for _, m := range s.withSlips(nil, &as, int(as.wrong) < s.wrong) {
		if int(m.next.slips) <= max(s.slips, 1) && s.comes(&m.next, left-1) {
			return true
		}
	}
	s.apart[as] = left
	return false
}

// generic is a move with the names of trains and boxes taken out.
func generic(name string) string {
	for _, n := range trainNames {
		name = strings.ReplaceAll(name, n, "train")
	}
	for _, n := range boxNames {
		name = strings.ReplaceAll(name, n, "box")
	}
	return name
}

// fail notes a failure; the first of each kind is shown with its whole history.
func (s *search) fail(kind string, at int32, last move) {
	s.report[kind]++
	if s.report[kind] > 1 {
		return
	}
	s.shown[kind] = kind + "\n" + s.told(&scene{at: at}, last)
}

// told is the story of a scene and of the move after it.
func (s *search) told(sc *scene, last move) string {
	names := []string{last.name}
	for i := sc.at; i > 0; i = s.parents[i] {
		names = append(names, s.moves[i])
	}
	slices.Reverse(names)
	return s.story(names)
}

// story plays a history again and writes both books with what was found.
func (s *search) story(names []string) string {
	var b strings.Builder
	sc := s.p.open(s.t)
	for _, n := range names {
		all := s.withSlips(nil, &sc.world, true)
		i := slices.IndexFunc(all, func(m move) bool { return m.name == n })
		if i < 0 {
			fmt.Fprintf(&b, "  no move %s\n", n)
			break
		}
		word := "regular"
		if all[i].next.wrong > sc.world.wrong {
			word = "wrong"
		}
		sc.world = all[i].next
		fmt.Fprintf(&b, "  %s (%s)\n", n, word)
		for x := range 2 {
			for _, line := range all[i].book[x] {
				fmt.Fprintf(&b, "    %-10s %s", boxNames[x], line)
				if f := write(s.t, s.p, &sc.book[x], x, line, clock); len(f) > 0 {
					fmt.Fprintf(&b, "   <- %s", told(f))
				}
				b.WriteByte('\n')
			}
		}
	}
	return b.String()
}

// endless stands for no limit to the length of a history.
const endless = 1 << 30

// depths says how long the histories of a method are at full depth, where they are not
// those of a method that nobody has looked at: longer where moves are few, shorter
// where they are many.
var depths = map[rulebook.Method]reach{
	rulebook.Absolute:          {9, 9, 12},
	rulebook.Token:             {7, 7, 15},
	rulebook.StaffAndTicket:    {7, 7, 15},
	rulebook.OneTrain:          {11, 10, 11},
	rulebook.ByTelephone:       {9, 9, 12},
	rulebook.ByTelephoneSingle: {9, 8, 11},
	rulebook.AxleCounter:       {13, 9, 12},
	rulebook.AxleCounterSingle: {11, 8, 11},
	rulebook.Permissive:        {14, 10, 12},
}

// reach is how long histories are with moves against the rules, with one and a slip,
// and with a slip alone: long enough for two trains to run after each other.
type reach struct{ wrong, slip, forgiven int }

func (p *plant) depths() reach {
	if p.makes {
		return reach{8, 7, max(11, depths[p.method].forgiven)}
	}
	if r, ok := depths[p.method]; ok {
		return r
	}
	return reach{8, 8, 11}
}

// calmDepth is how long the regular histories of a single line are at full depth; those of
// a double line have no limit then, and calmDouble by default: two trains one after the other.
const (
	calmDepth  = 14
	calmDouble = 14
)

// wrongMoves is how many moves of a history may be against the rules.
const wrongMoves = 2

// plants are two boxes for each method that has a line of its own to be in front on,
// under the first set that has it, and some in other ways.
func plants(t testing.TB) (all []*plant) {
	for m := range rulebook.MethodCount {
		i := slices.IndexFunc(searchedUnder, func(set string) bool { return rulebook.RuleSetNamed(set).Covers(m) })
		p := newPlant(t, m, searchedUnder[i], true)
		switch how := m.Is(); {
		case how.Described: // nobody is asked, and nothing given out
		case how.Follows:
			all = append(all, p.following("goods", 2, "3-2"),
				newPlant(t, m, searchedUnder[i], true).following("passenger behind", 2, "3-1"),
				newPlant(t, m, searchedUnder[i], true).following("room for one", 1, "3-2"))
		default:
			all = append(all, p)
		}
	}
	return append(all,
		newPlant(t, rulebook.Absolute, "british-later", false),
		newPlant(t, rulebook.Absolute, "british-early", true),
		newPlant(t, rulebook.Token, "british-later", false))
}

var searchedUnder = []string{"british-later", "indian-general", "british-early"}

// TestSoundness is the law of design 10: with two books run against one
// physical model, whenever two trains come to be in one section, at least one
// of the books already carried a danger finding.
func TestSoundness(t *testing.T) {
	for _, p := range append(plants(t), makingUp(t)...) {
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			s := &search{t: t, p: p, limit: depth(t, p.depths().wrong, 3), wrong: wrongMoves}
			s.try()
		})
	}
}

// TestNoCryingWolf is its other half: in no history in which both
// signallers do as the rules say does either book carry any finding, advice
// included. Time stands still, so limits of time are left to TestTimedWalks.
func TestNoCryingWolf(t *testing.T) {
	for _, p := range append(plants(t), makingUp(t)...) {
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			limit := depth(t, endless, endless-calmDouble)
			switch {
			case p.makes:
				limit = depth(t, calmDepth-2, 4)
			case p.single():
				limit = depth(t, calmDepth, 4)
			}
			s := &search{t: t, p: p, limit: limit}
			s.try()
		})
	}
}

func (s *search) try() {
	began := time.Now()
	length := s.run()
	s.t.Logf("histories of up to %d moves, %d of them wrong: %d states, %d moves tried, %.1f s",
		length, s.wrong, len(s.seen), s.tried, time.Since(began).Seconds())
	if s.parts > 0 {
		s.t.Logf("%d collisions of a train that a book has as part of another, under its own name: found as names that differ, or that were not together, which is all that one book can tell", s.parts)
	}
	if s.hidden > 0 {
		s.t.Logf("%d collisions that no book can show: with the slip the books are those of right working", s.hidden)
	}
	for kind, story := range s.shown {
		s.t.Errorf("%d times, first so: %s", s.report[kind], story)
	}
}
