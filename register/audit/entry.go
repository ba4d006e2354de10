package audit

import (
	"context"
	"errors"
	"time"

	"fairhand/block"
)

// entry is one entry of the book on its way to the replay.
type entry struct {
	ev      block.Event // as it stands: the corrected event of a corrected entry
	at      block.Time  // as first written
	written block.Time  // by the clock of the computer; in a book its own time
	day     int32       // register day, yyyymmdd
	line    string      // the entry as it stands
	old     string      // of a correction: what it corrects, as it stood before
	remarks []Remark    // entries that explain it
}

// Source is a book to audit: Register or Notation.
type Source interface {
	about() subject
	// span says where to begin and to end for the days asked for.
	span(from, to int32) (span, error)
	// pointers reads the corrections and explanations from the span's start on.
	pointers(s span) (*pointers, error)
	// entries hands over the entries of a span in order, some at a time; the
	// slice is good until fn returns. known is nil when pointers was not asked:
	// then errFar says that it must be.
	entries(ctx context.Context, s span, known *pointers, fn func([]entry) error) error
	// proof says what the chain of hashes proved of a span up to an entry that
	// was handed over.
	proof(s span, last int64) (proof, error)
}

// errFar is returned when a correction or an explanation reaches back further
// than entries are held.
var errFar = errors.New("an entry points further back than entries are held")

// subject is what a report is about.
type subject struct {
	box  *block.Box
	zone *time.Location
}

// span is which entries a replay needs.
type span struct {
	start       int64       // first to replay
	state       block.State // before it
	first, last int64       // bounds of the days asked for
	end         int64       // last of the book
}

// proof is what the chain of hashes proved.
type proof struct {
	entries, last int64
	head          string
}

// pointers are the entries of a book that are about earlier ones.
type pointers struct {
	fixes   map[int64]fix      // by number of the corrected entry, the last one
	remarks map[int64][]Remark // by number of the explained entry
}

// fix is what stands instead of a corrected entry.
type fix struct {
	ev   block.Event
	line string
}

// explain takes an entry that explains another.
func (p *pointers) explain(ev *block.Event, zone *time.Location) {
	if ev.Kind == block.Explain && ev.Target < ev.Seq {
		p.remarks[ev.Target] = append(p.remarks[ev.Target], remark(ev, zone))
	}
}

func remark(ev *block.Event, zone *time.Location) Remark {
	return Remark{ev.Seq, Moment{ev.At, zone}, ev.Text}
}

// later is the later of two moments, the first of which may not be known yet;
// moments before 1970 are less than zero.
func later(a, b block.Time) block.Time {
	if a == 0 {
		return b
	}
	return max(a, b)
}

func dayOf(at block.Time, zone *time.Location) int32 {
	y, m, d := time.Unix(int64(at), 0).In(zone).Date()
	return int32(y*10000 + int(m)*100 + d)
}
