package tui

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"fairhand/block"
	"fairhand/register"
)

// benchDesk is a desk of 120 by 40 on a book with some hundred entries.
func benchDesk(b *testing.B) (*desk, *tview.Application) {
	b.Helper()
	dir := b.TempDir()
	data, err := os.ReadFile("testdata/box.yaml")
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, register.BoxFileName), data, 0o644)
	}
	if err != nil {
		b.Fatal(err)
	}
	now := time.Date(2026, 5, 5, 10, 0, 0, 0, time.UTC)
	book, err := register.Create(dir, register.Options{Now: func() time.Time { now = now.Add(time.Second); return now }})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { book.Close() })
	for range 300 {
		if _, err := book.Log(block.Event{Kind: block.Note, Text: "bench", At: book.Now()}); err != nil {
			b.Fatal(err)
		}
	}
	screen := tcell.NewSimulationScreen("UTF-8")
	app := tview.NewApplication().SetScreen(screen)
	screen.SetSize(120, 40)
	d := newDesk(book, book.Location(), Options{})
	d.attach(app)
	app.ForceDraw()
	return d, app
}

// BenchmarkAppend is the bare append of the entry of BenchmarkKeyToScreen.
func BenchmarkAppend(b *testing.B) {
	d, _ := benchDesk(b)
	b.ResetTimer()
	for range b.N {
		if _, err := d.clerk.book.Log(block.Event{Kind: block.Bells, Section: "Coldbeck", Bells: []block.Bell{{Code: "16"}}, At: d.clerk.now()}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkKeyToScreen is a bell on the pad: four keys, preview, synced append, a
// fresh look at the book, and the screen drawn after each key.
func BenchmarkKeyToScreen(b *testing.B) {
	d, app := benchDesk(b)
	b.ResetTimer()
	for range b.N {
		for _, k := range "b16<" {
			d.key(tcell.NewEventKey(tcell.KeyRune, k, tcell.ModNone))
			app.ForceDraw()
		}
	}
}

// BenchmarkTick is a second going by: a fresh look and the screen drawn.
func BenchmarkTick(b *testing.B) {
	d, app := benchDesk(b)
	b.ResetTimer()
	for range b.N {
		d.refresh()
		app.ForceDraw()
	}
}
