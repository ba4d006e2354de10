package legalday

import (
	"math/rand/v2"
	"slices"
	"strings"
)

// Slip is a mistake of the pen: the railway was worked by the rules, the book is
// not quite what happened.
type Slip struct {
	Name string
	make func(d *Day, i int, rng *rand.Rand) (at int, ok bool)
}

// Slips lists the ways an entry goes wrong.
func Slips() []Slip {
	return []Slip{
		{"left out", leftOut},
		{"5 late", writtenAfter(5 * Minute)},
		{"20 late", writtenAfter(20 * Minute)},
		{"90 late", writtenAfter(90 * Minute)},
		{"15 wrong", wrongMinute},
		{"no name", noName},
		{"misspelt", misspelt},
	}
}

// On makes the slip on entry i of a copy of the day. at is the entry's place in
// it, or that of the entry before the gap; ok is false where the slip does not
// apply to the entry.
func (s Slip) On(d *Day, i int, rng *rand.Rand) (spoilt *Day, at int, ok bool) {
	c := *d
	c.Acts = slices.Clone(d.Acts)
	at, ok = s.make(&c, i, rng)
	return &c, at, ok
}

func leftOut(d *Day, i int, _ *rand.Rand) (int, bool) {
	d.Acts = slices.Delete(d.Acts, i, i+1)
	return i - 1, true
}

// writtenAfter puts the entry where the pen had come to when it was written.
func writtenAfter(late int) func(*Day, int, *rand.Rand) (int, bool) {
	return func(d *Day, i int, _ *rand.Rand) (int, bool) {
		a := d.Acts[i]
		a.Written = a.At + late
		to := i
		for to < len(d.Acts) && d.Acts[to].At <= a.Written {
			to++
		}
		d.Acts = slices.Insert(d.Acts, to, a)
		d.Acts = slices.Delete(d.Acts, i, i+1)
		return to - 1, true
	}
}

// wrongMinute writes a quarter of an hour too much or too little.
func wrongMinute(d *Day, i int, rng *rand.Rand) (int, bool) {
	d.Acts[i].At += 15 * Minute
	if rng.IntN(2) == 0 {
		d.Acts[i].At -= 30 * Minute
	}
	return i, true
}

func noName(d *Day, i int, _ *rand.Rand) (int, bool) {
	ok := d.Acts[i].CanLoseName()
	d.Acts[i].Name = ""
	return i, ok
}

// misspelt writes a letter that no train of the day has.
func misspelt(d *Day, i int, _ *rand.Rand) (int, bool) {
	n := d.Acts[i].Name
	if len(n) < 3 || !strings.ContainsAny(n[1:2], "MNOP") {
		return i, false
	}
	d.Acts[i].Name = n[:1] + "W" + n[2:]
	return i, true
}
