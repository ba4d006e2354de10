package notation

import (
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"fairhand/block/rulebook"
)

// wrongLines are lines that cannot be read, and what is said of them.
var wrongLines = []struct{ line, want string }{
	{`train 2P07 arrived at complete`, `column 23: expected a place name after "at", found "complete"`},
	{`train 2P07 arived at Yard`, `column 12: expected "arrived", "passed", "departed", "moved", "divided", "entire", "put", "will", "renamed", "warned", "authorised", "joined", "detached", "assists", "detained", "examined", "must", "heard" or "cautioned" after "2P07", found "arived" (did you mean "arrived"?)`},
	{`trian 2P07 arrived`, `column 7: expected "token", "count", "staff", "ticket", "indicator", "counter", "shunt-key", "to", "examined", "working", "proved", "occupation-key" or bell signals such as <3-1 after "trian", found "2P07" (did you mean "train"?)`},
	{`on duty "A. Fell"`, `found "duty" (did you mean "duty on PERSON"?)`},
	{`2P07 passed complete`, `found "passed" (did you mean "train 2P07 passed"?)`},
	{`arrived 2P07 "Platform 1"`, `found "2P07" (did you mean "train 2P07 arrived"?)`},
	{`duty on A. Fell`, `column 12: expected "under", "by-pin", "written", a quoted text or the end of the entry after "A.", found "Fell" (a name of several words is quoted: "A. Fell")`},
	{`train 2P07 arrived at Platform 1`, `found "1" (a name of several words is quoted: "Platform 1")`},
	{`train 2P07 arr`, `found "arr" (did you mean "arrived"?)`},
	{`2P07 dep. for Coldbeck`, `found "dep." (did you mean "train 2P07 departed"?)`},
	{`train 2P07 passed for Coldbeck CWTL`, `found "CWTL" (did you mean "complete"?)`},
	{`train 2P07 arrived Platform 1`, `found "Platform" (a place name after "at" or a section name after "from")`},
	{`"A. Fell" duty on`, `did you mean "duty on PERSON"?`},
	{`A. Fell on duty`, `did you mean "duty on PERSON"?`},
	{`Coldbeck entering`, `found "entering" (a bell signal has an arrow: <2 when received, >2 when sent)`},
	{`Coldbeck 3-1 train 2P07`, `found "3-1" (a bell signal has an arrow: <3-1 when received, >3-1 when sent)`},
	{`Coldbeck <1 2`, `found "2" (a bell signal has an arrow: <2 when received, >2 when sent)`},
	{`Coldbeck < 2 > 2`, `no beats given; write groups of beats such as 3-1 (the arrow and its beats stand together: <2)`},
	{`Coldbeck >2 <2 Saltgarth >1 <1`, `found "Saltgarth" (two entries on one line are parted by ";")`},
	{`train 2P07 arrived complete, Coldbeck >2-1 <2-1`, `found "complete," (two entries on one line are parted by ";")`},
	{`train 2P07 arrived train 2P09 departed`, `found "train" (two entries on one line are parted by ";")`},
	{`10.41 fog on`, `found "fog" (did you mean 10:41?)`},
	{`date 9999-12-31 ; 10:41 fog on`, `column 25: the date is outside the years 1 to 9999`},
	{`token 7 out`, `column 1: expected a section name or a word that begins an entry ("train", "note" ...), found "token"`},
	{`Coldbeck token seven out`, `column 16: expected a token number after "token", found "seven"`},
	{`Coldbeck <ofer`, `column 11: "ofer" is no word said between boxes: they are offer, accept, refuse, entering, arrived, cancel (did you mean "offer"?)`},
	{`Coldbeck <3-x`, `column 11: bell code "3-x": "x" is not a number of beats`},
	{`Coldbeck token 7 uot`, `(did you mean "out"?)`},
	{`Coldbeck <1 >0`, `column 14: bell code "0": a group is 1 to 20 beats`},
	{`Coldbeck <1 >31`, `column 14: bell code "31": a group is 1 to 20 beats`},
	{`Coldbeck <`, `column 11: no beats given; write groups of beats such as 3-1`},
	{`Coldbeck <1 trian 2P07`, `column 13: expected "train", "line", "inquiry", "pn", "words", "written", bell signals such as <3-1, a quoted text or the end of the entry after "<1", found "trian" (did you mean "train"?)`},
	{`train 2P07 arrived "x" "y"`, `column 24: expected "at", "from", "complete", "no-tail-lamp", "lamp-out", "written" or the end of the entry after "x", found "y"`},
	{`note relief`, `column 6: expected a quoted text after "note", found "relief"`},
	{`note`, `column 5: expected a quoted text after "note", found the end of the line`},
	{`note ; fog on`, `column 6: expected a quoted text after "note", found ";"`},
	{`note "relief`, `column 6: the quote that opens here is never closed`},
	{`note ""`, `column 6: there is nothing between the quotes`},
	{`note "a\tb"`, `column 8: a backslash in quotes`},
	{`note "a"b`, `column 9: a closing quote must be followed by a space`},
	{"note \"\u00e9\u00e9\a\"", `column 9: control character U+0007`},
	{"note \"\u00e9\xff\"", `column 8: byte 0xff is not UTF-8 text`},
	{"Cold\u00a0beck token 7 in", `column 5: character U+00A0 cannot stand outside quotes`},
	{"duty on A.\"Fell\"", `column 11: a quote may only begin a word`},
	{`duty on "A.\nFell"`, `column 9: a name cannot have a new line in it`},
	{`explain 0 "x"`, `column 9: "0" is not an entry number from 1 to 999999999`},
	{`Coldbeck token 99999999999999999999 in`, `is not a token number from 0 to 999999999`},
	{`Saltgarth indicator lineclear`, `column 21: expected "line-clear", "train-on-line", "normal", "free" or "occupied" after "indicator", found "lineclear" (did you mean "line-clear"?)`},
	{`correct 41 "10:43 Coldbeck"`, `column 12: the line inside the quotes cannot be read: column 15: expected "token"`},
	{`correct 41 "10:43 fog on ; 10:44 fog off"`, `the line inside the quotes cannot be read: column 14: nothing may follow the entry here`},
	{`25:10 fog on`, `column 1: expected a time such as 10:41, found "25:10"`},
	{`24:05 fog on`, `found "24:05" (a day ends at 23:59: the line date of the next day, then 00:05)`},
	{`9:05 fog on`, `column 1: expected a time such as 10:41, found "9:05" (did you mean 09:05?)`},
	{`2.30pm fog on`, `after "2.30pm", found "fog" (did you mean 14:30?)`},
	{`date 2026-02-03 ; 2.30pm fog on`, `expected a time such as 10:41, found "2.30pm" (did you mean 14:30?)`},
	{`2:30 p.m. fog on`, `found "2:30" (did you mean 14:30?)`},
	{`10:41 fog on written 10.45`, `found "10.45" (did you mean 10:45?)`},
	{`10:41 fog on written soon`, `column 22: expected a time such as 10:41 after "written", found "soon"`},
	{`10:41 fog on written 10:45 twice`, `column 28: expected the end of the entry, found "twice"`},
	{`10:41 10:42 token 7 in`, `column 7: expected a section name or a word that begins an entry ("train", "note" ...), found "10:42"`},
	{`date 2026-02-30 ; 10:41 fog on`, `column 6: expected a date such as 2026-05-05 after "date", found "2026-02-30"`},
	{`date 2026-02-03 10:41 fog on`, `column 17: expected the end of the line after the date, found "10:41"`},
	{`date 2026-02-03 ; fog on`, `column 19: expected a time such as 10:41, found "fog"`},
}

func TestErrorsNameColumnExpectedAndFound(t *testing.T) {
	for _, c := range wrongLines {
		evs, err := ParseLine(time.UTC, 1_770_000_000, c.line)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s\n got %v\nwant %s", c.line, err, c.want)
		}
		var e *Error
		if !errors.As(err, &e) || evs != nil {
			t.Errorf("%s: error %T, events %v", c.line, err, evs)
		}
	}
}

func TestABookWithErrorsGivesAllErrorsAndNoEvents(t *testing.T) {
	book := "date 2026-05-05\n06:00 fog on\n06:01 fgo on\n\n06:02 fog off\n06:03 note\n"
	evs, err := ParseAll(strings.NewReader(book), time.UTC)
	want := `line 3, column 11: expected "token", "count", "staff", "ticket", "indicator", "counter", "shunt-key", "to", "examined", "working", "proved", "occupation-key" or bell signals such as <3-1 after "fgo", found "on" (did you mean "fog"?)
line 6, column 11: expected a quoted text after "note", found the end of the line`
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if evs != nil {
		t.Errorf("events: %v", evs)
	}
	var one *Error
	if !errors.As(err, &one) || one.Line != 3 {
		t.Errorf("first error %+v", one)
	}
}

func TestABookWithoutADateIsToldOnce(t *testing.T) {
	_, err := ParseAll(strings.NewReader("06:00 fog on\n06:01 fog off\n"), time.UTC)
	want := `line 1, column 1: there is no date yet; put a line such as "date 2026-05-05" before the first entry`
	if err == nil || err.Error() != want {
		t.Errorf("got %v", err)
	}
}

func TestErrorsStopAtTheLimit(t *testing.T) {
	_, err := ParseAll(strings.NewReader("date 2026-05-05\n"+strings.Repeat("x\n", 200)), time.UTC)
	var all Errors
	if !errors.As(err, &all) || len(all) != MaxErrors {
		t.Errorf("%d errors, want %d", len(all), MaxErrors)
	}
}

func TestReaderReadsHoweverTheBytesCome(t *testing.T) {
	book := "\uFEFFdate 2026-05-05\r\n06:00 note \"bråten\"\r\n\r\n# x\n06:01 fog on ; 06:02 fog off"
	for name, src := range map[string]io.Reader{
		"at once":       strings.NewReader(book),
		"byte by byte":  iotest.OneByteReader(strings.NewReader(book)),
		"data with EOF": iotest.DataErrReader(strings.NewReader(book)),
		"half and half": iotest.HalfReader(strings.NewReader(book)),
	} {
		evs, err := ParseAll(src, time.UTC)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		var lines []int64
		for _, ev := range evs {
			lines = append(lines, ev.Seq)
		}
		if len(lines) != 3 || lines[0] != 2 || lines[1] != 5 || lines[2] != 5 || evs[0].Text != "bråten" {
			t.Errorf("%s: %+v", name, evs)
		}
	}
}

func TestReaderTellsTheErrorOfItsSource(t *testing.T) {
	broken := errors.New("cable out")
	src := io.MultiReader(strings.NewReader("date 2026-05-05\n06:00 fog on\n06:0"), iotest.ErrReader(broken))
	evs, err := ParseAll(src, time.UTC)
	if !errors.Is(err, broken) || evs != nil || !strings.Contains(err.Error(), "after line 2") {
		t.Errorf("got %v, %v", evs, err)
	}
}

func TestReaderRefusesALineWithoutEnd(t *testing.T) {
	book := "date 2026-05-05\n06:00 note \"" + strings.Repeat("x", MaxLine) + "\"\n06:01 fog on\n"
	evs, err := ParseAll(strings.NewReader(book), time.UTC)
	if err == nil || evs != nil || !strings.Contains(err.Error(), "line 2, column 1: the line is longer") {
		t.Errorf("got %v", err)
	}
}

// Events must not change when the reader goes on and uses its memory again.
func TestEventsStayAsTheyWereRead(t *testing.T) {
	var book strings.Builder
	book.WriteString("date 2026-05-05\n")
	for i := range 5000 {
		book.WriteString("06:00 Coldbeck <1 >" + string(rune('1'+i%9)) + " train T" + strings.Repeat("x", i%40) + " \"text " + string(rune('a'+i%26)) + "\"\n")
	}
	evs, err := ParseAll(strings.NewReader(book.String()), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	for i, ev := range evs {
		want := rulebook.Code(rune('1' + i%9))
		if ev.Bells[1].Code != want || len(ev.Train) != 1+i%40 || ev.Text != "text "+string(rune('a'+i%26)) {
			t.Fatalf("entry %d became %+v", i, ev)
		}
	}
}

// Beats typed without hyphens are what CompactCode makes of them; names, quoted
// text and codes that have their hyphens stay as they are.
func TestHyphened(t *testing.T) {
	for line, want := range map[string]string{
		`Coldbeck <1 >1 <31 >31 train 2P07`: `Coldbeck <1 >1 <3-1 >3-1 train 2P07`,
		`10:41 Coldbeck <16  >3-1 train 31`: `10:41 Coldbeck <16  >3-1 train 31`,
		`note "he sent <31 twice"`:          `note "he sent <31 twice"`,
		`"Tarn Foot" >355`:                  `"Tarn Foot" >3-5-5`,
		`Coldbeck >offer <`:                 `Coldbeck >offer <`,
	} {
		if got := Hyphened(line); got != want {
			t.Errorf("Hyphened(%q) = %q, want %q", line, got, want)
		}
	}
}
