package block_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
)

// played is a book that is written as a history goes, by one who takes care or not.
type played struct {
	t     *testing.T
	file  *boxfile.File
	rng   *rand.Rand
	state block.State
	now   block.Time
	seq   int64
	book  []string

	careful bool
	danger  bool // some entry was warned of since all was last well
	struck  int  // users struck, all of them warned of
}

func play(t *testing.T, file *boxfile.File, seed uint64) played {
	return played{t: t, file: file, rng: rand.New(rand.NewPCG(seed, 7)), state: block.NewState(file.Box), now: clock, careful: seed%2 == 0}
}

// way is how a section with a crossing in it is worked: what is written of a train that
// goes, and of one that comes. Where nothing reports one past, it is no longer on its way
// than it is said to run, and it is past when that time is.
type way struct {
	box                 string
	accepted, gone, out []string // of a train that goes
	offered, coming, in []string // of one that comes
	late                int      // seconds that one that goes may take longer than the least
	runs                block.Time
}

var ways = []way{
	{box: "UW", accepted: []string{"Beech >1 <1 >3-1 <3-1 train T"}, gone: []string{"train T departed for Beech", "Beech >2 <2 train T"}, out: []string{"Beech <1 >1 <2-1 >2-1 train T"},
		offered: []string{"Beech <1 >1 <3-1 >3-1 train T"}, coming: []string{"Beech <2 >2 train T"}, in: []string{"train T arrived complete", "Beech >1 <1 >2-1 <2-1 train T"}, late: 300},
	{box: "UW-tc", accepted: []string{"Beech >1 <1 >3-1 <3-1 train T"}, gone: []string{"train T departed for Beech"},
		offered: []string{"Beech <1 >1 <3-1 >3-1 train T"}, in: []string{"train T arrived complete"}, late: 240, runs: 360},
	{box: "UW-tel", accepted: []string{"Beech >offer <accept train T"}, gone: []string{"train T departed for Beech", "Beech >entering train T"}, out: []string{"Beech <arrived train T"},
		offered: []string{"Beech <offer >accept train T"}, coming: []string{"Beech <entering train T"}, in: []string{"train T arrived complete", "Beech >arrived train T"}, late: 300},
	{box: "UW-ax", accepted: []string{"Beech >offer <accept train T pn N"}, gone: []string{"train T departed for Beech"}, out: []string{"Beech indicator free line Down"},
		offered: []string{"Beech <offer >accept train T pn N"}, coming: []string{"Beech indicator occupied line Up"}, in: []string{"train T arrived complete", "Beech indicator free line Up"}, late: 300},
}

// road is a small world: a crossing in a section of double line, trains that reach
// it no sooner than the running minutes say and as late as they like, and users who
// are clear within the minutes they asked for.
type road struct {
	played
	way     *way
	user    block.Time // on the crossing until then, 0 for nobody
	until   block.Time // by when the user said to be clear
	out, in run
	names   int
}

// run is a train on one of the lines.
type run struct {
	name      string
	accepted  bool
	entered   bool
	at, clear block.Time // when it is truly at the crossing, and past the section
}

func (w *played) write(line string) {
	w.seq++
	e := reading(w.t, line)
	e.At, e.Seq = w.now, w.seq
	w.book = append(w.book, fmt.Sprintf("%d %s", w.now-clock, line))
	var found []block.Finding
	w.state, found = block.Apply(w.file.Box, w.state, &e)
	for _, f := range found {
		if f.Severity != rulebook.Danger {
			continue
		}
		w.danger = true
		if w.careful {
			w.t.Fatalf("a danger to one who did right: %s: %s\n%s", f.Rule, f.Text, strings.Join(w.book, "\n"))
		}
	}
}

func (w *played) chance(oneIn int) bool { return w.rng.IntN(oneIn) == 0 }

// held says whether a careful signaller lets no train towards the crossing.
func (w *road) held() bool { return w.careful && w.until != 0 && w.now <= w.until }

// step is twenty seconds.
func (w *road) step() {
	w.now += 20
	for _, r := range []*run{&w.out, &w.in} {
		if !r.entered || r.at <= w.now-20 || r.at > w.now || w.user == 0 || r.at > w.user {
			continue
		}
		if w.struck++; !w.danger {
			w.t.Fatalf("a user struck by %s and no entry since he asked warned of it\n%s", r.name, strings.Join(w.book, "\n"))
		}
	}
	w.down()
	w.up()
	w.call()
}

func (w *road) name() string { w.names++; return fmt.Sprintf("2K%02d", w.names) }

// tell writes what the way of working has written of a train.
func (w *road) tell(lines []string, train string) {
	for _, line := range lines {
		w.write(strings.NewReplacer("train T", "train "+train, "pn N", fmt.Sprint("pn ", 100+w.seq)).Replace(line))
	}
}

func (w *road) down() {
	r := &w.out
	switch {
	case r.entered && w.now >= r.clear:
		w.tell(w.way.out, r.name)
		*r = run{}
	case r.accepted && !r.entered && !w.held() && w.chance(4):
		*r = run{name: r.name, accepted: true, entered: true, at: w.now + 120 + block.Time(w.rng.IntN(w.way.late))}
		r.clear = r.at + 60 + block.Time(w.rng.IntN(200))
		if w.way.runs != 0 {
			r.clear = w.now + w.way.runs + 1
		}
		w.tell(w.way.gone, r.name)
	case !r.accepted && !w.held() && w.chance(12):
		*r = run{name: w.name(), accepted: true}
		w.tell(w.way.accepted, r.name)
	}
}

func (w *road) up() {
	r := &w.in
	switch {
	case r.entered && w.now >= r.clear:
		w.tell(w.way.in, r.name)
		*r = run{}
	case r.accepted && !r.entered && w.chance(4):
		*r = run{name: r.name, accepted: true, entered: true, at: w.now + 180 + block.Time(w.rng.IntN(300))}
		r.clear = r.at + 40 + block.Time(w.rng.IntN(200))
		w.tell(w.way.coming, r.name)
	case !r.accepted && !w.held() && w.chance(12):
		*r = run{name: w.name(), accepted: true}
		w.tell(w.way.offered, r.name)
	}
}

// call lets a user ring now and then. One who takes care gives leave with nothing
// signalled in the section; the other gives it as he likes.
func (w *road) call() {
	if w.user != 0 && w.now > w.user {
		w.write(`crossing "Mill Lane" clear`)
		w.user, w.until = 0, 0
	}
	if w.user != 0 || !w.chance(10) {
		return
	}
	w.danger = false
	minutes := 1 + w.rng.IntN(2)
	w.write(fmt.Sprintf(`crossing "Mill Lane" asked "car" for %d`, minutes))
	if w.careful && (w.out.accepted || w.in.accepted) {
		w.write(`crossing "Mill Lane" wait`)
		return
	}
	w.until = w.now + block.Time(minutes)*block.Minute
	w.user = w.now + 20 + block.Time(w.rng.IntN(minutes*60-20))
	w.write(`crossing "Mill Lane" may cross`)
}

// TestNoUserStruckUnwarned plays many short histories of calls and trains, in each way of
// working: a user who is struck was warned of before, and nobody who gave leave with no
// train signalled and let none go meanwhile is accused.
func TestNoUserStruckUnwarned(t *testing.T) {
	for i := range ways {
		file, err := boxfile.Load("testdata/clauses/boxes/" + ways[i].box + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		struck := 0
		for seed := range uint64(200) {
			w := &road{played: play(t, file, seed), way: &ways[i]}
			for range 120 {
				w.step()
			}
			struck += w.struck
		}
		if struck < 50 {
			t.Errorf("%s: only %d users were struck in 100 careless histories: the search shows nothing", ways[i].box, struck)
		}
		t.Logf("%s: 200 histories of 40 minutes: %d users struck in the 100 careless ones, each of them warned of", file.Box.Sections[0].Method, struck)
	}
}
