package store

import (
	"errors"
	"fmt"
	"slices"
	"testing"
)

// TestEachProved hands over exactly what Each does, and names the first entry
// that was altered without handing it or any after it over.
func TestEachProved(t *testing.T) {
	s := newStore(t)
	must(s.AppendBatch(drafts(0, 2500)))(t)
	var all []Row
	if err := s.Each(1, func(rows []Row) error { all = append(all, rows...); return nil }); err != nil {
		t.Fatal(err)
	}
	for _, span := range [][2]int64{{1, 2500}, {7, 7}, {900, 1901}, {0, 2500}, {2500, 2400}} {
		var got []Row
		if err := s.EachProved(span[0], span[1], nil, func(rows []Row) error { got = append(got, rows...); return nil }); err != nil {
			t.Fatal(span, err)
		}
		lo := max(span[0], 1) - 1
		if !slices.Equal(got, all[lo:max(lo, span[1])]) {
			t.Errorf("entries %d to %d: %d rows", span[0], span[1], len(got))
		}
	}
	var old []Row // the same, with slices used again
	seq := int64(0)
	if err := s.EachProved(1, 2500, func() []Row { return old }, func(rows []Row) error {
		for _, r := range rows {
			if seq++; r != all[seq-1] {
				t.Fatalf("entry %d in a used slice: %+v", seq, r)
			}
		}
		old = rows
		return nil
	}); err != nil || seq != 2500 {
		t.Fatal(seq, err)
	}
	stop := errors.New("stop")
	if err := s.EachProved(1, 2500, nil, func([]Row) error { return stop }); err != stop {
		t.Errorf("the error of the function: %v", err)
	}
	must(s.write.Exec("DROP TRIGGER entry_no_update"))(t)
	for _, column := range []string{"at = at + 1", "recorded = recorded + 1", "day = 19990101", "writer = 'X. X'", "line = line || '!'", "hash = zeroblob(32)"} {
		var seq int64 = 1234
		must(s.write.Exec("CREATE TEMP TABLE kept AS SELECT * FROM entry WHERE seq = ?", seq))(t)
		must(s.write.Exec("UPDATE entry SET "+column+" WHERE seq = ?", seq))(t)
		handed := int64(0)
		err := s.EachProved(1, 2500, nil, func(rows []Row) error { handed = rows[len(rows)-1].Seq; return nil })
		var damaged *DamagedError
		if !errors.As(err, &damaged) || damaged.Entry != seq || handed >= seq {
			t.Errorf("%s: %v, handed over up to %d", column, err, handed)
		}
		must(s.write.Exec("UPDATE entry SET (at, recorded, day, writer, line, hash) = (SELECT at, recorded, day, writer, line, hash FROM kept) WHERE seq = ?", seq))(t)
		must(s.write.Exec("DROP TABLE kept"))(t)
	}
	if err := s.EachProved(1, 2500, nil, func([]Row) error { return nil }); err != nil {
		t.Errorf("put back as it was: %v", err)
	}
	if err := s.EachProved(2400, 2600, nil, func([]Row) error { return nil }); !errors.Is(err, ErrDamaged) {
		t.Errorf("entries that are missing: %v", err)
	}
}

// TestSpanOf finds the bounds of days, also with an entry of an earlier day
// written late.
func TestSpanOf(t *testing.T) {
	s := newStore(t)
	list := drafts(0, 10)
	for i, day := range []int32{20260501, 20260501, 20260502, 20260502, 20260501, 20260503, 20260505, 20260505, 20260502, 20260505} {
		list[i].Day = day
	}
	list[3].Line = `00:10 explain 1 "told"`
	list[5].Line = `00:10 note "to explain 1 is hard"`
	must(s.AppendBatch(list))(t)
	for _, c := range []struct {
		from, to    int32
		first, last int64
	}{{0, 0, 1, 10}, {20260501, 20260501, 1, 5}, {20260502, 20260503, 3, 9}, {20260504, 20260504, 0, 0}, {20260504, 0, 7, 10}, {0, 20260430, 0, 0}} {
		if first, last, err := s.SpanOf(c.from, c.to); first != c.first || last != c.last || err != nil {
			t.Errorf("days %d to %d: entries %d to %d, %v; want %d to %d", c.from, c.to, first, last, err, c.first, c.last)
		}
	}
	var seqs []int64
	for _, row := range must(s.Explanations(1))(t) {
		seqs = append(seqs, row.Seq)
	}
	if fmt.Sprint(seqs) != "[4 6]" { // the caller reads the line: 6 is a note
		t.Errorf("explanations %v, want 4 and what looks like one, 6", seqs)
	}
}
