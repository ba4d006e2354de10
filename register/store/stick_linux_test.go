package store

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// stickEnv makes TestSlowStick run, for about a minute.
const stickEnv = "FAIRHAND_STICK"

func init() { roles["backup"] = func(s *Store) error { return backupOnce(s) } }

func backupOnce(s *Store) error {
	_, err := s.Backup(background, s.Path()+".copy", nil)
	fmt.Println("done")
	return err
}

// TestSlowStick copies with every write of the copying program delayed by 10 ms,
// which is a target of 0.4 MB a second, while this program writes entries: none is
// refused, and the copying makes none longer by more than 50 ms.
func TestSlowStick(t *testing.T) {
	if os.Getenv(stickEnv) == "" {
		t.Skip("a minute long: set " + stickEnv)
	}
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("strace, which slows the writes, is not installed")
	}
	s := newStoreAt(t, filepath.Join(t.TempDir(), "register.db"))
	for range 8 {
		must(s.AppendBatch(drafts(int(s.Tail().Seq), 10_000)))(t)
	}
	size := must(os.Stat(s.Path()))(t).Size()
	alone := appendFor(t, s, func() bool { return false }, 100)
	cmd := exec.Command(strace, "-f", "-q", "-o", "/dev/null", "-e", "trace=pwrite64", "-e", "inject=pwrite64:delay_enter=10000", os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"=backup", pathEnv+"="+s.Path())
	out := must(cmd.StdoutPipe())(t)
	begin := time.Now()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan struct{})
	go func() { io.ReadAll(out); close(ended) }()
	took := appendFor(t, s, func() bool {
		select {
		case <-ended:
			return true
		default:
			return false
		}
	}, 1<<30)
	cmd.Wait()
	c := must(OpenReadOnly(s.Path() + ".copy"))(t)
	defer c.Close()
	if c.Tail().Seq < 80_100 {
		t.Errorf("the copy ends with entry %d", c.Tail().Seq)
	}
	seconds := time.Since(begin).Seconds()
	t.Logf("%.1f MB copied in %.0f s (%.2f MB/s)", float64(size)/1e6, seconds, float64(size)/1e6/seconds)
	for name, list := range map[string][]time.Duration{"alone": alone, "while copying": took} {
		slices.Sort(list)
		t.Logf("%s: %d entries, none refused: median %v, p99 %v, longest %v", name, len(list), list[len(list)/2], list[len(list)*99/100], list[len(list)-1])
	}
	if longest, quiet := took[len(took)-1], alone[len(alone)-1]; longest > quiet+50*time.Millisecond {
		t.Errorf("an entry took %v, and %v without a copy being made", longest, quiet)
	}
}

// appendFor appends, one entry every 50 ms, until done says so or most are written.
func appendFor(t *testing.T, s *Store, done func() bool, most int) (took []time.Duration) {
	tick := time.NewTicker(50 * time.Millisecond)
	defer tick.Stop()
	for !done() && len(took) < most {
		<-tick.C
		begin := time.Now()
		must(s.Append(draft(int(s.Tail().Seq))))(t)
		took = append(took, time.Since(begin))
	}
	return took
}
