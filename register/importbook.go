package register

import (
	"context"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/notation"
	"fairhand/register/reading"
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
	FirstDay    calendar.Day    // register days of the book
	LastDay     calendar.Day    //
	Findings    []block.Finding // that stand, by entry number of the register, each with what follows from it (ByRoot)
	Answered    []block.Finding // found as it was written, and answered by a later entry of the book
}

// ErrOlder is returned by Import for a book that would stand after entries of
// the same day or of a later one.
var ErrOlder = errors.New("the book is not later than the register")

// Import takes a whole book in notation into the register, all of it or none.
// Times are kept as the book gives them; that of writing is the moment of the
// import. The writer of an entry is the person signed on in the book. A number
// in the book (correct 3, explain 3, answers 3) means its third entry and
// becomes that entry's number in the register.
//
// With an error nothing was written: notation.Errors for the faults of the book,
// ErrOlder, the store's, or that of the context.
func (b *Book) Import(ctx context.Context, src io.ReadSeeker, opt ImportOptions) (Imported, error) {
	book, err := reading.Survey(ctx, src, b.Location())
	if err != nil {
		return Imported{}, err
	}
	if book.Count() == 0 {
		return Imported{}, errors.New("the book has no entries")
	}
	if b.undescribed && !opt.DryRun {
		dry := opt
		dry.DryRun = true
		would, err := b.Import(ctx, src, dry)
		if err == nil {
			day := block.Time(would.FirstDay.Midnight(b.Location()).Unix())
			err = b.describe(&block.Event{At: day, Written: b.Now()}, b.now().Unix())
		}
		if err != nil {
			return Imported{}, err
		}
	}
	in := importing{book: b, opt: opt, run: reading.NewReplay(b.Box(), b.state), day: b.day, rec: b.now().Unix()}
	for _, o := range b.state.OnDuty {
		in.duty = append(in.duty, o.Name)
	}
	in.out.First = b.st.Tail().Seq + 1
	in.out.Last = in.out.First - 1
	if err := in.judge(ctx, book); err != nil {
		return Imported{}, err
	}
	if err := in.follows(); err != nil {
		return Imported{}, err
	}
	if opt.DryRun {
		return in.out, nil
	}
	b.proof.drop(1)
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
	run    *reading.Replay
	day    calendar.Day // register day of the entries before
	rec    int64        // when they are written
	drafts []store.Draft
	ends   dayEnds
	duty   onDuty
	out    Imported
}

// judge replays the book from where the register stands and makes what is to be
// written of each entry.
func (in *importing) judge(ctx context.Context, book *reading.Notation) error {
	for e, err := range in.run.Ordered(in.entries(ctx, book)) {
		if err != nil {
			return err
		}
		if e.Begins(in.day) && e.Seq > 1 {
			in.day = e.Day
			if in.run.Whole() {
				in.ends.add(dayEnd{seq: e.Seq - 1, state: in.run.State()})
			}
		}
		found := in.run.Take(e)
		in.out.Answered = append(append(in.out.Answered, in.run.Answered()...), answer(&in.out.Findings, in.run.Look())...)
		in.out.Findings = append(in.out.Findings, found...)
	}
	in.run.Finish() // for what the last entries answer; the register goes on
	in.out.Answered = append(in.out.Answered, in.run.Answered()...)
	in.out.Findings, in.out.Answered = ByRoot(in.out.Findings), ByRoot(in.out.Answered)
	return nil
}

// entries gives the entries of the book as they will be in the register, in the
// order of the book, and makes what is to be written of each.
func (in *importing) entries(ctx context.Context, book *reading.Notation) iter.Seq2[*reading.Entry, error] {
	return func(yield func(*reading.Entry, error) bool) {
		shift := in.out.Last
		for e, err := range book.Entries(ctx) {
			if err != nil {
				yield(nil, err)
				return
			}
			if in.opt.Transcription != "" && e.Seq == 1 {
				head := block.Event{Kind: block.Transcribed, At: e.Event.At, Text: in.opt.Transcription}
				if err := notation.Check(head); err != nil {
					yield(nil, fmt.Errorf("the source of the transcription: %w", err))
					return
				}
				first := &reading.Entry{Row: e.Row, Event: head, Written: head}
				if in.draft(first); !yield(first, nil) {
					return
				}
				shift++
			}
			e.Event = shifted(&e.Event, shift)
			e.Written = shifted(&e.Written, shift)
			if e.Event.Kind == block.Described { // of another register: its text is not in the book
				e.Event = block.Event{Kind: block.Note, At: e.Event.At, Written: e.Event.Written, Text: notation.Format(e.Written, in.book.Location())}
				e.Written = e.Event
			}
			if c := book.Correction(e.Seq); c != nil {
				e.Written.Text = in.instead(c, shift)
			}
			for i := range e.Before {
				e.Before[i].Until += shift
				e.Before[i].Event = shifted(&e.Before[i].Event, shift)
			}
			if in.draft(e); !yield(e, nil) {
				return
			}
		}
	}
}

// instead is the line that a correction puts instead of another.
func (in *importing) instead(c *reading.Correction, shift int64) string {
	if c.Event.Target == 0 {
		return c.Text
	}
	ev := shifted(&c.Event, shift)
	if c.Instead != nil {
		ev.Text = in.instead(c.Instead, shift)
	}
	return notation.Format(ev, in.book.Location())
}

// shifted is an event that speaks of an entry by its number in the register.
func shifted(ev *block.Event, shift int64) block.Event {
	out := *ev
	if out.Target != 0 {
		out.Target += shift
	}
	return out
}

// draft makes what is to be written of an entry, by the person on duty when it was.
func (in *importing) draft(e *reading.Entry) {
	in.out.Last++
	e.Seq, e.Event.Seq, e.Written.Seq = in.out.Last, in.out.Last, in.out.Last
	d := store.Draft{At: int64(e.Written.At), Recorded: in.rec, Day: e.Day, Writer: in.duty.writer(), Line: notation.Format(e.Written, in.book.Location())}
	in.duty.take(&e.Event)
	if in.opt.AsWritten {
		d.Recorded = int64(reading.WrittenAt(&e.Written))
	}
	in.drafts = append(in.drafts, d)
	in.out.LastDay = max(in.out.LastDay, e.Day)
	if in.out.FirstDay == 0 || e.Day < in.out.FirstDay {
		in.out.FirstDay = e.Day
	}
}

// onDuty are those signed on as a book is written, the last of whom writes.
type onDuty []string

func (d onDuty) writer() string {
	if len(d) == 0 {
		return ""
	}
	return d[len(d)-1]
}

func (d *onDuty) take(ev *block.Event) {
	i := slices.Index(*d, ev.Subject)
	switch {
	case ev.Kind == block.DutyOn && i < 0:
		*d = append(*d, ev.Subject)
	case ev.Kind == block.DutyOff && i >= 0:
		*d = slices.Delete(*d, i, i+1)
	}
}

// follows refuses a book that would stand behind later days.
func (in *importing) follows() error {
	last, err := in.book.st.LastDay()
	if err != nil || last == 0 || in.opt.Older || in.out.FirstDay > last {
		return err
	}
	return fmt.Errorf("%w: it begins on %s and the register has entries up to %s", ErrOlder, in.out.FirstDay, last)
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
		in.book.keepSnapshot(end)
	}
}

// writerOf is who writes when the book stands so: the person signed on last.
func writerOf(s *block.State) string {
	if n := len(s.OnDuty); n > 0 {
		return s.OnDuty[n-1].Name
	}
	return ""
}
