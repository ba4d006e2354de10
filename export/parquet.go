package export

import (
	"context"
	"fmt"
	"io"
	"iter"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/parquet-go/parquet-go"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/notation"
	"fairhand/register/reading"
)

// SchemaParquet names the shape of the Parquet files. It changes when a column
// changes its meaning or goes; columns may be added without.
const SchemaParquet = "fairhand-entries-1"

// parquetEntry is a row of the Parquet files, schema fairhand-entries-1. Railway,
// box and year are in the path of the file, from which DuckDB, Spark and
// ClickHouse make columns, and in its metadata.
type parquetEntry struct {
	EntryRow
	Findings []parquetFinding `parquet:"findings,list"`
	EntryLine
	Previous *string          `parquet:"previous_hash,optional"`
	Hash     *string          `parquet:"hash,optional"`
	Answered []parquetFinding `parquet:"findings_answered,list"`
}

// EntryRow is what every table of entries in Parquet has of one: the columns from
// day to explained_by.
type EntryRow struct {
	Day           int32         `parquet:"day,date"` // register day, local date of the box
	Entry         int64         `parquet:"entry"`
	At            int64         `parquet:"happened_at,timestamp(microsecond)"` // UTC; "at" is a word of SQL in DuckDB
	Recorded      int64         `parquet:"recorded_at,timestamp(microsecond)"`
	Writer        *string       `parquet:"writer,optional,dict"`
	Kind          string        `parquet:"kind,dict"`
	Section       *string       `parquet:"section,optional,dict"`
	Line          *string       `parquet:"line,optional,dict"`
	Train         *string       `parquet:"train,optional,dict"`       // several: parted by comma and space
	Description   *string       `parquet:"description,optional,dict"` // bell codes of those trains, in the same way
	Bells         []parquetBell `parquet:"bells,list"`
	Number        *int64        `parquet:"number,optional"`
	Place         *string       `parquet:"place,optional,dict"`
	Proof         *string       `parquet:"proof,optional,dict"`
	Subject       *string       `parquet:"subject,optional,dict"`
	Text          *string       `parquet:"text,optional"`
	CorrectedBy   *int64        `parquet:"corrected_by,optional"`
	StandsInstead *string       `parquet:"stands_instead,optional"`
	ExplainedBy   []int64       `parquet:"explained_by,list"`
}

// EntryLine is the entry itself, as it was written.
type EntryLine struct {
	AsWritten string `parquet:"as_written"`
}

type parquetBell struct {
	Sent bool   `parquet:"sent"`
	Code string `parquet:"code,dict"`
}

type parquetFinding struct {
	Rule     string `parquet:"rule,dict"`
	Severity string `parquet:"severity,dict"`
	Root     *int64 `parquet:"root,optional"`
	Answered *int64 `parquet:"answered,optional"`
}

// Parquet is the name of the format in which a folder is written, not a file; it
// is none of Formats.
const Parquet = "parquet"

// WriteParquet writes the entries of some days of one box, in order. Only one
// day is held at a time. With no day at all it is an error for which
// errors.Is(err, register.ErrNoEntries) holds.
func WriteParquet(out io.Writer, days iter.Seq2[*register.Day, error]) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("writing parquet: a fault within the program: %v", r)
		}
	}()
	var w *parquet.GenericWriter[parquetEntry]
	for d, err := range days {
		if err != nil {
			return err
		}
		if w == nil {
			w = ParquetTable[parquetEntry](out, SchemaParquet, d.Box.Railway, d.Box.Name, d.Zone.String(), parquet.Compression(&parquet.Snappy), parquet.MaxRowsPerRowGroup(100_000))
		}
		w.SetKeyValueMetadata("fairhand.head", fmt.Sprintf("%d %s", d.Head.Seq, d.Head.Hash.String()))
		rows := each.Of(entryViews(d, plainCode), func(v entryView) parquetEntry { return parquetRow(&v) })
		if _, err := w.Write(rows); err != nil {
			return fmt.Errorf("writing %s as parquet: %w", d.Date, err)
		}
	}
	if w == nil {
		return fmt.Errorf("writing parquet: %w", register.ErrNoEntries)
	}
	return w.Close()
}

// ParquetTable begins a file of rows of one box, with what it is in its metadata.
func ParquetTable[T any](out io.Writer, schema, railway, box, zone string, more ...parquet.WriterOption) *parquet.GenericWriter[T] {
	return parquet.NewGenericWriter[T](out, append(more, parquet.CreatedBy("fairhand", "1", schema), parquet.KeyValueMetadata("fairhand.schema", schema),
		parquet.KeyValueMetadata("fairhand.railway", railway), parquet.KeyValueMetadata("fairhand.box", box),
		parquet.KeyValueMetadata("fairhand.zone", zone), parquet.KeyValueMetadata("fairhand.caution", register.Caution))...)
}

func parquetRow(v *entryView) parquetEntry {
	e := &v.e.Entry
	return parquetEntry{
		EntryRow: NewEntryRow(e, v.d.Zone, v.names(), v.codes()), EntryLine: EntryLine{e.Line}, Previous: new(e.Prev.String()), Hash: new(e.Hash.String()),
		Findings: parquetFindings(v.e.Findings), Answered: parquetFindings(v.e.Answered),
	}
}

// NewEntryRow is an entry as a row; trains and codes are the names and the bell
// codes of the trains that it concerns, parted by comma and space.
func NewEntryRow(e *reading.Entry, zone *time.Location, trains, codes string) EntryRow {
	ev := &e.Event
	p := EntryRow{
		Day: EpochDay(e.Day), Entry: e.Seq, At: int64(ev.At) * 1e6, Recorded: e.Recorded * 1e6, Writer: OrNull(e.Writer),
		Kind: notation.KindWord(ev.Kind), Section: OrNull(ev.Section), Line: OrNull(ev.Line), Train: OrNull(trains), Description: OrNull(codes),
		Place: OrNull(ev.Place), Proof: OrNull(ev.Proof.String()), Subject: OrNull(ev.Subject), Text: OrNull(ev.Text), CorrectedBy: OrNull(e.CorrectedBy),
		ExplainedBy: e.ExplainedBy(), Bells: each.Of(ev.Bells, func(b block.Bell) parquetBell { return parquetBell{b.Sent, string(b.Code)} }),
	}
	if notation.KindNumbered(ev.Kind) {
		p.Number = new(int64(ev.Number))
	}
	if e.CorrectedBy != 0 {
		p.StandsInstead = OrNull(notation.Format(*ev, zone))
	}
	return p
}

func parquetFindings(found []block.Finding) []parquetFinding {
	return each.Of(found, func(f block.Finding) parquetFinding {
		return parquetFinding{string(f.Rule), f.Severity.String(), OrNull(f.Root), OrNull(f.Answered)}
	})
}

// OrNull is a value of a column that may be null: null for none. The columns are
// pointers because the library (0.32.0) now and then writes a zero for a null of
// columns that are not.
func OrNull[T comparable](v T) *T {
	var none T
	if v == none {
		return nil
	}
	return &v
}

// EpochDay is a register day as Parquet counts dates: days since 1970-01-01.
func EpochDay(day calendar.Day) int32 {
	return int32(day.Midnight(time.UTC).Unix() / (24 * 3600))
}

// ParquetPath is where the entries of a box and year belong in a folder for many
// boxes: railway=…/box=…/year=…/entries.parquet, the way in which Hive parts a
// table, with everything but letters, digits, hyphen, low line and full stop as %XX.
func ParquetPath(railway, box string, year int) string {
	return filepath.Join(PartitionOf(railway, box), PartitionYear(year), "entries.parquet")
}

// PartitionOf is the folder of a box in a folder for many.
func PartitionOf(railway, box string) string {
	return filepath.Join("railway="+Partition(railway), "box="+Partition(box))
}

// PartitionYear is the folder of a year in that of a box.
func PartitionYear(year int) string { return "year=" + strconv.Itoa(year) }

// Partition is a name as the folders and files of a collection have it.
func Partition(s string) string {
	if s == "" {
		return "__HIVE_DEFAULT_PARTITION__"
	}
	var out strings.Builder
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '_' || c == '.' {
			out.WriteByte(c)
		} else {
			fmt.Fprintf(&out, "%%%02X", c)
		}
	}
	return out.String()
}

// Collect writes the entries of the register days from the first to the last
// (0 is open) into the folder for many boxes, a file for each year; it
// returns the files. A file holds the days asked for and no others. Existing files
// are refused unless overwrite is set. Days without entries are an error for which
// errors.Is(err, register.ErrNoEntries) holds.
func Collect(ctx context.Context, root string, book *register.Book, from, to calendar.Day, overwrite bool) ([]string, error) {
	days, err := book.Store().Days(from, to)
	if err != nil {
		return nil, err
	}
	if len(days) == 0 {
		return nil, fmt.Errorf("%w in the days asked for", register.ErrNoEntries)
	}
	var files []string
	for len(days) > 0 {
		year := days[0].Year()
		n := slices.IndexFunc(days, func(d calendar.Day) bool { return d.Year() != year })
		if n < 0 {
			n = len(days)
		}
		name := filepath.Join(root, ParquetPath(book.Box().Railway, book.Box().Name, year))
		if err := os.MkdirAll(filepath.Dir(name), 0o700); err != nil {
			return files, fmt.Errorf("making the folder for %d: %w; is %s a folder that may be written?", year, err, root)
		}
		some := days[:n]
		err := Create(name, overwrite, func(w io.Writer) error { return WriteParquet(w, loaded(ctx, book, some)) })
		if err != nil {
			return files, err
		}
		files, days = append(files, name), days[n:]
	}
	return files, nil
}

// loaded reads days of a register one after another.
func loaded(ctx context.Context, book *register.Book, days []calendar.Day) iter.Seq2[*register.Day, error] {
	return func(yield func(*register.Day, error) bool) {
		for _, day := range days {
			d, err := book.LoadDay(ctx, day)
			if err == nil && len(d.Alarms) > 0 {
				err = &AlarmError{d.Alarms}
			}
			if !yield(d, err) || err != nil {
				return
			}
		}
	}
}
