package block_test

import (
	"slices"
	"testing"

	"fairhand/block"
)

// The line that is not in use under single line working never stands as normal: it is
// told beside the one in use, until both are in use again. Source: Great Southern
// Railways Rule Book 1933, rules 190 and 191.
func TestShutLineIsTold(t *testing.T) {
	begun := []string{`10:00 A working by pilot "J. Bell" over Up form 3`}
	for _, c := range []struct {
		lines []string
		want  []string
	}{
		{begun, []string{"not in use"}},
		{append(begun, `11:00 A working normal`), nil},
	} {
		b, s := stateOf(t, "B", c.lines...)
		for _, l := range b.Lines() {
			want := c.want
			if l.Line.Name == "Up" || b.Sections[l.Section].Neighbour != "A" {
				want = nil
			}
			if got := block.Barred(b, s, l); !slices.Equal(got, want) {
				t.Errorf("after %d entries line %s to %s is barred by %q, want %q", len(c.lines), l.Line.Name, b.Sections[l.Section].Neighbour, got, want)
			}
		}
	}
}
