package audit

import (
	"bytes"
	"database/sql"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	_ "modernc.org/sqlite"

	"fairhand/register"
	"fairhand/register/median"
	"fairhand/register/registertest/busy"
)

const rowsEnv = "FAIRHAND_ROWS" // entries in BenchmarkAudit, default 200,000

// BenchmarkAudit: the whole audit, chain of hashes and rules and figures, against
// a bare row-by-row scan of the same rows that only counts, in turns within one
// run. The aim: at least half the speed. Rows from FAIRHAND_ROWS.
func BenchmarkAudit(b *testing.B) {
	rows := 200_000
	if n := os.Getenv(rowsEnv); n != "" {
		rows = must(strconv.Atoi(n))(b)
	}
	book := newRegister(b, testBox)
	fill(b, book, rows)
	db := must(sql.Open("sqlite", "file:"+filepath.Join(book.Dir, register.RegisterName)+"?mode=ro"))(b)
	defer db.Close()
	db.SetMaxOpenConns(1)
	var audits, bares, ratios, work []float64
	var allocs uint64
	peak := 0.0
	for b.Loop() {
		debug.FreeOSMemory()
		_ = os.WriteFile("/proc/self/clear_refs", []byte("5"), 0o600) // the peak of what was done before does not count
		before, begin, cpu := busy.Mallocs(), time.Now(), cpuSeconds()
		r := auditRegister(b, book, Options{})
		audit := float64(time.Since(begin).Nanoseconds()) / float64(rows)
		allocs = busy.Mallocs() - before
		peak = max(peak, busy.PeakMB())
		auditCPU := cpuSeconds() - cpu
		if r.Extent.Entries != int64(rows) || r.Extent.ProvedFor != int64(rows) {
			b.Fatalf("%d entries, %d proved", r.Extent.Entries, r.Extent.ProvedFor)
		}
		runtime.GC()
		begin, cpu = time.Now(), cpuSeconds()
		bareScan(b, db, rows)
		bare := float64(time.Since(begin).Nanoseconds()) / float64(rows)
		audits, bares, ratios = append(audits, audit), append(bares, bare), append(ratios, bare/audit)
		work = append(work, auditCPU/(cpuSeconds()-cpu))
	}
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(median.Of(audits), "audit-ns/row")
	b.ReportMetric(median.Of(bares), "bare-ns/row")
	b.ReportMetric(median.Of(ratios), "speed-of-bare")
	b.ReportMetric(slices.Min(ratios), "worst-speed-of-bare")
	b.ReportMetric(median.Of(work), "cpu-of-bare") // of all cores: what counts when others want them
	b.ReportMetric(float64(allocs)/float64(rows), "allocs/row")
	b.ReportMetric(peak, "peak-MB")
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

// cpuSeconds is the processor time of this process, in steps of a hundredth of a
// second; 0 if unknown.
func cpuSeconds() float64 {
	stat, _ := os.ReadFile("/proc/self/stat")
	fields := strings.Fields(string(stat[bytes.LastIndexByte(stat, ')')+1:]))
	if len(fields) < 13 {
		return 0
	}
	user, _ := strconv.ParseFloat(fields[11], 64)
	system, _ := strconv.ParseFloat(fields[12], 64)
	return (user + system) / 100
}
