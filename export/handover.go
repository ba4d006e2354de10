package export

import (
	"fmt"
	"strings"
	"unicode"

	"fairhand/register"
	"fairhand/register/each"
)

// The handover sheets of a day in the formats for programs.

// eachItem goes through the items of the day's handover sheets.
func eachItem(d *register.Day, do func(s *register.DaySheet, p *register.SheetPart, it *register.SheetItem)) {
	for i := range d.Sheets {
		s := &d.Sheets[i]
		for j := range s.Parts {
			for k := range s.Parts[j].Items {
				do(s, &s.Parts[j], &s.Parts[j].Items[k])
			}
		}
	}
}

// handoverComments are the sheets as comments of a book in notation.
func handoverComments(d *register.Day) []byte {
	var out []byte
	var sheet *register.DaySheet
	var part *register.SheetPart
	eachItem(d, func(s *register.DaySheet, p *register.SheetPart, it *register.SheetItem) {
		if s != sheet {
			out = append(out, commented(d.SheetTitle(s))...)
		}
		if p != part {
			out = append(out, commented("  "+p.Title)...)
		}
		sheet, part = s, p
		tick, _, _ := it.Became()
		out = append(out, commented(fmt.Sprintf("   %3s %s", tick, it.Words()))...)
	})
	return out
}

// commented is a comment that stays one: a line end in a text ends it not.
func commented(s string) string {
	return "# " + strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, s) + "\n"
}

// handoverRecords are the sheets as records of the CSV: fields by name of column.
func handoverRecords(d *register.Day, safe func(string) string) []map[string]string {
	var out []map[string]string
	eachItem(d, func(s *register.DaySheet, p *register.SheetPart, it *register.SheetItem) {
		_, word, by := it.Became()
		text := p.Title + ": " + it.Text
		if it.Remark != "" {
			text += "; " + it.Remark
		}
		out = append(out, map[string]string{"entry": register.Numbered(it.Seq), "at": d.Stamp(s.At), "writer": safe(s.From), "kind": word,
			"subject": safe(it.Name), "text": safe(text), "explained_by": register.Numbered(by), "place": safe(s.To)})
	})
	return out
}

type jsonHandover struct {
	At       string             `json:"at"`
	OffGoing string             `json:"off_going,omitempty"`
	Relief   string             `json:"relief"`
	SignedOn int64              `json:"signed_on_by"`
	Parts    []jsonHandoverPart `json:"parts"`
}

type jsonHandoverPart struct {
	Title string             `json:"title"`
	Items []jsonHandoverItem `json:"items"`
}

type jsonHandoverItem struct {
	Matter    string `json:"matter,omitempty"` // the name it is taken over by, left out for what is only told
	Text      string `json:"text"`
	Entry     int64  `json:"entry,omitempty"` // it rests on
	Root      int64  `json:"root,omitempty"`  // what a finding follows from
	CarriedBy int64  `json:"taken_over_by,omitempty"`
	QueriedBy int64  `json:"queried_by,omitempty"`
	Remark    string `json:"remark,omitempty"`
}

func (s shaper) handovers() []jsonHandover {
	return each.Of(s.d.Sheets, func(x register.DaySheet) jsonHandover {
		return jsonHandover{s.d.Stamp(x.At), x.From, x.To, x.OnSeq, each.Of(x.Parts, func(p register.SheetPart) jsonHandoverPart {
			return jsonHandoverPart{p.Title, each.Of(p.Items, func(it register.SheetItem) jsonHandoverItem {
				return jsonHandoverItem{it.Name, it.Text, it.Seq, it.Root, it.CarriedBy, it.QueriedBy, it.Remark}
			})}
		})}
	})
}
