// Package median is the one definition of a median of a list. A report over many
// days has counts instead, and says there what it takes for one (audit).
package median

import "slices"

// Of is the median of values, which it sorts: the one in the middle, or the mean of
// the two in the middle; 0 of none.
func Of[N ~int64 | ~float64](values []N) N {
	slices.Sort(values)
	n := len(values)
	switch {
	case n == 0:
		return 0
	case n%2 == 1:
		return values[n/2]
	}
	return (values[n/2-1] + values[n/2]) / 2
}
