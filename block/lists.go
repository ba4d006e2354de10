package block

import "slices"

// What is looked for in lists.

// first is the first of a list that is so; nil for none.
func first[T any](list []T, so func(*T) bool) *T {
	for i := range list {
		if so(&list[i]) {
			return &list[i]
		}
	}
	return nil
}

// open is the first finding of those nobody has explained that is so; nil for none.
func (s *State) open(so func(*Finding) bool) *Finding {
	if i := slices.IndexFunc(s.Open, so); i >= 0 {
		return s.Open[i]
	}
	return nil
}

// answers are the findings that nobody has explained and that are so.
func (s *State) answers(so func(*Finding) bool) (list []Answer) {
	for _, f := range s.Open {
		if so(f) {
			list = append(list, *f.answer())
		}
	}
	return list
}

// left is a list without what is so, which no other state is shown; nil for nothing left.
func left[T any](list []T, so func(*T) bool) []T {
	for i := range list {
		if !so(&list[i]) {
			continue
		}
		out := append([]T(nil), list[:i]...)
		for j := i + 1; j < len(list); j++ {
			if !so(&list[j]) {
				out = append(out, list[j])
			}
		}
		return out
	}
	return list
}

// firstTrain is the first train of a list that is so; nil for none.
func firstTrain(list []*Train, so func(*Train) bool) *Train {
	if i := slices.IndexFunc(list, so); i >= 0 {
		return list[i]
	}
	return nil
}

// lastTrain is the last train of a list that is so; nil for none.
func lastTrain(list []*Train, so func(*Train) bool) *Train {
	for i := len(list) - 1; i >= 0; i-- { // slices.Backward would cost twice as much, for every name
		if so(list[i]) {
			return list[i]
		}
	}
	return nil
}

// onlyTrain is the one train of a list that is so; nil for none, and for more.
func onlyTrain(list []*Train, so func(*Train) bool) *Train {
	i := slices.IndexFunc(list, so)
	if i < 0 || slices.ContainsFunc(list[i+1:], so) {
		return nil
	}
	return list[i]
}

// likeliest is the train of a list that ranks highest, the first of several, and how many
// rank as high; one that ranks below 0 is out of the question.
func likeliest(list []*Train, rank func(*Train) int) (found *Train, n int) {
	best := 0
	for _, t := range list {
		switch r := rank(t); {
		case r < 0 || found != nil && r < best:
		case found == nil || r > best:
			found, n, best = t, 1, r
		default:
			n++
		}
	}
	return found, n
}
