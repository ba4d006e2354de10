package main

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/boxfile"
)

// timetableOf reads the timetable that a box file names, which lies beside it.
// A box file that names none has no trains booked.
func timetableOf(file *boxfile.File) ([]register.Booked, error) {
	if file.Timetable == "" {
		return nil, nil
	}
	path := filepath.Join(filepath.Dir(file.Path), file.Timetable)
	f, err := os.Open(path)
	if err != nil {
		return nil, withHint(fmt.Errorf("the timetable of %s: %w", file.Box.Name, err), "put it there, or take the key timetable out of %s", file.Path)
	}
	defer f.Close()
	list, err := register.ReadTimetable(f, file.Box)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return list, nil
}

// withTimetable gives a day what was booked to run. A timetable that cannot be
// read takes nothing from what was written down: it is said and left out.
func (p *program) withTimetable(day *register.Day, file *boxfile.File) {
	list, err := timetableOf(file)
	if err != nil {
		fmt.Fprintf(p.stderr, "fairhand: %v\n  left out here: the trains booked to run\n", err)
		return
	}
	day.Timetable = list
}

// bookedTimes finds the booked times of a train near a moment, for the audit.
type bookedTimes struct {
	trains map[string]register.Booked
	loc    *time.Location
}

func newBookedTimes(list []register.Booked, loc *time.Location) *bookedTimes {
	t := &bookedTimes{map[string]register.Booked{}, loc}
	for _, b := range list {
		t.trains[b.Train] = b
	}
	return t
}

// Booked gives the times of the day on which they lie nearest to the moment; a
// timetable has the same trains every day.
func (t *bookedTimes) Booked(train string, near block.Time) (arrive, depart block.Time, ok bool) {
	b, ok := t.trains[train]
	if !ok {
		return 0, 0, false
	}
	nearest := block.Time(-1)
	for _, day := range daysAround(near, t.loc) {
		a, d := day.BookedAt(b.Arrive), day.BookedAt(b.Depart)
		apart := max(a, d) - near
		if apart = max(apart, -apart); nearest < 0 || apart < nearest {
			nearest, arrive, depart = apart, a, d
		}
	}
	return arrive, depart, true
}

// daysAround are the days before, of and after a moment: a train booked at 24:10
// runs on the day after that of its timetable.
func daysAround(at block.Time, loc *time.Location) []*register.Day {
	y, m, d := time.Unix(int64(at), 0).In(loc).Date()
	var days []*register.Day
	for off := -1; off <= 1; off++ {
		t := time.Date(y, m, d+off, 12, 0, 0, 0, loc)
		days = append(days, &register.Day{Date: int32(t.Year()*10000 + int(t.Month())*100 + t.Day()), Zone: loc})
	}
	return days
}

// expectedTrains are the trains booked here between the present moment and
// ahead seconds later, but for those that have come and gone before their time;
// and those booked today, in as long a time before, of which the book says
// nothing yet, so that a relief hears of the late ones too.
func expectedTrains(book *register.Book, list []register.Booked, ahead block.Time) []register.ExpectedTrain {
	now, today := book.Now(), book.DayOf(book.Now())
	known := map[string]bool{}
	for _, e := range book.Recent() {
		known[e.Event.Train] = true
	}
	var out []register.ExpectedTrain
	for _, day := range daysAround(now, book.Location()) {
		for _, b := range list {
			first, last := bookedSpan(day, b)
			gone := day.Date == today && known[b.Train] && book.State().TrainNamed(b.Train) == nil
			text := bookedText(b, day.BookedAt(b.Depart), book.Location())
			switch {
			case gone:
			case last >= now && first <= now+ahead:
				out = append(out, register.ExpectedTrain{Time: first, Text: text})
			case last < now && last >= now-ahead && day.Date == today && !known[b.Train]:
				out = append(out, register.ExpectedTrain{Time: first, Text: text + "; its time is past and the book has nothing of it"})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b register.ExpectedTrain) int { return cmp.Compare(a.Time, b.Time) })
	return out
}

// bookedSpan is from when to when a train is booked to be here.
func bookedSpan(day *register.Day, b register.Booked) (first, last block.Time) {
	first, last = day.BookedAt(b.Arrive), day.BookedAt(b.Depart)
	if b.Arrive == register.NotBooked {
		first = last
	}
	if b.Depart == register.NotBooked {
		last = first
	}
	return first, last
}

// bookedText says what is booked of a train after its first time here.
func bookedText(b register.Booked, depart block.Time, loc *time.Location) string {
	text := b.Train
	if b.Code != "" {
		text += " (" + string(b.Code) + ")"
	}
	if b.From != "" {
		text += " from " + b.From
	}
	if b.To != "" {
		text += " for " + b.To
	}
	if b.Place != "" {
		text += ", " + b.Place
	}
	if b.Arrive != register.NotBooked && b.Depart != register.NotBooked && b.Arrive != b.Depart {
		text += ", departs " + clockTime(int64(depart), loc)
	}
	return text
}
