package register

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
	"fairhand/register/store"
)

const importBox = `railway: Test Railway
box: A
timezone: Europe/London
rules: british-later
sections:
  - neighbour: B
    method: token
    lines: [{name: Single}]
    tokens: {charge: "1-12", here: "1-6"}
people: [{name: A. Fell, role: signaller}, {name: R. Howe, role: signaller}]
`

// importBook makes an empty register whose clock stands at noon on 5 May 2026.
func importBook(t *testing.T) *Book {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, BoxFileName), []byte(importBox), 0o644); err != nil {
		t.Fatal(err)
	}
	b, err := Create(dir, Options{Now: func() time.Time { return time.Date(2026, 5, 5, 11, 0, 0, 0, time.UTC) }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return b
}

func storedLines(t *testing.T, b *Book) []string {
	t.Helper()
	rows, err := b.Store().Range(1, 1<<40)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, r := range rows {
		out = append(out, strings.TrimSpace(r.Writer+" | "+r.Line))
	}
	return out
}

const morning = `date 2026-05-01
06:00 duty on "A. Fell"
06:10 note "first"
06:20 correct 2 "06:11 note \"the first\""
06:30 message from Control "is 2P01 away?"
06:31 message to Control answers 4 "yes"
06:40 correct 5 "06:31 message to Control answers 4 \"yes, at 06:29\""
`

// The book of another box is refused, whole or tried: it would stay for ever. One with a
// wrong name among its lines is taken.
func TestImportOfAnotherBox(t *testing.T) {
	b := importBook(t)
	foreign := "date 2026-05-01\n" + strings.Repeat("06:00 Ennerhulme <1 >1\n", 3)
	for _, dry := range []bool{true, false} {
		if _, err := b.Import(t.Context(), strings.NewReader(foreign+"06:05 note \"x\"\n"), ImportOptions{DryRun: dry}); !errors.Is(err, ErrForeign) {
			t.Errorf("taken with %v", err)
		}
	}
	if got := storedLines(t, b); len(got) != 0 {
		t.Errorf("written: %q", got)
	}
	own := b.Box().Sections[0].Neighbour
	if _, err := b.Import(t.Context(), strings.NewReader("date 2026-05-01\n06:00 Ennerhulme <1 >1\n"+strings.Repeat("06:00 "+own+" <1 >1\n", 3)), ImportOptions{}); err != nil {
		t.Error(err)
	}
}

func TestImportRenumbers(t *testing.T) {
	b := importBook(t)
	if err := logLine(b, `date 2026-04-30 ; 10:00 note "before" written 2026-05-05 12:00`); err != nil {
		t.Fatal(err)
	}
	in, err := b.Import(t.Context(), strings.NewReader(morning), ImportOptions{Transcription: "paper book 3"})
	if err != nil {
		t.Fatal(err)
	}
	if in.First != 2 || in.Last != 9 || in.FirstDay != 20260501 || in.LastDay != 20260501 {
		t.Errorf("imported %+v", in)
	}
	want := []string{
		`| 10:00 note "before" written 2026-05-05 12:00`,
		`| 06:00 transcribed "paper book 3"`,
		`| 06:00 duty on "A. Fell"`,
		`A. Fell | 06:10 note "first"`,
		`A. Fell | 06:20 correct 4 "06:11 note \"the first\""`,
		`A. Fell | 06:30 message from Control "is 2P01 away?"`,
		`A. Fell | 06:31 message to Control answers 6 "yes"`,
		`A. Fell | 06:40 correct 7 "06:31 message to Control answers 6 \"yes, at 06:29\""`,
		`A. Fell | 06:40 transcribed to here`,
	}
	if diff := cmp.Diff(want, storedLines(t, b)); diff != "" {
		t.Errorf("register (-want +got):\n%s", diff)
	}
	if got := b.State().Messages; len(got) != 0 {
		t.Errorf("the answered message is still open: %v", got)
	}
	if b.Writer() != "A. Fell" {
		t.Errorf("on duty after the import: %q", b.Writer())
	}
	for _, r := range must(b.Store().Range(2, 8)) {
		if r.Recorded != int64(b.Now()) {
			t.Errorf("entry %d says it was written at %d, the import was at %d", r.Seq, r.Recorded, b.Now())
		}
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// TestImportAsChecked: two roads to one place. The findings of an import into an
// empty register are those of Check on the same book, and the register opened
// again stands as it did after the import.
func TestImportAsChecked(t *testing.T) {
	book := morning + "07:00 B token 3 out\n07:01 B token 4 out\n07:05 B <1 >1 <2-1 >2-1\n"
	b := importBook(t)
	in, err := b.Import(t.Context(), strings.NewReader(book), ImportOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var rules, checked []rulebook.RuleID
	for _, f := range in.Findings {
		rules = append(rules, f.Rule)
	}
	sum, err := Check(t.Context(), b.Box(), b.Location(), strings.NewReader(book), func(f block.Finding) error {
		if f.Answered == 0 {
			checked = append(checked, f.Rule)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(rules) == 0 {
		t.Fatal("no findings to compare")
	}
	if diff := cmp.Diff(checked[:len(rules)], rules); diff != "" {
		t.Errorf("findings of check and import (-check +import):\n%s", diff)
	}
	again := must(Open(b.Dir, Options{ReadOnly: true}))
	defer again.Close()
	if diff := cmp.Diff(sum.State.Tokens[0].Where, again.State().Tokens[0].Where); diff != "" {
		t.Errorf("tokens after check and after opening again:\n%s", diff)
	}
	v, err := Verify(context.Background(), filepath.Join(b.Dir, RegisterName), b.File(), nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if v.Entries != int64(sum.Entries) || v.Corrected != 2 || v.Findings != len(in.Findings) {
		t.Errorf("verified %+v", v)
	}
}

func TestImportAllOrNothing(t *testing.T) {
	for name, c := range map[string]struct {
		book string
		opt  ImportOptions
		want string
	}{
		"syntax":          {"date 2026-05-01\n06:00 note \"a\"\n06:01 nota\n", ImportOptions{}, "line 3, column"},
		"empty":           {"# nothing\n", ImportOptions{}, "no entries"},
		"no such entry":   {"date 2026-05-01\n06:00 note \"a\"\n06:01 explain 2 \"b\"\n", ImportOptions{}, "line 3, column 1: there is no entry 2"},
		"bad correction":  {"date 2026-05-01\n06:00 note \"a\"\n06:01 correct 2 \"06:00 note \\\"b\\\"\"\n", ImportOptions{}, "line 3, column 1: there is no entry 2"},
		"older":           {"date 2026-04-30\n06:00 note \"a\"\n", ImportOptions{}, "not later than the register: it begins on 2026-04-30 and the register has entries up to 2026-04-30"},
		"source too long": {"date 2026-05-01\n06:00 note \"a\"\n", ImportOptions{Transcription: strings.Repeat("x", 20_000)}, "cannot be written as one entry"},
		"source unclean":  {"date 2026-05-01\n06:00 note \"a\"\n", ImportOptions{Transcription: "a\x07b"}, "source of the transcription"},
	} {
		t.Run(name, func(t *testing.T) {
			b := importBook(t)
			if err := logLine(b, `date 2026-04-30 ; 10:00 note "before"`); err != nil {
				t.Fatal(err)
			}
			_, err := b.Import(t.Context(), strings.NewReader(c.book), c.opt)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q", err, c.want)
			}
			if n := len(storedLines(t, b)); n != 1 {
				t.Errorf("%d entries in the register, want the one before", n)
			}
		})
	}
}

func TestImportOlderAndDry(t *testing.T) {
	b := importBook(t)
	if err := logLine(b, `note "today"`); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Import(t.Context(), strings.NewReader(morning), ImportOptions{}); !errors.Is(err, ErrOlder) {
		t.Errorf("error %v, want ErrOlder", err)
	}
	in, err := b.Import(t.Context(), strings.NewReader(morning), ImportOptions{Older: true, DryRun: true})
	if err != nil || in.First != 2 || in.Last != 7 || len(storedLines(t, b)) != 1 {
		t.Errorf("dry run: %+v %v", in, err)
	}
	if b.Writer() != "" {
		t.Errorf("a dry run signed %q on", b.Writer())
	}
	if in, err = b.Import(t.Context(), strings.NewReader(morning), ImportOptions{Older: true}); err != nil || in.Last != 7 {
		t.Errorf("with Older: %+v %v", in, err)
	}
}

// TestVerifyBox: the line and the record beside it must agree, and the box file
// must be the register's own.
func TestVerifyBox(t *testing.T) {
	b := importBook(t)
	other, err := boxfile.Decode(strings.NewReader(strings.Replace(importBox, "box: A", "box: C", 1)), "other.yaml")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(b.Dir, RegisterName)
	if _, err := Verify(context.Background(), path, other, nil, nil); err == nil || !strings.Contains(err.Error(), "register of A") {
		t.Errorf("with another box file: %v", err)
	}
	row := must(b.Store().Append(store.Draft{At: 1777617000, Recorded: 1777617000, Day: 20260501, Line: `06:00 note "x"`}))
	_, err = Verify(context.Background(), path, b.File(), nil, nil)
	var bad *notation.Error
	if !errors.As(err, &bad) || !strings.Contains(err.Error(), "another moment") {
		t.Errorf("line of 06:00 kept at %d: %v", row.At, err)
	}
}

// TestImportKeepsItsPlace: after a book of several days the register opens from
// the end of the last but one, and stands as it does when replayed from entry 1.
func TestImportKeepsItsPlace(t *testing.T) {
	b := importBook(t)
	var text strings.Builder
	for day := 1; day <= 5; day++ {
		fmt.Fprintf(&text, "date 2026-05-%02d\n06:00 duty on \"A. Fell\"\n10:00 B >1 <1 >3-1 <3-1 train 2P%02d\n10:01 B token %d out\n11:00 duty off \"A. Fell\"\n", day, day, day)
	}
	if _, err := b.Import(t.Context(), strings.NewReader(text.String()), ImportOptions{}); err != nil {
		t.Fatal(err)
	}
	if shot, ok := b.Store().LastSnapshot(b.program); !ok || shot.Seq != 16 {
		t.Errorf("newest snapshot is of entry %d (%v), want 16, the end of 4 May", shot.Seq, ok)
	}
	before := must(json.Marshal(b.State()))
	if err := b.Store().DropSnapshotsFrom(b.program, 0); err != nil {
		t.Fatal(err)
	}
	again := must(Open(b.Dir, Options{ReadOnly: true}))
	defer again.Close()
	if diff := cmp.Diff(string(before), string(must(json.Marshal(again.State())))); diff != "" {
		t.Errorf("opened from the snapshots and from entry 1:\n%s", diff)
	}
}
