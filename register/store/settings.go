package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"path/filepath"
	"strings"
	"sync"

	"modernc.org/sqlite"
)

// busyMillis is how long a statement waits for another program's lock.
const busyMillis = "5000"

// readers is how many reading connections a Store may hold: Verify uses two.
const readers = 3

// mode is a way of opening the file: the keys of its address, and the values
// that must be read back afterwards. A setting that did not take effect (a
// misspelt pragma is ignored without a word) stops the program at opening
// instead of costing an entry at the next power cut.
type mode struct {
	keys  url.Values
	check [][2]string // pragma, value
}

var (
	writing = mode{
		keys: url.Values{
			"mode":          {"rw"}, // never makes a file: Create does, and only where none is
			"_journal_mode": {"DELETE"},
			"_synchronous":  {"EXTRA"},
			"_busy_timeout": {busyMillis},
			"_txlock":       {"immediate"},
			"_pragma":       {"recursive_triggers(1)"}, // the only one without a checked key
			"_dqs":          {"0"},
			"_defensive":    {"1"},
		},
		check: [][2]string{
			{"journal_mode", "delete"}, {"synchronous", "3"}, {"recursive_triggers", "1"},
			{"busy_timeout", busyMillis}, {"encoding", "UTF-8"},
			{"auto_vacuum", "0"}, // else the engine keeps lists on pages of a register that has none for them
		},
	}
	reading = mode{
		keys: url.Values{
			"mode":          {"ro"},
			"_query_only":   {"1"},
			"_busy_timeout": {busyMillis},
			"_dqs":          {"0"},
			"_defensive":    {"1"},
		},
		check: [][2]string{{"query_only", "1"}, {"busy_timeout", busyMillis}, {"encoding", "UTF-8"}},
	}
	// salvageMode reads a file that is shorter than its header says, too: that is
	// what writable_schema does to a connection that cannot write.
	salvageMode = mode{
		keys: url.Values{
			"mode":          {"ro"},
			"_query_only":   {"1"},
			"_busy_timeout": {busyMillis},
			"_pragma":       {"writable_schema(1)"},
		},
		check: [][2]string{{"query_only", "1"}, {"writable_schema", "1"}, {"encoding", "UTF-8"}},
	}
	// mending lets the engine roll back a killed program's half-written entry
	// and changes nothing else, whatever file it is. Reading the encoding is
	// what makes it look.
	mending = mode{
		keys:  url.Values{"mode": {"rw"}, "_busy_timeout": {busyMillis}},
		check: [][2]string{{"encoding", "UTF-8"}},
	}
)

// address is the file: form of a path; net/url quotes what would be syntax in
// it (space # % ? and non-ASCII).
func address(path string, m mode) (string, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return "", fmt.Errorf("%s: find the full path: %w", path, err)
	}
	p := filepath.ToSlash(abs)
	if !strings.HasPrefix(p, "/") {
		p = "/" + p // a Windows drive letter
	}
	u := url.URL{Scheme: "file", Path: p, RawQuery: m.keys.Encode()}
	return u.String(), nil
}

// driverSetup is the process-wide part, done before the first file is opened.
// Open-file-description locks survive another open and close of the same file
// in this process; where the system has none, ordinary locks stay in use.
var driverSetup = sync.OnceValue(func() error {
	sqlite.StrictPragmas(true)
	if _, err := sqlite.OFDLocking(true); err != nil && !errors.Is(err, sqlite.ErrOFDLockingUnavailable) {
		return fmt.Errorf("switch on file locks that belong to the open file: %w", err)
	}
	return nil
})

// Forget has the pages that reading keeps in memory read from the file again: whoever changes
// bytes there and is no database leaves the count by which the engine knows that they are old.
func (s *Store) Forget(ctx context.Context) (err error) {
	for range readers { // one after the other would be one and the same
		c, cerr := s.read.Conn(ctx)
		if cerr != nil {
			return errors.Join(err, failure(s.path, "read anew", cerr))
		}
		defer c.Close()
		_, cerr = c.ExecContext(ctx, "PRAGMA shrink_memory")
		err = errors.Join(err, failure(s.path, "read anew", cerr))
	}
	return err
}

// connect opens the pool for one mode and reads its settings back.
func connect(path string, m mode, conns int) (*sql.DB, error) {
	if err := driverSetup(); err != nil {
		return nil, err
	}
	dsn, err := address(path, m)
	if err != nil {
		return nil, err
	}
	db, err := sql.Open("sqlite", dsn)
	if err != nil {
		return nil, failure(path, "open", err)
	}
	db.SetMaxOpenConns(conns)
	db.SetMaxIdleConns(conns)
	for _, c := range m.check {
		var got string
		err := db.QueryRowContext(context.Background(), "PRAGMA "+c[0]).Scan(&got)
		if err == nil && got != c[1] {
			err = &Error{Path: path, Doing: fmt.Sprintf("%s is %q and cannot be set to %q", c[0], got, c[1]),
				Advice: "the register would not be safe; close other programs that use it and open it again"}
		}
		if err != nil {
			db.Close()
			return nil, failure(path, "open", err)
		}
	}
	return db, nil
}
