package main

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// TestForceSpares: nothing that cannot be had again is written over, under its
// name, through links, or where it lies elsewhere; what an export made is.
func TestForceSpares(t *testing.T) {
	dir, _ := sealedDemo(t)
	if err := os.WriteFile(filepath.Join(dir, "pins.json"), []byte("[]"), 0o600); err != nil {
		t.Fatal(err)
	}
	elsewhere := t.TempDir()
	copyOf := func(name, as string) string {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(elsewhere, as)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	link := func(make func(old, new string) error, name, as string) string {
		path := filepath.Join(elsewhere, as)
		if err := make(filepath.Join(dir, name), path); err != nil {
			t.Fatal(err)
		}
		return path
	}
	spared := []string{
		link(os.Symlink, "register.db", "soft"), link(os.Link, "register.db", "hard"), link(os.Symlink, "seal_ed25519", "softkey"),
		link(os.Link, "seal_ed25519", "hardkey"), link(os.Link, "box.yaml", "hardbox"), link(os.Symlink, "seal-167.txt", "softseal"),
		copyOf("register.db", "copy.db"), copyOf("seal_ed25519", "key"), copyOf("seal-167.txt", "s"), copyOf("seal-167.txt.sig", "g"), copyOf("box.yaml", "box.yaml"),
	}
	for name, text := range map[string]string{"book.txt": "date 2026-05-05\n", "archive-2020.db.hold": "inquiry\n", "page.html": "<p>a page of somebody's own"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		spared = append(spared, filepath.Join(dir, name))
	}
	spared = append(spared, copyOf("seal_ed25519.pub", "p"), copyOf("box.yaml", "archive-2020.box.yaml"), link(os.Symlink, "weekday.csv", "softtable"), link(os.Link, "weekday.csv", "hardtable"))
	for _, name := range []string{"weekday.csv", "register.db", "box.yaml", "seal_ed25519", "seal_ed25519.pub", "seal-167.txt", "seal-167.txt.sig", "pins.json"} {
		spared = append(spared, filepath.Join(dir, name))
	}
	for _, path := range spared {
		if _, err := os.Lstat(path); os.IsNotExist(err) && strings.HasPrefix(filepath.Base(path), "soft") {
			continue // wine says that it made the link, and does not
		}
		before, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		code, _, errs := fairhand(t, "-C", dir, "export", "--format", "csv", "--date", "2026-05-05", "-o", path, "--force")
		after, _ := os.ReadFile(path)
		if code != exitFailed || string(before) != string(after) {
			t.Errorf("%s: exit code %d\n%s", path, code, errs)
		}
	}
	for _, name := range []string{"register.db-journal", "register.db-wal", "seal-999.txt", "seal-999.txt.sig"} { // not there
		path := filepath.Join(dir, name)
		for _, args := range [][]string{{"export", "--date", "2026-05-05", "-o"}, {"backup"}} {
			if code, _, errs := fairhand(t, append(append([]string{"-C", dir}, args...), path)...); code != exitFailed || !strings.Contains(errs, "give another name") {
				t.Errorf("%s to %s: exit code %d\n%s", args[0], path, code, errs)
			}
			if _, err := os.Lstat(path); err == nil {
				t.Fatal(path, "was made")
			}
		}
	}
	exportsAreReplaced(t, dir, elsewhere)
	tableElsewhereIsSpared(t, dir, elsewhere)
}

// exportsAreReplaced writes everything twice, in the box's directory and elsewhere.
func exportsAreReplaced(t *testing.T, dir, elsewhere string) {
	t.Helper()
	for _, where := range []string{elsewhere, dir} {
		for _, format := range []string{"text", "html", "json", "csv", "notation", "xlsx", "pdf"} {
			for range 2 {
				must(t, exitFine, "-C", dir, "export", "--format", format, "--date", "2026-05-05", "-o", filepath.Join(where, "day."+format), "--force")
			}
		}
		for range 2 {
			must(t, exitFine, "-C", dir, "graph", "2026-05-05", "--svg", filepath.Join(where, "graph.svg"), "--force")
			if code, _, errs := fairhand(t, "-C", dir, "audit", "--format", "text", "-o", filepath.Join(where, "audit.txt"), "--force"); code == exitFailed || code == exitUsage {
				t.Error(errs)
			}
		}
	}
}

// tableElsewhereIsSpared: a timetable that lies elsewhere is the box's all the same.
func tableElsewhereIsSpared(t *testing.T, dir, elsewhere string) {
	t.Helper()
	table := filepath.Join(elsewhere, "table.csv")
	if err := os.WriteFile(table, []byte("train,beats,from,to,arrive,depart,place\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	rel, err := filepath.Rel(dir, table)
	if err != nil {
		t.Fatal(err)
	}
	f := &forger{T: t, dir: dir}
	f.edit("box.yaml", "weekday.csv", rel)
	if code, _, errs := fairhand(t, "-C", dir, "audit", "--format", "html", "-o", table, "--force"); code != exitFailed || !strings.Contains(errs, "the box's own table.csv") {
		t.Errorf("a timetable elsewhere: exit code %d, %s", code, errs)
	}
}

// TestModes: all that a box, its key and PINs, its copies and its exports are made of is
// for its owner only. On Windows the list of a folder's owner holds, and modes say nothing.
func TestModes(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows has no such modes")
	}
	dir, _ := sealedDemo(t)
	out := filepath.Join(t.TempDir(), "out")
	if err := os.Mkdir(out, 0o700); err != nil {
		t.Fatal(err)
	}
	must(t, exitFine, "-C", dir, "backup", filepath.Join(out, "copy.db"))
	for _, format := range []string{"json", "html", "csv", "pdf"} {
		must(t, exitFine, "-C", dir, "export", "--format", format, "--date", "2026-05-05", "-o", filepath.Join(out, "day."+format))
	}
	must(t, exitFine, "-C", dir, "export", "--format", "parquet", "-o", filepath.Join(out, "parquet"))
	must(t, exitFine, "gather", filepath.Join(out, "gathered"), dir)
	var pin bytes.Buffer
	if code := run(t.Context(), []string{"-C", dir, "pin", "A. Fell"}, strings.NewReader("4711\n4711\n"), &pin, &pin); code != exitFine {
		t.Fatal(pin.String())
	}
	seen := 0
	for _, root := range []string{dir, out} {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			info, err := d.Info()
			if err != nil {
				return err
			}
			seen++
			if want := map[bool]fs.FileMode{true: 0o700, false: 0o600}[d.IsDir()]; info.Mode().Perm() != want {
				t.Errorf("%s has mode %04o, want %04o", path, info.Mode().Perm(), want)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if seen < 25 {
		t.Errorf("only %d files were made", seen)
	}
}
