package block_test

import (
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/notation"
)

// benchBook is one through train each way and one token train, to be repeated by other
// trains: by the same it would be a slip.
const benchBook = `date 2026-05-05
10:00 Saltgarth <1 >1 <3-1 >3-1 train 2P01
10:01 Saltgarth <2 >2
10:02 Coldbeck >1 <1 >3-1 <3-1 train 2P01
10:03 Coldbeck token 1 out
10:05 train 2P01 arrived at "Platform 1" complete
10:05 Saltgarth >1 <1 >2-1 <2-1
10:06 train 2P01 departed for Coldbeck
10:06 Coldbeck >2 <2
10:15 Coldbeck <1 >1 <2-1 >2-1
10:20 Coldbeck <1 >1 <3-1 >3-1 train 2P02
10:21 Coldbeck token 1 out
10:22 Coldbeck <2 >2
10:30 train 2P02 arrived at "Platform 1" complete
10:30 Coldbeck token 1 in
10:30 Coldbeck >1 <1 >2-1 <2-1
10:31 Saltgarth >1 <1 >3-1 <3-1 train 2P02
10:33 Saltgarth >2 <2
10:38 Saltgarth <1 >1 <2-1 >2-1
`

func benchEvents(b testing.TB) (*block.Box, []block.Event) {
	box := &block.Box{Name: "Ennerholme", Rules: rulebook.RuleSetNamed("british-later"), ClockCheck: -1,
		Sections: []block.Section{
			{Neighbour: "Coldbeck", Method: rulebook.Token, Towards: "down", Lines: []block.Line{{Name: "Single"}}, Tokens: block.Tokens{Charge: []int{1, 2, 3, 4}, Here: []int{1, 2}}},
			{Neighbour: "Saltgarth", Method: rulebook.Absolute, Towards: "up", Lines: []block.Line{{Name: "Up Main", Way: block.Out}, {Name: "Down Main", Way: block.In}}},
		},
		Places: []block.Place{{Name: "Platform 1", Holds: 1}},
	}
	if err := box.Prepare(); err != nil {
		b.Fatal(err)
	}
	var evs []block.Event
	for day := 10; day < 40; day++ {
		book := strings.NewReplacer("2P0", "2P"+strconv.Itoa(day)).Replace(benchBook)
		one, err := notation.ParseAll(strings.NewReader(book), time.UTC)
		if err != nil {
			b.Fatal(err)
		}
		for i := range one {
			one[i].At += block.Time(day) * 40 * block.Minute
		}
		evs = append(evs, one...)
	}
	return box, evs
}

// BenchmarkApply is the pure door, a new state for each event.
func BenchmarkApply(b *testing.B) {
	box, evs := benchEvents(b)
	s := block.NewState(box)
	b.ReportAllocs()
	found := 0
	var ev block.Event // one for all: the caller's event is not Apply's to count
	for i := 0; b.Loop(); i++ {
		ev = evs[i%len(evs)]
		ev.At += block.Time(i/len(evs)) * 30 * 40 * block.Minute
		ev.Seq = int64(i + 1)
		var f []block.Finding
		s, f = block.Apply(box, s, &ev)
		found += len(f)
		if len(f) > 0 && os.Getenv("SHOW") != "" {
			b.Log(f)
		}
	}
	if found > 0 {
		b.Fatalf("%d findings on a regular day", found)
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "events/s")
}

// BenchmarkReplay is the same events in place, as a book is replayed.
func BenchmarkReplay(b *testing.B) {
	box, evs := benchEvents(b)
	run := block.NewRunner(box, block.NewState(box))
	b.ReportAllocs()
	var ev block.Event
	for i := 0; b.Loop(); i++ {
		ev = evs[i%len(evs)]
		ev.At += block.Time(i/len(evs)) * 30 * 40 * block.Minute
		ev.Seq = int64(i + 1)
		run.Step(&ev)
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "events/s")
}

// BenchmarkExpected is what the desk asks after every entry.
func BenchmarkExpected(b *testing.B) {
	box, evs := benchEvents(b)
	run := block.NewRunner(box, block.NewState(box))
	for i := range evs[:8] {
		run.Step(&evs[i])
	}
	s := run.State()
	b.ReportAllocs()
	for b.Loop() {
		block.Expected(box, &s)
	}
}

// A state shares the bells of the one before where an entry leaves each as it was, and
// what is written after it is not seen in it.
func TestBellsAreShared(t *testing.T) {
	box, evs := benchEvents(t)
	s := block.NewState(box)
	for i, ev := range evs {
		ev.Seq = int64(i + 1)
		asked := ev
		asked.Bells = asked.Bells[:min(1, len(asked.Bells))]
		rung, _ := block.Apply(box, s, &asked)
		next, _ := block.Apply(box, s, &ev)
		if &next.Bells[0] != &s.Bells[0] {
			t.Errorf("entry %d: every signal is answered, and the bells were copied", ev.Seq)
		}
		if alone := ev.Kind == block.Bells; alone == (&rung.Bells[0] == &s.Bells[0]) || alone == slices.Equal(rung.Bells, s.Bells) {
			t.Errorf("entry %d: its first signal alone left the bells %+v", ev.Seq, rung.Bells)
		}
		s = next
	}
}
