package tui

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"fairhand/block"
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
10:16 | o | 2
10:18 | @obstruction removed | y | 99
10:19 | z | /esc | 31 2P08
10:20 | failure "Lever 12" "lamp out" | Saltgrth >1 | /esc
10:21 | t | :18 | reminder on "Lever 5" "6K20 in the yard"
10:22 | r | c | 10:18 reminder on "Lever 6" "6K20 in the yard"
10:23 | d | /esc | f | x | the clock was slow
10:24 | /esc | h | /enter | /enter | /enter | s | 2
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
	if !strings.Contains(out.String(), "Irregular 16 10:18 An entry is timed") {
		t.Error("how grave a finding is, is not told in words")
	}
	if !talk.left {
		t.Error("the line mode is not left")
	}
	for _, want := range []string{"Saltgarth <1 >1 <3-1 >3-1 train 1M44", "Coldbeck <1 >1 <3-1 train 2P07", "correct 11", "Saltgarth >6 <6", `written 10:21`, `duty off "A. Fell"`} {
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
