package store

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// The reasons for which the store refuses. Test with errors.Is; the error
// itself names the file and says what to do next.
var (
	// ErrConflict: somebody else has written since this Store last looked.
	// Nothing was written. CatchUp returns what is new.
	ErrConflict = errors.New("another program has written to the register")
	// ErrReadOnly: the file, its folder or this Store cannot be written.
	ErrReadOnly = errors.New("the register cannot be written")
	// ErrDamaged: an entry, the heading or the file itself is not what was
	// written. errors.As with *DamagedError gives the entry number.
	ErrDamaged = errors.New("the register is damaged")
	// ErrTooNew: the file was made by a later version of the program.
	ErrTooNew = errors.New("the register was written by a newer program")
	// ErrNotRegister: the file is empty or is something else.
	ErrNotRegister = errors.New("not a register")
	// ErrFull: there is no room on the disk.
	ErrFull = errors.New("the disk is full")
	// ErrBusy: another program held the file for longer than the store waits.
	ErrBusy = errors.New("another program is holding the register")
	// ErrMoved: the file that was opened no longer stands under its name.
	ErrMoved = errors.New("the file was moved, removed or replaced while it was open")
	// ErrForeign: beside the file lies what the engine would read into it, and is not of it.
	ErrForeign = errors.New("a file of another register or program lies beside it")
	// ErrHalfWritten: a program stopped in the middle of an entry, and where the file lies
	// now nothing can be written that takes it back.
	ErrHalfWritten = errors.New("an entry is half written, which cannot be taken back on a disk that is read-only")
	// ErrDraft: the fields given cannot be kept as one entry.
	ErrDraft = errors.New("cannot be written as one entry")
)

// Error is what the store returns when an operation on a file fails.
type Error struct {
	Kind   error  // one of the Err values above, or nil for anything else
	Path   string // the file
	Doing  string // what was tried
	Advice string // what to do next
	Cause  error  // what the engine or the system said, or nil
}

func (e *Error) Error() string {
	parts := []string{e.Path, e.Doing}
	for _, err := range e.Unwrap() {
		parts = append(parts, err.Error())
	}
	text := strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ": ")
	if e.Advice != "" {
		text += "; " + e.Advice
	}
	return text
}

// Unwrap lets errors.Is and errors.As see both the reason and the cause.
func (e *Error) Unwrap() []error {
	return slices.DeleteFunc([]error{e.Kind, e.Cause}, func(err error) bool { return err == nil })
}

// Damage says in which way an entry or the file differs from what was written.
type Damage string

// The kinds of damage that can be told apart.
const (
	Changed    Damage = "changed"      // the entry is there but is not what was sealed
	Missing    Damage = "missing"      // no entry of that number, later ones exist
	OutOfOrder Damage = "out of order" // an entry stands under another's number
	Unreadable Damage = "unreadable"   // the engine cannot read that part of the file
	Heading    Damage = "heading"      // railway, box, zone or date of the register
	Schema     Damage = "schema"       // tables or protecting triggers are not as made
	Index      Damage = "index"        // the list of days does not agree with the entries
)

// DamagedError is the detail behind ErrDamaged.
type DamagedError struct {
	Path   string
	Entry  int64 // number of the first bad entry; 0 if no single entry is meant
	Kind   Damage
	Detail string // plain words
	Cause  error  // what the engine said, or nil
}

func (e *DamagedError) Error() string {
	where := "the file"
	if e.Entry > 0 {
		where = fmt.Sprintf("entry %d", e.Entry)
	}
	text := fmt.Sprintf("%s: %s: %s %s", e.Path, ErrDamaged, where, e.Kind)
	if e.Detail != "" {
		text += ": " + e.Detail
	}
	if e.Cause != nil {
		text += ": " + e.Cause.Error()
	}
	return text + "; keep this file as it is, and compare it with the newest backup"
}

// Is makes errors.Is(err, ErrDamaged) true.
func (e *DamagedError) Is(target error) bool { return target == ErrDamaged }

// Unwrap gives the engine's error.
func (e *DamagedError) Unwrap() error { return e.Cause }

// reasons turns the engine's result code, or else the primary one, into a reason and advice.
var reasons = map[int]struct {
	kind   error
	advice string
}{
	sqlite3.SQLITE_BUSY:              {ErrBusy, "close the other program, or try again in a moment"},
	sqlite3.SQLITE_READONLY:          {ErrReadOnly, "make the file and its folder writable, or open it read-only"},
	sqlite3.SQLITE_READONLY_ROLLBACK: {ErrHalfWritten, "have the lock of the disk taken off and open the register once, which sets it right; or copy the whole folder to another disk, and look at it there"},
	sqlite3.SQLITE_FULL:              {ErrFull, "make room on the disk and try again"},
	sqlite3.SQLITE_NOTADB:            {ErrNotRegister, "check that the right file was named"},
	sqlite3.SQLITE_CANTOPEN:          {nil, "check that the file exists and that its folder can be read and written"},
	sqlite3.SQLITE_IOERR:             {nil, "check the disk, its free space and its cable, then open the register again"},
}

// movedAdvice goes with ErrMoved.
const movedAdvice = "write on paper, put the file or its medium back as it was, and open the register again"

// failure names file and action, and finds the reason, for an engine error; nil stays nil.
func failure(path, doing string, err error) error {
	if err == nil {
		return nil
	}
	_, known := errors.AsType[*Error](err)
	_, damaged := errors.AsType[*DamagedError](err)
	if known || damaged {
		return err
	}
	switch code := sqliteCode(err); {
	case code&0xff == sqlite3.SQLITE_CORRUPT:
		return &DamagedError{Path: path, Kind: Unreadable, Detail: doing, Cause: err}
	case code&0xff == sqlite3.SQLITE_ERROR: // all our SQL is fixed: a table is not as we made it
		return &DamagedError{Path: path, Kind: Schema, Detail: doing, Cause: err}
	case code == sqlite3.SQLITE_READONLY_DBMOVED:
		return &Error{Kind: ErrMoved, Path: path, Doing: doing, Advice: movedAdvice}
	default:
		why, special := reasons[code]
		if !special {
			why = reasons[code&0xff]
		}
		return &Error{Kind: why.kind, Path: path, Doing: doing, Advice: why.advice, Cause: err}
	}
}

// writeFailure is failure for a statement that writes to a file already open:
// there, "cannot open" means that the journal cannot be made beside it.
func writeFailure(path, doing string, err error) error {
	if sqliteCode(err)&0xff == sqlite3.SQLITE_CANTOPEN {
		return &Error{Kind: ErrReadOnly, Path: path, Doing: doing, Cause: err,
			Advice: reasons[sqlite3.SQLITE_READONLY].advice}
	}
	return failure(path, doing, err)
}

// sqliteCode is the engine's extended result code, 0 if err is not from it.
func sqliteCode(err error) int {
	if e, ok := errors.AsType[*sqlite.Error](err); ok {
		return e.Code()
	}
	return 0
}
