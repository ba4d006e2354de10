package tui

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/store"
)

// benchEntries is how large a register the benchmarks work on; the environment
// variable FAIRHAND_BENCH_ENTRIES sets it (5000000 for that of a busy box after
// some decades, which takes minutes to make).
func benchEntries(tb testing.TB) int {
	n, err := strconv.Atoi(os.Getenv("FAIRHAND_BENCH_ENTRIES"))
	if err != nil {
		return 2000
	}
	tb.Logf("a register of %d entries", n)
	return n
}

// benchDay is a quarter of an hour of trains through the box, over and over.
var benchDay = []string{
	"Saltgarth <1 >1 <3-1 >3-1 train %s", "Saltgarth <2 >2 train %[1]s", "train %s arrived at \"Platform 1\" complete",
	"Saltgarth >1 <1 >2-1 <2-1 train %s", "Coldbeck >1 <1 >3-1 <3-1 train %s", "Coldbeck token %[2]d out", "train %[1]s departed for Coldbeck",
	"Coldbeck >2 <2 train %[1]s", "Coldbeck <1 >1 <2-1 >2-1 train %[1]s",
}

// benchDesk is a desk of 120 by 40 on a large register.
func benchDesk(tb testing.TB) (*desk, *tview.Application, *register.Book) {
	tb.Helper()
	return deskOf(tb, benchEntries(tb))
}

// deskOf is such a desk on a register of so many entries.
func deskOf(tb testing.TB, entries int) (*desk, *tview.Application, *register.Book) {
	tb.Helper()
	dir := tb.TempDir()
	data, err := os.ReadFile("testdata/box.yaml")
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, register.BoxFileName), data, 0o644)
	}
	if err != nil {
		tb.Fatal(err)
	}
	end := time.Date(2026, 5, 5, 10, 0, 0, 0, time.UTC)
	n := entries / len(benchDay) * len(benchDay) // no train under way at the end
	now := end.Add(-time.Duration(n) * 90 * time.Second)
	book, err := register.Create(dir, register.Options{Now: func() time.Time { return now }})
	if err != nil {
		tb.Fatal(err)
	}
	fill(tb, book.Store(), now, n)
	if err := book.Close(); err != nil {
		tb.Fatal(err)
	}
	now = end
	if book, err = register.Open(dir, register.Options{Now: func() time.Time { return now }}); err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { book.Close() })
	screen := tcell.NewSimulationScreen("UTF-8")
	app := tview.NewApplication().SetScreen(screen)
	screen.SetSize(120, 40)
	d := newDesk(book, book.Location(), Options{})
	d.attach(app)
	app.ForceDraw()
	return d, app, book
}

// fill writes n entries of bench trains, one every minute and a half.
func fill(tb testing.TB, st *store.Store, from time.Time, n int) {
	tb.Helper()
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		tb.Fatal(err)
	}
	var batch []store.Draft
	for i := range n {
		at := from.Add(time.Duration(i) * 90 * time.Second).In(zone)
		train, form := fmt.Sprintf("2A%02d", i/len(benchDay)%90), benchDay[i%len(benchDay)]
		body := fmt.Sprintf(form, train)
		if i%len(benchDay) == 5 {
			body = fmt.Sprintf("Coldbeck token %d out", 1+i/len(benchDay)%3)
		} else if i%len(benchDay) > 5 || i%len(benchDay) == 1 {
			body = fmt.Sprintf(form, train)
		}
		y, m, d := at.Date()
		batch = append(batch, store.Draft{At: at.Unix(), Recorded: at.Unix(), Day: calendar.Day(y*10000 + int(m)*100 + d), Writer: "A. Fell", Line: at.Format("15:04:05 ") + body})
		if len(batch) == 20000 || i == n-1 {
			if _, err := st.AppendBatch(batch); err != nil {
				tb.Fatal(err)
			}
			batch = batch[:0]
		}
	}
}

func median(list []time.Duration) time.Duration {
	slices.Sort(list)
	return list[len(list)/2]
}

// BenchmarkKeyToScreen measures, turn about in one run, a key press that writes
// an entry, from the key to the redrawn screen (decide, preview, synced append, a
// fresh look at the book, drawing), and the bare append of the same entry. The
// aim is a ratio of the medians below 10:
//
//	FAIRHAND_BENCH_ENTRIES=5000000 go test ./tui -run xxx -bench KeyToScreen -benchtime 400x
func BenchmarkKeyToScreen(b *testing.B) {
	d, app, book := benchDesk(b)
	var key, bare []time.Duration
	last := book.Recent()[len(book.Recent())-1]
	draft := store.Draft{At: last.At, Recorded: last.Recorded, Day: last.Day, Writer: last.Writer, Line: "10:00 Coldbeck <16"}
	press := func(i int) {
		for _, k := range "b16" {
			d.key(tcell.NewEventKey(tcell.KeyRune, k, tcell.ModNone))
		}
		begun := time.Now()
		d.key(tcell.NewEventKey(tcell.KeyRune, []rune("<>")[i%2], tcell.ModNone))
		app.ForceDraw()
		key = append(key, time.Since(begun))
	}
	b.ResetTimer()
	for i := range b.N {
		if i%4 < 2 { // either goes first as often: the disk remembers
			press(i)
		}
		begun := time.Now()
		if _, err := book.Store().Append(draft); err != nil {
			b.Fatal(err)
		}
		bare = append(bare, time.Since(begun))
		if i%4 >= 2 {
			press(i)
		}
	}
	if got := book.Recent()[len(book.Recent())-1].Line; !strings.Contains(got, "16") {
		b.Fatalf("no bell was written: the last entry is %s", got)
	}
	k, a := median(key), median(bare)
	b.ReportMetric(float64(k.Microseconds()), "key-µs")
	b.ReportMetric(float64(a.Microseconds()), "append-µs")
	b.ReportMetric(float64(k)/float64(a), "ratio")
}

// BenchmarkTick is a second going by: a fresh look and the screen drawn.
func BenchmarkTick(b *testing.B) {
	d, app, _ := benchDesk(b)
	b.ResetTimer()
	for range b.N {
		d.key(tcell.NewEventKey(tick, 0, tcell.ModNone))
		app.ForceDraw()
	}
}

// BenchmarkScrollAndSearch measures for how long one key holds the desk, 99 in 100
// and at the longest, while it goes to days long ago and while all years are searched.
func BenchmarkScrollAndSearch(b *testing.B) {
	d, app, _ := benchDesk(b)
	took := map[string][]time.Duration{}
	press := func(what string, ev *tcell.EventKey) {
		begun := time.Now()
		d.key(ev)
		app.ForceDraw()
		took[what] = append(took[what], time.Since(begun))
	}
	char := func(what, text string) {
		for _, c := range text {
			press(what, tcell.NewEventKey(tcell.KeyRune, c, tcell.ModNone))
		}
	}
	enter, esc := tcell.NewEventKey(tcell.KeyEnter, 0, 0), tcell.NewEventKey(tcell.KeyEsc, 0, 0)
	var begun time.Time
	var searched time.Duration
	b.ResetTimer()
	for range b.N {
		char("type", "r")
		for range 5 {
			press("day before", tcell.NewEventKey(tcell.KeyLeft, 0, 0))
		}
		char("type", "g1990")
		press("date", enter)
		char("type", "snowhere")
		begun = time.Now()
		press("search", enter)
		for d.model.hunt.on {
			press("tick in a search", tcell.NewEventKey(tick, 0, 0))
			press("move in a search", tcell.NewEventKey(tcell.KeyDown, 0, 0))
		}
		searched = time.Since(begun)
		press("back", esc)
		press("back", esc)
	}
	for what, list := range took {
		slices.Sort(list)
		b.ReportMetric(float64(list[len(list)*99/100].Microseconds())/1000, slug(what)+"-p99-ms")
		b.ReportMetric(float64(list[len(list)-1].Microseconds())/1000, slug(what)+"-max-ms")
	}
	b.ReportMetric(searched.Seconds(), "search-s")
}

func slug(s string) string {
	out := []rune(s)
	for i, r := range out {
		if r == ' ' {
			out[i] = '-'
		}
	}
	return string(out)
}
