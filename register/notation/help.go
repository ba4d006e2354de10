package notation

import (
	"fmt"
	"strings"
	"sync"

	"fairhand/block"
)

// helpLines is what the table does not say.
const helpLines = `Every entry is one line: its clock time, then one of the forms below.

  date 2026-05-05      the date of the entries after it; required first and after midnight
  10:41 ...            HH:MM or HH:MM:SS by the clock of the box
  :12 ...              the hour of the entry before
  01:30+00:00 ...      the hour repeated in autumn, with its offset from UTC
  ... written 00:10    at the end: written later than it happened, be it the evening before;
                       with a date if need be
  ... ; 14:00 ...      a second entry on the same line
  # ...                a comment

Words in small letters are written as they stand, words in capitals are filled in,
parts in [ ] may be left out. A name with spaces is "quoted", and so is one that is
a word of the form; TEXT is always "quoted", with \" for a quote and \n for a new line.

An offer is refused by not being acknowledged. That may be booked, also where the block is
worked by bells:  Coldbeck <1 >1 <3-1 >refuse train 2P07 "platform occupied"
Where the book has signals only (booking in box.yaml) an offer alone counts as accepted, at no
time that is told, until it is booked as refused, or something else is begun after its remark.
`

// HelpText is the reference as plain text, every line under 100 characters.
func HelpText() string {
	var b strings.Builder
	b.WriteString(helpLines)
	for _, g := range Groups {
		fmt.Fprintf(&b, "\n%s\n", g.Title)
		for _, f := range g.Forms {
			fmt.Fprintf(&b, "\n  %s\n      %s\n      %s\n", f.Pattern, f.Says, f.Example)
		}
	}
	b.WriteString("\nThe words in capitals\n\n")
	for _, s := range slots {
		says := s.noun
		if len(s.words) > 0 {
			says = "the word " + orList(s.words)
		}
		fmt.Fprintf(&b, "  %-12s %s\n", s.word, says)
	}
	return b.String()
}

// kindInfo is what exports say of a kind of entry, read off the grammar of the
// notation so that there is one list of kinds.
type kindInfo struct {
	word     string
	numbered bool
}

var kindInfos = sync.OnceValue(func() *[block.Kinds]kindInfo {
	var out [block.Kinds]kindInfo
	for _, g := range Groups {
		for _, f := range g.Forms {
			out[f.Kind] = kindOf(f.Pattern)
		}
	}
	return &out
})

// kindOf joins the words of a form up to its first part that may be left out:
// "SECTION token TOKEN out [TEXT]" is token-out.
func kindOf(form string) kindInfo {
	var words []string
	var k kindInfo
	form, _, _ = strings.Cut(form, "[")
	for _, w := range strings.Fields(form) {
		switch {
		case w == strings.ToLower(w):
			if len(words) == 0 || words[len(words)-1] != w {
				words = append(words, w)
			}
		case w == "BELLS":
			words = append(words, "bells")
		case w == "TOKEN" || w == "TICKET" || w == "NUMBER" || w == "MINUTES":
			k.numbered = true
		}
	}
	k.word = strings.Join(words, "-")
	return k
}

// KindWord is the stable name of a kind of entry in exports: bells, token-out,
// train-arrived, duty-on ...
func KindWord(k block.Kind) string { return kindInfos()[k].word }

// KindNumbered says whether entries of a kind carry a number, also when it is 0.
func KindNumbered(k block.Kind) bool { return kindInfos()[k].numbered }
