// Package bounded holds inputs to a stated size, so that a file of the wrong kind, or
// one made to do harm, is told by its line and not by a machine without memory.
package bounded

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// ErrTooLong is the error of a line, or of a whole input, beyond its bound.
var ErrTooLong = errors.New("too long")

// ErrNoFile is the error of a name under which no file lies, but a directory, a pipe or a
// device.
var ErrNoFile = errors.New("it is no file")

// The bounds, in bytes. A line of a book has at most notation.MaxLine.
const (
	Line      = 64 << 10  // a line of any table
	Small     = 64 << 10  // a seal, a signature, a key, the options of the program
	Manifest  = 16 << 20  // of what was gathered
	Lines     = 4 << 20   // read to their end before the first is written: some weeks of a busy box
	Timetable = 4 << 20   // some 60,000 trains a day
	Table     = 256 << 20 // a book typed as a table: a few million entries
	Export    = 1 << 30   // a day as JSON
	Book      = 1 << 30   // a book in notation that does not come from a file and is kept while it is read
)

// Open opens a file to be read, and nothing else: whoever opens a pipe waits until somebody
// writes into it, and a device may have no end. A link is followed to what it names.
func Open(path string) (*os.File, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if info.IsDir() || Device(info.Mode()) {
		return nil, &fs.PathError{Op: "open", Path: path, Err: ErrNoFile}
	}
	return os.Open(path)
}

// Device says whether a pipe, a socket or a device lies under a name.
func Device(m fs.FileMode) bool { return m&(fs.ModeNamedPipe|fs.ModeSocket|fs.ModeDevice) != 0 }

// File reads a whole file of no more than most bytes.
func File(path string, most int64) ([]byte, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(text)) > most {
		err = fmt.Errorf("%s has more than %d bytes: %w; is it the right file?", path, most, ErrTooLong)
	}
	return text, err
}

// Reader passes an input on up to its bounds, and ends it with an error that names
// the line beyond them.
type Reader struct {
	src      io.Reader
	line     int   // bytes of a line
	most     int64 // bytes of all
	at, long int   // the present line, from 1, and its bytes so far
	all      int64
	err      error
}

// Of bounds an input: no line of more than line bytes (0: any), and no more than most
// in all.
func Of(src io.Reader, line int, most int64) *Reader {
	return &Reader{src: src, line: line, most: most, at: 1}
}

// Read is io.Reader.
func (r *Reader) Read(b []byte) (int, error) {
	if r.err != nil {
		return 0, r.err
	}
	n, err := r.src.Read(b)
	if fault := r.take(b[:n]); fault != nil {
		r.err = fault
		return 0, fault
	}
	return n, err
}

func (r *Reader) take(b []byte) error {
	for len(b) > 0 {
		n, line := bytes.IndexByte(b, '\n'), len(b)
		if n >= 0 {
			line = n
		}
		r.long += line
		r.all += int64(line)
		switch {
		case r.line > 0 && r.long > r.line:
			return fmt.Errorf("line %d has more than %d bytes: %w", r.at, r.line, ErrTooLong)
		case r.all > r.most:
			return fmt.Errorf("line %d: there are more than %d MB: %w; is it the right file?", r.at, r.most>>20, ErrTooLong)
		case n < 0:
			return nil
		}
		r.at, r.long, r.all, b = r.at+1, 0, r.all+1, b[n+1:]
	}
	return nil
}
