package audit

import (
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/calendar"
)

// Timetable tells the booked times of trains.
type Timetable struct {
	trains map[string]register.Booked
	zone   *time.Location
}

// Booked is a timetable of trains that are the same every day; nil without one.
func Booked(list []register.Booked, zone *time.Location) *Timetable {
	if len(list) == 0 {
		return nil
	}
	t := &Timetable{map[string]register.Booked{}, zone}
	for _, b := range list {
		t.trains[b.Train] = b
	}
	return t
}

// booked gives the booked times at this box of the train of a name that ran near a
// moment, of the day on which they lie nearest to it; a time of zero is not booked. ok is
// false when the timetable does not know the train. The days before and after are looked at
// because a train booked at 24:10 runs on the day after that of its timetable.
func (t *Timetable) booked(train string, near block.Time) (arrive, depart block.Time, ok bool) {
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
