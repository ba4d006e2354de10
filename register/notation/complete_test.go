package notation

import (
	"slices"
	"strings"
	"testing"
)

func TestComplete(t *testing.T) {
	names := Names{
		Sections: []string{"Coldbeck", "Saltgarth"},
		Lines:    []string{"Up Main", "Single"},
		Trains:   []string{"2P07", "6K20"},
		Places:   []string{"Platform 1", "from"},
		People:   []string{"A. Fell"},
		Tokens:   []string{"7", "9"},
		Codes:    []CodeName{{"3-1", "is line clear for a stopping train?"}, {"2", "train entering section"}},
	}
	for _, c := range []struct{ line, want string }{
		{"Col", "Coldbeck"},
		{"10:41 Col", "Coldbeck"},
		{"tra", "train|transcribed"},
		{"train ", "2P07|6K20"},
		{"train 2P07 ar", "arrived"},
		{"train 2P07 arrived ", "at|from|complete|no-tail-lamp|lamp-out|written|(a quoted text)"},
		{"train 2P07 arrived at ", `"Platform 1"|"from"`},
		{"train 2P07 arrived at pl", `"Platform 1"`},
		{`train 2P07 arrived at "Pl`, `"Platform 1"`},
		{"train 2P07 arrived complete fr", "from"},
		{"Coldbeck ", "token|count|staff|ticket|indicator|counter|shunt-key|to|examined|working|proved|occupation-key|<|>"},
		{"Coldbeck <", "<3-1|<2"},
		{"Coldbeck <1 >1 <3", "<3-1"},
		{"Coldbeck <1 >1 ", "train|line|inquiry|pn|words|written|<|>|(a quoted text)"},
		{"Coldbeck token ", "7|9"},
		{"Coldbeck token 7 t", "to|taken"},
		{"Coldbeck indicator ", "line-clear|train-on-line|normal|free|occupied"},
		{"obstruct ", `"Up Main"|Single`},
		{`duty off "A. Fell" ; duty o`, "on|off"},
		{"duty on ", `"A. Fell"`},
		{"note ", "(a quoted text)"},
		{"explain ", "(an entry number)"},
		{"fog on written ", "(a time such as 10:41)"},
		{"dat", "date"},
		{"date ", "(a date such as 2026-05-05)"},
		// nothing after a mistake, in a comment or in finished text
		{"train 2P07 arived ", ""},
		{"fog on # tra", ""},
		{`note "tra`, ""},
		{"fog ; tra", ""},
		{"\x07", ""},
	} {
		var got []string
		for _, s := range Complete(c.line, names) {
			if s.Text == "" {
				got = append(got, "("+s.Says+")")
				continue
			}
			got = append(got, s.Text)
			if !strings.HasSuffix(s.Line, s.Text) {
				t.Errorf("%q: line %q does not end in %q", c.line, s.Line, s.Text)
			}
		}
		if g := strings.Join(got, "|"); g != c.want {
			t.Errorf("%q\n got %s\nwant %s", c.line, g, c.want)
		}
	}
}

// Every example can be typed one suggestion at a time: each bare word of the
// table in it is offered where it stands.
func TestEveryWordOfEveryExampleIsOffered(t *testing.T) {
	for _, g := range Groups {
		for _, f := range g.Forms {
			ev, _ := parseOne(f.Example)
			body := FormatBody(ev)
			s := scanner{line: body}
			for i := 0; ; i++ {
				if err := s.advance(); err != nil {
					t.Fatal(err)
				}
				if s.tok.kind == tokenEnd {
					break
				}
				if s.tok.kind == tokenQuoted || !slices.Contains(tableWords(), s.tok.text) {
					continue
				}
				offered := false
				for _, c := range Complete(body[:s.tok.start], Names{}) {
					offered = offered || c.Text == s.tok.text
				}
				if !offered {
					t.Errorf("%s: %q is not offered after %q", body, s.tok.text, body[:s.tok.start])
				}
			}
		}
	}
}

func TestSuggestionsSayWhatTheyAre(t *testing.T) {
	for _, s := range Complete("fog o", Names{}) {
		if s.Says == "" {
			t.Errorf("%q says nothing", s.Text)
		}
	}
	got := Complete("Coldbeck <2", Names{Codes: []CodeName{{"2", "train entering section"}}})
	if len(got) != 1 || got[0].Says != "train entering section" || got[0].Line != "Coldbeck <2" {
		t.Errorf("got %+v", got)
	}
}
