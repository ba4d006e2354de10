package export

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/parquet-go/parquet-go"

	"fairhand/register"
	"fairhand/register/registertest"
)

func oneDay(d *register.Day) iter.Seq2[*register.Day, error] {
	return func(yield func(*register.Day, error) bool) { yield(d, nil) }
}

// readEntry is some columns of a row: the library does not read null into what is
// embedded.
type readEntry struct {
	Day         int32            `parquet:"day,date"`
	Entry       int64            `parquet:"entry"`
	At          int64            `parquet:"happened_at,timestamp(microsecond)"`
	Bells       []parquetBell    `parquet:"bells,list"`
	Text        string           `parquet:"text,optional"`
	CorrectedBy *int64           `parquet:"corrected_by,optional"`
	Findings    []parquetFinding `parquet:"findings,list"`
	AsWritten   string           `parquet:"as_written"`
	Hash        string           `parquet:"hash,optional"`
}

// The library reads back every entry as the day has it, with the schema and the
// seal in the metadata; two files of a day are the same bytes.
func TestParquetReadsBack(t *testing.T) {
	d := tuesday(t)
	var out, again bytes.Buffer
	if err := WriteParquet(&out, oneDay(d)); err != nil {
		t.Fatal(err)
	}
	if err := WriteParquet(&again, oneDay(d)); err != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
		t.Errorf("two exports of a day differ: %v", err)
	}
	rows, err := parquet.Read[readEntry](bytes.NewReader(out.Bytes()), int64(out.Len()))
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != len(d.Entries) {
		t.Fatalf("%d rows of %d entries", len(rows), len(d.Entries))
	}
	findings := 0
	for i, r := range rows {
		e := &d.Entries[i]
		findings += len(r.Findings)
		if r.Entry != e.Seq || r.AsWritten != e.Line || r.At != int64(e.Event.At)*1e6 || r.Hash != e.Hash.String() || len(r.Bells) != len(e.Event.Bells) ||
			(r.CorrectedBy != nil) != (e.CorrectedBy != 0) || r.Text != e.Event.Text {
			t.Errorf("row %+v of entry %+v", r, e)
		}
		if got := time.Unix(int64(r.Day)*24*3600, 0).UTC().Format(time.DateOnly); got != "2026-05-05" {
			t.Errorf("day %s", got)
		}
	}
	if findings < 3 {
		t.Errorf("%d findings", findings)
	}
	f, err := parquet.OpenFile(bytes.NewReader(out.Bytes()), int64(out.Len()))
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range map[string]string{"fairhand.schema": SchemaParquet, "fairhand.box": "Ennerholme", "fairhand.caution": register.Caution,
		"fairhand.head": fmt.Sprintf("%d %s", d.Head.Seq, d.Head.Hash)} {
		if got, _ := f.Lookup(k); got != want {
			t.Errorf("%s is %q, want %q", k, got, want)
		}
	}
}

func TestParquetPath(t *testing.T) {
	for _, c := range []struct{ railway, box, want string }{
		{"Thrackley Vale Railway", "Ennerholme", "railway=Thrackley%20Vale%20Railway/box=Ennerholme/year=2026/entries.parquet"},
		{"", "../=é", "railway=__HIVE_DEFAULT_PARTITION__/box=..%2F%3D%C3%A9/year=2026/entries.parquet"},
	} {
		if got := filepath.ToSlash(ParquetPath(c.railway, c.box, 2026)); got != c.want {
			t.Errorf("%s, want %s", got, c.want)
		}
	}
}

// A register of two years becomes two files; nothing is written over unasked.
func TestCollect(t *testing.T) {
	dir := t.TempDir()
	box, _ := registertest.Demo(t, "..")
	if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), []byte(box), 0o644); err != nil {
		t.Fatal(err)
	}
	b, err := register.Create(dir, register.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	if files, err := Collect(t.Context(), filepath.Join(dir, "all"), b, 0, 0, false); !errors.Is(err, register.ErrNoEntries) || len(files) != 0 {
		t.Errorf("an empty register: %v %v", files, err)
	}
	book := "date 2024-12-31\n23:00 duty on \"A. Fell\"\n23:10 note \"one\"\ndate 2025-01-01\n00:10 note \"two\"\ndate 2025-06-01\n10:00 note \"three\"\n"
	if _, err := b.Import(t.Context(), strings.NewReader(book), register.ImportOptions{}); err != nil {
		t.Fatal(err)
	}
	root := filepath.Join(dir, "all")
	files, err := Collect(t.Context(), root, b, 0, 0, false)
	if err != nil || len(files) != 2 {
		t.Fatalf("%v %v", files, err)
	}
	total := 0
	for i, want := range []int{2, 2} {
		rows, err := parquet.ReadFile[readEntry](files[i])
		if err != nil || len(rows) != want {
			t.Errorf("%s has %d rows: %v", files[i], len(rows), err)
		}
		total += len(rows)
	}
	if _, err := Collect(t.Context(), root, b, 0, 0, false); !errors.Is(err, fs.ErrExist) {
		t.Errorf("existing files: %v", err)
	}
	if _, err := Collect(t.Context(), root, b, 0, 0, true); err != nil {
		t.Error(err)
	}
	some := filepath.Join(dir, "some")
	files, err = Collect(t.Context(), some, b, 20250101, 20250531, false)
	if err != nil || len(files) != 1 {
		t.Fatalf("%v %v", files, err)
	}
	if rows, err := parquet.ReadFile[readEntry](files[0]); err != nil || len(rows) != 1 || rows[0].Entry != 3 {
		t.Errorf("from January to May 2025: %v %v", rows, err)
	}
	if err := WriteParquet(&bytes.Buffer{}, func(func(*register.Day, error) bool) {}); !errors.Is(err, register.ErrNoEntries) {
		t.Errorf("no days: %v", err)
	}
}
