package store

import (
	"fmt"
	"os"
	"testing"
)

func snapshotAt(s *Store, t *testing.T, seq int64, state string) Snapshot {
	t.Helper()
	r := must(s.Range(seq, seq))(t)[0]
	return Snapshot{Seq: seq, Hash: r.Hash, Program: "test 1", State: []byte(state)}
}

func wantSnapshot(t *testing.T, s *Store, program string, seq int64, state string) {
	t.Helper()
	n, ok := s.LastSnapshot(program)
	if ok != (seq > 0) || ok && (n.Seq != seq || string(n.State) != state) {
		t.Errorf("last snapshot: %+v %v, want entry %d %q", n, ok, seq, state)
	}
}

func TestSnapshots(t *testing.T) {
	s := filled(t, 50)
	wantSnapshot(t, s, "test 1", 0, "")
	for _, seq := range []int64{10, 20, 30, 40, 50} {
		if err := s.PutSnapshot(snapshotAt(s, t, seq, fmt.Sprint("state ", seq))); err != nil {
			t.Fatal(err)
		}
	}
	wantSnapshot(t, s, "test 1", 50, "state 50")
	wantSnapshot(t, s, "test 2", 0, "")
	empty := snapshotAt(s, t, 50, "")
	empty.State = nil
	if err := s.PutSnapshot(empty); err != nil {
		t.Fatal(err)
	}
	wantSnapshot(t, s, "test 1", 50, "")
	for _, bad := range []Snapshot{{Seq: 51, Hash: empty.Hash}, {Seq: 49, Hash: empty.Hash}, {}} {
		wantIs(t, s.PutSnapshot(bad), ErrConflict, fmt.Sprintf("%s: keep a snapshot of entry %d: ", s.Path(), bad.Seq))
	}
	if err := s.DropSnapshotsFrom("test 1", 0); err != nil {
		t.Fatal(err)
	}
	wantSnapshot(t, s, "test 1", 0, "")
	must(s.Verify(nil))(t)
}

// TestSnapshotOfAnyLength: one longer than any that is kept is no snapshot, whatever its
// checksum, and verify tells it.
func TestSnapshotOfAnyLength(t *testing.T) {
	s := filled(t, 2)
	n := snapshotAt(s, t, 2, "")
	for _, length := range []int{maxState, maxState + 1} {
		n.State = make([]byte, length)
		sum := n.sum()
		must(s.write.Exec("INSERT OR REPLACE INTO snapshot VALUES(?, ?, ?, ?, ?)", n.Seq, n.Hash[:], n.Program, n.State, sum[:]))(t)
		if _, ok := s.snapshot(n.Seq); ok != (length == maxState) {
			t.Errorf("%d bytes: taken %v", length, ok)
		}
		if unfit := must(s.Verify(nil))(t).Unfit; len(unfit) > 0 != (length > maxState) {
			t.Errorf("%d bytes: told %v", length, unfit)
		}
	}
	must(s.write.Exec("DELETE FROM snapshot"))(t)
	if err := s.PutSnapshot(n); err != nil {
		t.Error(err)
	}
	wantSnapshot(t, s, n.Program, 0, "")
}

func TestOldSnapshotsAreDropped(t *testing.T) {
	s := filled(t, keepSnapshots+10)
	must(s.write.Exec("INSERT INTO snapshot SELECT seq, hash, 'test 1', x'', x'' FROM entry WHERE seq <= ?", keepSnapshots))(t)
	if err := s.PutSnapshot(snapshotAt(s, t, keepSnapshots+10, "new")); err != nil {
		t.Fatal(err)
	}
	var n, lowest int
	if s.read.QueryRow("SELECT count(*), min(seq) FROM snapshot").Scan(&n, &lowest); n != keepSnapshots || lowest != 2 {
		t.Errorf("%d kept, from entry %d", n, lowest)
	}
}

// A snapshot that disagrees with itself or with the entries is not used: the
// next older is.
func TestSnapshotThatDisagrees(t *testing.T) {
	for name, forgery := range map[string]string{
		"state":   "UPDATE snapshot SET state = x'00' WHERE seq = 50",
		"hash":    "UPDATE snapshot SET hash = randomblob(32) WHERE seq = 50",
		"sum":     "UPDATE snapshot SET sum = x'' WHERE seq = 50",
		"number":  "UPDATE snapshot SET seq = 49 WHERE seq = 50",
		"no such": "UPDATE snapshot SET seq = 99 WHERE seq = 50",
	} {
		t.Run(name, func(t *testing.T) {
			s := filled(t, 50)
			for _, seq := range []int64{40, 50} {
				if err := s.PutSnapshot(snapshotAt(s, t, seq, fmt.Sprint("state ", seq))); err != nil {
					t.Fatal(err)
				}
			}
			must(s.write.Exec(forgery))(t)
			r := must(OpenReadOnly(s.Path()))(t)
			defer r.Close()
			wantSnapshot(t, r, "test 1", 40, "state 40")
			wantSnapshot(t, s, "test 1", 40, "state 40")
			var n int
			if s.read.QueryRow("SELECT count(*) FROM snapshot").Scan(&n); n != 1 {
				t.Errorf("%d snapshots left", n)
			}
		})
	}
}

// What a snapshot says of itself is sealed: whose it is, where the name ends, and of
// which entry, also where that was replaced. The others are given, the oldest first.
func TestSnapshotsGiven(t *testing.T) {
	s := filled(t, 5)
	for seq := range int64(4) {
		if err := s.PutSnapshot(snapshotAt(s, t, seq+1, "state")); err != nil {
			t.Fatal(err)
		}
	}
	given := func(program string) (list []int64) {
		for n := range s.Snapshots(program) {
			if list = append(list, n.Seq); len(list) == 3 {
				break
			}
		}
		return list
	}
	if got := fmt.Sprint(given("test 1")); got != "[1 2 3]" {
		t.Errorf("given %s", got)
	}
	must(s.write.Exec("UPDATE snapshot SET program = 'test 2' WHERE seq = 1; UPDATE snapshot SET program = 'test 1s', state = x'74617465' WHERE seq = 2"))(t)
	r := must(s.Range(4, 4))(t)[0]
	r.Line += " altered"
	r.Hash = r.seal()
	forge(t, s.Path(), fmt.Sprintf("UPDATE entry SET line = '%s', hash = x'%s' WHERE seq = 4", r.Line, r.Hash),
		fmt.Sprintf("UPDATE snapshot SET hash = x'%s' WHERE seq = 4", r.Hash))
	if got := fmt.Sprint(given("test 1"), given("test 2"), given("test 1s")); got != "[3] [] []" {
		t.Errorf("given %s after forgeries", got)
	}
}

// A file that is cut in the middle of a snapshot: no entry is lost, and the
// snapshot that cannot be read is passed over, told by Verify, and dropped as far
// as the engine is able to.
func TestSnapshotThatCannotBeRead(t *testing.T) {
	s := filled(t, 300)
	for _, seq := range []int64{100, 300} { // the last: its pages are at the end of the file
		if err := s.PutSnapshot(snapshotAt(s, t, seq, fmt.Sprintf("%0*d", 20_000*int(seq/300)+10, seq))); err != nil {
			t.Fatal(err)
		}
	}
	path := s.Path()
	s.Close()
	size := must(os.Stat(path))(t).Size()
	if err := os.Truncate(path, size-1500); err != nil {
		t.Fatal(err)
	}
	s = must(Open(path))(t)
	defer s.Close()
	if report := must(s.Verify(nil))(t); fmt.Sprint(report.Unfit) != "[300]" || report.Entries != 300 {
		t.Errorf("%+v, want 300 entries and the snapshot of entry 300 told as unfit", report)
	}
	wantSnapshot(t, s, "test 1", 100, fmt.Sprintf("%010d", 100))
	if n, ok := s.SnapshotBefore("test 1", 301); !ok || n.Seq != 100 {
		t.Errorf("before entry 301: %+v %v", n, ok)
	}
	if err := s.DropSnapshotsFrom("test 1", 90); err != nil {
		t.Error(err)
	}
	wantSnapshot(t, s, "test 1", 0, "")
	must(s.Append(draft(300)))(t)
}

// Verify tells snapshots that do not stand where they say.
func TestVerifyTellsUnfitSnapshots(t *testing.T) {
	s := filled(t, 50)
	for _, seq := range []int64{10, 20, 30, 40} {
		if err := s.PutSnapshot(snapshotAt(s, t, seq, fmt.Sprint("state ", seq))); err != nil {
			t.Fatal(err)
		}
	}
	if report := must(s.Verify(nil))(t); report.Unfit != nil {
		t.Error(report.Unfit)
	}
	must(s.write.Exec("UPDATE snapshot SET state = x'00' WHERE seq = 10; UPDATE snapshot SET hash = randomblob(32) WHERE seq = 20; UPDATE snapshot SET seq = 99 WHERE seq = 40"))(t)
	if report := must(s.Verify(nil))(t); fmt.Sprint(report.Unfit) != "[10 20 99]" {
		t.Error(report.Unfit)
	}
	var seqs []int64
	for n := range s.Snapshots("test 1") {
		seqs = append(seqs, n.Seq)
	}
	if fmt.Sprint(seqs) != "[30]" {
		t.Errorf("usable snapshots: %v", seqs)
	}
}
