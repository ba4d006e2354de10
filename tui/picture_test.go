package tui

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"html"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"

	"fairhand/register"
	"fairhand/register/measure"
)

const demoDir = "../cmd/fairhand/demo"

// newDemoRig is a desk on the demo day at the moment at which `fairhand demo`
// opens it.
func newDemoRig(t *testing.T, w, h int) *rig {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{register.BoxFileName, "weekday.csv"} {
		data, err := os.ReadFile(filepath.Join(demoDir, name))
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, name), data, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	book, err := os.ReadFile(filepath.Join(demoDir, "book.txt"))
	if err != nil {
		t.Fatal(err)
	}
	past, _, opens := bytes.Cut(book, []byte("\n# --- the desk opens here ---\n"))
	if !opens {
		t.Fatal("the demo book does not say where the desk opens")
	}
	r := &rig{t: t, now: time.Date(2026, 5, 5, 5, 0, 0, 0, london(t))}
	if r.book, err = register.Create(dir, register.Options{Now: func() time.Time { return r.now }}); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.book.Close() })
	if _, err := r.book.Import(t.Context(), bytes.NewReader(past), register.ImportOptions{AsWritten: true}); err != nil {
		t.Fatal(err)
	}
	r.now = time.Date(2026, 5, 5, 10, 39, 30, 0, london(t))
	r.open(r.book, w, h, Options{})
	return r
}

// The pictures of README.md: go test ./tui -run Picture -update makes them anew.
var pictures = []struct {
	file string
	w, h int
	do   func(r *rig)
}{
	{"desk.svg", 120, 36, func(r *rig) { r.at("10:42").press("Enter").at("10:44").press("Enter") }},
	{"handover.svg", 100, 32, func(r *rig) { r.at("10:44").press("h", "Enter", "Enter", "x", "which road?", "Enter") }},
}

// TestPictures holds the pictures of README.md to the desk as it is.
func TestPictures(t *testing.T) {
	for _, p := range pictures {
		r := newDemoRig(t, p.w, p.h)
		p.do(r)
		got := svg(r.screen)
		dec := xml.NewDecoder(strings.NewReader(got))
		for {
			if _, err := dec.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatalf("%s is no XML: %v", p.file, err)
			}
		}
		golden(t, p.file, got)
	}
}

// Cells of a picture, in its own units.
const (
	cellW, cellH = 9, 19
	margin       = 14
	paperColor   = "#1d2021" // its own ground, so that it reads on white and on dark pages
	inkColor     = "#e6e1d6"
)

// svg draws a screen as a picture with real text.
func svg(screen tcell.SimulationScreen) string {
	cells, w, h := screen.GetContents()
	var b strings.Builder
	width, height := w*cellW+2*margin, h*cellH+2*margin
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" font-family="ui-monospace,'DejaVu Sans Mono',Menlo,Consolas,monospace" font-size="15">`+"\n", width, height, width, height)
	fmt.Fprintf(&b, `<rect width="%d" height="%d" rx="6" fill="%s"/>`+"\n", width, height, paperColor)
	for y := range h {
		for x := 0; x < w; {
			end := x + 1
			for end < w && cells[y*w+end].Style == cells[y*w+x].Style {
				end++
			}
			run(&b, cells[y*w+x:y*w+end], x, y)
			x = end
		}
	}
	b.WriteString("</svg>\n")
	return b.String()
}

// run draws neighbouring cells of one style.
func run(b *strings.Builder, cells []tcell.SimCell, x, y int) {
	text := ""
	for _, c := range cells {
		text += string(c.Runes)
	}
	fg, bg, attr := cells[0].Style.Decompose()
	ink, paper := hex(fg, inkColor), hex(bg, paperColor)
	if attr&tcell.AttrReverse != 0 {
		ink, paper = paper, ink
	}
	left, top := margin+x*cellW, margin+y*cellH
	if paper != paperColor {
		fmt.Fprintf(b, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s"/>`, left, top, len(cells)*cellW, cellH, paper)
	}
	if trimmed := strings.TrimRight(text, " "); trimmed != "" {
		lead := len(trimmed) - len(strings.TrimLeft(trimmed, " "))
		trimmed = trimmed[lead:]
		style := ""
		if attr&tcell.AttrBold != 0 {
			style += ` font-weight="bold"`
		}
		if attr&tcell.AttrDim != 0 {
			style += ` fill-opacity="0.72"`
		}
		if attr&tcell.AttrStrikeThrough != 0 {
			style += ` text-decoration="line-through"`
		}
		fmt.Fprintf(b, `<text x="%d" y="%d" textLength="%d" xml:space="preserve" fill="%s"%s>%s</text>`+"\n",
			left+lead*cellW, top+14, measure.Width(trimmed)*cellW, ink, style, html.EscapeString(trimmed))
	}
}

// The colours of the theme as a terminal on dark ground shows them.
var inks = map[tcell.Color]string{tcell.ColorBlack: "#1d2021", tcell.ColorOlive: "#e0b34c", tcell.ColorMaroon: "#a5322a", tcell.ColorWhite: "#ffffff"}

func hex(c tcell.Color, none string) string {
	if s, ok := inks[c]; ok {
		return s
	}
	return none
}
