package measure

import (
	"fmt"
	"strings"
	"testing"
)

// A line that is too long goes on below, further in, however it comes; one with a
// hash has it whole on a line of its own, a command is not broken, what a program is to have is not broken, and a last line without an end is
// passed on at the end.
func TestScreenFolds(t *testing.T) {
	text := "short\n  one two three four\n" + strings.Repeat("x", 20) + " y\n  fairhand -C x\nlast one of it"
	want := "short\n  one two\n    three\n    four\n" + strings.Repeat("x", 20) + "\n  y\n  fairhand -C x\nlast one of it"
	for _, size := range []int{1, 7, 1000} {
		var out strings.Builder
		s := &Screen{To: &out, Fold: 10}
		for rest := text; rest != ""; rest = rest[min(size, len(rest)):] {
			fmt.Fprint(s, rest[:min(size, len(rest))])
		}
		if err := s.End(); err != nil || out.String() != want {
			t.Errorf("by %d: %q, %v", size, out.String(), err)
		}
	}
	var out strings.Builder
	s := &Screen{To: &out, Fold: 10, JSON: true}
	fmt.Fprint(s, text)
	if out.String() != text {
		t.Errorf("as JSON %q", out.String())
	}
}
