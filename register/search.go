package register

import (
	"context"
	"errors"
	"strings"

	"fairhand/register/calendar"
	"fairhand/register/reading"
	"fairhand/register/store"
)

// SearchPart is what a search has come to.
type SearchPart struct {
	Hits []Entry // found since the part before, newest first, without findings
	Read int64   // entries read so far
	Of   int64   // entries in the register
}

const (
	searchChunk  = 1000  // entries read in one go; the file is free between two
	searchReport = 20000 // entries after which progress is told
)

// Search looks through the whole register, newest entry first, for those in
// whose line, or writer's name, every word of the text stands, in capitals or
// not. It tells what it finds as it goes and ends at the beginning of the
// register, when ctx ends, or with the error of tell.
func (r *Reader) Search(ctx context.Context, text string, tell func(SearchPart) error) error {
	words := strings.Fields(strings.ToLower(text))
	part := SearchPart{Of: r.st.Tail().Seq}
	if len(words) == 0 {
		return errors.New("nothing to search for: give a train, a token, a name or any text")
	}
	rd, err := r.reg.Reader(0)
	if err != nil {
		return err
	}
	told := int64(0)
	for high := part.Of; high > 0; high -= searchChunk {
		if err := ctx.Err(); err != nil {
			return err
		}
		rows, err := r.piece(max(1, high-searchChunk+1), high)
		if err != nil {
			return err
		}
		for i := len(rows) - 1; i >= 0; i-- {
			if !holdsAll(&rows[i], words) {
				continue
			}
			var e reading.Entry
			if err := rd.Entry(&rows[i], &e); err != nil {
				return err
			}
			part.Hits = append(part.Hits, entryOf(&e))
		}
		part.Read = part.Of - max(0, high-searchChunk)
		if len(part.Hits) > 0 || part.Read-told >= searchReport || part.Read == part.Of {
			if err := tell(part); err != nil {
				return err
			}
			part.Hits, told = nil, part.Read
		}
	}
	return nil
}

// piece reads the entries from number from to number to, at most searchChunk.
func (r *Reader) piece(from, to int64) ([]store.Row, error) {
	for rows, err := range r.st.Each(from) {
		return rows[:min(int64(len(rows)), to-from+1)], err
	}
	return nil, nil
}

// holdsAll says whether every word, in small letters, stands in an entry.
func holdsAll(r *store.Row, words []string) bool {
	line := strings.ToLower(r.Line)
	writer := ""
	for _, w := range words {
		if strings.Contains(line, w) {
			continue
		}
		if writer == "" {
			writer = strings.ToLower(r.Writer)
		}
		if !strings.Contains(writer, w) {
			return false
		}
	}
	return true
}

// Glance is one register day as its entries stand, without what was found about
// them and without the page: what can be shown at once, also of a day long ago,
// while LoadDay works. For a day without entries errors.Is(err, ErrNoEntries)
// holds.
func (r *Reader) Glance(day calendar.Day) (*Day, error) {
	rows, err := r.st.Day(day)
	if err == nil && len(rows) == 0 {
		err = ErrNoEntries
	}
	if err != nil {
		return nil, err
	}
	rd, err := r.reg.Reader(rows[0].Seq - 1)
	if err != nil {
		return nil, err
	}
	d := &Day{Box: r.Box(), Date: day, Zone: r.Location()}
	for i := range rows {
		var e reading.Entry
		if err := rd.Entry(&rows[i], &e); err != nil {
			return nil, err
		}
		d.Entries = append(d.Entries, entryOf(&e))
	}
	return d, nil
}

// Nearest is the last register day with entries on or before a day, or else the
// first after it; 0 in an empty register.
func (r *Reader) Nearest(day calendar.Day) (calendar.Day, error) {
	days, err := r.st.Days(0, day)
	if n := len(days); n > 0 {
		return days[n-1], err
	}
	if err == nil {
		days, err = r.st.Days(day, 0)
	}
	if len(days) == 0 {
		return 0, err
	}
	return days[0], err
}
