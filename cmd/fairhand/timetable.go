package main

import (
	"fmt"
	"path/filepath"

	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/boxfile"
)

// timetableOf reads the timetable that a box file names, which lies beside it,
// for a book in notation, which has no register to ask. A box file that names
// none has no trains booked.
func timetableOf(file *boxfile.File) ([]register.Booked, error) {
	if file.Timetable == "" {
		return nil, nil
	}
	path := filepath.Join(filepath.Dir(file.Path), file.Timetable)
	f, err := bounded.Open(path)
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

// withTimetable gives a day what was booked to run, with its special notice. A
// timetable that cannot be read takes nothing from what was written down: it is
// said and left out.
func (p *program) withTimetable(day *register.Day, book *register.Book) {
	list, err := book.TimetableOf(day.Date)
	if err != nil {
		fmt.Fprintf(p.notes, "fairhand: %v\n  left out here: the trains booked to run\n", err)
	}
	day.Timetable = list
}
