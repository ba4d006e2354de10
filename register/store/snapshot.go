package store

import (
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
)

// keepSnapshots is how many snapshots stay when a new one is put: a year and
// more of days, so that an old day is shown without reading the book from its
// beginning, and a damaged snapshot costs a longer replay and nothing else.
const keepSnapshots = 400

// SnapshotEvery is the number of entries of which one snapshot stays for ever,
// so that any old day is shown after a replay of no more than so many.
const SnapshotEvery = 5000

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

// LastSnapshot returns the newest snapshot made by program that agrees with the
// entries and with its own checksum, and whether there is one. Those that do
// not agree are dropped, or passed over when the register is open read-only.
func (s *Store) LastSnapshot(program string) (Snapshot, bool, error) {
	seqs, err := s.snapshotNumbers(program)
	if err != nil {
		return Snapshot{}, false, err
	}
	for _, seq := range seqs {
		n, ok, err := s.snapshot(seq)
		if err != nil || ok {
			return n, ok, err
		}
		if s.write == nil {
			continue
		}
		if _, err := s.write.ExecContext(background, "DELETE FROM snapshot WHERE seq = ?", seq); err != nil {
			return Snapshot{}, false, writeFailure(s.path, "drop a snapshot", err)
		}
	}
	return Snapshot{}, false, nil
}

func (s *Store) snapshotNumbers(program string) ([]int64, error) {
	q, err := s.read.QueryContext(background, "SELECT seq FROM snapshot WHERE program = ? ORDER BY seq DESC", program)
	if err != nil {
		return nil, failure(s.path, "read snapshots", err)
	}
	defer q.Close()
	var seqs []int64
	for q.Next() {
		var seq int64
		if err := q.Scan(&seq); err != nil {
			return nil, failure(s.path, "read snapshots", err)
		}
		seqs = append(seqs, seq)
	}
	return seqs, failureOrNil(s.path, "read snapshots", q.Err())
}

// snapshot reads one and says whether it may be used.
func (s *Store) snapshot(seq int64) (Snapshot, bool, error) {
	n := Snapshot{Seq: seq}
	var hash, sum []byte
	err := s.read.QueryRowContext(background, "SELECT hash, program, state, sum FROM snapshot WHERE seq = ?", seq).
		Scan(&hash, &n.Program, &n.State, &sum)
	if errors.Is(err, sql.ErrNoRows) {
		return Snapshot{}, false, nil // dropped since its number was read
	}
	if err != nil {
		return Snapshot{}, false, failure(s.path, "read a snapshot", err)
	}
	entry, err := s.hashAt(seq)
	if err != nil {
		return Snapshot{}, false, err
	}
	copy(n.Hash[:], hash)
	want := n.sum()
	if string(hash) != string(entry[:]) || string(sum) != string(want[:]) {
		return Snapshot{}, false, nil
	}
	return n, true, nil
}
