package compare

import (
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
