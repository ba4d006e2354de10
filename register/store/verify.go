package store

import (
	"cmp"
	"database/sql"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"

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

// Verify checks the whole register as it stands when it is called: tables and
// triggers as made, heading unchanged, entries numbered 1, 2, 3 ... without a
// gap, each sealed by its hash and tied to the one before, the list of days in
// agreement with the entries, and the file's structure sound. The first fault is returned as *DamagedError
// (errors.Is ErrDamaged) with the number of the first bad entry.
//
// progress, if not nil, is told from time to time how many of how many entries
// are done.
func (s *Store) Verify(progress func(done, total int64)) (Report, error) {
	return s.VerifyReading(func(tail int64, days *DayCheck) error { return days.read(tail, progress) })
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
	wg.Go(func() { structure = s.CheckStructure() })
	listed := days.Check(tail.Seq)
	wg.Wait()
	if err := cmp.Or(listed, structure); err != nil {
		return Report{}, err
	}
	report := Report{Entries: tail.Seq, Tail: tail, Genesis: s.genesis, Unfit: s.unfit()}
	report.FirstDay, report.LastDay = days.days.bounds()
	return report, nil
}

// CheckStructure lets the engine check how its pages hang together: the chain
// steps from one entry to the next and would not notice that a later one cannot
// be looked up by its number, nor that a page of entries is listed as free and the
// next entry would be written over it. It holds the file for as long as it takes, about
// 0.2 s for a million entries once they have been read.
func (s *Store) CheckStructure() error {
	var said string
	err := s.ask("check the file's structure", "PRAGMA quick_check(1)", nil, &said)
	if err == nil && said != "ok" {
		err = &DamagedError{Path: s.path, Kind: Unreadable, Detail: "the engine's own check says " + strconv.Quote(said)}
	}
	return err
}

// checkLowest finds a number below 1, which no chunk would visit.
func (s *Store) checkLowest(tail int64) error {
	lowest, err := s.number("verify", "SELECT min(seq)"+inOrder)
	if err == nil && tail != 0 && lowest < 1 {
		err = &DamagedError{Path: s.path, Entry: 1, Kind: OutOfOrder, Detail: "an entry has a number below 1"}
	}
	return err
}

// headingRows is how many rows the heading has: those that fill writes.
const headingRows = 5

// checkHeading compares the heading with the beginning of the chain, and every
// object of the file with what Create makes.
func (s *Store) checkHeading() error {
	if s.meta.Genesis() != s.genesis {
		return s.badHeading()
	}
	rows, err := s.number("read the heading", "SELECT count(*) FROM meta")
	if err != nil {
		return err
	}
	if rows != headingRows {
		return &DamagedError{Path: s.path, Kind: Heading, Detail: "it has rows that do not belong to it: another program put them in"}
	}
	shared, err := s.number("read the tables", "SELECT count(*) - count(DISTINCT rootpage) FROM sqlite_schema WHERE rootpage > 0")
	if err != nil {
		return err
	}
	if shared > 0 { // a state that is dropped would take entries with it
		return &DamagedError{Path: s.path, Kind: Schema, Detail: "two of them begin on one page of the file"}
	}
	have, err := s.asMade(func(object) bool { return true })
	for _, name := range slices.Sorted(maps.Keys(have)) {
		if err == nil {
			err = &DamagedError{Path: s.path, Kind: Schema, Detail: fmt.Sprintf("%q does not belong to it: another program put it in", name)}
		}
	}
	return err
}

// asMade compares the objects of the file that are asked for with what Create makes, and
// gives what there is beside them.
func (s *Store) asMade(asked func(object) bool) (others map[string]string, err error) {
	version, err := s.number("read the version", "PRAGMA user_version")
	if err != nil {
		return nil, err
	}
	have, err := s.objects()
	if err != nil {
		return nil, failure(s.path, "read the tables", err)
	}
	for _, object := range schemaOf(version) {
		if asked(object) && have[object.name] != object.sql {
			return nil, &DamagedError{Path: s.path, Kind: Schema, Detail: object.name + " was removed or changed"}
		}
		delete(have, object.name)
	}
	return have, nil
}

// readAsMade says whether what entries are read from is as it was made. Otherwise the
// engine may give another thing than what stands on the pages and is proved: a column
// can be one that is worked out.
func (s *Store) readAsMade() error {
	_, err := s.asMade(func(o object) bool { return !strings.HasPrefix(o.sql, "CREATE TRIGGER") })
	return err
}

func (s *Store) badHeading() error {
	return &DamagedError{Path: s.path, Kind: Heading, Detail: "railway, box, time zone, date of making or the first description of the box is not what the chain begins with"}
}

// objects are the tables, indexes and triggers of the file by name, with their
// text. What an SQLite tool's ANALYZE leaves is not counted: it says only how
// many rows there are.
func (s *Store) objects() (map[string]string, error) {
	list, err := collect(s, func(q *sql.Rows, o *object) error { return q.Scan(&o.name, &o.sql) }, `SELECT name, coalesce(sql, '') FROM sqlite_schema
WHERE NOT (type = 'table' AND name IN ('sqlite_stat1', 'sqlite_stat4'))`)
	have := map[string]string{}
	for _, o := range list {
		if _, twice := have[o.name]; twice {
			o.sql = "" // two of one name: neither is ours
		}
		have[o.name] = o.sql
	}
	return have, err
}
