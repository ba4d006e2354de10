package gather

import (
	"bytes"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// alteration is what somebody who has a collection does to one of its files, or two.
type alteration struct {
	name  string
	do    func(t *testing.T, one, other string)
	file  string // of two boxes, in the folder of each
	early bool   // told by the next run also where the time of the file is put back
	quiet bool   // not told, and put right all the same: it says nothing of itself
}

// alterations keep the size of each file, but for those of another box.
var alterations = []alteration{
	{"nothing, with the file written anew", change(func(b []byte) []byte { return b }), "year=2026/findings.parquet", false, true},
	{"a byte of the findings", change(func(b []byte) []byte { b[len(b)/2] ^= 1; return b }), "year=2026/findings.parquet", false, false},
	{"a byte of the bells", change(func(b []byte) []byte { b[len(b)/2] ^= 1; return b }), "year=2026/bells." + nameOf(1) + ".parquet", false, false},
	{"a name in the labels", change(func(b []byte) []byte {
		return bytes.Replace(b, []byte("fairhand-gather-1"), []byte("fairhand-gather-2"), 1)
	}), "year=2026/turns.parquet", false, false},
	{"the parts of two boxes exchanged", func(t *testing.T, one, other string) {
		a, b := read(t, one), read(t, other)
		write(t, one, b)
		write(t, other, a)
	}, "year=2026/entries.parquet", true, false},
	{"a part taken away", func(t *testing.T, one, _ string) {
		if err := os.Remove(one); err != nil {
			t.Fatal(err)
		}
	}, "year=2026/trains.parquet", true, false},
	{"who examined the book, in the manifest", change(func(b []byte) []byte {
		return bytes.Replace(b, []byte(`"examined_to": `), []byte(`"examined_to": 1`), 1)
	}), ManifestName, true, false},
	{"the hash of a part, in the manifest", change(func(b []byte) []byte {
		i := bytes.Index(b, []byte(`"sha256": "`)) + 40
		j := i + bytes.Index(b[i:], []byte(`"sha256": "`)) + 20
		b[j] ^= 1
		return b
	}), ManifestName, true, false},
	{"how many bells both have, in the manifest of the pair", change(func(b []byte) []byte {
		return bytes.Replace(b, []byte(`"bells": `), []byte(`"bells": 1`), 1)
	}), "_with-" + nameOf(1) + ".json", true, false},
	{"the head, in the manifest", change(func(b []byte) []byte {
		return bytes.Replace(b, []byte(`"hash": "`), []byte(`"hash": "0`), 1)
	}), ManifestName, true, false},
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func write(t *testing.T, path string, b []byte) {
	t.Helper()
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
}

func change(how func([]byte) []byte) func(t *testing.T, one, other string) {
	return func(t *testing.T, one, _ string) {
		t.Helper()
		write(t, one, how(read(t, one)))
	}
}

// TestAltered: a file of a collection that is not what the register gives is told: by
// the next run, or where the time of the file was put back too by one that makes all
// anew. That one puts everything right, to the byte.
func TestAltered(t *testing.T) {
	w := newWorld(worldOptions{boxes: 2, days: 2, every: 60, careless: 1})
	dir := t.TempDir()
	dirs, pristine := w.makeAll(t, dir), filepath.Join(dir, "out")
	run(t, pristine, dirs...)
	want := files(t, pristine)
	for _, a := range alterations {
		for _, putBack := range []bool{false, true} {
			out := filepath.Join(t.TempDir(), "out")
			copyAll(t, pristine, out)
			one, other := fileOf(t, out, 0, a.file), fileOf(t, out, 1, a.file)
			times := map[string]os.FileInfo{}
			for _, path := range []string{one, other} {
				if info, err := os.Stat(path); err == nil {
					times[path] = info
				}
			}
			a.do(t, one, other)
			for path, info := range times {
				if putBack {
					_ = os.Chtimes(path, info.ModTime(), info.ModTime()) // one taken away has none
				}
			}
			told := func(anew bool) bool {
				res, err := Run(t.Context(), Options{Out: out, Sources: dirs, Anew: anew})
				if err != nil {
					t.Fatal(a.name, err)
				}
				var altered *AlteredError
				var contradicts *ContradictsError
				refused := res.Refused()
				if refused != nil && !errors.As(refused, &altered) && !errors.As(refused, &contradicts) {
					t.Errorf("%s: %v", a.name, refused)
				}
				return refused != nil
			}
			if got, want := told(false), !a.quiet && (a.early || !putBack); got != want {
				t.Errorf("%s, time put back %v: told by the next run: %v", a.name, putBack, got)
			} else if got == want && !got {
				if got := told(true); got == a.quiet {
					t.Errorf("%s, time put back %v: told by a run that makes all anew: %v", a.name, putBack, got)
				}
			}
			if strings.HasPrefix(a.name, "the head") {
				continue // refused: which of the two is the book is for somebody to find out
			}
			if told(true) {
				t.Errorf("%s: not put right", a.name)
			}
			got := files(t, out)
			for _, name := range slices.Sorted(maps.Keys(want)) {
				if !bytes.Equal(got[name], want[name]) {
					t.Errorf("%s, time put back %v: %s is not as it was", a.name, putBack, name)
				}
			}
		}
	}
}

// copyAll copies a collection with the times of its files.
func copyAll(t *testing.T, from, to string) {
	t.Helper()
	if err := os.CopyFS(to, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
	for name := range files(t, from) {
		info, err := os.Stat(filepath.Join(from, name))
		if err == nil {
			err = os.Chtimes(filepath.Join(to, name), info.ModTime(), info.ModTime())
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

// fileOf is a file in the folder of a box.
func fileOf(t *testing.T, out string, box int, file string) string {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(out, "railway=*", "box="+nameOf(box)))
	if err != nil || len(list) != 1 {
		t.Fatal(list, err)
	}
	return filepath.Join(list[0], file)
}
