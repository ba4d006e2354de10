package register

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/tools/txtar"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/notation"
	"fairhand/register/reading"
	"fairhand/register/sheet"
)

const tuesdayFile = "testdata/day/tuesday.txtar"

func dayFile(t *testing.T, name string) (*txtar.Archive, *boxfile.File) {
	t.Helper()
	a, err := txtar.ParseFile(name)
	if err != nil {
		t.Fatal(err)
	}
	file, err := boxfile.Decode(bytes.NewReader(part(a, "box.yaml")), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return a, file
}

// dayBook makes a register of a book in notation, entry by entry, and gives it
// with the clock it was made with.
func dayBook(t *testing.T, box, book []byte) (*Book, *time.Time) {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, BoxFileName), box, 0o644); err != nil {
		t.Fatal(err)
	}
	clock := new(time.Time)
	b, err := Create(dir, Options{Now: func() time.Time { return *clock }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	logBook(t, b, clock, book)
	return b, clock
}

func logBook(t *testing.T, b *Book, clock *time.Time, book []byte) {
	t.Helper()
	events, err := notation.ParseAll(bytes.NewReader(book), b.Location())
	if err != nil {
		t.Fatal(err)
	}
	for _, ev := range events {
		*clock = time.Unix(int64(reading.WrittenAt(&ev)), 0)
		if _, err := b.Log(ev); err != nil {
			t.Fatal(err)
		}
	}
}

// dayOfBook is a day (yyyymmdd, 0 for the last) of the register that is made of a
// book in notation.
func dayOfBook(t *testing.T, box, book []byte, day calendar.Day) *Day {
	t.Helper()
	b := newBookOf(t, box, book)
	if day == 0 {
		var err error
		if day, err = b.Store().LastDay(); err != nil {
			t.Fatal(err)
		}
	}
	d, err := b.LoadDay(t.Context(), day)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// newBookOf makes a register of a book in notation, taken in at once.
func newBookOf(t *testing.T, box, book []byte) *Book {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, BoxFileName), box, 0o644); err != nil {
		t.Fatal(err)
	}
	b, err := Create(dir, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	if _, err := b.Import(t.Context(), bytes.NewReader(book), ImportOptions{AsWritten: true}); err != nil {
		t.Fatal(err)
	}
	return b
}

// pagesText is the pages of a day as lines of text, for comparing.
func pagesText(d *Day) string {
	var out strings.Builder
	pages := d.Pages()
	for i, p := range pages {
		fmt.Fprintf(&out, "# %s, %d of %d\n", p.Title, i+1, len(pages))
		for _, l := range p.Pages(0, nil)[0] {
			switch {
			case l.Kind == sheet.Across:
				text := l.Text
				if l.Struck {
					text = "~" + text + "~"
				}
				fmt.Fprintf(&out, "-- %s\n", strings.TrimSpace(l.Clock+" "+text+" | "+l.Beside))
			case l.Kind == sheet.Past:
				fmt.Fprintf(&out, ".. %s\n", strings.Join(l.Cells, "|"))
			default:
				fmt.Fprintf(&out, "%s\n", strings.Join(l.Cells, "|"))
			}
		}
	}
	return out.String()
}

// TestPage lays out each day under testdata/day; -update rewrites the pages, to
// be read as a diff before they are believed.
func TestPage(t *testing.T) {
	files, _ := filepath.Glob("testdata/day/*.txtar")
	if len(files) == 0 {
		t.Fatal("no days")
	}
	for _, name := range files {
		a, _ := dayFile(t, name)
		d := dayOfBook(t, part(a, "box.yaml"), part(a, "book.txt"), 0)
		got := pagesText(d)
		if *update {
			setPart(a, "pages", got)
			if err := os.WriteFile(name, txtar.Format(a), 0o644); err != nil {
				t.Fatal(err)
			}
		} else if diff := cmp.Diff(string(part(a, "pages")), got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}

// A day of a register that was written entry by entry is the same as that of one
// made of the book at once.
func TestLoadDayIsTheDayOfTheBook(t *testing.T) {
	a, _ := dayFile(t, tuesdayFile)
	book := part(a, "book.txt")
	want := dayOfBook(t, part(a, "box.yaml"), book, 20260505)
	b, clock := dayBook(t, part(a, "box.yaml"), book)
	got, err := b.LoadDay(t.Context(), 20260505)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(pagesText(want), pagesText(got)); diff != "" {
		t.Errorf("book and register differ (-at once +entry by entry):\n%s", diff)
	}
	logBook(t, b, clock, []byte("date 2026-05-06\n06:00 duty off \"R. Howe\"\n06:00 duty on \"A. Fell\"\n"))
	if got, err = b.LoadDay(t.Context(), 20260505); err != nil {
		t.Fatal(err)
	}
	if got.Last.Seq != int64(len(want.Entries)) || got.Head.Seq != got.Last.Seq+2 || got.Last.Hash != got.Entries[len(got.Entries)-1].Hash {
		t.Errorf("last %v, head %v of %d entries", got.Last.Seq, got.Head.Seq, len(want.Entries))
	}
	next, err := b.LoadDay(t.Context(), 20260506)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(next.OnDuty, []string{"R. Howe"}) || len(next.Turns) != 2 || next.Turns[0].Off == 0 {
		t.Errorf("the next day begins with %v on duty, turns %v", next.OnDuty, next.Turns)
	}
	if _, err := b.LoadDay(t.Context(), 20260504); !errors.Is(err, ErrNoEntries) {
		t.Errorf("a day without entries: %v", err)
	}
}

// TestNothingIsLostFromThePage holds for every book under testdata: each finding
// that Check makes is on the page, but for what the end of the book leaves undone, and each entry is on a row, across the page,
// or is an acknowledgement, a call attention or a correction.
func TestNothingIsLostFromThePage(t *testing.T) {
	files, _ := filepath.Glob("testdata/*/*.txtar")
	books := 0
	for _, name := range files {
		a, file := dayFile(t, name)
		book := part(a, "book.txt")
		events, err := notation.ParseAll(bytes.NewReader(book), file.Location)
		if err != nil {
			t.Fatal(err)
		}
		first, last := calendar.Of(events[0].At, file.Location), calendar.Of(events[len(events)-1].At, file.Location)
		if first != last {
			continue
		}
		books++
		d := dayOfBook(t, part(a, "box.yaml"), book, first)
		want := map[rulebook.RuleID]int{}
		sum, err := Check(t.Context(), file.Box, file.Location, bytes.NewReader(book), func(f block.Finding) error {
			if f.Answered == 0 {
				want[f.Rule]++
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range block.NewRunner(file.Box, sum.State).Finish() { // a register goes on
			if want[f.Rule]--; want[f.Rule] == 0 {
				delete(want, f.Rule)
			}
		}
		got := map[rulebook.RuleID]int{}
		shown := map[int64]bool{}
		for _, r := range d.Rows {
			for _, f := range r.Findings {
				got[f.Rule]++
			}
			for _, n := range r.Entries {
				shown[n] = true
			}
		}
		for _, l := range d.Across {
			for _, f := range l.Findings {
				got[f.Rule]++
			}
			shown[l.Seq] = true
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: findings (-check +page):\n%s", name, diff)
		}
		for i, e := range d.Entries {
			if !shown[e.Seq] && !nothingNew(d.Entries[:i+1]) {
				t.Errorf("%s: entry %d is not on the page: %s", name, e.Seq, e.Line)
			}
		}
	}
	if books < 4 {
		t.Fatalf("only %d books of one day", books)
	}
}

// nothingNew says whether the last entry is a correction, or bells that are call
// attention or repeat the code before them with the same neighbour.
func nothingNew(entries []Entry) bool {
	e := entries[len(entries)-1].Event
	if e.Kind == block.Correct {
		return true
	}
	var before rulebook.Code
	for _, o := range entries[:len(entries)-1] {
		if n := len(o.Event.Bells); n > 0 && o.Event.Section == e.Section {
			before = o.Event.Bells[n-1].Code
		}
	}
	for _, b := range e.Bells {
		if b.Code != "1" && b.Code != before {
			return false
		}
		before = b.Code
	}
	return e.Kind == block.Bells
}

// The day can be read while the desk writes.
func TestLoadDayWhileWriting(t *testing.T) {
	a, _ := dayFile(t, tuesdayFile)
	b, clock := dayBook(t, part(a, "box.yaml"), part(a, "book.txt"))
	done := make(chan error)
	go func() {
		var err error
		for range 20 {
			var d *Day
			if d, err = b.LoadDay(t.Context(), 20260505); err == nil && len(d.Entries) < 31 {
				err = fmt.Errorf("%d entries", len(d.Entries))
			}
			if err != nil {
				break
			}
		}
		done <- err
	}()
	for i := range 20 {
		logBook(t, b, clock, fmt.Appendf(nil, "date 2026-05-05\n14:%02d note \"n\"\n", i+1))
	}
	if err := <-done; err != nil {
		t.Error(err)
	}
}

// A day of about 600 entries, the busiest of perf.md, after thirty others.
func BenchmarkLoadDay(b *testing.B) {
	a, err := txtar.ParseFile(tuesdayFile)
	if err != nil {
		b.Fatal(err)
	}
	dir := b.TempDir()
	if err := os.WriteFile(filepath.Join(dir, BoxFileName), part(a, "box.yaml"), 0o644); err != nil {
		b.Fatal(err)
	}
	book, err := Create(dir, Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer book.Close()
	var text strings.Builder
	for day := range 31 {
		fmt.Fprintf(&text, "date 2026-05-%02d\n", day+1)
		for n := range 75 {
			fmt.Fprintf(&text, "%02[1]d:%02[2]d Saltgarth <1 >1 <4 >4 train D%[3]d\n%02[1]d:%02[2]d Saltgarth <2 >2\n"+
				"%02[1]d:%02[2]d train D%[3]d arrived at \"Platform 1\" complete\n%02[1]d:%02[2]d Saltgarth >1 <1 >2-1 <2-1\n"+
				"%02[1]d:%02[2]d Coldbeck >1 <1 >4 <4 train D%[3]d\n%02[1]d:%02[2]d Coldbeck token 3 out\n"+
				"%02[1]d:%02[2]d Coldbeck >2 <2\n%02[1]d:%02[2]d Coldbeck <1 >1 <2-1 >2-1\n", n/4, n%4*15, n)
		}
	}
	if _, err := book.Import(b.Context(), strings.NewReader(text.String()), ImportOptions{}); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		d, err := book.LoadDay(b.Context(), 20260531)
		if err != nil || len(d.Entries) != 600 || len(d.Rows) != 75 {
			b.Fatal(err, len(d.Entries), len(d.Rows))
		}
		d.Pages()
	}
}

// The hour is repeated at the top of each page. Source: printed instructions on
// a page of the Quintinshill exhibition; lner.info, post on register keeping.
func TestHourAtTheTopOfEachPage(t *testing.T) {
	a, _ := dayFile(t, tuesdayFile)
	var book strings.Builder
	book.WriteString("date 2026-05-05\n")
	for _, m := range []string{"10:07", "10:21", "10:35", "10:50", "11:02"} {
		fmt.Fprintf(&book, "%s note \"n\"\n", m)
	}
	d := dayOfBook(t, part(a, "box.yaml"), []byte(book.String()), 0)
	for lines, want := range map[int]string{0: "10:07 :21 :35 :50 11:02", 5: "10:07 :21 :35 :50 11:02", 2: "10:07 :21 / 10:35 :50 / 11:02", 1: "10:07 / 10:21 / 10:35 / 10:50 / 11:02"} {
		var pages []string
		for _, rows := range d.Pages()[0].Pages(float64(lines), func(*sheet.Row) float64 { return 1 }) {
			var clocks []string
			for _, l := range rows {
				clocks = append(clocks, l.Clock)
			}
			pages = append(pages, strings.Join(clocks, " "))
		}
		if got := strings.Join(pages, " / "); got != want {
			t.Errorf("%d lines a page: got %s, want %s", lines, got, want)
		}
	}
}
