package compare

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite the goldens of testdata")

// TestSimulatedFindings pins what is found in one simulated day of each kind:
// every finding with the entries it rests on, and every clock. A change here is
// right when TestPlantedDifferences says that no more is missed or wrong.
func TestSimulatedFindings(t *testing.T) {
	const golden = "testdata/simulated.txt"
	var got strings.Builder
	for _, c := range simCases {
		opt := c.opt
		opt.days, opt.every, opt.ahead, opt.drift, opt.spoil, opt.other, opt.resets = 1, 12, 180, -5, 0.02, 0.008, true
		for i, b := range opt.booking {
			if b == "" {
				opt.booking[i] = "exchanges"
			}
		}
		w := simulate(t, 2000, opt)
		p, err := Two(w.book(t, 0), w.book(t, 1))
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&got, "== %s: %d matched of %v\n", c.name, p.Matched, p.Signals)
		for _, k := range p.Clocks {
			fmt.Fprintf(&got, "clock %s to %s: %.2f s, %.3f s an hour, spread %.2f, %d\n", p.First.clock(k.From), p.First.clock(k.To), k.Offset, k.Drift, k.Spread, k.Matched)
		}
		for _, f := range p.Findings {
			fmt.Fprintf(&got, "%s %s %s %d %d %v %v\n", f.Rule, p.First.clock(f.At), f.Train, f.Entries[0].Seq, f.Entries[1].Seq, f.Rests[0], f.Rests[1])
		}
	}
	pinned(t, golden, got.String())
}

// How a difference of two clocks is told: how much, which way, from when to when,
// what it rests on, and whether one gains or loses.
func TestWordsOfAClock(t *testing.T) {
	for _, c := range []struct {
		ahead int // seconds at the beginning
		drift int // seconds in an hour
		bells int // in the nine hours of both books
		want  string
	}{
		{100, 0, 90, "The clock of Westbeck was 1 min 40 s ahead of that of Eastmoor from 2026-05-05 08:00 to 2026-05-05 16:54, by 90 signals that both books have"},
		{-120, 0, 90, "The clock of Westbeck was 2 min behind that of Eastmoor from 2026-05-05 08:00 to 2026-05-05 16:54, by 90 signals that both books have"},
		{100, 1, 180, "The clock of Westbeck was 1 min 44 s ahead of that of Eastmoor from 2026-05-05 08:00 to 2026-05-05 16:57, by 180 signals that both books have"},
		{100, 2, 180, "The clock of Westbeck was 1 min 48 s ahead of that of Eastmoor from 2026-05-05 08:00 to 2026-05-05 16:57, by 180 signals that both books have; it gained 48 s in a day"},
		{100, 5, 90, "The clock of Westbeck was 1 min 40 s to 2 min 24 s ahead of that of Eastmoor from 2026-05-05 08:00 to 2026-05-05 16:54, by 90 signals that both books have; it gained 2 min in a day"},
		{180, -5, 90, "The clock of Westbeck was 2 min 16 s to 3 min ahead of that of Eastmoor from 2026-05-05 08:00 to 2026-05-05 16:54, by 90 signals that both books have; it lost 2 min in a day"},
	} {
		var east, west []string
		for i := range c.bells {
			at := i * 9 * 3600 / c.bells
			east = append(east, clockTime(8*3600+at)+fmt.Sprintf(" Westbeck >2 train 2T%03d", i))
			west = append(west, clockTime(8*3600+at+c.ahead+c.drift*at/3600)+fmt.Sprintf(" Eastmoor <2 train 2T%03d", i))
		}
		p := twoBooks(t, "signals", east, west)
		if len(p.Findings) != 1 || p.Findings[0].Text != c.want || p.Findings[0].Expected == "" {
			t.Errorf("%+d s, %+d s an hour:\n%swant %s", c.ahead, c.drift, listing(p), c.want)
			continue
		}
		f := p.Findings[0]
		if f.Entries[0].Seq != 1 || p.First.Line(1) != 2 || f.Entries[1].Seq != 1 || f.At != p.First.First || fmt.Sprint(f.Rests[0], f.Rests[1]) != "[1] [1]" {
			t.Errorf("it rests on %+v", f)
		}
	}
}

// TestFindingsWhole pins all that a finding of the books of testdata holds, whichever
// book is the first: its words, what was expected, the source, and what it rests on.
func TestFindingsWhole(t *testing.T) {
	const golden = "testdata/findings.txt"
	var got strings.Builder
	for _, names := range [][3]string{{"pair", "eastmoor", "westbeck"}, {"spoken", "ried", "au"}, {"tokens", "eastmoor", "westbeck"}} {
		name, a := names[0], archive(t, names[0]+".txtar")
		east, west := decode(t, a[names[1]+".yaml"], a[names[1]+".txt"]), decode(t, a[names[2]+".yaml"], a[names[2]+".txt"])
		for _, books := range [][2]*Book{{east, west}, {west, east}} {
			p, err := Two(books[0], books[1])
			if err != nil {
				t.Fatal(err)
			}
			fmt.Fprintf(&got, "== %s of %s: %d matched of %v, %+v\n", name, p.Section(), p.Matched, p.Signals, p.Common)
			for _, f := range p.Findings {
				fmt.Fprintf(&got, "%s %s %s, %s, %+v %v, %+v %v, train %s\n  %s\n  expected %s\n  %s\n", f.Rule, f.Severity, p.First.clock(f.At), f.Section,
					f.Entries[0], f.Rests[0], f.Entries[1], f.Rests[1], f.Train, f.Text, f.Expected, f.Ref)
			}
		}
	}
	pinned(t, golden, got.String())
}

func pinned(t *testing.T, golden, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
