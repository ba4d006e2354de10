package compare

import (
	"math"
	"slices"
	"sort"

	"fairhand/block"
)

// The vote: before anything is matched, each signal of the first book with each
// signal of the second that could be the same says how far apart it would put
// the clocks. The true difference is said once for every signal, others now and
// then.
const (
	voteReach  = 90 * 60 // seconds: clocks farther apart are not looked for
	voteBin    = 30      // seconds
	voteBins   = 2*voteReach/voteBin + 1
	voteMost   = 200 // candidates of one signal, so that a strange book costs no more
	voteWindow = 24 * 60 * block.Minute
)

// vote makes a first difference of the clocks, one value for each day.
func vote(a, b *line) *difference {
	index := map[uint32][]block.Time{}
	for i := range b.el {
		if e := &b.el[i]; e.counts() {
			index[e.key] = append(index[e.key], e.at)
		}
	}
	for _, times := range index {
		slices.Sort(times)
	}
	var always ballot
	byDay := map[block.Time]*ballot{}
	for i := range a.el {
		e := &a.el[i]
		if !e.counts() {
			continue
		}
		day := byDay[whole(e.at, voteWindow)]
		if day == nil {
			day = &ballot{}
			byDay[whole(e.at, voteWindow)] = day
		}
		times := index[e.key]
		from := sort.Search(len(times), func(i int) bool { return times[i] >= e.at-voteReach })
		for n := 0; from+n < len(times) && n < voteMost && times[from+n] <= e.at+voteReach; n++ {
			diff := int(times[from+n] - e.at)
			day.add(diff)
			always.add(diff)
		}
		day.voters++
		always.voters++
	}
	return elected(byDay, &always)
}

// elected takes each day's own result where it is clear, and that of the whole
// book where it is not.
func elected(byDay map[block.Time]*ballot, book *ballot) *difference {
	d := &difference{}
	always, _ := book.result()
	for day := range byDay {
		d.times = append(d.times, day*voteWindow+voteWindow/2)
	}
	slices.Sort(d.times)
	for _, t := range d.times {
		secs, clear := byDay[whole(t, voteWindow)].result()
		if !clear {
			secs = always
		}
		d.secs = append(d.secs, secs)
	}
	return d
}

// ballot counts votes for differences.
type ballot struct {
	bins   [voteBins]int32
	voters int
}

func (v *ballot) add(diff int) {
	v.bins[(diff+voteReach+voteBin/2)/voteBin]++
}

// result is the difference with the most votes near it, a smaller one before a
// larger when they are about equal. It is clear when two voters in five are for it.
func (v *ballot) result() (secs float64, clear bool) {
	best, at := -1.0, voteBins/2
	for i := range v.bins {
		score := 0.0
		for k := -3; k <= 3; k++ {
			if j := i + k; j >= 0 && j < voteBins {
				score += float64(v.bins[j]) * float64(4-max(k, -k))
			}
		}
		off := math.Abs(float64(i - voteBins/2))
		if score *= 1 - 0.1*off/(voteBins/2); score > best {
			best, at = score, i
		}
	}
	votes, sum := 0, 0
	for j := max(0, at-4); j <= min(voteBins-1, at+4); j++ {
		votes += int(v.bins[j])
		sum += int(v.bins[j]) * (j*voteBin - voteReach)
	}
	if votes == 0 {
		return 0, false
	}
	return float64(sum) / float64(votes), votes*5 >= v.voters*2
}

// whole is the number of whole periods since 1970, also for times before it.
func whole(t, period block.Time) block.Time {
	n := t / period
	if t%period < 0 {
		n--
	}
	return n
}
