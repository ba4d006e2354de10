package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/register"
	"fairhand/register/pins"
	"fairhand/register/seal"
)

// besideBox is a box of which more is kept than a register: a PIN, an examination that
// was signed, a countersignature, a volume that is held.
func besideBox(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "box")
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		register.BoxFileName: "box: Ennerholme\nrules: british-later\nsections: [{neighbour: Saltgarth, method: absolute, lines: [{name: Up, way: out}, {name: Down, way: in}]}]\n" +
			"people: [{name: A. Fell, role: signaller}, {name: R. Garth, role: inspector}, {name: P. Kell, role: technician}]\npins: true\n",
		"book.txt": "date 2020-05-05\n06:00 box open\n06:01 duty on \"A. Fell\"\n06:02 disconnected \"Down home signal\"\n06:03 countersign 3 \"P. Kell\"\ndate 2021-01-01\n06:00 note \"a new year\"\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if code, _, errs := fairhand(t, "-C", dir, "import", "--create", filepath.Join(dir, "book.txt")); code == exitFailed || code == exitUsage {
		t.Fatal(errs)
	}
	must(t, exitFine, "-C", dir, "seal", "key")
	must(t, exitFine, "-C", dir, "archive", "close", "2020")
	must(t, exitFine, "-C", dir, "log", "--clock-right", `note "the register begins"`)
	must(t, exitFine, "-C", dir, "archive", "hold", filepath.Join(dir, "archive", "archive-2020.db"), "inquiry")
	setPIN(t, dir, "A. Fell", "4711")
	if code, _, errs := fairhand(t, "-C", dir, "audit", "--sign", "R. Garth"); code == exitFailed || code == exitUsage {
		t.Fatal(errs)
	}
	must(t, exitFine, "-C", dir, "seal", "now")
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

const volume = "archive/archive-2020"

// besides are attacks on what is kept beside the entries; words says which commands tell
// it, each with a part of what it says. No other may say any of it.
var besides = []struct {
	name  string
	do    func(*forger)
	words map[string]string
}{
	{"nothing", func(*forger) {}, nil},
	{"a PIN's record exchanged", func(f *forger) { theirs(f) }, map[string]string{"verify": pins.Misfit}},
	{"PINs taken away", gone(pins.FileName), map[string]string{"verify": pins.Misfit}},
	{"PINs of no sense", func(f *forger) { f.edit(pins.FileName, `"time": 3`, `"time": 0`) }, map[string]string{"verify": pins.Misfit}},
	{"a PIN's entry altered", func(f *forger) {
		f.do(`UPDATE entry SET line = '06:00 pin set "A. Fell" ` + theirs(f) + `' WHERE line LIKE '%pin set%'`)
	}, tellsEach("the register is damaged: entry ", "verify", "audit", "due")},
	{"the same, chain made anew", func(f *forger) {
		f.do(`UPDATE entry SET line = substr(line, 1, instr(line, 'Fell"') + 5) || '` + theirs(f) + `' WHERE line LIKE '%pin set%'`)
		f.rechain()
	}, tellsEach("seal-9.txt: the register is not the one that was sealed", "verify", "audit", "due")},
	{"a PIN typed as given", typed(`duty on "A. Fell" by-pin`), nil},
	{"a PIN reset by typing", func(f *forger) { typed(`pin reset "A. Fell" ` + theirs(f) + ` by "R. Garth"`)(f) }, map[string]string{"verify": pins.Misfit}},
	{"a book with a PIN imported", func(f *forger) {
		path := filepath.Join(f.dir, "theirs.txt")
		if err := os.WriteFile(path, []byte("date 2035-01-01\n06:00 pin reset \"A. Fell\" "+theirs(f)+" by \"R. Garth\"\n06:01 duty on \"A. Fell\" by-pin\n"), 0o600); err != nil {
			f.Fatal(err)
		}
		f.done()
		fairhand(f.T, "-C", f.dir, "import", path)
	}, map[string]string{"verify": pins.Misfit, "audit": "unexplained: entry 11"}},
	{"an entry put in under another day", func(f *forger) {
		f.do(`INSERT INTO entry SELECT seq + 1, at + 60, recorded + 60, day + 5, writer, strftime('%H:%M:%S', at + 60, 'unixepoch') || ' note "x"', hash FROM entry ORDER BY seq DESC LIMIT 1`)
		f.rechain()
	}, tellsEach("is kept under", "verify", "audit", "due")},
	{"a countersignature of another, anew", func(f *forger) {
		f.do(`UPDATE entry SET line = replace(line, 'P. Kell', 'R. Garth') WHERE seq = 4`)
		f.rechain()
	}, tellsEach("the register is not the one that was sealed", "verify", "audit", "due", "volume")},
	{"an examination's words typed again", func(f *forger) { typed(`sign "R. Garth" ` + signatureWords(f))(f) }, map[string]string{"audit": "Written since: 1 entr"}},
	{"the same of another description", func(f *forger) {
		typed(`sign "R. Garth" ` + strings.Replace(signatureWords(f), "; box ", "; box 0", 1))(f)
	}, map[string]string{"audit": "SIGNATURE DOES NOT FIT"}},
	{"the mark of a hold taken away", gone(volume + ".db.hold"), map[string]string{"due": "HOLD TAKEN AWAY"}},
	{"a volume that is held taken away", gone(volume+".db", volume+".db.hold", volume+".txt", volume+".pub"), map[string]string{"due": "HELD VOLUME GONE"}},
	{"a volume under another year's name", func(f *forger) { // and so it may go sooner
		for _, ending := range []string{".db", ".txt", ".txt" + seal.SignatureEnding, ".pub", register.BoxEnding} {
			text := read(f.T, filepath.Join(f.dir, volume+ending))
			if err := os.WriteFile(filepath.Join(f.dir, strings.Replace(volume, "2020", "2019", 1)+ending), text, 0o600); err != nil {
				f.Fatal(err)
			}
		}
	}, map[string]string{"due": "NOT THE VOLUME OF ITS NAME"}},
	{"a volume altered", func(f *forger) { ofVolume(f, `UPDATE entry SET line = '06:00 note "x"' WHERE seq = 1`, false) }, map[string]string{"volume": "damaged"}},
	{"a volume altered, chain made anew", func(f *forger) { ofVolume(f, `UPDATE entry SET line = '06:00 note "x"' WHERE seq = 1`, true) }, map[string]string{"volume": "the register is not the one that was sealed"}},
	{"the key of a volume exchanged", func(f *forger) {
		other := f.TempDir()
		if err := os.WriteFile(filepath.Join(other, register.BoxFileName), read(f.T, filepath.Join(f.dir, register.BoxFileName)), 0o600); err != nil {
			f.Fatal(err)
		}
		must(f.T, exitFine, "-C", other, "seal", "key")
		if err := os.WriteFile(filepath.Join(f.dir, volume+".pub"), read(f.T, filepath.Join(other, seal.KeyName+".pub")), 0o600); err != nil {
			f.Fatal(err)
		}
	}, map[string]string{"volume": ".txt: "}},
}

func tellsEach(what string, by ...string) map[string]string {
	out := map[string]string{}
	for _, name := range by {
		out[name] = what
	}
	return out
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// ofVolume alters a volume, and chains it anew.
func ofVolume(f *forger, query string, chained bool) {
	v := forgeFile(f.T, f.dir, filepath.Join(f.dir, volume+".db"))
	v.do(query)
	if chained {
		v.rechain()
	}
	v.done()
}

// TestAttacksBeside is TestAttacks for what lies beside the entries.
func TestAttacksBeside(t *testing.T) {
	t.Setenv("HOME", t.TempDir())
	pristine := besideBox(t)
	var table strings.Builder
	commands := []string{"verify", "audit", "due", "volume"}
	was := map[string]string{}
	for _, a := range besides {
		dir := copyBox(t, pristine)
		f := forge(t, dir)
		a.do(f)
		f.done()
		fmt.Fprintf(&table, "\n%-36s", a.name)
		for _, c := range commands {
			args := map[string][]string{"verify": {"verify"}, "audit": {"audit"}, "due": {"archive", "due", "--keep", "900"}, "volume": {"archive", "check", filepath.Join(dir, volume+".db")}}[c]
			code, out, errs := fairhand(t, append([]string{"-C", dir}, args...)...)
			all := strings.Join(strings.Fields(out+errs), " ")
			want := a.words[c]
			if a.words == nil && a.name == "nothing" {
				was[c] = all
			}
			if is := want != "" && strings.Contains(all, want) && !strings.Contains(was[c], want) && code != exitFine; is != (want != "") {
				t.Errorf("%s, then %s: want %q; exit code %d\n%.600s", a.name, c, want, code, out+errs)
			}
			for _, stamp := range []string{pins.Misfit, "not the one that was sealed", "SIGNATURE DOES NOT FIT", "HELD VOLUME GONE", "HOLD TAKEN AWAY"} {
				if strings.Contains(all, stamp) && want == "" {
					t.Errorf("%s, then %s: it says %s", a.name, c, stamp)
				}
			}
			fmt.Fprintf(&table, " %-7s", map[bool]string{true: c, false: "."}[want != ""])
		}
	}
	t.Log(table.String())
}
