package store

import (
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"testing"
	"time"

	"fairhand/register/calendar"
	"fairhand/register/median"
	"fairhand/register/registertest/busy"
)

const rowsEnv = "FAIRHAND_ROWS" // entries in BenchmarkVerify, default 200,000

// rival is one way of doing the thing, timed in turn with the others.
type rival struct {
	name string
	do   func(i int)
	took []int64 // ns of each call
	mid  []int64 // median of each block
}

// race times the rivals in blocks, rotating the order, and reports the median
// of each, and the median over rounds of each one's ratio to the last.
func race(b *testing.B, block int, rivals ...*rival) {
	b.Helper()
	round := 0
	for b.Loop() {
		for k := range rivals {
			r := rivals[(round+k)%len(rivals)]
			runtime.GC()
			for i := range block {
				begin := time.Now()
				r.do(round*block + i)
				r.took = append(r.took, time.Since(begin).Nanoseconds())
			}
			r.mid = append(r.mid, median.Of(slices.Clone(r.took[len(r.took)-block:])))
		}
		round++
	}
	last := rivals[len(rivals)-1]
	for _, r := range rivals {
		b.ReportMetric(float64(median.Of(slices.Clone(r.took)))/1e3, r.name+"-us")
		if r == last {
			continue
		}
		ratios := make([]float64, round)
		for i := range ratios {
			ratios[i] = float64(r.mid[i]) / float64(last.mid[i])
		}
		b.ReportMetric(median.Of(ratios), r.name+"/"+last.name)
	}
	b.ReportMetric(0, "ns/op") // a round of all rivals says nothing
}

// BenchmarkAppend: a full append against a bare prepared INSERT with the same
// journal and sync settings into a table of the same columns without index,
// triggers or checks. Run with -benchtime 200x.
func BenchmarkAppend(b *testing.B) {
	s := newStore(b)
	path := filepath.Join(filepath.Dir(s.Path()), "bare.db")
	if err := os.WriteFile(path, nil, 0o644); err != nil {
		b.Fatal(err)
	}
	db := must(connect(path, writing, 1))(b)
	defer db.Close()
	must(db.Exec("CREATE TABLE bare(seq INTEGER PRIMARY KEY, at INTEGER, recorded INTEGER, day INTEGER, writer TEXT, line TEXT, hash BLOB)"))(b)
	insert := must(db.Prepare("INSERT INTO bare VALUES(?, ?, ?, ?, ?, ?, ?)"))(b)
	hash := make([]byte, 32)
	race(b, 10,
		&rival{name: "append", do: func(i int) { must(s.Append(draft(i)))(b) }},
		&rival{name: "bare", do: func(i int) {
			d := draft(i)
			must(insert.Exec(i+1, d.At, d.Recorded, d.Day, d.Writer, d.Line, hash))(b)
		}})
}

// BenchmarkVerify: the whole proof, the chain alone, and reading all entries by
// Each, against a bare row-by-row scan that only counts. Rows from FAIRHAND_ROWS.
func BenchmarkVerify(b *testing.B) {
	rows := 200_000
	if n := os.Getenv(rowsEnv); n != "" {
		rows = must(strconv.Atoi(n))(b)
	}
	s := newStore(b)
	for from := 0; from < rows; from += 50_000 {
		list := drafts(from, min(50_000, rows-from))
		for i := range list { // 300 entries a day, as in a real box
			day := (from + i) / 300
			list[i].Day = calendar.Day((1990+day/336)*10000 + (day/28%12+1)*100 + day%28 + 1)
		}
		must(s.AppendBatch(list))(b)
	}
	var allocs uint64
	verify := &rival{name: "verify", do: func(int) {
		before := busy.Mallocs()
		if n := must(s.Verify(nil))(b).Entries; n != int64(rows) {
			b.Fatal(n)
		}
		allocs = busy.Mallocs() - before
	}}
	chain := &rival{name: "chain", do: func(int) {
		if err := s.NewDayCheck().read(int64(rows), nil); err != nil {
			b.Fatal(err)
		}
	}}
	each := &rival{name: "each", do: func(int) {
		n := 0
		for list, err := range s.Each(1) {
			if n += len(list); err != nil {
				b.Fatal(err)
			}
		}
		if n != rows {
			b.Fatal(n)
		}
	}}
	bare := &rival{name: "bare", do: func(int) { bareScan(b, s.read, rows) }}
	race(b, 1, verify, chain, each, bare)
	b.ReportMetric(float64(allocs)/float64(rows), "verify-allocs/row")
	b.ReportMetric(float64(median.Of(slices.Clone(verify.took)))/float64(rows), "verify-ns/row")
	b.ReportMetric(float64(must(os.Stat(s.Path()))(b).Size())/float64(rows), "file-B/row")
	b.ReportMetric(busy.PeakMB(), "peak-MB")
}

func bareScan(b *testing.B, db *sql.DB, rows int) {
	q := must(db.Query("SELECT seq, at, recorded, day, writer, line, hash FROM entry ORDER BY seq"))(b)
	defer q.Close()
	var seq, at, recorded, day int64
	var writer, line, hash sql.RawBytes
	n := 0
	for q.Next() {
		if err := q.Scan(&seq, &at, &recorded, &day, &writer, &line, &hash); err != nil {
			b.Fatal(err)
		}
		n++
	}
	if n != rows {
		b.Fatal(n)
	}
}

// BenchmarkImport: AppendBatch against a bare one-row INSERT loop in one
// transaction into a table with the same index, hashes made beforehand.
func BenchmarkImport(b *testing.B) {
	const n = 20_000
	list := drafts(0, n)
	dir := b.TempDir()
	race(b, 1,
		&rival{name: "import", do: func(i int) {
			s := newStoreAt(b, filepath.Join(dir, fmt.Sprint("import", i)))
			must(s.AppendBatch(list))(b)
			s.Close()
		}},
		&rival{name: "bare", do: func(i int) { bareImport(b, filepath.Join(dir, fmt.Sprint("bare", i)), list) }})
}

func bareImport(b *testing.B, path string, list []Draft) {
	if err := os.WriteFile(path, nil, 0o644); err != nil {
		b.Fatal(err)
	}
	db := must(connect(path, writing, 1))(b)
	defer db.Close()
	must(db.Exec(`CREATE TABLE bare(seq INTEGER PRIMARY KEY, at INTEGER, recorded INTEGER, day INTEGER, writer TEXT, line TEXT, hash BLOB);
CREATE INDEX bare_day ON bare(day)`))(b)
	tx := must(db.Begin())(b)
	insert := must(tx.Prepare("INSERT INTO bare VALUES(?, ?, ?, ?, ?, ?, ?)"))(b)
	hash := make([]byte, 32)
	for i, d := range list {
		must(insert.Exec(i+1, d.At, d.Recorded, d.Day, d.Writer, d.Line, hash))(b)
	}
	if err := tx.Commit(); err != nil {
		b.Fatal(err)
	}
}
