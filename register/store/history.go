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

// Corrections returns, in order, the entries after number after that may correct
// or explain an earlier one: those whose line has the word before a number. The
// caller reads the lines; a remark that says the same words is among them. They
// are found by an index, not by reading the book, and come without Prev.
func (s *Store) Corrections(after int64) ([]Row, error) {
	var all []Row
	for {
		rows, err := s.scan("SELECT "+columns+" FROM entry WHERE seq IN (SELECT seq FROM entry WHERE ("+refersWhere+") AND seq > ? ORDER BY seq LIMIT ?) ORDER BY seq", after, chunkRows)
		all = append(all, rows...)
		if err != nil || len(rows) < chunkRows {
			return all, failureOrNil(s.path, "read corrections", err)
		}
		after = rows[len(rows)-1].Seq
	}
}

// refersAtOnce is how many entries one comparison of the index covers.
const refersAtOnce = 100_000

// checkRefers compares the index of entries that speak of an earlier one with
// the entries themselves.
func (s *Store) checkRefers(tail int64) error {
	const sums = "SELECT count(*), coalesce(sum(seq), 0) FROM entry "
	where := " WHERE (" + refersWhere + ") AND seq BETWEEN ? AND ?"
	for from := int64(1); from <= tail; from += refersAtOnce {
		var n, sum [2]int64
		for i, how := range [...]string{"INDEXED BY entry_refers", "NOT INDEXED"} {
			err := s.read.QueryRowContext(background, sums+how+where, from, min(from+refersAtOnce-1, tail)).Scan(&n[i], &sum[i])
			if err != nil {
				return failure(s.path, "read the list of corrections", err)
			}
		}
		if n[0] != n[1] || sum[0] != sum[1] {
			return &DamagedError{Path: s.path, Kind: Index,
				Detail: fmt.Sprintf("all entries are sound, but from entry %d on a correction or explanation is not found by its list", from)}
		}
	}
	return nil
}
