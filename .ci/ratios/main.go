// Command ratios measures what the program may cost and prints it beside what it is to
// cost at most, in one run:
//
//	go run ./.ci/ratios                 some minutes
//	go run ./.ci/ratios -rows 1000000   with the full size of books
//
// Each figure is a ratio of two commands run in turns, pair by pair, so that whatever
// else the computer has to do falls on both. What is compared is the processor time of
// the user as the system counts it, not the time on the wall; of programs that end
// within some milliseconds that of the system with it, since most of a start is that.
// The median of the pairs is printed. Nothing is judged: a figure beyond its target is
// marked and that is all. It runs on Linux, where the shell of SQLite is to be had.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"fairhand/register/median"
)

func main() {
	rows := flag.Int("rows", 200_000, "entries of the register that is audited and verified, and lines of the book imported")
	pairs := flag.Int("pairs", 5, "times each pair is run")
	days := flag.Int("days", 365, "days of the two books compared")
	only := flag.String("only", "", "only figures whose name contains this")
	before := flag.String("before", "", "the program as it was, that check is measured against")
	flag.Parse()
	dir, err := os.MkdirTemp("", "ratios-")
	must(err)
	defer os.RemoveAll(dir)
	b := bench{dir: dir, rows: *rows, pairs: *pairs, days: *days, only: *only, before: *before}
	b.build()
	fmt.Printf("%-64s %10s %8s\n", "figure", "measured", "target")
	b.start()
	b.check()
	b.proofs()
	b.compares()
	b.apply()
}

// bench is one run, in a folder of its own.
type bench struct {
	dir               string
	rows, pairs, days int
	only              string
	program, bare     string
	before            string
}

// cost is what a command cost.
type cost struct{ user, system, wall, mb float64 } // seconds, and megabytes at its peak

// run runs a command, which may end with 3: it found something.
func (b *bench) run(argv ...string) cost {
	cmd := exec.Command(argv[0], argv[1:]...)
	var said bytes.Buffer
	cmd.Stderr = &said
	begun := time.Now()
	err := cmd.Run()
	wall := time.Since(begun).Seconds()
	if code := cmd.ProcessState.ExitCode(); err != nil && code != 3 {
		must(fmt.Errorf("%s: %w: %s", strings.Join(argv, " "), err, said.String()))
	}
	use := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	return cost{cmd.ProcessState.UserTime().Seconds(), cmd.ProcessState.SystemTime().Seconds(), wall, float64(use.Maxrss) / 1024}
}

// ratio runs two commands in turns and gives the median ratio of what is measured.
func (b *bench) ratio(pairs int, of func(cost) float64, first, second []string) (ratio, a, c float64) {
	var rs, as, cs []float64
	for range pairs {
		x, y := of(b.run(first...)), of(b.run(second...))
		rs, as, cs = append(rs, x/y), append(as, x), append(cs, y)
	}
	return median.Of(rs), median.Of(as), median.Of(cs)
}

func user(c cost) float64      { return c.user }
func processor(c cost) float64 { return c.user + c.system }

func (b *bench) skipped(name string) bool { return !strings.Contains(name, b.only) }

// tell prints a figure; less says that it is to be at most the target, else at least.
func tell(name string, measured, target float64, less bool, unit, more string) {
	mark, sign := "", "<="
	if !less {
		sign = ">="
	}
	if less && measured > target || !less && measured < target {
		mark = "  NOT MET"
	}
	fmt.Printf("%-64s %7.2f %-3s %s %4.4g%s   %s\n", name, measured, unit, sign, target, mark, more)
}

// build makes the program as it is given out, and one that prints a line.
func (b *bench) build() {
	b.program, b.bare = filepath.Join(b.dir, "fairhand"), filepath.Join(b.dir, "bare")
	source := filepath.Join(b.dir, "bare.go")
	must(os.WriteFile(source, []byte("package main\n\nimport \"fmt\"\n\nfunc main() { fmt.Println(\"fairhand\") }\n"), 0o600))
	must(os.Setenv("CGO_ENABLED", "0"))
	for to, from := range map[string]string{b.program: "./cmd/fairhand", b.bare: source} {
		b.run("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", to, from)
	}
}

// start is what it costs to begin.
func (b *bench) start() {
	name := "version, against a Go program that prints one line"
	if b.skipped(name) {
		return
	}
	r, x, y := b.ratio(100, processor, []string{b.program, "version"}, []string{b.bare})
	tell(name, r, 3, true, "", fmt.Sprintf("%.1f and %.1f ms of processor", x*1e3, y*1e3))
}

// check is a clean book by the program as it was and as it is.
func (b *bench) check() {
	name := "check of a clean book, against the program as it was"
	if b.skipped(name) || b.before == "" {
		return
	}
	book := filepath.Join(b.dir, "clean.txt")
	b.write(book, func(w *writer) { w.here(b.rows, 0) })
	args := []string{"check", "--box", filepath.Join(b.box("here", hereBox), "box.yaml"), book}
	r, x, y := b.ratio(b.pairs, user, append([]string{b.program}, args...), append([]string{b.before}, args...))
	tell(name, r, 1.2, true, "", fmt.Sprintf("%.2f and %.2f s of user", x, y))
}

// proofs are what reads a whole register.
func (b *bench) proofs() {
	if b.skipped("verify audit import") && b.skipped("verify") && b.skipped("audit") && b.skipped("import") {
		return
	}
	dir := b.box("here", hereBox)
	book := filepath.Join(b.dir, "book.txt")
	b.write(book, func(w *writer) { w.here(b.rows, 0) })
	in := b.run(b.program, "-C", dir, "import", "--create", book)
	tell(fmt.Sprintf("import of %d lines, memory", b.rows), in.mb, 200, true, "MB", fmt.Sprintf("%.1f s of user, %.1f s on the wall", in.user, in.wall))
	audit := []string{b.program, "-C", dir, "audit"}
	r, x, y := b.ratio(b.pairs, user, []string{b.program, "-C", dir, "verify"}, audit)
	tell("verify, against audit", r, 1.5, true, "", fmt.Sprintf("%.2f and %.2f s of user", x, y))
	sum := []string{"sqlite3", filepath.Join(dir, "register.db"), "SELECT sum(length(line)) FROM entry"}
	r, x, y = b.ratio(b.pairs, user, audit, sum)
	tell("audit, against the shell of SQLite adding up the lines' lengths", r, 6, true, "", fmt.Sprintf("%.2f and %.3f s of user", x, y))
	r, x, y = b.ratio(b.pairs, func(c cost) float64 { return c.wall }, audit, sum)
	tell("the same on the wall, both cores", r, 6, true, "", fmt.Sprintf("%.2f and %.3f s", x, y))
	tell("audit, memory", b.run(audit...).mb, 200, true, "MB", "")
}

// compares lays the books of two busy boxes side by side.
func (b *bench) compares() {
	name := "compare, twice the lines"
	if b.skipped(name) {
		return
	}
	here, far := filepath.Join(b.box("here", hereBox), "box.yaml:"), filepath.Join(b.box("far", farBox), "box.yaml:")
	args := func(days int) []string {
		a, c := filepath.Join(b.dir, fmt.Sprintf("a%d.txt", days)), filepath.Join(b.dir, fmt.Sprintf("b%d.txt", days))
		b.write(a, func(w *writer) { w.here(0, days) })
		b.write(c, func(w *writer) { w.far(days) })
		return []string{b.program, "compare", here + a, far + c}
	}
	year, half := args(b.days), args(b.days/2)
	r, x, y := b.ratio(max(b.pairs/2, 1), user, year, half)
	tell(name, r, 2.4, true, "", fmt.Sprintf("%.2f and %.2f s of user, %d and %d days", x, y, b.days, b.days/2))
	tell(fmt.Sprintf("compare of %d days of two busy boxes, memory", b.days), b.run(year...).mb, 200, true, "MB", "")
}

// apply is the state machine alone, a test program of its package: by its pure door, a new
// state for each event, and in place, as every book is read.
func (b *bench) apply() {
	test := ""
	for _, of := range []struct{ benchmark, name string }{
		{"Apply$", "Apply, million events a second and core"},
		{"Replay$", "the same in place, as a book is read"},
	} {
		if b.skipped(of.name) {
			continue
		}
		if test == "" {
			test = filepath.Join(b.dir, "block.test")
			b.run("go", "test", "-c", "-o", test, "./block")
		}
		n := 1_000_000
		took := func(events int) float64 {
			return user(b.run(test, "-test.run", "^$", "-test.bench", of.benchmark, "-test.cpu", "1", "-test.benchtime", fmt.Sprintf("%dx", events)))
		}
		var rates []float64
		for range b.pairs { // what it takes to begin is the same in both
			rates = append(rates, float64(n)/(took(2*n)-took(n))/1e6)
		}
		tell(of.name, median.Of(rates), 2, false, "", "by time of user")
	}
}

func must(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, "ratios:", err)
		os.Exit(1)
	}
}
