package audit

import (
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/calendar"
)

// Booked finds the booked times of trains in a timetable, which has the same
// trains every day; nil without one.
func Booked(list []register.Booked, zone *time.Location) Timetable {
	if len(list) == 0 {
		return nil
	}
	t := &bookedTimes{map[string]register.Booked{}, zone}
	for _, b := range list {
		t.trains[b.Train] = b
	}
	return t
}

type bookedTimes struct {
	trains map[string]register.Booked
	zone   *time.Location
}

// Booked gives the times of the day on which they lie nearest to the moment. The
// days before and after are looked at because a train booked at 24:10 runs on
// the day after that of its timetable.
func (t *bookedTimes) Booked(train string, near block.Time) (arrive, depart block.Time, ok bool) {
	b, ok := t.trains[train]
	if !ok {
		return 0, 0, false
	}
	nearest := block.Time(-1)
	today := calendar.Of(near, t.zone)
	for off := -1; off <= 1; off++ {
		day := register.Day{Date: today.Add(off), Zone: t.zone}
		a, d := day.BookedAt(b.Arrive), day.BookedAt(b.Depart)
		apart := max(a, d) - near
		if apart = max(apart, -apart); nearest < 0 || apart < nearest {
			nearest, arrive, depart = apart, a, d
		}
	}
	return arrive, depart, true
}
