package block

import (
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// stand puts the train at a place and checks what follows from its standing there.
func (st *step) stand(t *Train, place string) {
	t.Place, t.PlaceAt, t.PlaceSeq, t.Crowded = place, st.e.At, st.e.Seq, false
	p := st.b.PlaceNamed(place)
	if p == nil {
		return
	}
	st.crowds(t, p)
	if !t.In.Assumed {
		st.blockBackNeeded(t)
	}
}

// crowds raises a train that stands where no more room is. Those that it crowds are told with it:
// the next is not told on account of one that may have gone unbooked.
func (st *step) crowds(t *Train, p *Place) {
	if p.Holds == 0 {
		return
	}
	there, n := func(o *Train) bool { return o.Where == Here && o.Place == p.Name && !o.Crowded }, 0
	for _, o := range st.s.Trains {
		if there(o) {
			n++
		}
	}
	if n <= p.Holds {
		return
	}
	for _, o := range slices.Clone(st.s.Trains) {
		if o.ID != t.ID && there(o) {
			st.editTrain(o).Crowded = true
		}
	}
	st.note(rulebook.PlaceFull, "", t.Label(st.b), p.Name+" holds "+strconv.Itoa(p.Holds))
}

// blockBackNeeded raises a train standing within the clearing point of a line
// on which it was not itself signalled, with no blocking back in force.
func (st *step) blockBackNeeded(t *Train) {
	for l, r := range st.b.lines {
		ln := st.b.lineAt(l)
		if ln.Way == Out || ln.Way == Shut || !st.s.fouls(st.b, t.Place, l) || t.occupies(l) || t.accepted(l) || t.aside(l) && t.In.Given == 0 || st.s.Lines[l].Phase.Blocked() {
			continue
		}
		st.note(rulebook.NotBlockedBack, st.b.Sections[r.section].Neighbour, t.Label(st.b), "blocking back sent to "+st.b.Sections[r.section].Neighbour+" and acknowledged before the movement").Line = ln.Name
		if !st.reminded(t) {
			st.owe(rulebook.ReminderMissing, Pending{Section: r.section, Train: t.ID})
		}
	}
}

// reminded says whether a reminder is in use with the train or its place among the reasons.
func (st *step) reminded(t *Train) bool {
	for _, r := range st.s.Reminders {
		for _, why := range r.Reasons {
			if t.Name != "" && strings.Contains(why.Text, t.Name) || t.Place != "" && (strings.Contains(why.Text, t.Place) || r.On == t.Place) {
				return true
			}
		}
	}
	return false
}

// runningLineClear says whether no train stands on the running lines here.
func (st *step) runningLineClear() bool {
	for _, t := range st.s.Trains {
		if t.Where != Here {
			continue
		}
		if p := st.b.PlaceNamed(t.Place); p == nil || !p.Siding {
			return false
		}
	}
	return true
}

// trainWarned notes that a driver was warned. Of one that has gone on a permissive line,
// unwarned, it is the one behind it, where only one is to go.
func (st *step) trainWarned() {
	t := st.named()
	if t.Where == Away && t.Out.Booked && !t.Returned && !t.Warned && st.b.Sections[t.Out.Section].Method.Is().Follows && st.e.At > t.DepartedAt {
		if waits := onlyTrain(st.s.Trains, func(o *Train) bool { return o.toGo(t.Out.Section) && !o.Warned && o.Where == Here }); waits != nil {
			st.note(rulebook.TrainNameDiffers, "", waits.Label(st.b), "the name of the train whose driver was warned").Text =
				words("The warning is booked to "+t.Name+", which has gone", "", waits.Label(st.b))
			t = st.touch(waits)
		}
	}
	t.Warned, t.Untold = true, false
}
