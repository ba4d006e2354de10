package audit

import (
	"maps"
	"slices"

	"fairhand/block"
)

// Stat sums up a number of times, in seconds.
type Stat struct {
	Count        int64 `json:"count"`
	Shortest     int64 `json:"shortest_s"`
	Median       int64 `json:"median_s"`
	P90          int64 `json:"p90_s"`
	Longest      int64 `json:"longest_s"`
	LongestEntry int64 `json:"longest_entry"` // entry that ended the longest
	Unusable     int64 `json:"unusable"`      // ended before they began, as the book has it
}

// spread gathers times in bounded memory.
type spread struct {
	n, unusable       int64
	counts            map[int64]int64
	shortest, longest int64
	longestSeq        int64
	signed            bool // times before zero mean something (early trains)
}

// coarse rounds so that there are few different times: to the minute beyond an
// hour, to the hour beyond a day.
func coarse(v int64) int64 {
	switch a := max(v, -v); {
	case a <= 3600:
		return v
	case a <= 24*3600:
		return v - v%60
	default:
		return v - v%3600
	}
}

// add takes the time from one moment to another, ended by entry seq.
func (s *spread) add(from, to block.Time, seq int64) {
	v := int64(to - from)
	if v < 0 && !s.signed {
		s.unusable++
		return
	}
	if s.counts == nil {
		s.counts = map[int64]int64{}
	}
	if s.n == 0 || v < s.shortest {
		s.shortest = v
	}
	if s.n == 0 || v > s.longest {
		s.longest, s.longestSeq = v, seq
	}
	s.n++
	s.counts[coarse(v)]++
}

// ranks gives, for each percentage, the smallest time that at least that part of
// all do not exceed. The median of the report is the one for 50: like the times for
// 90 it is a time that was booked, and it comes of counts, not of a list. The mean of
// the two in the middle, which package median gives, would be neither.
func (s *spread) ranks(percent ...int64) []int64 {
	out := make([]int64, len(percent))
	if s.n == 0 {
		return out
	}
	values := slices.Sorted(maps.Keys(s.counts))
	for i, p := range percent {
		below := int64(0)
		for _, v := range values {
			if below += s.counts[v]; below*100 >= p*s.n {
				out[i] = v
				break
			}
		}
	}
	return out
}

func (s *spread) stat() Stat {
	r := s.ranks(50, 90)
	return Stat{Count: s.n, Shortest: s.shortest, Median: r[0], P90: r[1], Longest: s.longest, LongestEntry: s.longestSeq, Unusable: s.unusable}
}
