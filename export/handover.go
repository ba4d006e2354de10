package export

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"fairhand/register"
)

// The handover sheets of a day, in each format: what the book told at a change
// of duty, and what the relief said to each thing.

// sheetTitle says who handed over to whom, and when.
func sheetTitle(d *register.Day, s *register.DaySheet) string {
	from := s.From
	if from == "" {
		from = "nobody on duty"
	}
	return fmt.Sprintf("Handed over at %s: %s to %s", d.Clock(s.At), from, s.To)
}

// What became of a thing to be handed over.
const (
	itemTold    = ""               // to be told, not to be taken over
	itemOpen    = "not taken over" // nobody said anything to it
	itemCarried = "taken over"
	itemQueried = "queried"
)

var itemTicks = map[string]string{itemTold: "", itemOpen: "[ ]", itemCarried: "[x]", itemQueried: "[?]"}

// became says what became of an item, and by which entry: the later of two.
func became(it *register.SheetItem) (string, int64) {
	switch {
	case it.Name == "":
		return itemTold, 0
	case it.QueriedBy > it.CarriedBy:
		return itemQueried, it.QueriedBy
	case it.CarriedBy > 0:
		return itemCarried, it.CarriedBy
	}
	return itemOpen, 0
}

// itemWords is an item in one line, without its tick.
func itemWords(it *register.SheetItem) string {
	out := it.Text
	if it.Seq != 0 && !strings.HasPrefix(out, fmt.Sprintf("entry %d ", it.Seq)) { // a finding names it itself
		out += fmt.Sprintf(" (entry %d)", it.Seq)
	}
	word, by := became(it)
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

func (t textWriter) handover(s *register.DaySheet) {
	t.WriteString("\n")
	t.para("", sheetTitle(t.d, s))
	for _, p := range s.Parts {
		t.para("  ", p.Title)
		for i := range p.Items {
			word, _ := became(&p.Items[i])
			tick := itemTicks[word]
			for _, l := range wrap(itemWords(&p.Items[i]), textWidth-8) {
				fmt.Fprintf(t, "    %-3s %s\n", tick, l)
				tick = ""
			}
		}
	}
}

// handoverComments are the sheets as comments of a book in notation.
func handoverComments(d *register.Day) []byte {
	var out []byte
	for i := range d.Sheets {
		s := &d.Sheets[i]
		out = append(out, commented(sheetTitle(d, s))...)
		for _, p := range s.Parts {
			out = append(out, commented("  "+p.Title)...)
			for j := range p.Items {
				word, _ := became(&p.Items[j])
				out = append(out, commented(fmt.Sprintf("   %3s %s", itemTicks[word], itemWords(&p.Items[j])))...)
			}
		}
	}
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

func (f *flow) handover(s *register.DaySheet) {
	f.head(sheetTitle(f.d, s))
	for _, p := range s.Parts {
		f.para(p.Title, manner{indent: 5, bold: true, keep: flowLine})
		for i := range p.Items {
			word, _ := became(&p.Items[i])
			f.para(itemWords(&p.Items[i]), manner{indent: 11, lead: itemTicks[word]})
		}
	}
}

func (b *workbook) handovers() {
	cols := []sheetColumn{{"Time", 26, false}, {"Off-going", 18, false}, {"Relief", 18, false}, {"Part", 30, false}, {"Matter", 18, false}, {"Text", 60, false},
		{"Rests on entry", 9, true}, {"Became", 15, false}, {"By entry", 9, true}, {"Remark", 40, false}}
	b.sheet("Handover", cols)
	for i := range b.d.Sheets {
		s := &b.d.Sheets[i]
		for _, p := range s.Parts {
			for j := range p.Items {
				it := &p.Items[j]
				word, by := became(it)
				b.line(cols, []string{stamp(b.d, s.At), s.From, s.To, p.Title, it.Name, it.Text, numbered(it.Seq), word, numbered(by), it.Remark})
			}
		}
	}
}

// numbered is the number of an entry, nothing for none.
func numbered(seq int64) string {
	if seq == 0 {
		return ""
	}
	return strconv.FormatInt(seq, 10)
}

// handoverRecords are the sheets as records of the CSV: fields by name of column.
func handoverRecords(d *register.Day) []map[string]string {
	var out []map[string]string
	for i := range d.Sheets {
		s := &d.Sheets[i]
		for _, p := range s.Parts {
			for j := range p.Items {
				it := &p.Items[j]
				word, by := became(it)
				text := p.Title + ": " + it.Text
				if it.Remark != "" {
					text += "; " + it.Remark
				}
				out = append(out, map[string]string{"entry": numbered(it.Seq), "at": stamp(d, s.At), "writer": sheetSafe(s.From), "kind": word,
					"subject": sheetSafe(it.Name), "text": sheetSafe(text), "explained_by": numbered(by), "place": sheetSafe(s.To)})
			}
		}
	}
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
	Matter    string `json:"matter,omitempty"`
	Text      string `json:"text"`
	Entry     int64  `json:"entry,omitempty"`
	CarriedBy int64  `json:"taken_over_by,omitempty"`
	QueriedBy int64  `json:"queried_by,omitempty"`
	Remark    string `json:"remark,omitempty"`
}

func (s shaper) handovers() []jsonHandover {
	var out []jsonHandover
	for _, x := range s.d.Sheets {
		h := jsonHandover{At: stamp(s.d, x.At), OffGoing: x.From, Relief: x.To, SignedOn: x.OnSeq}
		for _, p := range x.Parts {
			part := jsonHandoverPart{Title: p.Title}
			for _, it := range p.Items {
				part.Items = append(part.Items, jsonHandoverItem{it.Name, it.Text, it.Seq, it.CarriedBy, it.QueriedBy, it.Remark})
			}
			h.Parts = append(h.Parts, part)
		}
		out = append(out, h)
	}
	return out
}

type htmlHandover struct {
	Title string
	Parts []htmlHandoverPart
}

type htmlHandoverPart struct {
	Title string
	Items []htmlHandoverItem
}

type htmlHandoverItem struct{ Tick, Text string }

func htmlHandovers(d *register.Day) []htmlHandover {
	var out []htmlHandover
	for i := range d.Sheets {
		h := htmlHandover{Title: sheetTitle(d, &d.Sheets[i])}
		for _, p := range d.Sheets[i].Parts {
			part := htmlHandoverPart{Title: p.Title}
			for j := range p.Items {
				word, _ := became(&p.Items[j])
				part.Items = append(part.Items, htmlHandoverItem{itemTicks[word], itemWords(&p.Items[j])})
			}
			h.Parts = append(h.Parts, part)
		}
		out = append(out, h)
	}
	return out
}
