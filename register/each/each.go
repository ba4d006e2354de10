// Package each makes one list of another, and looks for what is in one.
package each

import (
	"slices"
	"strings"
)

// Of gives what f makes of each of a list, in its order; of an empty one an empty list,
// never nil.
func Of[T, V any](list []T, f func(T) V) []V {
	out := make([]V, len(list))
	for i, x := range list {
		out[i] = f(x)
	}
	return out
}

// First is the first of a list that is so; nil for none.
func First[T any](list []T, so func(*T) bool) *T {
	for i := range list {
		if so(&list[i]) {
			return &list[i]
		}
	}
	return nil
}

// Joined is the words of each of a list with sep between; what has none is left out.
func Joined[T any](list []T, sep string, words func(T) string) string {
	parts := Of(list, words)
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), sep)
}
