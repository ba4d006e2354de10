package store

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// salvage salvages path and gives what was made: the report, the numbers of the
// sound register, and those of the rest.
func salvage(t *testing.T, path string) (Salvaged, []Row) {
	t.Helper()
	dst := filepath.Join(t.TempDir(), "sound.db")
	var rest []Row
	got, err := Salvage(t.Context(), path, dst, "", func(r *Row, proved bool) error {
		if proved != r.Intact() {
			t.Errorf("entry %d proved: %v", r.Seq, proved)
		}
		rest = append(rest, *r)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	s := must(Open(dst))(t)
	defer s.Close()
	if r := must(s.Verify(nil))(t); r.Tail != got.Proved {
		t.Errorf("the sound register ends with %+v, told %+v", r.Tail, got.Proved)
	}
	for i, r := range must(s.Range(1, 1<<40))(t) {
		if d := draft(i); r.Line != d.Line || r.At != d.At {
			t.Fatalf("entry %d is %q", i+1, r.Line)
		}
	}
	return got, rest
}

func TestSalvage(t *testing.T) {
	for _, c := range []struct {
		name    string
		entries int
		forgery []string
		proved  int64
		rest    string // From-To, with ! where not proved
	}{
		{"nothing wrong", 2500, nil, 2500, "[]"},
		{"the second", 50, []string{"UPDATE entry SET line = 'x' WHERE seq = 2"}, 1, "[2-2! 3-50]"},
		{"one line", 2500, []string{"UPDATE entry SET line = 'x' WHERE seq = 1234"}, 1233, "[1234-1234! 1235-2500]"},
		{"a hash", 2500, []string{"UPDATE entry SET hash = zeroblob(32) WHERE seq = 1234"}, 1233, "[1234-1235! 1236-2500]"},
		{"the first", 50, []string{"UPDATE entry SET line = 'x' WHERE seq = 1"}, 0, "[1-1! 2-50]"},
		{"the last", 50, []string{"UPDATE entry SET line = 'x' WHERE seq = 50"}, 49, "[50-50!]"},
		{"entries taken out", 5000, []string{"DELETE FROM entry WHERE seq BETWEEN 900 AND 4100"}, 899, "[4101-4101! 4102-5000]"},
		{"a number far off", 50, []string{"INSERT INTO entry SELECT 1 << 40, at, recorded, day, writer, line, hash FROM entry WHERE seq = 50"}, 50, "[1099511627776-1099511627776!]"},
		{"the greatest number", 50, []string{"INSERT INTO entry SELECT 9223372036854775807, at, recorded, day, writer, line, hash FROM entry WHERE seq = 50"}, 50, "[9223372036854775807-9223372036854775807!]"},
		{"index and triggers gone", 50, []string{"DROP INDEX entry_day"}, 50, "[]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := filled(t, c.entries)
			s.Close()
			forge(t, s.Path(), c.forgery...)
			got, rest := salvage(t, s.Path())
			text := []string{}
			for _, p := range got.Rest {
				text = append(text, fmt.Sprintf("%d-%d%s", p.From, p.To, map[bool]string{false: "!"}[p.Proved]))
			}
			if got.Proved.Seq != c.proved || fmt.Sprint(text) != c.rest {
				t.Errorf("proved to %d, rest %v, want %d and %s", got.Proved.Seq, text, c.proved, c.rest)
			}
			for i := 1; i < len(rest); i++ {
				if rest[i].Seq <= rest[i-1].Seq {
					t.Errorf("entry %d after %d", rest[i].Seq, rest[i-1].Seq)
				}
			}
		})
	}
}

// A file that was cut off anywhere, or in which a page was overwritten: what is
// whole is had, up to a page of entries before the damage.
func TestSalvageOfBrokenFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("two minutes under the race detector, and nothing runs beside it")
	}
	path, content, _ := bigFile(t, 2000)
	if _, err := OpenReadOnly(path); err != nil {
		t.Fatal(err)
	}
	had := []int64{}
	for _, keep := range []int{len(content) / 4, len(content) / 2, len(content) - 4096, len(content) - 1500} {
		cut := filepath.Join(t.TempDir(), "cut.db")
		if err := os.WriteFile(cut, content[:keep], 0o600); err != nil {
			t.Fatal(err)
		}
		got, _ := salvage(t, cut)
		had = append(had, got.Proved.Seq)
	}
	if !slices.IsSorted(had) || had[0] == 0 || had[3] < 1900 {
		t.Errorf("of 2000 entries %v could be had from a quarter, a half, all but a page, all but half a page", had)
	}
	t.Logf("of 2000 entries %v", had)
	holed := slices.Clone(content)
	middle := len(content) / 2 / 4096 * 4096
	clear(holed[middle : middle+4096])
	hole := filepath.Join(t.TempDir(), "hole.db")
	if err := os.WriteFile(hole, holed, 0o600); err != nil {
		t.Fatal(err)
	}
	got, rest := salvage(t, hole)
	if n := got.Proved.Seq + int64(len(rest)); n < 1900 {
		t.Errorf("a page of %d bytes cost %d entries: %+v", 4096, 2000-n, got)
	}
	clear(content[:4096])
	if err := os.WriteFile(hole, content, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Salvage(t.Context(), hole, filepath.Join(t.TempDir(), "x.db"), "", nil); err == nil {
		t.Error("a file without a heading was salvaged")
	}
}

// A register whose first description was changed is saved whole with the text that the
// chain begins with; without it all entries are told to be of one chain, and no copy is
// made of what cannot be proved from its beginning. So with another change of the heading.
func TestSalvageWithoutHeading(t *testing.T) {
	meta := ennerholme
	meta.Description = "box: Ennerholme\n"
	path := filepath.Join(t.TempDir(), "register.db")
	s := must(Create(path, meta))(t)
	must(s.AppendBatch(drafts(0, 30)))(t)
	s.Close()
	db := raw(t, path)
	must(db.Exec("DROP TRIGGER description_no_update; UPDATE description SET text = 'box: Elsewhere'"))(t)
	none := func(*Row, bool) error { return nil }
	dst := filepath.Join(t.TempDir(), "saved.db")
	got := must(Salvage(t.Context(), path, dst, "box: another\n", none))(t)
	if _, err := os.Stat(dst); !got.Headless || got.Proved.Seq != 0 || fmt.Sprint(got.Rest) != "[{1 30 true}]" || err == nil {
		t.Errorf("without the first description: %+v", got)
	}
	got = must(Salvage(t.Context(), path, dst, meta.Description, none))(t)
	saved := must(OpenReadOnly(dst))(t)
	defer saved.Close()
	if r := must(saved.Verify(nil))(t); got.Headless || r.Entries != 30 || saved.Meta() != meta {
		t.Errorf("with it: %+v, %+v", got, saved.Meta())
	}
	must(db.Exec("DROP TRIGGER meta_no_update; UPDATE meta SET value = 'Elsewhere' WHERE key = 'box'"))(t)
	got = must(Salvage(t.Context(), path, filepath.Join(t.TempDir(), "saved.db"), meta.Description, none))(t)
	if !got.Headless || len(got.Rest) != 1 {
		t.Errorf("of another box: %+v", got)
	}
}

// Replace keeps the old file, whatever it is, and touches nothing when the copy
// cannot be proved.
func TestReplace(t *testing.T) {
	s := filled(t, 60)
	dir := t.TempDir()
	path, kept := filepath.Join(dir, "register.db"), filepath.Join(dir, "kept.db")
	must(s.Replace(t.Context(), path, kept, nil))(t) // nothing there
	if got, want := dump(t, path), dump(t, s.Path()); got != want {
		t.Error("the restored register differs")
	}
	if _, err := os.Lstat(kept); err == nil {
		t.Error("something was kept where nothing was")
	}
	damaged := []byte("a register no more")
	if err := os.WriteFile(path, damaged, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path+"-journal", []byte("what a killed program left"), 0o600); err != nil {
		t.Fatal(err)
	}
	must(s.Replace(t.Context(), path, kept, nil))(t)
	if got := must(os.ReadFile(kept))(t); string(got) != string(damaged) {
		t.Errorf("kept %q", got)
	}
	if _, err := os.Lstat(path + "-journal"); err == nil {
		t.Error("the old journal lies beside the new register")
	}
	must(must(OpenReadOnly(path))(t).Verify(nil))(t)
	_, err := s.Replace(t.Context(), path, kept, nil)
	wantIs(t, err, fs.ErrExist, kept)

	before := must(os.ReadFile(path))(t)
	forge(t, s.Path(), "UPDATE entry SET line = 'x' WHERE seq = 9")
	_, err = s.Replace(t.Context(), path, kept+"2", nil)
	wantIs(t, err, ErrDamaged, "entry 9", "is as it was")
	if string(must(os.ReadFile(path))(t)) != string(before) {
		t.Error("the register was touched")
	}
	if left := must(filepath.Glob(filepath.Join(dir, "*")))(t); len(left) != 3 { // with the old journal
		t.Errorf("left: %q", left)
	}
}
