package boxfile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fairhand/register/each"
	"fairhand/register/near"
)

// Fault is one thing wrong in a box file. Line counts from 1; it is 0 when the
// fault concerns the file as a whole.
type Fault struct {
	Line int
	Text string
}

func (f Fault) String() string {
	if f.Line == 0 {
		return f.Text
	}
	return fmt.Sprintf("line %d: %s", f.Line, f.Text)
}

// Faults is the error of a box file that could be read but not understood: all
// that is wrong with it, in the order of its lines.
type Faults struct {
	Name string // of the file, as given to Decode
	List []Fault
}

// Error gives one line for each fault.
func (f *Faults) Error() string {
	of := ""
	if f.Name != "" {
		of = f.Name + ": "
	}
	return each.Joined(f.List, "\n", func(l Fault) string { return of + l.String() })
}

// sorted puts the faults in the order of the file, those without a line last.
func (f *Faults) sorted() *Faults {
	slices.SortStableFunc(f.List, func(a, b Fault) int {
		if (a.Line == 0) != (b.Line == 0) {
			return cmp.Compare(b.Line, a.Line)
		}
		return cmp.Compare(a.Line, b.Line)
	})
	return f
}

// suggest ends the report of an unknown word: the nearest known one when one is
// near, else all of them.
func suggest(word string, known []string) string {
	if w := Nearest(word, known); w != "" {
		return fmt.Sprintf("did you mean %q?", w)
	}
	if len(known) == 0 {
		return "the file has none"
	}
	return "known are " + strings.Join(known, ", ")
}

// Nearest finds the known word with the fewest slips of the pen from word,
// capitals and joining signs apart, allowing one more slip for every four
// letters; then one that begins alike.
// It is "" when nothing is near.
func Nearest(word string, known []string) string {
	const tooLong = 64
	if word == "" || len(word) > tooLong {
		return ""
	}
	even := func(s string) string {
		return strings.NewReplacer("_", "-", " ", "-").Replace(strings.ToLower(s))
	}
	word = even(word)
	best, least := "", 2+len(word)/4
	for _, k := range known {
		if n := near.Slips(word, even(k)); n < least {
			best, least = k, n
		}
	}
	for _, k := range known {
		if best == "" && len(word) > 2 && strings.HasPrefix(even(k), word) {
			best = k
		}
	}
	return best
}
