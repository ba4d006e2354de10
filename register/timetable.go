package register

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/bounded"
	"fairhand/register/calendar"
)

// Booked is a train of the timetable.
type Booked struct {
	Train    string
	Code     rulebook.Code
	From, To string // neighbours; empty when it starts or ends here
	Arrive   int    // seconds after midnight by the box's clock; NotBooked for none
	Depart   int    // of a train that does not stop both are the time of passing
	Place    string // where it stands here, may be empty
}

// NotBooked stands for a time that the timetable does not give.
const NotBooked = -1

// EmptyTimetable is a timetable file without a train.
var EmptyTimetable = strings.Join(timetableHead, ",") + "\n"

// timetableHead is the first line of a timetable file.
var timetableHead = []string{"train", "beats", "from", "to", "arrive", "depart", "place"}

// Timetable reads the timetable that the box file names; a box without one has
// no trains in it.
func (r *Reader) Timetable() ([]Booked, error) {
	if r.File().Timetable == "" {
		return nil, nil
	}
	path := filepath.Join(r.Dir, r.File().Timetable)
	f, err := bounded.Open(path)
	if err != nil {
		return nil, fmt.Errorf("the timetable that %s names: %w; put it there or take the key timetable out", BoxFileName, err)
	}
	defer f.Close()
	list, err := ReadTimetable(f, r.Box())
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return list, nil
}

// TimetableOf is the timetable of one register day (yyyymmdd): that of the box
// file, with the special notice of the day if there is one. A special notice is
// a file of the same form beside it, named after the day, special-2026-05-05.csv.
// Its trains run as well; one of a name that the timetable has runs as the notice
// says instead.
func (r *Reader) TimetableOf(day calendar.Day) ([]Booked, error) {
	list, err := r.Timetable()
	if err != nil || r.File().Timetable == "" {
		return list, err
	}
	f, err := r.besideTimetable("special-" + day.String() + ".csv")
	if err != nil {
		return list, fmt.Errorf("the special notice: %w", err)
	}
	if f == nil {
		return list, nil
	}
	defer f.Close()
	special, err := ReadTimetable(f, r.Box())
	if err != nil {
		return list, fmt.Errorf("the special notice %s: %w", f.Name(), err)
	}
	list = slices.DeleteFunc(list, func(t Booked) bool {
		return slices.ContainsFunc(special, func(s Booked) bool { return s.Train == t.Train })
	})
	return append(list, special...), nil
}

// besideTimetable opens a file of special notices, which lie where the timetable lies;
// nil for none.
func (r *Reader) besideTimetable(name string) (*os.File, error) {
	f, err := bounded.Open(r.pathBesideTimetable(name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return f, err
}

func (r *Reader) pathBesideTimetable(name string) string {
	return filepath.Join(r.Dir, filepath.Dir(r.File().Timetable), name)
}

// ReadTimetable reads a timetable: CSV, the first line naming the columns
//
//	train,beats,from,to,arrive,depart,place
//
// then one line a train. Times are HH:MM or HH:MM:SS by the box's clock; after
// midnight the hours go on, 24:10. Beats and place may be left empty. A line
// with anything in it that the box does not know is an error; all are reported
// together, each with its line.
func ReadTimetable(src io.Reader, box *block.Box) ([]Booked, error) {
	in := csv.NewReader(bounded.Of(src, bounded.Line, bounded.Timetable))
	in.FieldsPerRecord = -1 // the count is checked with words of our own
	in.TrimLeadingSpace = true
	head, err := in.Read()
	if errors.Is(err, bounded.ErrTooLong) {
		return nil, err
	}
	if err != nil || !slices.Equal(head, timetableHead) {
		return nil, fmt.Errorf("line 1: a timetable begins with the line %s", strings.Join(timetableHead, ","))
	}
	var list []Booked
	var errs []error
	first := map[string]int{}
	for {
		rec, err := in.Read()
		if errors.Is(err, io.EOF) {
			return list, errors.Join(errs...)
		}
		if err != nil {
			return nil, errors.Join(append(errs, err)...) // names the line itself
		}
		line, _ := in.FieldPos(0)
		t, faults := booked(rec, box)
		if n := first[t.Train]; n != 0 && len(rec) == len(timetableHead) {
			faults = append(faults, fmt.Sprintf("train %s is on line %d already", t.Train, n))
		}
		first[t.Train] = line
		for _, f := range faults {
			errs = append(errs, fmt.Errorf("line %d: %s", line, f))
		}
		list = append(list, t)
	}
}

// booked reads one line and says all that is wrong with it.
func booked(rec []string, box *block.Box) (t Booked, faults []string) {
	if len(rec) != len(timetableHead) {
		return t, []string{fmt.Sprintf("%d fields, %d are needed: %s", len(rec), len(timetableHead), strings.Join(timetableHead, ","))}
	}
	bad := func(format string, a ...any) { faults = append(faults, fmt.Sprintf(format, a...)) }
	for i := range rec {
		rec[i] = strings.TrimSpace(rec[i])
	}
	t = Booked{Train: rec[0], From: rec[2], To: rec[3], Place: rec[6]}
	if t.Train == "" {
		bad("the train has no name")
	}
	if rec[1] != "" {
		var err error
		if t.Code, err = rulebook.ParseCode(rec[1]); err != nil {
			bad("%v", err)
		}
	}
	if t.From == "" && t.To == "" {
		bad("neither from nor to: give the neighbour it comes from or goes to")
	}
	for _, n := range [...]string{t.From, t.To} {
		if n != "" && box.SectionIndex(n) < 0 {
			bad("%s has no section to %q", box.Name, n)
		}
	}
	if t.Place != "" && box.PlaceNamed(t.Place) == nil {
		bad("%s has no place %q", box.Name, t.Place)
	}
	var ok bool
	if t.Arrive, ok = bookedTime(rec[4]); !ok {
		bad("arrive: %q is no time such as 10:45", rec[4])
	}
	if t.Depart, ok = bookedTime(rec[5]); !ok {
		bad("depart: %q is no time such as 10:45", rec[5])
	}
	switch {
	case t.From != "" && t.Arrive == NotBooked:
		bad("it comes from %s: when does it arrive?", t.From)
	case t.To != "" && t.Depart == NotBooked:
		bad("it goes to %s: when does it depart?", t.To)
	case t.Arrive != NotBooked && t.Depart != NotBooked && t.Depart < t.Arrive:
		bad("it departs before it arrives; after midnight write 24:10")
	}
	return t, faults
}

// bookedTime reads a time of the timetable in seconds after midnight.
func bookedTime(s string) (seconds int, ok bool) {
	if s == "" {
		return NotBooked, true
	}
	fields := strings.Split(s, ":")
	if len(fields) == 2 {
		fields = append(fields, "00")
	}
	limits := [...]int{36, 60, 60} // a train of the day may run until noon of the next
	if len(fields) != len(limits) {
		return NotBooked, false
	}
	for i, f := range fields {
		n, err := strconv.Atoi(f)
		if err != nil || len(f) != 2 || f[0] < '0' || n >= limits[i] { // no sign
			return NotBooked, false
		}
		seconds = seconds*60 + n
	}
	return seconds, true
}

// BookedAt is the moment of a time of the timetable on the register day; 0 for
// one that is not booked. Where the clocks change, the time means what they show.
func (d *Day) BookedAt(seconds int) block.Time {
	if seconds == NotBooked {
		return 0
	}
	return block.Time(d.Date.At(seconds, d.Zone).Unix())
}
