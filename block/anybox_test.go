package block_test

import (
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fairhand/block"
	"fairhand/register/boxfile"
)

// TestAnyEventInAnyBox throws random events with the names of the box at every box of the
// clauses: a book can be gone on with whatever is written in it. (Leave to cross on a
// single line beside a double one broke off the program, and at each opening again.)
func TestAnyEventInAnyBox(t *testing.T) {
	files, err := filepath.Glob("testdata/clauses/boxes/*.yaml")
	if err != nil || len(files) < 40 {
		t.Fatal(len(files), err)
	}
	for _, name := range files {
		file, err := boxfile.Load(name)
		if err != nil {
			t.Fatal(err)
		}
		b, names := file.Box, namesOf(file.Box)
		t.Run(strings.TrimSuffix(filepath.Base(name), ".yaml"), func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(r *rapid.T) {
				s := block.NewState(b)
				for i := range rapid.IntRange(1, 30).Draw(r, "events") {
					e := anyEvent(r)
					e.Seq, e.At = int64(i+1), clock+block.Time(i)*block.Time(rapid.IntRange(0, 300).Draw(r, "seconds"))
					e.Section, e.Line = names.of(r, "sections"), names.of(r, "lines")
					e.Place, e.Subject = names.of(r, "places"), names.of(r, "things")
					if len(b.Crossings) > 0 && rapid.Bool().Draw(r, "crossing") { // a call is a row of entries of one crossing
						e.Kind = block.Kind(rapid.IntRange(int(block.CrossingAsked), int(block.CrossingClear)).Draw(r, "call"))
						e.Place, e.Large = b.Crossings[0].Name, rapid.Bool().Draw(r, "large")
					}
					s, _ = block.Apply(b, s, &e)
					block.Due(b, &s, clock+block.Time(1e6))
				}
				block.Expected(b, &s)
				block.Live(b, &s)
				block.NewRunner(b, s).Finish()
			})
		})
	}
}

// named are the names that a box has, by what they are of, and one that it has not.
type named map[string][]string

func (n named) of(r *rapid.T, what string) string { return rapid.SampledFrom(n[what]).Draw(r, what) }

func namesOf(b *block.Box) named {
	n := named{}
	for what := range strings.FieldsSeq("sections lines places things") {
		n[what] = []string{"", "Nowhere"}
	}
	n["things"] = append(n["things"], "1A01", "line-clear", "occupied", "free", "Lever 5")
	for _, s := range b.Sections {
		n["sections"] = append(n["sections"], s.Neighbour)
		for _, l := range s.Lines {
			n["lines"] = append(n["lines"], l.Name)
		}
	}
	for _, p := range b.Places {
		n["places"] = append(n["places"], p.Name)
	}
	for _, g := range b.Signals {
		n["things"] = append(n["things"], g.Name)
	}
	for _, c := range b.Crossings {
		n["places"], n["things"] = append(n["places"], c.Name), append(n["things"], c.Name)
	}
	return n
}
