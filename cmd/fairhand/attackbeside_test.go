package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"fairhand/register"
	"fairhand/register/pins"
	"fairhand/register/seal"
	"fairhand/register/store"
	"fairhand/register/watch"
)

// alarms are what is told of an attack, by a word for each.
var alarms = []struct {
	kind string
	said *regexp.Regexp
}{
	{"pin", regexp.MustCompile(pins.Misfit)},
	{"damage", regexp.MustCompile("is damaged: |is kept under")},
	{"seal", regexp.MustCompile(`(SEAL DOES NOT FIT: |fairhand: )\S*/seal-\d+\.txt: `)},
	{"signature", regexp.MustCompile("SIGNATURE DOES NOT FIT")},
	{"since", regexp.MustCompile("Written since: 1 entr")},
	{"finding", regexp.MustCompile("unexplained: entry 11")},
	{"copy", regexp.MustCompile(watch.CopyMisfit)},
	{"unread", regexp.MustCompile(watch.CopyUnread)},
	{"rotten", regexp.MustCompile(watch.CopyDamaged)},
	{"volume", regexp.MustCompile(`A VOLUME DOES NOT FIT|fairhand: \S*archive-20\d\d\.(txt|db)\S*: |in the volume and `)},
	{"name", regexp.MustCompile("under the name of|NOT THE VOLUME OF ITS NAME")},
	{"gone", regexp.MustCompile("HELD VOLUME GONE")},
	{"hold", regexp.MustCompile("HOLD TAKEN AWAY")},
}

// besides are attacks on what is kept beside the entries; says is which command tells it
// by which alarms. None says any other, and none says any after nothing.
// That the register lies on another computer cannot be arranged here: TestNetworks and
// TestRegisterOnANetworkFolder tell of it.
type besideAttack struct {
	name string
	do   func(*forger)
	says string // "verify: pin seal; audit: seal"
}

// told is by which alarms a command must tell it.
func (a *besideAttack) told(command string) string {
	if command == "hold" || command == "key" { // they write: by what the page of a day tells too
		command = "day"
	}
	for part := range strings.SplitSeq(a.says, "; ") {
		if name, alarms, _ := strings.Cut(part, ": "); name == command {
			return alarms
		}
	}
	return ""
}

var besides = []besideAttack{
	{"nothing", func(*forger) {}, ""},
	{"a PIN's record exchanged", func(f *forger) { theirs(f) }, "verify: pin"},
	{"PINs taken away", gone(pins.FileName), "verify: pin"},
	{"PINs of no sense", func(f *forger) { f.edit(pins.FileName, `"time": 1`, `"time": 0`) }, "verify: pin"},
	{"a PIN's entry altered", func(f *forger) {
		f.do(`UPDATE entry SET line = '06:00 pin set "A. Fell" ` + theirs(f) + `' WHERE line LIKE '%pin set%'`)
	}, "verify: damage; audit: damage; day: damage; due: damage; copy: damage"},
	{"the same, chain made anew", func(f *forger) {
		f.do(`UPDATE entry SET line = substr(line, 1, instr(line, 'Fell"') + 5) || '` + theirs(f) + `' WHERE line LIKE '%pin set%'`)
		f.rechain()
	}, "verify: seal copy; audit: seal signature; day: seal; due: seal; copy: seal copy"},
	{"a PIN typed as given", typed(`duty on "A. Fell" by-pin`), ""},
	{"a PIN reset by typing", func(f *forger) { typed(`pin reset "A. Fell" ` + theirs(f) + ` by "R. Garth"`)(f) }, "verify: pin"},
	{"a book with a PIN imported", func(f *forger) {
		path := filepath.Join(f.dir, "theirs.txt")
		if err := os.WriteFile(path, []byte("date 2035-01-01\n06:00 pin reset \"A. Fell\" "+theirs(f)+" by \"R. Garth\"\n06:01 duty on \"A. Fell\" by-pin\n"), 0o600); err != nil {
			f.Fatal(err)
		}
		f.done()
		fairhand(f.T, "-C", f.dir, "import", "--transcription", "", path)
	}, "verify: pin; audit: finding"},
	{"an entry put in under another day", func(f *forger) {
		f.do(`INSERT INTO entry SELECT seq + 1, at + 60, recorded + 60, day + 5, writer, strftime('%H:%M:%S', at + 60, 'unixepoch') || ' note "x"', hash FROM entry ORDER BY seq DESC LIMIT 1`)
		f.rechain()
	}, "verify: damage; audit: damage; day: damage; due: damage; copy: damage"},
	{"a countersignature of another, anew", func(f *forger) {
		f.do(`UPDATE entry SET line = replace(line, 'P. Kell', 'R. Garth') WHERE seq = 4`)
		f.rechain()
	}, "verify: seal copy volume; audit: seal signature; day: seal; due: seal; volume: volume; copy: seal copy"},
	{"an examination's words typed again", func(f *forger) { typed(`sign "R. Garth" ` + signatureWords(f))(f) }, "audit: since"},
	{"the same of another description", func(f *forger) {
		typed(`sign "R. Garth" ` + strings.Replace(signatureWords(f), "; box ", "; box 0", 1))(f)
	}, "audit: signature since"},

	{"put back to a day before, seals too", putBack, "verify: copy; copy: copy"},
	{"the same without a second place", func(f *forger) { putBack(f); noCopies(f) }, ""}, // no more than paper and the neighbours' books can tell
	{"chain made anew, seals taken away", anewUnsealed, "verify: copy volume; audit: signature; volume: volume; copy: copy"},
	{"the same, and sealed by the box's key", func(f *forger) {
		seals, err := filepath.Glob(filepath.Join(f.dir, "seal-*.txt"))
		if err != nil || len(seals) != 1 {
			f.Fatal(seals, err)
		}
		statement := read(f.T, seals[0])
		anewUnsealed(f)
		key, err := seal.LoadKey(f.dir, nil)
		if err = errors.Join(err, os.WriteFile(seals[0], statement, 0o600)); err != nil {
			f.Fatal(err)
		}
		sealedBy(f, key, filepath.Base(seals[0]))
	}, "verify: copy volume; audit: signature; volume: volume; copy: copy"},
	{"the same without a second place", func(f *forger) { anewUnsealed(f); noCopies(f) }, "verify: volume; audit: signature; volume: volume"},
	{"the same without a volume", func(f *forger) {
		anewUnsealed(f)
		noCopies(f)
		emptied(f, archiveDir)
	}, "verify: gone; audit: signature; due: gone; file: volume"},
	{"a copy altered at its end, anew", func(f *forger) {
		c := forgeFile(f.T, f.dir, copyOf(f))
		c.do(`UPDATE entry SET writer = 'N. Body' WHERE seq = (SELECT max(seq) FROM entry)`)
		c.rechain()
		c.done()
	}, "verify: copy; copy: copy"},
	{"the same, its name in capitals", func(f *forger) { // as some folders give it back
		c := forgeFile(f.T, f.dir, copyOf(f))
		c.do(`UPDATE entry SET writer = 'N. Body' WHERE seq = (SELECT max(seq) FROM entry)`)
		c.rechain()
		c.done()
		if err := os.Rename(copyOf(f), filepath.Join(f.dir, secondPlace, strings.ToUpper(filepath.Base(copyOf(f))))); err != nil {
			f.Fatal(err)
		}
	}, "verify: copy; copy: copy"},
	{"a copy emptied", func(f *forger) {
		c := forgeFile(f.T, f.dir, copyOf(f))
		c.do("DELETE FROM entry")
		c.done()
	}, "verify: unread; copy: unread"},
	{"made anew, saying that it continues", func(f *forger) {
		unsealed(f)
		f.do("UPDATE meta SET value = '1' WHERE key = 'created'")
		f.do(`UPDATE entry SET line = '06:00 note "Continues the register of Ennerholme begun 2020-05-05, found damaged: entries 1 to 99 are proved, hash ` + strings.Repeat("0", 64) + `; it went to entry 99"' WHERE seq = 1`)
		meta := store.Meta{Zone: "UTC", Box: "Ennerholme", Created: 1}
		for key, to := range map[string]*string{"railway": &meta.Railway, "zone": &meta.Zone} {
			if err := f.db.QueryRow("SELECT value FROM meta WHERE key = ?", key).Scan(to); err != nil {
				f.Fatal(err)
			}
		}
		if err := f.db.QueryRow("SELECT text FROM description WHERE entry = 0").Scan(&meta.Description); err != nil {
			f.Fatal(err)
		}
		f.do("UPDATE meta SET value = ? WHERE key = 'genesis'", meta.Genesis().String())
		f.rechain()
	}, "verify: copy volume; audit: signature; volume: volume; copy: copy"},
	{"a copy that is no register", func(f *forger) {
		replaced(f, func(path string) error { return os.WriteFile(path, []byte("x"), 0o600) })
	}, "verify: unread; copy: unread"},
	{"a folder in the place of a copy", func(f *forger) { replaced(f, func(path string) error { return os.Mkdir(path, 0o700) }) }, "verify: unread; copy: unread"},
	{"a link in the place of a copy", func(f *forger) {
		replaced(f, func(path string) error {
			err := os.Symlink(filepath.Join(f.dir, register.RegisterName), path)
			if found, statErr := os.Lstat(path); statErr == nil && found.Mode()&fs.ModeSymlink == 0 { // wine does not tell a link
				err = os.Remove(path)
			}
			if _, missing := os.Lstat(path); err != nil || missing != nil { // not everywhere
				return os.Mkdir(path, 0o700)
			}
			return nil
		})
	}, "verify: unread; copy: unread"},
	{"what was saved made anew", salvagedThen(salvagedName, `UPDATE entry SET line = '06:00 note "x"' WHERE seq = 1`), "verify: copy; file: volume"},
	{"what was saved cut short", salvagedThen(salvagedName, "DELETE FROM entry WHERE seq > 1"), "verify: copy; file: volume"},
	{"the end of it named otherwise", salvagedThen(register.RegisterName, `UPDATE entry SET line = replace(line, '1 to 2', '1 to 1')`), "verify: copy; file: volume"},
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// shelf are the commands that are tried on what lies beside the entries.
var shelf = []deed{
	{"verify", "verify --copies BOX/" + secondPlace}, {"audit", "audit"}, {"day", "day 2020-05-05"}, {"due", "archive due --keep 900"},
	{"volume", "archive check BOX/" + volume + ".db"}, {"copy", "backup --copies BOX/" + secondPlace},
	{"file", "verify BOX/" + volume + ".db"}, {"bare", "-C FOLDER restore BOX/" + volume + ".db"},
	{"hold", "archive hold BOX/archive/archive-2021.db why"}, {"key", "pin P._Kell < 4711 | 4711"},
}

// TestAttacksBeside is TestAttacks for what lies beside the entries.
func TestAttacksBeside(t *testing.T) {
	t.Setenv("HOME", t.TempDir())
	pristine := besideBox(t)
	var table strings.Builder
	for i, a := range besides {
		dir := copyBox(t, pristine)
		f := forge(t, dir)
		a.do(f)
		f.done()
		fmt.Fprintf(&table, "\n%-36s", a.name)
		for j, d := range shelf {
			if !tries(i, j, 5) {
				fmt.Fprintf(&table, " %-16s", "")
				continue
			}
			got := d.try(t, dir, "")
			if got.code == exitFine {
				got.out = "" // under an alarm it is another; one who writes is told, and writes
			}
			all, told := strings.Join(strings.Fields(strings.ReplaceAll(got.out+got.stderr, `\`, "/")), " "), []string{}
			for _, alarm := range alarms {
				if alarm.said.MatchString(all) {
					told = append(told, alarm.kind)
				}
			}
			says := strings.Join(told, " ")
			if want := a.told(d.name); says != want {
				t.Errorf("%s, then %s: it tells %q, want %q; exit code %d\n%.900s", a.name, d.name, says, want, got.code, all)
			}
			fmt.Fprintf(&table, " %-16s", d.name+": "+cmp.Or(says, "-"))
		}
	}
	t.Log(table.String())
}
