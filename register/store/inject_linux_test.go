package store

import (
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
)

func init() { roles["tell"] = appendAndTell }

// appendAndTell tries twelve entries and says of each what it was told.
func appendAndTell(s *Store) error {
	for i := range 12 {
		d := draft(i)
		d.Line = fmt.Sprintf("00:%02d note \"try %d\"", i, i)
		if r, err := s.Append(d); err == nil {
			fmt.Printf("told %d %d\n", i, r.Seq)
		} else {
			fmt.Printf("refused %d %s\n", i, strings.ReplaceAll(err.Error(), "\n", " "))
		}
	}
	os.Exit(0)
	return nil
}

// injected are the system calls of an append that a failing disk, a full one or
// another program's lock makes fail, and how.
var injected = []struct {
	call, with string
	most       int // calls that twelve appends make, about
}{
	{"pwrite64", "EIO", 90}, {"pwrite64", "ENOSPC", 90}, {"pwrite64", "EDQUOT", 40},
	{"fsync", "EIO", 60}, {"fdatasync", "EIO", 60}, {"fcntl", "EIO", 100}, {"fcntl", "EAGAIN", 100},
	{"unlink,unlinkat", "EIO", 14}, {"openat", "EMFILE", 60}, {"pread64", "EIO", 60}, {"ftruncate", "EIO", 14},
}

// TestEachCallFails lets each write, sync, lock, opening and removal of some appends
// fail, one in each run: what was acknowledged is there, what was said to be NOT
// recorded is not, and the register is whole. FAIRHAND_INJECT=1 tries each call,
// else one here and there.
func TestEachCallFails(t *testing.T) {
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("strace, which makes calls fail, is not installed")
	}
	if out, err := exec.Command(strace, "-q", "-o", "/dev/null", "-e", "inject=fsync:error=EIO", "true").CombinedOutput(); err != nil {
		t.Skipf("strace does not work here: %v %s", err, out)
	}
	whole := os.Getenv("FAIRHAND_INJECT") != ""
	runs, told, refused, doubtful := 0, 0, 0, 0
	for n, in := range injected {
		step := 1
		if !whole {
			step = max(7, in.most/2)
			if testing.Short() {
				step = in.most
			}
		}
		for k := 1 + n; k <= in.most; k += step {
			s := newStore(t)
			s.Close()
			cmd := exec.Command(strace, "-f", "-q", "-o", "/dev/null", "-e", "trace="+in.call, "-e",
				fmt.Sprintf("inject=%s:error=%s:when=%d", in.call, in.with, k), os.Args[0])
			cmd.Env = append(os.Environ(), childEnv+"=tell", pathEnv+"="+s.Path())
			out, _ := cmd.Output() // it may not even have opened the register: then it was told nothing
			runs++
			a, b, c := afterFailure(t, fmt.Sprintf("%s %s, call %d", in.call, in.with, k), s.Path(), string(out))
			told, refused, doubtful = told+a, refused+b, doubtful+c
		}
	}
	t.Logf("%d runs: %d entries acknowledged and there, %d refused and absent, %d said to be uncertain", runs, told, refused, doubtful)
}

func afterFailure(t *testing.T, what, path, said string) (told, refused, doubtful int) {
	t.Helper()
	s, err := Open(path)
	if err != nil {
		t.Errorf("%s: afterwards: %v", what, err)
		return
	}
	defer s.Close()
	if _, err := s.Verify(nil); err != nil {
		t.Errorf("%s: %v", what, err)
	}
	there := map[int]int64{}
	rows, err := s.Range(1, 100)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		var i int
		if _, err := fmt.Sscanf(r.Line[6:], "note \"try %d\"", &i); err == nil {
			there[i] = r.Seq
		}
	}
	for line := range strings.Lines(said) {
		f := strings.SplitN(strings.TrimSpace(line), " ", 3)
		if len(f) < 3 {
			continue
		}
		i, _ := strconv.Atoi(f[1])
		seq, is := there[i]
		switch {
		case f[0] == "told" && (!is || strconv.FormatInt(seq, 10) != f[2]):
			t.Errorf("%s: LOST: it was told that try %d is entry %s", what, i, f[2])
		case f[0] == "told":
			told++
		case strings.Contains(f[2], "NOT recorded") && is:
			t.Errorf("%s: WRONG WORD: try %d is entry %d, and it was told: %s", what, i, seq, f[2])
		case !strings.Contains(f[2], "; "): // behind it stands what to do
			t.Errorf("%s: it is not said what to do: %s", what, f[2])
		case strings.Contains(f[2], "NOT recorded"):
			refused++
		default:
			doubtful++
		}
	}
	return told, refused, doubtful
}
