package register

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"
	"time"

	"fairhand/register/calendar"
	"fairhand/register/sheet"
)

// What became of a thing to be handed over, and how it is ticked.
const (
	itemTold    = ""               // to be told, not to be taken over
	ItemOpen    = "not taken over" // nobody said anything to it
	ItemCarried = "taken over"
	ItemQueried = "queried"
)

var itemTicks = map[string]string{itemTold: "", ItemOpen: "[ ]", ItemCarried: "[x]", ItemQueried: "[?]"}

// Became says what became of an item, and by which entry: the later of two; all
// empty for what is only told.
func (it *SheetItem) Became() (tick, word string, by int64) {
	switch {
	case it.Name == "":
	case it.QueriedBy > it.CarriedBy:
		word, by = ItemQueried, it.QueriedBy
	case it.CarriedBy > 0:
		word, by = ItemCarried, it.CarriedBy
	default:
		word = ItemOpen
	}
	return itemTicks[word], word, by
}

// numbered is the text of an item with its entry, which a finding names itself.
func (it *SheetItem) numbered() string {
	if it.Seq == 0 || strings.HasPrefix(it.Text, fmt.Sprintf("entry %d ", it.Seq)) {
		return it.Text
	}
	return fmt.Sprintf("%s (entry %d)", it.Text, it.Seq)
}

// Words are an item of a handover that is past, without its tick.
func (it *SheetItem) Words() string {
	out := it.numbered()
	_, word, by := it.Became()
	if by != 0 {
		word += fmt.Sprintf(", entry %d", by)
	}
	if word != "" {
		out += "; " + word
	}
	if it.Remark != "" {
		out += ": " + it.Remark
	}
	return out
}

// SheetTitle says who handed over to whom, and when.
func (d *Day) SheetTitle(s *DaySheet) string {
	return fmt.Sprintf("Handed over at %s: %s to %s", d.Clock(s.At), cmp.Or(s.From, "nobody on duty"), s.To)
}

// HandoverSection is the handover sheets of the day: what the book told at each
// change of duty, and what the relief said to each thing.
func (d *Day) HandoverSection() sheet.Section {
	data := handoverTable()
	s := sheet.Section{Key: "handover", Data: []*sheet.Table{data}}
	for i := range d.Sheets {
		x := &d.Sheets[i]
		list := &sheet.List{}
		for _, p := range x.Parts {
			list.Lines = append(list.Lines, sheet.Line{In: 2, Head: true, Text: p.Title})
			for j := range p.Items {
				it := &p.Items[j]
				tick, _, _ := it.Became()
				list.Lines = append(list.Lines, sheet.Line{In: 8, Lead: tick, Text: it.Words(), Flush: true})
				data.Rows = append(data.Rows, it.row(d.Stamp(x.At), x.From, x.To, p.Title))
			}
		}
		s.Parts = append(s.Parts, sheet.Heading(d.SheetTitle(x)), list)
	}
	return s
}

// handoverTable has a row for each thing of a sheet, to sort.
func handoverTable() *sheet.Table {
	return &sheet.Table{Name: "Handover", Columns: []sheet.Column{{Key: "at", Head: "Time", Share: 26}, {Key: "off_going", Head: "Off-going", Share: 18},
		{Key: "relief", Head: "Relief", Share: 18},
		{Key: "part", Head: "Part", Share: 30}, {Key: "matter", Head: "Matter", Share: 18}, {Key: "text", Head: "Text", Share: 60}, {Key: "entry", Head: "Rests on entry", Share: 9, Number: true}, {Key: "became", Head: "Became", Share: 15},
		{Key: "by_entry", Head: "By entry", Share: 9, Number: true}, {Key: "remark", Head: "Remark", Share: 40}}}
}

func (it *SheetItem) row(at, from, to, part string) sheet.Row {
	_, word, by := it.Became()
	return sheet.Row{Cells: []string{at, from, to, part, it.Name, it.Text, Numbered(it.Seq), word, Numbered(by), it.Remark}}
}

// Numbered is the number of an entry, nothing for none.
func Numbered(seq int64) string {
	if seq == 0 {
		return ""
	}
	return strconv.FormatInt(seq, 10)
}

// Document is the sheet as printed: a box before each live item to be ticked.
func (s *Sheet) Document() *sheet.Document {
	doc := &sheet.Document{
		Title: fmt.Sprintf("%s, %s: handing over at %s", s.Railway, s.Box, s.When),
		Date:  calendar.In(s.At, time.UTC), Unbroken: true, Proof: []string{"Last entry " + s.Head},
	}
	if s.OffGoing != "" {
		doc.Under = []string{"On duty: " + s.OffGoing}
	}
	data := handoverTable()
	for _, p := range s.Parts {
		list := &sheet.List{}
		for i := range p.Items {
			it := &p.Items[i]
			tick, _, _ := it.Became()
			list.Lines = append(list.Lines, sheet.Line{In: 6, Lead: tick, Text: it.numbered(), Flush: true})
			data.Rows = append(data.Rows, it.row(calendar.Stamp(s.At, time.UTC), s.OffGoing, "", p.Title))
		}
		doc.Sections = append(doc.Sections, sheet.Section{Key: p.Title, Title: p.Title, Parts: []sheet.Part{list}})
	}
	if len(doc.Sections) > 0 {
		doc.Sections[0].Data = []*sheet.Table{data}
	}
	return doc
}
