package register

import (
	"errors"
	"fmt"
	"io"

	"fairhand/block"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// ImportOptions say how a book in notation is taken into the register.
type ImportOptions struct {
	Transcription string // what it was copied from: written first, as a transcribed entry; "" writes none
	Older         bool   // take a book that is not later than the register's last day
	DryRun        bool   // judge it and write nothing

	// AsWritten keeps the time a line gives as that of its writing too, as if
	// it had been written then. It is for demonstrations only: a register says
	// when an entry was really written.
	AsWritten bool
}

// Imported is what an import wrote, or with DryRun would have written.
type Imported struct {
	First, Last int64           // numbers of its first and last entry in the register
	FirstDay    int32           // register days of the book, yyyymmdd
	LastDay     int32           //
	Findings    []block.Finding // by entry number of the register, in the order they were raised
}

// ErrOlder is returned by Import for a book that would stand after entries of
// the same day or of a later one.
var ErrOlder = errors.New("the book is not later than the register")

// LineError is an entry of a book that can be read but not imported.
type LineError struct {
	Line int // of the book, from 1
	Err  error
}

func (e *LineError) Error() string { return fmt.Sprintf("line %d: %v", e.Line, e.Err) }

// Unwrap gives the reason.
func (e *LineError) Unwrap() error { return e.Err }

// Import takes a whole book in notation into the register, all of it or none.
// Times are kept as the book gives them; that of writing is the moment of the
// import. The writer of an entry is the person signed on in the book. A number
// in the book (correct 3, explain 3, answers 3) means its third entry and
// becomes that entry's number in the register.
//
// With an error nothing was written: notation.Errors for lines that cannot be
// read, *LineError for an entry that refers to none, ErrOlder, or the store's.
func (b *Book) Import(src io.Reader, opt ImportOptions) (Imported, error) {
	events, err := notation.ParseAll(src, b.file.Location)
	if err != nil {
		return Imported{}, err
	}
	if len(events) == 0 {
		return Imported{}, errors.New("the book has no entries")
	}
	in := importing{book: b, opt: opt, fixes: map[int64]string{}}
	in.out.First = b.st.Tail().Seq + 1
	if err := in.take(events); err != nil {
		return Imported{}, err
	}
	if err := in.follows(); err != nil {
		return Imported{}, err
	}
	if err := in.judge(); err != nil {
		return Imported{}, err
	}
	if opt.DryRun {
		return in.out, nil
	}
	rows, err := b.st.AppendBatch(in.drafts)
	if err != nil {
		if errors.Is(err, store.ErrConflict) {
			err = errors.Join(err, b.catchUp())
		}
		return Imported{}, err
	}
	in.snapshots(rows)
	if err := b.restore(); err != nil {
		return in.out, fmt.Errorf("entries %d to %d are written; the book could not be read again with them: %w", in.out.First, in.out.Last, err)
	}
	return in.out, nil
}

// importing is one import under way.
type importing struct {
	book   *Book
	opt    ImportOptions
	events []block.Event    // as they will stand, with their numbers in the register
	fixes  map[int64]string // number of a corrected entry to the line that stands instead
	drafts []store.Draft
	ends   dayEnds
	out    Imported
}

// take gives the entries of a book their numbers in the register.
func (in *importing) take(events []block.Event) error {
	b, first := in.book, in.out.First
	if in.opt.Transcription != "" {
		head := block.Event{Kind: block.Transcribed, Seq: first, At: events[0].At, Text: in.opt.Transcription}
		if err := notation.Check(head); err != nil {
			return fmt.Errorf("the source of the transcription: %w", err)
		}
		in.events = append(in.events, head)
	}
	shift := first - 1 + int64(len(in.events))
	for i, ev := range events {
		line := int(ev.Seq)
		if err := in.renumber(&ev, int64(i)+1, shift); err != nil {
			return &LineError{line, err}
		}
		ev.Seq = shift + int64(i) + 1
		if ev.Kind == block.Correct {
			in.fixes[ev.Target] = ev.Text
		}
		in.events = append(in.events, ev)
		day := b.DayOf(ev.At)
		in.out.LastDay = max(in.out.LastDay, day)
		if in.out.FirstDay == 0 || day < in.out.FirstDay {
			in.out.FirstDay = day
		}
	}
	in.out.Last = in.events[len(in.events)-1].Seq
	return nil
}

// renumber turns the number of an entry of the book into its number in the
// register, in the entry and in the line that it corrects another with. own is
// the entry's own number in the book.
func (in *importing) renumber(ev *block.Event, own, shift int64) error {
	loc := in.book.file.Location
	if ev.Target != 0 {
		if ev.Target >= own {
			return fmt.Errorf("there is no entry %d of this book before it; numbers count the book's own entries from 1", ev.Target)
		}
		ev.Target += shift
	}
	if ev.Kind != block.Correct {
		return nil
	}
	corrected := ev.Target - shift
	c, err := notation.ParseCorrection(loc, in.at(corrected), ev.Text)
	if err != nil {
		return fmt.Errorf("the line that is to stand instead: %w", err)
	}
	if c.Target == 0 {
		return nil
	}
	if err := in.renumber(&c, corrected, shift); err != nil {
		return fmt.Errorf("the line that is to stand instead: %w", err)
	}
	ev.Text = notation.Format(c, loc)
	return nil
}

// at is the moment of an entry of the book that has been taken.
func (in *importing) at(own int64) block.Time {
	if in.opt.Transcription != "" {
		own++
	}
	return in.events[own-1].At
}

// follows refuses a book that would stand behind later days.
func (in *importing) follows() error {
	last, err := in.book.st.LastDay()
	if err != nil || last == 0 || in.opt.Older || in.out.FirstDay > last {
		return err
	}
	return fmt.Errorf("%w: it begins on %s and the register has entries up to %s", ErrOlder, DateText(in.out.FirstDay), DateText(last))
}

// judge replays the book from where the register stands and seals each entry
// with the person on duty.
func (in *importing) judge() error {
	b := in.book
	run := block.NewRunner(b.file.Box, b.state)
	rec := b.now().Unix()
	last := b.day
	for _, ev := range in.events {
		day := b.DayOf(ev.At)
		if day > last && ev.Seq > 1 {
			in.ends.add(dayEnd{seq: ev.Seq - 1, state: run.State()})
		}
		last = max(last, day)
		d := store.Draft{At: int64(ev.At), Recorded: rec, Day: day, Writer: writerOf(run.Look()), Line: notation.Format(ev, b.file.Location)}
		if in.opt.AsWritten {
			d.Recorded = int64(writtenAt(ev))
		}
		in.drafts = append(in.drafts, d)
		if text, ok := in.fixes[ev.Seq]; ok {
			c, err := notation.ParseCorrection(b.file.Location, ev.At, text)
			if err != nil {
				return fmt.Errorf("the line that corrects entry %d: %w", ev.Seq, err)
			}
			c.Seq = ev.Seq
			ev = c
		}
		in.out.Findings = append(in.out.Findings, run.Step(&ev)...)
	}
	return nil
}

// snapshots keeps the states at the ends of days, so that the book need
// not be replayed from its beginning after an import. They are only a help, and
// restore believes none that a replay does not come to as well.
func (in *importing) snapshots(rows []store.Row) {
	for _, end := range in.ends {
		end.hash = rows[0].Prev // of the entry before the book
		if end.seq >= rows[0].Seq {
			end.hash = rows[end.seq-rows[0].Seq].Hash
		}
		in.book.keepSnapshot(&end)
	}
}

// writerOf is who writes when the book stands so: the person signed on last.
func writerOf(s *block.State) string {
	if n := len(s.OnDuty); n > 0 {
		return s.OnDuty[n-1].Name
	}
	return ""
}

// DateText is a register day (yyyymmdd) as a date, 2026-05-05.
func DateText(day int32) string {
	return fmt.Sprintf("%04d-%02d-%02d", day/10000, day/100%100, day%100)
}
