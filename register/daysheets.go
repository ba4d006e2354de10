package register

import (
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
)

// DaySheet is the handover sheet of a change of duty in a day that is past: the
// same parts as Handover makes, from the state just before the first of the two
// signings, on or off, as the book stands with its corrections. Only the trains
// expected are not on it, since they are of the timetable and not of the book.
type DaySheet struct {
	At    block.Time // of the state: that of the first of the two signings
	From  string     // who was on duty, parted by ", "; empty when nobody was
	To    string     // the relief
	OnSeq int64      // the relief's signing on
	Parts []SheetPart
}

// handing is a change of duty under way.
type handing struct {
	told    []telling       // since the last signing on
	leaving *DaySheet       // somebody has signed off and nobody on since
	gone    map[string]bool // relieved, and not signed off yet
	until   block.Time      // till when what is told belongs to the last sheet
}

// telling is an entry by which the relief takes over or questions something.
type telling struct {
	queried bool
	seq     int64
	subject string
	text    string
}

// changeOfDuty looks at an entry of the day before the rules take it.
func (ty *tally) changeOfDuty(ev *block.Event) {
	h := &ty.hands
	switch ev.Kind {
	case block.Carried, block.Queried:
		t := telling{ev.Kind == block.Queried, ev.Seq, ev.Subject, ev.Text}
		if n := len(ty.d.Sheets); n > 0 && ev.At <= h.until {
			ty.d.Sheets[n-1].tell(t)
		} else {
			h.told = append(h.told, t)
		}
	case block.DutyOff:
		if h.gone[ev.Subject] { // the other half of a handover that has its sheet
			delete(h.gone, ev.Subject)
		} else if h.leaving == nil && ty.worked() {
			h.leaving = ty.sheet(ev)
		}
	case block.DutyOn:
		ty.relief(ev)
	}
}

// relief makes the sheet of a signing on, unless it is no change of duty.
func (ty *tally) relief(ev *block.Event) {
	h, s := &ty.hands, ty.run.Look()
	if ev.Party != "" || slices.ContainsFunc(s.OnDuty, func(o block.OnDuty) bool { return o.Name == ev.Subject }) {
		return // a trainee takes nothing over
	}
	sheet := h.leaving
	if sheet == nil && ty.worked() && (len(s.OnDuty) > 0 || len(block.Live(ty.d.Box, s)) > 0) {
		sheet = ty.sheet(ev)
	}
	if sheet != nil {
		sheet.To, sheet.OnSeq = ev.Subject, ev.Seq
		for _, t := range h.told {
			sheet.tell(t)
		}
		ty.d.Sheets = append(ty.d.Sheets, *sheet)
		h.until = ev.At + ty.d.Box.Limit(rulebook.TakeOver)
	}
	h.told, h.leaving, h.gone = nil, nil, map[string]bool{}
	for _, o := range s.OnDuty {
		h.gone[o.Name] = true
	}
}

// worked says whether somebody has worked the box and it is not closed, so that
// there is something to hand over.
func (ty *tally) worked() bool {
	s := ty.run.Look()
	return s.DutyTurns > 0 && s.Status != block.StatusClosed && s.Status != block.StatusSwitchedOut
}

// sheet makes the sheet of the state before an entry.
func (ty *tally) sheet(ev *block.Event) *DaySheet {
	s := ty.run.Look()
	m := sheetMaker{ty.d.Box, ty.d.Zone, s, ev.At, ty.d.Entries}
	return &DaySheet{At: ev.At, From: each.Joined(s.OnDuty, ", ", func(o block.OnDuty) string { return o.Name }), Parts: m.parts()}
}

// tell marks the items that an entry takes over or questions: those whose name
// it has, which is how rule handover-incomplete reads it.
func (s *DaySheet) tell(t telling) {
	items := s.Parts[0].Items
	for i := range items {
		if items[i].Name == "" || !strings.Contains(t.subject+" "+t.text, items[i].Name) {
			continue
		}
		items[i].Remark = t.text
		if t.queried {
			items[i].QueriedBy = t.seq
		} else {
			items[i].CarriedBy = t.seq
		}
	}
}
