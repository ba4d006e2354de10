package register

import (
	"cmp"
	"fmt"
	"slices"

	"fairhand/block"
	"fairhand/register/each"
)

// ByRoot puts findings, in the order in which they were raised, into that in which
// they are told: roots as they stand, and below each what follows from it. What
// follows from an entry of which the list has nothing stands alone, and names it.
func ByRoot(found []block.Finding) []block.Finding {
	own, follows, leads := map[int64]bool{}, map[int64]int64{}, map[int64]bool{}
	for i := range found {
		if f := &found[i]; f.Root == 0 {
			own[f.Seq] = true
		} else {
			follows[f.Seq] = f.Root
		}
	}
	top := func(seq int64) int64 {
		for !own[seq] && follows[seq] != 0 {
			seq = follows[seq] // an earlier entry each time
		}
		return seq
	}
	for _, root := range follows {
		leads[top(root)] = true
	}
	type told struct {
		group int // place in the list at which its group begins
		block.Finding
	}
	list, begins := make([]told, len(found)), map[int64]int{}
	for i, f := range found {
		list[i] = told{i, f}
		key := f.Seq
		if f.Root != 0 {
			key = top(f.Root)
		} else if !leads[key] {
			continue
		}
		if _, there := begins[key]; !there {
			begins[key] = i
		}
		list[i].group = begins[key]
	}
	slices.SortStableFunc(list, func(a, b told) int {
		if a.group != b.group {
			return a.group - b.group
		}
		return min(int(a.Root), 1) - min(int(b.Root), 1)
	})
	return each.Of(list, func(t told) block.Finding { return t.Finding })
}

// Standing says what a finding follows from, and since when it stands no more;
// nothing of a root that stands.
func Standing(f *block.Finding) []string {
	var out []string
	if f.Root != 0 {
		out = append(out, fmt.Sprintf("follows from entry %d", f.Root))
	}
	if f.Answered != 0 {
		out = append(out, fmt.Sprintf("answered by entry %d", f.Answered))
	}
	return out
}

// ExplainedBy are the entries that explain what was found of an entry of the day.
func (d *Day) ExplainedBy(seq int64) []int64 {
	i, ok := slices.BinarySearchFunc(d.Entries, seq, func(e Entry, seq int64) int { return cmp.Compare(e.Seq, seq) })
	if !ok {
		return nil
	}
	return d.Entries[i].Explained
}

// standing is Standing with who explained it.
func (d *Day) standing(f *block.Finding) []string {
	return append(Standing(f), explainedBy(d.ExplainedBy(f.Seq))...)
}

// explainedBy says which entries explain something, each in words of its own.
func explainedBy(entries []int64) []string {
	return each.Of(entries, func(n int64) string { return fmt.Sprintf("explained by entry %d", n) })
}
