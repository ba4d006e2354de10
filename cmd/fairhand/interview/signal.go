package interview

import (
	"bytes"
	"cmp"
	"errors"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/boxfile"
)

// signals asks for the signals that the book is to name.
func (a *interview) signals() error {
	a.intro("The signals of your box, for those who book them off and on; an empty answer ends the list.")
	return a.each(question{ask: "Signal", about: "signals.name", check: oneName, set: func(b *boxfile.Description, v string) {
		b.Signals = append(b.Signals, boxfile.SignalDescription{Name: v})
	}}, a.signal)
}

// signal asks for the signal described last.
func (a *interview) signal(name string) error {
	to := func(set func(s *boxfile.SignalDescription, v string)) func(*boxfile.Description, string) {
		return func(b *boxfile.Description, v string) { set(last(b.Signals), v) }
	}
	usual := ""
	if len(a.box.Sections) == 1 {
		usual = a.box.Sections[0].Neighbour
	}
	err := a.all(
		question{ask: "What is " + name, about: "signals.kind", fallback: boxfile.SignalKinds[0], choices: boxfile.SignalKinds,
			set: to(func(s *boxfile.SignalDescription, v string) { s.Kind = v })},
		question{ask: "The neighbour to or from whom trains pass it", about: "signals.section", required: true, fallback: usual, choices: a.neighbours(),
			set: to(func(s *boxfile.SignalDescription, v string) { s.Section = v })})
	if err != nil {
		return err
	}
	i := slices.IndexFunc(a.box.Sections, func(s boxfile.SectionDescription) bool { return s.Neighbour == last(a.box.Signals).Section })
	if i < 0 || len(a.box.Sections[i].Lines) < 2 {
		return nil
	}
	var names []string
	way, stands := block.In, "" // what a home or a distant is passed on; a section signal lets trains out
	if last(a.box.Signals).Kind == boxfile.SignalKinds[0] {
		way = block.Out
	}
	for _, l := range a.box.Sections[i].Lines {
		if names = append(names, l.Name); l.Way == way.String() {
			stands = cmp.Or(stands, l.Name)
		}
	}
	return a.all(question{ask: "The line it stands on", about: "signals.line", required: true, fallback: stands, choices: names,
		set: to(func(s *boxfile.SignalDescription, v string) { s.Line = v })})
}

// gear asks for what the book names when it fails or is taken out of use.
func (a *interview) gear() error {
	a.intro("The points, levers, instruments and other gear that the book names when it fails, is taken out of use or has a reminder on it; an empty answer ends the list.")
	return a.each(question{ask: "Gear", about: "gear.name", check: oneName, set: func(b *boxfile.Description, v string) {
		b.Gear = append(b.Gear, boxfile.GearDescription{Name: v})
	}}, func(name string) error {
		return a.all(
			question{ask: "What is " + name, about: "gear.kind", choices: boxfile.GearKinds, required: true,
				set: func(b *boxfile.Description, v string) { last(b.Gear).Kind = v }},
			question{ask: "The neighbour whose trains or block it serves; empty for all, and then points and ground frames are not judged", about: "gear.section", choices: a.neighbours(),
				set: func(b *boxfile.Description, v string) { last(b.Gear).Section = v }})
	})
}

// The timetable lies beside the box file under this name; with newTimetable an empty
// one is begun.
const (
	timetableName = "timetable.csv"
	newTimetable  = "new"
)

// timetable asks for the file with the timetable, which is read by the box described.
func (a *interview) timetable() error {
	a.table = nil
	a.intro("The trains that are booked to run, from which the desk tells what comes next.")
	return a.all(question{ask: "File with the timetable (CSV), " + newTimetable + " to begin one, or empty for none", about: "timetable",
		check: func(name string) (err error) { _, err = a.readTable(name); return err },
		set: func(b *boxfile.Description, name string) {
			if text, err := a.readTable(name); err == nil {
				b.Timetable, a.table = timetableName, text
			}
		}})
}

// readTable is the timetable of a file, which the box described can read.
func (a *interview) readTable(name string) ([]byte, error) {
	if name == newTimetable {
		return []byte(register.EmptyTimetable), nil
	}
	text, err := bounded.File(name, bounded.Timetable)
	if err != nil {
		return nil, err
	}
	_, file, err := a.file()
	if err != nil {
		return nil, err
	}
	if _, err = register.ReadTimetable(bytes.NewReader(text), file.Box); err != nil {
		first, _, more := strings.Cut(err.Error(), "\n")
		if more {
			first += " (and more)"
		}
		return nil, errors.New(first)
	}
	return text, nil
}
