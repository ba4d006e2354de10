package store

import "fmt"

// SnapshotBefore returns the newest usable snapshot made by program of an entry
// before number before, and whether there is one.
func (s *Store) SnapshotBefore(program string, before int64) (Snapshot, bool, error) {
	seqs, err := s.snapshotNumbers(program)
	if err != nil {
		return Snapshot{}, false, err
	}
	for _, seq := range seqs {
		if seq >= before {
			continue
		}
		if n, ok, err := s.snapshot(seq); err != nil || ok {
			return n, ok, err
		}
	}
	return Snapshot{}, false, nil
}

// DropSnapshotsFrom removes the snapshots of entries numbered from and later,
// and all those not made by program.
func (s *Store) DropSnapshotsFrom(program string, from int64) error {
	if s.write == nil {
		return nil // a reader uses what is there and keeps nothing
	}
	_, err := s.write.ExecContext(background, "DELETE FROM snapshot WHERE seq >= ? OR program <> ?", from, program)
	return writeFailure(s.path, "drop snapshots", err)
}

// Corrections returns, in order, the entries that correct an entry numbered
// from or later. They are found by an index, not by reading the book.
func (s *Store) Corrections(from int64) ([]Row, error) {
	q, err := s.read.QueryContext(background, "SELECT seq FROM entry WHERE line GLOB '* correct [0-9]*' AND seq > ? ORDER BY seq", from)
	if err != nil {
		return nil, failure(s.path, "read corrections", err)
	}
	var seqs []int64
	for q.Next() {
		var seq int64
		if err := q.Scan(&seq); err != nil {
			q.Close()
			return nil, failure(s.path, "read corrections", err)
		}
		seqs = append(seqs, seq)
	}
	q.Close()
	if err := q.Err(); err != nil {
		return nil, failure(s.path, "read corrections", err)
	}
	rows := make([]Row, 0, len(seqs))
	for _, seq := range seqs {
		got, err := s.Range(seq, seq)
		if err != nil {
			return nil, fmt.Errorf("reading correction %d: %w", seq, err)
		}
		rows = append(rows, got...)
	}
	return rows, nil
}
