package reading

import (
	"fmt"
	"hash/maphash"

	"fairhand/block"
	"fairhand/register/calendar"
)

// Repeat is a part of a book that says again, entry for entry and minute for minute, what
// stands before it: a page that was copied twice.
type Repeat struct {
	From, To int64 // entries
	At       block.Time
	Lines    [2]int
	Of       int // the line from which it stands before
}

// Again says it in words.
func (r *Repeat) Again() string {
	return fmt.Sprintf("lines %d to %d say again, minute for minute, what stands from line %d", r.Lines[0], r.Lines[1], r.Of)
}

const (
	// repeatLeast is how many entries one after the other, over repeatSpan at least, are a
	// part that stands twice: of one minute a few may well be alike (common practice).
	repeatLeast = 8
	repeatSpan  = 10 * block.Minute
)

// repeats looks for parts of a book that stand twice on one day.
type repeats struct {
	seed maphash.Seed
	days days
	day  calendar.Day
	had  map[uint64]place
	run  Repeat
	of   place // of the last of the run
	all  []Repeat
}

func newRepeats(of days) repeats {
	return repeats{seed: maphash.MakeSeed(), days: of, had: map[uint64]place{}}
}

// take looks at the next entry of the book.
func (r *repeats) take(ev *block.Event, at place) {
	if day := r.days.of(ev.At); day != r.day {
		r.day = day
		clear(r.had)
	}
	key := r.key(ev)
	of, again := r.had[key]
	r.had[key] = at
	if again && r.run.To == at.entry-1 && of.entry == r.of.entry+1 && of.entry < r.run.From {
		r.run.To, r.run.Lines[1] = at.entry, at.line
	} else if again {
		r.run = Repeat{From: at.entry, To: at.entry, At: ev.At, Lines: [2]int{at.line, at.line}, Of: of.line}
	} else {
		return
	}
	r.of = of
	if r.run.To-r.run.From+1 < repeatLeast || max(ev.At-r.run.At, r.run.At-ev.At) < repeatSpan {
		return
	}
	if k := len(r.all) - 1; k >= 0 && r.all[k].From == r.run.From {
		r.all[k] = r.run
	} else {
		r.all = append(r.all, r.run)
	}
}

// key is what an entry says and when, in brief.
func (r *repeats) key(ev *block.Event) uint64 {
	const prime = 1099511628211 // of the hash FNV-1a
	h := uint64(ev.At)
	mix := func(n uint64) { h = (h ^ n) * prime }
	mix(uint64(ev.Kind))
	mix(uint64(ev.Number))
	for _, text := range [...]string{ev.Section, ev.Line, ev.Train, ev.Subject, ev.Text} {
		if text != "" {
			mix(maphash.String(r.seed, text))
		}
	}
	for i := range ev.Bells {
		for _, beat := range []byte(ev.Bells[i].Code) {
			mix(uint64(beat))
		}
		if ev.Bells[i].Sent {
			mix(1)
		}
	}
	return h
}
