package store

import (
	"bufio"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"
)

const (
	childEnv = "FAIRHAND_STORE_CHILD" // the part the test binary plays
	pathEnv  = "FAIRHAND_STORE_PATH"  // the register it uses
	killsEnv = "FAIRHAND_KILLS"       // rounds of TestKilled, default 20
)

var roles = map[string]func(*Store) error{"append": appendForEver, "batch": batchForEver}

// child is the other program. It returns its exit code.
func child(role string) int {
	open := Open
	if role == "backup" {
		open = OpenReadOnly
	}
	s, err := open(os.Getenv(pathEnv))
	if err == nil {
		err = roles[role](s)
	}
	fmt.Fprintln(os.Stderr, err)
	return 1
}

// appendForEver tells each number only after Append has returned it.
func appendForEver(s *Store) error {
	for i := int(s.Tail().Seq); ; i++ {
		r, err := s.Append(draft(i))
		if err != nil {
			return err
		}
		if _, err := fmt.Println(r.Seq); err != nil {
			return err
		}
	}
}

const batchSize = 40

func batchForEver(s *Store) error {
	for {
		rows, err := s.AppendBatch(drafts(int(s.Tail().Seq), batchSize))
		if err != nil {
			return err
		}
		if _, err := fmt.Println(rows[len(rows)-1].Seq); err != nil {
			return err
		}
	}
}

func startChild(t *testing.T, role, path string) (*exec.Cmd, *bufio.Reader, *strings.Builder) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"="+role, pathEnv+"="+path)
	var stderr strings.Builder
	cmd.Stderr = &stderr
	out := must(cmd.StdoutPipe())(t)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return cmd, bufio.NewReader(out), &stderr
}

// TestKilled kills the writing program at random moments. Whatever it was told
// is written must be there, whole, and the chain must hold.
func TestKilled(t *testing.T) {
	rounds := 20
	if n := os.Getenv(killsEnv); n != "" {
		rounds = must(strconv.Atoi(n))(t)
	} else if testing.Short() {
		rounds = 5
	}
	for _, role := range []string{"append", "batch"} {
		t.Run(role, func(t *testing.T) {
			s := newStore(t)
			path := s.Path()
			s.Close()
			var told, extra, mended int64
			n := rounds
			if role == "batch" {
				n = (rounds + 3) / 4
			}
			for round := range n {
				before := told
				told = max(told, killOne(t, role, path))
				if _, err := os.Stat(path + "-journal"); err == nil {
					mended++
				}
				got := afterKill(t, path, round, told)
				unit := int64(1)
				if role == "batch" {
					unit = batchSize
				}
				if got < told || got > told+unit || (got-before)%unit != 0 {
					t.Fatalf("round %d: told of %d entries, found %d", round, told, got)
				}
				extra += (got - told) / unit
				told = got
			}
			t.Logf("%d kills, %d entries, 0 acknowledged missing; %d kills left a journal to roll back; %d times an entry was in but not yet told",
				n, told, mended, extra)
		})
	}
}

// killOne runs one child and kills it a random time (up to 3 ms, a few
// entries' worth) after a random number of acknowledgements. It returns the
// last number the child told, including those it still told meanwhile.
func killOne(t *testing.T, role, path string) int64 {
	t.Helper()
	cmd, out, stderr := startChild(t, role, path)
	last := int64(0)
	for acks, want := 0, 1+rand.IntN(25); ; acks++ {
		if acks == want {
			delay := time.Duration(rand.IntN(3000)) * time.Microsecond
			timer := time.AfterFunc(delay, func() { cmd.Process.Kill() })
			defer timer.Stop()
		}
		line, err := out.ReadString('\n')
		if err != nil {
			if err != io.EOF || acks < want {
				t.Errorf("child ended early: %v %s", err, stderr)
			}
			break
		}
		last = must(strconv.ParseInt(strings.TrimSpace(line), 10, 64))(t)
	}
	cmd.Wait()
	if t.Failed() {
		t.FailNow()
	}
	return last
}

// afterKill opens what is left, every other time read-only first, and returns
// how many entries there are.
func afterKill(t *testing.T, path string, round int, told int64) int64 {
	t.Helper()
	open := Open
	if round%2 == 1 {
		open = OpenReadOnly
	}
	s := must(open(path))(t)
	defer s.Close()
	report, err := s.Verify(nil)
	if err != nil {
		t.Fatalf("round %d: %v", round, err)
	}
	last, err := s.Range(max(1, report.Entries-batchSize), report.Entries)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range last {
		if d := draft(int(r.Seq - 1)); r.Line != d.Line || r.At != d.At || !r.Intact() {
			t.Fatalf("round %d: half an entry: %+v", round, r)
		}
	}
	return report.Entries
}
