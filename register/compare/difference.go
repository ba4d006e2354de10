package compare

import (
	"math"
	"sort"

	"fairhand/block"
)

// between are those of a list in order of time that are of one moment to another.
func between[T any](list []T, from, to block.Time, at func(*T) block.Time) []T {
	i := sort.Search(len(list), func(k int) bool { return at(&list[k]) >= from })
	return list[i : i+sort.Search(len(list)-i, func(k int) bool { return at(&list[i+k]) > to })]
}

// difference is by how much the second book's clock was ahead of the first's, as a
// function of the place in either book. The place and not the time alone: a clock
// that is put back has an hour, or part of one, twice.
type difference struct {
	first, second table   // by the entries and the clock of each book
	within        float64 // seconds that a signal may lie from its neighbours and tell the clocks
}

// table is knots in the order of a book, whose times never go back.
type table []knot

// knot is the difference known at one entry.
type knot struct {
	entry int32      // index among the entries of the book
	at    block.Time // time that the book had surely reached, by its own clock
	gave  block.Time // time that the entry gives
	secs  float64    // the second clock ahead of the first
}

// placeReach is how far an entry's time may be from that of its place in the book
// and be taken by its place: a clock set by as much as is looked for. What was
// written later than that is taken by its time.
const placeReach = voteReach

// at is the difference at a moment of the book's own clock.
func (t table) at(at block.Time) float64 {
	i := sort.Search(len(t), func(i int) bool { return t[i].at > at })
	return t.near(i, at, false)
}

// of is the difference at an entry of the book that gives a time.
func (t table) of(entry int32, at block.Time) float64 {
	i := sort.Search(len(t), func(i int) bool { return t[i].entry > entry })
	if k := max(i-1, 0); k < len(t) && dist(t[k].at, at) > placeReach {
		return t.at(at)
	}
	return t.near(i, at, true)
}

// near is the difference between the knots before and at i: in proportion to the
// time, and where a clock was set between them that of the nearer: of the times
// reached or, where the place in the book is known, of those given there, which a
// clock that was put back repeats.
func (t table) near(i int, at block.Time, placed bool) float64 {
	switch {
	case len(t) == 0:
		return 0
	case i == 0:
		return t[0].secs
	case i == len(t):
		return t[i-1].secs
	}
	x, y := &t[i-1], &t[i]
	if math.Abs(y.secs-x.secs) > settingJump {
		nearer := at-x.at < y.at-at
		if placed {
			nearer = dist(at, x.gave) < dist(at, y.gave)
		}
		if nearer {
			return x.secs
		}
		return y.secs
	}
	if y.at == x.at {
		return x.secs
	}
	part := min(max(float64(at-x.at)/float64(y.at-x.at), 0), 1)
	return x.secs + part*(y.secs-x.secs)
}

// inFirst turns a time of the second book into the first's clock, and inSecond the
// other way.
func (d *difference) inFirst(at block.Time) block.Time {
	return at - block.Time(math.Round(d.second.at(at)))
}

func (d *difference) inSecond(at block.Time) block.Time {
	return at + block.Time(math.Round(d.first.at(at)))
}

// late is by how much, in seconds by one clock, an entry of the second book is behind one
// of the first, by the place of either: beside the setting of a clock the time of one alone
// does not tell on which side of it they are.
func (d *difference) late(a, b noted) [2]float64 {
	return [2]float64{float64(b.at-a.at) - d.first.of(a.entry, a.at), float64(b.at-a.at) - d.second.of(b.entry, b.at)}
}

// apart is late by the place that puts them nearer.
func (d *difference) apart(a, b noted) float64 {
	late := d.late(a, b)
	if math.Abs(late[1]) < math.Abs(late[0]) {
		return late[1]
	}
	return late[0]
}

// firstOf is the time of an entry of the second book by the first's clock.
func (d *difference) firstOf(n noted) block.Time {
	return n.at - block.Time(math.Round(d.second.of(n.entry, n.at)))
}
