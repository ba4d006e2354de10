package gather

import (
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"fairhand/register/registertest/busy"
)

// TestScale gathers a long line (FAIRHAND_BOXES boxes for FAIRHAND_DAYS days, 30 when not
// given), again when nothing has changed, and again with one more entry in one book; then
// it puts every question to every engine. It prints the time of each.
func TestScale(t *testing.T) {
	boxes, _ := strconv.Atoi(os.Getenv("FAIRHAND_BOXES"))
	if boxes == 0 {
		t.Skip("FAIRHAND_BOXES is not set")
	}
	days, _ := strconv.Atoi(os.Getenv("FAIRHAND_DAYS"))
	if days == 0 {
		days = 30
	}
	begun := time.Now()
	l := made(t, worldOptions{boxes: boxes, days: days, every: 40, careless: 20})
	t.Logf("%d registers of %d days made in %.1f s", len(l.dirs), days, time.Since(begun).Seconds())
	step := func(what string, unchanged int) {
		begun, worked := time.Now(), busy.Processor()
		res := run(t, l.out, l.dirs...)
		n := strings.Count(strings.Join(states(res), " "), string(Unchanged))
		pairs, entries := 0, int64(0)
		for _, p := range res.Pairs {
			if p.State == Gathered {
				pairs++
			}
		}
		for _, b := range res.Boxes {
			entries += b.Head.Entry
		}
		t.Logf("%s: %.2f s, %.2f s of processor; %d boxes and %d pairs made, %d unchanged; %d entries in all; peak memory %.0f MB", what, time.Since(begun).Seconds(), busy.Processor()-worked, len(res.Boxes)-n, pairs, n, entries, busy.PeakMB())
		if n != unchanged {
			t.Errorf("%s: %d boxes unchanged, want %d", what, n, unchanged)
		}
	}
	step("gathered", 0)
	step("again, nothing changed", len(l.dirs))
	sizes(t, l.out)
	more(t, l.dirs[boxes/2], "date 2026-12-01\n10:00 note \"one more\"\n")
	step("again, one box changed", len(l.dirs)-1)
	l.questions()
}

// sizes prints what the tables take.
func sizes(t *testing.T, out string) {
	sum, n := map[string]int64{}, map[string]int{}
	err := filepath.WalkDir(out, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		table, _, _ := strings.Cut(d.Name(), ".")
		if strings.HasPrefix(table, "_") {
			table = "manifests"
		}
		sum[table] += info.Size()
		n[table]++
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for table, bytes := range sum {
		t.Logf("%s: %d files, %d bytes", table, n[table], bytes)
	}
}
