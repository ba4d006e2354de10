package gather

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/parquet-go/parquet-go"

	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/compare"
	"fairhand/register/store"
)

// run gathers and wants no box to be refused.
func run(t testing.TB, out string, sources ...string) *Result {
	t.Helper()
	res, err := Run(t.Context(), Options{Out: out, Sources: sources})
	if err == nil {
		err = res.Refused()
	}
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// states are what became of the boxes.
func states(res *Result) (out []string) {
	for _, b := range res.Boxes {
		out = append(out, string(b.State))
	}
	return out
}

// files are the contents of all files of a folder.
func files(t testing.TB, dir string) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			out[strings.TrimPrefix(path, dir)], err = os.ReadFile(path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// auditOf is the audit of a register.
func auditOf(t testing.TB, dir string) *audit.Report {
	t.Helper()
	b, err := register.Open(dir, register.Options{ReadOnly: true})
	if err != nil {
		t.Error(err)
		return nil
	}
	defer b.Close()
	r, err := audit.Run(t.Context(), audit.Register(b), audit.Options{Details: 100_000, Turns: 1000})
	if err != nil {
		t.Error(err)
	}
	return r
}

// rows reads the rows of a table of a box.
func rows[T any](t testing.TB, out, box, table string) (all []T) {
	t.Helper()
	paths, err := fs.Glob(os.DirFS(out), "railway=*/box="+box+"/year=*/"+table+"*.parquet")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range paths {
		some, err := parquet.ReadFile[T](filepath.Join(out, p))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, some...)
	}
	return all
}

// A line is gathered; gathered again nothing is touched; with more in one book that box
// alone is made anew, and its earlier years are the same files.
func TestGatherAgain(t *testing.T) {
	w := newWorld(worldOptions{boxes: 3, days: 2, every: 60, careless: 2})
	dir := t.TempDir()
	dirs, out := w.makeAll(t, dir), filepath.Join(dir, "out")
	res := run(t, out, dirs...)
	if got := states(res); strings.Join(got, " ") != "gathered gathered gathered" {
		t.Fatal(got)
	}
	found := 0
	for i, d := range dirs {
		report := auditOf(t, d)
		es, fs := rows[entry](t, out, nameOf(i), Entries), rows[finding](t, out, nameOf(i), Findings)
		if int64(len(es)) != report.Extent.Entries || es[len(es)-1].Hash != report.Extent.Head {
			t.Errorf("%s: %d entries, the audit has %d", nameOf(i), len(es), report.Extent.Entries)
		}
		want := report.Answered.Count
		for _, s := range report.Severities {
			want += s.Count
		}
		if found += len(fs); int64(len(fs)) != want {
			t.Errorf("%s: %d findings, the audit has %d", nameOf(i), len(fs), want)
		}
		if ts := rows[train](t, out, nameOf(i), Trains); int64(len(ts)) != report.Figures.TrainRows || ts[0].Person == "" {
			t.Errorf("%s: %d trains, the audit has %d", nameOf(i), len(ts), report.Figures.TrainRows)
		}
		if ts := rows[turn](t, out, nameOf(i), Turns); int64(len(ts)) != report.TurnCount {
			t.Errorf("%s: %d turns, the audit has %d", nameOf(i), len(ts), report.TurnCount)
		}
	}
	if res.Pairs[0].State != Gathered || len(res.Pairs) != 2 {
		t.Errorf("pairs %+v", res.Pairs)
	}
	if found == 0 {
		t.Error("the line has no findings: nothing is tried")
	}
	before := files(t, out)
	res = run(t, out, dirs...)
	if got := states(res); strings.Join(got, " ") != "unchanged unchanged unchanged" || res.Pairs[1].State != Unchanged {
		t.Fatal(got, res.Pairs)
	}
	same(t, before, files(t, out), "")
	more(t, dirs[1], "date 2027-01-01\n10:00 note \"a new year\"\n")
	if got := states(run(t, out, dirs...)); strings.Join(got, " ") != "unchanged gathered unchanged" {
		t.Fatal(got)
	}
	after := files(t, out)
	same(t, before, after, "box="+nameOf(1))
	es := rows[entry](t, out, nameOf(1), Entries)
	if last := es[len(es)-1]; last.Year != 2027 || last.Text == nil || *last.Text != "a new year" {
		t.Errorf("last entry %+v", last)
	}
}

// The bells of neighbours are laid side by side as the comparison of the two books does,
// and the difference of the clocks comes out as it was.
func TestBells(t *testing.T) {
	w := newWorld(worldOptions{boxes: 3, days: 3, every: 40})
	dir := t.TempDir()
	dirs, out := w.makeAll(t, dir), filepath.Join(dir, "out")
	run(t, out, dirs...)
	for i := range 2 {
		a, b := nameOf(i), nameOf(i+1)
		got := rows[bell](t, out, a, Bells)
		matched := 0
		for range compared(t, dirs[i], dirs[i+1]).Matches() {
			matched++
		}
		if len(got) != matched || matched < 500 {
			t.Errorf("%s and %s: %d bells, the comparison has %d", a, b, len(got), matched)
		}
		start := time.Date(2026, 2, 1, 0, 0, 0, 0, time.UTC).UnixMicro()
		for _, r := range got {
			at := int((r.At - start) / 1e6)
			want := float64(ahead(i+1, at) - ahead(i, at))
			if r.Neighbour != b || math.Abs(r.Clock-want) > 2 || math.Abs(float64(r.Differs)-want) > 2 {
				t.Fatalf("%+v, want %v s", r, want)
			}
		}
		if days := rows[clock](t, out, a, Clocks); len(days) < 3 || days[0].Matched == 0 {
			t.Errorf("clocks of %s and %s: %+v", a, b, days)
		}
	}
}

func compared(t *testing.T, dirs ...string) *compare.Pair {
	t.Helper()
	var books []*compare.Book
	for _, d := range dirs {
		s, err := look(d)
		if err != nil {
			t.Fatal(err)
		}
		r, err := s.open()
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		b, err := compare.FromStore(t.Context(), r.File(), r.Store(), 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		books = append(books, b)
	}
	p, err := compare.Two(books[0], books[1])
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// same wants all files of before to be the same after, but for the top and those with
// something in their names.
func same(t *testing.T, before, after map[string][]byte, but string) {
	t.Helper()
	for name, content := range before {
		top := but != "" && (strings.Contains(name, but) || strings.Count(name, string(filepath.Separator)) == 1)
		if !top && !bytes.Equal(content, after[name]) {
			t.Errorf("%s is another file", name)
		}
	}
	for name := range after {
		if strings.HasSuffix(name, partEnding) {
			t.Errorf("%s is left over", name)
		}
	}
}

// A register that is not the one of before, ends sooner or is damaged is refused, and
// what was gathered of it stands; the others are gathered.
func TestRefused(t *testing.T) {
	o := worldOptions{boxes: 2, days: 2, every: 60}
	w := newWorld(o)
	o.every = 50
	other := newWorld(o)
	for name, spoil := range map[string]func(t *testing.T, dir string) error{
		"another book": func(t *testing.T, dir string) error {
			return replace(t, dir, other.make(t, t.TempDir(), 0, 2))
		},
		"its end taken out": func(t *testing.T, dir string) error {
			return replace(t, dir, w.make(t, t.TempDir(), 0, 1))
		},
		"damaged": func(t *testing.T, dir string) error {
			more(t, dir, "date 2026-03-01\n10:00 note \"one more\"\n")
			return flip(filepath.Join(dir, register.RegisterName), "train 1A003 departed")
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			dirs, out := w.makeAll(t, dir), filepath.Join(dir, "out")
			run(t, out, dirs...)
			before := files(t, out)
			if err := spoil(t, dirs[0]); err != nil {
				t.Fatal(err)
			}
			more(t, dirs[1], "date 2026-03-01\n10:00 note \"one more\"\n")
			res, err := Run(t.Context(), Options{Out: out, Sources: dirs})
			if err != nil {
				t.Fatal(err)
			}
			if got := states(res); got[0] != string(Refused) || got[1] != string(Gathered) {
				t.Errorf("%v", got)
			}
			var contradicts *ContradictsError
			if err := res.Refused(); errors.As(err, &contradicts) == errors.Is(err, store.ErrDamaged) {
				t.Errorf("refused with %v", err)
			}
			same(t, before, files(t, out), "box="+nameOf(1))
		})
	}
}

// replace puts the register of one directory in the place of another's.
func replace(t *testing.T, dir, by string) error {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(by, register.RegisterName))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, register.RegisterName), data, 0o600)
}

// flip changes one bit of a text wherever it stands in a file: the engine leaves copies
// of rows in pages that it has moved.
func flip(path, text string) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	changed := []byte(text)
	changed[len(changed)-1] ^= 1
	return os.WriteFile(path, bytes.ReplaceAll(data, []byte(text), changed), 0o600)
}

// A run that was stopped is finished by the next, and comes to the same files as one
// that was not.
func TestStopped(t *testing.T) {
	w := newWorld(worldOptions{boxes: 4, days: 1, every: 60})
	dir := t.TempDir()
	dirs, whole, cut := w.makeAll(t, dir), filepath.Join(dir, "whole"), filepath.Join(dir, "cut")
	run(t, whole, dirs...)
	ctx, stop := context.WithCancel(t.Context())
	_, err := Run(ctx, Options{Out: cut, Sources: dirs, Workers: 1, Progress: func(done, _ int64) {
		if done == 2 {
			stop()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Fatalf("stopped: %v", err)
	}
	left := filepath.Join(cut, "railway=Long%20Line", "box="+nameOf(3), "year=2026", "trains.parquet"+partEnding)
	if err := os.MkdirAll(filepath.Dir(left), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(left, []byte("half a file"), 0o600); err != nil {
		t.Fatal(err)
	}
	got := states(run(t, cut, dirs...))
	if n := strings.Count(strings.Join(got, " "), "unchanged"); n != 2 {
		t.Errorf("after two of four: %v", got)
	}
	same(t, files(t, whole), files(t, cut), "")
}

// A folder that is no collection is left alone.
func TestOtherFolder(t *testing.T) {
	w := newWorld(worldOptions{boxes: 2, days: 1, every: 60})
	dir := t.TempDir()
	dirs := w.makeAll(t, dir)
	if _, err := Run(t.Context(), Options{Out: dirs[0], Sources: dirs}); err == nil || !strings.Contains(err.Error(), "neither empty nor a collection") {
		t.Errorf("a box directory as OUT: %v", err)
	}
}

// Rows of a year that was closed go into another file of it, and none is lost.
func TestTableOfManyYears(t *testing.T) {
	tab := table[turn]{dir: t.TempDir(), name: Turns, label: labels{"R", "B", "UTC"}}
	put := []int{2026, 2027, 2026, 2028, 2029, 2026, 2026, 2030, 2031, 2026}
	for i, year := range put {
		if err := tab.put(year, turn{whose: whose{Year: int32(year)}, Turn: int64(i)}); err != nil {
			t.Fatal(err)
		}
	}
	parts, err := tab.finish()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[int64]bool{}
	names := map[string]bool{}
	for _, p := range parts {
		got, err := parquet.ReadFile[turn](filepath.Join(tab.dir, p.File) + partEnding)
		if err != nil || int64(len(got)) != p.Rows || names[p.File] {
			t.Fatalf("%s: %d rows of %d, %v", p.File, len(got), p.Rows, err)
		}
		names[p.File] = true
		for _, r := range got {
			if int(r.Year) != p.Year || put[r.Turn] != p.Year {
				t.Errorf("%s has row %+v", p.File, r)
			}
			seen[r.Turn] = true
		}
	}
	if len(seen) != len(put) || len(parts) != 8 {
		t.Errorf("%d rows of %d in %d files", len(seen), len(put), len(parts))
	}
}
