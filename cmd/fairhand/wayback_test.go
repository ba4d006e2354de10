package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fairhand/register"
)

// bareBox is a directory with nothing but the description of a box.
func bareBox(t *testing.T, box string) string {
	t.Helper()
	description, err := os.ReadFile(filepath.Join(box, register.BoxFileName))
	if err != nil {
		t.Fatal(err)
	}
	bare := t.TempDir()
	if err := os.WriteFile(filepath.Join(bare, register.BoxFileName), description, 0o600); err != nil {
		t.Fatal(err)
	}
	return bare
}

// TestWaysBack: after each kind of damage there are two, a backup put where there is
// nothing, or nothing but the description of the box, and what can be saved. Both
// give a register that verifies, and one that can be written on.
func TestWaysBack(t *testing.T) {
	dir, _ := threeDays(t)
	backup := filepath.Join(t.TempDir(), "backup.db")
	must(t, exitFine, "-C", dir, "backup", backup)
	sound, err := os.ReadFile(filepath.Join(dir, register.RegisterName))
	if err != nil {
		t.Fatal(err)
	}
	damaged := map[string]func(dir string){
		"lost":      func(dir string) { os.Remove(filepath.Join(dir, register.RegisterName)) },
		"empty":     func(dir string) { write(t, dir, nil) },
		"cut":       func(dir string) { write(t, dir, sound[:len(sound)/2]) },
		"no head":   func(dir string) { write(t, dir, append(make([]byte, 4096), sound[4096:]...)) },
		"a page":    func(dir string) { write(t, dir, zeroed(sound, len(sound)/8192*4096, 4096)) },
		"last page": func(dir string) { write(t, dir, zeroed(sound, len(sound)-4096, 4096)) },
	}
	for _, a := range attacks {
		if strings.Contains(a.told, "backup") && !strings.Contains(a.name, "seal") && !strings.Contains(a.name, "link") { // those are about the seals; through a link nothing is put back
			damaged[a.name] = func(dir string) {
				f := forge(t, dir)
				a.do(f)
				f.done()
			}
		}
	}
	saved := 0
	for name, damage := range damaged {
		if !thorough() && len(name)%3 > 0 {
			continue
		}
		box := copyBox(t, dir)
		damage(box)
		out := filepath.Join(t.TempDir(), "saved")
		code, _, errs := fairhand(t, "-C", box, "salvage", out)
		if code == exitFine || strings.Contains(errs, "fairhand: SEAL DOES NOT FIT") { // of a chain made anew, or cut short
			saved++
			if headless := name == "genesis changed" || name == "box named otherwise"; !headless {
				must(t, exitFine, "verify", filepath.Join(out, salvagedName))
			}
			if _, err := os.Stat(filepath.Join(out, register.RegisterName)); err == nil {
				must(t, exitFine, "-C", out, "verify")
				must(t, exitFine, "-C", out, "log", `note "written on"`)
			}
		} else if errs == "" || !slices.Contains([]string{"lost", "empty", "no head", "a journal of another register", "the journal of the last entry", "pages of another register"}, name) {
			t.Errorf("%s: nothing can be saved: %q", name, errs)
		}
		bare := filepath.Join(t.TempDir(), "bare")
		if withBox := saved%2 == 0; withBox {
			bare = bareBox(t, box)
		}
		must(t, exitFine, "-C", bare, "restore", backup)
		must(t, exitFine, "-C", bare, "verify")
		must(t, exitFine, "-C", box, "restore", "--older", backup) // beside what is left, which is kept, and may be sound in itself
		must(t, exitFine, "-C", box, "verify")
	}
	if saved < 3 {
		t.Errorf("something could be saved after %d kinds of damage only", saved)
	}
}

// TestRestoreComparesWhatIsProved: damage at the end of a register is no way to have a
// copy taken that has other entries before it.
func TestRestoreComparesWhatIsProved(t *testing.T) {
	dir := boxWith(t, "date 2026-05-05\n06:00 box open\n06:01 duty on \"A. Fell\"\n06:02 note \"x\"\n")
	forged, sound := filepath.Join(t.TempDir(), "forged.db"), filepath.Join(t.TempDir(), "sound.db")
	must(t, exitFine, "-C", dir, "backup", forged)
	must(t, exitFine, "-C", dir, "backup", sound)
	for path, seq := range map[string]int{forged: 1, filepath.Join(dir, register.RegisterName): 3} {
		f := forgeFile(t, dir, path)
		f.do(`UPDATE entry SET writer = 'N. Body' WHERE seq = ?`, seq)
		if path == forged {
			f.rechain()
		}
		f.done()
	}
	if code, _, errs := fairhand(t, "-C", dir, "restore", forged); code != exitFailed || !strings.Contains(errs, "has another entry 2 than") {
		t.Errorf("exit code %d: %s", code, errs)
	}
	must(t, exitFine, "-C", dir, "restore", sound)
	must(t, exitFine, "-C", dir, "verify")
}

// TestSalvageComparesSeals: what is saved of a register that was made anew is sound in
// itself, and is not what was sealed.
func TestSalvageComparesSeals(t *testing.T) {
	dir, _ := sealedDemo(t)
	f := forge(t, dir)
	anew(altered)(f)
	f.done()
	code, _, errs := fairhand(t, "-C", dir, "salvage", filepath.Join(t.TempDir(), "saved"))
	if code != exitFailed || !strings.Contains(errs, "SEAL DOES NOT FIT") || !strings.Contains(errs, "seal-167.txt") {
		t.Errorf("exit code %d: %s", code, errs)
	}
}

// TestSalvageTellsOtherDamage: of a file of which every entry that is reached is proved it
// is told all the same that it is damaged.
func TestSalvageTellsOtherDamage(t *testing.T) {
	dir, _ := sealedDemo(t)
	listedAsFree(forge(t, dir))
	if code, _, errs := fairhand(t, "-C", dir, "salvage", filepath.Join(t.TempDir(), "saved")); code != exitFine || !strings.Contains(errs, "this file does not tell") {
		t.Errorf("exit code %d: %s", code, errs)
	}
}

func write(t *testing.T, dir string, content []byte) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, register.RegisterName), content, 0o600); err != nil {
		t.Fatal(err)
	}
}

func zeroed(content []byte, at, n int) []byte {
	out := append([]byte(nil), content...)
	clear(out[at : at+n])
	return out
}
