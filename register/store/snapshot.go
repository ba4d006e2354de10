package store

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"iter"
	"slices"

	sqlite3 "modernc.org/sqlite/lib"
)

// keepSnapshots is how many snapshots stay when a new one is put: a year and
// more of days, so that an old day is shown without reading the book from its
// beginning, and a damaged snapshot costs a longer replay and nothing else.
const keepSnapshots = 400

// SnapshotEvery is the number of entries of which one snapshot stays for ever,
// so that any old day is shown after a replay of no more than so many.
const SnapshotEvery = 5000

// maxState is how long a state is that may be kept, some hundred times what a busy box
// comes to. One that was put in by hand might be of any length, and verify would be
// stopped by the system for want of memory before it said anything.
const maxState = 16 << 20

// Snapshot is derived state as it was after an entry, in the caller's own
// encoding. It is disposable: whatever does not agree with the entries is
// dropped, and the state is made again from them.
type Snapshot struct {
	Seq     int64  // the last entry it contains
	Hash    Hash   // that entry's hash
	Program string // what made it, with the version of its encoding; others do not read it
	State   []byte
}

func (n *Snapshot) sum() Hash {
	b := binary.AppendUvarint([]byte("fairhand snapshot 1\n"), uint64(n.Seq))
	b = append(b, n.Hash[:]...)
	b = binary.AppendUvarint(b, uint64(len(n.Program)))
	b = append(b, n.Program...)
	b = append(b, n.State...)
	return sha256.Sum256(b)
}

// PutSnapshot keeps n and drops all but the newest few. It refuses with
// ErrConflict a snapshot of an entry that is not in the register.
func (s *Store) PutSnapshot(n Snapshot) error {
	if s.write == nil {
		return &Error{Kind: ErrReadOnly, Path: s.path, Doing: "keep a snapshot", Advice: "open it for writing"}
	}
	if len(n.State) > maxState {
		return nil // it is made again
	}
	tx, err := s.write.BeginTx(background, nil)
	if err != nil {
		return writeFailure(s.path, "keep a snapshot", err)
	}
	defer tx.Rollback()
	sum := n.sum()
	res, err := tx.Exec(`INSERT OR REPLACE INTO snapshot(seq, hash, program, state, sum) SELECT ?1, ?2, ?3, ?4, ?5
WHERE EXISTS (SELECT 1 FROM entry WHERE seq = ?1 AND hash = ?2)`, n.Seq, n.Hash[:], n.Program, notNil(n.State), sum[:])
	if err != nil {
		return writeFailure(s.path, "keep a snapshot", err)
	}
	if rows, err := res.RowsAffected(); err != nil || rows != 1 {
		return &Error{Kind: ErrConflict, Path: s.path, Doing: fmt.Sprintf("keep a snapshot of entry %d", n.Seq),
			Advice: "the register holds another entry there: make the state again from the entries"}
	}
	_, err = tx.Exec(`DELETE FROM snapshot WHERE seq NOT IN (SELECT seq FROM snapshot ORDER BY seq DESC LIMIT ?1)
AND seq NOT IN (SELECT max(seq) FROM snapshot GROUP BY seq / ?2)`, keepSnapshots, SnapshotEvery)
	if err == nil {
		err = tx.Commit()
	}
	return writeFailure(s.path, "keep a snapshot", err)
}

// notNil: the driver stores a nil slice as NULL.
func notNil(b []byte) []byte {
	if b == nil {
		return []byte{}
	}
	return b
}

// LastSnapshot returns the newest snapshot made by program that can be read and
// agrees with the entries and with its own checksum, and whether there is one.
// Those that do not agree are dropped where that is possible, and else passed
// over: nothing about a snapshot is ever a reason not to open the register.
func (s *Store) LastSnapshot(program string) (Snapshot, bool) {
	for _, seq := range s.snapshotNumbers(program) {
		if n, ok := s.snapshot(seq); ok {
			return n, true
		}
		if s.write != nil {
			_, _ = s.write.ExecContext(background, "DELETE FROM snapshot WHERE seq = ?", seq)
		}
	}
	return Snapshot{}, false
}

// SnapshotBefore is LastSnapshot for an entry numbered below before.
func (s *Store) SnapshotBefore(program string, before int64) (Snapshot, bool) {
	for _, seq := range s.snapshotNumbers(program) {
		if seq >= before {
			continue
		}
		if n, ok := s.snapshot(seq); ok {
			return n, true
		}
	}
	return Snapshot{}, false
}

// Snapshots gives every usable snapshot made by program, the oldest first: for a
// proof that replays all entries and compares each with the state it comes to.
func (s *Store) Snapshots(program string) iter.Seq[Snapshot] {
	return func(yield func(Snapshot) bool) {
		for _, seq := range slices.Backward(s.snapshotNumbers(program)) {
			if n, ok := s.snapshot(seq); ok && !yield(n) {
				return
			}
		}
	}
}

// unfit lists the snapshots that do not agree with their entry or with their own
// checksum, or that cannot be read. Nobody uses them, but what damaged them may
// have damaged more.
func (s *Store) unfit() (seqs []int64) {
	for _, seq := range s.numbers("SELECT seq FROM snapshot ORDER BY seq") {
		if _, ok := s.snapshot(seq); !ok {
			seqs = append(seqs, seq)
		}
	}
	return seqs
}

// snapshotNumbers lists the snapshots made by program, the newest first.
func (s *Store) snapshotNumbers(program string) []int64 {
	return s.numbers("SELECT seq FROM snapshot WHERE program = ? ORDER BY seq DESC", program)
}

// numbers lists snapshots as far as the list can be read.
func (s *Store) numbers(query string, args ...any) []int64 {
	seqs, _ := collect(s, value[int64], query, args...)
	return seqs
}

// snapshot reads one and says whether it may be used.
func (s *Store) snapshot(seq int64) (Snapshot, bool) {
	n := Snapshot{Seq: seq}
	var hash, sum []byte
	err := s.read.QueryRowContext(background, "SELECT hash, program, state, sum FROM snapshot WHERE seq = ? AND length(state) <= ?", seq, maxState).
		Scan(&hash, &n.Program, &n.State, &sum)
	if err != nil {
		return Snapshot{}, false
	}
	entry, err := s.HashAt(seq)
	copy(n.Hash[:], hash)
	want := n.sum()
	return n, err == nil && string(hash) == string(entry[:]) && string(sum) == string(want[:])
}

// DropSnapshotsFrom removes the snapshots of entries numbered from and later,
// and all those not made by program. Where the engine stumbles over a damaged
// one, the others are removed one by one: what stays cannot be read either. The
// error is of a snapshot that stays and could be taken for good.
func (s *Store) DropSnapshotsFrom(program string, from int64) error {
	if s.write == nil {
		return nil // a reader uses what is there and keeps nothing
	}
	_, err := s.write.ExecContext(background, "DELETE FROM snapshot WHERE seq >= ? OR program <> ?", from, program)
	if code := sqliteCode(err) & 0xff; code != sqlite3.SQLITE_CORRUPT && code != sqlite3.SQLITE_IOERR {
		return writeFailure(s.path, "drop snapshots", err)
	}
	for _, seq := range s.numbers("SELECT seq FROM snapshot WHERE seq >= ? OR program <> ? ORDER BY seq DESC", from, program) {
		_, kept := s.write.ExecContext(background, "DELETE FROM snapshot WHERE seq = ?", seq)
		if _, usable := s.snapshot(seq); kept != nil && usable {
			return writeFailure(s.path, "drop snapshots", kept)
		}
	}
	return nil
}
