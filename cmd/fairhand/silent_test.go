package main

import (
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/registertest"
	"fairhand/register/seal"
	"fairhand/register/store"
)

// looked are the commands that damage is tried on: each tells it, or gives what it
// gave of the sound register. There is no third.
var looked = []deed{
	{"verify", "verify"}, {"day", "day 2026-05-05"}, {"later", "day 2026-05-07"}, {"json", "export --date 2026-05-06 --format json"},
	{"notation", "export --date 2026-05-06 --format notation"}, {"csv", "export --date 2026-05-07 --format csv"}, {"handover", "handover"},
	{"audit", "audit"}, {"from", "audit --from 2026-05-06 --to 2026-05-06"}, {"compare", "compare BOX SALTGARTH"}, {"words", "seal words"}, {"backup", "backup OUT"},
	{"export", "verify --export BOX/day.json"}, {"log", `log note_"x"`},
	{"text", "export --date 2026-05-07 --format text"}, {"html", "export --date 2026-05-06 --format html"}, {"xlsx", "export --date 2026-05-06 --format xlsx"},
	{"pdf", "export --date 2026-05-06 --format pdf"}, {"parquet", "export --format parquet -o OUT"}, {"graph", "graph 2026-05-06"}, {"svg", "graph 2026-05-05 --svg -"},
	{"findings", "findings"}, {"sign", "audit --sign R._Garth"}, {"now", "seal now"}, {"check", "seal check BOX/seal-504.txt"}, {"gather", "gather OUT BOX"},
	{"copies", "backup --copies FOLDER"}, {"import", "import BOX/next.txt"}, {"close", "archive close 2026"}, {"due", "archive due"},
	{"desk", "talk < s | r"}, {"search", "talk < r | s | 2A10"}, {"salvage", "salvage OUT"}, {"restore", "-C FOLDER restore BOX/register.db"},
}

// threeDays is a box with the demonstration's day three times over, and the other end
// of its line.
func threeDays(t *testing.T) (dir, saltgarth string) {
	t.Helper()
	was := standBefore
	standBefore = time.Minute // a busy machine would prove behind the desk what is compared here
	t.Cleanup(func() { standBefore = was })
	t.Setenv("HOME", t.TempDir())
	dir = filepath.Join(t.TempDir(), "ennerholme")
	must(t, exitFine, "demo", "--no-desk", dir)
	saltgarth = neighbourOf(t, dir)
	book := must(t, exitFine, "-C", dir, "export", "--format", "notation", "--date", "2026-05-05")
	next := filepath.Join(dir, "next.txt")
	for _, date := range []string{"2026-05-06", "2026-05-07"} {
		lines := strings.SplitAfter(strings.ReplaceAll(book, "2026-05-05", date), "\n")
		for i, l := range lines { // the numbers in them are of the first day
			if strings.Contains(l, " explain ") || strings.Contains(l, " correct ") {
				lines[i] = l[:5] + " note \"something else\"\n"
			}
		}
		if err := os.WriteFile(next, []byte(strings.Join(lines, "")), 0o600); err != nil {
			t.Fatal(err)
		}
		if code, _, errs := fairhand(t, "-C", dir, "import", "--transcription", "", next); code == exitFailed || code == exitUsage {
			t.Fatal(errs)
		}
	}
	later := func(date string) {
		if err := os.WriteFile(next, []byte("date "+date+"\n06:00 duty on \"M. Dunn\"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	later("2027-01-02") // so that a year is over
	fairhand(t, "-C", dir, "import", "--transcription", "", next)
	fairhand(t, "-C", dir, "log", "clock right")
	later("2027-01-03")
	must(t, exitFine, "-C", dir, "seal", "key")
	must(t, exitFine, "-C", dir, "seal", "now")
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
	sound            *store.Store
	damages          int
	told, same, runs map[string]int
}

func newTrial(t *testing.T) *trial {
	x := &trial{T: t, was: map[string]given{}, told: map[string]int{}, same: map[string]int{}, runs: map[string]int{}}
	x.dir, x.saltgarth = threeDays(t)
	var err error
	if x.sound, err = store.OpenReadOnly(filepath.Join(x.dir, register.RegisterName)); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { x.sound.Close() })
	if x.content, err = os.ReadFile(filepath.Join(x.dir, register.RegisterName)); err != nil {
		t.Fatal(err)
	}
	return x
}

// gives is what a command gives of the sound register.
func (x *trial) gives(d deed) given {
	x.Helper()
	got, is := x.was[d.name]
	if !is {
		got = d.try(x.T, copyBox(x.T, x.dir), x.saltgarth)
		if thorough() && d.try(x.T, copyBox(x.T, x.dir), x.saltgarth) != got {
			x.Errorf("%s gives another thing each time", d.name)
		}
		if got.code == exitFailed || got.code == exitUsage {
			x.Fatal(d.name, got.stderr)
		}
		x.was[d.name] = got
	}
	return got
}

// on tries them on one damaged file.
func (x *trial) on(what string, content []byte) {
	x.Helper()
	dir := filepath.Join(x.TempDir(), "box")
	x.damages++
	for j, d := range looked {
		if !tries(x.damages, j, 4) {
			continue
		}
		if err := os.CopyFS(dir, os.DirFS(x.dir)); err != nil {
			x.Fatal(err)
		}
		err := errors.Join(os.WriteFile(filepath.Join(dir, register.RegisterName), content, 0o600), os.Chmod(filepath.Join(dir, seal.KeyName), 0o600))
		if err != nil {
			x.Fatal(err)
		}
		got := d.try(x.T, dir, x.saltgarth)
		x.runs[d.name]++
		switch is := judge(got, x.gives(d)); {
		case is == toldIt, d.name == "salvage" && saved(got, x.sound):
			x.told[d.name]++
		case is == sameAs:
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

// fewDamages is how many damages of a kind are tried but at full depth: of two kinds together
// every command once.
const fewDamages = 2

// TestNoSilentFlips: no command gives a wrong answer for a bit that has changed.
func TestNoSilentFlips(t *testing.T) {
	x := newTrial(t)
	rng := rand.New(rand.NewPCG(7, 1))
	for range often(registertest.Depth(fewDamages, 8), "FAIRHAND_FLIPS") {
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
	x.damages = fewDamages // goes on with the commands that were not tried there
	rng := rand.New(rand.NewPCG(8, 1))
	for range often(registertest.Depth(fewDamages, 4), "FAIRHAND_CUTS") {
		n := 1 + rng.IntN(len(x.content)-1)
		x.on(fmt.Sprintf("cut to %d bytes", n), x.content[:n])
	}
	x.sum()
}

// TestNoSilentCopies: nor for a copy that a file manager takes while entries are
// written: each command tells it, or gives what it gives of the register as it was when
// it ended with the same entry.
func TestNoSilentCopies(t *testing.T) {
	dir, saltgarth := threeDays(t)
	evening := time.Date(2027, 1, 2, 18, 0, 0, 0, time.UTC)
	book, err := register.Open(dir, register.Options{Now: func() time.Time { return evening }})
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	rng := rand.New(rand.NewPCG(9, 1))
	n, sound, told, same := often(registertest.Depth(fewDamages, 8), "FAIRHAND_COPIES"), 0, 0, 0
	for i := range n {
		to := copyBox(t, dir)
		copyWhileWriting(t, book, dir, to, rng)
		last, there := endOf(t, book, to)
		if there && looked[0].try(t, copyBox(t, to), saltgarth).code == exitFine {
			sound++
		}
		was := ""
		for j, d := range looked {
			if !tries(i, j, 4) {
				continue
			}
			got := d.try(t, copyBox(t, to), saltgarth)
			if there && was == "" { // else nothing but being told will do
				was = endingWith(t, book, dir, last)
			}
			switch {
			case there && got == d.try(t, copyBox(t, was), saltgarth):
				same++
			case judge(got, given{}) == toldIt, d.name == "salvage" && saved(got, book.Store()):
				told++
			default:
				t.Errorf("copy %d, which ends with entry %d, then %s: neither told nor right; exit code %d\n%s%.300s", i, last, d.name, got.code, got.stderr, got.out)
			}
		}
	}
	t.Logf("%d of %d copies are sound; %d times a command told, %d times it gave what it should", sound, n, told, same)
}

// endingWith is a box whose register has the entries up to one, and no others.
func endingWith(t *testing.T, book *register.Book, dir string, last int64) string {
	t.Helper()
	box := copyBox(t, dir)
	file := filepath.Join(box, register.RegisterName)
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	if _, err := book.Store().Backup(t.Context(), file, nil); err != nil {
		t.Fatal(err)
	}
	f := forge(t, box)
	f.do("DELETE FROM entry WHERE seq > ?", last)
	f.do("DELETE FROM snapshot WHERE seq > ?", last)
	f.done()
	return box
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

// proves is what salvage says of the entries that it saved.
var proves = regexp.MustCompile(`entries 1 to (\d+) are proved, ([0-9a-f]{64})`)

// saved says whether salvage told that there is damage, and what it says is proved is
// of the sound register.
func saved(got given, sound *store.Store) bool {
	m := proves.FindStringSubmatch(got.out)
	if m == nil || !strings.Contains(got.out, remainsName) && got.stderr == "" {
		return false
	}
	seq, _ := strconv.ParseInt(m[1], 10, 64)
	hash, err := sound.HashAt(seq)
	return (seq == 0 || err == nil) && hash.String() == m[2]
}

// endOf is the last entry of a copy, and whether the register has it: by its hash, all
// before it are the same.
func endOf(t *testing.T, book *register.Book, dir string) (int64, bool) {
	t.Helper()
	c, err := store.OpenReadOnly(filepath.Join(dir, register.RegisterName))
	if err != nil {
		return 0, false
	}
	defer c.Close()
	tail := c.Tail()
	hash, err := book.Store().HashAt(tail.Seq)
	return tail.Seq, err == nil && hash == tail.Hash
}
