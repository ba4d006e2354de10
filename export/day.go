package export

import (
	"strings"

	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/each"
	"fairhand/register/sheet"
)

// dayParts are what a day can be printed with, by the names that the formats
// choose by.
var dayParts = map[string]func(d *register.Day) sheet.Section{
	"page":          (*register.Day).PageSection,
	"findings":      (*register.Day).FindingsSection,
	"signs":         func(d *register.Day) sheet.Section { return d.SignsSection(false) },
	"plain-signs":   func(d *register.Day) sheet.Section { return d.SignsSection(true) },
	"handover":      (*register.Day).HandoverSection,
	"entries":       entriesSection,
	"entries-whole": func(d *register.Day) sheet.Section { return d.EntriesSection(true) },
	"figures":       audit.DaySection,
	"seal":          (*register.Day).SealSection,
	"graph": func(d *register.Day) sheet.Section {
		return sheet.Section{Key: "graph", Title: "Train graph", Parts: []sheet.Part{&sheet.Figure{Of: d}}}
	},
}

// dayDocument is a day with the parts named.
func dayDocument(d *register.Day, parts string) *sheet.Document {
	sections := each.Of(strings.Fields(parts), func(name string) sheet.Section { return dayParts[name](d) })
	return d.Document(sections...)
}

// entriesSection is the entries to read, and as the table that CSV has.
func entriesSection(d *register.Day) sheet.Section {
	s := d.EntriesSection(false)
	t := &sheet.Table{Name: "Entries", Columns: each.Of(entryColumns, func(c entryColumn) sheet.Column {
		return sheet.Column{Key: c.name, Head: c.head, Share: c.width, Number: c.kind == number}
	})}
	for _, v := range entryViews(d, plainCode) {
		cells := each.Of(entryColumns, func(c entryColumn) string { return c.value(&v) })
		t.Rows = append(t.Rows, sheet.Row{Cells: cells})
	}
	s.Data = []*sheet.Table{t}
	return s
}
