package watch

import (
	"database/sql"
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/registertest"
	"fairhand/register/seal"
	"fairhand/register/sheet"
)

// box is a register of the demonstration on disk, to be opened again.
func box(t *testing.T) string {
	t.Helper()
	text, book := registertest.Demo(t, "../..")
	dir := t.TempDir()
	b, err := registertest.Make(dir, text, book)
	if err != nil {
		t.Fatal(err)
	}
	next := "date 2026-05-06\n06:00 duty on \"M. Dunn\"\ndate 2026-05-07\n06:00 note \"a\"\ndate 2026-05-08\n06:00 note \"a\"\n"
	if _, err := b.Import(t.Context(), strings.NewReader(next), register.ImportOptions{AsWritten: true}); err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	return dir
}

func open(t *testing.T, dir string) *register.Book {
	t.Helper()
	clock := func() time.Time { return time.Date(2026, 5, 8, 7, 0, 0, 0, time.UTC) }
	b, err := register.Open(dir, register.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return b
}

// alter changes a line of the first day as whoever has the file can.
func alter(t *testing.T, dir string) {
	alterBy(t, dir, `UPDATE entry SET line = '06:20 note "nothing"' WHERE seq = 20`)
}

func alterBy(t *testing.T, dir, query string) {
	t.Helper()
	alterFile(t, filepath.Join(dir, register.RegisterName), query)
}

func alterFile(t *testing.T, path, query string) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	var trigger string
	if err := db.QueryRow("SELECT sql FROM sqlite_schema WHERE name = 'entry_no_update'").Scan(&trigger); err != nil {
		t.Fatal(err)
	}
	for _, q := range []string{"DROP TRIGGER entry_no_update", query, trigger} {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
}

// TestAlterationIsAStandingAlarm: a desk opens on what it stands on, the proof behind
// it finds what is years ago, and what is written from then on is marked.
func TestAlterationIsAStandingAlarm(t *testing.T) {
	dir := box(t)
	alter(t, dir)
	b := open(t, dir)
	w, now := Over(b), time.Now()
	if got := w.Look(now); len(got) != 0 {
		t.Fatal("an alarm before anything was looked at:", got)
	}
	if err := registertest.Log(b, `note "written before"`); err != nil {
		t.Fatal(err)
	}
	if err := w.Prove(t.Context()); err != nil || !w.Proved() {
		t.Fatal(err)
	}
	got := w.Look(now)
	if len(got) != 1 || got[0].Stamp != sheet.Damaged || !strings.Contains(got[0].Text, "entry 20") {
		t.Fatal(got)
	}
	before := b.Store().Tail().Seq
	for range 2 {
		if err := registertest.Log(b, `note "written after"`); err != nil {
			t.Fatal(err)
		}
	}
	rows, err := b.Store().Range(before+1, before+3)
	if err != nil || len(rows) != 3 || !strings.Contains(rows[0].Line, "REGISTER DAMAGED at entry 20") {
		t.Fatal(rows, err)
	}
	b.Close()
	again := open(t, dir) // the mark is written once
	if err := Over(again).Prove(t.Context()); err != nil {
		t.Fatal(err)
	}
	if err := registertest.Log(again, `note "another day"`); err != nil {
		t.Fatal(err)
	}
	if n := again.Store().Tail().Seq; n != before+4 {
		t.Errorf("the last entry is %d, want %d: the continuation is marked once", n, before+4)
	}
}

// TestAlteredWhileOpen: what is changed behind the desk after it was proved is seen by
// its file, proved again and an alarm; entries of the desk raise no doubt.
func TestAlteredWhileOpen(t *testing.T) {
	dir := box(t)
	b := open(t, dir)
	w, now := Over(b), time.Now()
	if err := w.Prove(t.Context()); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if got := w.Look(now); len(got) != 0 || w.Doubted() {
			t.Fatal("doubted, and nothing happened", got)
		}
		if err := registertest.Log(b, `note "written meanwhile"`); err != nil {
			t.Fatal(err)
		}
	}
	w.Look(now)
	alter(t, dir)
	if got := w.Look(now); len(got) != 0 || !w.Doubted() {
		t.Fatal("altered, and not doubted", got)
	}
	if err := w.Prove(t.Context()); err != nil {
		t.Fatal(err)
	}
	got := w.Look(now)
	if len(got) != 1 || got[0].Stamp != sheet.Damaged || !strings.Contains(got[0].Text, "entry 20") {
		t.Fatal(got)
	}
	before := b.Store().Tail().Seq
	if err := registertest.Log(b, `note "written after"`); err != nil {
		t.Fatal(err)
	}
	rows, err := b.Store().Range(before+1, before+2)
	if err != nil || len(rows) != 2 || !strings.Contains(rows[0].Line, "REGISTER DAMAGED at entry 20") || !strings.Contains(rows[1].Line, "written after") {
		t.Fatal(rows, err)
	}
}

// TestDamageInWhatTheDeskStandsOn: the desk opens all the same, under the alarm.
func TestDamageInWhatTheDeskStandsOn(t *testing.T) {
	text, book := registertest.Demo(t, "../..")
	dir := t.TempDir()
	made, err := registertest.Make(dir, text, book)
	if err != nil {
		t.Fatal(err)
	}
	made.Close()
	alter(t, dir)
	b := open(t, dir)
	if got := Over(b).Look(time.Now()); len(got) != 1 || got[0].Stamp != sheet.Damaged {
		t.Error(got)
	}
	if tail := b.Store().Tail().Seq; b.State().LastSeq != tail {
		t.Errorf("read up to entry %d of %d", b.State().LastSeq, tail)
	}
}

// TestLineThatCannotBeRead: one that was altered to no sense is damage, also where it is met
// before it is proved; what keeps the proof from being made is told as well.
func TestLineThatCannotBeRead(t *testing.T) {
	dir := box(t)
	alterBy(t, dir, `UPDATE entry SET line = replace(line, ' correct ', ' cgrrect correct ') WHERE seq = 22`)
	b := open(t, dir)
	if b.Stand(t.Context(), time.Minute) {
		t.Error("proved")
	}
	if got := Over(b).Look(time.Now()); len(got) != 1 || got[0].Stamp != sheet.Damaged || !strings.Contains(got[0].Text, "entry 22") {
		t.Error("altered:", got)
	}

	b = open(t, box(t))
	w := Over(b)
	if err := b.Store().Close(); err != nil {
		t.Fatal(err)
	}
	if err := w.Prove(t.Context()); err == nil {
		t.Error("proved, and it cannot be read")
	}
	if got := w.Look(time.Now()); len(got) != 1 || got[0].Stamp != Unproved {
		t.Error("what cannot be read:", got)
	}
}

// TestSealBesideIsCompared: a register that was cut short behind a seal.
func TestSealBesideIsCompared(t *testing.T) {
	dir := box(t)
	b := open(t, dir)
	s := seal.Of(b.Store().Meta(), 1, b.Store().Tail(), 20260508, time.Unix(0, 0))
	s.Last += 5
	text, err := s.Text()
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, seal.FileName(s.Last)), []byte(text), 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	w := Over(b)
	if err := w.Prove(t.Context()); err != nil {
		t.Fatal(err)
	}
	if got := w.Look(time.Now()); len(got) != 2 || got[0].Stamp != sheet.SealMisfit || got[1].Stamp != sheet.SealMisfit { // nor is there a key
		t.Error(got)
	}
}

// TestFileIsMissedAtOnce: moved, replaced by another, and back.
func TestFileIsMissedAtOnce(t *testing.T) {
	dir := box(t)
	b := open(t, dir)
	w, now, path := Over(b), time.Now(), filepath.Join(dir, register.RegisterName)
	if err := os.Rename(path, path+".away"); err != nil {
		t.Skip("an open file cannot be renamed here:", err)
	}
	lost := func(what string) {
		t.Helper()
		if got := w.Look(now); len(got) != 1 || got[0].Stamp != Lost || !strings.Contains(got[0].Text, "moved, removed or replaced") {
			t.Error(what, got)
		}
	}
	lost("moved")
	if err := os.WriteFile(path, []byte("another"), 0o600); err != nil {
		t.Fatal(err)
	}
	lost("replaced")
	if err := os.Rename(path+".away", path); err != nil {
		t.Fatal(err)
	}
	if got := w.Look(now); len(got) != 0 {
		t.Error("back", got)
	}
}

// A folder on another computer is told as long as the register lies there.
func TestRegisterOnANetworkFolder(t *testing.T) {
	w := Over(open(t, box(t)))
	w.far = OnNetwork("SMB")
	if list := w.Look(time.Unix(0, 0)); len(list) != 1 || list[0].Stamp != Far || !strings.Contains(list[0].Text, "reached by SMB") {
		t.Error(list)
	}
}

// While the first proof is under way it is said that what is shown is not proved yet, and
// what was forged to be believed at opening is told once it is.
func TestNotYetProved(t *testing.T) {
	book := open(t, box(t))
	w := Over(book)
	if list := w.Look(time.Unix(0, 0)); len(list) > 0 {
		t.Errorf("before it is proved behind: %v", list)
	}
	book.Progress = func(done, total int64) {
		if list := w.Look(time.Unix(0, 0)); len(list) != 1 || list[0].Stamp != Unproved {
			t.Errorf("while it is proved: %v", list)
		}
		book.Progress = nil
	}
	if err := w.Prove(t.Context()); err != nil || book.Progress != nil {
		t.Fatal("nothing was looked at meanwhile", err)
	}
	if list := w.Look(time.Unix(0, 0)); len(list) > 0 {
		t.Errorf("once it is proved: %v", list)
	}
}

// TestStructureWhileOpen: a list of free pages that was edited since the desk opened is an
// alarm with the next proof; the entries are whole, and the next would be written over one.
func TestStructureWhileOpen(t *testing.T) {
	dir := box(t)
	b := open(t, dir)
	w := Over(b)
	w.Look(time.Now())
	if err := w.Prove(t.Context()); err != nil || b.Alarm() != nil {
		t.Fatal(b.Alarm(), err)
	}
	path := filepath.Join(dir, register.RegisterName)
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range []int{24, 36, 92} { // changes counted, free pages counted, and the changes again
		binary.BigEndian.PutUint32(content[at:], binary.BigEndian.Uint32(content[at:])+1)
	}
	if err := errors.Join(os.WriteFile(path, content, 0o600), os.Chtimes(path, time.Now(), time.Now().Add(time.Minute))); err != nil {
		t.Fatal(err)
	}
	w.Look(time.Now())
	if err := w.Prove(t.Context()); err != nil || b.Alarm() == nil || !strings.Contains(b.Alarm().Text, "the engine's own check") {
		t.Errorf("%v, %v", b.Alarm(), err)
	}
}
