package main

import (
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fairhand/register"
	"fairhand/register/registertest"
)

// looked are the commands that damage is tried on: each tells it, or gives what it
// gave of the sound register. There is no third.
var looked = []deed{
	{"verify", "verify"}, {"day", "day 2026-05-05"}, {"later", "day 2026-05-07"}, {"json", "export --date 2026-05-06 --format json"},
	{"notation", "export --date 2026-05-06 --format notation"}, {"csv", "export --date 2026-05-07 --format csv"}, {"handover", "handover"},
	{"audit", "audit"}, {"from", "audit --from 2026-05-06 --to 2026-05-06"}, {"compare", "compare BOX SALTGARTH"}, {"words", "seal words"}, {"backup", "backup OUT"},
	{"export", "verify --export BOX/day.json"}, {"log", `log note_"x"`},
}

// threeDays is a box with the demonstration's day three times over, and the other end
// of its line.
func threeDays(t *testing.T) (dir, saltgarth string) {
	t.Helper()
	t.Setenv("HOME", t.TempDir())
	dir = filepath.Join(t.TempDir(), "ennerholme")
	must(t, exitFine, "demo", "--no-desk", dir)
	saltgarth = neighbourOf(t, dir)
	book := must(t, exitFine, "-C", dir, "export", "--format", "notation", "--date", "2026-05-05")
	for _, date := range []string{"2026-05-06", "2026-05-07"} {
		next := filepath.Join(t.TempDir(), "next.txt")
		lines := strings.SplitAfter(strings.ReplaceAll(book, "2026-05-05", date), "\n")
		for i, l := range lines { // the numbers in them are of the first day
			if strings.Contains(l, " explain ") || strings.Contains(l, " correct ") {
				lines[i] = l[:5] + " note \"something else\"\n"
			}
		}
		if err := os.WriteFile(next, []byte(strings.Join(lines, "")), 0o600); err != nil {
			t.Fatal(err)
		}
		if code, _, errs := fairhand(t, "-C", dir, "import", next); code == exitFailed || code == exitUsage {
			t.Fatal(errs)
		}
	}
	fairhand(t, "-C", dir, "log", `correct 160 "note \"struck out\""`)
	must(t, exitFine, "-C", dir, "export", "--format", "json", "--date", "2026-05-05", "-o", filepath.Join(dir, "day.json"))
	return dir, saltgarth
}

// trial tries every command on damaged copies of a register.
type trial struct {
	*testing.T
	dir, saltgarth   string
	was              map[string]given
	content          []byte
	damages          int
	told, same, runs map[string]int
}

func newTrial(t *testing.T) *trial {
	x := &trial{T: t, was: map[string]given{}, told: map[string]int{}, same: map[string]int{}, runs: map[string]int{}}
	x.dir, x.saltgarth = threeDays(t)
	for _, d := range looked {
		x.was[d.name] = d.try(t, copyBox(t, x.dir), x.saltgarth)
		if c := x.was[d.name].code; c == exitFailed || c == exitUsage {
			t.Fatal(d.name, x.was[d.name].stderr)
		}
	}
	var err error
	if x.content, err = os.ReadFile(filepath.Join(x.dir, register.RegisterName)); err != nil {
		t.Fatal(err)
	}
	return x
}

// on tries them on one damaged file.
func (x *trial) on(what string, content []byte) {
	x.Helper()
	dir := filepath.Join(x.TempDir(), "box")
	x.damages++
	for j, d := range looked {
		if !tries(x.damages, j) {
			continue
		}
		if err := os.CopyFS(dir, os.DirFS(x.dir)); err != nil {
			x.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, register.RegisterName), content, 0o600); err != nil {
			x.Fatal(err)
		}
		got := d.try(x.T, dir, x.saltgarth)
		x.runs[d.name]++
		switch judge(got, x.was[d.name]) {
		case toldIt:
			x.told[d.name]++
		case sameAs:
			x.same[d.name]++
		default:
			if got.code == exitUsage && got.stderr != "" { // it does not look like a box any more
				x.told[d.name]++
				break
			}
			x.Errorf("%s, then %s: neither told nor right; exit code %d\n%s%.300s", what, d.name, got.code, got.stderr, got.out)
		}
		if err := os.RemoveAll(dir); err != nil {
			x.Fatal(err)
		}
	}
}

func (x *trial) sum() {
	var out strings.Builder
	for _, d := range looked {
		fmt.Fprintf(&out, "\n%-10s %4d told, %4d as before, of %d", d.name, x.told[d.name], x.same[d.name], x.runs[d.name])
	}
	x.Log(out.String())
}

// often is how many times something is done: few, or as the environment says.
func often(few int, variable string) int {
	if n, err := strconv.Atoi(os.Getenv(variable)); err == nil {
		return n
	}
	if testing.Short() {
		return max(1, few/4) // a package's tests run for every landing
	}
	return few
}

// TestNoSilentFlips: no command gives a wrong answer for a bit that has changed.
func TestNoSilentFlips(t *testing.T) {
	x := newTrial(t)
	rng := rand.New(rand.NewPCG(7, 1))
	for range often(8, "FAIRHAND_FLIPS") {
		at, bit := rng.IntN(len(x.content)), rng.IntN(8)
		damaged := slices.Clone(x.content)
		damaged[at] ^= 1 << bit
		x.on(fmt.Sprintf("bit %d of byte %d flipped", bit, at), damaged)
	}
	x.sum()
}

// TestNoSilentTruncations: nor for an end that was lost.
func TestNoSilentTruncations(t *testing.T) {
	x := newTrial(t)
	rng := rand.New(rand.NewPCG(8, 1))
	for range often(4, "FAIRHAND_CUTS") {
		n := 1 + rng.IntN(len(x.content)-1)
		x.on(fmt.Sprintf("cut to %d bytes", n), x.content[:n])
	}
	x.sum()
}

// TestNoSilentCopies: nor for a copy that a file manager takes while entries are
// written: it is told, or its entries are those that were written by some moment.
func TestNoSilentCopies(t *testing.T) {
	t.Setenv("HOME", t.TempDir())
	dir := t.TempDir()
	box, text := registertest.Demo(t, "../..")
	box = strings.ReplaceAll(box, "\ntimetable:", "\n#")
	if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), []byte(box), 0o600); err != nil {
		t.Fatal(err)
	}
	book, err := register.Create(dir, register.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	if _, err := book.Import(t.Context(), strings.NewReader(text), register.ImportOptions{}); err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(9, 1))
	n, sound := often(8, "FAIRHAND_COPIES"), 0
	for i := range n {
		to := t.TempDir()
		if err := os.WriteFile(filepath.Join(to, register.BoxFileName), []byte(box), 0o600); err != nil {
			t.Fatal(err)
		}
		copyWhileWriting(t, book, dir, to, rng)
		sound += copied(t, book, to, i)
	}
	t.Logf("%d of %d copies are sound", sound, n)
}

// copyWhileWriting copies a register some pages at a time, with entries written in
// between.
func copyWhileWriting(t *testing.T, book *register.Book, dir, to string, rng *rand.Rand) {
	t.Helper()
	from, err := os.Open(filepath.Join(dir, register.RegisterName))
	if err != nil {
		t.Fatal(err)
	}
	defer from.Close()
	out, err := os.Create(filepath.Join(to, register.RegisterName))
	if err != nil {
		t.Fatal(err)
	}
	defer out.Close()
	for busy := rng.IntN(6); err == nil; {
		if rng.IntN(14) < busy {
			if err := registertest.Log(book, `note "written meanwhile, with some words to fill a page sooner than without them"`); err != nil {
				t.Fatal(err)
			}
		}
		_, err = io.CopyN(out, from, 4096*int64(1+rng.IntN(12)))
	}
	if err != io.EOF {
		t.Fatal(err)
	}
}

// copied looks at a copy by each command: 1 when it is sound.
func copied(t *testing.T, book *register.Book, dir string, i int) int {
	t.Helper()
	sound := 1
	day := book.DayOf(book.Now()).String()
	for _, args := range []string{"verify", "day " + day, "export --format json --date " + day, "export --format notation --date " + day, "audit", "handover", "seal words", "backup " + filepath.Join(t.TempDir(), "copy"), `log note_"x"`} {
		fields := append([]string{"-C", dir}, strings.Fields(args)...)
		for j := range fields {
			fields[j] = strings.ReplaceAll(fields[j], "_", " ")
		}
		code, out, errs := fairhand(t, fields...)
		if code == exitFailed && errs != "" && (out == "" || strings.Contains(out, "DAMAGED")) {
			sound = 0
			continue
		}
		if code != exitFine && code != exitFindings {
			t.Errorf("copy %d, %s: exit code %d\n%s", i, args, code, errs)
		}
		if strings.HasPrefix(args, "log") {
			continue // below by what it wrote
		}
		if last, ok := prefixOf(t, book, dir); !ok {
			t.Errorf("copy %d, %s: rc %d, and entry %d is not that of the register", i, args, code, last)
		}
	}
	return sound
}

// prefixOf says whether the last entry of a copy is an entry of the register: by its
// hash, all before it are.
func prefixOf(t *testing.T, book *register.Book, dir string) (int64, bool) {
	t.Helper()
	c, err := register.Open(dir, register.Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	tail := c.Store().Tail()
	hash, err := book.Store().HashAt(tail.Seq)
	return tail.Seq, err == nil && hash == tail.Hash && c.Alarm() == nil
}
