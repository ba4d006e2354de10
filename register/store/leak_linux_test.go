package store

import (
	"os"
	"path/filepath"
	"testing"
)

// What is made, opened, copied, salvaged or refused leaves no file open once it is closed.
func TestNothingStaysOpen(t *testing.T) {
	dir := t.TempDir()
	path := func(name string) string { return filepath.Join(dir, name) }
	sound := filled(t, 5)
	damaged := copyOf(t, sound.Path())
	forge(t, damaged, "UPDATE entry SET line = 'x' WHERE seq = 5")
	foreign, utf16 := path("foreign.db"), path("utf16.db")
	for file, sql := range map[string]string{foreign: "CREATE TABLE t(x)", utf16: "PRAGMA encoding = 'UTF-16le'; CREATE TABLE t(x)"} {
		db := raw(t, file)
		must(db.Exec(sql))(t)
		db.Close()
	}
	journal, wal := copyOf(t, sound.Path()), copyOf(t, sound.Path())
	other := raw(t, wal)
	must(other.Exec("PRAGMA journal_mode = WAL"))(t)
	other.Close()
	open := func() int { return len(must(os.ReadDir("/proc/self/fd"))(t)) }
	before := open()
	for name, do := range map[string]func() error{
		"made":                func() error { return closed(Create(path("made.db"), ennerholme)) },
		"opened":              func() error { return closed(Open(sound.Path())) },
		"opened, of damage":   func() error { return closed(Open(damaged)) },
		"another program's":   func() error { return closed(Open(foreign)) },
		"in another encoding": func() error { return closed(Open(utf16)) },
		"read":                func() error { return closed(OpenReadOnly(journal)) },
		"set back":            func() error { return closed(Open(wal)) },
		"backed up":           func() error { return second(sound.Backup(t.Context(), path("copy.db"), nil)) },
		"put in place":        func() error { return Replace(path("box.yaml"), 0o600, nil) },
		"salvaged": func() error {
			return second(Salvage(t.Context(), damaged, path("saved.db"), "", func(*Row, bool) error { return nil }))
		},
		"salvaged, of nothing": func() error { return second(Salvage(t.Context(), foreign, path("none.db"), "", nil)) },
	} {
		err := do()
		if now := open(); now != before {
			t.Errorf("%s: %d files stay open (%v)", name, now-before, err)
			before = now
		}
	}
}

func closed(s *Store, err error) error {
	if err != nil {
		return err
	}
	return s.Close()
}
