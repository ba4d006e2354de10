package tui

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/register/notation"
)

// turnInLines is a turn of duty by lines alone: signing on, a train through, one
// refused and offered again, a slip struck out, an obstruction, a danger not
// written, a late entry, a correction, what is due, and the turn handed over.
const turnInLines = `
10:00 | | 1 | 1 | clock right
10:01 | @from Saltgarth | 31 1M44
10:04 | @1M44 entering section, from
10:05 | @offer 1M44
10:08 | @1M44 passed | c
10:08 | @entering section, to Coldbeck
10:09 | @out of section, to Saltgarth | s
10:10 | b | 16 | /esc |
10:11 | k cancelling | /enter | /esc | @accept 4 from Coldbeck | /tab | 31 2P07
10:13 | b | /tab | <1 >1 <31 >31
10:14 | Saltgarth <1 >1 <3-1 >3-1 train 5Z01 | d
10:15 | note "wrong" | z | 1
10:16 | o | 2 | @answers 6
10:18 | @obstruction removed | y | 99
10:19 | z | /esc | 31 2P08
10:20 | failure "Lever 12" "lamp out" | Saltgrth >1 | /esc
10:21 | t | :18 | reminder on "Lever 5" "6K20 in the yard"
10:22 | r | c | 10:18 reminder on "Lever 6" "6K20 in the yard"
10:23 | d | /esc | f | x | the clock was slow
10:24 | /esc | h | y | | y | y | s | 2
10:25 | ? | q | y
`

// TestTalk works a turn in the line mode; the transcript is what is read out.
func TestTalk(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	var out bytes.Buffer
	talk := newTalker(r.book, r.book.Location(), &out, Options{})
	for _, l := range strings.Split(strings.TrimSpace(turnInLines), "\n") {
		words := strings.Split(l, "|")
		at, err := time.ParseInLocation("2006-01-02 15:04", "2026-05-05 "+strings.TrimSpace(words[0]), r.now.Location())
		if err != nil {
			t.Fatal(err)
		}
		if r.now = at; talk.next == "" && talk.under == nil {
			talk.begin()
		}
		for _, w := range words[1:] {
			w = strings.TrimSpace(w)
			if label, ok := strings.CutPrefix(w, "@"); ok {
				r.desk = talk.d
				talk.look()
				w = itoa(r.numberOf(label))
			}
			fmt.Fprintf(&out, "\n%s> %s\n", at.Format("15:04"), w)
			talk.take(w)
		}
	}
	golden(t, "talk.golden", out.String())
	if !strings.Contains(out.String(), "Irregular 17 10:18 An entry was written") {
		t.Error("how grave a finding is, is not told in words")
	}
	if !talk.left {
		t.Error("the line mode is not left")
	}
	for _, want := range []string{"Saltgarth <1 >1 <3-1 >3-1 train 1M44", "Coldbeck <1 >1 <3-1 train 2P07", "correct 11", "Saltgarth >6\n", "Saltgarth <6", `written 10:21`, `duty off "A. Fell"`} {
		if !strings.Contains(strings.Join(r.lines(), "\n"), want) {
			t.Errorf("no entry says %q:\n%s", want, strings.Join(r.lines(), "\n"))
		}
	}
	if n := len(r.book.State().OnDuty); n != 1 || r.book.State().OnDuty[0].Name != "R. Howe" {
		t.Errorf("on duty: %v", r.book.State().OnDuty)
	}
	for i, l := range strings.Split(out.String(), "\n") {
		if strings.ContainsAny(l, "─│┤├═╳┄█") || strings.Contains(l, "  ") {
			t.Errorf("line %d is a drawing, no line to be read: %q", i+1, l)
		}
	}
}

// A number means what was told under it: after another program wrote, it is dead.
func TestTalkNumberIsWhatWasTold(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(twoComing[:3]...)
	var out bytes.Buffer
	talk := newTalker(r.book, r.book.Location(), &out, Options{})
	talk.begin()
	n := itoa(r.numberOf("1M44 entering section"))
	r.now = r.now.Add(time.Minute)
	other := r.second()
	if _, err := other.Log(block.Event{Kind: block.Bells, Section: "Saltgarth", Bells: []block.Bell{{Code: "2"}, {Sent: true, Code: "2"}}, Train: "1M44", At: other.Now()}); err != nil {
		t.Fatal(err)
	}
	before := other.State().LastSeq
	talk.take(n)
	if got := r.book.State().LastSeq; got != before || !strings.Contains(out.String(), "has changed") && !strings.Contains(out.String(), "Nothing is expected") {
		t.Errorf("%d entries, want %d:\n%s", got, before, out.String())
	}
}

// Lines come from a reader, and its end leaves the desk with everything written.
func TestTalkReads(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	var out bytes.Buffer
	if err := Talk(context.Background(), r.book, strings.NewReader("duty on \"A. Fell\"\n"), &out, Options{}); err != nil {
		t.Fatal(err)
	}
	if r.last() != `10:00 duty on "A. Fell"` {
		t.Errorf("wrote %q:\n%s", r.last(), out.String())
	}
}

// A line on which the connection was lost is not written, though it could be read as an
// entry; one beyond the longest line of a book ends the desk in plain words.
func TestTalkWritesOnlyEndedLines(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	var out bytes.Buffer
	if err := Talk(context.Background(), r.book, strings.NewReader("note \"a\"\nnote \"b\""), &out, Options{}); err != nil {
		t.Fatal(err)
	}
	if r.last() != `10:00 note "a"` {
		t.Errorf("wrote %q", r.last())
	}
	err := Talk(context.Background(), r.book, strings.NewReader(`note "`+strings.Repeat("x", notation.MaxLine)+"\"\n"), &out, Options{})
	if err == nil || !strings.Contains(err.Error(), "a line of more than 65536 bytes") {
		t.Error(err)
	}
}

// The state of a line is a sentence, with what tokens are where in words; an empty line in the
// handover takes nothing over, and when nothing is left it is said.
func TestTalkSpeaksInSentences(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.at("09:55").log(duty...).log("09:50 Coldbeck <1 >1 <3-1 >3-1 train 2A12", "09:51 Coldbeck <2 >2")
	var out bytes.Buffer
	talk := newTalker(r.book, r.book.Location(), &out, Options{})
	for _, c := range []struct{ typed, want string }{
		{"s", "Coldbeck, Single: TRAIN IN SECTION 2A12 coming, 4 min in, A TOKEN OUT, its number not known, 6 tokens here\n"},
		{"h", "to take over: 2A12: "},
		{"", "y takes over what is here, x queries it; an empty line does neither.\nHere: to take over: 2A12"},
		{"y", "s writes, 1 entry, duty on RELIEF"},
	} {
		out.Reset()
		if talk.take(c.typed); !strings.Contains(out.String(), c.want) {
			t.Errorf("%q: want %q, heard\n%s", c.typed, c.want, out.String())
		}
	}
	for range 9 {
		talk.take("y")
	}
	if !strings.Contains(out.String(), "Nothing is left to take over; s signs the relief on.") || strings.Count(out.String(), "Sections") > 1 {
		t.Errorf("heard\n%s", out.String())
	}
}

// What a screen shows in a corner, by a sign or at the end of a line that it cuts is said
// in words: a signaller who hears one line after the other has nothing else.
func TestTalkSaysWhatAScreenShows(t *testing.T) {
	long := "the lamp of the platform was out from nine until the lampman came with another, and the porter stood there with his own"
	for _, c := range []struct {
		name    string
		lines   string // typed first, one a row
		typed   string // what is heard of it is judged
		want    string // a row of it, or several
		without string
	}{
		{"a minute earlier", "-", "-", "The next entry is for 09:58, 2 min ago, and is marked late.", ""},
		{"a minute less early", "-", "+", "The next entry is for the moment it is entered.", ""},
		{"a clock time", "t", "9:50", "The next entry is for 09:50, 10 min ago, and is marked late.", ""},
		{"the time once more", "-", "", "The next entry is for 09:59", ""},
		{"a slip leaves the time", "-\nnoet \"lamp\"", `note "lamp"`, `09:59 note "lamp" written 10:00`, "for the moment"},
		{"who stands where", "train 5Z01 arrived at \"Platform 1\" complete\n/enter", "s", "Platform 1: 5Z01", "Platform 2"},
		{"nothing due", "clock right", "s", "Nothing is due, and nothing to explain.", "DUE, AND"},
		{"somebody signs on", "u", "1", "A. Fell on duty", ""},
		{"an arrow after beats is told first", "b\n31\n/tab", "<", "Not written yet: an empty line writes it as it stands, /esc drops it.\n", "Written as"},
		{"and then written", "b\n16\n>", "", "Written as 1: ", ""},
		{"with its train", "b\n31\n/tab\n<", "1M44", "Saltgarth <1 >1 <3-1 >3-1 train 1M44\n", "Not written"},
		{"an arrow is no name", "3", "<", "An arrow is no name. Nothing was written.", "Written as"},
		{"no trains booked", "", "n", "box.yaml names no timetable", "None by the timetable"},
		{"an offer stopped is left unanswered", "Saltgarth <1 >1 <3-1 >3-1 train 1M44\nSaltgarth <2 >2\nSaltgarth <1 >1 <3-1 >3-1 train 5Z01", "?", "r: the train offered is not accepted", ""},
		{"an exchange typed anew", "b\n31", "<1 >1 <31 >31", "<1 >1 <3-1 >3-1", "31<"},
		{"beats behind the key", "", "b 31", "BELL: ", "Written"},
		{"a bell behind the key waits", "", "b 16 >", "BELL: ", "Written"},
		{"the rest of a line", "e\ntrain 5Z01", "passed", "line: train 5Z01 passed", "Not written. column"},
		{"a line typed anew", "e\ntrain 5Z01", "train 5Z02 passed", "line: train 5Z02 passed", "5Z01"},
		{"a word that is nothing", "", "levae", "levae is no entry. ? tells the keys", "column"},
		{"where a train is", "train 5Z01 arrived at \"Platform 1\" complete\n/enter", "5Z01", "Platform 1: 5Z01\n", "is no entry"},
		{"what a train does next", "Saltgarth <1 >1 <3-1 >3-1 train 1M44", "1M44", ": 1M44 entering section, from Saltgarth\n", "Dropped"},
		{"leaving by its word", "", "leave", "LEAVE THE DESK?", ""},
		{"all kinds", "", "k", "Type words that it has", "token lost"},
		{"some kinds", "k", "the user rang", "the user rang: what is to cross, and how long it will take, crossing CROSSING asked [WHAT] [for MINUTES] [LARGE] [TEXT]\n", "…"},
		{"other kinds", "k\nk divided", "k token lost", "TOKEN lost [TEXT]", "No kind"},
		{"back at the desk", "r", "/esc", "At the desk; nothing has changed.", ""},
		{"a slip is pointed at by its column", "e", "train 5Z01 frog", "column 12", "^ here"},
		{"the mark of an item", `failure "Lever 12"`, "h", "to take over: Lever 12", "[ ]"},
		{"a long item", `reminder on "Lever 5" "` + long + `"`, "h", long, ""},
		{"a slip before another key", "Saltgarth <1 >1 <3-1 >3-1 train 1M44\nSaltgarth <1 >1 <3-1 >3-1 train 5Z01\n5", "/down", "", `"5" is no key`},
		{"a late entry corrected", "t\n9:50\nnote \"lamp\"\nr\nc", `note "stove"`, `correct 1: note "stove" written 10:00`, "timed"},
		{"a correction that is none", "note \"lamp\"\nr\nc", "", "Nothing changed", ""},
		{"an empty line strikes nothing", "note \"lamp\"\nr", "c", "CORRECT ENTRY 1: IT STAYS, STRUCK THROUGH\n", "NEVER"},
		{"a key by its stroke", "", "Saltgrth >1", "/tab takes it, an empty line again writes it as typed, /esc goes back", "Enter"},
		{"the way out of a page", "c", "8", "\"8\" is no key here; ? tells the keys. Nothing was written. /esc goes back to the desk.", ""},
		{"a line on a page", "c", "train five passed it", "One key is wanted here; ? tells which, /esc goes back.", ""},
		{"an entry on a page", "c", `note "a bell came"`, "At the desk:\nWritten as 1: 10:00 note \"a bell came\"", "wanted"},
		{"an entry on the sheet", "h", `note "a bell came"`, "Written as 1:", "wanted"},
		{"an entry at a question", "o", `note "a bell came"`, "One key is wanted here first; ? tells which. The line is kept: e, then /up.", "Written"},
		{"and afterwards", "o\nnote \"a bell came\"\n/esc\ne\n/up", "", "Written as 1: 10:00 note \"a bell came\"", ""},
		{"a remark given up", "note \"a\"\nr\nc\nnote \"b", "/esc", "The line is kept: c, then /up.", "typed"},
		{"a line that only wants its end", "u\n1\nu", "", "Written as 2: 10:00 duty off", ""},
		{"a line put there whole", "u\n1", "u", "line: duty off \"A. Fell\"\nAn empty line writes it, /esc drops it.", ""},
		{"keys that only scroll", "", "?", "/esc: ", "scroll"},
		{"back from a query", "failure \"Lever 12\"\nreminder on \"Lever 5\" \"crane\"\nh\nx", "since when?", "queried: Lever 12", "Sections"},
		{"the key that searches", "r", "/", "SEARCH THE ENTRIES", "is no key"},
		{"a line that was put there, typed whole", "k\nfog lift\n/enter", `note "lamp"`, `Written as 1: 10:00 note "lamp"`, "Not written"},
		{"a line that was put there, gone on with", "k\nfog lift\n/enter", `"at last"`, `fog off "at last"`, "Not written"},
	} {
		r := newRig(t, "absolute.yaml", 80, 24, Options{})
		var out bytes.Buffer
		talk := newTalker(r.book, r.book.Location(), &out, Options{})
		talk.begin()
		for l := range strings.FieldsFuncSeq(c.lines, func(r rune) bool { return r == '\n' }) {
			talk.take(l)
		}
		out.Reset()
		talk.take(c.typed)
		if heard := out.String(); !strings.Contains(heard, c.want) || c.without != "" && strings.Contains(heard, c.without) {
			t.Errorf("%s: want %q without %q, heard\n%s", c.name, c.want, c.without, heard)
		}
	}
}

// Who is left alone with a dead line must have heard that it was left.
func TestTalkSaysThatItIsLeft(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	var out bytes.Buffer
	if err := Talk(context.Background(), r.book, strings.NewReader("q\ny\n"), &out, Options{}); err != nil {
		t.Fatal(err)
	}
	if !strings.HasSuffix(out.String(), "Left. Everything written is on disk.\n") {
		t.Errorf("ends with\n%s", out.String())
	}
}
