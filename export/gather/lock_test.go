package gather

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Two runs at once: the second says so and changes nothing, and the first is not disturbed.
func TestTwoAtOnce(t *testing.T) {
	w := newWorld(worldOptions{boxes: 3, days: 1, every: 60})
	dir := t.TempDir()
	dirs, out := w.makeAll(t, dir), filepath.Join(dir, "out")
	tried := false
	_, err := Run(t.Context(), Options{Out: out, Sources: dirs, Workers: 1, Progress: func(done, _ int64) {
		before := files(t, out)
		if _, err := Run(t.Context(), Options{Out: out, Sources: dirs}); !errors.Is(err, ErrBusy) || !strings.Contains(err.Error(), out) {
			t.Errorf("a second run: %v", err)
		}
		same(t, before, files(t, out), "")
		tried = true
	}})
	if err != nil || !tried {
		t.Fatalf("the first run: %v, tried %v", err, tried)
	}
	if got := strings.Join(states(run(t, out, dirs...)), " "); strings.Count(got, string(Unchanged)) != 3 {
		t.Errorf("afterwards: %s", got)
	}
}

// TestKilled kills the program that gathers as it has read one box after the other; the
// next run takes up what is left, and comes to the same files as one that was not killed.
func TestKilled(t *testing.T) {
	const dirEnv, killEnv = "FAIRHAND_TEST_GATHER", "FAIRHAND_TEST_KILL"
	if dir := os.Getenv(dirEnv); dir != "" { // the child, which ends itself as a kill does
		last, _ := strconv.ParseInt(os.Getenv(killEnv), 10, 64)
		sources, _ := filepath.Glob(filepath.Join(dir, "box*"))
		_, err := Run(t.Context(), Options{Out: filepath.Join(dir, "cut"), Sources: sources, Workers: 1, Progress: func(done, _ int64) {
			if done == last {
				self, _ := os.FindProcess(os.Getpid())
				_ = self.Kill()
				select {}
			}
		}})
		t.Fatalf("not killed: %v", err)
	}
	w := newWorld(worldOptions{boxes: 3, days: 1, every: 60})
	dir := t.TempDir()
	dirs := w.makeAll(t, dir)
	for i, from := range dirs {
		to := filepath.Join(dir, fmt.Sprintf("box%d", i))
		if err := os.Rename(from, to); err != nil {
			t.Fatal(err)
		}
		dirs[i] = to
	}
	whole, cut := filepath.Join(dir, "whole"), filepath.Join(dir, "cut")
	run(t, whole, dirs...)
	for n := range 3 {
		cmd := exec.Command(os.Args[0], "-test.run", "^TestKilled$")
		cmd.Env = append(os.Environ(), dirEnv+"="+dir, killEnv+"="+strconv.Itoa(n+1))
		if out, err := cmd.CombinedOutput(); err == nil || strings.Contains(string(out), "not killed") {
			t.Fatalf("the child was not killed: %v %s", err, out)
		}
	}
	if got := states(run(t, cut, dirs...)); strings.Count(strings.Join(got, " "), string(Unchanged)) < 2 {
		t.Errorf("after kills at the first, second and third box: %v", got)
	}
	same(t, files(t, whole), files(t, cut), "")
}
