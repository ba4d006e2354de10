package register_test

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/boxfile"
	"fairhand/register/registertest"
	"fairhand/register/store"
)

const describedBox = `box: Ennerholme
timezone: Europe/London
rules: british-later
sections:
  - neighbour: Coldbeck
    method: token
    lines: [{name: Single}]
    tokens: {charge: "1-12", here: "1-6", low-stock: 5}
  - neighbour: Saltgarth
    method: absolute
    lines: [{name: Up Main, way: out}, {name: Down Main, way: in}]
`

const describedBook = `date 2026-05-05
06:00 duty on "A. Fell"
10:00 Coldbeck >1 <1 >3-1 <3-1 train 2P07
10:01 Coldbeck token 6 out train 2P07
10:02 train 2P07 departed for Coldbeck
10:02 Coldbeck >2 <2
10:20 Saltgarth <1 >1 <3-1 >3-1 train 2P08
10:21 note "written late" written 10:45
`

// worked opens a box directory again at a moment.
func worked(t *testing.T, dir string, at time.Time, readOnly bool) *register.Book {
	t.Helper()
	b, err := register.Open(dir, register.Options{Now: func() time.Time { return at }, ReadOnly: readOnly})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return b
}

func rewrite(t *testing.T, dir, old, now string) {
	t.Helper()
	path := filepath.Join(dir, register.BoxFileName)
	text, err := os.ReadFile(path)
	if err != nil || !strings.Contains(string(text), old) {
		t.Fatal(err, "no ", old)
	}
	if err := os.WriteFile(path, []byte(strings.Replace(string(text), old, now, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
}

// past is all that is told of a day, of the audit up to it, and by the proof.
func past(t *testing.T, dir string, at time.Time) string {
	t.Helper()
	b := worked(t, dir, at, true)
	d, err := b.LoadDay(t.Context(), 20260505)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	for _, f := range d.Findings {
		out.WriteString(f.Text + " / " + f.Expected + "\n")
	}
	out.WriteString(d.Described.Words() + "\n")
	report, err := audit.Run(t.Context(), audit.Register(b), audit.Options{To: 20260505, Details: 20})
	if err != nil {
		t.Fatal(err)
	}
	if err := json.NewEncoder(&out).Encode(report); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// TestThePastIsJudgedAsItWas: whatever is written into box.yaml, nothing of the days
// before is judged by it, not by the book that brings it into force either; what
// comes after is.
func TestThePastIsJudgedAsItWas(t *testing.T) {
	dir := t.TempDir()
	b, err := registertest.Make(dir, describedBox, describedBook)
	if err != nil {
		t.Fatal(err)
	}
	b.Close()
	next := time.Date(2026, 5, 6, 9, 0, 0, 0, time.UTC)
	was := past(t, dir, next)
	if !strings.Contains(was, "entry-late") || !strings.Contains(was, "token-low-stock") || !strings.Contains(was, "the first description of the box") {
		t.Fatal(was)
	}
	rewrite(t, dir, "rules: british-later\n", "rules: british-later\nlimits: {late-after: 600}\n")
	rewrite(t, dir, "low-stock: 5", "low-stock: 0")
	if now := past(t, dir, next); now != was {
		t.Errorf("box.yaml alone changed what is told of the past:\n%s\nwas\n%s", now, was)
	}
	w := worked(t, dir, next, false)
	if err := registertest.Log(w, `note "of the new day"`); err != nil {
		t.Fatal(err)
	}
	w.Close()
	w = worked(t, dir, next.Add(time.Hour), false)
	for _, line := range []string{`10:30 note "half an hour late"`, `correct 6 "10:21 Saltgarth <1 >1 <3-1 >3-1 train 2P08"`} {
		if err := registertest.Log(w, line); err != nil {
			t.Fatal(err)
		}
	}
	head := w.Recent()[0]
	if want := `box described ` + store.Digest(w.File().Text) + ` "limits late-after 600, was not given; sections Coldbeck tokens low-stock 0, was 5"`; !strings.HasSuffix(head.Line, want) || head.Seq != 8 {
		t.Errorf("entry %d %s, want %s", head.Seq, head.Line, want)
	}
	w.Close()
	now := past(t, dir, next)
	for _, line := range strings.Split(was, "\n") {
		if !strings.HasPrefix(line, "{") && !strings.Contains(now, line) {
			t.Errorf("no longer told: %s", line)
		}
	}
	for _, f := range loadDay(t, worked(t, dir, next, true), 20260506).Findings {
		if f.Rule != rulebook.TrainOverdue {
			t.Errorf("judged by the description of yesterday: %s %s", f.Rule, f.Text)
		}
	}
	v, err := register.Verify(t.Context(), filepath.Join(dir, register.RegisterName), w.File(), nil, nil)
	if err != nil || len(v.Descriptions) != 2 || v.BoxChanged || len(v.Forged) > 0 || v.Findings == 0 {
		t.Errorf("%+v %v", v, err)
	}
}

func loadDay(t *testing.T, b *register.Book, day int) *register.Day {
	t.Helper()
	d, err := registertest.DayOf(b, 20260506)
	if err != nil {
		t.Fatal(day, err)
	}
	return d
}

// TestAnotherSection: a section that comes in the middle, before the others in the
// file and with lines between theirs, leaves the trains where they are, also at the
// next opening from what was kept; one that goes, and another clock, are refused.
func TestAnotherSection(t *testing.T) {
	dir := t.TempDir()
	b, err := registertest.Make(dir, describedBox, describedBook)
	if err != nil {
		t.Fatal(err)
	}
	b.Close()
	rewrite(t, dir, "  - neighbour: Coldbeck", "  - neighbour: Beech\n    method: one-train\n    lines: [{name: Branch}]\n  - neighbour: Coldbeck")
	rewrite(t, dir, "{name: Up Main, way: out}, ", "{name: Up Loop, way: out}, {name: Up Main, way: out}, ")
	now := time.Date(2026, 5, 5, 10, 46, 0, 0, time.UTC)
	for day := range 3 {
		w := worked(t, dir, now.AddDate(0, 0, day), false)
		if err := w.Describe(); err != nil {
			t.Fatal(err)
		}
		s := w.State()
		for _, train := range s.Trains {
			if at := s.On(train.Out.Line); train.Name == "2P07" && (len(at) != 1 || w.Box().Sections[train.Out.Section].Neighbour != "Coldbeck") {
				t.Errorf("day %d: %+v stands on %v", day, train, at)
			}
		}
		if len(s.Lines) != 5 || s.Tokens[0].Out != 6 || len(w.Box().Sections) != 3 {
			t.Fatalf("day %d: %d lines, token %d out, %d sections", day, len(s.Lines), s.Tokens[0].Out, len(w.Box().Sections))
		}
		if err := registertest.Log(w, "note \"a day\""); err != nil {
			t.Fatal(err)
		}
		w.Close()
	}
	v, err := register.Verify(t.Context(), filepath.Join(dir, register.RegisterName), nil, nil, nil)
	if err != nil || !v.Replayed || len(v.Forged) > 0 {
		t.Errorf("%+v %v", v, err)
	}
	for old, text := range map[string]string{"neighbour: Beech": "neighbour: Ash", "Europe/London": "Europe/Paris"} {
		rewrite(t, dir, old, text)
		w := worked(t, dir, now.AddDate(0, 0, 3), false)
		if err := registertest.Log(w, "note \"x\""); !errors.Is(err, register.ErrOtherBox) {
			t.Errorf("%s: %v", text, err)
		}
		w.Close()
		rewrite(t, dir, text, old)
	}
}

// TestAnOlderRegister keeps no description: the present file serves and it is said
// so, and the first entry written to it keeps one, which serves for all before it.
func TestAnOlderRegister(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), []byte(describedBox), 0o600); err != nil {
		t.Fatal(err)
	}
	st, err := store.Create(filepath.Join(dir, register.RegisterName), store.Meta{Railway: "x", Box: "Ennerholme", Zone: "Europe/London", Created: 1})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := st.Append(store.Draft{At: 1_777_968_000, Recorded: 1_777_968_000, Day: 20260505, Line: "09:00 Saltgarth <1 >1"}); err != nil {
		t.Fatal(err)
	}
	st.Close()
	at := time.Unix(1_777_968_060, 0)
	b := worked(t, dir, at, true)
	if got := b.Described(1).Words(); !strings.Contains(got, "keeps no description") {
		t.Error(got)
	}
	w := worked(t, dir, at, false)
	if err := registertest.Log(w, `note "x"`); err != nil {
		t.Fatal(err)
	}
	if got := w.Recent()[1].Line; !strings.HasSuffix(got, `"kept for the first time"`) {
		t.Error(got)
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	if _, err := w.Store().Backup(context.Background(), copied, nil); err != nil {
		t.Fatal(err)
	}
	w.Close()
	rewrite(t, dir, "rules: british-later\n", "rules: british-later\nlimits: {late-after: 600}\n")
	file, err := boxfile.Load(filepath.Join(dir, register.BoxFileName))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{copied, filepath.Join(dir, register.RegisterName)} {
		v, err := register.Verify(t.Context(), path, file, nil, nil)
		if err != nil || len(v.Descriptions) != 1 || v.Descriptions[0].Text != describedBox || !v.BoxChanged {
			t.Errorf("%s: %+v %v", path, v, err)
		}
	}
}
