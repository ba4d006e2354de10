package compare

import (
	"fmt"
	"slices"
	"testing"

	"golang.org/x/tools/txtar"
)

// Two books of single line working agree: the bells of a train in wrong direction are
// those of a train, whatever line they are about.
func TestSingleLineWorkingCompared(t *testing.T) {
	book := func(name string) *Book {
		ar, err := txtar.ParseFile("../testdata/check/" + name + ".txtar")
		if err != nil {
			t.Fatal(err)
		}
		return decode(t, ar.Files[0].Data, ar.Files[1].Data)
	}
	p, err := Two(book("piloted_west"), book("piloted_east"))
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Findings) > 0 || p.Matched != 70 {
		t.Errorf("found %v of %d signals matched", p.Findings, p.Matched)
	}
}

// What changes how the section is worked stands in both books.
func TestWorkingOtherwiseInBothBooks(t *testing.T) {
	otherwise := map[string][2]string{
		"blocked":    {"08:40 blockage \"Up Main\" towards %s", "08:55 blockage-up \"Up Main\" towards %s"},
		"by pilot":   {"08:40 %s working by pilot \"J. Bell\"", "08:55 %s working normal"},
		"by message": {"08:40 %s working by message", "08:55 %s working normal"},
		"key":        {"08:40 %s occupation-key out", "08:55 %s occupation-key in"},
	}
	for name, lines := range otherwise {
		east, west := signals(nil, nil, 8*3600, 9, 0)
		for i := range lines {
			east = append(east, fmt.Sprintf(lines[i], "Westbeck"))
			west = append(west, fmt.Sprintf(lines[i], "Eastmoor"))
		}
		after := func(book []string) []string { return append(book, "09:05 note \"all in order\"") }
		if p := twoBooks(t, "signals", after(east), after(west)); len(p.Findings) > 0 {
			t.Errorf("%s in both books: %v", name, p.Findings)
		}
		short := slices.Delete(slices.Clone(west), len(west)-2, len(west)-1)
		if got := rules(twoBooks(t, "signals", after(east), after(short)).Findings); got != "working-differs" {
			t.Errorf("%s begun in one book: %q", name, got)
		}
	}
}
