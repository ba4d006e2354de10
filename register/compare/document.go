package compare

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/notation"
	"fairhand/register/sheet"
)

// Document is the comparison to read, to print and to file: pair by pair, and then
// each train's way.
func (c *Chain) Document() *sheet.Document {
	var boxes []string
	last := block.Time(math.MinInt64)
	for _, b := range c.Books {
		boxes = append(boxes, b.Box.Name)
		last = max(last, b.Last)
	}
	doc := &sheet.Document{Running: "The books of " + strings.Join(boxes, ", ") + " side by side", Unbroken: true, Sign: true,
		Times: "times by the clock of " + boxes[0], Date: calendar.In(last, time.UTC)}
	data := findingTable()
	for _, p := range c.Pairs {
		doc.Sections = append(doc.Sections, p.section())
		data.Rows = append(data.Rows, each.Of(p.Findings, p.findingRow)...)
	}
	if len(doc.Sections) > 0 {
		doc.Sections[0].Data = append(doc.Sections[0].Data, data)
	}
	if len(c.Ways) > 0 {
		doc.Sections = append(doc.Sections, c.wayList())
	}
	return doc
}

func (p *Pair) section() sheet.Section {
	first, second := p.First.Box.Name, p.Second.Box.Name
	list := &sheet.List{}
	say := func(format string, a ...any) *sheet.Line { return list.Add(2, format, a...) }
	if len(p.Clocks) == 0 {
		say("clocks: nothing could be matched, so their difference is not known")
	}
	if p.Fits() { // else they are those of any two books
		for _, words := range p.clockWords() {
			say("%s", words)
		}
	}
	say("signals: %d in the book of %s, %d in that of %s, %d in both; times may differ by %s",
		p.Signals[0], first, p.Signals[1], second, p.Matched, span(float64(p.Tolerance)))
	say("%s", p.fitWords())
	if len(p.Findings) == 0 && p.Fits() {
		say("the books agree")
	}
	expected := sheet.Once{}
	for _, f := range p.Findings {
		l := say("%s %s %s %s: %s", p.First.dated(f.At), f.Severity, f.Rule, notation.Word(f.Train), f.Text)
		for k, b := range p.books() {
			if e := f.Entries[k]; e.Seq != 0 && !strings.Contains(f.Text, b.entry(e.Seq)) {
				l.Under = append(l.Under, sheet.Line{In: 6, Text: fmt.Sprintf("%s at %s", b.entryOf(e.Seq), calendar.Exact(e.At, b.Location))})
			}
		}
		if text := expected.Say(string(f.Rule), f.Expected); text != "" {
			l.Under = append(l.Under, sheet.Line{In: 6, Text: "expected: " + text})
		}
	}
	return sheet.Section{Key: p.Section(), Title: p.Section(), Parts: []sheet.Part{list}}
}

// clockWords say how the clocks agreed, in a line for the stretches that follow each
// other and differ alike: of a month it is not told day by day.
func (p *Pair) clockWords() (out []string) {
	for i := 0; i < len(p.Clocks); {
		all := p.Clocks[i]
		least, most, sum := all.Middle(), all.Middle(), all.Middle()*float64(all.Matched)
		for i++; i < len(p.Clocks); i++ {
			c := p.Clocks[i]
			if least, most = min(least, c.Middle()), max(most, c.Middle()); most-least >= oneAs || math.Abs(c.Drift-all.Drift) >= driftTold {
				break
			}
			sum += c.Middle() * float64(c.Matched)
			all.To, all.Matched, all.Spread = c.To, all.Matched+c.Matched, max(all.Spread, c.Spread)
		}
		out = append(out, fmt.Sprintf("clocks from %s to %s: that of %s %s (by %d signals, half of them within %s of that)", p.First.dated(all.From), p.First.dated(all.To),
			p.Second.Box.Name, differs(sum/float64(all.Matched), all.Drift, p.First.Box.Name), all.Matched, span(all.Spread)))
	}
	return out
}

// driftTold is the least drift, in seconds an hour, that is told.
const driftTold = 0.05

// differs says by how much a clock was ahead of the first, and what it gained in an hour.
func differs(ahead, drift float64, first string) string {
	text := "agreed with that of " + first
	if math.Abs(ahead) >= 0.5 {
		text = fmt.Sprintf("was %s %s that of %s", span(math.Abs(ahead)), signWord(ahead, "ahead of", "behind"), first)
	}
	if math.Abs(drift) >= driftTold {
		text += fmt.Sprintf(", and %s %.1f s in an hour", signWord(drift, "gained", "lost"), math.Abs(drift))
	}
	return text
}

// findingTable has a column for what each book says, to sort.
func findingTable() *sheet.Table {
	return &sheet.Table{Name: "Findings", Columns: []sheet.Column{{Key: "boxes", Head: "Boxes", Share: 24}, {Key: "at", Head: "Time", Share: 18},
		{Key: "severity", Head: "Severity", Share: 10}, {Key: "rule", Head: "Rule", Share: 24}, {Key: "train", Head: "Train", Share: 12}, {Key: "text", Head: "Finding", Share: 70},
		{Key: "expected", Head: "Expected", Share: 50}, {Key: "first_entry", Head: "Entry, first book", Share: 10, Number: true}, {Key: "first_time", Head: "Time there", Share: 10},
		{Key: "second_entry", Head: "Entry, second book", Share: 10, Number: true}, {Key: "second_time", Head: "Time there", Share: 10}, {Key: "reference", Head: "Reference", Share: 50}}}
}

func (p *Pair) findingRow(f Finding) sheet.Row {
	row := sheet.Row{Cells: []string{p.Section(), p.First.dated(f.At), f.Severity.String(), string(f.Rule), f.Train, f.Text, f.Expected}}
	for k, b := range p.books() {
		e := f.Entries[k]
		if e.Seq == 0 {
			row.Cells = append(row.Cells, "", "")
		} else {
			row.Cells = append(row.Cells, strconv.FormatInt(e.Seq, 10), calendar.Exact(e.At, b.Location))
		}
	}
	row.Cells = append(row.Cells, f.Ref)
	return row
}

// wayList is the way of each train along the line: of several days as lines only where
// something is not booked, or under another name.
func (c *Chain) wayList() sheet.Section {
	by := c.Books[0]
	list, data := &sheet.List{}, &sheet.Table{Name: "Trains", Columns: []sheet.Column{{Head: "Train", Share: 14}, {Head: "Box", Share: 18}}}
	for _, s := range (Times{}).stops() {
		data.Columns = append(data.Columns, sheet.Column{Head: strings.ToUpper(s.words[:1]) + s.words[1:], Share: 18})
	}
	date := func(w *Way) string { return calendar.In(w.Stops[0].Common.First(), by.Location).Format(time.DateOnly) }
	days := date(&c.Ways[0]) != date(&c.Ways[len(c.Ways)-1])
	day, whole := "", 0
	for _, w := range c.Ways {
		if d := date(&w); d != day && !(days && w.whole) {
			list.Lines = append(list.Lines, sheet.Line{In: 2, Text: d, Head: true})
			day = d
		}
		var stops []string
		for _, s := range w.Stops {
			text, row := s.Box, []string{w.Name, s.Box}
			if s.name != w.Name && s.name != "" {
				text += " as " + s.name
			}
			for _, t := range s.Common.stops() {
				cell := ""
				if t.at != 0 {
					text += " " + t.words + " " + calendar.Clock(t.at, by.Location, by.Box.Rounding)
					cell = by.dated(t.at)
				}
				row = append(row, cell)
			}
			stops, data.Rows = append(stops, text), append(data.Rows, sheet.Row{Cells: row})
		}
		if days && w.whole {
			whole++
			continue
		}
		list.Lines = append(list.Lines, sheet.Line{In: 2, Text: cmp.Or(w.Name, "not named") + ": " + strings.Join(stops, "; ")})
	}
	if whole > 0 {
		list.Lines = append(list.Lines, sheet.Line{In: 2, Space: true, Text: fmt.Sprintf("booked all the way under one name: %d; these are told of a single day, and in the forms xlsx, csv and JSON", whole)})
	}
	return sheet.Section{Key: "trains", Title: "Trains along the line, by the clock of " + by.Box.Name, Parts: []sheet.Part{list}, Data: []*sheet.Table{data}}
}

type stopTime struct {
	words string
	at    block.Time
}

// stops are the times of a train at a box, in their order.
func (t Times) stops() []stopTime {
	return []stopTime{{"entered", t.Entered}, {"arrived", t.Arrived}, {"departed", t.Departed}, {"out of section", t.Cleared}}
}

// dated is a time with its date, as the page of the book has it.
func (b *Book) dated(at block.Time) string {
	return calendar.Read(at, b.Location, b.Box.Rounding).Dated(time.DateOnly)
}
