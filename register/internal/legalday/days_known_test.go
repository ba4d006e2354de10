package legalday_test

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
)

// Known numbers are kept in testdata, one a line: they may fall, never
// rise. With -update those that have fallen are written; none is ever raised, so
// that a change of the generator needs the file taken away first.
var update = flag.Bool("update", false, "write the known numbers that have fallen")

func knownFile(name string) string { return "testdata/" + name + ".txt" }

func readKnown(t *testing.T, name string) map[string]int {
	t.Helper()
	known := map[string]int{}
	text, err := os.ReadFile(knownFile(name))
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		var n int
		if key, number, ok := strings.Cut(strings.TrimSpace(line), ": "); ok {
			if _, err := fmt.Sscan(number, &n); err != nil {
				t.Fatalf("%s: %q has no number", knownFile(name), line)
			}
			known[key] = n
		}
	}
	return known
}

// holdKnown fails where a number is above the one known; what is not in the file
// is known as nought.
func holdKnown(t *testing.T, name string, got map[string]int) {
	t.Helper()
	known := readKnown(t, name)
	if *update {
		writeKnown(t, name, known, got)
		return
	}
	if days() != defaultDays {
		return
	}
	fallen := 0
	for k, n := range got {
		switch {
		case n > known[k]:
			t.Errorf("%s: %d, known %d", k, n, known[k])
		case n < known[k]:
			fallen++
		}
	}
	if fallen > 0 {
		t.Logf("%d known numbers have fallen: tighten them with -update", fallen)
	}
}

func writeKnown(t *testing.T, name string, known, got map[string]int) {
	t.Helper()
	_, err := os.Stat(knownFile(name))
	anew := os.IsNotExist(err)
	var b strings.Builder
	for _, k := range slices.Sorted(maps.Keys(got)) {
		n := got[k]
		if !anew {
			n = min(n, known[k])
		}
		if n > 0 {
			fmt.Fprintf(&b, "%s: %d\n", k, n)
		}
	}
	if err := os.WriteFile(knownFile(name), []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}
