package block

import (
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// The forms of paper line clear, where the book numbers its inquiries: a series each
// way from one at midnight, the reply by the same number, and the private number in
// figures and in words. Source: Block Working Manual (South Central Railway), annexure
// on paper line clear, 1.2.

// Inquiry is the last of a day's numbered inquiries one way.
type Inquiry struct {
	Number int
	Day    int32 // civil day, counted from 1970
}

// inquiry judges the numbers of an inquiry and of its reply in words.
func (d *action) inquiry(a Act) {
	if !d.onPaper() {
		return
	}
	last, n := d.s.Circuits[d.ref().section].Inquiries[d.dir], d.e.Number
	switch a {
	case ActOffer:
		next, day := d.nextInquiry()
		again := n != 0 && n == last.Number && d.ls().Phase == Offered && d.ls().Inquiry == n
		if n != next && !again && (n != 0 || last.Number != 0) {
			d.findSaying(rulebook.InquiryNumberDiffers, "An inquiry is not the next of the day's series", "inquiry "+strconv.Itoa(next))
		}
		if n != 0 {
			d.editCircuit(d.ref().section).Inquiries[d.dir] = Inquiry{n, day}
		}
		d.editLine(d.line).Inquiry = n
	case ActAccept, ActRefuse:
		if asked := d.ls().Inquiry; asked != n {
			d.findSaying(rulebook.InquiryNumberDiffers, "A reply does not quote the number of the inquiry", "inquiry "+strconv.Itoa(asked))
		}
		if pn := d.e.PN; pn != "" && (n != 0 || d.e.Subject != "") && !spells(d.e.Subject, pn) {
			d.find(rulebook.NumberNotInWords, pn+" in words as well")
		}
	}
}

// nextInquiry is the number that the next inquiry of the day has, and that day.
func (d *action) nextInquiry() (number int, day int32) {
	last := d.s.Circuits[d.ref().section].Inquiries[d.dir]
	if day = int32((d.e.At + d.b.offset(d.e.At)) / (24 * 60 * Minute)); last.Day != day {
		return 1, day
	}
	return last.Number + 1, day
}

// inquired quotes the number of the inquiry in what is expected, where the book numbers
// them, and has the private number in words as well.
func (x *expecting) inquired(e *Expectation, d *action) {
	switch {
	case !d.onPaper():
		return
	case e.Act != ActOffer:
		e.Event.Number = d.ls().Inquiry
	case d.s.Circuits[d.ref().section].Inquiries[d.dir].Number != 0:
		e.Event.Number, _ = d.nextInquiry()
	}
	if e.Event.Number != 0 {
		e.Event.Subject = InWords(e.Event.PN)
	}
}

// InWords is a number figure by figure in words, as it is read over.
func InWords(number string) string {
	var words []string
	for _, r := range number {
		if r < '0' || r > '9' {
			return ""
		}
		words = append(words, digitWords[r-'0'])
	}
	return strings.Join(words, " ")
}

var (
	digitWords = strings.Fields("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen")
	tensWords  = strings.Fields("- - twenty thirty forty fifty sixty seventy eighty ninety")
)

// spells says whether words say a number: figure by figure, or one of two figures as it
// is spoken.
func spells(words, number string) bool {
	said := strings.FieldsFunc(strings.ToLower(words), func(r rune) bool { return r == ' ' || r == '-' })
	var spoken []string
	if n, err := strconv.Atoi(number); err == nil && n < 100 {
		if n < 20 {
			spoken = digitWords[n : n+1]
		} else if spoken = []string{tensWords[n/10]}; n%10 > 0 {
			spoken = append(spoken, digitWords[n%10])
		}
	}
	figures := InWords(number)
	return figures != "" && strings.Join(said, " ") == figures || len(spoken) > 0 && slices.Equal(said, spoken)
}
