package audit

import (
	"cmp"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/reading"
)

// Figures are how trains ran.
type Figures struct {
	TrainRows int64      `json:"train_rows"` // rows opened in the days asked for
	Flows     []Flow     `json:"flows"`      // by line of a section and way
	Lateness  []Lateness `json:"lateness"`   // by class; empty without a timetable
}

// Flow is the trains of one line of a section in one direction.
type Flow struct {
	Section   string         `json:"section"` // neighbour
	Line      string         `json:"line"`
	Way       string         `json:"way"`       // from the neighbour or to him
	Direction string         `json:"direction"` // up, down, or empty when the box file does not say
	Trains    int64          `json:"trains"`    // that entered the section
	Classes   []ClassFigures `json:"classes"`
	Standing  Stat           `json:"arrival_to_out_of_section"` // trains from the neighbour only
	Held      Stat           `json:"line_clear_to_entering"`
	Headway   Stat           `json:"headway"`
}

// ClassFigures are the trains of one class.
type ClassFigures struct {
	Class    string `json:"class"`
	Trains   int64  `json:"trains"`
	Running  Stat   `json:"entering_to_arrival"` // trains from the neighbour only
	Occupied Stat   `json:"entering_to_out_of_section"`
}

// Lateness is how trains of a class kept to the timetable; a time before zero is
// early.
type Lateness struct {
	Class   string `json:"class"`
	Arrive  Stat   `json:"arrive"`
	Depart  Stat   `json:"depart"`
	Unknown int64  `json:"not_in_timetable"` // arrivals and departures
}

// classes is how many classes of train there are.
const classes = int(rulebook.Trolley) + 1

// flow gathers a Flow.
type flow struct {
	class                   [classes]classFlow
	standing, held, headway spread
	entered                 block.Time // of the last train
}

type classFlow struct {
	trains            int64
	running, occupied spread
}

// figures follows trains through the sections.
type figures struct {
	sub       subject
	timetable *Timetable
	hour      func(block.BoxLine, HourUsed) // nil for nobody
	use       []lineUse
	seen      map[int]*seenTrain // by number, of trains on hand
	last      *seenTrain         // the one last looked at
	late      [classes]struct {
		arrive, depart spread
		unknown        int64
	}
	days   civilDays
	active map[calendar.Day]bool // register days with entries
	rows   int64                 // opened in the days asked for
}

// seenTrain is what was counted of a train so that nothing counts twice.
type seenTrain struct {
	id       int
	leg      [2]seenLeg // by block.Dir
	departed block.Time
}

type seenLeg struct{ entered, arrived, ended block.Time }

func newFigures(sub subject, opt Options, s *block.State, active map[calendar.Day]bool) figures {
	f := figures{sub: sub, timetable: opt.Timetable, active: active, seen: map[int]*seenTrain{}, days: civilDays{zone: sub.zone}, use: make([]lineUse, len(sub.box.Lines())), hour: opt.Each.Hour}
	for i := range s.Trains {
		f.train(s.Trains[i], nil)
	}
	return f
}

// take follows the trains that the last entry concerned. The figures count when
// the entry that completes them is of the days asked for.
func (f *figures) take(e *reading.Entry, in bool, st *block.State) {
	if !in {
		e = nil
	}
	for t := range st.Concerned() {
		if in && t.Opened == e.Event.Seq {
			f.rows++
		}
		f.train(t, e)
	}
	for _, t := range st.Closed {
		delete(f.seen, t.ID)
		f.last = nil
	}
}

// train takes what is new of a train; e is nil when it does not count.
func (f *figures) train(t *block.Train, e *reading.Entry) {
	s := f.last
	if s == nil || s.id != t.ID { // entries about one train often follow each other
		s = at(f.seen, t.ID)
		s.id, f.last = t.ID, s
	}
	arrived := s.leg[block.Inward].arrived
	f.leg(t, &t.In, block.Inward, &s.leg[block.Inward], e)
	f.leg(t, &t.Out, block.Outward, &s.leg[block.Outward], e)
	if f.timetable != nil && e != nil {
		if t.In.Arrived != arrived {
			f.lateness(t, t.In.Arrived, true, e.Event.Seq)
		}
		if t.DepartedAt != s.departed {
			f.lateness(t, t.DepartedAt, false, e.Event.Seq)
		}
	}
	s.departed = t.DepartedAt
}

// leg takes what is new of a train's use of a section.
func (f *figures) leg(t *block.Train, l *block.Leg, way block.Dir, s *seenLeg, e *reading.Entry) {
	was := *s
	*s = seenLeg{l.Entered, l.Arrived, cmp.Or(l.OutOf, l.Cancelled)}
	if e == nil || *s == was || l.Line < 0 || l.Entered == 0 {
		return
	}
	u := &f.use[l.Line]
	fl := &u.flow[way]
	c := &fl.class[t.Class]
	seq := e.Event.Seq
	if l.Entered != was.entered {
		fl.enter(l, c, seq)
		u.trains++
	}
	if l.Arrived != 0 && l.Arrived != was.arrived && way == block.Inward {
		c.running.add(l.Entered, l.Arrived, seq)
	}
	if s.ended != 0 && s.ended != was.ended {
		f.occupy(l.Line, l.Entered, s.ended)
		if l.OutOf != 0 {
			c.occupied.add(l.Entered, l.OutOf, seq)
			u.times.add(l.Entered, l.OutOf, seq)
			if way == block.Inward && l.Arrived != 0 {
				fl.standing.add(l.Arrived, l.OutOf, seq)
			}
		}
	}
}

// enter counts a train that entered the section.
func (fl *flow) enter(l *block.Leg, c *classFlow, seq int64) {
	c.trains++
	if given := l.LineClear(); given != 0 {
		fl.held.add(given, l.Entered, seq)
	}
	if fl.entered != 0 && l.Entered >= fl.entered {
		fl.headway.add(fl.entered, l.Entered, seq)
	}
	fl.entered = later(fl.entered, l.Entered)
}

func (f *figures) lateness(t *block.Train, at block.Time, arrival bool, seq int64) {
	if at == 0 {
		return
	}
	c := &f.late[t.Class]
	arrive, depart, ok := f.timetable.booked(t.Name, at)
	booked, s := depart, &c.depart
	if arrival {
		booked, s = arrive, &c.arrive
	}
	if !ok || booked == 0 {
		c.unknown++
		return
	}
	s.signed = true
	s.add(booked, at, seq)
}

func (f *figures) report() Figures {
	r := Figures{TrainRows: f.rows, Flows: []Flow{}, Lateness: []Lateness{}}
	for i, l := range f.sub.box.Lines() {
		sec := &f.sub.box.Sections[l.Section]
		for way, word := range []string{"to", "from"} {
			fl := &f.use[i].flow[way]
			side := sec.Towards
			if block.Dir(way) == block.Inward {
				side = register.Against[side]
			}
			out := Flow{
				Section: sec.Neighbour, Line: l.Line.Name, Way: word, Direction: side,
				Classes: []ClassFigures{}, Standing: fl.standing.stat(), Held: fl.held.stat(), Headway: fl.headway.stat(),
			}
			for c := range fl.class {
				if cf := &fl.class[c]; cf.trains > 0 || cf.occupied.n > 0 {
					out.Trains += cf.trains
					out.Classes = append(out.Classes, ClassFigures{rulebook.Class(c).String(), cf.trains, cf.running.stat(), cf.occupied.stat()})
				}
			}
			if len(out.Classes) > 0 {
				r.Flows = append(r.Flows, out)
			}
		}
	}
	for c := range f.late {
		if l := &f.late[c]; f.timetable != nil && l.arrive.n+l.depart.n+l.unknown > 0 {
			r.Lateness = append(r.Lateness, Lateness{rulebook.Class(c).String(), l.arrive.stat(), l.depart.stat(), l.unknown})
		}
	}
	return r
}
