package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	sqlite3 "modernc.org/sqlite/lib"
)

// What the engine leaves beside a file: how the pages were that an entry was changing
// when its program was killed, and, for other programs only, pages that stand instead of
// those of the file. It takes both without asking whose they are.
const (
	journalEnding = "-journal"
	walEnding     = "-wal"
)

// checkBeside refuses what lies beside a register and can be none of its own. Of a link
// it is what lies beside the file that it leads to.
func checkBeside(path string) error {
	path = behindLinks(path)
	if info, err := os.Lstat(path + journalEnding); err == nil && !info.Mode().IsRegular() {
		return &Error{Path: path, Doing: "open: " + path + journalEnding + " is not a file", Advice: "whoever put it there is no friend of the register; take it away and look further: verify"}
	}
	info, err := os.Lstat(path + walEnding)
	if err != nil || info.Size() == 0 && info.Mode().IsRegular() {
		return nil
	}
	if now, err := beginning(path); err == nil && binary.BigEndian.Uint32(now[applicationAt:]) == applicationID {
		return besideError(path, walEnding, "no register has such a file: its pages would be read instead of those of the register")
	}
	return nil
}

// behindLinks is the file that the engine opens under a name, and beside which it looks.
func behindLinks(path string) string {
	if to, err := filepath.EvalSymlinks(path); err == nil {
		return to
	}
	return path
}

// setBack opens anew a register that another program has set to WAL, where what is
// written last stands in a second file: back as one file, which only who has it alone
// can bring about. Nothing of it is lost.
func setBack(s *Store) (*Store, error) {
	if err := s.Close(); err != nil {
		return nil, err
	}
	w, err := connect(s.path, writing, 1)
	if errors.Is(err, ErrBusy) {
		return nil, &Error{Kind: ErrBusy, Path: s.path, Doing: "open: another program has set it to the mode WAL, and holds it",
			Advice: "close every program that has it open; opened alone it is set back, and nothing in it is lost"}
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		return nil, err
	}
	return OpenReadOnly(s.path)
}

// unreadableWAL says why a register cannot be opened that was set to WAL and lies where
// nothing can be written beside it; another error as it is.
func unreadableWAL(path string, err error) error {
	if now, look := beginning(path); sqliteCode(err)&0xff != sqlite3.SQLITE_CANTOPEN || look != nil || now[writeVersionAt] != 2 {
		return err
	}
	return &Error{Kind: ErrReadOnly, Path: path, Doing: "open: another program has set it to the mode WAL, and so it is read only where files can be made beside it", Cause: err,
		Advice: "copy the file to a disk that can be written, and prove it there: verify FILE"}
}

func besideError(path, ending, why string) error {
	return &Error{Kind: ErrForeign, Path: path, Doing: "open: " + path + ending + ": " + why,
		Advice: "nothing was touched. Keep both, move that file to another folder, and look further: verify"}
}

// Places in the first page of a file and in the heading of a journal, by the engine's
// description of its format (sqlite.org/fileformat.html, sections 1.3 and 3).
const (
	fileMagic      = "SQLite format 3\x00"
	writeVersionAt = 18 // 2: WAL
	counterAt      = 24 // goes up by one with each commit
	pagesAt        = 28
	applicationAt  = 68
	pageOneBytes   = 100

	journalMagic = "\xd9\xd5\x05\xf9\x20\xa1\x63\xd7"
	journalBytes = 28
)

// checkJournal refuses a journal that was not begun on the file as it is: rolled back
// into it, as the engine would at the next look, it puts pages of another file there.
// The page it keeps of the beginning, or that of the file where it keeps none yet, is of
// as many pages as there were, and the file one commit further at most. A file without
// a beginning has nothing to lose.
func checkJournal(path string) error {
	path = behindLinks(path)
	now, err := beginning(path)
	if err != nil || !bytes.HasPrefix(now, []byte(fileMagic)) {
		return err
	}
	j, err := os.Open(path + journalEnding)
	if errors.Is(err, fs.ErrNotExist) { // another program has just rolled it back
		return nil
	}
	if err != nil {
		return err
	}
	defer j.Close()
	pages, was := journalBegins(j)
	if was == nil {
		was = now
	}
	if pages == 0 { // it was being made
		was = make([]byte, pageOneBytes)
	}
	u32 := binary.BigEndian.Uint32
	if commits := u32(now[counterAt:]) - u32(was[counterAt:]); commits > 1 || u32(was[pagesAt:]) != pages {
		return besideError(path, journalEnding, fmt.Sprintf("it is not of this file as it is, which has %d pages and %d changes; it is of one with %d and %d",
			u32(now[pagesAt:]), u32(now[counterAt:]), pages, u32(was[counterAt:])))
	}
	return nil
}

// beginning gives the first bytes of a file; without sense where it has not as many.
func beginning(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	now := make([]byte, pageOneBytes)
	_, err = io.ReadFull(f, now)
	if errors.Is(err, io.ErrUnexpectedEOF) {
		err = nil
	}
	return now, err
}

// journalBegins gives how many pages there were when a journal was begun, and the first
// of them where it is kept.
func journalBegins(j io.ReaderAt) (pages uint32, first []byte) {
	head := make([]byte, journalBytes)
	for at, begun := int64(0), false; ; {
		if _, err := j.ReadAt(head, at); err != nil || string(head[:8]) != journalMagic {
			return pages, nil
		}
		n, sector, size := binary.BigEndian.Uint32(head[8:]), int64(binary.BigEndian.Uint32(head[20:])), int64(binary.BigEndian.Uint32(head[24:]))
		if !begun {
			pages, begun = binary.BigEndian.Uint32(head[16:]), true
		}
		if sector < 32 || sector > 1<<16 || size < 512 || size > 1<<16 {
			return pages, nil
		}
		at += sector
		for range n {
			record := make([]byte, 4+pageOneBytes)
			if _, err := j.ReadAt(record, at); err != nil {
				return pages, nil
			}
			if binary.BigEndian.Uint32(record) == 1 {
				return pages, record[4:]
			}
			at += 4 + size + 4
		}
		at = (at + sector - 1) / sector * sector
	}
}
