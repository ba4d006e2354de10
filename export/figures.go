package export

import (
	"fmt"
	"strconv"

	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/audit"
)

// The figures of the day, how trains ran and how far the sections were occupied,
// as fairhand audit reports them. The spreadsheet has them in seconds, to reckon
// with; the page to look at and the printed one in minutes.

// figure is one line of them.
type figure struct {
	about   string // line of a section and way, or line of a section
	class   string // of trains; empty for all
	measure string
	times   int64      // how many; 0 for a share
	stat    audit.Stat // of no times for a mere count
	share   float64    // occupied, of one
	hour    string     // the hour that the share is of
}

func figuresOf(d *register.Day) []figure {
	var out []figure
	add := func(about, class, measure string, s audit.Stat) {
		if s.Count > 0 || s.Unusable > 0 {
			out = append(out, figure{about: about, class: class, measure: measure, times: s.Count, stat: s})
		}
	}
	f, use := audit.OfDay(d)
	for i := range f.Flows {
		fl := &f.Flows[i]
		name := fl.Name()
		if len(fl.Classes) > 1 {
			out = append(out, figure{about: name, measure: "trains", times: fl.Trains})
		}
		for _, c := range fl.Classes {
			class := classWords(c.Class)
			out = append(out, figure{about: name, class: class, measure: "trains", times: c.Trains})
			add(name, class, "entering to arrival", c.Running)
			add(name, class, "entering to out of section", c.Occupied)
		}
		add(name, "", "arrival to out of section", fl.Standing)
		add(name, "", "line clear to entering", fl.Held)
		add(name, "", "between trains entering", fl.Headway)
	}
	for _, l := range f.Lateness {
		add("Timetable", classWords(l.Class), "late at arrival", l.Arrive)
		add("Timetable", classWords(l.Class), "late at departure", l.Depart)
	}
	for _, l := range use.Lines {
		name := l.Section + ", " + l.Line
		if l.DayShare > 0 {
			out = append(out, figure{about: name, measure: "occupied, of the day", share: l.DayShare},
				figure{about: name, measure: "occupied, of the busiest hour", share: l.BusiestHour.Share, hour: l.BusiestHour.Hour})
		}
	}
	return out
}

func (f *figure) percent() string {
	if f.share == 0 {
		return ""
	}
	return strconv.FormatFloat(100*f.share, 'f', 1, 64)
}

// classWords is a class of train in words.
func classWords(class string) string {
	if class == rulebook.AnyClass.String() {
		return "class not told"
	}
	return class
}

// words is a figure in one line, without what it is about.
func (f *figure) words() string {
	out := f.measure
	if f.class != "" {
		out = f.class + ", " + out
	}
	if f.share > 0 {
		out += ": " + f.percent() + " %"
		if f.hour != "" {
			out += " from " + f.hour
		}
		return out
	}
	if f.stat.Count == 1 {
		return out + fmt.Sprintf(": once, %s (entry %d)", audit.Length(f.stat.Longest), f.stat.LongestEntry) + f.wrong()
	}
	out += ": " + strconv.FormatInt(f.times, 10)
	if f.stat.Count > 1 {
		out += fmt.Sprintf(" times, median %s, 90 %% %s, longest %s (entry %d)",
			audit.Length(f.stat.Median), audit.Length(f.stat.P90), audit.Length(f.stat.Longest), f.stat.LongestEntry)
	}
	return out + f.wrong()
}

// wrong tells of times that the book has the wrong way about.
func (f *figure) wrong() string {
	if f.stat.Unusable == 0 {
		return ""
	}
	return fmt.Sprintf(", times the wrong way about %d", f.stat.Unusable)
}

// figureGroup is the figures about one line and way, in words.
type figureGroup struct {
	Name  string
	Lines []string
}

func figureGroups(d *register.Day) []figureGroup {
	var out []figureGroup
	for _, f := range figuresOf(d) {
		if n := len(out); n == 0 || out[n-1].Name != f.about {
			out = append(out, figureGroup{Name: f.about})
		}
		g := &out[len(out)-1]
		g.Lines = append(g.Lines, f.words())
	}
	return out
}

func (b *workbook) figures() {
	cols := []sheetColumn{{"About", 32, false}, {"Class", 14, false}, {"Measure", 30, false}, {"Times", 8, true}, {"Shortest, seconds", 10, true},
		{"Median, seconds", 10, true}, {"90 %, seconds", 10, true}, {"Longest, seconds", 10, true}, {"Entry that ended the longest", 14, true},
		{"Times the wrong way about", 14, true}, {"Occupied, %", 10, true}, {"From", 8, false}}
	b.sheet("Figures", cols)
	for _, f := range figuresOf(b.d) {
		line := []string{f.about, f.class, f.measure, "", "", "", "", "", "", numbered(f.stat.Unusable), f.percent(), f.hour}
		if f.share == 0 {
			line[3] = strconv.FormatInt(f.times, 10)
		}
		if f.stat.Count > 0 {
			for i, n := range []int64{f.stat.Shortest, f.stat.Median, f.stat.P90, f.stat.Longest, f.stat.LongestEntry} {
				line[4+i] = strconv.FormatInt(n, 10)
			}
		}
		b.line(cols, line)
	}
}

func (f *flow) figures() {
	groups := figureGroups(f.d)
	if len(groups) == 0 {
		return
	}
	f.head("Figures")
	for _, g := range groups {
		f.para(g.Name, manner{indent: 5, bold: true, keep: flowLine})
		for _, l := range g.Lines {
			f.para(l, manner{indent: 11})
		}
	}
}
