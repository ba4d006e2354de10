package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/register"
)

// halfway are the commands of several steps, and what must be true wherever one of them
// is killed: what is under its name is whole, and the command can be given again.
var halfway = []struct {
	args    string
	damaged bool // the register that it is given on
	after   func(t *testing.T, dir, out string)
}{
	{"backup OUT", false, func(t *testing.T, dir, out string) {
		if _, err := os.Stat(out); err != nil {
			must(t, exitFine, "-C", dir, "backup", out)
		}
		must(t, exitFine, "verify", out)
	}},
	{"archive close 2020", false, func(t *testing.T, dir, _ string) {
		must(t, exitFine, "-C", dir, "verify")
		volume := filepath.Join(dir, volume+".db")
		if _, err := os.Stat(volume); err != nil {
			must(t, exitFine, "-C", dir, "archive", "close", "2020")
		}
		must(t, exitFine, "-C", dir, "archive", "check", volume)
	}},
	{"salvage OUT", true, func(t *testing.T, _, out string) {
		if _, err := os.Stat(filepath.Join(out, register.BoxFileName)); err != nil {
			return // it is no box
		}
		if said := must(t, exitFine, "-C", out, "export", "--format", "notation"); !strings.Contains(said, "Continues the register of") {
			t.Error("it does not say what it continues:", said)
		}
	}},
	{"restore COPY", true, func(t *testing.T, dir, _ string) {
		if code, _, errs := fairhand(t, "-C", dir, "verify"); code != exitFine && !strings.Contains(errs, "entry 3 changed") {
			t.Error("neither the register that was there nor the copy:", errs)
		}
	}},
}

// TestKilledHalfway kills each of them as it is about to write, to give a name or to take
// one away: at every such call in a thorough run, else at two of them.
func TestKilledHalfway(t *testing.T) {
	t.Setenv("HOME", t.TempDir())
	strace, err := exec.LookPath("strace")
	program, err2 := exec.LookPath("fairhand") // this binary, by TestMain
	if err != nil || err2 != nil || exec.Command(strace, "-q", "-o", os.DevNull, "-e", "inject=fsync:signal=KILL", "true").Run() != nil {
		t.Skip("strace, which kills at a call, is not installed or does not work here")
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	box := boxWith(t, "date 2020-05-05\n06:00 box open\n06:01 duty on \"A. Fell\"\n06:02 note \"x\"\ndate 2021-01-01\n06:00 note \"a new year\"\n")
	must(t, exitFine, "-C", box, "backup", copied)
	at, killed := map[string]int{"fsync": 11, "link,linkat": 2}, 0 // from which on
	if thorough() {
		at = map[string]int{"pwrite64": 1, "write": 1, "fsync": 1, "link,linkat": 1, "rename,renameat,renameat2": 1, "unlink,unlinkat": 1}
	}
	for _, c := range halfway {
		for call, n := range at {
			for more := true; more; n++ {
				dir, out := copyBox(t, box), filepath.Join(t.TempDir(), "out")
				if c.damaged {
					path := filepath.Join(dir, register.RegisterName)
					if err := os.WriteFile(path, bytes.Replace(read(t, path), []byte(`note "x"`), []byte(`note "y"`), 1), 0o600); err != nil {
						t.Fatal(err)
					}
				}
				args := append([]string{"-f", "-q", "-o", os.DevNull, "-e", "trace=" + call, "-e", fmt.Sprintf("inject=%s:signal=KILL:when=%d", call, n), program, "-C", dir},
					strings.Fields(strings.NewReplacer("OUT", out, "COPY", copied).Replace(c.args))...)
				run := exec.Command(strace, args...)
				said, err := run.CombinedOutput()
				if more = run.ProcessState.ExitCode() < 0; more { // by a signal
					killed++
				} else if err != nil {
					t.Fatalf("%s: %s %v", c.args, said, err)
				}
				c.after(t, dir, out)
				if t.Failed() {
					t.Fatalf("%s, killed at call %d of %s", c.args, n, call)
				}
				more = more && thorough()
			}
		}
	}
	t.Logf("killed %d times", killed)
}
