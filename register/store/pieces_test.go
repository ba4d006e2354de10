package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// filledWithDescriptions makes a register of two pieces of a copy, in which entries
// bring in descriptions of the box: the first of all, and those where the pieces meet.
func filledWithDescriptions(t *testing.T) *Store {
	t.Helper()
	s := newStore(t)
	bring := func(i int) {
		d, text := draft(i), fmt.Sprintf("box: Ennerholme\nfrom: %d\n", i+1)
		d.Line = "04:10 box described " + Digest(text) + ` "late-after 10"`
		if r := must(s.AppendDescription(d, text))(t); r.Seq != int64(i+1) {
			t.Fatalf("entry %d", r.Seq)
		}
	}
	bring(0)
	must(s.AppendBatch(drafts(1, copyRows-2)))(t)
	bring(copyRows - 1)
	bring(copyRows)
	must(s.AppendBatch(drafts(copyRows+1, 1)))(t)
	return s
}

// What is copied in pieces is copied whole, each description with the entry that
// brought it in; so is what is salvaged, and a volume of the first entries.
func TestCopiesInPieces(t *testing.T) {
	s := filledWithDescriptions(t)
	dir := t.TempDir()
	path := func(name string) string { return filepath.Join(dir, name) }
	rows, whole := must(s.Range(1, copyRows+2))(t), must(s.Verify(nil))(t)
	texts := must(s.Descriptions(0))(t)
	if len(texts) != 3 || s.Meta().Description != "" {
		t.Fatalf("%+v, %+v", texts, s.Meta())
	}
	told := must(s.Replace(t.Context(), path("restored"), path("kept"), nil))(t)
	again := must(s.Replace(t.Context(), path("restored"), path("kept"), nil))(t) // no journal beside it
	for name, report := range map[string]Report{"restored": told, "again": again, "backup": must(s.Backup(t.Context(), path("backup"), nil))(t),
		"volume of all": must(s.Volume(t.Context(), path("volume"), copyRows+2, nil))(t), "volume of more": must(s.Volume(t.Context(), path("more"), 1<<40, nil))(t)} {
		if d := cmp.Diff(whole, report); d != "" {
			t.Error(name, d)
		}
	}
	salvaged := must(Salvage(t.Context(), s.Path(), path("salvaged"), "", nil))(t)
	if d := cmp.Diff(Salvaged{Meta: ennerholme, Proved: s.Tail()}, salvaged); d != "" {
		t.Error("salvaged:", d)
	}
	first := must(s.Volume(t.Context(), path("first"), 1, nil))(t)
	if first.Entries != 1 || first.Tail != (Tail{1, rows[0].Hash}) {
		t.Errorf("a volume of one entry: %+v", first)
	}
	for name, want := range map[string]int{"restored": copyRows + 2, "kept": copyRows + 2, "backup": copyRows + 2, "volume": copyRows + 2,
		"more": copyRows + 2, "salvaged": copyRows + 2, "first": 1} {
		c := must(OpenReadOnly(path(name)))(t)
		got := must(c.Range(1, 1<<40))(t)
		brought := texts[:min(len(texts), 2*want-1)]
		if c.Meta() != ennerholme || !slices.Equal(got, rows[:want]) || !slices.Equal(must(c.Descriptions(0))(t), brought) {
			t.Errorf("%s: %+v, %d entries", name, c.Meta(), len(got))
		}
		c.Close()
	}
	if left := must(os.ReadDir(dir))(t); len(left) != 7 {
		t.Errorf("left: %v", left)
	}
}

// Salvaging leaves nothing beside what it made, and nothing at all when it is stopped
// or what it hands over is not taken; a name that something has is told at once.
func TestSalvageLeavesNothingElse(t *testing.T) {
	s := filled(t, 5)
	s.Close()
	forge(t, s.Path(), "UPDATE entry SET line = 'x' WHERE seq = 3")
	stopped, stop := context.WithCancel(t.Context())
	stop()
	full := errors.New("no room")
	for name, c := range map[string]struct {
		ctx  context.Context
		rest error
		left int
	}{
		"done":      {t.Context(), nil, 1},
		"stopped":   {stopped, nil, 0},
		"not taken": {t.Context(), full, 0},
	} {
		dir := t.TempDir()
		dst := filepath.Join(dir, "sound.db")
		got, err := Salvage(c.ctx, s.Path(), dst, "", func(*Row, bool) error { return c.rest })
		if want := errors.Join(c.ctx.Err(), c.rest); (err == nil) != (want == nil) || err != nil && !errors.Is(want, err) {
			t.Errorf("%s: %v, want %v", name, err, want)
		}
		if left := must(os.ReadDir(dir))(t); len(left) != c.left || got.Meta != ennerholme {
			t.Errorf("%s: left %v, of %+v", name, left, got)
		}
	}
	_, err := Salvage(t.Context(), s.Path(), s.Path(), "", func(*Row, bool) error { t.Error("went to work"); return nil })
	wantIs(t, err, fs.ErrExist, s.Path()+": salvage to it", "never overwritten")
}

// A description smuggled into the heading of a register that began with none is left out.
func TestSalvageWithoutASmuggledDescription(t *testing.T) {
	s := filled(t, 5)
	s.Close()
	forge(t, s.Path(), "INSERT INTO description VALUES(0, 'box: Elsewhere')")
	dst := filepath.Join(t.TempDir(), "sound.db")
	if got := must(Salvage(t.Context(), s.Path(), dst, "", nil))(t); got.Headless || got.Meta != ennerholme || got.Proved.Seq != 5 {
		t.Errorf("%+v", got)
	}
	must(must(OpenReadOnly(dst))(t).Verify(nil))(t)
}

// Entries that can still be read are read past a page that cannot, past any number of
// gaps, and each once, though the file has it under a number again.
func TestReadableEntries(t *testing.T) {
	numbers := func(s *Store, from int64) (list []int64) {
		var before Row
		for rows := range s.EachReadable(from) {
			for _, r := range rows {
				if r.Seq == before.Seq+1 && before.Seq%chunkRows != 0 && r.Prev != before.Hash {
					t.Errorf("entry %d does not name the one before it", r.Seq)
				}
				before = r
				list = append(list, r.Seq)
			}
		}
		return list
	}
	path, content, rows := bigFile(t, 1200)
	const page = 4096
	at := placeOf(content, rows[599]) / page * page
	var want []int64
	for _, r := range rows {
		if placeOf(content, r)/page*page != at {
			want = append(want, r.Seq)
		}
	}
	holed := slices.Clone(content)
	holed[at] = 0xff // no kind of page (SQLite file format, b-tree page header)
	if err := os.WriteFile(path, holed, 0o600); err != nil {
		t.Fatal(err)
	}
	s := must(openDamaged(path))(t)
	if got := numbers(s, 1); !slices.Equal(got, want) || len(got) < 1000 {
		t.Errorf("%d of %d entries outside the page that cannot be read", len(got), len(want))
	}
	s.Close()
	if got, _ := salvage(t, path); got.Proved.Seq+1 != firstMissing(want) || len(got.Rest) != 2 || got.Rest[0].From != got.Proved.Seq+1+int64(1200-len(want)) {
		t.Errorf("%+v", got)
	}

	far := filled(t, 30)
	far.Close()
	forge(t, far.Path(), fmt.Sprintf("UPDATE entry SET seq = seq * %d + 7 WHERE seq > 1", chunkRows))
	s = must(openDamaged(far.Path()))(t)
	got := numbers(s, 1)
	if len(got) != 30 || got[29] != 30*chunkRows+7 {
		t.Errorf("entries far apart: %v", got)
	}
	if got := numbers(s, 30*chunkRows+7); len(got) != 1 {
		t.Errorf("the last: %v", got)
	}
	s.Close()
}

func firstMissing(list []int64) int64 {
	for i, n := range list {
		if n != int64(i+1) {
			return int64(i + 1)
		}
	}
	return int64(len(list) + 1)
}

// An entry whose number was changed in the file, not in its place, stands under
// another's: it is not found by its number. It is named, and salvaged once.
func TestNumberChangedInItsPlace(t *testing.T) {
	path, content, rows := bigFile(t, 60)
	for _, number := range []byte{10, 29} {
		forged := slices.Clone(content)
		entry := strings.LastIndex(string(forged), rows[29].Line+string(rows[29].Hash[:])) // before it what the page was made of
		place := strings.LastIndex(string(forged[:entry]), "\x1e\x08\x00")                 // 30, and how a record begins
		forged[place] = number
		s, err := examine(t, path, forged)
		damageIs(t, err, path, 30, OutOfOrder, fmt.Sprintf("entry %d stands here", number))
		s.Close()
		got := must(Salvage(t.Context(), path, filepath.Join(t.TempDir(), "sound.db"), "", func(*Row, bool) error { return nil }))(t)
		if want := "[{31 31 false} {32 60 true}]"; got.Proved.Seq != 29 || fmt.Sprint(got.Rest) != want {
			t.Errorf("salvaged %+v, want the rest %s", got, want)
		}
	}
}
