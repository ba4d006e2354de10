package main

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"time"
)

// An invented line of three boxes: the middle one keeps the book that is read, the one
// up the line the other. A train passes each way every ten minutes from six to ten.
const (
	hereBox = `railway: Thrackley Vale Railway
box: Ennerholme
timezone: Europe/London
rules: british-later
sections:
  - neighbour: Coldbeck
    method: absolute
    lines: [{name: Up Main, way: in}, {name: Down Main, way: out}]
    towards: down
  - neighbour: Saltgarth
    method: absolute
    lines: [{name: Up Main, way: out}, {name: Down Main, way: in}]
    towards: up
`
	farBox = `railway: Thrackley Vale Railway
box: Saltgarth
timezone: Europe/London
rules: british-later
sections:
  - neighbour: Ennerholme
    method: absolute
    lines: [{name: Up Main, way: in}, {name: Down Main, way: out}]
    towards: down
`
)

// box makes the folder of a box.
func (b *bench) box(name, text string) string {
	dir := filepath.Join(b.dir, name)
	must(os.MkdirAll(dir, 0o700))
	must(os.WriteFile(filepath.Join(dir, "box.yaml"), []byte(text), 0o600))
	return dir
}

func (b *bench) write(path string, fill func(*writer)) {
	f, err := os.Create(path)
	must(err)
	w := &writer{Writer: bufio.NewWriter(f)}
	fill(w)
	must(w.Flush())
	must(f.Close())
}

// writer writes a book.
type writer struct {
	*bufio.Writer
	lines int
}

func (w *writer) line(minute int, format string, args ...any) {
	fmt.Fprintf(w, "%02d:%02d %s\n", minute/60, minute%60, fmt.Sprintf(format, args...))
	w.lines++
}

// each goes through the trains of a day after the other: one down and one up the line
// at each minute that is given.
func (w *writer) each(days int, more func() bool, train func(minute, n int)) {
	for day := 0; (days == 0 || day < days) && more(); day++ {
		fmt.Fprintln(w, "date", time.Date(2000, 1, 1+day, 0, 0, 0, 0, time.UTC).Format(time.DateOnly))
		for n := range 16 * 6 {
			train(6*60+10*n, n)
		}
	}
}

// here writes the middle book, of some lines or some days.
func (w *writer) here(lines, days int) {
	w.each(days, func() bool { return lines == 0 || w.lines < lines }, func(m, n int) {
		down, up := fmt.Sprintf("2D%02d", n), fmt.Sprintf("2U%02d", n)
		w.line(m, "Saltgarth <1 >1 <3-1 >3-1 train %s", down)
		w.line(m, "Coldbeck <1 >1 <3-1 >3-1 train %s", up)
		w.line(m+1, "Saltgarth <2 >2")
		w.line(m+1, "Coldbeck <2 >2")
		w.line(m+2, "Coldbeck >1 <1 >3-1 <3-1 train %s", down)
		w.line(m+2, "Saltgarth >1 <1 >3-1 <3-1 train %s", up)
		w.line(m+4, "train %s passed complete", down)
		w.line(m+4, "Coldbeck >2 <2")
		w.line(m+4, "Saltgarth >1 <1 >2-1 <2-1")
		w.line(m+5, "train %s passed complete", up)
		w.line(m+5, "Saltgarth >2 <2")
		w.line(m+5, "Coldbeck >1 <1 >2-1 <2-1")
		w.line(m+8, "Coldbeck <1 >1 <2-1 >2-1")
		w.line(m+9, "Saltgarth <1 >1 <2-1 >2-1")
	})
}

// far writes what the box up the line has of the same trains.
func (w *writer) far(days int) {
	w.each(days, func() bool { return true }, func(m, n int) {
		down, up := fmt.Sprintf("2D%02d", n), fmt.Sprintf("2U%02d", n)
		w.line(m, "Ennerholme >1 <1 >3-1 <3-1 train %s", down)
		w.line(m+1, "train %s departed for Ennerholme", down)
		w.line(m+1, "Ennerholme >2 <2")
		w.line(m+2, "Ennerholme <1 >1 <3-1 >3-1 train %s", up)
		w.line(m+4, "Ennerholme <1 >1 <2-1 >2-1")
		w.line(m+5, "Ennerholme <2 >2")
		w.line(m+9, "train %s arrived complete", up)
		w.line(m+9, "Ennerholme >1 <1 >2-1 <2-1")
	})
}
