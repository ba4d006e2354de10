package block_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// TestLongWalks goes where the exhaustive search does not reach: long random
// histories in which a wrong move comes now and then. The law is the same: no
// collision without a danger finding before it. Seeds are fixed; FAIRHAND_DEPTH
// gives more of them.
func TestLongWalks(t *testing.T) {
	walks := 50 * depth(t, 8, 7)
	for _, p := range plants(t) {
		t.Run(p.name, func(t *testing.T) {
			moves, ended, failed := 0, 0, map[string]bool{}
			for seed := range uint64(walks) {
				n, danger, bad := p.walk(t, rand.New(rand.NewPCG(seed, 7)), 80)
				moves += n
				if danger {
					ended++
				}
				if bad != nil && !failed[bad[0]] {
					failed[bad[0]] = true
					t.Errorf("%s", (&search{t: t, p: p}).story(bad[1:]))
				}
			}
			t.Logf("%d walks of %d moves in all, %d ended by a danger finding", walks, moves, ended)
		})
	}
}

// walk makes up to length moves, a wrong one in twelve. It ends with the first
// danger finding; bad is the history of a collision without one.
func (p *plant) walk(t *testing.T, r *rand.Rand, length int) (moves int, danger bool, bad []string) {
	sc := p.open(t)
	names := []string{""}
	for range length {
		right, wrong := p.split(&sc.world)
		list := right
		if len(right) == 0 || len(wrong) > 0 && r.IntN(12) == 0 {
			list = wrong
		}
		m := list[r.IntN(len(list))]
		names = append(names, m.name)
		sc.world = m.next
		for x := range 2 {
			for _, line := range m.book[x] {
				for _, f := range write(t, p, &sc.book[x], x, line, clock) {
					danger = danger || f.Severity == rulebook.Danger
				}
			}
		}
		moves++
		if danger {
			return moves, true, nil
		}
		if c := p.collided(&sc.world); c != "" {
			names[0] = c
			return moves, false, names
		}
	}
	return moves, false, nil
}

// split are the moves that there are, as the rules say and against them.
func (p *plant) split(w *world) (right, wrong []move) {
	for _, m := range p.moves(w) {
		if m.next.wrong > w.wrong {
			wrong = append(wrong, m)
		} else {
			right = append(right, m)
		}
	}
	return right, wrong
}

// histories are collisions that deep searches or long walks once came to with
// no danger found, kept so that they are tried every time.
var histories = []struct {
	point  string // the wish, while it is open
	method rulebook.Method
	moves  []string
}{
	{"", rulebook.Absolute, []string{"offer 1A01", "accept 1A01", "1A01 leaves", "1A02 leaves, entering sent"}},
	{"", rulebook.Absolute, []string{"offer 1A01", "accept 1A01", "1A01 leaves", "out of section from Saltgarth", "cancel from Ennerholme",
		"offer 1A02", "accept 1A02", "1A02 leaves"}},
}

// TestHistories tries them: one of the books must carry a danger finding.
func TestHistories(t *testing.T) {
	for _, h := range histories {
		p := newPlant(t, h.method, "british-later", true)
		story := (&search{t: t, p: p}).story(h.moves)
		switch {
		case strings.Contains(story, "no move"):
			t.Errorf("the model has changed:\n%s", story)
		case strings.Contains(story, "<- danger") || strings.Contains(story, ", danger "):
		case h.point != "":
			t.Logf("open point %s: no danger found:\n%s", h.point, story)
		default:
			t.Errorf("no danger found:\n%s", story)
		}
	}
}

// TestTimedWalks lets time pass: regular histories in which each signaller does
// what has a limit at once, and everything else in its time. No limit of time
// may be raised, nor anything else.
func TestTimedWalks(t *testing.T) {
	for _, p := range plants(t) {
		t.Run(p.name, func(t *testing.T) {
			told := map[string]bool{}
			for seed := range uint64(depth(t, 150, 100)) {
				if what := p.timedWalk(t, rand.New(rand.NewPCG(seed, 11)), told); what != "" {
					t.Error(what)
				}
			}
		})
	}
}

func (p *plant) timedWalk(t *testing.T, r *rand.Rand, known map[string]bool) string {
	sc := p.open(t)
	at := clock
	history := ""
	for range 60 {
		m, ok := p.urgent(&sc.world, r)
		if !ok {
			return ""
		}
		at += block.Time(r.IntN(12))
		sc.world = m.next
		for x := range 2 {
			for _, line := range m.book[x] {
				history += fmt.Sprintf("  %+4ds %s: %s\n", at-clock, boxNames[x], line)
				for _, f := range write(t, p, &sc.book[x], x, line, at) {
					kind := generic(m.name) + ": " + f.Severity.String() + " " + string(f.Rule)
					if known[kind] {
						return ""
					}
					known[kind] = true
					return kind + "\n" + history
				}
			}
		}
	}
	return ""
}

// urgent picks a regular move: one that has a limit of time before any other,
// and bringing a train through the section before beginning something new.
func (p *plant) urgent(w *world, r *rand.Rand) (move, bool) {
	var best []move
	rank := -1
	for _, m := range p.moves(w) {
		if m.next.wrong > 0 {
			continue
		}
		n := 0
		switch k := &m.next.work; {
		case k.tes && !w.work.tes, m.next.danger && !w.danger, m.next.told != w.told && w.work.stage == inSection:
			n = 2
		case w.work.stage == inSection && !m.next.obstacle:
			n = 1
		}
		if n > rank {
			best, rank = nil, n
		}
		if n == rank {
			best = append(best, m)
		}
	}
	if len(best) == 0 {
		return move{}, false
	}
	return best[r.IntN(len(best))], true
}
