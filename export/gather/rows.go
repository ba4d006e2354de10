package gather

import (
	"strings"

	"fairhand/block"
	"fairhand/export"
	"fairhand/register/audit"
	"fairhand/register/calendar"
	"fairhand/register/each"
)

// whose begins every row. The path has the same, for engines that read it.
type whose struct {
	Railway string `parquet:"railway,dict"`
	Box     string `parquet:"box,dict"`
	Year    int32  `parquet:"year"`
}

func (w whose) year() int { return int(w.Year) }

// entry is a row of the table entries.
type entry struct {
	whose
	export.EntryRow
	export.EntryLine
	Hash   string `parquet:"hash"`
	Turn   int64  `parquet:"turn"`            // entry that began the turn
	Person string `parquet:"person,dict"`     // who was on duty, empty for nobody
	Late   int64  `parquet:"late_seconds"`    // from the moment to the writing
	Rows   []int  `parquet:"train_rows,list"` // of the trains that it concerns

	// The days that a signature covers, of entries of the kind sign.
	ExaminedFrom *int32 `parquet:"examined_from,optional,date"`
	ExaminedTo   *int32 `parquet:"examined_to,optional,date"`
	ExaminedHead *int64 `parquet:"examined_head,optional"`
}

// train is a row of the table trains: a train at one box. A time that was not
// recorded is null.
type train struct {
	whose
	Day    int32   `parquet:"day,date"` // on which the row was opened
	Row    int64   `parquet:"train_row"`
	Train  string  `parquet:"train,dict"` // name, or description and where from
	Named  bool    `parquet:"named"`      // it is a name
	Code   *string `parquet:"code,optional,dict"`
	Class  string  `parquet:"class,dict"`
	Opened int64   `parquet:"opened_entry"`
	At     int64   `parquet:"opened_at,timestamp(microsecond)"`
	Turn   int64   `parquet:"turn"`
	Person string  `parquet:"person,dict"`
	OnHand bool    `parquet:"on_hand"` // at the end of the register
	Place  *string `parquet:"place,optional,dict"`

	InSection  *string `parquet:"in_section,optional,dict"`
	InLine     *string `parquet:"in_line,optional,dict"`
	InOffered  *int64  `parquet:"in_offered_at,optional,timestamp(microsecond)"`
	InAccepted *int64  `parquet:"in_accepted_at,optional,timestamp(microsecond)"`
	InEntered  *int64  `parquet:"in_entered_at,optional,timestamp(microsecond)"`
	Arrived    *int64  `parquet:"arrived_at,optional,timestamp(microsecond)"` // or passed
	InClear    *int64  `parquet:"in_out_of_section_at,optional,timestamp(microsecond)"`
	InEnded    *int64  `parquet:"in_cancelled_at,optional,timestamp(microsecond)"`
	InToken    *int64  `parquet:"in_token,optional"`
	InWarned   bool    `parquet:"in_restricted"`

	OutSection  *string `parquet:"out_section,optional,dict"`
	OutLine     *string `parquet:"out_line,optional,dict"`
	OutOffered  *int64  `parquet:"out_offered_at,optional,timestamp(microsecond)"`
	OutAccepted *int64  `parquet:"out_accepted_at,optional,timestamp(microsecond)"`
	Departed    *int64  `parquet:"departed_at,optional,timestamp(microsecond)"` // or passed
	OutEntered  *int64  `parquet:"out_entered_at,optional,timestamp(microsecond)"`
	OutClear    *int64  `parquet:"out_out_of_section_at,optional,timestamp(microsecond)"`
	OutEnded    *int64  `parquet:"out_cancelled_at,optional,timestamp(microsecond)"`
	OutToken    *int64  `parquet:"out_token,optional"`
	OutWarned   bool    `parquet:"out_restricted"`
}

// finding is a row of the table findings.
type finding struct {
	whose
	Day         int32   `parquet:"day,date"`
	At          int64   `parquet:"found_at,timestamp(microsecond)"`
	Entry       int64   `parquet:"entry"`
	Rule        string  `parquet:"rule,dict"`
	Severity    string  `parquet:"severity,dict"`
	Turn        int64   `parquet:"turn"`
	Person      string  `parquet:"person,dict"`
	Section     *string `parquet:"section,optional,dict"`
	Line        *string `parquet:"line,optional,dict"`
	Train       *string `parquet:"train,optional,dict"`
	Text        string  `parquet:"text"`
	Expected    *string `parquet:"expected,optional"`
	Rests       []int64 `parquet:"rests_on,list"`
	Root        *int64  `parquet:"root,optional"`         // entry it follows from
	Answered    *int64  `parquet:"answered,optional"`     // entry since which it stands no more
	ExplainedBy *int64  `parquet:"explained_by,optional"` // the first remark
	ExplainedAt *int64  `parquet:"explained_at,optional,timestamp(microsecond)"`
	Explanation *string `parquet:"explanation,optional"` // all remarks
}

// turn is a row of the table turns: a turn of duty, or entries with nobody on duty.
type turn struct {
	whose
	Turn        int64  `parquet:"turn"` // entry that began it
	Person      string `parquet:"person,dict"`
	From        int64  `parquet:"from_at,timestamp(microsecond)"`
	To          *int64 `parquet:"to_at,optional,timestamp(microsecond)"`
	OnEntry     *int64 `parquet:"on_entry,optional"`
	OffEntry    *int64 `parquet:"off_entry,optional"`
	Lapsed      bool   `parquet:"lapsed"`
	Entries     int64  `parquet:"entries"`
	Late        int64  `parquet:"late"`
	Corrections int64  `parquet:"corrections"`
	ClockChecks int64  `parquet:"clock_checks"`
	OpenTrains  int64  `parquet:"open_trains"` // on hand when it ended
}

// hour is a row of the table occupation: how long a line of a section was occupied
// in one hour. Hours without a train have none.
type hour struct {
	whose
	Day     int32  `parquet:"day,date"`
	Hour    int32  `parquet:"hour"` // as the clock shows its beginning
	From    int64  `parquet:"hour_at,timestamp(microsecond)"`
	Section string `parquet:"section,dict"`
	Line    string `parquet:"line,dict"`
	Seconds int64  `parquet:"occupied_seconds"`
}

// micro is a moment as Parquet counts: microseconds since 1970.
func micro(t block.Time) int64 { return int64(t) * 1e6 }

// when is a moment that may not be recorded.
func when(t block.Time) *int64 { return export.OrNull(micro(t)) }

func entryRow(b *gathering, w *audit.Worked) entry {
	names := each.Joined(w.Trains, ", ", func(t *block.Train) string { return t.Label(w.Box) })
	codes := each.Joined(w.Trains, ", ", func(t *block.Train) string { return string(t.Code) })
	row := entry{
		whose: b.whose(w.Entry.Day.Year()), EntryRow: export.NewEntryRow(w.Entry, b.zone, names, codes), EntryLine: export.EntryLine{AsWritten: w.Entry.Line},
		Hash: w.Entry.Hash.String(), Turn: w.Turn, Person: w.Person, Late: int64(w.Late), Rows: each.Of(w.Trains, func(t *block.Train) int { return t.ID }),
	}
	if w.ExaminedTo != 0 {
		row.ExaminedFrom, row.ExaminedTo, row.ExaminedHead = new(export.EpochDay(w.ExaminedFrom)), new(export.EpochDay(w.ExaminedTo)), &w.ExaminedHead
	}
	return row
}

func trainRow(b *gathering, t *block.Train, onHand bool) train {
	day := calendar.Of(t.OpenedAt, b.zone)
	by := b.opened[t.ID]
	r := train{
		whose: b.whose(day.Year()), Day: export.EpochDay(day), Row: int64(t.ID), Train: t.Label(b.box), Named: t.Name != "", Code: export.OrNull(string(t.Code)), Class: t.Class.String(),
		Opened: t.Opened, At: micro(t.OpenedAt), Turn: by.turn, Person: by.person, OnHand: onHand, Place: export.OrNull(t.Place), Departed: when(t.DepartedAt),
	}
	if l := &t.In; l.Section >= 0 {
		r.InSection, r.InLine = b.lineOf(l)
		r.InOffered, r.InAccepted, r.InEntered, r.Arrived = when(l.Offered), when(l.LineClear()), when(l.Entered), when(l.Arrived)
		r.InClear, r.InEnded, r.InToken, r.InWarned = when(l.OutOf), when(l.Cancelled), export.OrNull(int64(l.Token)), l.Restricted
	}
	if l := &t.Out; l.Section >= 0 {
		r.OutSection, r.OutLine = b.lineOf(l)
		r.OutOffered, r.OutAccepted, r.OutEntered = when(l.Offered), when(l.LineClear()), when(l.Entered)
		r.OutClear, r.OutEnded, r.OutToken, r.OutWarned = when(l.OutOf), when(l.Cancelled), export.OrNull(int64(l.Token)), l.Restricted
	}
	return r
}

func findingRow(b *gathering, turn int64, f *audit.Finding) finding {
	day := calendar.Of(f.At.Time, b.zone)
	r := finding{
		whose: b.whose(day.Year()), Day: export.EpochDay(day), At: micro(f.At.Time), Entry: f.Entry, Rule: f.Rule, Severity: f.Severity,
		Turn: turn, Person: f.Turn, Section: export.OrNull(f.Section), Line: export.OrNull(f.Line), Train: export.OrNull(f.Train), Text: f.Text,
		Expected: export.OrNull(f.Expected), Rests: f.Rests,
		Root: export.OrNull(f.Root), Answered: export.OrNull(f.Answered),
	}
	words := each.Of(f.Remarks, func(m audit.Remark) string { return m.Text })
	if len(f.Remarks) > 0 {
		first := f.Remarks[0]
		r.ExplainedBy, r.ExplainedAt, r.Explanation = export.OrNull(first.Entry), when(first.At.Time), export.OrNull(strings.Join(words, "; "))
	}
	return r
}

func turnRow(b *gathering, id int64, t *audit.Turn) turn {
	return turn{
		whose: b.whose(calendar.Of(t.From.Time, b.zone).Year()), Turn: id, Person: t.Name, From: micro(t.From.Time), To: when(t.To.Time),
		OnEntry: export.OrNull(t.OnEntry), OffEntry: export.OrNull(t.OffEntry), Lapsed: t.Lapsed, Entries: t.Entries, Late: t.Late, Corrections: t.Corrected,
		ClockChecks: t.Clock, OpenTrains: int64(len(t.OpenRows)),
	}
}

func hourRow(b *gathering, l block.BoxLine, h audit.HourUsed) hour {
	return hour{
		whose: b.whose(h.Day.Year()), Day: export.EpochDay(h.Day), Hour: int32(h.Hour), From: micro(h.From),
		Section: b.box.Sections[l.Section].Neighbour, Line: l.Line.Name, Seconds: h.Seconds,
	}
}
