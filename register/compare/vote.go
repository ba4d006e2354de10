package compare

import (
	"cmp"
	"math"
	"slices"
	"unique"

	"fairhand/block"
)

// The vote: before anything is matched, each signal of one book with each signal
// of the other that could be the same says how far apart it would put the clocks.
// The true difference is said once for every signal, others now and then. A few
// signals at a time vote together, in the order of the book; then the course of
// the difference is found that has the most votes on the whole, where a clock may
// drift from one ballot to the next, and seldom is set.
const (
	voteReach  = 150 * 60 // seconds: two hours' setting, and clocks that differed before
	voteBin    = 30       // seconds
	voteBins   = 2*voteReach/voteBin + 1
	voteTurn   = 6   // signals of one ballot
	voteDrift  = 2   // bins that a clock may gain between two ballots, or in an hour between them
	voteSet    = 12  // votes that the setting of a clock must be worth: those of three signals; setWorth then asks more
	voteNear   = 150 // seconds within which a signal has its like in the other book
	voteFavour = 0.1 // share by which a difference of nothing is worth more than one as far as they go
)

// vote makes a first difference of the clocks, without room for settings of them
// and with; nil for the latter where none shows.
func vote(a, b *line, named bool) (calm, free *difference) {
	first := electorateOf(a, b, named)
	calm, free = &difference{first: first.elect(false)}, &difference{first: first.elect(true)}
	second := electorateOf(b, a, named)
	calm.second = second.elect(false).ahead()
	if free.first.sets() == 0 {
		return calm, nil
	}
	free.second = second.elect(true).ahead()
	return calm, free
}

// sets counts the settings of a clock by more than the time signal asks for.
func (t table) sets() (n int) {
	for i := range t {
		if i > 0 && math.Abs(t[i].secs-t[i-1].secs) > muchSet {
			n++
		}
	}
	return n
}

// ahead turns by how much one clock is behind into by how much it is ahead.
func (t table) ahead() table {
	for i := range t {
		t[i].secs = -t[i].secs
	}
	return t
}

// electorate is the signals of a book that tell the time, and how they vote on by
// how much the other book's clock is ahead.
type electorate struct {
	line   *line
	voters []int32 // elements
	index  map[uint32][]candidate
	named  bool // the books name trains alike
}

func electorateOf(l, other *line, named bool) *electorate {
	index := map[uint32][]candidate{}
	for i := range other.el {
		if e := &other.el[i]; e.counts() {
			index[e.key] = append(index[e.key], candidate{e.at, e.name})
		}
	}
	for _, all := range index {
		slices.SortStableFunc(all, func(a, b candidate) int { return cmp.Compare(a.at, b.at) })
	}
	e := &electorate{line: l, index: index, named: named}
	for i := range l.el {
		if l.el[i].counts() {
			e.voters = append(e.voters, int32(i))
		}
	}
	return e
}

// turns is how many ballots there are.
func (e *electorate) turns() int { return (len(e.voters) + voteTurn - 1) / voteTurn }

// vote counts a ballot anew: those of a year, kept, would be a tenth of all memory.
func (e *electorate) vote(turn int) (v ballot) {
	for _, i := range e.voters[turn*voteTurn : min((turn+1)*voteTurn, len(e.voters))] {
		x := &e.line.el[i]
		for _, c := range between(e.index[x.key], x.at-voteReach, x.at+voteReach, (*candidate).when) {
			if !e.named || mayBeOne(c.name, x.name) {
				v.add(int(c.at - x.at))
			}
		}
	}
	return v
}

// drift is how many bins a clock may have gained since the ballot before.
func (e *electorate) drift(turn int) int {
	if turn == 0 {
		return voteDrift
	}
	i := turn * voteTurn
	hours := int(e.line.el[e.voters[i]].reached-e.line.el[e.voters[i-1]].reached) / 3600
	return min(voteDrift*max(hours, 1), wasSet-1)
}

// elect finds the course with the most votes.
func (e *electorate) elect(sets bool) table {
	c := course{sets: sets}
	for turn := range e.turns() {
		v := e.vote(turn)
		c.next(&v, e.drift(turn))
	}
	return e.knots(c.back(e.vote))
}

// candidate is a signal of the other book.
type candidate struct {
	at   block.Time
	name unique.Handle[string]
}

func (c *candidate) when() block.Time { return c.at }

// namesOf says whether the books name trains alike: half of the signals of this
// one that name a train name one that the other has too, of all or of those of the time
// that both have by their own clocks, which may be short.
func (l *line) namesOf(other *line) bool {
	has := map[unique.Handle[string]]bool{}
	from, to := block.Time(math.MaxInt64), block.Time(math.MinInt64)
	for i := range other.el {
		has[other.el[i].name] = true
		from, to = min(from, other.el[i].at), max(to, other.el[i].at)
	}
	var named, both [2]int // of all, and of the time of both
	for i := range l.el {
		for k := range named {
			if name := l.el[i].name; name != unnamed && (k == 0 || from <= l.el[i].at && l.el[i].at <= to) {
				named[k]++
				if has[name] {
					both[k]++
				}
			}
		}
	}
	return 2*both[0] >= named[0] || both[1] > 0 && 2*both[1] >= named[1]
}

// knots gives each voter the difference of its ballot; the last ballot before the
// setting of a clock and the first after it are parted where the most signals have
// their like in the other book.
func (e *electorate) knots(secs []float64) table {
	l, voters := e.line, e.voters
	out := make(table, 0, len(voters))
	for n, i := range voters {
		out = append(out, knot{entry: l.bell(int(i)).entry, at: l.el[i].reached, gave: l.el[i].at, secs: secs[n/voteTurn]})
	}
	has := func(n int, secs float64) int {
		x := &l.el[voters[n]]
		at := x.at + block.Time(secs)
		return min(1, len(between(e.index[x.key], at-voteNear, at+voteNear, (*candidate).when)))
	}
	for c := 1; c < len(secs); c++ {
		x, y := secs[c-1], secs[c]
		if dist(block.Time(x), block.Time(y)) <= (voteDrift+1)*voteBin {
			continue
		}
		from, to := (c-1)*voteTurn, min((c+1)*voteTurn, len(voters))
		gain, best, at := 0, 0, from
		for n := from; n < to; n++ {
			if gain += has(n, x) - has(n, y); gain > best {
				best, at = gain, n+1
			}
		}
		for n := from; n < to; n++ {
			out[n].secs = y
			if n < at {
				out[n].secs = x
			}
		}
	}
	return out
}

// ballot counts votes for differences.
type ballot [voteBins]uint8

func (v *ballot) add(diff int) {
	if n := &v[(diff+voteReach+voteBin/2)/voteBin]; *n < math.MaxUint8 {
		*n++
	}
}

// score is the votes for a difference and, in part, for those beside it.
func (v *ballot) score(i int) float64 {
	score := 0.0
	for k := -3; k <= 3; k++ {
		if j := i + k; j >= 0 && j < voteBins {
			score += float64(v[j]) * float64(4-max(k, -k))
		}
	}
	off := max(i-voteBins/2, voteBins/2-i)
	return score * (1 - voteFavour*float64(off)/(voteBins/2))
}

// middle is the difference that the votes near one come to.
func (v *ballot) middle(at int) float64 {
	votes, sum := 0, 0
	for j := max(0, at-4); j <= min(voteBins-1, at+4); j++ {
		votes += int(v[j])
		sum += int(v[j]) * (j*voteBin - voteReach)
	}
	if votes == 0 {
		return float64(at*voteBin - voteReach)
	}
	return float64(sum) / float64(votes)
}

// course is the search for the course of the difference: for each ballot and each
// difference the most votes of a course that ends there.
type course struct {
	sets  bool // a clock may be set
	total []float64
	spare []float64 // to be written next
	came  [][]int8  // how the course came to it: bins of drift, or wasSet
	best  []int     // the best before each ballot, which a setting comes from
}

const wasSet = 127

func (c *course) next(v *ballot, drift int) {
	if c.total == nil {
		c.total, c.spare = make([]float64, voteBins), make([]float64, voteBins)
	}
	total, came := c.spare, make([]int8, voteBins)
	best := c.most()
	for i := range total {
		from, how := c.total[i], int8(0)
		for k := -drift; k <= drift; k++ {
			if j := i + k; j >= 0 && j < voteBins && c.total[j] > from {
				from, how = c.total[j], int8(k)
			}
		}
		if c.sets && c.total[best]-voteSet > from {
			from, how = c.total[best]-voteSet, wasSet
		}
		total[i], came[i] = from+v.score(i), how
	}
	least := slices.Min(total)
	for i := range total {
		total[i] -= least // only differences matter
	}
	c.total, c.spare, c.came, c.best = total, c.total, append(c.came, came), append(c.best, best)
}

// most is the difference with the most votes so far, none before any other.
func (c *course) most() int {
	best := voteBins / 2
	for i, t := range c.total {
		if t > c.total[best] {
			best = i
		}
	}
	return best
}

// back reads the best course, in seconds, for each ballot, which vote counts again.
func (c *course) back(vote func(turn int) ballot) []float64 {
	secs := make([]float64, len(c.came))
	if len(secs) == 0 {
		return nil
	}
	at := c.most()
	for n := len(c.came) - 1; n >= 0; n-- {
		v := vote(n)
		secs[n] = v.middle(at)
		if how := c.came[n][at]; how == wasSet {
			at = c.best[n]
		} else {
			at += int(how)
		}
	}
	return secs
}
