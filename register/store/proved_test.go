package store

import (
	"errors"
	"iter"
	"slices"
	"testing"

	"fairhand/register/calendar"
)

// TestEachProved hands over exactly what Each does, and names the first entry
// that was altered without handing it or any after it over.
func TestEachProved(t *testing.T) {
	s := newStore(t)
	must(s.AppendBatch(drafts(0, 2500)))(t)
	all := gathered(t, s.Each(1))
	for _, span := range [][2]int64{{1, 2500}, {7, 7}, {900, 1901}, {0, 2500}, {2500, 2400}} {
		got := gathered(t, s.EachProved(span[0], span[1]))
		lo := max(span[0], 1) - 1
		if !slices.Equal(got, all[lo:max(lo, span[1])]) {
			t.Errorf("entries %d to %d: %d rows", span[0], span[1], len(got))
		}
	}
	for _, span := range [][2]int64{{2501, 2501}, {2500, 2501}} {
		_, err := handedOver(s.EachProved(span[0], span[1]))
		damageIs(t, err, s.Path(), 2501, Missing, "")
	}
	_, err := handedOver(newStore(t).EachProved(0, 1))
	wantIs(t, err, ErrDamaged, "entry 1 missing")
	for rows := range s.EachProved(1, 2500) { // to be left at any time
		if len(rows) != chunkRows {
			t.Errorf("%d entries", len(rows))
		}
		break
	}
	must(s.write.Exec("DROP TRIGGER entry_no_update"))(t)
	for _, column := range []string{"at = at + 1", "recorded = recorded + 1", "day = 19990101", "writer = 'X. X'", "line = line || '!'", "hash = zeroblob(32)"} {
		var seq int64 = 1234
		must(s.write.Exec("CREATE TEMP TABLE kept AS SELECT * FROM entry WHERE seq = ?", seq))(t)
		must(s.write.Exec("UPDATE entry SET "+column+" WHERE seq = ?", seq))(t)
		handed, err := handedOver(s.EachProved(1, 2500))
		var damaged *DamagedError
		if !errors.As(err, &damaged) || damaged.Entry != seq || handed >= seq {
			t.Errorf("%s: %v, handed over up to %d", column, err, handed)
		}
		must(s.write.Exec("UPDATE entry SET (at, recorded, day, writer, line, hash) = (SELECT at, recorded, day, writer, line, hash FROM kept) WHERE seq = ?", seq))(t)
		must(s.write.Exec("DROP TABLE kept"))(t)
	}
	if _, err := handedOver(s.EachProved(1, 2500)); err != nil {
		t.Errorf("put back as it was: %v", err)
	}
	if _, err := handedOver(s.EachProved(2400, 2600)); !errors.Is(err, ErrDamaged) {
		t.Errorf("entries that are missing: %v", err)
	}
}

// TestSpanOf finds the bounds of days, also with an entry of an earlier day
// written late.
func TestSpanOf(t *testing.T) {
	s := newStore(t)
	list := drafts(0, 10)
	for i, day := range []calendar.Day{20260501, 20260501, 20260502, 20260502, 20260501, 20260503, 20260505, 20260505, 20260502, 20260505} {
		list[i].Day = day
	}
	must(s.AppendBatch(list))(t)
	for _, c := range []struct {
		from, to    calendar.Day
		first, last int64
	}{{0, 0, 1, 10}, {20260501, 20260501, 1, 5}, {20260502, 20260503, 3, 9}, {20260504, 20260504, 0, 0}, {20260504, 0, 7, 10}, {0, 20260430, 0, 0}} {
		if first, last, err := s.SpanOf(c.from, c.to); first != c.first || last != c.last || err != nil {
			t.Errorf("days %d to %d: entries %d to %d, %v; want %d to %d", c.from, c.to, first, last, err, c.first, c.last)
		}
	}
}

// handedOver is the last entry that a reading gave, and how it ended.
func handedOver(seq iter.Seq2[[]Row, error]) (last int64, _ error) {
	for rows, err := range seq {
		if err != nil {
			return last, err
		}
		last = rows[len(rows)-1].Seq
	}
	return last, nil
}

// gathered is all that a reading gives.
func gathered(t *testing.T, seq iter.Seq2[[]Row, error]) (all []Row) {
	t.Helper()
	for rows, err := range seq {
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, rows...)
	}
	return all
}
