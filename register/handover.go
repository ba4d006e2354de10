package register

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/each"
)

// Sheet is what a signaller hands over to the relief: made from the state of
// the book, so nothing on it was remembered by hand.
type Sheet struct {
	Railway, Box string
	At           block.Time
	When         string // At with its date, by the clock of the page
	OffGoing     string // who is on duty
	Parts        []SheetPart
	Head         string // number and hash of the last entry, as printed in footers
}

// SheetPart is one heading of a sheet with its items.
type SheetPart struct {
	Title string
	Items []SheetItem
}

// SheetItem is one thing to be told. An item with a Name is live: the relief
// accepts it (a carried entry of that name) or questions it (queried).
type SheetItem struct {
	Name string
	Text string
	Seq  int64 // entry it rests on, 0 for none
	Root int64 // of a finding: the entry it follows from, 0 for none

	// What became of it, on the sheet of a handover that is past (Day.Sheets).
	CarriedBy int64  // entry that took it over, 0 for none
	QueriedBy int64  // entry that questioned it, 0 for none
	Remark    string // of that entry
}

// ExpectedTrain is a train of the timetable still to come.
type ExpectedTrain struct {
	Time block.Time // 0 where Text says why none is known
	Text string
}

// Handover makes the sheet of the present moment. Expected trains come from a
// timetable if there is one.
func (b *Book) Handover(expected []ExpectedTrain) Sheet {
	tail := b.st.Tail()
	m := sheetMaker{b.Box(), b.Location(), &b.state, b.Now(), b.recent}
	parts := m.parts()
	if told := b.noticeItems(); told != nil {
		parts = slices.Insert(parts, 1, SheetPart{"Special notices in force in the next twelve hours", told})
	}
	ahead := sheetPart("Trains expected in the next two hours", m.expectedItems(expected))
	return Sheet{Railway: m.box.Railway, Box: m.box.Name, At: m.now, When: m.dated(m.now, "Monday 2 January 2006"), OffGoing: b.Writer(), Head: fmt.Sprintf("%d %s", tail.Seq, tail.Hash),
		Parts: slices.Insert(parts, len(parts)-1, ahead)}
}

// sheetMaker makes the parts of a sheet from a state of the book: the present
// one, or that of a handover in the past.
type sheetMaker struct {
	box  *block.Box
	zone *time.Location
	s    *block.State
	now  block.Time
	day  []Entry // of the day so far
}

// parts are what the book tells; the first is what has to be taken over.
func (m sheetMaker) parts() []SheetPart {
	return []SheetPart{
		sheetPart("To be taken over, item by item", liveItems(block.Live(m.box, m.s))),
		sheetPart("Sections", sectionItems(m.box, m.s)),
		sheetPart("Tokens", tokenItems(m.box, m.s)),
		sheetPart("Not yet answered or done", m.dueItems()),
		sheetPart("Found and not explained", m.openItems()),
		sheetPart("Clock, box and notes", m.boxItems()),
	}
}

func sheetPart(title string, list items) SheetPart {
	if len(list) == 0 {
		list.tell(0, "none")
	}
	return SheetPart{title, list}
}

// items are those of a part while it is made.
type items []SheetItem

// tell adds what is told and not ticked, with the entry that it rests on.
func (l *items) tell(seq int64, format string, args ...any) {
	*l = append(*l, SheetItem{Text: fmt.Sprintf(format, args...), Seq: seq})
}

func liveItems(live []block.LiveItem) (out items) {
	for _, l := range live {
		it := SheetItem{Text: l.Text, Seq: l.Seq}
		if l.Tick {
			it.Name = l.Name
		}
		out = append(out, it)
	}
	return out
}

func sectionItems(box *block.Box, s *block.State) (out items) {
	for _, l := range box.Lines() {
		text := fmt.Sprintf("%s, %s: %s", box.Sections[l.Section].Neighbour, l.Line.Name, phaseWords(box, s, l))
		out.tell(s.Lines[l.Index].Seq, "%s", strings.Join(append([]string{text}, block.TrainsOf(box, s, l.Index)...), ", "))
	}
	for i := range box.Sections {
		c := &s.Circuits[i]
		who := box.Sections[i].Neighbour
		switch how := c.Unbelled(); {
		case how != "":
			out.tell(c.Begun, "%s: %s", who, how)
		case c.Over != "":
			out.tell(0, "%s: %s", who, s.Single(i))
		case c.Closed:
			out.tell(0, "%s has closed", who)
		}
		for _, a := range s.Waiting(i) {
			from := who + " has not answered our"
			if !a.Sent {
				from = "we have not answered " + who + "'s"
			}
			out.tell(a.Seq, "%s %s", from, a.Code)
		}
	}
	return out
}

// phaseWords is the state of a line in words: never normal for one that is barred.
func phaseWords(box *block.Box, s *block.State, l block.BoxLine) string {
	phase := s.Lines[l.Index].Phase
	words := block.Barred(box, s, l)
	if phase != block.Normal || len(words) == 0 {
		words = append([]string{phase.String()}, words...)
	}
	return strings.Join(words, ", ")
}

func tokenItems(box *block.Box, s *block.State) (out items) {
	for i := range box.Sections {
		sec := &box.Sections[i]
		switch sec.Method.Is().Carries {
		case rulebook.CarriesToken:
			t := &s.Tokens[i]
			away, one := t.Count(block.TokenAway), ""
			switch train := s.Unnumbered(box, i); {
			case train == nil:
			case train.In.Entered != 0:
				away, one = away-1, ", one with "+train.Label(box)+", its number not told here"
			default:
				one = ", one released for " + train.Label(box)
			}
			text := fmt.Sprintf("%s: %d here, %d at the other end of %d%s", sec.Neighbour, t.Count(block.TokenHere), away, len(t.Where), one)
			if t.Out != 0 {
				text += fmt.Sprintf(", token %d out", t.Out)
			}
			for j, w := range t.Where {
				if w != block.TokenHere && w != block.TokenAway && w != block.TokenOutOf {
					text += fmt.Sprintf(", token %d %s", sec.Tokens.Charge[j], w)
				}
			}
			out.tell(t.Seq, "%s", text)
		case rulebook.CarriesStaff:
			text := sec.Neighbour + ": staff " + s.Staffs[i].Where.String()
			for _, k := range s.Staffs[i].Tickets {
				text += fmt.Sprintf(", ticket %d issued", k.Number)
			}
			out.tell(0, "%s", text)
		}
	}
	return out
}

// dueItems lists what is still to follow: answers, warning signals, trains.
func (m sheetMaker) dueItems() (out items) {
	for _, d := range block.Due(m.box, m.s, m.now+24*60*block.Minute) {
		text := block.So(d.Pending.Times > 0, "LATE already, again ") + "by "
		if d.Due < m.now {
			text = "LATE since "
		}
		text += m.when(d.Due) + ": " + strings.TrimSuffix(d.Text, ".")
		for _, w := range []string{d.Train, d.Where} {
			if w != "" {
				text += ", " + w
			}
		}
		out.tell(d.Seq, "%s", text)
	}
	return out
}

func (m sheetMaker) openItems() (out items) {
	found := each.Of(m.s.Open, func(f *block.Finding) block.Finding { return *f })
	slices.SortStableFunc(found, func(x, y block.Finding) int { return cmp.Compare(y.Severity, x.Severity) }) // a danger before all else
	for _, f := range ByRoot(found) {
		text := fmt.Sprintf("entry %d at %s, %s: %s", f.Seq, m.when(f.At), f.Severity, f.Text)
		out = append(out, SheetItem{Text: strings.Join(append([]string{text}, Standing(&f)...), "; "), Seq: f.Seq, Root: f.Root})
	}
	return out
}

func (m sheetMaker) expectedItems(expected []ExpectedTrain) (out items) {
	for _, e := range expected {
		if e.Time == 0 { // why none is known
			out.tell(0, "%s", e.Text)
			continue
		}
		out.tell(0, "%s %s", m.clock(e.Time), e.Text)
	}
	return out
}

func (m sheetMaker) boxItems() (out items) {
	s := m.s
	checked := "at the check of " + m.dated(s.ClockAt, "2 January")
	switch {
	case s.ClockAt == 0:
		out.tell(0, "clock not checked in this book")
	case s.ClockError == 0:
		out.tell(0, "clock right %s", checked)
	case s.ClockError < 0:
		out.tell(0, "clock %d minutes slow %s", -s.ClockError, checked)
	default:
		out.tell(0, "clock %d minutes fast %s", s.ClockError, checked)
	}
	out.tell(0, "box %s", s.Status)
	if s.Fog {
		out.tell(0, "fog or falling snow")
	}
	for _, p := range s.Posts {
		out.tell(p.Seq, "%s posted at %s", p.Name, p.Place)
	}
	for _, e := range m.day {
		if e.Event.Kind == block.Note && e.CorrectedBy == 0 && e.At >= int64(m.now)-8*3600 {
			out.tell(e.Seq, "note of %s: %s", m.clock(block.Time(e.At)), e.Event.Text)
		}
	}
	return out
}

func (m sheetMaker) dated(at block.Time, layout string) string {
	return calendar.Read(at, m.zone, m.box.Rounding).Dated(layout)
}

// when is the clock time, with its date where that is not the day of the sheet.
func (m sheetMaker) when(at block.Time) string {
	if calendar.Of(at, m.zone) == calendar.Of(m.now, m.zone) {
		return m.clock(at)
	}
	return m.dated(at, "2 January")
}

func (m sheetMaker) clock(at block.Time) string { return calendar.Clock(at, m.zone, m.box.Rounding) }
