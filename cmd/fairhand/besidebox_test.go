package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"fairhand/register"
	"fairhand/register/pins"
)

// secondPlace is where the copies are: in the box, so that they are copied with it.
const secondPlace = "copies"

// besideBox is a box of which more is kept than a register: a PIN, an examination that
// was signed, a countersignature, volumes of two years, one of which is held, a copy.
func besideBox(t *testing.T) string {
	t.Helper()
	dir := boxWith(t, "date 2020-05-05\n06:00 box open\n06:01 duty on \"A. Fell\"\n06:02 disconnected \"Down home signal\"\n06:03 countersign 3 \"P. Kell\"\ndate 2021-01-01\n06:00 note \"a new year\"\n")
	must(t, exitFine, "-C", dir, "archive", "close", "2020")
	must(t, exitFine, "-C", dir, "archive", "close", "2021")
	must(t, exitFine, "-C", dir, "log", "--clock-right", `note "the register begins"`)
	must(t, exitFine, "-C", dir, "archive", "hold", filepath.Join(dir, "archive", "archive-2020.db"), "inquiry")
	setPIN(t, dir, "A. Fell", "4711")
	if code, _, errs := fairhand(t, "-C", dir, "audit", "--sign", "R. Garth"); code == exitFailed || code == exitUsage {
		t.Fatal(errs)
	}
	must(t, exitFine, "-C", dir, "seal", "now")
	if err := os.Mkdir(filepath.Join(dir, secondPlace), 0o700); err != nil {
		t.Fatal(err)
	}
	must(t, exitFine, "-C", dir, "backup", "--copies", filepath.Join(dir, secondPlace))
	earlier(t, filepath.Join(dir, secondPlace))
	return dir
}

// earlier has the copies of a place be of another year: by the second of its name, the next
// would be the same.
func earlier(t *testing.T, place string) {
	t.Helper()
	files, err := os.ReadDir(place)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		name := regexp.MustCompile(`-20\d\d(\d{4}-\d{6})`).ReplaceAllString(f.Name(), "-2024$1")
		if err := os.Rename(filepath.Join(place, f.Name()), filepath.Join(place, name)); err != nil {
			t.Fatal(err)
		}
	}
}

// boxWith is a box with a book and a key.
func boxWith(t *testing.T, book string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "box")
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		register.BoxFileName: "box: Ennerholme\nrules: british-later\nsections: [{neighbour: Saltgarth, method: absolute, lines: [{name: Up, way: out}, {name: Down, way: in}]}]\n" +
			"people: [{name: A. Fell, role: signaller}, {name: R. Garth, role: inspector}, {name: P. Kell, role: technician}]\npins: true\n",
		"book.txt": book,
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if code, _, errs := fairhand(t, "-C", dir, "import", "--transcription", "", "--create", filepath.Join(dir, "book.txt")); code == exitFailed || code == exitUsage {
		t.Fatal(errs)
	}
	must(t, exitFine, "-C", dir, "seal", "key")
	return dir
}

func setPIN(t *testing.T, dir, name, pin string) {
	t.Helper()
	var out, errs strings.Builder
	if code := run(t.Context(), []string{"-C", dir, "pin", name}, strings.NewReader(pin+"\n"+pin+"\n"), &out, &errs); code != exitFine {
		t.Fatal(errs.String())
	}
}

// typed writes an entry as anybody can who sits at the desk, and wants it taken or not.
func typed(line string) func(*forger) {
	return func(f *forger) {
		f.done()
		fairhand(f.T, "-C", f.dir, "log", line)
	}
}

// theirs puts a record of the forger's own into the place of somebody's.
func theirs(f *forger) (digest string) {
	r, err := pins.New("A. Fell", "0000")
	if err == nil {
		err = pins.Save(f.dir, []pins.Record{*r})
	}
	if err != nil {
		f.Fatal(err)
	}
	return r.Digest()
}

// signatureWords are those of the signature in the book.
func signatureWords(f *forger) string {
	var line string
	if err := f.db.QueryRow("SELECT line FROM entry WHERE line LIKE '%sign \"R. Garth\" %'").Scan(&line); err != nil {
		f.Fatal(err)
	}
	_, words, _ := strings.Cut(line, `sign "R. Garth" `)
	return words
}

// gone takes files away.
func gone(names ...string) func(*forger) {
	return func(f *forger) {
		for _, name := range names {
			if err := os.Remove(filepath.Join(f.dir, name)); err != nil {
				f.Fatal(err)
			}
		}
	}
}

// emptied takes away every file of a folder of the box; the folders stay, as wine removes none.
func emptied(f *forger, name string) {
	if err := filepath.WalkDir(filepath.Join(f.dir, name), func(path string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			err = os.Remove(path)
		}
		return err
	}); err != nil {
		f.Fatal(err)
	}
}

// putBack makes of a register what it was before its last entry, and takes the seals away
// that there were not then.
func putBack(f *forger) {
	f.do("DELETE FROM entry WHERE seq = (SELECT max(seq) FROM entry)")
	f.do("DELETE FROM snapshot")
	unsealed(f)
}

func anewUnsealed(f *forger) {
	f.do(`UPDATE entry SET line = '06:00 note "x"' WHERE seq = 1`)
	f.rechain()
	unsealed(f)
}

func unsealed(f *forger) {
	names, err := filepath.Glob(filepath.Join(f.dir, "seal-*.txt*"))
	for _, name := range names {
		err = errors.Join(err, os.Remove(name))
	}
	if err != nil || len(names) == 0 {
		f.Fatal(names, err)
	}
}

func noCopies(f *forger) {
	if err := os.Remove(copyOf(f)); err != nil {
		f.Fatal(err)
	}
}

// copyOf is the copy in the second place.
func copyOf(f *forger) string {
	names, err := filepath.Glob(filepath.Join(f.dir, secondPlace, "*.db"))
	if err != nil || len(names) != 1 {
		f.Fatal(names, err)
	}
	return names[0]
}

// replaced puts something in the place of the copy.
func replaced(f *forger, put func(path string) error) {
	path := copyOf(f)
	if err := errors.Join(os.Remove(path), put(path)); err != nil {
		f.Fatal(err)
	}
}

// salvagedThen makes of the box what is saved of it after damage, and alters a file of that.
func salvagedThen(file, query string) func(*forger) {
	return func(f *forger) {
		f.do(`UPDATE entry SET line = '06:00 note "x"' WHERE seq = 3`)
		f.done()
		saved := filepath.Join(f.TempDir(), "saved")
		must(f.T, exitFine, "-C", f.dir, "salvage", saved)
		must(f.T, exitFine, "-C", saved, "verify")
		emptied(f, ".")
		if err := os.CopyFS(f.dir, os.DirFS(saved)); err != nil {
			f.Fatal(err)
		}
		x := forgeFile(f.T, f.dir, filepath.Join(f.dir, file))
		x.do(query)
		x.rechain()
		x.done()
	}
}
