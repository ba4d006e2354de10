package register

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/sheet"
)

// Document is a day to print, with the sections chosen.
func (d *Day) Document(sections ...sheet.Section) *sheet.Document {
	return &sheet.Document{
		Title: d.Title(), Under: []string{d.dutyLine()}, Times: "UTC" + d.Date.Midnight(d.Zone).Format("-07:00") + " as the day begins",
		Date: d.Date.Midnight(time.UTC), Sections: sections, Proof: d.proof(), Alarms: d.Alarms,
	}
}

// dutyLine says who was on duty and when they came and went.
func (d *Day) dutyLine() string {
	var duty []string
	if len(d.OnDuty) > 0 {
		duty = append(duty, strings.Join(d.OnDuty, ", ")+" at the first entry")
	}
	for _, t := range d.Turns {
		if t.On != 0 {
			duty = append(duty, t.Name+" on "+d.Clock(t.On))
		}
		if t.Off != 0 {
			duty = append(duty, t.Name+" off "+d.Clock(t.Off))
		}
	}
	if len(duty) == 0 {
		return "Nobody signed on"
	}
	return "Duty: " + strings.Join(duty, "; ")
}

// proof is what proves the day, for the foot of every page.
func (d *Day) proof() []string {
	var out []string
	if slices.ContainsFunc(d.Alarms, func(a sheet.Alarm) bool { return a.Stamp == sheet.Damaged }) {
		return []string{fmt.Sprintf("Not proved. Last entry read: %d", d.Last.Seq)}
	}
	if d.Last.Hash != d.Head.Hash {
		out = append(out,
			fmt.Sprintf("Last entry of the day: %d, %s", d.Last.Seq, d.Last.Hash),
			fmt.Sprintf("Register read up to entry %d, %s", d.Head.Seq, d.Head.Hash))
	} else {
		out = append(out, fmt.Sprintf("Last entry: %d, %s", d.Last.Seq, d.Last.Hash))
	}
	out = append(out, d.Described.Words())
	if d.Seal != nil {
		out = append(out, d.Seal.Says)
	}
	return out
}

// PageSection is the pages of the book.
func (d *Day) PageSection() sheet.Section {
	s := sheet.Section{Key: "page", Data: []*sheet.Table{d.Trains()}}
	for _, p := range d.Pages() {
		s.Parts = append(s.Parts, p)
	}
	if calls := d.CallTable(); calls != nil {
		s.Parts, s.Data = append(s.Parts, calls), append(s.Data, calls)
	}
	return s
}

// SignsSection explains the signs of the page; plain are those of plain text, in
// which nothing can be struck through.
func (d *Day) SignsSection(plain bool) sheet.Section {
	if plain {
		return sheet.Section{Key: "signs", Parts: []sheet.Part{sheet.Say(PageLegend[0], PageLegend[1], "!! danger, ! irregular, . advice: in full beside the entry in the list.")}}
	}
	return sheet.Section{Key: "signs", Title: "Signs", Parts: []sheet.Part{sheet.Say(PageLegend[0],
		"An entry struck through is in error: what stands instead is beside it. !! danger, ! irregular, . advice.")}}
}

// FindingsSection is what was found on the day, with the numbers that the train
// graph shows; then what stands no more, which has none.
func (d *Day) FindingsSection() sheet.Section {
	s := sheet.Section{Key: "findings", Title: fmt.Sprintf("Found on this day: %d", len(d.Findings))}
	data := &sheet.Table{Name: "Findings", Columns: []sheet.Column{
		{Head: "Number", Share: 8, Number: true}, {Head: "Time", Share: 26}, {Head: "Severity", Share: 10}, {Head: "Rule", Share: 34}, {Head: "Section", Share: 14},
		{Head: "Line", Share: 12}, {Head: "Train", Share: 12}, {Head: "Finding", Share: 60}, {Head: "Expected", Share: 50}, {Head: "Entry", Share: 7, Number: true},
		{Head: "Rests on entries", Share: 16}, {Head: "Source", Share: 50}, {Head: "Follows from entry", Share: 9, Number: true},
		{Head: "Explained by entries", Share: 12}, {Head: "Answered by entry", Share: 9, Number: true}}}
	about, list := d.RowsAbout(), &sheet.List{}
	add := func(number string, f *block.Finding) {
		l := d.findingLine(number, f, about.trains(f.Seq, d.Box))
		if number != "" {
			l.Link = about.link(f.Seq)
		}
		list.Lines = append(list.Lines, l)
		data.Rows = append(data.Rows, sheet.Row{Cells: []string{number, d.Stamp(f.At), f.Severity.String(), string(f.Rule), f.Section, f.Line, f.Train, f.Text, f.Expected,
			strconv.FormatInt(f.Seq, 10), Numbers(f.Rests, " "), f.Ref, Numbered(f.Root), Numbers(d.ExplainedBy(f.Seq), " "), Numbered(f.Answered)}})
	}
	for i := range d.Findings {
		add(strconv.Itoa(i+1), &d.Findings[i])
	}
	if len(d.Findings) == 0 {
		list = sheet.Say("Nothing that this register can see.")
	}
	if len(d.Answered) > 0 {
		list.Lines = append(list.Lines, sheet.Line{Head: true, Space: true, Text: fmt.Sprintf("Found as it was written, and answered since: %d", len(d.Answered))})
	}
	for i := range d.Answered {
		add("", &d.Answered[i])
	}
	s.Parts, s.Data = []sheet.Part{list}, []*sheet.Table{data}
	return s
}

// findingLine is a finding in a list: within the one it follows from, and standing
// out while nobody has explained it.
func (d *Day) findingLine(number string, f *block.Finding, about []string) sheet.Line {
	in, standing := 8, d.standing(f)
	if f.Root != 0 {
		in += 4
	}
	lines := FindingLines(f)
	where := sheet.Line{In: in, Text: strings.Join(append([]string{fmt.Sprintf("entry %d", f.Seq)}, standing...), ", ")}
	more := each.Of(lines[1:], func(text string) sheet.Line { return sheet.Line{In: in, Text: text, Faint: true} })
	return sheet.Line{In: in, Lead: number, Grave: sheet.Graveness(f.Severity), Strong: len(d.ExplainedBy(f.Seq)) == 0 && f.Answered == 0, Faint: f.Answered != 0,
		Text: d.Clock(f.At) + " " + lines[0], About: append([]string{f.Train}, about...), Under: append([]sheet.Line{where}, more...)}
}

// Stamp is a moment as RFC 3339 with the offset of the box's zone, nothing for none.
func (d *Day) Stamp(at block.Time) string { return calendar.Stamp(at, d.Zone) }

// Numbers are entry numbers as text with something between them.
func Numbers(list []int64, between string) string {
	return each.Joined(list, between, func(n int64) string { return strconv.FormatInt(n, 10) })
}

// FindingLines are a finding in full for a list: what, what was expected, why it
// may be relied on.
func FindingLines(f *block.Finding) []string {
	out := []string{fmt.Sprintf("%s %s: %s", f.Severity, f.Rule, f.Text)}
	if f.Expected != "" {
		out = append(out, "expected: "+f.Expected)
	}
	if len(f.Rests) > 0 {
		out = append(out, "rests on entries "+Numbers(f.Rests, ", "))
	}
	if f.Ref != "" {
		out = append(out, "source: "+f.Ref)
	}
	return out
}

// EntriesSection is the entries as written, with what was found about each: in
// full where the document has no list of findings.
func (d *Day) EntriesSection(full bool) sheet.Section {
	list, about := &sheet.List{}, d.RowsAbout()
	writer := "?"
	for i := range d.Entries {
		e := &d.Entries[i]
		if e.Writer != writer && !(full && i == 0 && e.Writer == "") {
			list.Lines = append(list.Lines, sheet.Line{In: 9, Head: true, Text: "writing: " + OnDuty(e.Writer)})
		}
		writer = e.Writer
		l := sheet.Line{In: 9, Lead: strconv.FormatInt(e.Seq, 10) + " ", Text: e.Line, ID: fmt.Sprintf("e%d", e.Seq), Link: about.link(e.Seq), About: about.trains(e.Seq, d.Box)}
		if e.CorrectedBy != 0 {
			l.Struck, l.Beside = true, fmt.Sprintf("ERROR, corrected by entry %d: %s", e.CorrectedBy, d.Instead(e))
		}
		under := func(texts ...string) {
			l.Under = append(l.Under, each.Of(texts, func(text string) sheet.Line { return sheet.Line{In: 9, Text: text} })...)
		}
		for j := range e.Findings {
			f := &e.Findings[j]
			lines := FindingLines(f)
			l.Under = append(l.Under, sheet.Line{In: 9, Grave: sheet.Graveness(f.Severity), Text: lines[0]})
			if full {
				under(lines[1:]...)
			}
			under(Standing(f)...)
		}
		for j := range e.Answered {
			f := &e.Answered[j]
			l.Under = append(l.Under, sheet.Line{In: 9, Faint: true, Text: strings.Join(append(FindingLines(f)[:1], Standing(f)...), "; ")})
		}
		under(explainedBy(e.Explained)...)
		list.Lines = append(list.Lines, l)
	}
	return sheet.Section{Key: "entries", Title: "Entries, as written", Parts: []sheet.Part{list}}
}

// OnDuty is the name of who writes, in words where nobody is signed on.
func OnDuty(name string) string { return cmp.Or(name, "nobody signed on") }

// SealSection is the seal line by line, so that it can be copied out and checked;
// it has no parts for a day without one.
func (d *Day) SealSection() sheet.Section {
	s := sheet.Section{Key: "seal", Title: "Seal, to be checked with ssh-keygen -Y verify"}
	if d.Seal == nil {
		return s
	}
	list := &sheet.List{}
	data := &sheet.Table{Name: "Seal", Columns: []sheet.Column{{Head: "Part", Share: 12}, {Head: s.Title, Share: 80}}}
	for _, p := range [][2]string{{"Statement", d.Seal.Statement}, {"Signature", d.Seal.Signature}, {"Public key", d.Seal.PublicKey}} {
		list.Lines = append(list.Lines, sheet.Line{Head: true, Text: p[0]})
		for l := range strings.SplitSeq(strings.TrimRight(p[1], "\n"), "\n") {
			list.Lines = append(list.Lines, sheet.Line{Text: l, Flush: true})
		}
		data.Rows = append(data.Rows, sheet.Row{Cells: p[:]})
	}
	s.Parts, s.Data = []sheet.Part{list}, []*sheet.Table{data}
	return s
}
