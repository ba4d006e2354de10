package block_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/register/notation"
)

// TestHowBooksStand pins, for every book of the clauses, what is said of it word
// for word, what is offered next after its last entry, what is then live at the
// box and what will fall due. The clauses say which rules a book breaks; this
// says that each is told with its own words and source, and that the desk follows.
// Rewritten with -update: read the difference as a list of changed keys.
func TestHowBooksStand(t *testing.T) {
	for _, set := range []string{"absolute", "single"} {
		var got strings.Builder
		for _, c := range readClauses(t, filepath.Join("testdata/clauses", set+".txt")) {
			for n, b := range c.books {
				fmt.Fprintf(&got, "=== %s book %d\n%s", c.id, n+1, standing(t, b))
			}
		}
		golden := filepath.Join("testdata", "standing_"+set+".txt")
		if block.UpdateGolden() {
			if err := os.WriteFile(golden, []byte(got.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(golden)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got.String(), "\n")); diff != "" {
			t.Errorf("%s (-want +got):\n%s", golden, diff)
		}
	}
}

// standing works a book and tells how its box stands after it.
func standing(t *testing.T, b clauseBook) string {
	t.Helper()
	var out strings.Builder
	box, run := b.play(t, func(found []block.Finding) {
		for _, f := range found {
			fmt.Fprintf(&out, "found %d %s, %s, %s %s %s %v: %s (%s; %s)\n", f.Seq, f.Rule, f.Severity, f.Section, f.Line, f.Train, f.Rests, f.Text, f.Expected, f.Ref)
		}
	})
	s := run.Look()
	for _, x := range block.Expected(box, s) {
		who, ask := "next", ""
		if !x.Mine {
			who = "await"
		}
		for _, a := range []struct {
			asks bool
			what string
		}{{x.AskCode, " beats?"}, {x.AskTrain, " train?"}, {x.AskNumber, " number?"}, {x.AskProof, " complete?"}} {
			if a.asks {
				ask += a.what
			}
		}
		fmt.Fprintf(&out, "%s %+d %s:%s  %s\n", who, (x.Wanted-s.Now)/block.Minute, x.Label, ask, notation.FormatBody(x.Event))
	}
	for _, l := range block.Live(box, s) {
		fmt.Fprintf(&out, "live %s (%d)\n", l.Text, l.Seq)
	}
	for _, d := range block.Due(box, s, s.Now+block.Time(24*60)*block.Minute) {
		fmt.Fprintf(&out, "due %+d %s %s %s\n", (d.Due-s.Now)/block.Minute, d.Where, d.Train, d.Text)
	}
	return out.String()
}
