package block_test

import (
	"fmt"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/boxfile"
)

// barriers is a small world: barriers worked from the box at the platform, trains from
// both sides that pass the home signal when it is off, or when they are told to, and a
// road that is used whenever it is open. Nothing holds the barriers but the signaller.
type barriers struct {
	played
	open bool
	way  [2]approach
	n    int
}

// approach is the line from one side with the train on it.
type approach struct {
	box, signal, train string
	off, entered, told bool
	at                 block.Time // when it reaches the home signal
}

// step is twenty seconds. All is well while the barriers are down, or no train may pass.
func (w *barriers) step() {
	w.now += 20
	for i := range w.way {
		w.over(&w.way[i])
	}
	if !w.open || !w.way[0].may() && !w.way[1].may() {
		w.danger = false
	}
	i := w.rng.IntN(2)
	w.work(&w.way[i], &w.way[1-i])
}

// may says whether a train, one that is on its way or the next, may come over the crossing.
func (a *approach) may() bool { return a.train != "" && (a.off || a.told) }

// over takes a train over the crossing that has come and may pass.
func (w *barriers) over(a *approach) {
	if !a.entered || w.now < a.at || !a.may() {
		return
	}
	if w.open {
		if w.struck++; !w.danger {
			w.t.Fatalf("a user struck by %s and no entry warned of it\n%s", a.train, strings.Join(w.book, "\n"))
		}
	}
	w.write("train " + a.train + " arrived at Platform complete")
	if a.off {
		w.signal(a, false)
	}
	w.write(a.box + " >1 <1 >2-1 <2-1 train " + a.train)
	w.write("train " + a.train + " put away")
	*a = approach{box: a.box, signal: a.signal}
}

func (w *barriers) signal(a *approach, off bool) {
	a.off = off
	w.write(fmt.Sprintf("signal %q %s", a.signal, map[bool]string{true: "off", false: "on"}[off]))
}

func (w *barriers) swing(open bool) {
	w.open = open
	w.write(`crossing "Station Road" ` + map[bool]string{true: "up", false: "down"}[open])
}

// work is what the signaller does. One who takes care lowers the barriers first, and
// raises them when every train for which a signal was cleared is past.
func (w *barriers) work(a, other *approach) {
	switch {
	case a.train == "" && w.chance(6) && !(w.careful && w.open):
		w.n++
		a.train = fmt.Sprintf("2K%02d", w.n)
		w.write(a.box + " <1 >1 <3-1 >3-1 train " + a.train)
	case a.train != "" && !a.entered && w.chance(3):
		a.entered, a.at = true, w.now+60+block.Time(w.rng.IntN(200))
		w.write(a.box + " <2 >2 train " + a.train)
	case a.train != "" && !a.off && w.chance(4) && !(w.careful && w.open):
		w.signal(a, true)
	case a.off && !w.careful && w.chance(6):
		w.signal(a, false)
	case a.entered && !a.off && !a.told && w.now >= a.at && w.chance(6) && !(w.careful && w.open):
		a.told = true
		w.write(fmt.Sprintf("train %s authorised past %q", a.train, a.signal))
	case w.open && w.chance(4):
		w.swing(false)
	case !w.open && w.chance(4) && !(w.careful && (a.may() || other.may())):
		w.swing(true)
	}
}

// TestNoUserStruckUnderBarriers plays many short histories of barriers and trains: a train
// that comes over with the road open was warned of, and nobody who lowered them first and
// waited for the last train is accused.
func TestNoUserStruckUnderBarriers(t *testing.T) {
	file, err := boxfile.Load("testdata/clauses/boxes/WK.yaml")
	if err != nil {
		t.Fatal(err)
	}
	struck, trains := 0, 0
	for seed := range uint64(400) {
		w := &barriers{played: play(t, file, seed), way: [2]approach{{box: "Ash", signal: "Down Home"}, {box: "Beech", signal: "Up Home"}}}
		w.swing(true)
		for range 120 {
			w.step()
		}
		struck, trains = struck+w.struck, trains+w.n
	}
	if struck < 50 {
		t.Errorf("only %d came over an open road in 200 careless histories: the search shows nothing", struck)
	}
	t.Logf("400 histories of 40 minutes, %d trains: %d over an open road in the 200 careless ones, each warned of", trains, struck)
}
