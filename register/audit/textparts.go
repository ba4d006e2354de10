package audit

import (
	"fmt"
	"strings"
)

func (k *Keeping) text(p *printer) {
	p.section("How the book was kept")
	for _, b := range k.Late {
		upTo := ""
		if b.UpTo > 0 {
			upTo = " up to " + minutes(b.UpTo)
		}
		p.line("%-44s %9d", "written later than "+minutes(b.Over)+upTo, b.Count)
	}
	for _, c := range []struct {
		what string
		n    int64
	}{
		{"transcribed from another source", k.Transcribed},
		{"batches written together", k.BatchCount},
		{"corrections", k.CorrectionCount},
		{"corrections with nobody signed on", k.Unsigned},
		{"times out of order", k.OutOfOrder},
		{"entries of before the writer was on duty", k.BeforeDuty},
		{"block worked with nobody on duty", k.NobodyOnDuty},
		{"handovers incomplete", k.Handovers},
		{"turns without signing on", k.TurnsWithoutSignOn},
		{"turns without signing off", k.TurnsWithoutSignOff},
		{"clock checks", k.ClockChecks},
		{"days without a clock check", k.ClockMissingCount},
		{"days ended with trains on hand", k.DayEndCount},
		{"signatures", k.SignatureCount},
		{"visits", k.Visits},
		{"most days in a row without a signature", k.UnsignedDays},
	} {
		p.line("%-44s %9d", c.what, c.n)
	}
	k.listsText(p)
}

func (k *Keeping) listsText(p *printer) {
	if k.ClockWorst != 0 {
		word, n := "fast", k.ClockWorst
		if n < 0 {
			word, n = "slow", -n
		}
		p.line("largest clock error booked: %d min %s", n, word)
	}
	for _, b := range k.Batches {
		p.wrap(0, "Batch: entries %d to %d (%d), written within a minute at %s %s, of %s to %s, %s.",
			b.First, b.Last, b.Entries, b.Written.Date(), b.Written.Clock(), b.From.Clock(), b.To.Clock(), onDuty(b.Turn))
	}
	for _, c := range k.Corrections {
		p.wrap(0, "Correction: entry %d, %s %s, %s, of entry %d. Was: %s", c.Entry, c.At.Date(), c.At.Clock(), onDuty(c.Turn), c.Target, c.Old)
		p.wrap(2, "Stands: %s", c.New)
	}
	if len(k.ClockMissing) > 0 {
		p.wrap(0, "No clock check on: %s%s", strings.Join(k.ClockMissing, ", "), more(k.ClockMissingCount, len(k.ClockMissing)))
	}
	for _, d := range k.DayEnds {
		rowsText(p, "On hand at the end of "+d.Day+":", d.Rows)
	}
	rowsText(p, "On hand after the last entry:", k.OpenNow)
	for _, s := range k.Signatures {
		role := ""
		if s.Role != "" {
			role = " (" + s.Role + ")"
		}
		p.wrap(0, "Signed: entry %d, %s %s, %s%s: %s", s.Entry, s.At.Date(), s.At.Clock(), s.Name, role, s.Text)
	}
}

func rowsText(p *printer, head string, rows []OpenRow) {
	var list []string
	for _, o := range rows {
		list = append(list, fmt.Sprintf("%s, %s (entry %d)", o.Train, o.Where, o.Entry))
	}
	if len(list) > 0 {
		p.wrap(0, "%s %s", head, strings.Join(list, "; "))
	}
}

func more(all int64, shown int) string {
	if left := all - int64(shown); left > 0 {
		return fmt.Sprintf(" and %d more", left)
	}
	return ""
}

// minutes is a time in words: 5 min, 1½ min, 24 h, 15 h 18.
func minutes(s int64) string {
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

func (f *Figures) text(p *printer) {
	p.section("How trains ran")
	p.line("%-42s %6s %9s %9s %9s", count(f.TrainRows, "row", "rows")+" opened", "times", "median", "90 %", "longest")
	for i := range f.Flows {
		f.Flows[i].text(p)
	}
	for _, l := range f.Lateness {
		stat(p, l.Class+", late at arrival", l.Arrive)
		stat(p, l.Class+", late at departure", l.Depart)
		if l.Unknown > 0 {
			p.line("  %s, not in the timetable %d", l.Class, l.Unknown)
		}
	}
}

func (f *Flow) text(p *printer) {
	p.line("")
	p.wrap(0, "%s: %s", flowName(f.Section, f.Line, f.Way, f.Direction), count(f.Trains, "train", "trains"))
	for _, c := range f.Classes {
		name := c.Class
		if c.Class == "any" {
			name = "class not told"
		}
		p.line("  %-40s %6d", name, c.Trains)
		stat(p, "  entering to arrival", c.Running)
		stat(p, "  entering to out of section", c.Occupied)
	}
	stat(p, "arrival to out of section", f.Standing)
	stat(p, "line clear to entering", f.Held)
	stat(p, "between trains entering", f.Headway)
}

func flowName(section, line, way, direction string) string {
	s := way + " " + section
	if line != "" {
		s += ", " + line
	}
	if direction != "" {
		s += ", " + direction
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func stat(p *printer, what string, s Stat) {
	if s.Count > 0 {
		p.line("  %-40s %6d %9s %9s %9s", what, s.Count, minutes(s.Median), minutes(s.P90), minutes(s.Longest))
	}
	if s.Unusable > 0 {
		p.line("  %-40s %6d", what+", times the wrong way about", s.Unusable)
	}
}

func (o *Occupation) text(p *printer) {
	p.section("Occupation of the sections")
	p.line("%-28s %7s %6s %12s %23s", "", "trains", "day", "busy hour", "busiest hour")
	for _, l := range o.Lines {
		name := clip(strings.TrimSuffix(l.Section+", "+l.Line, ", "), 28)
		if l.DayShare == 0 {
			p.line("%-28s %7d %6s", name, l.Trains, "-")
			continue
		}
		p.line("%-28s %7d %6s %12s %23s", name, l.Trains, share(l.DayShare), l.PeakHour.Hour+" "+share(l.PeakHour.Share),
			l.BusiestHour.Day+" "+l.BusiestHour.Hour+" "+share(l.BusiestHour.Share))
		if l.PerHour > 0 {
			way := ""
			if l.EachWay {
				way = " each way"
			}
			p.wrap(2, "at %s for each train: at most %.1f trains an hour%s", minutes(l.Median), l.PerHour, way)
		}
	}
	p.line("")
	for _, ref := range o.References {
		p.wrap(0, "Reference, %s traffic: day %s, peak hour %s. %s", ref.Traffic, share(ref.DayShare), share(ref.Peak), ref.Source)
	}
	p.fill(0, 0, o.Note)
}

func share(f float64) string { return fmt.Sprintf("%.0f %%", 100*f) }
