package gather

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/parquet-go/parquet-go"

	"fairhand/export"
)

// Part is one file of the collection.
type Part struct {
	Table  string `json:"table"`
	Year   int    `json:"year"`
	File   string `json:"file"` // in the folder of the box
	Rows   int64  `json:"rows"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

const (
	// rowsInGroup bounds what a file holds in memory while it is written.
	rowsInGroup = 16_384
	// rowsAtOnce go to the writer together.
	rowsAtOnce = 512
	// openYears is how many files of a table are written at the same time. Entries come
	// in order but for a few: one for a year that was closed opens another file of it.
	openYears = 2
)

// partEnding ends the name of a file that is not whole yet.
const partEnding = ".part"

// table writes the rows of one table of one box, a file for each year.
type table[T any] struct {
	dir   string // of the box
	name  string
	label labels
	open  []*writing[T] // the one last written to is last
	done  []Part
}

// labels are what the metadata of every file says.
type labels struct{ railway, box, zone string }

// writing is a file being written.
type writing[T any] struct {
	part Part
	file *os.File
	buf  *bufio.Writer
	sum  hash.Hash
	rows []T
	out  *parquet.GenericWriter[T]
}

// put writes a row of a year.
func (t *table[T]) put(year int, row T) error {
	w, err := t.of(year)
	if err != nil {
		return err
	}
	if w.rows = append(w.rows, row); len(w.rows) < rowsAtOnce {
		return nil
	}
	return w.flush()
}

// of is the file of a year, begun where it is not open.
func (t *table[T]) of(year int) (*writing[T], error) {
	if i := slices.IndexFunc(t.open, func(w *writing[T]) bool { return w.part.Year == year }); i >= 0 {
		w := t.open[i]
		t.open = append(slices.Delete(t.open, i, i+1), w)
		return w, nil
	}
	if len(t.open) == openYears {
		if err := t.close(t.open[0]); err != nil {
			return nil, err
		}
		t.open = append(t.open[:0], t.open[1:]...)
	}
	w, err := t.begin(year)
	if err == nil {
		t.open = append(t.open, w)
	}
	return w, err
}

func (t *table[T]) begin(year int) (*writing[T], error) {
	name, before := t.name, 0
	for _, p := range t.done {
		if p.Year == year {
			before++
		}
	}
	if before > 0 {
		name = fmt.Sprintf("%s.%d", t.name, before+1)
	}
	kind, _, _ := strings.Cut(t.name, ".")
	w := &writing[T]{part: Part{Table: kind, Year: year, File: filepath.ToSlash(filepath.Join(export.PartitionYear(year), name+".parquet"))}, sum: sha256.New()}
	path := filepath.Join(t.dir, w.part.File)
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, err
	}
	var err error
	if w.file, err = os.OpenFile(path+partEnding, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o600); err != nil {
		return nil, err
	}
	w.buf = bufio.NewWriterSize(io.MultiWriter(w.file, w.sum), 64<<10)
	w.out = newWriter[T](w.buf, t.label)
	return w, nil
}

func newWriter[T any](out io.Writer, l labels) *parquet.GenericWriter[T] {
	return export.ParquetTable[T](out, Schema, l.railway, l.box, l.zone, parquet.Compression(&parquet.Zstd), parquet.MaxRowsPerRowGroup(rowsInGroup))
}

func (w *writing[T]) flush() error {
	n, err := w.out.Write(w.rows)
	w.part.Rows += int64(n)
	clear(w.rows)
	w.rows = w.rows[:0]
	return err
}

// close makes a file whole, still under its provisional name.
func (t *table[T]) close(w *writing[T]) error {
	err := errors.Join(w.flush(), w.out.Close(), w.buf.Flush(), w.file.Sync())
	if info, serr := w.file.Stat(); serr == nil {
		w.part.Bytes = info.Size()
	}
	if err = errors.Join(err, w.file.Close()); err != nil {
		return fmt.Errorf("writing %s: %w", w.file.Name(), err)
	}
	w.part.SHA256 = hex.EncodeToString(w.sum.Sum(nil))
	t.done = append(t.done, w.part)
	return nil
}

// finish closes all files and gives them.
func (t *table[T]) finish() ([]Part, error) {
	for len(t.open) > 0 {
		w := t.open[0]
		t.open = t.open[1:]
		if err := t.close(w); err != nil {
			return nil, err
		}
	}
	return t.done, nil
}

// abandon lets go of what was begun.
func (t *table[T]) abandon() {
	for _, w := range t.open {
		w.file.Close()
		os.Remove(w.file.Name())
	}
	for _, p := range t.done {
		os.Remove(filepath.Join(t.dir, p.File) + partEnding)
	}
}
