package audit

import (
	"fmt"
	"strings"

	"fairhand/register"
	"fairhand/register/each"
	"fairhand/register/sheet"
)

func (k *Keeping) section() sheet.Section {
	t := &sheet.Table{Columns: []sheet.Column{{Share: 44}, {Share: 9, Right: true, Number: true}}}
	add := func(what string, n int64) { t.Rows = append(t.Rows, cells(what, number(n))) }
	for _, b := range k.Late {
		upTo := ""
		if b.UpTo > 0 {
			upTo = " up to " + Length(b.UpTo)
		}
		add("written later than "+Length(b.Over)+upTo, b.Count)
	}
	add("transcribed from another source", k.Transcribed)
	add("batches written together", k.BatchCount)
	add("corrections", k.CorrectionCount)
	add("corrections with nobody signed on", k.Unsigned)
	add("times out of order", k.OutOfOrder)
	add("entries of before the writer was on duty", k.BeforeDuty)
	add("block worked with nobody on duty", k.NobodyOnDuty)
	add("handovers incomplete", k.Handovers)
	add("turns without signing on", k.TurnsWithoutSignOn)
	add("turns without signing off", k.TurnsWithoutSignOff)
	add("clock checks", k.ClockChecks)
	add("days without a clock check", k.ClockMissingCount)
	add("days ended with trains on hand", k.DayEndCount)
	add("signatures", k.SignatureCount)
	add("visits", k.Visits)
	add("most days in a row without a signature", k.UnsignedDays)
	return sheet.Section{Key: "keeping", Title: "How the book was kept", Parts: []sheet.Part{t, k.lists()}}
}

func (k *Keeping) lists() *sheet.List {
	list := &sheet.List{}
	say := func(format string, a ...any) *sheet.Line { return list.Add(0, format, a...) }
	if k.ClockWorst != 0 {
		word, n := "fast", k.ClockWorst
		if n < 0 {
			word, n = "slow", -n
		}
		say("largest clock error booked: %d min %s", n, word)
	}
	for _, b := range k.Batches {
		to := b.To.Clock()
		if b.To.Date() != b.From.Date() {
			to = b.To.Date() + " " + to
		}
		say("Batch: entries %d to %d (%d), written within a minute at %s, of %s %s to %s, %s.",
			b.First, b.Last, b.Entries, b.Written.Exact(), b.From.Date(), b.From.Clock(), to, register.OnDuty(b.Turn))
	}
	for _, c := range k.Corrections {
		say("Correction: entry %d, %s %s, %s, of entry %d. Was: %s", c.Entry, c.At.Date(), c.At.Clock(), register.OnDuty(c.Turn), c.Target, c.Old).
			Under = []sheet.Line{{In: 2, Text: "Stands: " + c.New}}
	}
	if len(k.ClockMissing) > 0 {
		say("No clock check on: %s", k.clockMissing)
	}
	for _, d := range k.DayEnds {
		if len(d.Rows) > 0 {
			say("On hand at the end of %s: %s", d.Day, rowsText(d.Rows))
		}
	}
	if len(k.OpenNow) > 0 {
		say("On hand after the last entry: %s", rowsText(k.OpenNow))
	}
	for i := range k.Signatures {
		say("Signed: %s", k.Signatures[i].words())
	}
	return list
}

func rowsText(rows []OpenRow) string {
	return each.Joined(rows, "; ", func(o OpenRow) string { return fmt.Sprintf("%s, %s (entry %d)", o.Train, o.Where, o.Entry) })
}

// Length is a time, in seconds, in words: 5 min, 1½ min, 24 h, 15 h 18.
func Length(s int64) string {
	sign := ""
	if s < 0 {
		sign, s = "-", -s
	}
	switch {
	case s > 2*3600 && s%3600 != 0:
		return fmt.Sprintf("%s%d h %02d", sign, s/3600, s%3600/60)
	case s%60 == 30:
		half := "½"
		if s > 60 {
			half = fmt.Sprintf("%d½", s/60)
		}
		return sign + half + " min"
	case s%60 != 0:
		return fmt.Sprintf("%s%d:%02d min", sign, s/60, s%60)
	case s%3600 == 0 && s > 3600:
		return fmt.Sprintf("%s%d h", sign, s/3600)
	default:
		return fmt.Sprintf("%s%d min", sign, s/60)
	}
}

func (f *Figures) section() sheet.Section {
	t := &sheet.Table{Columns: []sheet.Column{{Head: count(f.TrainRows, "row", "rows") + " opened", Share: 42}, {Head: "times", Share: 6, Right: true},
		{Head: "median", Share: 9, Right: true}, {Head: "90 %", Share: 9, Right: true}, {Head: "longest", Share: 9, Right: true}}}
	add := func(in int, texts ...string) { t.Rows = append(t.Rows, sheet.Row{In: in, Cells: texts}) }
	stat := func(in int, what string, s Stat) {
		if s.Count > 0 {
			add(in, what, number(s.Count), Length(s.Median), Length(s.P90), Length(s.Longest))
		}
		if s.Unusable > 0 {
			add(in, what+", times the wrong way about", number(s.Unusable))
		}
	}
	for i := range f.Flows {
		fl := &f.Flows[i]
		t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Above, Text: fl.Name() + ": " + count(fl.Trains, "train", "trains")})
		for _, c := range fl.Classes {
			add(2, classWords(c.Class), number(c.Trains))
			stat(4, "entering to arrival", c.Running)
			stat(4, "entering to out of section", c.Occupied)
		}
		stat(2, "arrival to out of section", fl.Standing)
		stat(2, "line clear to entering", fl.Held)
		stat(2, "between trains entering", fl.Headway)
	}
	if len(f.Lateness) > 0 { // a file that anybody may change afterwards
		t.Rows = append(t.Rows, sheet.Row{Kind: sheet.Above, Text: "By the timetable as it is now, which no entry proves"})
	}
	for _, l := range f.Lateness {
		stat(2, l.Class+", late at arrival", l.Arrive)
		stat(2, l.Class+", late at departure", l.Depart)
		if l.Unknown > 0 {
			add(2, fmt.Sprintf("%s, not in the timetable %d", l.Class, l.Unknown))
		}
	}
	return sheet.Section{Key: "running", Title: "How trains ran", Parts: []sheet.Part{t}}
}

// Name says which trains a flow is of: From Saltgarth, Down Main, down.
func (f *Flow) Name() string {
	s := f.Way + " " + f.Section
	for _, more := range []string{f.Line, f.Direction} {
		if more != "" {
			s += ", " + more
		}
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func (o *Occupation) section() sheet.Section {
	t := &sheet.Table{Columns: []sheet.Column{{Head: "Line", Short: " ", Share: 28}, {Head: "trains", Share: 7, Right: true, Number: true}, {Head: "day", Share: 6, Right: true},
		{Head: "busy hour", Share: 12, Right: true}, {Head: "busiest hour", Share: 23, Right: true}}}
	for _, l := range o.Lines {
		row := cells(strings.TrimSuffix(l.Section+", "+l.Line, ", "), number(l.Trains), "-")
		if l.DayShare > 0 {
			row.Cells = append(row.Cells[:2], share(l.DayShare), l.PeakHour.Hour+" "+share(l.PeakHour.Share), l.BusiestHour.Day+" "+l.BusiestHour.Hour+" "+share(l.BusiestHour.Share))
		}
		if l.DayShare > 0 && l.PerHour > 0 {
			way := ""
			if l.EachWay {
				way = " each way"
			}
			row.Under = []sheet.Line{{In: 2, Text: fmt.Sprintf("at %s for each train: at most %.1f trains an hour%s", Length(l.Median), l.PerHour, way)}}
		}
		t.Rows = append(t.Rows, row)
	}
	notes := &sheet.List{}
	for i, ref := range o.References {
		notes.Add(0, "Reference, %s traffic: day %s, peak hour %s. %s", ref.Traffic, share(ref.DayShare), share(ref.Peak), ref.Source).Space = i == 0
	}
	notes.Lines = append(notes.Lines, sheet.Line{Text: o.Note, Flush: true})
	return sheet.Section{Key: "occupation", Title: "Occupation of the sections", Parts: []sheet.Part{t, notes}}
}

func share(f float64) string { return fmt.Sprintf("%.0f %%", 100*f) }
