package register

import (
	"cmp"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/reading"
)

// tally steps through the entries of a day and gathers what its page shows.
type tally struct {
	d      *Day
	run    *reading.Replay
	begun  bool
	left   int                 // entries of the day that are not yet taken
	index  map[int64]int       // number of an entry to its place in d.Entries
	fates  []fate              // runs parallel to d.Entries
	trains map[int]block.Train // as last seen, of trains without a row
	rows   map[int]*TrainRow
	codes  [][]rulebook.CodeRow // of each section, fetched when first needed
	hands  handing
}

// fate is what became of an entry on the page.
type fate struct {
	trains []int // rows it concerns
	across bool
	means  string
	found  []block.Finding // no row has these
}

func newTally(box *block.Box, loc *time.Location, day calendar.Day, from block.State) *tally {
	return &tally{
		d:     &Day{Box: box, Zone: loc, Date: day},
		run:   reading.NewReplay(box, from),
		index: map[int64]int{}, trains: map[int]block.Train{}, rows: map[int]*TrainRow{},
		codes: make([][]rulebook.CodeRow, len(box.Sections)),
	}
}

// give hands over the next entry of the book.
func (ty *tally) give(e *reading.Entry) {
	switch {
	case ty.left == 0: // beyond the last, for what it shows to be undone
		found := ty.run.Take(e)
		ty.answer()
		ty.undone(found)
	case e.Day != ty.d.Date:
		ty.pass(e)
	default:
		ty.take(e)
		if ty.left--; ty.left == 0 {
			ty.d.Ended = ty.run.State()
		}
	}
}

// pass steps over an entry of another day: before the day's first, or written
// between its entries.
func (ty *tally) pass(e *reading.Entry) {
	found := ty.step(e)
	if !ty.begun {
		return
	}
	ty.d.Between = append(ty.d.Between, entryOf(e))
	ty.undone(found)
	for t := range ty.run.Look().Concerned() {
		if r := ty.rows[t.ID]; r != nil {
			r.keepPast(&r.Train, t)
			r.Train = *t
		} else {
			ty.trains[t.ID] = *t
		}
	}
}

// step takes an entry through the rules, and the description that it may bring in.
func (ty *tally) step(e *reading.Entry) []block.Finding {
	found := ty.run.Take(e)
	ty.answer()
	if box := ty.run.Box(); box != ty.d.Box {
		ty.d.Box, ty.codes = box, make([][]rulebook.CodeRow, len(box.Sections))
	}
	return found
}

// undone takes findings that are about entries of the day.
func (ty *tally) undone(found []block.Finding) {
	for _, f := range found {
		if i, ok := ty.index[f.Seq]; ok {
			ty.attach(i, f)
		}
	}
}

// waiting says whether something that followed from the day's entries may
// still be found undone.
func (ty *tally) waiting() bool {
	s := ty.run.Look()
	return slices.ContainsFunc(s.Pending, func(p block.Pending) bool {
		_, ok := ty.index[p.Seq]
		return ok && !p.Undone()
	}) || slices.ContainsFunc(ty.d.Findings, func(f block.Finding) bool { return s.MayAnswer(&f) }) ||
		slices.ContainsFunc(ty.d.Answered, func(f block.Finding) bool { return s.MayStandAgain(&f) })
}

// begin notes how the day begins: who is on duty and which trains are on hand.
func (ty *tally) begin() {
	ty.begun = true
	ty.d.Began, ty.d.BeganUnder = ty.run.State(), ty.run.Box()
	s := ty.run.Look()
	for _, t := range s.Trains {
		ty.trains[t.ID] = *t
	}
	for _, o := range s.OnDuty {
		ty.d.OnDuty = append(ty.d.OnDuty, o.Name)
		ty.d.Turns = append(ty.d.Turns, Turn{Name: o.Name})
	}
}

// take steps through an entry of the day.
func (ty *tally) take(e *reading.Entry) {
	if !ty.begun {
		ty.begin()
	}
	ty.changeOfDuty(&e.Event)
	signals := ty.signals(&e.Event)
	found := ty.step(e)
	i := len(ty.d.Entries)
	ty.index[e.Seq] = i
	ty.d.Entries = append(ty.d.Entries, entryOf(e))
	landed := false
	var f fate
	for t := range ty.run.Look().Concerned() {
		f.trains = append(f.trains, t.ID)
		if ty.row(t).take(e, t) {
			landed = true
		}
	}
	f.across, f.means = ty.homeless(&e.Event, signals, landed)
	ty.fates = append(ty.fates, f)
	for _, x := range found {
		at, ok := ty.index[x.Seq]
		if !ok {
			at = i // about an entry of an earlier day
		}
		ty.attach(at, x)
	}
	ty.follow(e)
	ty.call(&e.Event)
}

// row is the row of a train; a new one knows the train as it was before this entry.
func (ty *tally) row(t *block.Train) *TrainRow {
	r := ty.rows[t.ID]
	if r == nil {
		r = &TrainRow{}
		if was, ok := ty.trains[t.ID]; ok {
			r.Train, r.Departed = was, was.DepartedAt
			if was.Place != "" {
				r.Places = append(r.Places, was.Place)
			}
		} else {
			none := block.Leg{Section: -1, Line: -1}
			r.Train = block.Train{ID: t.ID, In: none, Out: none}
		}
		ty.rows[t.ID] = r
	}
	return r
}

// follow takes what is about the book itself: turns of duty.
func (ty *tally) follow(e *reading.Entry) {
	ev := &e.Event
	switch ev.Kind {
	case block.DutyOn:
		ty.d.Turns = append(ty.d.Turns, Turn{Name: ev.Subject, On: ev.At})
	case block.DutyOff:
		for i := len(ty.d.Turns) - 1; i >= 0; i-- {
			if t := &ty.d.Turns[i]; t.Name == ev.Subject && t.Off == 0 {
				t.Off = ev.At
				return
			}
		}
		ty.d.Turns = append(ty.d.Turns, Turn{Name: ev.Subject, Off: ev.At})
	}
}

// attach puts a finding beside its entry, and beside the train it is about.
func (ty *tally) attach(i int, f block.Finding) {
	ty.d.Findings, ty.d.Answered = append(ty.d.Findings, f), without(ty.d.Answered, &f)
	ty.d.Entries[i].found(&f)
	if r := ty.rowFor(i, &f); r != nil {
		r.Findings = append(r.Findings, f)
		return
	}
	ty.fates[i].found = append(ty.fates[i].found, f)
}

// rowFor picks the row a finding belongs on: of the trains its entry concerns
// the one it names, or the only one; else the latest train of that name.
func (ty *tally) rowFor(i int, f *block.Finding) *TrainRow {
	named := func(r *TrainRow) bool { return f.Train != "" && r.Train.Label(ty.d.Box) == f.Train }
	for _, id := range ty.fates[i].trains {
		if r := ty.rows[id]; named(r) || len(ty.fates[i].trains) == 1 {
			return r
		}
	}
	var found *TrainRow
	for _, r := range ty.rows {
		if named(r) && (found == nil || found.Train.ID < r.Train.ID) {
			found = r
		}
	}
	return found
}

// finish puts the day together.
func (ty *tally) finish() *Day {
	d := ty.d
	for _, r := range ty.rows {
		r.Page = sideOf(d.Box, &r.Train)
		d.Rows = append(d.Rows, *r)
	}
	slices.SortFunc(d.Rows, func(a, b TrainRow) int {
		return cmp.Or(cmp.Compare(a.Train.OpenedAt, b.Train.OpenedAt), cmp.Compare(a.Train.ID, b.Train.ID))
	})
	for i := range d.Entries {
		if a, ok := ty.acrossLine(i); ok {
			d.Across = append(d.Across, a)
		}
	}
	slices.SortStableFunc(d.Across, func(a, b AcrossLine) int { return cmp.Compare(a.At, b.At) })
	slices.SortFunc(d.Entries, func(a, b Entry) int { return cmp.Compare(a.Seq, b.Seq) })
	d.Findings, d.Answered = ByRoot(d.Findings), ByRoot(d.Answered)
	return d
}
