package register

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/pins"
)

// pinBook is a box that asks for PINs, with a clock that the test moves.
func pinBook(t *testing.T) (*Book, *time.Time) {
	t.Helper()
	dir := t.TempDir()
	box := "box: Ennerholme\nrules: british-later\nsections: [{neighbour: Coldbeck, method: absolute, lines: [{name: Up, way: in}, {name: Down, way: out}]}]\n" +
		"people: [{name: A. Fell, role: signaller}, {name: R. Garth, role: inspector}]\npins: true\n"
	if err := os.WriteFile(filepath.Join(dir, BoxFileName), []byte(box), 0o600); err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 5, 5, 6, 0, 0, 0, time.UTC)
	b, err := Create(dir, Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return b, &now
}

func on(b *Book) block.Event {
	return block.Event{Kind: block.DutyOn, Subject: "A. Fell", Which: block.ByPIN, At: b.Now()}
}

// An entry says by-pin only after this program has checked the PIN, and once.
func TestByPINOnlyWhenChecked(t *testing.T) {
	b, now := pinBook(t)
	if _, err := b.CheckPIN("A. Fell", "4711"); !errors.Is(err, ErrNoPIN) {
		t.Errorf("no PIN is set: %v", err)
	}
	e, err := b.SetPIN("A. Fell", "4711", "", Given{})
	if err != nil || !strings.HasPrefix(e.Line, `06:00 pin set "A. Fell" `) || len(e.Findings) > 0 {
		t.Fatalf("%q, %v, %v", e.Line, e.Findings, err)
	}
	if _, err := b.Log(on(b)); err == nil {
		t.Fatal("by-pin was taken unchecked")
	}
	given, err := b.CheckPIN("A. Fell", "4711")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.Log(on(b)); err == nil {
		t.Fatal("by-pin was taken from who has not got the PIN, after another had it checked")
	}
	if e, err := b.Log(on(b), given); err != nil || len(e.Findings) > 0 {
		t.Fatalf("%v, %v", e.Findings, err)
	}
	garth := on(b)
	if garth.Subject = "R. Garth"; !given.Of("A. Fell") || given.Of("R. Garth") || (Given{}).Of("") {
		t.Error("whose PIN it is")
	}
	if _, err := b.Log(garth, given); err == nil {
		t.Error("the PIN of another served")
	}
	if _, err := b.Log(block.Event{Kind: block.Sign, Subject: "R. Garth", Which: block.ByPIN, At: b.Now()}, given); err == nil {
		t.Error("the PIN of another served for examining the book")
	}
	for _, line := range []string{`sign "R. Garth" by-pin`, `countersign 1 "R. Garth" by-pin`, `duty on "A. Fell" by-pin`, `pin set "A. Fell" 00`, `correct 1 "06:00 pin set \"A. Fell\" 00"`, `correct 1 "06:00 note \"x\""`,
		`note "x"; correct 3 "06:00 duty on \"A. Fell\" by-pin"`} {
		evs, err := b.Parse(line)
		if err != nil {
			t.Fatal(err)
		}
		for _, ev := range evs {
			_, err = b.Log(ev)
		}
		if err == nil {
			t.Errorf("%s was taken", line)
		}
	}
	*now = now.Add(time.Minute)
	evs, _ := b.Parse(`correct 2 "05:59 duty on \"A. Fell\" by-pin"`) // its time
	if _, err := b.Log(evs[0]); err != nil {
		t.Error(err)
	}
	evs, _ = b.Parse(`duty on "A. Fell"`)
	if e, err := b.Log(evs[0]); err != nil || len(e.Findings) != 1 || e.Findings[0].Rule != rulebook.DutyWithoutPIN {
		t.Errorf("passed over: %v, %v", e.Findings, err)
	}
}

// After each wrong PIN the next waits twice as long, a minute at most: the right one
// is taken then, however many were wrong.
func TestGuessingIsSlowedAndNobodyLockedOut(t *testing.T) {
	b, now := pinBook(t)
	if _, err := b.SetPIN("A. Fell", "4711", "", Given{}); err != nil {
		t.Fatal(err)
	}
	want := []time.Duration{1, 2, 4, 8, 16, 32, 60, 60}
	for i, w := range want {
		if _, err := b.CheckPIN("A. Fell", "0000"); err != ErrWrongPIN {
			t.Fatal(err)
		}
		if got := b.PINWait("A. Fell"); got != w*time.Second {
			t.Errorf("after %d wrong: %v, want %ds", i+1, got, w)
		}
		if _, err := b.CheckPIN("A. Fell", "4711"); !errors.Is(err, ErrWrongPIN) {
			t.Errorf("too soon: %v", err)
		}
		*now = now.Add(w * time.Second)
	}
	if b.WrongPINs("A. Fell") != len(want) {
		t.Errorf("%d wrong", b.WrongPINs("A. Fell"))
	}
	if _, err := b.CheckPIN("A. Fell", "4711"); err != nil || b.WrongPINs("A. Fell") != 0 {
		t.Error(err)
	}
	_, _ = b.CheckPIN("A. Fell", "0000")
	*now = now.Add(-48 * time.Hour) // a clock set back locks nobody out
	if _, err := b.CheckPIN("A. Fell", "4711"); err != nil {
		t.Error(err)
	}
}

// A PIN is set anew by who knows it or by somebody else, and a record put in by hand
// is told and lets nobody in.
func TestResetAndSwappedRecord(t *testing.T) {
	b, _ := pinBook(t)
	if _, err := b.SetPIN("A. Fell", "4711", "", Given{}); err != nil {
		t.Fatal(err)
	}
	if _, err := b.SetPIN("A. Fell", "4712", "", Given{}); err == nil {
		t.Error("another PIN without the old one, or anybody")
	}
	given, err := b.CheckPIN("A. Fell", "4711")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.SetPIN("A. Fell", "4712", "", given); err != nil {
		t.Fatal(err)
	}
	if _, err := b.SetPIN("A. Fell", " 4712", "", given); err == nil {
		t.Error("a PIN that the desk could not take")
	}
	if _, err := b.SetPIN("A. Fell", "4713", "N. Body", given); err == nil {
		t.Error("set anew by somebody whom the box does not list")
	}
	e, err := b.SetPIN("A. Fell", "4713", "R. Garth", Given{})
	if err != nil || !strings.HasSuffix(e.Line, ` by "R. Garth"`) || len(e.Findings) > 0 {
		t.Fatalf("%q, %v, %v", e.Line, e.Findings, err)
	}
	if list, err := pins.Load(b.Dir); err != nil || len(list) != 1 {
		t.Errorf("%d records are kept, %v", len(list), err)
	}
	if _, err := b.SetPIN("T. Lad", "4713", "", Given{}); err == nil {
		t.Error("a PIN of somebody whom the box does not list")
	}
	if a := b.PINAlarms(); len(a) > 0 {
		t.Fatal(a)
	}
	mine, err := pins.New("A. Fell", "0000")
	if err != nil {
		t.Fatal(err)
	}
	if err := pins.Save(b.Dir, []pins.Record{*mine}); err != nil {
		t.Fatal(err)
	}
	if a := b.PINAlarms(); len(a) != 1 || a[0].Stamp != pins.Misfit {
		t.Errorf("swapped: %v", a)
	}
	if _, err := b.CheckPIN("A. Fell", "0000"); !errors.Is(err, pins.ErrMisfit) {
		t.Errorf("a swapped record: %v", err)
	}
}

// A book to be imported can say that a PIN was given, and by what record one is known:
// whoever writes it has typed that. It comes in without, also by way of a correction, and
// no record put in beside it is taken for a PIN.
func TestImportBringsNoPIN(t *testing.T) {
	b, _ := pinBook(t)
	mine, err := pins.New("A. Fell", "0000")
	if err != nil {
		t.Fatal(err)
	}
	digest := mine.Digest()
	book := "date 2026-05-04\n06:00 duty on \"A. Fell\" by-pin\n06:01 pin reset \"A. Fell\" " + digest + " by \"R. Garth\"\n06:02 pin set \"R. Garth\" " + digest +
		"\n06:03 duty off \"A. Fell\"\n06:04 duty on \"A. Fell\"\n06:04 correct 5 \"06:04 duty on \\\"A. Fell\\\" by-pin\"\n06:05 note \"x\"\n" +
		"06:05 correct 7 \"06:05 pin set \\\"A. Fell\\\" " + digest + "\"\n06:06 note \"y\"\n06:06 correct 9 \"06:06 fog on\"\n06:06 correct 10 \"06:06 correct 9 \\\"06:06 pin set \\\\\\\"A. Fell\\\\\\\" " + digest + "\\\"\"\n" +
		"06:07 countersign 9 \"R. Garth\" by-pin\n06:08 sign \"R. Garth\" by-pin\n"
	in, err := b.Import(t.Context(), strings.NewReader(book), ImportOptions{})
	if err != nil {
		t.Fatal(err)
	}
	without := map[rulebook.RuleID]int{}
	for _, f := range in.Findings {
		without[f.Rule]++
	}
	if without[rulebook.DutyWithoutPIN] != 2 || without[rulebook.SignedWithoutPIN] != 2 {
		t.Errorf("signed without a PIN: %v", in.Findings)
	}
	if err := pins.Save(b.Dir, []pins.Record{*mine}); err != nil {
		t.Fatal(err)
	}
	if given, err := b.CheckPIN("A. Fell", "0000"); !errors.Is(err, ErrNoPIN) || given.Of("A. Fell") {
		t.Errorf("a PIN of the book's own serves: %v", err)
	}
	rows, err := b.Store().Range(1, 11)
	if err != nil || len(rows) != 11 {
		t.Fatal(rows, err)
	}
	for i, want := range []string{`duty on "A. Fell" "by-pin in the book imported"`, `note "06:01 pin reset \"A. Fell\" ` + digest, `note "06:02 pin set `} {
		if !strings.Contains(rows[i].Line, want) {
			t.Errorf("entry %d: %s", i+1, rows[i].Line)
		}
	}
	if _, err := Verify(t.Context(), b.Store().Path(), b.File(), nil, nil); err != nil {
		t.Error(err)
	}
}
