package store

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// mounted mounts for the time of a test, or skips it: permission bits mean
// nothing to root, so a real read-only or small file system is used.
func mounted(t *testing.T, source, target, kind string, flags uintptr, data string) {
	t.Helper()
	if err := syscall.Mount(source, target, kind, flags, data); err != nil {
		t.Skipf("cannot mount here (needs root): %v", err)
	}
	t.Cleanup(func() { syscall.Unmount(target, syscall.MNT_DETACH) })
}

func readOnlyMount(t *testing.T, source, target string) {
	t.Helper()
	mounted(t, source, target, "", syscall.MS_BIND, "")
	if err := syscall.Mount("", target, "", syscall.MS_BIND|syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Skipf("cannot make the mount read-only: %v", err)
	}
}

func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	mounted(t, "none", dir, "tmpfs", 0, "size=512k")
	s, err := Create(filepath.Join(dir, "register.db"), ennerholme)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	wantIs(t, s.Space(), ErrFull, s.Path(), "only 0 MB")
	must(s.AppendBatch(drafts(0, 100)))(t)
	ballast := filepath.Join(dir, "ballast")
	fill := make([]byte, 512<<10)
	if err := os.WriteFile(ballast, fill, 0o644); !errors.Is(err, syscall.ENOSPC) {
		t.Fatal("the disk is not full:", err)
	}
	var full error
	told := s.Tail().Seq
	for full == nil && told < 10_000 {
		if _, full = s.Append(draft(int(told))); full == nil {
			told++
		}
	}
	wantIs(t, full, ErrFull, s.Path(), fmt.Sprintf("entry %d", told+1), "NOT recorded", "make room")
	_, err = s.AppendBatch(drafts(int(told), 500))
	wantIs(t, err, ErrFull, "NOT recorded")
	if rows := must(s.Range(1, 1<<40))(t); int64(len(rows)) != told {
		t.Fatalf("told of %d, read %d", told, len(rows))
	}
	wantIs(t, s.PutSnapshot(Snapshot{Seq: told, Hash: s.Tail().Hash, State: make([]byte, 50_000)}), ErrFull)
	if _, err := s.Backup(t.Context(), filepath.Join(dir, "copy.db"), nil); err == nil {
		t.Error("a backup fitted on a full disk")
	} else if _, err := os.Stat(filepath.Join(dir, "copy.db")); err == nil {
		t.Error("half a backup stays behind")
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	if r := must(s.Append(draft(int(told))))(t); r.Seq != told+1 {
		t.Errorf("entry %d after %d", r.Seq, told)
	}
	must(s.Verify(nil))(t)
}

func init() { roles["limit"] = appendWithinLimit }

// appendWithinLimit forbids the file to grow, appends until that is felt, and
// carries on once it may grow again. It ends with an error of its own making:
// what was seen.
func appendWithinLimit(s *Store) error {
	signal.Ignore(syscall.SIGXFSZ)
	info, err := os.Stat(s.Path())
	if err != nil {
		return err
	}
	var old syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &old); err != nil {
		return err
	}
	limit := syscall.Rlimit{Cur: uint64(info.Size()) + 8192, Max: old.Max}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	var refused error
	for refused == nil {
		_, refused = s.Append(draft(int(s.Tail().Seq)))
	}
	before := s.Tail().Seq
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &old); err != nil {
		return err
	}
	r, err := s.Append(draft(int(before)))
	fmt.Printf("refused: %v\nthen: %d %d %v\n", refused, before, r.Seq, err)
	return nil
}

func TestFileSizeLimit(t *testing.T) {
	s := filled(t, 50)
	s.Close()
	cmd, out, stderr := startChild(t, "limit", s.Path())
	refused, _ := out.ReadString('\n')
	then, _ := out.ReadString('\n')
	cmd.Wait()
	var before, after int64
	if _, err := fmt.Sscanf(then, "then: %d %d <nil>", &before, &after); err != nil || after != before+1 || before < 50 {
		t.Fatalf("%q %q %s", refused, then, stderr)
	}
	if !strings.Contains(refused, "NOT recorded") || !strings.Contains(refused, s.Path()) {
		t.Error(refused)
	}
	again := must(Open(s.Path()))(t)
	defer again.Close()
	if r := must(again.Verify(nil))(t); r.Entries != after {
		t.Errorf("%d entries, want %d", r.Entries, after)
	}
}

// readableNotWritable: a register that cannot be written can still be read and verified, and
// Open says at once that nothing can be recorded.
func readableNotWritable(t *testing.T, path string) {
	t.Helper()
	_, err := Open(path)
	wantIs(t, err, ErrReadOnly, path, "read-only")
	r := must(OpenReadOnly(path))(t)
	defer r.Close()
	if n := must(r.Verify(nil))(t).Entries; n != 5 {
		t.Errorf("%d entries", n)
	}
	must(r.Backup(t.Context(), filepath.Join(t.TempDir(), "copy.db"), nil))(t)
}

func TestReadOnlyMedium(t *testing.T) {
	s := filled(t, 5)
	s.Close()
	target := t.TempDir()
	readOnlyMount(t, filepath.Dir(s.Path()), target)
	readableNotWritable(t, filepath.Join(target, "register.db"))
	_, err := Create(filepath.Join(target, "new.db"), ennerholme)
	if !errors.Is(err, syscall.EROFS) {
		t.Error(err)
	}
}

// One with a half-written entry cannot either, and its copy elsewhere can.
func TestReadOnlyMediumHalfWritten(t *testing.T) {
	s := filled(t, 5)
	file, journal := halfWritten(t, s, true)
	from := t.TempDir()
	for name, content := range map[string][]byte{"register.db": file, "register.db" + journalEnding: journal} {
		must(0, os.WriteFile(filepath.Join(from, name), content, 0o600))(t)
	}
	elsewhere, target := t.TempDir(), t.TempDir()
	must(0, os.CopyFS(elsewhere, os.DirFS(from)))(t)
	readOnlyMount(t, from, target)
	for _, open := range []func(string) (*Store, error){OpenReadOnly, Open} {
		_, err := open(filepath.Join(target, "register.db"))
		wantIs(t, err, ErrHalfWritten, "copy the whole folder to another disk")
	}
	c := must(OpenReadOnly(filepath.Join(elsewhere, "register.db")))(t)
	defer c.Close()
	if n := must(c.Verify(nil))(t).Entries; n != 5 {
		t.Errorf("%d entries", n)
	}
}

// One that was set to WAL cannot be read there, and that is what is said.
func TestReadOnlyMediumWAL(t *testing.T) {
	s := filled(t, 5)
	s.Close()
	other := raw(t, s.Path())
	must(other.Exec("PRAGMA journal_mode = WAL"))(t)
	other.Close()
	target := t.TempDir()
	readOnlyMount(t, filepath.Dir(s.Path()), target)
	_, err := OpenReadOnly(filepath.Join(target, "register.db"))
	wantIs(t, err, ErrReadOnly, "set it to the mode WAL", "copy the file to a disk that can be written")
}

func TestReadOnlyFile(t *testing.T) {
	s := filled(t, 5)
	s.Close()
	target := filepath.Join(t.TempDir(), "register.db")
	if err := os.WriteFile(target, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	readOnlyMount(t, s.Path(), target)
	readableNotWritable(t, target)
}

// The file may be written but no journal can be made beside it.
func TestReadOnlyFolder(t *testing.T) {
	s := filled(t, 5)
	s.Close()
	dir := filepath.Dir(s.Path())
	if out, err := exec.Command("chattr", "+i", dir).CombinedOutput(); err != nil {
		t.Skipf("chattr does not work here: %v %s", err, out)
	}
	defer exec.Command("chattr", "-i", dir).Run()
	readableNotWritable(t, s.Path())
}

// The medium turns read-only under an open register, as Linux does when a disk
// fails.
func TestTurnsReadOnly(t *testing.T) {
	s := filled(t, 5)
	s.Close()
	target := t.TempDir()
	mounted(t, filepath.Dir(s.Path()), target, "", syscall.MS_BIND, "")
	open := must(Open(filepath.Join(target, "register.db")))(t)
	defer open.Close()
	dir := target
	if out, err := exec.Command("chattr", "+i", dir).CombinedOutput(); err != nil {
		t.Skipf("chattr does not work here: %v %s", err, out)
	}
	_, err := open.Append(draft(5))
	exec.Command("chattr", "-i", dir).Run()
	wantIs(t, err, ErrReadOnly, "entry 6", "NOT recorded")
	if r := must(open.Append(draft(5)))(t); r.Seq != 6 {
		t.Errorf("entry %d", r.Seq)
	}
}

// A stick that is pulled out and put in again: nothing is told as written meanwhile, and
// once it is back the register that is open goes on, or says that it is to be opened anew.
func TestMediumGoneAndBack(t *testing.T) {
	s := filled(t, 5)
	s.Close()
	stick := t.TempDir()
	mounted(t, filepath.Dir(s.Path()), stick, "", syscall.MS_BIND, "")
	path := filepath.Join(stick, "register.db")
	open := must(Open(path))(t)
	defer open.Close()
	if err := syscall.Unmount(stick, syscall.MNT_DETACH); err != nil {
		t.Fatal(err)
	}
	wantIs(t, open.InPlace(), ErrMoved, path)
	_, err := open.Append(draft(5))
	if err == nil || !strings.Contains(err.Error(), "NOT recorded") {
		t.Errorf("without the stick: %v", err)
	}
	mounted(t, filepath.Dir(s.Path()), stick, "", syscall.MS_BIND, "")
	if err := open.InPlace(); err != nil {
		t.Errorf("with the stick in again: %v", err)
	}
	if r := must(open.Append(draft(5)))(t); r.Seq != 6 {
		t.Errorf("entry %d", r.Seq)
	}
	again := must(Open(path))(t)
	defer again.Close()
	if n := must(again.Verify(nil))(t).Entries; n != 6 {
		t.Errorf("%d entries", n)
	}
}

// Opening and closing the file by ordinary calls must not take the engine's
// locks away (POSIX locks would go), or another program could write between.
func TestLockSurvivesPlainOpen(t *testing.T) {
	s := filled(t, 3)
	tx := must(s.write.Begin())(t)
	defer tx.Rollback()
	f := must(os.Open(s.Path()))(t)
	f.Close()
	out, err := sqliteTool(t, s.Path(), "BEGIN IMMEDIATE;")
	if err == nil || !strings.Contains(out, "locked") {
		t.Errorf("another program got the lock: %s %v", out, err)
	}
}
