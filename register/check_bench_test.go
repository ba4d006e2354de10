package register

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/registertest/busy"
)

const benchBox = busy.Box

func writeBenchBook(tb testing.TB, lines int) string {
	tb.Helper()
	path := filepath.Join(tb.TempDir(), "book.txt")
	var b strings.Builder
	for n, day := 0, 0; n < lines; day++ {
		fmt.Fprintf(&b, "date %04d-%02d-%02d\n", 1990+day/336, 1+day%336/28, 1+day%28)
		n++
		for h := 6; h < 22 && n < lines; h++ {
			fmt.Fprintf(&b, busy.Hour, h)
			n += strings.Count(busy.Hour, "\n")
		}
	}
	if err := os.WriteFile(path, []byte(b.String()), 0o600); err != nil {
		tb.Fatal(err)
	}
	return path
}

// BenchmarkCheck replays a book of a million lines, twice read as Check does,
// and reports lines a second and the memory held afterwards.
func BenchmarkCheck(b *testing.B) {
	const lines = 1_000_000
	file, err := boxfile.Decode(strings.NewReader(benchBox), "box.yaml")
	if err != nil {
		b.Fatal(err)
	}
	path := writeBenchBook(b, lines)
	for b.Loop() {
		f, err := os.Open(path)
		if err != nil {
			b.Fatal(err)
		}
		sum, err := Check(b.Context(), file.Box, file.Location, f, func(f block.Finding) error {
			return fmt.Errorf("finding in a regular book: line %d %s %s", f.Seq, f.Rule, f.Text)
		})
		f.Close()
		if err != nil {
			b.Fatal(err)
		}
		if sum.Entries < lines*9/10 {
			b.Fatalf("only %d entries", sum.Entries)
		}
	}
	b.StopTimer()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.ReportMetric(lines*float64(b.N)/b.Elapsed().Seconds(), "lines/s")
	b.ReportMetric(float64(m.HeapAlloc)/1e6, "MB-held")
}

// TestCheckAllocates holds what a regular entry costs in memory on the way through both
// readings of a book: the row of its train, a name now and then, and no more.
func TestCheckAllocates(t *testing.T) {
	const lines = 20_000
	file, err := boxfile.Decode(strings.NewReader(benchBox), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(writeBenchBook(t, lines))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	each := testing.AllocsPerRun(1, func() {
		if _, err := Check(t.Context(), file.Box, file.Location, f, func(f block.Finding) error { return fmt.Errorf("a finding: %s", f.Text) }); err != nil {
			t.Error(err)
		}
	}) / lines
	if each > 0.5 {
		t.Errorf("%.2f allocations for a line of a regular book, at most 0.5", each)
	}
	t.Logf("%.2f allocations a line", each)
}
