package audit

import (
	"fmt"
	"strconv"

	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/sheet"
)

// The figures line by line: in words to read, and as a table in seconds to reckon with.

// figure is one line of them.
type figure struct {
	about   string // line of a section and way, or line of a section
	class   string // of trains; empty for all
	measure string
	times   int64   // how many; 0 for a share
	stat    Stat    // of no times for a mere count
	share   float64 // occupied, of one
	hour    string  // the hour that the share is of
}

// DaySection is the figures of a day that is read: how trains ran and how far the
// sections were occupied, in words and as a table.
func DaySection(d *register.Day) sheet.Section {
	f, use := OfDay(d)
	figures := figuresOf(&f, &use)
	s := sheet.Section{Key: "figures", Title: "Figures", Data: []*sheet.Table{figureTable(figures)}}
	list, about := &sheet.List{}, ""
	for i := range figures {
		if figures[i].about != about {
			about = figures[i].about
			list.Lines = append(list.Lines, sheet.Line{In: 2, Head: true, Text: about})
		}
		list.Lines = append(list.Lines, sheet.Line{In: 6, Text: figures[i].words()})
	}
	if len(figures) > 0 {
		s.Parts = []sheet.Part{list}
	}
	return s
}

func figuresOf(f *Figures, use *Occupation) []figure {
	var out []figure
	add := func(about, class, measure string, s Stat) {
		if s.Count > 0 || s.Unusable > 0 {
			out = append(out, figure{about: about, class: class, measure: measure, times: s.Count, stat: s})
		}
	}
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
		return out + fmt.Sprintf(": once, %s (entry %d)", Length(f.stat.Longest), f.stat.LongestEntry) + f.wrong()
	}
	out += ": " + number(f.times)
	if f.stat.Count > 1 {
		out += fmt.Sprintf(" times, median %s, 90 %% %s, longest %s (entry %d)",
			Length(f.stat.Median), Length(f.stat.P90), Length(f.stat.Longest), f.stat.LongestEntry)
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

func figureTable(figures []figure) *sheet.Table {
	t := &sheet.Table{Name: "Figures", Columns: []sheet.Column{{Head: "About", Share: 32}, {Head: "Class", Share: 14}, {Head: "Measure", Share: 30},
		{Head: "Times", Share: 8, Number: true}, {Head: "Shortest, seconds", Share: 10, Number: true}, {Head: "Median, seconds", Share: 10, Number: true},
		{Head: "90 %, seconds", Share: 10, Number: true}, {Head: "Longest, seconds", Share: 10, Number: true}, {Head: "Entry that ended the longest", Share: 14, Number: true},
		{Head: "Times the wrong way about", Share: 14, Number: true}, {Head: "Occupied, %", Share: 10, Number: true}, {Head: "From", Share: 8}}}
	for _, f := range figures {
		wrong, line := "", []string{f.about, f.class, f.measure, "", "", "", "", "", ""}
		if f.stat.Unusable > 0 {
			wrong = number(f.stat.Unusable)
		}
		if f.share == 0 {
			line[3] = number(f.times)
		}
		if f.stat.Count > 0 {
			for i, n := range []int64{f.stat.Shortest, f.stat.Median, f.stat.P90, f.stat.Longest, f.stat.LongestEntry} {
				line[4+i] = number(n)
			}
		}
		t.Rows = append(t.Rows, sheet.Row{Cells: append(line, wrong, f.percent(), f.hour)})
	}
	return t
}
