package reading

import (
	"database/sql"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// describedAnew is a register that began with plainBox and was brought two
// descriptions by entries 2 and 4, each the same box with a signal more.
func describedAnew(t *testing.T) (*store.Store, []string) {
	t.Helper()
	signal := "signals:\n  - {name: \"1\", section: Saltgarth, line: Up Main, kind: section}\n"
	texts := []string{plainBox, plainBox + signal, plainBox + signal + "  - {name: \"2\", section: Saltgarth, line: Down Main, kind: home}\n"}
	loc := london(t)
	st, err := store.Create(filepath.Join(t.TempDir(), "register.db"), store.Meta{Railway: "Thrackley Vale Railway", Box: "Ennerholme", Zone: loc.String(), Created: 1, Description: texts[0]})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	for i := range 5 {
		at := block.Time(1_000 + 60*i)
		ev := block.Event{At: at, Kind: block.Note, Text: "a"}
		if i == 1 || i == 3 {
			ev = block.Event{At: at, Kind: block.Described, Subject: store.Digest(texts[(i+1)/2])}
		}
		d := store.Draft{At: int64(at), Recorded: int64(at), Day: calendar.Of(at, loc), Line: notation.Format(ev, loc)}
		if ev.Kind == block.Described {
			_, err = st.AppendDescription(d, texts[(i+1)/2])
		} else {
			_, err = st.AppendBatch([]store.Draft{d})
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return st, texts
}

// An entry is read with the box as it was described when it was written: also by a
// reader made before the description came in, and of a register that kept none.
func TestDescribed(t *testing.T) {
	st, texts := describedAnew(t)
	r := Of(st, london(t))
	for after, want := range map[int64]int64{0: 0, 1: 0, 2: 2, 3: 2, 4: 4, 99: 4} {
		if d, err := r.Described(after); err != nil || d.Entry != want {
			t.Errorf("after entry %d: %+v, %v; want the description of entry %d", after, d, err, want)
		}
	}
	text := texts[2] + "# a remark\n"
	line := notation.Format(block.Event{At: 2000, Kind: block.Described, Subject: store.Digest(text)}, london(t))
	if _, err := st.AppendDescription(store.Draft{At: 2000, Recorded: 2000, Day: calendar.Of(block.Time(2000), london(t)), Line: line}, text); err != nil {
		t.Fatal(err)
	}
	if all, err := r.Descriptions(); err != nil || len(all) != 4 || all[3].Entry != 6 {
		t.Errorf("%d descriptions, %v; want 4 with that of entry 6", len(all), err)
	}
	if d, err := Of(registerOf(t, "date 2026-05-05\n10:00 note \"a\"\n"), london(t)).Described(1); d != nil || err != nil {
		t.Errorf("%v, %v of a register that keeps none", d, err)
	}
}

// A description that is not the one its entry names, or that is gone, is damage of
// that entry, by name: nothing is read with another box in its stead.
func TestDescriptionNotKept(t *testing.T) {
	for _, forgery := range []string{
		"UPDATE description SET text = text || '# x' WHERE entry = 4",
		"UPDATE description SET entry = 3 WHERE entry = 4",
		"UPDATE description SET entry = 99 WHERE entry = 4",
		"DELETE FROM description WHERE entry = 4",
	} {
		t.Run(forgery, func(t *testing.T) {
			st, _ := describedAnew(t)
			db, err := sql.Open("sqlite", st.Path())
			if err != nil {
				t.Fatal(err)
			}
			defer db.Close()
			for _, do := range []string{"DROP TRIGGER description_no_update", "DROP TRIGGER description_no_delete", forgery} {
				if _, err := db.Exec(do); err != nil {
					t.Fatal(err)
				}
			}
			for e, fault := range Of(st, london(t)).Entries(t.Context(), Span{}) {
				if err = fault; err != nil {
					break
				}
				if e.Event.Kind == block.Described && (e.Event.Box == nil || e.Seq == 4) {
					t.Errorf("entry %d was read with %v", e.Seq, e.Event.Box)
				}
			}
			for name, read := range map[string]func(Register) error{
				"Described":    func(r Register) error { _, err := r.Described(9); return err },
				"Descriptions": func(r Register) error { _, err := r.Descriptions(); return err },
			} {
				if err := read(Of(st, london(t))); err == nil && !strings.HasPrefix(forgery, "DELETE") {
					t.Errorf("%s: nothing is told", name)
				}
			}
			var d *store.DamagedError
			if !errors.As(err, &d) || d.Entry < 3 || d.Entry > 4 && d.Entry != 99 || d.Path != st.Path() || !strings.Contains(err.Error(), "description of the box") {
				t.Errorf("%v, want damage of the entry that brings it in", err)
			}
		})
	}
}
