package register

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// TimetableOf is the timetable of one register day (yyyymmdd): that of the box
// file, with the special notice of the day if there is one. A special notice is
// a file of the same form beside it, named after the day, special-2026-05-05.csv.
// Its trains run as well; one of a name that the timetable has runs as the notice
// says instead.
func (b *Book) TimetableOf(day int32) ([]Booked, error) {
	list, err := b.Timetable()
	if err != nil || b.file.Timetable == "" {
		return list, err
	}
	path := filepath.Join(b.Dir, filepath.Dir(b.file.Timetable), "special-"+DateText(day)+".csv")
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return list, nil
	}
	if err != nil {
		return list, fmt.Errorf("the special notice: %w", err)
	}
	defer f.Close()
	special, err := ReadTimetable(f, b.file.Box)
	if err != nil {
		return list, fmt.Errorf("the special notice %s: %w", path, err)
	}
	list = slices.DeleteFunc(list, func(t Booked) bool {
		return slices.ContainsFunc(special, func(s Booked) bool { return s.Train == t.Train })
	})
	return append(list, special...), nil
}
