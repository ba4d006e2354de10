package store

import (
	"cmp"
	"context"
	"fmt"
	"iter"
	"math"

	sqlite3 "modernc.org/sqlite/lib"
)

// Salvaged is what could be had from a damaged register.
type Salvaged struct {
	Meta   Meta
	Proved Tail    // the last entry of the unbroken chain from entry 1, which was copied; Seq 0: none
	Rest   []Piece // what can be read after it, in order

	// Headless: the heading is not what the chain begins with. No copy was made, and all
	// that can be read is Rest.
	Headless bool
}

// Piece is a run of entries after the unbroken chain. Those of a proved piece
// follow one from the other, the first from the hash kept with the entry before
// it, so that a seal or a printed hash of the last proves them all. Of the others
// only this can be said: so they stand in the file.
type Piece struct {
	From, To int64
	Proved   bool
}

// Salvage makes at dst, which must not exist, a sound register of the entries of
// a damaged one up to the first that cannot be proved, and hands every entry
// after that which can still be read to rest. The damaged file is only read, and
// read by its table alone, whatever became of its indexes and triggers. It needs
// the heading: where that is gone no entry can be proved. first is a text to be tried
// in the place of a first description of the box that was changed, "" for that there was
// none: that the chain begins with it proves it.
func Salvage(ctx context.Context, path, dst, first string, rest func(r *Row, proved bool) error) (Salvaged, error) {
	if err := nameIsFree(dst, "salvage to it"); err != nil {
		return Salvaged{}, err
	}
	s, err := openDamaged(path)
	if err != nil {
		return Salvaged{}, fmt.Errorf("salvage: nothing can be proved without the heading of the register: %w", err)
	}
	defer s.Close()
	headless := s.meta.Genesis() != s.genesis
	with := s.meta
	if with.Description = first; headless && with.Genesis() == s.genesis {
		s.meta, headless = with, false
	}
	part, err := newPart(dst)
	if err != nil {
		return Salvaged{}, &Error{Path: dst, Doing: "salvage to it", Cause: err, Advice: newFileAdvice(err)}
	}
	defer part.remove()
	c, err := part.create(s.meta)
	if err != nil {
		return Salvaged{}, err
	}
	defer c.Close()
	texts, _ := s.Descriptions(0) // without them the sound part ends before the first
	g := salvaging{s: s, c: c, texts: texts, rest: rest, hash: s.genesis, broken: headless, out: Salvaged{Meta: s.meta, Headless: headless}}
	if err := g.all(ctx); err != nil {
		return g.out, err
	}
	g.out.Proved = c.tail
	if err := c.Close(); err != nil || headless {
		return g.out, err
	}
	if _, err := verifyCopy(part.path, s.meta, g.out.Proved); err != nil {
		return g.out, err
	}
	return g.out, part.place(dst)
}

// openDamaged opens whatever has the heading of a register.
func openDamaged(path string) (*Store, error) {
	info, err := looksLikeRegister(path)
	if err != nil {
		return nil, err
	}
	s, err := open(path, info, salvageMode, false)
	if sqliteCode(err) == sqlite3.SQLITE_READONLY_ROLLBACK {
		err = cmp.Or(checkJournal(path), err)
	}
	return s, err
}

// salvaging is one Salvage at work.
type salvaging struct {
	s, c *Store // the damaged register, the sound one
	rest func(r *Row, proved bool) error
	out  Salvaged

	texts []Description

	last   int64 // number of the entry last read
	hash   Hash  // the hash kept with it
	broken bool  // an entry was met that the chain from entry 1 does not reach
	held   []Row // proved, not yet copied
}

// emptyAtEnd is how many empty chunks are tried where the engine cannot say
// whether there are entries further on.
const emptyAtEnd = 20

// all goes through the numbers from 1 on.
func (g *salvaging) all(ctx context.Context) error {
	for rows := range g.s.EachReadable(1) {
		for i := range rows {
			if err := g.take(&rows[i]); err != nil {
				return err
			}
		}
		if err := cmp.Or(g.flush(copyRows), ctx.Err()); err != nil {
			return err
		}
	}
	return g.flush(1)
}

// EachReadable gives whatever can be read of the entries from a number on, some at
// a time and in order, with gaps and proved in nothing: for a page that says so.
func (s *Store) EachReadable(from int64) iter.Seq[[]Row] {
	return func(yield func([]Row) bool) {
		for lo, empty := max(from, 1), 0; empty < emptyAtEnd; {
			hi := lo + min(chunkRows-1, math.MaxInt64-lo)
			rows := s.readable(lo, hi)
			for i := 1; i < len(rows); i++ {
				rows[i].Prev = rows[i-1].Hash
			}
			if empty++; len(rows) > 0 {
				empty = 0
				if !yield(rows) {
					return
				}
			}
			if hi == math.MaxInt64 { // no number is greater
				return
			}
			lo = hi + 1
			if next, err := s.firstSeq(lo); err == nil && next == 0 {
				return
			} else if err == nil {
				lo = next
			}
		}
	}
}

// readable gives what can be read of entries lo to hi; where that fails each is
// tried alone.
func (s *Store) readable(lo, hi int64) []Row {
	const query = "SELECT " + columns + inOrder + " WHERE seq BETWEEN ? AND ? ORDER BY seq"
	rows, err := s.scan(query, lo, hi)
	if err == nil {
		return rows
	}
	tx, err := s.read.BeginTx(background, nil)
	if err != nil {
		return nil
	}
	defer tx.Rollback() //nolint:errcheck // nothing was written
	// Once: beyond the end of a damaged file there are thousands to try.
	each, err := tx.Prepare(query)
	if err != nil {
		return nil
	}
	rows = nil
	for i := range hi - lo + 1 {
		if q, err := each.Query(lo+i, lo+i); err == nil {
			one, _ := given(q, s.entry) // it may be there although what follows it is not
			rows = append(rows, one...)
		}
	}
	return rows
}

// take puts one entry where it belongs.
func (g *salvaging) take(r *Row) error {
	if r.Seq <= g.last { // out of a damaged tree
		return nil
	}
	proved := false
	if r.Seq == g.last+1 {
		r.Prev = g.hash
		proved = r.Intact() && described(r, g.texts) // what follows was judged by it
	}
	g.last, g.hash = r.Seq, r.Hash
	if g.broken = g.broken || !proved; !g.broken {
		g.held = append(g.held, *r)
		return nil
	}
	n := len(g.out.Rest)
	if n > 0 && g.out.Rest[n-1].To == r.Seq-1 && g.out.Rest[n-1].Proved == proved {
		g.out.Rest[n-1].To = r.Seq
	} else {
		g.out.Rest = append(g.out.Rest, Piece{r.Seq, r.Seq, proved})
	}
	return g.rest(r, proved)
}

// flush copies what is held once there is enough of it.
func (g *salvaging) flush(enough int) error {
	if len(g.held) < enough {
		return nil
	}
	err := g.c.take(g.held, g.texts)
	g.held = g.held[:0]
	return err
}
