package tui

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/pins"
)

// pinRig is a desk of a box that asks for PINs; A. Fell has one.
func pinRig(t *testing.T) *rig {
	t.Helper()
	r := newRig(t, "pins.yaml", 100, 30, Options{})
	if _, err := r.book.SetPIN("A. Fell", "4711", "", register.Given{}); err != nil {
		t.Fatal(err)
	}
	r.desk.refresh()
	return r
}

// idle lets so much time pass without a key.
func (r *rig) idle(d time.Duration) *rig {
	r.instant = r.instant.Add(d)
	r.send(tcell.NewEventKey(tick, 0, tcell.ModNone))
	return r
}

func TestSignOnByPIN(t *testing.T) {
	r := pinRig(t)
	r.press("u", "1", "Enter").want("PIN OF A. FELL").press("0000").want("PIN: ****").press("Enter").want("that is not the PIN")
	if strings.Contains(r.text(), "0000") {
		t.Errorf("the PIN is shown:\n%s", r.text())
	}
	r.press("4711", "Enter").want("wait 1 s") // guessing is slowed
	r.now = r.now.Add(time.Second)
	r.press("4711", "Enter")
	if got := r.last(); got != `10:00 duty on "A. Fell" by-pin "wrong PINs before: 1"` {
		t.Fatal(got)
	}
	r.want("A. Fell on duty")

	// the relief has none: he signs on, and that is found
	r.at("10:30").press("u", "End", "Ctrl-U").press("R. Howe", "Esc")
	r.press("h", "s", "2").want("2 R. Howe, no PIN yet").want("R. Howe has no PIN yet, and that is found: Esc, then p sets it.").press("Enter").want("without the personal number")
	// a trainee comes on under him, and nobody goes off
	r.at("10:40").press("h", "s", "3", "Enter")
	if got := r.last(); got != `10:40 duty on "L. Marsh" under "R. Howe"` {
		t.Error(got)
	}
	r.want("R. Howe, L. Marsh on duty")

	// forgotten: passed over, and the book says so; whoever was on goes off, the trainee first
	r.at("10:50").press("h", "s", "1", "Enter").want("PIN OF A. FELL").press("Tab")
	want := []string{`10:50 duty on "A. Fell"`, `10:50 duty off "L. Marsh"`, `10:50 duty off "R. Howe"`}
	if got := r.lines(); !slices.Equal(got[len(got)-3:], want) {
		t.Errorf("%q", got[len(got)-3:])
	}
	// Esc writes nothing, and what was typed is there
	n := len(r.lines())
	r.at("11:00").press("e").press(`duty off "A. Fell"; duty on "A. Fell"`, "Enter").want("PIN OF A. FELL").press("Esc").want(`duty off "A. Fell"; duty on "A. Fell"`)
	if len(r.lines()) != n {
		t.Error("written after Esc")
	}
	// nobody says by typing that a PIN was given
	r.press("Ctrl-U").press(`duty on "A. Fell" by-pin`, "Enter").want("PIN OF A. FELL").press("Tab")
	if got := r.last(); got != `11:00 duty on "A. Fell"` {
		t.Error(got)
	}
}

// Who signs in the turn of another gives his PIN; in his own he has given it. What is
// countersigned without it, or by the hand that wrote, is found.
func TestCountersignAsksForThePIN(t *testing.T) {
	r := pinRig(t)
	for name, pin := range map[string]string{"R. Howe": "0815", "R. Garth": "1234"} {
		if _, err := r.book.SetPIN(name, pin, "", register.Given{}); err != nil {
			t.Fatal(err)
		}
	}
	typed := func(line string) *rig { return r.press("e").press(line, "Enter") }
	r.press("u", "1", "Enter", "4711", "Enter").want("A. Fell on duty")
	typed(`disconnected "Points 5" "lever 5"`)
	seq := fmt.Sprint(len(r.lines()))
	for _, c := range []struct {
		line string
		pin  []string // keys after it; the last entry is want
		want string
	}{
		{`countersign ` + seq + ` "R. Howe"`, []string{"0815", "Enter"}, `countersign ` + seq + ` "R. Howe" by-pin`},
		{`countersign ` + seq + ` "R. Howe" by-pin`, []string{"Tab"}, `countersign ` + seq + ` "R. Howe"`},
		{`countersign ` + seq + ` "R. Howe"`, []string{"4711", "Enter", "Tab"}, `countersign ` + seq + ` "R. Howe" "wrong PINs before: 1"`},
		{`countersign ` + seq + ` "A. Fell"`, nil, `countersign ` + seq + ` "A. Fell"`},
		{`sign "R. Garth" "the week"`, []string{"1234", "Enter"}, `sign "R. Garth" by-pin "the week"`},
		{`note "x"; sign "R. Garth"`, []string{"Tab"}, `sign "R. Garth"`},
	} {
		if typed(c.line); len(c.pin) > 0 {
			r.want("PIN OF R. ").press(c.pin...)
		}
		if got := r.last(); got != "10:00 "+c.want {
			t.Fatalf("%s: wrote %q\n%s", c.line, got, r.text())
		}
		found := ""
		for _, e := range r.book.Recent() {
			if e.Seq == r.book.Store().Tail().Seq && len(e.Findings) > 0 {
				found = string(e.Findings[0].Rule)
			}
		}
		want := "signed-without-pin"
		if strings.Contains(c.want, "by-pin") {
			want = ""
		} else if c.pin == nil {
			want = "countersigned-by-own-hand"
		}
		if found != want {
			t.Errorf("%s: found %q, want %q", c.want, found, want)
		}
	}
	// an inspection is signed the same way, and comes back to its report
	r.press("i", "d", "s").want("SIGN THE BOOK").press("Enter").want("PIN OF R. GARTH").press("1234", "Enter").want("AUDIT: ")
	if got := r.last(); !strings.HasPrefix(got, `10:00 sign "R. Garth" by-pin "examined 2026-05-05; head `) {
		t.Error(got)
	}
}

func TestLock(t *testing.T) {
	r := pinRig(t)
	r.instant = time.Unix(1000, 0)
	r.desk.stamp = func(tcell.Event) time.Time { return r.instant }
	r.press("l").want("Nobody is on duty: there is nobody who could unlock it")
	r.press("u", "1", "Enter", "4711", "Enter").want("A. Fell on duty")
	n := len(r.lines())

	// by key: the line is shown, keys of the desk write nothing
	r.press("l").want("LOCKED").want("Saltgarth").want("Up Main")
	r.press("1", "Enter").want("that is neither the name").want("LOCKED")
	r.press("4", "7", "1", "2", "Enter").want("LOCKED")
	if len(r.lines()) != n {
		t.Error("a locked desk wrote")
	}
	r.press("a. fell", "Enter") // the name at once, however many were wrong
	if strings.Contains(r.text(), "LOCKED") {
		t.Fatalf("not unlocked by name:\n%s", r.text())
	}
	r.now = r.now.Add(time.Minute)
	r.press("l").press("4711", "Enter")
	if strings.Contains(r.text(), "LOCKED") {
		t.Fatal("not unlocked by PIN")
	}

	// by itself, with a line half typed, which is there again
	r.press("e").press("note \"half")
	r.idle(9 * time.Minute)
	if strings.Contains(r.text(), "LOCKED") {
		t.Fatal("locked too soon")
	}
	r.idle(2 * time.Minute).want("LOCKED")
	if got := r.desk.model.halfTyped(); got != "note \"half" {
		t.Errorf("half typed: %q", got)
	}
	r.press("A. Fell", "Enter").want(`note "half`)
}

func TestSwappedPINIsAnAlarmAtTheDesk(t *testing.T) {
	r := pinRig(t)
	mine, err := pins.New("A. Fell", "0000")
	if err != nil {
		t.Fatal(err)
	}
	if err := pins.Save(r.book.Dir, []pins.Record{*mine}); err != nil {
		t.Fatal(err)
	}
	r.at("10:01").want(pins.Misfit)
	r.press("u", "1", "Enter", "0000", "Enter").want("is not the one that the register names").press("Tab")
	if got := r.last(); got != `10:01 duty on "A. Fell"` {
		t.Error(got)
	}
}

// A PIN is set and changed at the desk, typed twice and unseen, and unlocking by one
// lets nobody claim it afterwards.
func TestSetPINAtTheDesk(t *testing.T) {
	r := newRig(t, "pins.yaml", 100, 30, Options{})
	n := len(r.lines())
	r.press("p").press("N. Body", "Enter").want(`There is no "N. Body" among the people`)
	r.press("Ctrl-U").press("a. fell", "Enter").want("PIN OF A. FELL").want("the new PIN:")
	r.press("12", "Enter").want("a PIN has 4 to 64 characters")
	r.press("4711", "Enter").want("once more:").press("4712", "Enter").want("The two are not the same")
	r.press("4711", "Enter", "Esc").want("No PIN was set")
	if len(r.lines()) != n {
		t.Fatal(r.last())
	}
	r.press("p").press("A. Fell", "Enter").press("4711", "Enter", "4711", "Enter").want("the PIN of A. Fell is set.")
	if got := r.last(); !strings.HasPrefix(got, `10:00 pin set "A. Fell" `) || strings.Contains(r.text(), "4711") {
		t.Fatal(got)
	}

	r.press("u", "1", "Enter").want("PIN OF A. FELL").press("4711", "Enter")
	if got := r.last(); got != `10:00 duty on "A. Fell" by-pin` {
		t.Fatal(got)
	}
	// changed: the present one first; whoever is on duty is proposed
	r.press("p", "Enter").want("the present PIN:").press("0000", "Enter").want("that is not the PIN").want("the present PIN:")
	r.now = r.now.Add(time.Second)
	r.press("4711", "Enter").want("the new PIN:").press("Tab").want("the new PIN:").press("0815", "Enter", "0815", "Enter").want("is set.")
	if _, err := r.book.CheckPIN("A. Fell", "0815"); err != nil {
		t.Error(err)
	}

	r.press("l").press("0815", "Enter")
	if r.desk.model.mode != modeDesk {
		t.Fatal("not unlocked")
	}
	duty := block.Event{Kind: block.DutyOn, Subject: "A. Fell", Which: block.ByPIN, At: r.book.Now()}
	if _, err := r.book.Log(duty); err == nil {
		t.Error("unlocking by PIN served for signing on")
	}
}

// What stops the hand does not lose the PIN given before it.
func TestPINOverADanger(t *testing.T) {
	r := pinRig(t)
	r.press("e").press(`duty on "A. Fell"; Saltgarth >2 <2 train 9Z99`, "Enter").want("PIN OF A. FELL").press("4711", "Enter").want("STOP").press("w")
	if got := r.lines(); !slices.Contains(got, `10:00 duty on "A. Fell" by-pin`) {
		t.Errorf("%q\n%s", got, r.text())
	}
}

// In lines of text the same is asked.
func TestTalkAsksForThePIN(t *testing.T) {
	r := pinRig(t)
	var out bytes.Buffer
	k := newTalker(r.book, r.book.Location(), &out, Options{})
	for _, l := range []string{"u", "1", "0000", "/esc", "u", "1", "4711", "l", "note \"x\"", "A. Fell", "p", "R. Howe", "0815", "0815"} {
		if k.take(l); l == "0000" {
			r.now = r.now.Add(time.Second)
		}
	}
	got := r.lines()[1:]
	if len(got) != 2 || got[0] != `10:00:01 duty on "A. Fell" by-pin "wrong PINs before: 1"` || !strings.HasPrefix(got[1], `10:00:01 pin set "R. Howe" `) {
		t.Errorf("%q", got)
	}
	for _, said := range []string{"What is typed next cannot be hidden here", "PIN OF A. FELL", "that is not the PIN", "LOCKED"} {
		if !strings.Contains(out.String(), said) {
			t.Errorf("%q is not told:\n%s", said, out.String())
		}
	}
	if strings.Contains(out.String(), "4711") || strings.Contains(out.String(), "0815") {
		t.Error("the PIN is told")
	}
	if k.d.model.mode != modeDesk {
		t.Error("not unlocked")
	}
}
