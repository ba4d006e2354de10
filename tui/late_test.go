package tui

import (
	"fmt"
	"runtime"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"

	"fairhand/register"
)

// What a late entry costs, from the key that writes it to the screen with the book read
// again: 50 ms is what is asked. A busy machine may take longer, so that the test holds
// what no other program changes, that a long book costs no more than one of three
// days; the time is told, and is bounded by twenty times what is asked.
const (
	lateWithin = 50 * time.Millisecond
	lateBound  = 20 * lateWithin
)

// TestLateEntry makes a book of a month; FAIRHAND_BENCH_ENTRIES=350400 makes one of a year.
func TestLateEntry(t *testing.T) {
	if testing.Short() {
		t.Skip("a long register")
	}
	const aDay = 24 * 3600 / 90 // entries of the bench's book
	year, took := lateEntries(t, max(30*aDay, benchEntries(t)))
	short, _ := lateEntries(t, 3*aDay)
	t.Logf("a late entry: %v from the key to the screen (%v asked), %d allocations; %d in a book of three days", took, lateWithin, year, short)
	if took > lateBound {
		t.Errorf("a late entry took %v, which is more than twenty times what is asked", took)
	}
	if year > short*3/2 {
		t.Errorf("a late entry takes %d allocations in a long book and %d in one of three days: it should read one day again", year, short)
	}
}

// lateEntries writes some late entries at a desk and gives the middle one of what they
// allocate and of how long they take.
func lateEntries(t *testing.T, entries int) (allocated int, took time.Duration) {
	t.Helper()
	d, app, book := deskOf(t, entries)
	var times, counts []time.Duration
	for n := range 11 {
		typed(d, fmt.Sprintf("e09:%02d note \"late, %d\"", 10+n, n))
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		begun, had := time.Now(), len(book.Recent())
		for range 3 { // it may be asked about
			if d.key(tcell.NewEventKey(tcell.KeyEnter, 0, tcell.ModNone)); len(book.Recent()) > had {
				break
			}
		}
		app.ForceDraw()
		times = append(times, time.Since(begun))
		runtime.ReadMemStats(&after)
		counts = append(counts, time.Duration(after.Mallocs-before.Mallocs))
		onceWritten(t, book, had)
	}
	return int(median(counts)), median(times)
}

func typed(d *desk, text string) {
	for _, c := range text {
		d.key(tcell.NewEventKey(tcell.KeyRune, c, tcell.ModNone))
	}
}

func onceWritten(t *testing.T, book *register.Book, had int) {
	t.Helper()
	if got := len(book.Recent()); got != had+1 {
		t.Fatalf("%d entries written, want one", got-had)
	}
}
