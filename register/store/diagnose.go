package store

import (
	"errors"
	"fmt"
)

// diagnose reads entries lo .. hi one by one, slowly, and names the first that
// is wrong; cause is what the fast way met.
func (s *Store) diagnose(lo, hi int64, cause error) error {
	rows, err := s.unproved(lo, hi+1) // one more: it may tell which of two was changed
	want := lo
	for i := range rows {
		if rows[i].Seq > hi {
			break
		}
		if bad := s.misfit(rows, i, want); bad != nil {
			return bad
		}
		want++
	}
	switch {
	case err != nil && want <= hi:
		return s.unreadable(want, err)
	case want <= hi:
		return s.missing(want, hi)
	case errors.Is(cause, errChunk):
		return &DamagedError{Path: s.path, Entry: lo, Kind: Changed,
			Detail: fmt.Sprintf("among entries %d to %d one is not kept in its proper form", lo, hi)}
	}
	return failure(s.path, fmt.Sprintf("verify entries %d to %d", lo, hi), cause)
}

// unreadable tells damage from trouble such as another program's lock.
func (s *Store) unreadable(seq int64, err error) error {
	damaged, is := errors.AsType[*DamagedError](err)
	if !is {
		return err
	}
	return &DamagedError{Path: s.path, Entry: seq, Kind: Unreadable, Cause: damaged.Cause,
		Detail: "the file cannot be read from here on"}
}

func (s *Store) missing(from, to int64) error {
	d := &DamagedError{Path: s.path, Entry: from, Kind: Missing}
	if to > from {
		d.Detail = fmt.Sprintf("up to entry %d", to)
	}
	return d
}

// misfit is nil if rows[i] is entry want and follows the one before it.
func (s *Store) misfit(rows []Row, i int, want int64) error {
	r := rows[i]
	d := &DamagedError{Path: s.path, Entry: want, Kind: Changed}
	if r.Seq > want {
		return s.missing(want, r.Seq-1)
	}
	if r.Seq < want {
		d.Kind, d.Detail = OutOfOrder, fmt.Sprintf("entry %d stands here", r.Seq)
		return d
	}
	if r.Intact() {
		return nil
	}
	if other := sealedAs(rows, i); other != 0 {
		d.Kind, d.Detail = OutOfOrder, fmt.Sprintf("it holds what was written as entry %d", other)
		return d
	}
	if i+1 < len(rows) {
		if other := sealedAs(rows, i+1); other > rows[i+1].Seq {
			d.Kind = OutOfOrder
			d.Detail = fmt.Sprintf("entries before it were taken out and the rest moved up: entry %d was written as %d", rows[i+1].Seq, other)
			return d
		}
	}
	d.Detail = whatChanged(rows, i)
	return d
}

// whatChanged is plain words for an entry that is not what was sealed. The
// entry after it can tell whether the hash is the old one.
func whatChanged(rows []Row, i int) string {
	switch before := rows[i].Seq - 1; {
	case followsFields(rows, i):
		return "its hash was changed; the entry after it agrees with its fields"
	case before == 0:
		return "its fields, or the heading of the register, are not what was written"
	default:
		return fmt.Sprintf("its fields are not what was written, or entry %d was replaced together with its hash", before)
	}
}

// followsFields says whether the entry after rows[i] would be right if rows[i]
// had the hash that its fields give.
func followsFields(rows []Row, i int) bool {
	if i+1 >= len(rows) {
		return false
	}
	after := rows[i+1]
	after.Prev = rows[i].seal()
	return after.Intact()
}

// sealedAs looks whether the entry is sealed under another number nearby: two
// entries exchanged, or one taken out and the rest moved up.
func sealedAs(rows []Row, i int) int64 {
	const reach = 20
	r := rows[i]
	before := []Hash{r.Prev}
	for _, n := range rows[max(0, i-reach-1):min(len(rows), i+reach)] {
		before = append(before, n.Hash)
	}
	for n := r.Seq - reach; n <= r.Seq+reach; n++ {
		trial := r
		trial.Seq = n
		for _, trial.Prev = range before {
			if n != r.Seq && trial.Intact() {
				return n
			}
		}
	}
	return 0
}
