package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// WatchRows counts how often each row of a method's machine judges an act, by
// a guard that always holds, until stop is called. For tests that look for rows
// no event can bring about.
func WatchRows(m rulebook.Method) (fired []int, stop func()) {
	mc := machines[m]()
	fired = make([]int, len(mc.Rows))
	before := make([][2][]*Guard, len(mc.Rows))
	for i := range mc.Rows {
		before[i] = mc.Rows[i].asked
		count := &Guard{Name: "counted", holds: func(*action) bool {
			fired[i]++
			return true
		}}
		for mine, asked := range before[i] {
			mc.Rows[i].asked[mine] = append(slices.Clip(asked), count)
		}
	}
	return fired, func() {
		for i := range mc.Rows {
			mc.Rows[i].asked = before[i]
		}
	}
}

// RowName says which row of a method's machine it is.
func RowName(m rulebook.Method, i int) string {
	r := &machines[m]().Rows[i]
	from := "any phase"
	if r.From < phaseCount {
		from = r.From.String()
	}
	return from + ": " + r.Act.String() + against(r.Opposed)
}
