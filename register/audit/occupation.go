package audit

import (
	"fmt"

	"fairhand/block"
)

// Occupation is how much of the time each line of each section was occupied.
type Occupation struct {
	Lines      []LineUse   `json:"lines"`
	References []Reference `json:"references"`
	Note       string      `json:"note"`
}

// LineUse is the occupation of one line of a section, trains of both directions
// together where both use it.
type LineUse struct {
	Section     string   `json:"section"`
	Line        string   `json:"line"`
	Method      string   `json:"method"`
	Trains      int64    `json:"trains"` // that entered it
	DayShare    float64  `json:"day_share"`
	BusiestDay  PeakDay  `json:"busiest_day"`
	BusiestHour PeakHour `json:"busiest_hour"` // the one hour of one day with most
	PeakHour    PeakHour `json:"peak_hour"`    // the hour of the day with most over all days; no date
	Median      int64    `json:"median_s"`     // entering to out of section, trains of all classes
	PerHour     float64  `json:"trains_per_hour"`
	EachWay     bool     `json:"each_way"` // PerHour is that many in each direction
}

// PeakDay is the day on which a line was occupied most.
type PeakDay struct {
	Day   string  `json:"day"`
	Share float64 `json:"share"`
}

// PeakHour is a clock hour, such as 07:00, with the share of it occupied.
type PeakHour struct {
	Day   string  `json:"day"`
	Hour  string  `json:"hour"`
	Share float64 `json:"share"`
}

// Reference is a published value to set occupation beside.
type Reference struct {
	Traffic  string  `json:"traffic"`
	DayShare float64 `json:"day_share"`
	Peak     float64 `json:"peak_hour_share"`
	Source   string  `json:"source"`
}

const uic406 = "UIC Code 406, Capacity (2004); from memory: check the leaflet"

var references = []Reference{
	{"suburban passenger", 0.70, 0.85, uic406},
	{"high speed", 0.60, 0.75, uic406},
	{"mixed", 0.60, 0.75, uic406},
}

const occupationNote = "Occupied is entering to out of section as booked. The reference values are for a timetable " +
	"pushed together, with the time to set and clear the road added: a guide, not a limit for these shares."

// TrainsPerHour is how many trains an hour a section takes when each occupies it
// for a time and the next follows at once: 3600 / t on a line of one direction,
// 3600 / 2t each way on a single line that trains use in turn. Source: the
// encyclopaedia article on single track at piglix.com (15 minutes: 2 trains each
// way; boxes 4 minutes apart on double line: 15). 0 for no time.
func TrainsPerHour(t block.Time, single bool) float64 {
	switch {
	case t <= 0:
		return 0
	case single:
		return 3600 / (2 * float64(t))
	default:
		return 3600 / float64(t)
	}
}

// occupation reports all lines. Trains still in section after the last entry
// count up to then.
func (f *figures) occupation(st *block.State) Occupation {
	for _, t := range st.Trains {
		for _, l := range []*block.Leg{&t.In, &t.Out} {
			if inUse(l) && l.Entered != 0 && l.Line >= 0 {
				f.occupy(l.Line, l.Entered, st.Now)
			}
		}
	}
	r := Occupation{Lines: []LineUse{}, References: references, Note: occupationNote}
	length := int64(0)
	for day := range f.active {
		length += f.days.length(day)
	}
	for i, l := range f.sub.box.Lines() {
		f.close(i, 0)
		r.Lines = append(r.Lines, f.lineReport(l, length))
	}
	return r
}

func (f *figures) lineReport(l block.BoxLine, length int64) LineUse {
	sec, u := &f.sub.box.Sections[l.Section], &f.use[l.Index]
	out := LineUse{Section: sec.Neighbour, Line: l.Line.Name, Method: sec.Method.String(), Trains: u.trains, EachWay: sec.Method.Is().Single}
	out.Median = u.times.ranks(50)[0]
	out.PerHour = TrainsPerHour(block.Time(out.Median), out.EachWay)
	if u.total == 0 || length == 0 {
		return out
	}
	out.DayShare = float64(u.total) / float64(length)
	out.BusiestDay = PeakDay{u.busiest.day.String(), u.busiest.share}
	out.BusiestHour = PeakHour{u.hour.day.String(), hourText(f.days.hour(u.hour.day, u.hour.n)), float64(u.hour.seconds) / 3600}
	for h, n := range u.hours {
		if share := float64(n) / 3600 / float64(len(f.active)); share > out.PeakHour.Share {
			out.PeakHour = PeakHour{"", hourText(h), share}
		}
	}
	return out
}

func hourText(h int) string { return fmt.Sprintf("%02d:00", h) }
