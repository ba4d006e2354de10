package gather

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestStrangers: a table put into a collection beside those that were gathered is told by
// the next run, wherever an engine would read it; taken away, nothing is.
func TestStrangers(t *testing.T) {
	w := newWorld(worldOptions{boxes: 2, days: 2, every: 60, careless: 1})
	dir := t.TempDir()
	dirs, out := w.makeAll(t, dir), filepath.Join(dir, "out")
	run(t, out, dirs...)
	from := read(t, fileOf(t, out, 0, "year=2026/entries.parquet"))
	folder := filepath.Dir(fileOf(t, out, 0, ManifestName))
	for _, path := range []string{filepath.Join(folder, "year=2026/entries2.parquet"), filepath.Join(folder, "year=2031/entries.parquet"),
		filepath.Join(out, "railway=X/box=Y/year=2026/entries.parquet"), filepath.Join(out, "entries.parquet")} {
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		write(t, path, from)
		res, err := Run(t.Context(), Options{Out: out, Sources: dirs})
		var stranger *StrangerError
		if err != nil || !errors.As(res.Refused(), &stranger) || filepath.Join(out, filepath.FromSlash(stranger.Path)) != path {
			t.Errorf("%s: %v, %v", path, err, res.Refused())
		}
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
	}
	run(t, out, dirs...)

	// nor is what stands at the top told of a box whose manifest was edited and that is not gathered now
	manifest := filepath.Join(folder, ManifestName)
	write(t, manifest, []byte(strings.Replace(string(read(t, manifest)), `"examined_to": `, `"examined_to": 1`, 1)))
	for range 2 {
		res, err := Run(t.Context(), Options{Out: out, Sources: dirs[1:]})
		var stranger *StrangerError
		if err != nil || !errors.As(res.Refused(), &stranger) || !stranger.Edited {
			t.Error(err, res.Refused())
		}
	}
}

// A manifest that cannot be read is told with its name and what to do; it is read as
// every other, within its bound.
func TestStrangersTornManifest(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "_torn.json"), []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := strangers(dir); err == nil || !strings.Contains(err.Error(), "_torn.json cannot be read") || !strings.Contains(err.Error(), "gathered again") {
		t.Errorf("told %v", err)
	}
}
