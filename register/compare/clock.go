package compare

import (
	"math"
	"slices"
	"sort"
	"time"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/median"
)

// Clock is how two clocks agreed for a stretch of time, at most a day and never
// across a setting of one of them: a straight line.
type Clock struct {
	From, To block.Time // by the first book's clock
	Offset   float64    // seconds the second clock is ahead at From
	Drift    float64    // seconds gained by the second in an hour
	Spread   float64    // seconds: half of the matched signals lie as near to the line
	Matched  int        // signals it rests on
}

// At is the difference at a moment of the stretch.
func (c Clock) At(t block.Time) float64 {
	return c.Offset + c.Drift*float64(t-c.From)/3600
}

// Middle is the difference in the middle of the stretch.
func (c Clock) Middle() float64 { return c.At(c.From + (c.To-c.From)/2) }

// difference is the difference of the clocks as a function of the first book's
// time, known at the times of matched signals.
type difference struct {
	times []block.Time
	secs  []float64
}

// at is the difference at a moment: that of the nearest times, in proportion.
func (d *difference) at(t block.Time) float64 {
	n := len(d.times)
	if n == 0 {
		return 0
	}
	i := sort.Search(n, func(i int) bool { return d.times[i] > t })
	switch {
	case i == 0:
		return d.secs[0]
	case i == n || d.times[i] == d.times[i-1]:
		return d.secs[i-1]
	case math.Abs(d.secs[i]-d.secs[i-1]) > settingJump:
		if t-d.times[i-1] < d.times[i]-t {
			return d.secs[i-1]
		}
		return d.secs[i]
	}
	part := float64(t-d.times[i-1]) / float64(d.times[i]-d.times[i-1])
	return d.secs[i-1] + part*(d.secs[i]-d.secs[i-1])
}

// first turns a time of the second book into the first's clock.
func (d *difference) first(t block.Time) block.Time {
	guess := t - block.Time(math.Round(d.at(t)))
	return t - block.Time(math.Round(d.at(guess)))
}

const (
	// settingJump is the least step, in seconds, that is taken for the setting of
	// a clock and not for its drift.
	settingJump = 45
	// neighbours is how many matched signals on each side measure the clocks.
	neighbours = 10
	// inlier is how far, in seconds, a signal may lie from the median to count.
	inlier = 90
)

// sample is one matched signal.
type sample struct {
	at   block.Time // first book
	diff float64    // second minus first, seconds
}

// measure makes the difference of matched signals, in order of time: at each
// the mean of those around it that lie near their median. A median keeps the
// edge where a clock was set; the mean of what is near it is finer than the
// minutes that books are written in.
func measure(samples []sample) *difference {
	slices.SortStableFunc(samples, func(a, b sample) int { return int(a.at - b.at) })
	d := &difference{}
	window := make([]float64, 0, 2*neighbours+1)
	for i, s := range samples {
		window = window[:0]
		for j := max(0, i-neighbours); j <= min(len(samples)-1, i+neighbours); j++ {
			window = append(window, samples[j].diff)
		}
		d.times = append(d.times, s.at)
		d.secs = append(d.secs, middle(window))
	}
	for i := 1; i < len(samples); i++ {
		if set(d, i) {
			i = d.edge(samples, i)
		}
	}
	return d
}

// edge moves the setting of a clock just before sample i by the few samples that
// the median took to the wrong side of it, and gives its new place.
func (d *difference) edge(samples []sample, i int) int {
	left, right := d.secs[i-1], d.secs[i]
	nearer := func(k int, a, b float64) bool {
		x := math.Abs(samples[k].diff - a)
		return x < math.Abs(samples[k].diff-b) && x < settingJump
	}
	j := i
	for ; j > max(1, i-neighbours) && nearer(j-1, right, left); j-- {
		d.secs[j-1] = right
	}
	if j < i {
		return i
	}
	for ; j < min(len(samples), i+neighbours) && nearer(j, left, right); j++ {
		d.secs[j] = left
	}
	return j
}

// middle is the mean of the values within inlier of their median. It reorders v.
func middle(v []float64) float64 {
	m := median.Of(v)
	sum, n := 0.0, 0
	for _, x := range v {
		if math.Abs(x-m) <= inlier {
			sum += x
			n++
		}
	}
	if n == 0 {
		return m // between two that lie far apart
	}
	return sum / float64(n)
}

// stretches fits a line to each day and to each part of a day between settings.
func stretches(samples []sample, d *difference, loc *time.Location) []Clock {
	var out []Clock
	for from := 0; from < len(samples); {
		to := from + 1
		for to < len(samples) && calendar.Of(samples[from].at, loc) == calendar.Of(samples[to].at, loc) && !set(d, to) {
			to++
		}
		out = append(out, fit(samples[from:to]))
		from = to
	}
	return out
}

// set says whether a clock was set just before sample i.
func set(d *difference, i int) bool {
	hours := float64(d.times[i]-d.times[i-1]) / 3600
	return math.Abs(d.secs[i]-d.secs[i-1]) > settingJump+30*hours
}

// fit is the robust line through samples of one stretch (Theil and Sen): the
// median of the slopes between hourly middles, and then the middle of what it
// leaves. Fewer than three hours have no slope.
func fit(samples []sample) Clock {
	c := Clock{From: samples[0].at, To: samples[len(samples)-1].at, Matched: len(samples)}
	var at, mid, slopes []float64
	for i := 0; i < len(samples); {
		var v []float64
		var sum float64
		for hour := whole(samples[i].at, 3600); i < len(samples) && whole(samples[i].at, 3600) == hour; i++ {
			v = append(v, samples[i].diff)
			sum += float64(samples[i].at-c.From) / 3600
		}
		at, mid = append(at, sum/float64(len(v))), append(mid, middle(v))
	}
	for i := range at {
		for j := range i {
			if at[i]-at[j] >= 0.5 {
				slopes = append(slopes, (mid[i]-mid[j])/(at[i]-at[j]))
			}
		}
	}
	if len(at) >= 3 && len(slopes) > 0 {
		c.Drift = median.Of(slopes)
	}
	left := make([]float64, len(samples))
	for i, s := range samples {
		left[i] = s.diff - c.Drift*float64(s.at-c.From)/3600
	}
	c.Offset = middle(left)
	for i := range left {
		left[i] = math.Abs(left[i] - c.Offset)
	}
	c.Spread = median.Of(left)
	return c
}
