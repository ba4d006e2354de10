package register

import (
	"strconv"

	"fairhand/block"
	"fairhand/register/sheet"
)

// CallRow is one call from a level crossing as the day's entries have it: the
// five things that are to be recorded of each. Source: GE/RT8000/TS9 Level
// crossings - signallers' regulations, 2.2, as in signaller study cards.
type CallRow struct {
	Crossing string
	What     string // nature of the request
	Asked    block.Time
	Minutes  int // as the user said, 0 for not told
	Large    bool
	Waits    block.Time // told to wait, for the first time
	Given    block.Time // permission
	Clear    block.Time // reported complete
	Seq      int64      // entry it begins with
	Again    bool       // told to wait, and the user rang again
}

// call takes an entry about the user of a crossing. Word is for the last caller who
// was not told to wait, a report of clear of the one who crosses: as the state of the
// crossing has it.
func (ty *tally) call(ev *block.Event) {
	calls := ty.d.Calls
	find := func(is func(*CallRow) bool) *CallRow {
		at := -1
		for i := range calls {
			c := &calls[i]
			if c.Crossing != ev.Place || !is(c) {
				continue
			}
			if at < 0 || c.Waits == 0 || calls[at].Waits != 0 {
				at = i
			}
		}
		if at < 0 {
			ty.d.Calls = append(calls, CallRow{Crossing: ev.Place, Seq: ev.Seq})
			at = len(calls)
		}
		return &ty.d.Calls[at]
	}
	asks := func(c *CallRow) bool { return c.Asked != 0 && c.Given == 0 && c.Clear == 0 && !c.Again }
	switch ev.Kind {
	case block.CrossingAsked:
		for i := range calls {
			calls[i].Again = calls[i].Again || calls[i].Crossing == ev.Place && calls[i].Waits != 0 && calls[i].Given == 0
		}
		ty.d.Calls = append(calls, CallRow{Crossing: ev.Place, What: ev.Subject, Asked: ev.At, Minutes: ev.Number, Large: ev.Large, Seq: ev.Seq})
	case block.CrossingWait:
		if c := find(asks); c.Waits == 0 {
			c.Waits = ev.At
		}
	case block.CrossingMayCross:
		find(asks).Given = ev.At
	case block.CrossingClear:
		find(func(c *CallRow) bool { return c.Given != 0 && c.Clear == 0 }).Clear = ev.At
	}
}

// CallTable is the calls from level crossings; nil on a day without any.
func (d *Day) CallTable() *sheet.Table {
	if len(d.Calls) == 0 {
		return nil
	}
	t := &sheet.Table{Title: "Calls from level crossings", Name: "Crossings", Columns: []sheet.Column{
		{Key: "crossing", Head: "Crossing", Share: 18}, {Key: "asked", Head: "Asked", Share: 8}, {Key: "what", Head: "To cross", Share: 30},
		{Key: "minutes", Head: "Minutes", Share: 8, Right: true, Number: true}, {Key: "waits", Head: "Told to wait", Short: "Wait", Share: 8},
		{Key: "given", Head: "May cross", Share: 9}, {Key: "clear", Head: "Clear", Share: 8}}}
	for _, c := range d.Calls {
		what, minutes := c.What, ""
		if c.Large {
			what += " (large)"
		}
		if c.Minutes > 0 {
			minutes = strconv.Itoa(c.Minutes)
		}
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{c.Crossing, d.clockAlone(c.Asked), what, minutes, d.clockAlone(c.Waits), d.clockAlone(c.Given), d.clockAlone(c.Clear)}})
	}
	return t
}
