package block_test

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
)

// stateOf works a box of the clauses through a book of 5 May 2026.
func stateOf(t *testing.T, box string, lines ...string) (*block.Box, *block.State) {
	t.Helper()
	file, err := boxfile.Load(filepath.Join("testdata/clauses/boxes", box+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	events, err := notation.ParseAll(strings.NewReader("date 2026-05-05\n"+strings.Join(lines, "\n")+"\n"), file.Location)
	if err != nil {
		t.Fatal(err)
	}
	run := block.NewRunner(file.Box, block.NewState(file.Box))
	for i := range events {
		events[i].Seq = int64(i + 1)
		run.Step(&events[i])
	}
	return file.Box, run.Look()
}

// names are those of the trains on hand, in the order of the book.
func names(s *block.State) []string {
	var list []string
	for _, t := range s.Trains {
		list = append(list, t.Name)
	}
	return list
}

// An offer that was refused lapses when another train is offered: its row closes,
// and the signaller who comes on duty is not told of a train that never came.
func TestRefusedOfferLapses(t *testing.T) {
	refused := []string{`10:00 A <1 >1 <3-2 train 6M01`}
	other := `10:05 A <1 >1 <4 >4 train 1A01`
	if _, s := stateOf(t, "B", refused...); !slices.Equal(names(s), []string{"6M01"}) {
		t.Errorf("after an offer not yet answered: %v", names(s))
	}
	if _, s := stateOf(t, "B", append(refused, other)...); !slices.Equal(names(s), []string{"1A01"}) {
		t.Errorf("after the offer of another train: %v", names(s))
	}
	// What is offered to the other box, and on the other line, stands.
	if _, s := stateOf(t, "B", append(refused, `10:02 A >1 <1 >3-1 train 2A02`, `10:03 C <1 >1 <3-1 train 2C03`)...); !slices.Equal(names(s), []string{"6M01", "2A02", "2C03"}) {
		t.Errorf("after offers on other lines: %v", names(s))
	}
	// A train accepted is not lost by an offer that comes too early.
	if _, s := stateOf(t, "B", `10:00 A <1 >1 <4 >4 train 1A01`, `10:01 A <1 >1 <3-1 train 2A02`); !slices.Contains(names(s), "1A01") {
		t.Errorf("after an offer while one stands accepted: %v", names(s))
	}
}

// What a train the other way waits for is among what is expected next: the message
// that the one cancelled is held, from the box that keeps it; told, it is no more.
func TestHeldMessageIsExpected(t *testing.T) {
	said := func(lines ...string) (labels []string) {
		b, s := stateOf(t, "T-indian", lines...)
		for _, x := range block.Expected(b, s) {
			if strings.Contains(x.Label, "cancelled is held") {
				labels = append(labels, x.Label)
			}
		}
		return labels
	}
	ours := []string{`10:00 E >1 <1 >2 <2 pn 24 train 2P01`, `10:06 E >1 <1 >5 <5 train 2P01`}
	theirs := []string{`10:00 E <1 >1 <2 >2 pn 24 train 2P02`, `10:06 E <1 >1 <5 >5 train 2P02`}
	if got := said(ours...); !slices.Equal(got, []string{"tell E that the train cancelled is held"}) {
		t.Errorf("expected of this box: %q", got)
	}
	if got := said(theirs...); !slices.Equal(got, []string{"E says that the train cancelled is held"}) {
		t.Errorf("expected of the other: %q", got)
	}
	if got := said(append(ours, `10:07 message to E "2P01 is held and will be"`)...); len(got) > 0 {
		t.Errorf("told, it is expected again: %q", got)
	}
}

// A signal not acknowledged is given again, attention called anew: that is offered, and
// what would set it aside is not. Source: NPR 736, a signal is repeated until it is
// acknowledged.
func TestSignalGivenAgainIsExpected(t *testing.T) {
	regular := []string{
		`10:00 A <1 >1 <4 >4 train 1A01`, `10:02 A <2 >2`, `10:04 train 1A01 passed complete`,
	}
	for _, c := range []struct{ line, want string }{
		{`10:05 A >1 <1 >2-1`, "give 2-1 to A again"},
		{`10:05 A <6`, "A gives 6 again"},
	} {
		again := `10:06 A >1 <1`
		if strings.HasPrefix(c.want, "A") {
			again = `10:06 A <1 >1`
		}
		b, s := stateOf(t, "B", append(regular, c.line, again)...)
		var labels []string
		for _, x := range harmless(t, b, s) {
			labels = append(labels, x.Label)
		}
		if !slices.Contains(labels, c.want) {
			t.Errorf("after %s: %q, want %q among them", c.line, labels, c.want)
		}
	}
}
