package compare

import (
	"math"
	"slices"
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

const (
	// settingJump is the least step, in seconds, that is taken for the setting of
	// a clock and not for its drift.
	settingJump = 45
	// neighbours is how many matched signals on each side measure the clocks.
	neighbours = 10
	// inlier is how far, in seconds, a signal may lie from the median to count, and
	// inlierOf how many times as far as one lies from the next: in books of guessed minutes.
	inlier   = 90
	inlierOf = 3
	// driftSure is how many standard errors a drift must be worth to be said: less comes
	// of the rounding of the times.
	driftSure = 3
)

// measure makes the difference at each matched signal, in the order of the first book, of
// what each says (the second clock minus the first, in seconds): the mean of those around
// it that lie near their median, after what the one clock gains on the other all the time.
// A median keeps the edge where a clock was set; the mean of what is near it is finer than
// the minutes that books are written in; and of few trains those around lie hours apart,
// in which a clock that gains has gone on.
// It gives what was gained so.
func (d *difference) measure(said []float64) []float64 {
	gained := d.first.gained(said)
	left := make([]float64, len(said))
	for i := range said {
		left[i] = said[i] - gained[i]
	}
	window := make([]float64, 0, 2*neighbours+1)
	around := func(i int) []float64 {
		window = append(window[:0], left[max(0, i-neighbours):min(len(left), i+neighbours+1)]...)
		if len(window)%2 == 0 {
			return window[1:] // of an even number half may lie before the setting of a clock, and half after
		}
		return window
	}
	d.within = max(inlier, inlierOf*unsteady(left))
	for i := range left {
		d.first[i].secs = middle(around(i), d.within)
	}
	for i := 1; i < len(left); i++ {
		if d.set(i, nil) {
			i = d.first.edge(left, i)
		}
	}
	for i := range left {
		d.first[i].secs += gained[i]
		d.second[i].secs = d.first[i].secs
	}
	slices.SortStableFunc(d.second, func(a, b knot) int { return int(a.entry - b.entry) })
	return gained
}

const (
	// rateLeast and rateMost are how far apart, in time, two signals are, with others between
	// them, that tell what a clock gained from one to the other: in less the minutes of the
	// books tell nothing, in more it may have been set.
	rateLeast, rateMost = 30 * block.Minute, 9 * 60 * block.Minute
	// rateTurn is of how many signals it is told anew, by rateOf of them on either side.
	rateTurn, rateOf = 50, 100
)

// gained is what the second clock has gained on the first since the first signal, at the
// rate that most of the signals around tell: settings, which are few beside them, are not
// in it, nor a rate that chance alone may bring.
func (d table) gained(said []float64) []float64 {
	rates := make([]float64, len(d)) // in seconds a second, NaN for none
	for i, j := 0, 0; i < len(d); i++ {
		for j = max(j, i+neighbours/2); j < len(d) && d[j].gave-d[i].gave < rateLeast; j++ {
		}
		rates[i] = math.NaN()
		if j < len(d) && d[j].gave-d[i].gave <= rateMost {
			rates[i] = (said[j] - said[i]) / float64(d[j].gave-d[i].gave)
		}
	}
	out, rate := make([]float64, len(d)), 0.0
	for i := range d {
		if i%rateTurn == 0 {
			rate = sureRate(rates[max(0, i-rateOf):min(len(d), i+rateTurn+rateOf)])
		}
		if i > 0 {
			out[i] = out[i-1] + rate*float64(d[i].gave-d[i-1].gave)
		}
	}
	return out
}

// sureRate is the middle of some rates, 0 where their scatter may bring it by chance: the
// standard error of a median is a fourth more than that of a mean, and the deviation of
// what is normally spread half as much again as half of it lies from the middle. The pairs
// overlap, so that a few in a row tell no more than one.
func sureRate(rates []float64) float64 {
	known := slices.DeleteFunc(slices.Clone(rates), math.IsNaN)
	if len(known) < neighbours {
		return 0
	}
	m := median.Of(known)
	off := make([]float64, len(known))
	for i := range known {
		off[i] = math.Abs(known[i] - m)
	}
	if math.Abs(m) <= driftSure*1.25*1.5*median.Of(off)/math.Sqrt(float64(len(known))/3) {
		return 0
	}
	return m
}

// edge moves the setting of a clock just before signal i by the few signals that
// the median took to the wrong side of it, and gives its new place. What the signals
// before it say, and those after, is measured apart: the means there have some of both.
func (d table) edge(said []float64, i int) int {
	left := median.Of(slices.Clone(said[max(0, i-neighbours):i]))
	right := median.Of(slices.Clone(said[i:min(len(said), i+neighbours)]))
	nearer := func(k int, a, b float64) bool { return math.Abs(said[k]-a) < math.Abs(said[k]-b) }
	j := i
	for ; j > max(1, i-neighbours) && nearer(j-1, right, left); j-- {
		d[j-1].secs = right
	}
	if j < i {
		return i
	}
	for ; j < min(len(said), i+neighbours) && nearer(j, left, right); j++ {
		d[j].secs = left
	}
	return j
}

// unsteady is how far each value lies from the next, on an average of the three fourths
// that lie nearest: a clock that gains or is set is steady.
func unsteady(v []float64) float64 {
	if len(v) < 2 {
		return 0
	}
	steps := make([]float64, len(v)-1)
	for i := range steps {
		steps[i] = math.Abs(v[i+1] - v[i])
	}
	slices.Sort(steps)
	sum, n := 0.0, (3*len(steps)+3)/4
	for _, s := range steps[:n] {
		sum += s
	}
	return sum / float64(n)
}

// middle is the mean of the values that lie so near their median. It reorders v.
func middle(v []float64, within float64) float64 {
	m := median.Of(v)
	sum, n := 0.0, 0
	for _, x := range v {
		if math.Abs(x-m) <= within {
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
// round is by how much, in seconds, the rounding of the times scatters what they say.
func (diff *difference) stretches(said, gained []float64, round float64, loc *time.Location) []Clock {
	var out []Clock
	d := diff.first
	for from := 0; from < len(said); {
		to := from + 1
		for to < len(said) && calendar.Of(d[from].at, loc) == calendar.Of(d[to].at, loc) && !diff.set(to, gained) {
			to++
		}
		out = append(out, fit(said[from:to], d[from:to], round, diff.within))
		from = to
	}
	return out
}

// set says whether a clock was set just before signal i, by more than it had gained and
// than guessed minutes come to.
func (diff *difference) set(i int, gained []float64) bool {
	d := diff.first
	hours, by := float64(d[i].at-d[i-1].at)/3600, d[i].secs-d[i-1].secs
	if gained != nil {
		by -= gained[i] - gained[i-1]
	}
	return math.Abs(by) > max(settingJump, diff.within/2)+30*hours
}

// fit is the robust line through the signals of one stretch (Theil and Sen): the
// median of the slopes between hourly middles, and then the middle of what it
// leaves. Fewer than three hours have no slope, nor has what the rounding can make.
func fit(said []float64, d table, round, within float64) Clock {
	c := Clock{From: d[0].at, To: d[len(d)-1].at, Matched: len(said)}
	var at, mid, slopes []float64
	for i := 0; i < len(said); {
		var v []float64
		var sum float64
		for hour := whole(d[i].at, 3600); i < len(said) && whole(d[i].at, 3600) == hour; i++ {
			v = append(v, said[i])
			sum += float64(d[i].at-c.From) / 3600
		}
		at, mid = append(at, sum/float64(len(v))), append(mid, middle(v, within))
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
	if c.level(said, d, within); math.Abs(c.Drift) <= driftSure*max(round, 1.5*c.Spread)/hoursApart(d) {
		c.Drift = 0
		c.level(said, d, within)
	}
	return c
}

// level measures offset and spread under the drift.
func (c *Clock) level(said []float64, d table, within float64) {
	left := make([]float64, len(said))
	for i := range said {
		left[i] = said[i] - c.Drift*float64(d[i].at-c.From)/3600
	}
	c.Offset = middle(left, within)
	for i := range left {
		left[i] = math.Abs(left[i] - c.Offset)
	}
	c.Spread = median.Of(left)
}

// hoursApart is the root of the sum of the squares of how far the signals lie from their
// mean time, in hours: what the scatter is divided by for the standard error of a slope.
func hoursApart(d table) float64 {
	mean, sum := 0.0, 0.0
	for i := range d {
		mean += float64(d[i].at-d[0].at) / 3600 / float64(len(d))
	}
	for i := range d {
		x := float64(d[i].at-d[0].at)/3600 - mean
		sum += x * x
	}
	return math.Sqrt(sum)
}

// whole is the number of whole periods since 1970, also for times before it.
func whole(t, period block.Time) block.Time {
	n := t / period
	if t%period < 0 {
		n--
	}
	return n
}
