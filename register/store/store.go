package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strconv"
	"sync"

	sqlite3 "modernc.org/sqlite/lib"
)

// background is the context of every statement: an append must not be cut off
// because a screen closed, and a context that can be cancelled costs a third
// more (measured, see the shared performance notes).
var background = context.Background()

// Store is one open register. Its methods may be called from several goroutines.
type Store struct {
	path    string
	meta    Meta
	file    fs.FileInfo // the file that was opened
	genesis Hash        // as written in the heading; Verify compares it with meta
	read    *sql.DB
	write   *sql.DB // nil when opened read-only

	insert *sql.Stmt // the guarded append, on write

	mu   sync.Mutex // held while appending; guards tail
	tail Tail
}

// Tail is the last entry this Store has seen; Seq is 0 in an empty register,
// and Hash then is the genesis hash.
type Tail struct {
	Seq  int64
	Hash Hash
}

// Create makes a new, empty register at path, whose folder must exist, and
// opens it for writing. An existing file of any kind is refused with an error
// for which errors.Is(err, fs.ErrExist).
func Create(path string, m Meta) (*Store, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	// Claim the name first, so that two programs cannot both make it. The file
	// is closed again before the engine opens it (see doc.go on locks).
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600) // it holds the names of people
	if err != nil {
		return nil, &Error{Path: path, Doing: "make a new register", Cause: err, Advice: newFileAdvice(err)}
	}
	err = f.Close()
	if err == nil {
		err = fill(path, m)
	}
	if err != nil {
		os.Remove(path) // ours: made above, and nothing is in it
		return nil, failure(path, "make a new register", err)
	}
	return Open(path)
}

// nameIsFree refuses a name that something has, a link that leads nowhere too.
func nameIsFree(path, doing string) error {
	_, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	err = cmp.Or(err, fs.ErrExist)
	return &Error{Path: path, Doing: doing, Cause: err, Advice: newFileAdvice(err)}
}

func newFileAdvice(err error) string {
	if errors.Is(err, fs.ErrExist) {
		return "choose another name: an existing file is never overwritten"
	}
	return "check that the folder exists and can be written"
}

// fill writes tables and heading in one transaction: a crash leaves an empty
// file, which Open refuses, or a whole register.
func fill(path string, m Meta) error {
	db, err := connect(path, writing, 1)
	if err != nil {
		return err
	}
	defer db.Close()
	tx, err := db.BeginTx(background, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	if err := makeObjects(tx, schema); err != nil {
		return err
	}
	for _, field := range [][2]string{
		{"railway", m.Railway}, {"box", m.Box}, {"zone", m.Zone},
		{"created", strconv.FormatInt(m.Created, 10)}, {"genesis", m.Genesis().String()},
	} {
		if _, err := tx.Exec("INSERT INTO meta(key, value) VALUES(?, ?)", field[0], field[1]); err != nil {
			return err
		}
	}
	if m.Description != "" {
		if _, err := tx.Exec(keepDescription, 0, m.Description); err != nil {
			return err
		}
	}
	if _, err := tx.Exec(fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, fileVersion)); err != nil {
		return err
	}
	return tx.Commit()
}

// makeObjects makes tables, indexes and triggers.
func makeObjects(tx *sql.Tx, list []object) error {
	for _, o := range list {
		if _, err := tx.Exec(o.sql); err != nil {
			return fmt.Errorf("%s: %w", o.name, err)
		}
	}
	return nil
}

// Open opens an existing register for writing. It refuses a file that is not a
// register (ErrNotRegister), is of a later version (ErrTooNew), cannot be
// written now (ErrReadOnly, so that this is known before the first entry), or
// whose heading, tables or last entry are not as written (ErrDamaged).
func Open(path string) (*Store, error) {
	// First as a reader: a file of another program must not be touched.
	s, err := OpenReadOnly(path)
	if err != nil {
		return nil, err
	}
	var journal string
	if s.read.QueryRow("PRAGMA journal_mode").Scan(&journal) == nil && journal == "wal" {
		if s, err = setBack(s); err != nil {
			return nil, err
		}
	}
	s.write, err = connect(path, writing, 1)
	if err != nil {
		s.Close()
		return nil, err
	}
	if err := s.readyToWrite(); err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

// OpenReadOnly opens a register for reading only. A damaged register can be
// opened in this way as long as its heading can be read, so that Verify can
// say what is wrong and the rest can be read.
func OpenReadOnly(path string) (*Store, error) {
	info, err := looksLikeRegister(path)
	if err != nil {
		return nil, err
	}
	s, err := open(path, info, reading, true)
	if sqliteCode(err) == sqlite3.SQLITE_READONLY_ROLLBACK {
		// A program was killed in the middle of an entry. Opening once for
		// writing removes the half-written entry; nothing acknowledged is lost.
		if err := checkJournal(path); err != nil {
			return nil, err
		}
		if w, err := connect(path, mending, 1); err == nil {
			w.Close()
		}
		s, err = open(path, info, reading, true)
	}
	if err != nil {
		return nil, unreadableWAL(path, err)
	}
	return s, nil
}

// InPlace says whether the file that was opened still stands under its name: nil,
// ErrMoved, or why it cannot be told. It looks at the name only, at the cost of
// one system call, so that a desk can ask it every second: a stick that was
// pulled out or a file that was moved would otherwise show at the next entry.
func (s *Store) InPlace() error {
	info, err := os.Stat(s.path)
	switch {
	case errors.Is(err, fs.ErrNotExist), err == nil && !os.SameFile(info, s.file):
		return &Error{Kind: ErrMoved, Path: s.path, Advice: movedAdvice}
	case err != nil:
		return &Error{Path: s.path, Doing: "look whether the file is in its place", Cause: err, Advice: movedAdvice}
	}
	return nil
}

// looksLikeRegister answers what the engine cannot: to it a missing file is to
// be made, an empty one is a database without tables, and a pipe is waited for.
func looksLikeRegister(path string) (fs.FileInfo, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, &Error{Path: path, Doing: "open", Cause: err, Advice: "check the name, or make a new register"}
	case !info.Mode().IsRegular():
		return nil, &Error{Kind: ErrNotRegister, Path: path, Doing: "open: it is not a file", Advice: "name the file register.db"}
	case info.Size() == 0:
		return nil, &Error{Kind: ErrNotRegister, Path: path, Doing: "open: the file is empty",
			Advice: "look for a backup; to start afresh, remove the empty file and make a new register"}
	}
	return info, checkBeside(path)
}

// open opens a file that looks like a register, as info says it is there, to be read
// in this mode: a whole one, with the mark of a register and its last entry, or what is left
// of one, whose chain begins with its heading, or does not.
func open(path string, info fs.FileInfo, with mode, whole bool) (*Store, error) {
	s := &Store{path: path, file: info}
	var err error
	if s.read, err = connect(path, with, readers); err != nil {
		return nil, err
	}
	if err = s.identify(whole); err == nil {
		err = s.loadMeta()
	}
	if err == nil && whole {
		s.tail, err = s.loadTail()
	}
	if err != nil {
		s.read.Close()
		return nil, failure(path, "open", err)
	}
	return s, nil
}

// identify checks the two numbers in the database header, that of a register only of a whole one.
func (s *Store) identify(whole bool) error {
	var app, version int64
	if err := s.read.QueryRow("SELECT * FROM pragma_application_id, pragma_user_version").Scan(&app, &version); err != nil {
		return err
	}
	if whole && (app != applicationID || version < 1) {
		return &Error{Kind: ErrNotRegister, Path: s.path, Doing: "open: an SQLite file of another program",
			Advice: "check that the right file was named"}
	}
	if version > fileVersion {
		return &Error{Kind: ErrTooNew, Path: s.path,
			Doing:  fmt.Sprintf("open: file version %d, this program knows up to %d", version, fileVersion),
			Advice: "use the newer program; nothing was changed"}
	}
	return nil
}

func (s *Store) loadMeta() error {
	var created, genesis string
	for _, f := range []struct {
		key string
		to  *string
	}{
		{"railway", &s.meta.Railway}, {"box", &s.meta.Box}, {"zone", &s.meta.Zone},
		{"created", &created}, {"genesis", &genesis},
	} {
		err := s.read.QueryRow("SELECT value FROM meta WHERE key = ?", f.key).Scan(f.to)
		if errors.Is(err, sql.ErrNoRows) {
			err = &DamagedError{Path: s.path, Kind: Heading, Detail: f.key + " is missing"}
		}
		if err != nil {
			return err
		}
	}
	var err error
	if s.meta.Description, err = s.firstDescription(); err != nil {
		return err
	}
	if s.meta.Created, err = strconv.ParseInt(created, 10, 64); err != nil {
		return &DamagedError{Path: s.path, Kind: Heading, Detail: "date of making", Cause: err}
	}
	if s.genesis, err = parseHash(genesis); err != nil {
		return &DamagedError{Path: s.path, Kind: Heading, Detail: "genesis hash", Cause: err}
	}
	return nil
}

// loadTail reads the last entry's number and hash from the file. The hash is looked for by
// the number, as every other is: in a file that was edited another may stand at the end.
func (s *Store) loadTail() (Tail, error) {
	var t Tail
	var hash []byte
	err := s.read.QueryRow("SELECT seq, hash"+inOrder+" WHERE seq = (SELECT max(seq)"+inOrder+")").Scan(&t.Seq, &hash)
	if errors.Is(err, sql.ErrNoRows) {
		return Tail{Hash: s.genesis}, nil
	}
	copy(t.Hash[:], hash) // if damaged: opening for writing and Verify say so
	return t, err
}

// readyToWrite makes sure that an append would work and would build on sound
// ground, and prepares it.
func (s *Store) readyToWrite() error {
	if err := s.checkHeading(); err != nil {
		return err
	}
	if err := s.checkLast(); err != nil {
		return err
	}
	if err := s.checkIndexed(); err != nil {
		return err
	}
	if s.tail.Seq <= structureMost {
		if err := s.CheckStructure(); err != nil {
			return err
		}
	}
	if err := s.tryWriting(); err != nil {
		return writeFailure(s.path, "open for writing", err)
	}
	var err error
	s.insert, err = s.write.PrepareContext(background, guardedInsert)
	return failure(s.path, "prepare the append", err)
}

// structureMost is of how many entries at the most a register is looked at page by page
// before anything is written in it, which takes some 40 ms; of a longer one Verify says it, and the desk behind which it is proved.
const structureMost = 200_000

// checkLast looks at the last entry only; Verify looks at all.
func (s *Store) checkLast() error {
	if s.tail.Seq == 0 {
		return nil
	}
	rows, err := s.unproved(s.tail.Seq, s.tail.Seq)
	if err != nil {
		return err
	}
	if len(rows) != 1 || !rows[0].Intact() {
		return &DamagedError{Path: s.path, Entry: s.tail.Seq, Kind: Changed, Detail: "the last entry is not what was sealed"}
	}
	return nil
}

// checkIndexed compares how many entries the index by day knows with how many
// there are: in a copy that a file manager took while an entry was written they
// mostly differ. It costs 15 ms for a million entries.
func (s *Store) checkIndexed() error {
	var listed, last int64
	err := s.ask("check the list of days", "SELECT (SELECT count(*)"+byDay+"), (SELECT coalesce(max(seq), 0)"+inOrder+")", nil, &listed, &last)
	if err == nil && listed != last {
		err = &DamagedError{Path: s.path, Kind: Index, Detail: fmt.Sprintf("it lists %d entries, and the last is number %d: a copy that was taken while an entry was written looks like this", listed, last)}
	}
	return err
}

// tryWriting makes the engine start its journal and takes all back: a file or
// folder that cannot be written shows now and not at the first entry.
func (s *Store) tryWriting() error {
	tx, err := s.write.BeginTx(background, nil)
	if err != nil {
		return err
	}
	_, err = tx.Exec("PRAGMA user_version = 1")
	return cmp.Or(err, tx.Rollback()) // after a full disk there is nothing left to take back
}

// Close lets the file go. The Store cannot be used afterwards.
func (s *Store) Close() error {
	var err error
	if s.write != nil {
		err = s.write.Close() // with what was prepared on it
	}
	return failure(s.path, "close", errors.Join(err, s.read.Close()))
}

// Path is the file's name as given.
func (s *Store) Path() string { return s.path }

// Meta is the heading of the register.
func (s *Store) Meta() Meta { return s.meta }

// Tail is the last entry this Store has seen, by opening, appending or CatchUp.
// Another program may have written since.
func (s *Store) Tail() Tail {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.tail
}
