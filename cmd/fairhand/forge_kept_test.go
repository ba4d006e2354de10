package main

import (
	"bytes"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/register"
	"fairhand/register/seal"
)

// keptState puts a state under an entry, with its checksum as it should be: of what made
// the states there are, and for the hash of the entry where it is left out.
func keptState(f *forger, seq int64, hash, state []byte) {
	var program string
	if err := f.db.QueryRow("SELECT program FROM snapshot LIMIT 1").Scan(&program); err != nil {
		f.Fatal(err)
	}
	if hash == nil {
		if err := f.db.QueryRow("SELECT hash FROM entry WHERE seq = ?", seq).Scan(&hash); err != nil {
			f.Fatal(err)
		}
	}
	b := binary.AppendUvarint([]byte("fairhand snapshot 1\n"), uint64(seq))
	b = binary.AppendUvarint(append(b, hash...), uint64(len(program)))
	sum := sha256.Sum256(append(append(b, program...), state...))
	f.do("INSERT OR REPLACE INTO snapshot(seq, hash, program, state, sum) VALUES(?, ?, ?, ?, ?)", seq, hash, program, state, sum[:])
}

// otherState is the state kept of the demonstration's day at its end, which is none of
// the entry that it is put under.
func otherState(f *forger) (state []byte) {
	if err := f.db.QueryRow("SELECT state FROM snapshot ORDER BY seq LIMIT 1").Scan(&state); err != nil {
		f.Fatal(err)
	}
	return state
}

// sealedBy makes seals anew, of the register as it is, with another key.
func sealedBy(f *forger, key *seal.Key, names ...string) {
	for _, name := range names {
		path := filepath.Join(f.dir, name)
		s, err := seal.ParseStatement(string(read(f.T, path)))
		if err != nil {
			f.Fatal(err)
		}
		var hash []byte
		if err := f.db.QueryRow("SELECT hash FROM entry WHERE seq = ?", s.Last).Scan(&hash); err != nil {
			f.Fatal(err)
		}
		copy(s.Hash[:], hash)
		text, err := s.Text()
		signature, serr := key.Sign(s)
		if err := errors.Join(err, serr, os.WriteFile(path, []byte(text), 0o600), os.WriteFile(path+seal.SignatureEnding, []byte(signature), 0o600)); err != nil {
			f.Fatal(err)
		}
	}
}

// signedAnew makes a seal over the same entry say something else, by the key of the box
// itself.
func signedAnew(name string, change func(*seal.Statement)) func(*forger) {
	return func(f *forger) {
		path := filepath.Join(f.dir, name)
		key, err := seal.LoadKey(f.dir, nil)
		if err != nil {
			f.Fatal(err)
		}
		s, err := seal.ParseStatement(string(read(f.T, path)))
		if err != nil {
			f.Fatal(err)
		}
		change(&s)
		text, signature, err := signed(key, s)
		if err = errors.Join(err, os.WriteFile(path, []byte(text), 0o600), os.WriteFile(path+seal.SignatureEnding, []byte(signature), 0o600)); err != nil {
			f.Fatal(err)
		}
	}
}

// journalOfAnother is what a program that was killed leaves beside another file.
func journalOfAnother(t *testing.T) []byte {
	path := filepath.Join(t.TempDir(), "other.db")
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	defer db.Close()
	for _, q := range []string{"PRAGMA cache_size = 1", "CREATE TABLE t(x)", "INSERT INTO t VALUES(zeroblob(9000))", "BEGIN", "CREATE TABLE u(x)",
		"WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 100) INSERT INTO u SELECT zeroblob(2000) FROM n", "DELETE FROM t"} {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(q, err)
		}
	}
	return read(t, path+"-journal")
}

// lastJournal leaves the journal of the last entry beside the file, as if that were half
// written: it is taken back at the next look.
func lastJournal(f *forger) {
	var row [7]any
	if err := f.db.QueryRow("SELECT seq, at, recorded, day, writer, line, hash FROM entry ORDER BY seq DESC LIMIT 1").Scan(&row[0], &row[1], &row[2], &row[3], &row[4], &row[5], &row[6]); err != nil {
		f.Fatal(err)
	}
	f.do("DELETE FROM entry WHERE seq = ?", row[0])
	f.done()
	db, err := sql.Open("sqlite", filepath.Join(f.dir, register.RegisterName))
	if err != nil {
		f.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	f.db = db
	f.do("PRAGMA cache_size = 1")
	f.do("BEGIN")
	f.do("INSERT INTO entry VALUES(?, ?, ?, ?, ?, ?, ?)", row[:]...)
	f.do("WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 100) INSERT INTO snapshot SELECT 1000 + i, zeroblob(32), '', zeroblob(2000), zeroblob(32) FROM n")
	path := filepath.Join(f.dir, register.RegisterName+"-journal")
	journal := read(f.T, path)
	f.do("ROLLBACK")
	f.do("INSERT INTO entry VALUES(?, ?, ?, ?, ?, ?, ?)", row[:]...)
	f.done()
	if err := os.WriteFile(path, journal, 0o600); err != nil {
		f.Fatal(err)
	}
}

// listedAsFree puts a page of entries on the list of the free ones.
func listedAsFree(f *forger) {
	const page = 4096
	f.done()
	path := filepath.Join(f.dir, register.RegisterName)
	content := read(f.T, path)
	at := bytes.Index(content, []byte(`06:02 Saltgarth >1`))
	if at < 0 {
		f.Fatal("no such entry")
	}
	put := func(at int, n uint32) { binary.BigEndian.PutUint32(content[at:], n) }
	list, pages := len(content), uint32(len(content)/page+1)
	content = append(content, make([]byte, page)...)
	put(list, binary.BigEndian.Uint32(content[32:])) // the list there was comes after
	put(list+4, 1)
	put(list+8, uint32(at/page+1))
	put(36, binary.BigEndian.Uint32(content[36:])+2)
	put(32, pages)
	put(28, pages)
	if err := os.WriteFile(path, content, 0o600); err != nil {
		f.Fatal(err)
	}
}

func init() {
	attacks = append(attacks,
		attack{"edit, chain made anew, states left", func(f *forger) {
			f.do("CREATE TEMP TABLE left AS SELECT * FROM snapshot")
			anew(altered)(f)
			f.do("INSERT INTO snapshot SELECT * FROM left")
		}, sealed},
		attack{"the same, and a line edited again", func(f *forger) {
			f.do("CREATE TEMP TABLE left AS SELECT * FROM snapshot")
			anew(altered, `UPDATE entry SET writer = 'N. Body' WHERE seq = 169`)(f)
			f.do("INSERT INTO snapshot SELECT * FROM left")
			f.do(`UPDATE entry SET writer = 'A. Nother' WHERE seq = 169`)
		}, sealed},
		attack{"a state forged, last entries gone", func(f *forger) {
			forgeState(f)
			f.do("DELETE FROM entry WHERE seq > 168")
		}, sealed},
		attack{"public key exchanged, seals by it", func(f *forger) { // and the private one left as it was
			key, err := seal.CreateKey(f.TempDir(), "Ennerholme", nil)
			if err != nil {
				f.Fatal(err)
			}
			f.do(altered)
			f.rechain()
			sealedBy(f, key, "seal-167.txt", "seal-170.txt")
			if err := os.WriteFile(filepath.Join(f.dir, seal.KeyName+".pub"), []byte(key.Public.Line()+"\n"), 0o600); err != nil {
				f.Fatal(err)
			}
		}, sealed},
		attack{"a seal of another day, by the box's key", signedAnew("seal-170.txt", func(s *seal.Statement) { s.Day = s.Day.Add(-1) }), sealed},
		attack{"a seal of another description", signedAnew("seal-170.txt", func(s *seal.Statement) { s.Description = strings.Repeat("0f", 32) }), sealed},
		attack{"a seal of years before its entry", signedAnew("seal-170.txt", func(s *seal.Statement) { s.At = s.At.AddDate(-6, 0, 0) }), sealed},
		attack{"a seal taken away without signature", gone("seal-170.txt"), sealed},
		attack{"a state of another register", func(f *forger) { keptState(f, 120, make([]byte, 32), otherState(f)) }, "verify"},
		attack{"one of another, made to fit", func(f *forger) { keptState(f, 120, nil, otherState(f)) }, "verify log"},
		attack{"states that no entries come to", func(f *forger) {
			for _, seq := range []int64{100, 140, 167} {
				keptState(f, seq, nil, []byte("{}"))
			}
		}, "verify log"},
		attack{"states without sense", func(f *forger) {
			for _, seq := range []int64{100, 140, 167, 169} {
				keptState(f, seq, nil, []byte(`{"Sections":[{},{},{},{},{},{}],"Trains":[{"Section":99,"Line":-7,"Place":1000}],"Duties":[{"Section":55}],"OnDuty":[{"Seq":-1}]}`))
			}
		}, "verify log"},
		attack{"a view put in", inPlace(`CREATE VIEW other AS SELECT 1`), "verify backup log"},
		attack{"a list put in", inPlace(`CREATE INDEX other ON entry(writer)`), "verify backup log"},
		attack{"a column put in", inPlace(`ALTER TABLE entry ADD COLUMN other TEXT`), anything},
		attack{"an entry before the first", func(f *forger) {
			f.schema("entry", " CHECK (seq > 0)", "")
			f.do(`INSERT INTO entry SELECT -5, at, recorded, day, writer, 'note "never"', hash FROM entry WHERE seq = 100`)
			f.schema("entry", "seq INTEGER PRIMARY KEY,", "seq INTEGER PRIMARY KEY CHECK (seq > 0),")
		}, byDays},
		attack{"a description after the last", inPlace(`INSERT INTO description SELECT 9999, replace(text, 'clearing-point: 440', 'clearing-point: 200') FROM description WHERE entry = 0`), byBox + " gather"}, // a copy leaves it out
		attack{"seals and key of another box", func(f *forger) {
			key, err := seal.CreateKey(f.TempDir(), "Saltgarth", nil)
			if err == nil {
				err = errors.Join(os.WriteFile(filepath.Join(f.dir, seal.KeyName+".pub"), []byte(key.Public.Line()+"\n"), 0o600), os.Remove(filepath.Join(f.dir, seal.KeyName)))
			}
			if err != nil {
				f.Fatal(err)
			}
			f.do(altered)
			f.rechain()
			for _, name := range []string{"seal-167.txt", "seal-170.txt"} {
				f.edit(name, "box: Ennerholme", "box: Saltgarth")
			}
			sealedBy(f, key, "seal-167.txt", "seal-170.txt")
		}, sealed},
		attack{"a view in the place of the entries", func(f *forger) {
			f.do(`ALTER TABLE entry RENAME TO others`)
			f.do(`CREATE VIEW entry AS SELECT seq, at, recorded, day, writer, replace(line, '6K17', '6K18') AS line, hash FROM others`)
			f.triggers = nil
		}, anything},
		attack{"a list in another order", inPlace(`DROP INDEX entry_day`, `CREATE INDEX entry_day ON entry(day DESC)`), anything},
		attack{"the list of days taken out", inPlace(`DROP INDEX entry_day`), anything},
		attack{"another list of days, cut short", func(f *forger) { // the engine may take the one or the other
			f.do("CREATE INDEX other ON entry(day) WHERE day <> 20260505")
			f.schema("other", " WHERE day <> 20260505", "")
		}, "verify backup log"},
		attack{"a journal of another register", func(f *forger) {
			f.done()
			if err := os.WriteFile(filepath.Join(f.dir, register.RegisterName+"-journal"), journalOfAnother(f.T), 0o600); err != nil {
				f.Fatal(err)
			}
		}, anything},
		attack{"pages of another register", func(f *forger) {
			f.done()
			if err := os.WriteFile(filepath.Join(f.dir, register.RegisterName+"-wal"), []byte("anything"), 0o600); err != nil {
				f.Fatal(err)
			}
		}, anything},
		attack{"a line that is worked out", func(f *forger) { // what stands on the pages is proved, and the engine gives another
			const last = `, -- the entry, one line of the book notation
  hash BLOB NOT NULL CHECK (length(hash) = 32)`
			f.schema("entry", "line TEXT NOT NULL CHECK (line <> '')"+last, "raw TEXT NOT NULL"+last+", line TEXT AS (replace(raw, 'correct 160', 'correct 158'))")
			f.do("REINDEX")
		}, anything},
		attack{"the greatest number", inPlace(`INSERT INTO entry SELECT 9223372036854775807, at, recorded, day, writer, line, hash FROM entry WHERE seq = 170`), strings.Replace(byKept, " export ", " ", 1) + " words"},
		attack{"states where the entries are", func(f *forger) { // with the state that is dropped they would go
			f.do("PRAGMA writable_schema = 1")
			f.do("UPDATE sqlite_schema SET rootpage = (SELECT rootpage FROM sqlite_schema WHERE name = 'entry') WHERE name = 'snapshot'")
			f.do("PRAGMA writable_schema = RESET")
		}, "verify backup log"},
		attack{"entries listed as free", listedAsFree, "verify log"}, // what is written next would be written over them
		attack{"pages said to be shorter", func(f *forger) { // and what is written next is cut so
			f.ofPages(func(p *paged, _ func(string) uint32) { p.content[20] = 8 })
		}, "verify log"},
		attack{"the journal of the last entry", lastJournal, sealed},
		attack{"the mark of another program", inPlace(`PRAGMA application_id = 1`), anything},
		attack{"a time that is no whole number", func(f *forger) {
			f.schema("entry", ") STRICT", ")")
			f.schema("entry", "at INTEGER", "at BLOB")
			f.do(`UPDATE entry SET at = CAST(at AS REAL) WHERE seq = 150`)
			f.schema("entry", "at BLOB", "at INTEGER")
			f.schema("entry", "LF, line LF\n)", "LF, line LF\n) STRICT")
		}, anything},
		attack{"version named lower", inPlace(`PRAGMA user_version = 1`), "verify backup log"},
		attack{"as the version before", func(f *forger) {
			f.do(`DROP TABLE description`)
			f.triggers = f.triggers[:0:0]
			f.do(`PRAGMA user_version = 1`)
		}, anything},
	)
}
