package register

import (
	"slices"
	"testing"

	"fairhand/block"
)

// What follows from an entry stands below what was found of it, roots as they were
// raised; what follows from what follows stands with the root of both.
func TestByRoot(t *testing.T) {
	finding := func(seq, root int64) block.Finding { return block.Finding{Seq: seq, Root: root} }
	order := func(found []block.Finding) (out []int64) {
		for _, f := range found {
			out = append(out, f.Seq)
		}
		return out
	}
	for _, c := range []struct {
		what  string
		found []block.Finding
		want  []int64
	}{
		{"none", nil, nil},
		{"roots alone, as raised", []block.Finding{finding(9, 0), finding(3, 0), finding(9, 0), finding(5, 0)}, []int64{9, 3, 9, 5}},
		{"two roots crossing", []block.Finding{finding(1, 0), finding(2, 0), finding(3, 1), finding(4, 2), finding(5, 1)}, []int64{1, 3, 5, 2, 4}},
		{"raised before its root, which was found undone later", []block.Finding{finding(7, 2), finding(4, 0), finding(2, 0)}, []int64{2, 7, 4}},
		{"two findings of the root", []block.Finding{finding(2, 0), finding(6, 2), finding(2, 0)}, []int64{2, 2, 6}},
		{"root of a root", []block.Finding{finding(1, 0), finding(3, 1), finding(4, 0), finding(5, 3)}, []int64{1, 3, 5, 4}},
		{"of a day before", []block.Finding{finding(11, 3), finding(12, 0), finding(13, 3)}, []int64{11, 13, 12}},
	} {
		was := slices.Clone(order(c.found))
		if got := order(ByRoot(c.found)); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.what, got, c.want)
		}
		if !slices.Equal(order(c.found), was) {
			t.Errorf("%s: the list given was changed", c.what)
		}
	}
}
