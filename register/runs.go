package register

import (
	"context"
	"fmt"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/median"
	"fairhand/register/reading"
)

// How running times are taken from the book.
const (
	runsRead = 4000 // entries read back: some weeks of a quiet box, a day or two of a busy one
	runsKept = 30   // the last so many trains count
	runsFew  = 5    // with fewer the box file's time is taken
	runsLong = 4 * 60 * block.Minute
)

// Runs are the running times seen in a book: for each section, direction and
// class of train how long it took from train entering section to its arrival or
// to out of section; and how long from being offered to entering.
type Runs struct {
	box       *block.Box
	through   map[runKey][]block.Time
	lead      map[runKey][]block.Time // without class
	mentioned map[string]block.Time   // when each train was last written about
}

type runKey struct {
	section int
	dir     block.Dir
	class   rulebook.Class
}

// Taken is a time that trains take, and what it rests on.
type Taken struct {
	Time block.Time
	Seen int    // trains it was seen of; below runsFew Time is not theirs
	Else string // where Time comes from when too few were seen
}

// words says what a time rests on.
func (t Taken) words(what string) string {
	min := (t.Time + 30) / block.Minute
	if t.Seen < runsFew {
		return fmt.Sprintf("%s %d min by %s: too few seen (%d)", what, min, t.Else, t.Seen)
	}
	return fmt.Sprintf("%s %d min, median of the last %d", what, min, t.Seen)
}

// Through is how long a train of a class takes through a section.
func (r *Runs) Through(section int, dir block.Dir, class rulebook.Class) Taken {
	if section < 0 {
		return Taken{}
	}
	t := Taken{Time: r.box.Running(section, class), Else: "the box file"}
	return t.median(r.through[runKey{section, dir, class}])
}

// Lead is how long before entering the section a train is offered.
func (r *Runs) Lead(section int, dir block.Dir) Taken {
	if section < 0 {
		return Taken{}
	}
	return Taken{Time: leadGuess, Else: "common practice"}.median(r.lead[runKey{section: section, dir: dir}])
}

func (t Taken) median(seen []block.Time) Taken {
	seen = slices.Clone(seen[max(0, len(seen)-runsKept):])
	t.Seen = len(seen)
	if t.Seen < runsFew {
		return t
	}
	t.Time = median.Of(seen)
	return t
}

// RunningTimes reads the end of the book for the running times of its trains.
// The reading begins in the middle: only a train of which both ends of a
// section were written after that counts, so what was before does not matter.
func (r *Reader) RunningTimes(ctx context.Context) (*Runs, error) {
	after := max(0, r.st.Tail().Seq-runsRead)
	runs := &Runs{box: r.Box(), through: map[runKey][]block.Time{}, lead: map[runKey][]block.Time{}, mentioned: map[string]block.Time{}}
	box := r.BoxAt(after)
	run := reading.NewReplay(box, block.NewState(box))
	for e, err := range run.Ordered(r.Entries(ctx, reading.Span{After: after})) {
		if err != nil {
			return runs, err
		}
		run.Take(e)
		if e.Event.Train != "" {
			runs.mentioned[e.Event.Train] = e.Event.At
		}
		for _, t := range run.Look().Closed { // whose row the entry closed
			runs.ran(t)
		}
	}
	for _, t := range run.Look().Trains {
		runs.ran(t)
	}
	return runs, nil
}

// ran notes how long a train took.
func (r *Runs) ran(t *block.Train) {
	add := func(list map[runKey][]block.Time, k runKey, from, to block.Time) {
		if took := to - from; from != 0 && to != 0 && took >= 0 && took < runsLong {
			list[k] = append(list[k], took)
		}
	}
	for _, l := range []struct {
		dir block.Dir
		leg *block.Leg
		end block.Time
	}{{block.Inward, &t.In, t.In.Arrived}, {block.Outward, &t.Out, t.Out.OutOf}} {
		if l.leg.Section < 0 || l.leg.Falsely || l.leg.Cancelled != 0 {
			continue
		}
		add(r.through, runKey{l.leg.Section, l.dir, t.Class}, l.leg.Entering, l.end)
		add(r.lead, runKey{section: l.leg.Section, dir: l.dir}, l.leg.Offered, l.leg.Entering)
	}
}
