package register

import (
	"cmp"
	"context"
	"errors"
	"slices"
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
		rows, err := r.st.Range(max(1, high-searchChunk+1), high)
		if err != nil {
			return err
		}
		rows = slices.DeleteFunc(rows, func(r store.Row) bool { return !holdsAll(&r, words) })
		slices.Reverse(rows)
		hits, err := asTheyStand(rd, rows)
		if err != nil {
			return err
		}
		part.Hits = append(part.Hits, hits...)
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

// asTheyStand gives the entries of some rows, with their corrections.
func asTheyStand(rd *reading.Reader, rows []store.Row) ([]Entry, error) {
	out := make([]Entry, len(rows))
	for i := range rows {
		var e reading.Entry
		if err := rd.Entry(&rows[i], &e); err != nil {
			return nil, err
		}
		out[i] = entryOf(&e)
	}
	return out, nil
}

// holdsAll says whether every word, in small letters, stands in an entry.
func holdsAll(r *store.Row, words []string) bool {
	line, writer := strings.ToLower(r.Line), ""
	return !slices.ContainsFunc(words, func(w string) bool {
		if !strings.Contains(line, w) {
			writer = cmp.Or(writer, strings.ToLower(r.Writer))
			return !strings.Contains(writer, w)
		}
		return false
	})
}

// Glance is one register day as its entries stand, without what was found about
// them and without the page: what can be shown at once, also of a day long ago,
// while LoadDay works. For a day without entries errors.Is(err, ErrNoEntries)
// holds.
func (r *Reader) Glance(day calendar.Day) (*Day, error) {
	rows, err := r.st.Day(day)
	if err != nil || len(rows) == 0 {
		return nil, cmp.Or(err, ErrNoEntries)
	}
	rd, err := r.reg.Reader(rows[0].Seq - 1)
	if err != nil {
		return nil, err
	}
	entries, err := asTheyStand(rd, rows)
	return &Day{Box: r.Box(), Date: day, Zone: r.Location(), Entries: entries}, err
}

// Nearest is the last register day with entries on or before a day, or else the
// first after it; 0 in an empty register.
func (r *Reader) Nearest(day calendar.Day) (calendar.Day, error) {
	days, err := r.st.Days(0, day)
	if len(days) == 0 && err == nil {
		days, err = r.st.Days(day, 0)
		days = days[:min(len(days), 1)]
	}
	if len(days) == 0 {
		return 0, err
	}
	return days[len(days)-1], err
}
