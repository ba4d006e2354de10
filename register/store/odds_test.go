package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A description is that of the entry by which it came, and of those after it; a file of
// version 1 has none.
func TestDescribedAtItsEntry(t *testing.T) {
	s := filled(t, 3)
	text := "box: Ennerholme\n"
	d := draft(3)
	d.Line = "04:10 box described " + Digest(text)
	must(s.AppendDescription(d, text))(t)
	for seq, want := range map[int64]string{3: "", 4: Digest(text)} {
		if got := must(s.HeadAt(seq))(t).Described; got != want {
			t.Errorf("at entry %d %q, want %q", seq, got, want)
		}
	}
	old := filled(t, 3)
	must(raw(t, old.Path()).Exec("DROP TABLE description; PRAGMA user_version = 1"))(t)
	if got := must(old.HeadAt(3))(t).Described; got != "" {
		t.Errorf("in a file of version 1: %q", got)
	}
}

// A list of descriptions that was edited is told, by whoever reads it.
func TestDescriptionsOutOfForm(t *testing.T) {
	for _, c := range []struct{ rows, list, first string }{
		{"(0, 'a'), (0, 'b')", "description of the box", ""}, // the first is there: those who read on are told
		{"(0, NULL), (1, 'b')", "read the descriptions of the box", "read the descriptions of the box"},
	} {
		s := filled(t, 3)
		must(raw(t, s.Path()).Exec("DROP TABLE description; CREATE TABLE description(entry, text); INSERT INTO description VALUES " + c.rows))(t)
		if _, err := s.Descriptions(-1); err == nil || !strings.Contains(err.Error(), c.list) {
			t.Errorf("%s: %v", c.rows, err)
		}
		if _, err := s.firstDescription(); (err == nil) != (c.first == "") || err != nil && !strings.Contains(err.Error(), c.first) {
			t.Errorf("%s: the first: %v", c.rows, err)
		}
	}
}

// The engine looks beside the file that a link leads to, and so is what lies there looked
// at; a name that leads nowhere is left as it is. A journal that is gone again is none.
func TestBesideALink(t *testing.T) {
	s := filled(t, 3)
	link, nowhere := filepath.Join(t.TempDir(), "link.db"), filepath.Join(t.TempDir(), "nowhere.db")
	if err := os.Symlink(s.Path(), link); err != nil {
		t.Skip(err) // Windows wants a permission for it
	}
	if _, err := os.Stat(link); err != nil {
		t.Skip(err) // wine makes a link that leads nowhere
	}
	if err := checkJournal(link); err != nil {
		t.Errorf("no journal: %v", err)
	}
	if got := behindLinks(nowhere); got != nowhere {
		t.Errorf("%q", got)
	}
	must(0, os.WriteFile(s.Path()+walEnding, []byte("anything"), 0o600))(t)
	r, err := OpenReadOnly(link)
	if err == nil {
		r.Close()
	}
	wantIs(t, err, ErrForeign, walEnding, "nothing was touched")
}

// An inner page whose numbers do not rise is told: by halves another entry is found on it
// than along it.
func TestNumbersOnAnInnerPageRise(t *testing.T) {
	page := make([]byte, 64)
	page[0] = 5
	binary.BigEndian.PutUint16(page[3:], 2)
	binary.BigEndian.PutUint32(page[8:], 9)
	for i, last := range []byte{20, 10} {
		at := 40 + 8*i
		binary.BigEndian.PutUint16(page[12+2*i:], uint16(at))
		binary.BigEndian.PutUint32(page[at:], uint32(7+i))
		page[at+4] = last
	}
	if level, rises := below(nil, string(page), 1, 30); rises {
		t.Errorf("20, then 10: %v", level)
	}
	page[40+4] = 5
	if level, rises := below(nil, string(page), 1, 30); !rises || fmt.Sprint(level) != "[7 8 9]" {
		t.Errorf("5, then 10: %v %v", level, rises)
	}
}

// A number with a fraction (type 7 of the file format) is none of ours.
func TestFieldsAreWhole(t *testing.T) {
	if f := (fields{types: "\x07", body: "12345678"}); f.whole() != 0 || !f.bad {
		t.Error("a fraction is taken for a whole number")
	}
	if f := (fields{types: "\x06", body: "\x00\x00\x00\x00\x00\x00\x01\x02"}); f.whole() != 258 || f.bad {
		t.Error("a number of eight bytes is not read")
	}
}

// What is wrong behind the entries that are looked at is not theirs.
func TestDiagnosedWithinItsSpan(t *testing.T) {
	s := filled(t, 6)
	forge(t, s.Path(), "UPDATE entry SET line = 'x' WHERE seq = 6")
	damageIs(t, s.diagnose(1, 5, errChunk), s.Path(), 1, Changed, "among entries 1 to 5")
}

// A state longer than any that is taken is not kept.
func TestNoLongStateIsKept(t *testing.T) {
	s := filled(t, 2)
	n := snapshotAt(s, t, 2, "")
	n.State = make([]byte, maxState+1)
	if err := s.PutSnapshot(n); err != nil {
		t.Fatal(err)
	}
	if kept := must(s.number("count", "SELECT count(*) FROM snapshot"))(t); kept != 0 {
		t.Errorf("%d kept", kept)
	}
}

// A snapshot that the engine stumbles over when it is to be dropped stays, being none that
// could be taken for good; those beside it go.
func TestSnapshotsDroppedOneByOne(t *testing.T) {
	s := filled(t, 300)
	for _, seq := range []int64{100, 200, 300} {
		if err := s.PutSnapshot(snapshotAt(s, t, seq, strings.Repeat(fmt.Sprint("state ", seq, " "), 2000))); err != nil {
			t.Fatal(err)
		}
	}
	path := s.Path()
	s.Close()
	content := must(os.ReadFile(path))(t)
	const page = 4096
	for at := page; at < len(content); at += page {
		if n := strings.Count(string(content[at+4:at+page]), "state 200 "); n > 380 { // a page of nothing else, which begins with the number of the next
			binary.BigEndian.PutUint32(content[at:], 1<<31)
			break
		}
	}
	s = must(Open(path))(t) // spoilt behind its back: opened after, it is told as damaged
	defer s.Close()
	must(0, os.WriteFile(path, content, 0o600))(t)
	if err := s.DropSnapshotsFrom("test 1", 0); err != nil {
		t.Error(err)
	}
	if left := s.numbers("SELECT seq FROM snapshot"); fmt.Sprint(left) != "[200]" {
		t.Errorf("left: %v", left)
	}
}

// Bytes that were changed by no database are seen once what is kept in memory was forgotten.
func TestForgottenPagesAreReadAnew(t *testing.T) {
	s := filled(t, 3)
	want := must(s.Range(3, 3))(t)[0]
	content := must(os.ReadFile(s.Path()))(t)
	content[placeOf(content, want)] ^= 1
	must(0, os.WriteFile(s.Path(), content, 0o600))(t)
	must(0, s.Forget(t.Context()))(t)
	var d *DamagedError
	if _, err := s.Range(3, 3); !errors.As(err, &d) || d.Entry != 3 {
		t.Errorf("the entry is read as it was: %v", err)
	}
}
