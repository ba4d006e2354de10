package audit

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/register"
	"fairhand/register/store"
)

// farEntries is more than are read, decoded and replayed at any one time.
const farEntries = 18_500

// longBook is a register with that many entries, a fault in
// its first hour, and what is said of it at the very end.
func longBook(t *testing.T, last ...string) *register.Book {
	t.Helper()
	b := newRegister(t, testBox)
	var list []store.Draft
	entry := func(line string) {
		list = append(list, store.Draft{At: 631180800, Recorded: 631180800, Day: 19900101, Line: line})
	} // 1990-01-01 08:00
	entry(`08:00 train 2P99 arrived from Saltgarth at "Platform 1" complete`)
	for len(list) < farEntries {
		entry(`08:00 note "x"`)
	}
	for _, line := range last {
		entry(line)
	}
	must(b.Store().AppendBatch(list))(t)
	return b
}

// TestPointersFromFar holds that a correction and an explanation reach an entry
// however far back, and near ones too when the book is read again for that.
func TestPointersFromFar(t *testing.T) {
	far := `entered-without-acceptance`
	find := func(r *Report) *RuleReport {
		for i := range r.Rules {
			if r.Rules[i].Rule == far {
				return &r.Rules[i]
			}
		}
		return nil
	}
	plain := auditRegister(t, longBook(t), Options{})
	if x := find(plain); x == nil || x.Count != 1 || x.Unexplained != 1 {
		t.Fatalf("the planted fault is not found: %+v", plain.Rules)
	}
	explained := auditRegister(t, longBook(t, `08:00 explain 1 "told by telephone"`), Options{})
	if x := find(explained); x == nil || x.Unexplained != 0 || x.Details[0].Remarks[0].Text != "told by telephone" {
		t.Errorf("explained from far: %+v", x)
	}
	begun := 0
	opt := Options{Progress: func(done, total int64) {
		if done <= 1000 {
			begun++
		}
	}}
	corrected := auditRegister(t, longBook(t, `08:00 correct 18000 "08:00 note \"y\""`, `08:00 correct 1 "08:00 note \"nothing came\""`), opt)
	if x := find(corrected); x != nil {
		t.Errorf("corrected from far and still found: %+v", x)
	}
	if begun < 1 {
		t.Error("no progress was told")
	}
	k := corrected.Keeping
	if k.CorrectionCount != 2 || !strings.Contains(k.Corrections[0].Old, `"x"`) || !strings.Contains(k.Corrections[1].Old, "2P99") {
		t.Errorf("corrections %+v", k.Corrections)
	}
	// A remark set right: it explained the wrong entry.
	n := farEntries
	moved := auditRegister(t, longBook(t, `08:00 explain 2 "told"`, fmt.Sprintf(`08:00 correct %d "08:00 explain 1 \"told\""`, n+1)), Options{})
	if x := find(moved); x == nil || x.Unexplained != 0 {
		t.Errorf("explained by a corrected entry: %+v", x)
	}
	away := auditRegister(t, longBook(t, `08:00 explain 1 "told"`, fmt.Sprintf(`08:00 correct %d "08:00 explain 2 \"told\""`, n+1)), Options{})
	if x := find(away); x == nil || x.Unexplained != 1 {
		t.Errorf("the remark was taken to another entry, and the finding counts as explained: %+v", x)
	}
}

// TestRemarkSetRight is the same from near, and for a book in notation.
func TestRemarkSetRight(t *testing.T) {
	book := "date 2026-03-02\n08:00 note \"x\" written 09:00\n09:01 note \"y\"\n09:02 explain 2 \"late train\"\n09:03 correct 3 \"09:02 explain 1 \\\"late train\\\"\"\n"
	for _, r := range []*Report{auditBook(t, decodeBox(t, testBox), book, Options{}), auditRegister(t, imported(t, testBox, book), Options{})} {
		for _, x := range r.Rules {
			if x.Rule == "entry-late" && (x.Unexplained != 0 || x.Details[0].Remarks[0].Entry != 3) {
				t.Errorf("%+v", x)
			}
		}
		if r.Severities[1].Count == 0 {
			t.Errorf("the late entry is not found: %+v", r.Severities)
		}
	}
}

// TestDamage names the entry that was altered; nothing is reported then.
func TestDamage(t *testing.T) {
	b := newRegister(t, testBox)
	fill(t, b, 3000)
	db := must(sql.Open("sqlite", filepath.Join(b.Dir, register.RegisterName)))(t)
	must(db.Exec("DROP TRIGGER entry_no_update"))(t)
	altered := int64(0)
	if err := db.QueryRow("SELECT min(seq) FROM entry WHERE seq > 2000 AND line LIKE '%Saltgarth%'").Scan(&altered); err != nil {
		t.Fatal(err)
	}
	must(db.Exec("UPDATE entry SET line = replace(line, 'Saltgarth', 'Saltgardh') WHERE seq = ?", altered))(t)
	db.Close()
	r, err := Run(context.Background(), Register(b), Options{})
	var damaged *store.DamagedError
	if r != nil || !errors.As(err, &damaged) || damaged.Entry != altered {
		t.Fatalf("report %v, error %v; altered entry %d", r != nil, err, altered)
	}
}

// TestStopped ends with the error of the context and leaves no goroutine that
// still reads: the register can be closed.
func TestStopped(t *testing.T) {
	b := newRegister(t, testBox)
	fill(t, b, 30_000)
	ctx, cancel := context.WithCancel(context.Background())
	_, err := Run(ctx, Register(b), Options{Progress: func(done, total int64) {
		if total != 30_000 {
			t.Errorf("total %d", total)
		}
		cancel()
	}})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	if err := b.Store().Close(); err != nil {
		t.Error(err)
	}
}
