package legalday_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/tools/txtar"

	"fairhand/register/compare"
	"fairhand/register/registertest"
)

// TestOneComparison: two books differ in the same way whether they come from text
// or from registers.
func TestOneComparison(t *testing.T) {
	for _, name := range compareFiles(t) {
		a, err := txtar.ParseFile(name)
		if err != nil {
			t.Fatal(err)
		}
		parts := map[string]string{}
		var boxes []string
		for _, f := range a.Files {
			parts[f.Name] = string(f.Data)
			if box := strings.TrimSuffix(f.Name, ".yaml"); box != f.Name {
				boxes = append(boxes, box)
			}
		}
		var texts, kept []*compare.Book
		for _, box := range boxes {
			b := registertest.Book(t, parts[box+".yaml"], parts[box+".txt"])
			one, err := compare.FromNotation(t.Context(), b.File(), strings.NewReader(parts[box+".txt"]), 0, 0)
			if err != nil {
				t.Fatal(err)
			}
			two, err := compare.FromStore(t.Context(), b.File(), b.Store(), 0, 0)
			if err != nil {
				t.Fatal(err)
			}
			texts, kept = append(texts, one), append(kept, two)
		}
		if diff := cmp.Diff(differences(t, texts), differences(t, kept)); diff != "" {
			t.Errorf("%s (-books +registers):\n%s", name, diff)
		}
	}
}

func differences(t *testing.T, books []*compare.Book) (out []string) {
	t.Helper()
	for i := 1; i < len(books); i++ {
		p, err := compare.Two(books[i-1], books[i])
		if err != nil {
			continue // no neighbours
		}
		for _, f := range p.Findings {
			out = append(out, fmt.Sprintf("%s at %d %s", f.Rule, f.At, f.Train))
		}
	}
	return out
}
