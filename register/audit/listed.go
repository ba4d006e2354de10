package audit

import (
	"cmp"
	"fmt"
	"slices"

	"fairhand/register/each"
	"fairhand/register/sheet"
)

// ListedSchema names the JSON form of a List.
const ListedSchema = "fairhand-findings-1"

// List is the findings of a report in the order of the book, and what they rest on.
type List struct {
	Schema string `json:"schema"`
	Examined
	Chosen   string        `json:"chosen"` // which findings are told, in words; empty for all
	Findings []Listed      `json:"findings"`
	Alarms   []sheet.Alarm `json:"alarms,omitempty"` // what takes the worth from it
}

// Listed is a finding with what it is judged by.
type Listed struct {
	Finding
	Reference string `json:"reference"`
}

// List gives the findings that the report tells in full, and of those answered since
// as many, in the order of the book.
func (r *Report) List() *List {
	out := r.list()
	slices.SortStableFunc(out.Findings, func(a, b Listed) int { return cmp.Compare(a.Entry, b.Entry) })
	return out
}

// list is the same in the order of the report.
func (r *Report) list() *List {
	out := &List{Schema: ListedSchema, Examined: r.Examined, Chosen: r.Chosen, Findings: []Listed{}, Alarms: r.Alarms}
	add := func(found []Finding, reference string) {
		out.Findings = append(out.Findings, each.Of(found, func(f Finding) Listed { return Listed{f, reference} })...)
	}
	for i := range r.Rules {
		add(r.Rules[i].Details, r.Rules[i].Reference)
	}
	add(r.Answered.Details, "")
	return out
}

// FindingsDocument is the findings alone, in the order of the book, to read, to print
// and to reckon with.
func (r *Report) FindingsDocument() *sheet.Document {
	doc := r.heading("findings in the register of ")
	if x := r.Extent; x.ProvedTo > 0 {
		doc.Proof = []string{fmt.Sprintf("Last entry proved: %d, %s", x.ProvedTo, x.Head)}
	}
	told := r.List()
	list, expected, reference := &sheet.List{}, sheet.Once{}, sheet.Once{}
	day := ""
	for i, f := range told.Findings {
		if len(f.Remarks) == 0 && f.Answered == 0 {
			f.Expected = expected.Say(f.Rule, f.Expected)
		}
		if d := f.At.Date(); d != day {
			day = d
			list.Lines = append(list.Lines, sheet.Line{Head: true, Space: true, Text: day})
		}
		l := r.line(f.Finding)
		l.In, l.ID = 0, fmt.Sprintf("f%d", i+1)
		l.Text = fmt.Sprintf("%s %s: %s", f.Severity, f.Rule, l.Text[len(day)+1:])
		if text := reference.Say(f.Rule, f.Reference); text != "" {
			l.Under = append(l.Under, sheet.Line{In: 6, Text: "Reference: " + text, Faint: true})
		}
		list.Lines = append(list.Lines, l)
	}
	if len(told.Findings) == 0 {
		list = sheet.Say("Nothing that this register can see.")
	}
	doc.Sections = []sheet.Section{{Key: "findings", Title: count(int64(len(told.Findings)), "finding", "findings"), Parts: []sheet.Part{list}, Data: []*sheet.Table{told.table()}}}
	return doc
}
