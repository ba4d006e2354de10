package store

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"sync"
	"sync/atomic"

	"fairhand/register/calendar"
)

// Report is what Verify found. Keep Tail outside the file: see doc.go.
type Report struct {
	Entries  int64        // how many entries were checked
	Tail     Tail         // the last of them
	FirstDay calendar.Day // earliest and latest register day, 0 in an empty register
	LastDay  calendar.Day
	Genesis  Hash // where the chain begins

	// Unfit are the entries of which a snapshot is kept that cannot be used: it is
	// made again from the entries, and is no fault of them.
	Unfit []int64
}

const (
	verifyWorkers = 2      // connections, one a processor core; more gave nothing
	pieceRows     = 50_000 // entries one worker takes at a time
)

// Verify checks the whole register as it stands when it is called: tables and
// triggers as made, heading unchanged, entries numbered 1, 2, 3 ... without a
// gap, each sealed by its hash and tied to the one before, the list of days in
// agreement with the entries, and the file's structure sound. The first fault is returned as *DamagedError
// (errors.Is ErrDamaged) with the number of the first bad entry.
//
// progress, if not nil, is told from time to time how many of how many entries
// are done; it is called from one goroutine at a time, but not the caller's.
func (s *Store) Verify(progress func(done, total int64)) (Report, error) {
	return s.VerifyReading(func(tail int64, days *DayCheck) error {
		found, err := s.verifyEntries(tail, progress)
		days.days.merge(found)
		return err
	})
}

// VerifyReading is Verify for a caller that has to read every entry in any case: read
// takes the entries up to number tail through EachProved and adds each to days.
func (s *Store) VerifyReading(read func(tail int64, days *DayCheck) error) (Report, error) {
	if err := s.checkHeading(); err != nil {
		return Report{}, err
	}
	tail, err := s.loadTail()
	if err != nil {
		return Report{}, failure(s.path, "verify", err)
	}
	if err := s.checkLowest(tail.Seq); err != nil {
		return Report{}, err
	}
	days := s.NewDayCheck()
	if err := read(tail.Seq, days); err != nil {
		return Report{}, err
	}
	var structure error
	var wg sync.WaitGroup
	wg.Go(func() { structure = s.checkStructure() })
	listed := days.Check(tail.Seq)
	if listed == nil {
		listed = s.checkRefers(tail.Seq)
	}
	wg.Wait()
	if err := cmp.Or(structure, listed); err != nil {
		return Report{}, err
	}
	report := Report{Entries: tail.Seq, Tail: tail, Genesis: s.genesis, Unfit: s.unfit()}
	report.FirstDay, report.LastDay = days.days.bounds()
	return report, nil
}

// checkStructure lets the engine check how its pages hang together: the chain
// steps from one entry to the next and would not notice that a later one cannot
// be looked up by its number. It holds the file for as long as it takes, about
// 0.2 s for a million entries once they have been read.
func (s *Store) checkStructure() error {
	var said string
	err := s.read.QueryRowContext(background, "PRAGMA quick_check(entry)").Scan(&said)
	if err == nil && said != "ok" {
		err = &DamagedError{Path: s.path, Kind: Unreadable, Detail: "the engine's own check says " + strconv.Quote(said)}
	}
	return failureOrNil(s.path, "check the file's structure", err)
}

// checkLowest finds a number below 1, which no chunk would visit.
func (s *Store) checkLowest(tail int64) error {
	lowest, err := s.number("verify", "SELECT min(seq) FROM entry")
	if err == nil && tail != 0 && lowest < 1 {
		err = &DamagedError{Path: s.path, Entry: 1, Kind: OutOfOrder, Detail: "an entry has a number below 1"}
	}
	return err
}

// verification is the work shared by the workers of one Verify.
type verification struct {
	s         *Store
	total     int64
	nextPiece atomic.Int64
	worstFrom atomic.Int64 // pieces from here on need no looking at: a fault was found before

	mu       sync.Mutex
	done     int64
	progress func(done, total int64)
	first    error // the fault with the lowest piece
	firstAt  int64
	days     dayTable
}

// verifyEntries lets workers take one piece after the other. Each stored hash
// lets a worker begin in the middle: the piece before proves that very hash.
func (s *Store) verifyEntries(total int64, progress func(done, total int64)) (dayTable, error) {
	v := &verification{s: s, total: total, progress: progress, days: dayTable{}}
	v.worstFrom.Store(total + 1)
	var wg sync.WaitGroup
	for range verifyWorkers {
		wg.Go(v.work)
	}
	wg.Wait()
	return v.days, v.first
}

func (v *verification) work() {
	days := dayTable{}
	c := &checker{s: v.s, days: days}
	for {
		lo := (v.nextPiece.Add(1)-1)*pieceRows + 1
		if lo > v.total || lo >= v.worstFrom.Load() {
			break
		}
		if err := v.piece(c, lo, min(lo+pieceRows-1, v.total)); err != nil {
			v.fault(lo, err)
		}
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	v.days.merge(days)
}

func (v *verification) piece(c *checker, lo, hi int64) error {
	var err error
	if c.prev, err = v.s.hashAt(lo - 1); err != nil {
		return err
	}
	for ; lo <= hi; lo += chunkRows {
		last := min(lo+chunkRows-1, hi)
		if err := c.chunk(lo, last); err != nil {
			return err
		}
		v.report(last - lo + 1)
	}
	return nil
}

func (v *verification) fault(lo int64, err error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.first == nil || lo < v.firstAt {
		v.first, v.firstAt = err, lo
		v.worstFrom.Store(lo)
	}
}

func (v *verification) report(n int64) {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.done += n
	if v.progress != nil {
		v.progress(v.done, v.total)
	}
}

// checker follows the chain through chunks, one worker's.
type checker struct {
	s    *Store
	prev Hash
	days dayTable
	glue []byte // the chunk
	seal []byte // tag, previous hash and body of the entry being checked
}

// chunk checks entries lo .. hi, all of which must be there.
func (c *checker) chunk(lo, hi int64) error {
	start := c.prev
	n, glue, err := c.s.glued(c.glue, lo, hi)
	if err != nil {
		return c.s.diagnose(lo, hi, start, err)
	}
	c.glue = glue
	if n != hi-lo+1 {
		return c.s.diagnose(lo, hi, start, nil)
	}
	for seq := lo; seq <= hi; seq++ {
		if glue, err = c.entry(seq, glue); err != nil {
			return c.s.diagnose(lo, hi, start, err)
		}
	}
	if len(glue) != 0 {
		return c.s.diagnose(lo, hi, start, errChunk)
	}
	return nil
}

// entry checks the first entry in glue and returns the rest.
func (c *checker) entry(seq int64, glue []byte) ([]byte, error) {
	head := bytes.IndexByte(glue, '\n')
	end := head
	for range 2 { // writer, line
		next := bytes.IndexByte(glue[end+1:], '\n')
		if head < 0 || next < 0 {
			return nil, errChunk
		}
		end += 1 + next
	}
	body, rest := glue[:end+1], glue[end+1:]
	if len(rest) < len(c.prev) {
		return nil, errChunk
	}
	c.seal = append(appendPrev(c.seal[:0], c.prev), body...)
	stored := Hash(rest[:len(c.prev)])
	if Hash(sha256.Sum256(c.seal)) != stored {
		return nil, errChunk
	}
	got, day := ends(body[:head])
	if got != seq {
		return nil, errChunk
	}
	c.days.add(day, seq)
	c.prev = stored
	return rest[len(c.prev):], nil
}

// ends reads the first and the last number of a sealed body's head.
func ends(head []byte) (seq int64, day calendar.Day) {
	for _, c := range head {
		if c == ' ' {
			break
		}
		seq = seq*10 + int64(c-'0')
	}
	for _, c := range head[bytes.LastIndexByte(head, ' ')+1:] {
		day = day*10 + calendar.Day(c-'0')
	}
	return seq, day
}

// checkHeading compares the heading with the beginning of the chain, and every
// object of the file with what Create makes.
func (s *Store) checkHeading() error {
	if s.meta.Genesis() != s.genesis {
		return s.badHeading()
	}
	version, err := s.number("read the version", "PRAGMA user_version")
	if err != nil {
		return err
	}
	have, err := s.objects()
	if err != nil {
		return failure(s.path, "read the tables", err)
	}
	for _, object := range schemaOf(version) {
		if have[object.name] != object.sql {
			return &DamagedError{Path: s.path, Kind: Schema, Detail: object.name + " was removed or changed"}
		}
		delete(have, object.name)
	}
	for _, name := range slices.Sorted(maps.Keys(have)) {
		return &DamagedError{Path: s.path, Kind: Schema, Detail: fmt.Sprintf("%q does not belong to it: another program put it in", name)}
	}
	return nil
}

func (s *Store) badHeading() error {
	return &DamagedError{Path: s.path, Kind: Heading, Detail: "railway, box, time zone, date of making or the first description of the box is not what the chain begins with"}
}

// objects are the tables, indexes and triggers of the file by name, with their
// text. What an SQLite tool's ANALYZE leaves is not counted: it says only how
// many rows there are.
func (s *Store) objects() (map[string]string, error) {
	q, err := s.read.QueryContext(background, `SELECT name, coalesce(sql, '') FROM sqlite_schema
WHERE NOT (type = 'table' AND name IN ('sqlite_stat1', 'sqlite_stat4'))`)
	if err != nil {
		return nil, err
	}
	defer q.Close()
	have := map[string]string{}
	for q.Next() {
		var name, text string
		if err := q.Scan(&name, &text); err != nil {
			return nil, err
		}
		if _, twice := have[name]; twice {
			text = "" // two of one name: neither is ours
		}
		have[name] = text
	}
	return have, q.Err()
}
