package export

import (
	"fmt"
	"slices"
	"strconv"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/each"
	"fairhand/register/notation"
)

// entryColumn is a column of the entries where they are a table: CSV and XLSX.
type entryColumn struct {
	name  string  // in CSV, stable
	head  string  // for people
	width float64 // of the spreadsheet, in characters
	kind  columnKind
	value func(v *entryView) string
	says  string // what stands in it
}

type columnKind uint8

const (
	freeText columnKind = iota // may hold anything, so CSV guards it
	fixedText
	number
)

// entryView is an entry with what a row of the table needs beside it.
type entryView struct {
	d      *register.Day
	e      *register.Entry
	trains []*register.TrainRow
	code   func(rulebook.Code) string // how a bell code is written
}

// entryColumns are the columns, in their order; later ones come last.
var entryColumns = []entryColumn{
	{"entry", "Entry", 7, number, func(v *entryView) string { return strconv.FormatInt(v.e.Seq, 10) }, "number in the register"},
	{"at", "Time", 26, fixedText, func(v *entryView) string { return v.d.Stamp(v.e.Event.At) }, "when it happened: RFC 3339, offset of the box's zone"},
	{"recorded", "Written down", 26, fixedText, func(v *entryView) string { return v.d.Stamp(block.Time(v.e.Recorded)) }, "when it was written"},
	{"writer", "Writer", 14, freeText, func(v *entryView) string { return v.e.Writer }, "who was on duty"},
	{"kind", "Kind", 15, fixedText, func(v *entryView) string { return notation.KindWord(v.e.Event.Kind) }, "bells, token-out, train-arrived, duty-on ..."},
	{"section", "Section", 14, freeText, func(v *entryView) string { return v.e.Event.Section }, "the neighbour, where the entry concerns one"},
	{"line", "Line", 12, freeText, func(v *entryView) string { return v.e.Event.Line }, "of the section"},
	{"train", "Train", 14, freeText, (*entryView).names, "name, or description and where it came from; several parted by \", \""},
	{"description", "Code", 9, fixedText, (*entryView).codes, "bell code of the train"},
	{"bells", "Bells", 24, fixedText, (*entryView).bells, "\"received 3-1, sent 3-1\", in their order"},
	{"number", "Number", 8, number, (*entryView).number, "of a token or ticket, or minutes of a clock check"},
	{"place", "Place", 16, freeText, func(v *entryView) string { return v.e.Event.Place }, "as in the book notation"},
	{"proof", "Tail lamp", 12, fixedText, func(v *entryView) string { return v.e.Event.Proof.String() }, "as in the book notation"},
	{"subject", "Subject", 18, freeText, func(v *entryView) string { return v.e.Event.Subject }, "as in the book notation"},
	{"text", "Text", 50, freeText, func(v *entryView) string { return v.e.Event.Text }, "as in the book notation"},
	{"corrected_by", "Corrected by", 12, number, func(v *entryView) string { return register.Numbered(v.e.CorrectedBy) }, "entry that corrects this one; the fields are as corrected"},
	{"stands_instead", "Stands instead", 36, freeText, func(v *entryView) string { return v.d.Instead(v.e) }, "what stands instead, in the book notation"},
	{"explained_by", "Explained by", 12, fixedText, func(v *entryView) string { return register.Numbers(v.e.Explained, " ") }, "entries that explain what was found, parted by spaces"},
	{"findings", "Findings", 40, fixedText, (*entryView).findings, "\"severity rule\", parted by \", \""},
	{"as_written", "As written", 60, freeText, func(v *entryView) string { return v.e.Line }, "the entry in the book notation as first written"},
	{"hash", "Hash", 66, fixedText, func(v *entryView) string { return v.e.Hash.String() }, "SHA-256 of the entry in the chain, in hexadecimal"},
	{"root", "Follow from", 12, fixedText, (*entryView).roots, "entries that the findings follow from, each once, parted by spaces"},
	{"answered", "Found and answered since", 40, fixedText, (*entryView).answered, "found and standing no more: \"severity rule by entry\""},
}

func (v *entryView) names() string {
	if len(v.trains) == 0 {
		return v.e.Event.Train
	}
	return each.Joined(v.trains, ", ", func(r *register.TrainRow) string { return r.Train.Label(v.d.Box) })
}

func (v *entryView) codes() string {
	return each.Joined(v.trains, ", ", func(r *register.TrainRow) string {
		if r.Train.Code == "" {
			return ""
		}
		return v.code(r.Train.Code)
	})
}

func (v *entryView) bells() string {
	return each.Joined(v.e.Event.Bells, ", ", func(b block.Bell) string {
		if b.Sent {
			return "sent " + v.code(b.Code)
		}
		return "received " + v.code(b.Code)
	})
}

func (v *entryView) number() string {
	if notation.KindNumbered(v.e.Event.Kind) {
		return strconv.Itoa(v.e.Event.Number)
	}
	return ""
}

// roots are the entries that the findings follow from, each once.
func (v *entryView) roots() string {
	var roots []int64
	for _, f := range v.e.Findings {
		if f.Root != 0 && !slices.Contains(roots, f.Root) {
			roots = append(roots, f.Root)
		}
	}
	return register.Numbers(roots, " ")
}

// answered is what was found and stands no more, with the entry since which.
func (v *entryView) answered() string {
	return each.Joined(v.e.Answered, ", ", func(f block.Finding) string { return fmt.Sprintf("%s %s by %d", f.Severity, f.Rule, f.Answered) })
}

func (v *entryView) findings() string {
	return each.Joined(v.e.Findings, ", ", func(f block.Finding) string { return fmt.Sprintf("%s %s", f.Severity, f.Rule) })
}

// entryViews are the entries of a day, ready for a table.
func entryViews(d *register.Day, code func(rulebook.Code) string) []entryView {
	about := d.RowsAbout()
	return each.Of(d.Entries, func(e register.Entry) entryView { return entryView{d, &e, about[e.Seq], code} })
}

// plainCode is a bell code as it is.
func plainCode(c rulebook.Code) string { return string(c) }
