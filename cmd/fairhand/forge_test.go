package main

import (
	"bytes"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"fairhand/register"
	"fairhand/register/store"
)

// forger has the file of a register open as whoever has the disk has it: without
// any of its triggers, which are put back when it is done.
type forger struct {
	*testing.T
	dir      string
	db       *sql.DB
	triggers []string
}

func forge(t *testing.T, dir string) *forger {
	t.Helper()
	return forgeFile(t, dir, filepath.Join(dir, register.RegisterName))
}

func forgeFile(t *testing.T, dir, path string) *forger {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	f := &forger{T: t, dir: dir, db: db}
	rows, err := db.Query("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for rows.Next() {
		var name, text string
		if err := rows.Scan(&name, &text); err != nil {
			t.Fatal(err)
		}
		names, f.triggers = append(names, name), append(f.triggers, text)
	}
	rows.Close()
	for _, n := range names {
		f.do("DROP TRIGGER " + n)
	}
	return f
}

func (f *forger) do(query string, args ...any) {
	f.Helper()
	if _, err := f.db.Exec(query, args...); err != nil {
		f.Fatal(query, err)
	}
}

// edit changes a file beside the register, as an editor does.
func (f *forger) edit(name, old, new string) {
	f.Helper()
	path := filepath.Join(f.dir, name)
	text, err := os.ReadFile(path)
	if err != nil {
		f.Fatal(err)
	}
	changed := strings.Replace(string(text), old, new, 1)
	if changed == string(text) {
		f.Fatalf("no %q in %s", old, name)
	}
	if err := os.WriteFile(path, []byte(changed), 0o600); err != nil {
		f.Fatal(err)
	}
}

// done puts the triggers back.
func (f *forger) done() {
	f.Helper()
	for _, text := range f.triggers {
		f.do(text)
	}
	f.triggers = nil
	if err := f.db.Close(); err != nil {
		f.Fatal(err)
	}
}

// rechain makes every hash anew, by the formula that stands in the file.
func (f *forger) rechain() {
	f.Helper()
	var prev string
	if err := f.db.QueryRow("SELECT value FROM meta WHERE key = 'genesis'").Scan(&prev); err != nil {
		f.Fatal(err)
	}
	rows, err := f.db.Query("SELECT seq, at, recorded, day, writer, line FROM entry ORDER BY seq")
	if err != nil {
		f.Fatal(err)
	}
	hashes := map[int64][]byte{}
	for rows.Next() {
		var seq, at, recorded, day int64
		var writer, line string
		if err := rows.Scan(&seq, &at, &recorded, &day, &writer, &line); err != nil {
			f.Fatal(err)
		}
		sum := sha256.Sum256(fmt.Appendf(nil, "fairhand entry 1\n%s\n%d %d %d %d\n%s\n%s\n", prev, seq, at, recorded, day, writer, line))
		hashes[seq], prev = sum[:], hex.EncodeToString(sum[:])
	}
	rows.Close()
	for seq, h := range hashes {
		f.do("UPDATE entry SET hash = ? WHERE seq = ?", h, seq)
	}
	f.do("DELETE FROM snapshot")
}

// schema changes the definition of an object as it is written in the file.
func (f *forger) schema(name, old, new string) {
	f.Helper()
	f.do("PRAGMA writable_schema = 1")
	f.do("UPDATE sqlite_schema SET sql = replace(sql, ?, ?) WHERE name = ?", old, new, name)
	f.do("PRAGMA writable_schema = RESET")
}

// attack is what somebody who has the file does to it.
type attack struct {
	name string
	do   func(f *forger)
	// told are the commands that must tell; the others must give what they gave
	// before, since the attack touches nothing that they show.
	told string
}

const (
	altered  = `UPDATE entry SET line = '10:36 train 6K17 arrived at "Platform 2" no-tail-lamp' WHERE seq = 163`
	anything = "verify day next text json html csv notation xlsx pdf handover graph svg audit findings from compare words now check backup export parquet gather log"
	// byBox is what reads box.yaml, and byKept what reads the descriptions kept, as a copy
	// of them and the collection do: the words and the check of a head are of the entries alone,
	// but where a seal names another description than was in force with its entry.
	byBox  = "verify day next text json html csv notation xlsx pdf handover graph svg audit findings from compare now export parquet log"
	byKept = byBox + " backup gather"
	// byDays is what looks for entries by their day.
	byDays = "verify day next text json html csv notation xlsx pdf handover graph svg from compare now export log parquet gather"
	// sealed is what tells a register that is sound in itself and is not the one that
	// was sealed: words and copies are of whatever register there is.
	sealed = "verify day next text json html csv notation xlsx pdf handover graph svg audit findings from compare words now check backup export parquet gather log"
)

// inPlace does something to the rows and leaves their hashes as they are; anew
// makes the chain anew over it.
func inPlace(sql ...string) func(*forger) {
	return func(f *forger) {
		for _, s := range sql {
			f.do(s)
		}
	}
}

func anew(sql ...string) func(*forger) {
	return func(f *forger) {
		inPlace(sql...)(f)
		f.rechain()
	}
}

const otherDigest = `UPDATE entry SET line = replace(line, 'described ', 'described 0') WHERE seq = 168`

// keyless: the words of the seals are made to fit, and the key is taken away.
const keyless = "sealed anew without the key"

// swap exchanges the contents of two entries.
const swap = `UPDATE entry SET (at, recorded, writer, line) = (SELECT at, recorded, writer, line FROM entry o WHERE o.seq = CASE entry.seq WHEN 150 THEN 152 ELSE 150 END) WHERE seq IN (150, 152)`

// forgeState puts fog into the state kept of the end of the first day, with its
// checksum as it should be.
func forgeState(f *forger) {
	var seq int64
	var program string
	var hash, state []byte
	if err := f.db.QueryRow("SELECT seq, hash, program, state FROM snapshot ORDER BY seq LIMIT 1").Scan(&seq, &hash, &program, &state); err != nil {
		f.Fatal(err)
	}
	foggy := bytes.Replace(state, []byte(`"Fog":false`), []byte(`"Fog":true`), 1)
	if bytes.Equal(foggy, state) {
		f.Fatalf("no fog in %s", state)
	}
	b := binary.AppendUvarint([]byte("fairhand snapshot 1\n"), uint64(seq))
	b = binary.AppendUvarint(append(b, hash...), uint64(len(program)))
	sum := sha256.Sum256(append(append(b, program...), foggy...))
	f.do("UPDATE snapshot SET state = ?, sum = ? WHERE seq = ?", foggy, sum[:], seq)
}

var attacks = []attack{
	{"edit a line", inPlace(altered), anything},
	{"change a writer", inPlace(`UPDATE entry SET writer = 'N. Body' WHERE seq = 40`), anything},
	{"change a day", inPlace(`UPDATE entry SET day = 20260506 WHERE seq = 150`), anything},
	{"change a time", inPlace(`UPDATE entry SET at = at + 60 WHERE seq = 150`), anything},
	{"change when it was recorded", inPlace(`UPDATE entry SET recorded = at WHERE seq = 141`), anything},
	{"change a hash", inPlace(`UPDATE entry SET hash = zeroblob(32) WHERE seq = 150`), anything},
	{"take an entry out", inPlace(`DELETE FROM entry WHERE seq = 150`), anything},
	{"edit, chain made anew", anew(altered), sealed},
	{"recorded hidden, chain made anew", anew(`UPDATE entry SET recorded = at WHERE seq = 141`), sealed},
	{"two exchanged, chain made anew", anew(swap), sealed},
	{"writer of a turn, chain made anew", anew(`UPDATE entry SET writer = 'N. Body' WHERE writer <> ''`), sealed},
	{"whole day moved", inPlace(`UPDATE entry SET at = at + 86400, recorded = recorded + 86400, day = day + 1 WHERE day = 20260506`), anything},
	{"whole day moved, chain made anew", anew(`UPDATE entry SET at = at + 86400, recorded = recorded + 86400, day = day + 1 WHERE day = 20260506`), sealed},
	{"last five taken out", inPlace(`DELETE FROM entry WHERE seq > 162`, `DELETE FROM snapshot`), sealed},
	{"box named otherwise", inPlace(`UPDATE meta SET value = 'Elsewhere' WHERE key = 'box'`), anything},
	{"genesis changed", inPlace(`UPDATE meta SET value = '` + strings.Repeat("ab", 32) + `' WHERE key = 'genesis'`), anything},
	{"a table put in", inPlace(`CREATE TABLE other(x)`), "verify backup log"},
	{"a row put into the heading", inPlace(`INSERT INTO meta(key, value) VALUES('zone2', 'Asia/Tokyo')`), "verify backup log"},
	{"a trigger put in", inPlace(`CREATE TRIGGER other AFTER INSERT ON entry BEGIN SELECT 1; END`), "verify backup log"},
	{"triggers taken out", func(f *forger) { f.triggers = nil }, "verify backup log"},
	{"list of days cut short", func(f *forger) {
		f.schema("entry_day", "ON entry(day)", "ON entry(day) WHERE seq < 112")
		f.do("REINDEX entry_day")
		f.schema("entry_day", " WHERE seq < 112", "")
	}, byDays},
	{"list of corrections emptied", func(f *forger) {
		f.schema("entry_refers", "WHERE line", "WHERE seq < 0 AND line")
		f.do("REINDEX entry_refers")
		f.schema("entry_refers", "WHERE seq < 0 AND line", "WHERE line")
	}, "verify day next text json html csv notation xlsx pdf handover graph svg audit findings from compare now export parquet gather log"},
	{keyless, func(f *forger) { // the words of the seal are made to fit, its key is taken away
		f.do(altered)
		f.rechain()
		for _, name := range []string{"seal-167.txt", "seal-170.txt"} {
			text, err := os.ReadFile(filepath.Join(f.dir, name))
			if err != nil {
				f.Fatal(err)
			}
			was := regexp.MustCompile("[0-9a-f]{64}").FindAllString(string(text), -1)
			var last []byte
			if err := f.db.QueryRow("SELECT hash FROM entry WHERE seq = ?", strings.TrimSuffix(strings.TrimPrefix(name, "seal-"), ".txt")).Scan(&last); err != nil || len(was) == 0 {
				f.Fatal(err, string(text))
			}
			f.edit(name, was[0], hex.EncodeToString(last))
		}
		if err := os.Remove(filepath.Join(f.dir, "seal_ed25519.pub")); err != nil {
			f.Fatal(err)
		}
	}, sealed},
	{"list of corrections, as many others", func(f *forger) { // whose numbers add up to the same
		f.schema("entry_refers", "WHERE line", "WHERE seq IN (21, 44, 144, 169) OR seq < 0 AND line")
		f.do("REINDEX entry_refers")
		f.schema("entry_refers", "WHERE seq IN (21, 44, 144, 169) OR seq < 0 AND line", "WHERE line")
	}, "verify day next text json html csv notation xlsx pdf handover graph svg audit findings from compare now export parquet gather log"},
	{"a line kept as no text", func(f *forger) {
		f.schema("entry", ") STRICT", ")")
		f.do(`UPDATE entry SET line = CAST(line AS BLOB) WHERE seq = 163`)
		f.schema("entry", "LF, line LF\n)", "LF, line LF\n) STRICT")
	}, "verify log"},
	{"a description put in", inPlace(`INSERT INTO description SELECT 100, replace(text, 'clearing-point: 440', 'clearing-point: 200') FROM description WHERE entry = 0`), byKept + " words"},
	{"an older seal in the place of the last", func(f *forger) {
		for _, ending := range []string{"", ".sig"} {
			text, err := os.ReadFile(filepath.Join(f.dir, "seal-167.txt"+ending))
			if err != nil {
				f.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(f.dir, "seal-170.txt"+ending), text, 0o600); err != nil {
				f.Fatal(err)
			}
		}
	}, sealed},
	{"box.yaml changed", func(f *forger) { f.edit(register.BoxFileName, "clearing-point: 440", "clearing-point: 200") }, "verify log"},
	{"box.yaml as it was before", func(f *forger) {
		f.edit(register.BoxFileName, "\n  - {name: L. Marsh, role: trainee}", "")
	}, "verify log"},
	{"box.yaml of another box", func(f *forger) { f.edit(register.BoxFileName, "box: Ennerholme", "box: Elsewhere") }, byBox + " copies due"},
	{"box.yaml taken away", func(f *forger) {
		if err := os.Remove(filepath.Join(f.dir, register.BoxFileName)); err != nil {
			f.Fatal(err)
		}
	}, byBox + " copies due"},
	{"a description kept changed", inPlace(`UPDATE description SET text = replace(text, 'clearing-point: 440', 'clearing-point: 200') WHERE entry = 168`), byKept + " words check"},
	{"the first description changed", inPlace(`UPDATE description SET text = replace(text, 'clearing-point: 440', 'clearing-point: 200') WHERE entry = 0`), anything},
	{"an older description put in its place", inPlace(`UPDATE description SET text = (SELECT text FROM description WHERE entry = 0) WHERE entry = 168`), byKept + " words check"},
	{"a description taken out", inPlace(`DELETE FROM description WHERE entry = 168`), byKept + " words check"},
	{"digest of a description changed", inPlace(otherDigest), anything},
	{"digest changed, chain made anew", anew(otherDigest), anything},
	{"description and digest changed, anew", func(f *forger) {
		f.do(`UPDATE description SET text = replace(text, 'clearing-point: 440', 'clearing-point: 200') WHERE entry = 168`)
		var text string
		switch err := f.db.QueryRow("SELECT text FROM description WHERE entry = 168").Scan(&text); {
		case errors.Is(err, sql.ErrNoRows): // a register that has no other description
			return
		case err != nil:
			f.Fatal(err)
		}
		f.do("UPDATE entry SET line = substr(line, 1, instr(line, 'described ') + 9) || ? || substr(line, instr(line, 'described ') + 74) WHERE seq = 168", store.Digest(text))
		f.rechain()
	}, sealed},
	{"a state kept is forged", forgeState, "verify log"},
	{"a state kept is damaged", func(f *forger) {
		f.do("INSERT OR REPLACE INTO snapshot(seq, hash, program, state, sum) SELECT 100, (SELECT hash FROM entry WHERE seq = 100), 'fairhand 1', CAST('{}' AS BLOB), zeroblob(32)")
	}, "verify"},
}

// copyBox copies the files of a box.
func copyBox(t *testing.T, from string) string {
	t.Helper()
	to := filepath.Join(t.TempDir(), "box")
	if err := os.CopyFS(to, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"seal_ed25519"} {
		if err := os.Chmod(filepath.Join(to, name), 0o600); err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		}
	}
	return to
}
