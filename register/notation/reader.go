package notation

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"fairhand/block"
)

const (
	// MaxLine is the longest line of a book, in bytes.
	MaxLine = 64 << 10
	// MaxErrors is where ParseAll stops looking for more.
	MaxErrors = 50

	byteOrderMark = "\uFEFF"
)

// Reader reads a book, entry by entry, in the memory of one line and of the
// names in it. It is not for use by several goroutines.
type Reader struct {
	src    io.Reader
	chunk  []byte
	filled int    // bytes of chunk that are a line begun
	text   string // whole lines, not yet read
	end    error  // what the source ended with
	number int    // of the current line
	start  int    // byte of the line where the last entry begins

	line  timeline
	parse parser
	more  bool // the current line goes on after a semicolon
}

// NewReader reads the book in src, whose times are clock times of loc.
func NewReader(src io.Reader, loc *time.Location) *Reader {
	return &Reader{
		src:   src,
		chunk: make([]byte, MaxLine),
		line:  timeline{zone: newZone(loc)},
		parse: parser{cache: new(cache), times: true},
	}
}

// Line is the number of the line last read, from 1.
func (r *Reader) Line() int { return r.number }

// Column is where on its line the entry last read begins, in characters from 1.
func (r *Reader) Column() int {
	line := r.parse.line
	for r.start < len(line) && (line[r.start] == ' ' || line[r.start] == '\t') {
		r.start++
	}
	return column(line, r.start)
}

// Next reads the next entry. Its Seq is the number of its line (two entries of
// one line have the same); its Bells are shared and must not be changed. The
// error is io.EOF at the end, an *Error for a line that cannot be read, or the
// error of the source. After an *Error reading goes on with the line after it,
// but only to find more errors: a book with an error has no usable entries.
func (r *Reader) Next() (block.Event, error) {
	var ev block.Event
	for {
		if !r.more {
			if err := r.nextLine(); err != nil {
				return block.Event{}, err
			}
		}
		r.start = r.parse.pos
		some, err := r.parse.segment(&ev, &r.line)
		if err != nil {
			r.more = false
			err.Line = r.number
			return block.Event{}, err
		}
		r.more = r.parse.segmentDone()
		if some {
			ev.Seq = int64(r.number)
			return ev, nil
		}
	}
}

// nextLine begins the next line.
func (r *Reader) nextLine() error {
	if r.text == "" {
		if err := r.fill(); err != nil {
			return err
		}
	}
	line := r.text
	if i := strings.IndexByte(line, '\n'); i >= 0 {
		line, r.text = line[:i], line[i+1:]
	} else {
		r.text = "" // the last line of the source
	}
	r.number++
	if r.number == 1 {
		line = strings.TrimPrefix(line, byteOrderMark)
	}
	r.parse.line = strings.TrimSuffix(line, "\r")
	r.parse.pos, r.parse.tok = 0, token{}
	return nil
}

// fill reads on until there is at least one whole line in text.
func (r *Reader) fill() error {
	for r.end == nil {
		if r.filled == len(r.chunk) {
			r.end = io.EOF // nothing after it can be told from it
			return &Error{Line: r.number + 1, Column: 1, Problem: fmt.Sprintf("the line is longer than %d bytes", MaxLine)}
		}
		n, err := r.src.Read(r.chunk[r.filled:])
		r.filled += n
		if err != nil {
			r.end = err
			break
		}
		whole := bytes.LastIndexByte(r.chunk[r.filled-n:r.filled], '\n') + r.filled - n
		if whole < r.filled-n {
			continue
		}
		r.text = string(r.chunk[:whole+1])
		r.filled = copy(r.chunk, r.chunk[whole+1:r.filled])
		return nil
	}
	if r.end == io.EOF && r.filled > 0 {
		r.text, r.filled = string(r.chunk[:r.filled]), 0
		return nil
	}
	if r.end == io.EOF {
		return io.EOF
	}
	return fmt.Errorf("reading the book after line %d: %w", r.number, r.end)
}

// ParseAll reads a whole book. With any error there are no events; lines that
// cannot be read are told together, up to MaxErrors, as Errors.
func ParseAll(src io.Reader, loc *time.Location) ([]block.Event, error) {
	r := NewReader(src, loc)
	var evs []block.Event
	var bad Errors
	for {
		ev, err := r.Next()
		switch one, is := errors.AsType[*Error](err); {
		case err == io.EOF && len(bad) > 0:
			return nil, bad
		case err == io.EOF:
			return evs, nil
		case is:
			if bad = append(bad, one); len(bad) == MaxErrors {
				return nil, bad
			}
		case err != nil:
			return nil, err
		case len(bad) == 0:
			evs = append(evs, ev)
		}
	}
}
