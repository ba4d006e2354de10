package register

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"golang.org/x/tools/txtar"

	"fairhand/block"
	"fairhand/register/boxfile"
)

// FuzzTimetable: no timetable breaks its reader, and what is read has trains with a
// name and a time.
func FuzzTimetable(f *testing.F) {
	text, err := os.ReadFile("../cmd/fairhand/demo/box.yaml")
	if err != nil {
		f.Fatal(err)
	}
	file, err := boxfile.Decode(strings.NewReader(string(text)), "box.yaml")
	if err != nil {
		f.Fatal(err)
	}
	weekday, err := os.ReadFile("../cmd/fairhand/demo/weekday.csv")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(weekday))
	f.Add("train,beats,from,to,arrive,depart,place\n2A01,3-1,Saltgarth,Coldbeck,24:10,,\n")
	f.Fuzz(func(t *testing.T, text string) {
		list, err := ReadTimetable(strings.NewReader(text), file.Box)
		if err != nil {
			return
		}
		for _, b := range list {
			if b.Train == "" || b.Arrive == NotBooked && b.Depart == NotBooked {
				t.Errorf("a train without a name or a time: %+v", b)
			}
		}
	})
}

// FuzzNotices: no file of special notices breaks its reader; those read have words, end
// after they begin, and come in the order in which they bind.
func FuzzNotices(f *testing.F) {
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(strings.Join(noticesHead, ",") + "\n2026-05-05,2026-05-06,\"Up Main: 20 mph\"\n2026-05-05 14:00,,x\n")
	f.Fuzz(func(t *testing.T, text string) {
		list, err := readNotices(strings.NewReader(text), zone)
		if err != nil {
			return
		}
		for i, n := range list {
			if n.Text == "" || n.Until != 0 && n.Until <= n.From || i > 0 && n.From < list[i-1].From {
				t.Errorf("notice %d of %+v", i, list)
			}
		}
	})
}

// FuzzCheck: no book in notation breaks the machines, and one that is checked twice is
// found to be the same.
func FuzzCheck(f *testing.F) {
	a, err := txtar.ParseFile("testdata/check/absolute_a.txtar")
	if err != nil {
		f.Fatal(err)
	}
	f.Add("date 2026-05-05\n06:00 duty on \"A. Fell\"\n10:00 Saltgarth <1 >1 <3-1 >3-1 train 1M44\n10:02 Saltgarth <2 >2\ncorrect 2 \"10:01 note \\\"x\\\"\"\n")
	f.Add(string(part(a, "book.txt")))
	file, err := boxfile.Decode(bytes.NewReader([]byte(fuzzBox)), "box.yaml")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, book string) {
		if strings.Count(book, "\n") > 60 {
			return
		}
		check := func() (found string) {
			_, err := Check(t.Context(), file.Box, file.Location, strings.NewReader(book), func(x block.Finding) error {
				found += fmt.Sprintln(x.Seq, x.Rule, x.Text)
				return nil
			})
			return found + fmt.Sprint(err)
		}
		if one, two := check(), check(); one != two {
			t.Errorf("found first\n%s\nand then\n%s", one, two)
		}
	})
}

const fuzzBox = `box: Ennerholme
rules: british-later
sections:
  - {neighbour: Coldbeck, method: token, lines: [{name: Single}], towards: up, tokens: {charge: "1-4", here: "1-2"}}
  - {neighbour: Saltgarth, method: absolute, lines: [{name: Up Main, way: out}, {name: Down Main, way: in}], clearing-point: 440}
places: [{name: Platform 1, holds: 1, beyond-home: {Saltgarth: 400}}, {name: Yard, holds: 2, siding: true}]
people: [{name: A. Fell, role: signaller}, {name: L. Marsh, role: trainee}, {name: R. Garth, role: inspector}]
pins: true
`
