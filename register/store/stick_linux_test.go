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
	_, err := s.Backup(background, os.Getenv(stickEnv), nil)
	fmt.Println("done")
	return err
}

// TestSlowStick copies with every write of the copying program delayed by 10 ms,
// which is a target of 0.4 MB a second, while this program writes entries: none is
// refused, and none is later than 50 ms. The stick is a medium of its own (memory), so
// that its syncs do not make the disk of the register write. Done once with the register
// in memory, where an entry waits for nothing but the copying and the processor; and once
// on the disk, whose own syncs are in what an entry takes: where it took longer for
// entries written alone, they are what it is compared with.
func TestSlowStick(t *testing.T) {
	if os.Getenv(stickEnv) == "" {
		t.Skip("some minutes long: set " + stickEnv)
	}
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("strace, which slows the writes, is not installed")
	}
	memory, err := os.MkdirTemp("/dev/shm", "stick")
	if err != nil {
		t.Skip("no memory to be the stick: ", err)
	}
	t.Cleanup(func() { os.RemoveAll(memory) })
	for name, dir := range map[string]string{"disk": t.TempDir(), "memory": memory} {
		t.Run("register on "+name, func(t *testing.T) {
			slowStick(t, strace, filepath.Join(dir, "register.db"), filepath.Join(memory, "copy of "+name), dir == memory)
		})
	}
}

func slowStick(t *testing.T, strace, path, copied string, inMemory bool) {
	s := newStoreAt(t, path)
	for range 8 {
		must(s.AppendBatch(drafts(int(s.Tail().Seq), 10_000)))(t)
	}
	size := must(os.Stat(path))(t).Size()
	const sample = 600
	alone := appendFor(t, s, func() bool { return false }, sample)
	// without the filter every call of the copying program stops twice, also those
	// that read the register
	cmd := exec.Command(strace, "-f", "--seccomp-bpf", "-q", "-o", "/dev/null", "-e", "trace=pwrite64", "-e", "inject=pwrite64:delay_enter=10000", os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"=backup", pathEnv+"="+path, stickEnv+"="+copied)
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
	seconds := time.Since(begin).Seconds()
	c := must(OpenReadOnly(copied))(t)
	defer c.Close()
	if c.Tail().Seq < 80_000+sample {
		t.Errorf("the copy ends with entry %d", c.Tail().Seq)
	}
	t.Logf("%.1f MB copied in %.0f s (%.2f MB/s)", float64(size)/1e6, seconds, float64(size)/1e6/seconds)
	longest := map[string]time.Duration{}
	for name, list := range map[string][]time.Duration{"alone": alone, "while copying": took} {
		slices.Sort(list)
		longest[name] = list[len(list)-1]
		late := len(slices.DeleteFunc(slices.Clone(list), func(d time.Duration) bool { return d <= latest }))
		t.Logf("%s: %d entries, none refused: median %v, p99 %v, longest %v, %d later than %v", name, len(list), list[len(list)/2], list[len(list)*99/100], longest[name], late, latest)
	}
	bound := latest
	if !inMemory { // a disk takes its time for the entries themselves
		bound = max(latest, longest["alone"]+latest/2)
	}
	if longest["while copying"] > bound {
		t.Errorf("an entry took %v while a copy was made, and %v at most without", longest["while copying"], longest["alone"])
	}
}

// latest is how long an entry may take while a copy is made.
const latest = 50 * time.Millisecond

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
