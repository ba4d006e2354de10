package block_test

import (
	"fmt"
	"slices"
	"testing"

	"fairhand/block"
)

// TestUnderways: who is in a section, since when, when he is due out of it and by whose
// running time; minutes count from the first entry. One that passed is under way only where it went, also if that was booked
// under another name.
func TestUnderways(t *testing.T) {
	for _, c := range []struct {
		box  string
		book []string
		want []string
	}{
		{"B", []string{`09:00 A <1 >1 <3-1 >3-1 train 2A01`, `09:02 A <2 >2`, `09:04 C <1 >1 <5 >5 train 6C02`, `09:05 C <2 >2`},
			[]string{`2A01 A Up in 2, due 16 ""`, `6C02 C Down in 5, due 35 "the box gives no running time for freight: 10 min taken"`}},
		{"B", []string{`09:00 A <1 >1 <3-1 >3-1 train 2A01`, `09:02 A <2 >2`, `09:30 note "nothing of it"`, `09:31 message from A "2A01 stopped at the distant"`},
			[]string{`2A01 A Up in 2, due 16 ""`}}, // found overdue
		{"B", []string{`09:00 A <1 >1 <3-1 >3-1 train 2A01`, `09:02 A <2 >2 train 2A01`, `09:03 C >1 <1 >3-1 <3-1 train 2A01`, `09:04 C <1 >1 <3-1 >3-1 train 2C02`,
			`09:05 C <2 >2 train 2C02`, `09:06 train 1X44 passed for C complete`, `09:06 C >2 <2 train 2A01`},
			[]string{`2A01 C Up in 6, due 36 "the box gives no running time for passenger: 10 min taken"`, `2C02 C Down in 5, due 25 "the box gives no running time for passenger: 10 min taken"`}},
	} {
		b, s := stateOf(t, c.box, c.book...)
		var got []string
		for _, u := range block.Underways(b, s) {
			got = append(got, fmt.Sprintf("%s %s %s in %d, due %d %q", u.Train, u.Section, u.Line, (u.Since-s.First)/block.Minute, (u.Due-s.First)/block.Minute, u.Basis))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("after %q: %q, want %q", c.book, got, c.want)
		}
	}
}
