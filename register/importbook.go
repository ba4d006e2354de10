package register

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"iter"
	"maps"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/notation"
	"fairhand/register/reading"
	"fairhand/register/store"
)

// ImportOptions say how a book in notation is taken into the register.
type ImportOptions struct {
	Transcription string // what it was copied from: written first, as a transcribed entry; "" writes none
	Older         bool   // take a book that is not later than the register's last day
	DryRun        bool   // judge it and write nothing
	Again         bool   // take a book most of whose entries are there already

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
// ErrOlder, ErrTwice, ErrRepeated, ErrForeign, the store's, or that of the context.
func (b *Book) Import(ctx context.Context, src io.ReadSeeker, opt ImportOptions) (Imported, error) {
	book, err := reading.Survey(ctx, src, b.Location())
	if err != nil {
		return Imported{}, err
	}
	if book.Count() == 0 {
		return Imported{}, errors.New("the book has no entries")
	}
	if len(book.Repeated) > 0 && !opt.Again {
		return Imported{}, fmt.Errorf("%w: %s", ErrRepeated, book.Repeated[0].Again())
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
	in := importing{book: b, opt: opt, run: reading.NewReplay(b.Box(), b.state), day: b.day, rec: b.now().Unix(), strangers: map[string]bool{}}
	if err := in.begin(book); err != nil {
		return Imported{}, err
	}
	if opt.DryRun || in.older && !opt.Older {
		return in.out, in.judge(ctx, book)
	}
	b.proof.drop(1)
	if err := in.write(ctx, book); err != nil {
		return Imported{}, b.conflicted(err)
	}
	if err := b.restored(); err != nil {
		return in.out, fmt.Errorf("entries %d to %d are written; the book could not be read again with them: %w", in.out.First, in.out.Last, err)
	}
	return in.out, nil
}

// importing is one import under way.
type importing struct {
	book *Book
	opt  ImportOptions
	run  *reading.Replay
	day  calendar.Day // register day of the entries before
	rec  int64        // when they are written
	put  func(*store.Draft) bool
	ends dayEnds
	duty onDuty
	out  Imported

	named, strange int             // entries that name a section, and one that the box does not have
	strangers      map[string]bool // those

	older        bool             // the register has entries of these days or later ones
	upTo         calendar.Day     // of its last
	have         map[moment]int64 // of the days of the book
	there, first int64            // entries of the book that the register has, and its number of the first
	marks        int64            // entries of the import itself
}

// moment is when something was written down as it is in the line.
type moment struct {
	at   int64
	line string
}

// begin looks at what the register has before the book.
func (in *importing) begin(book *reading.Notation) error {
	in.duty = each.Of(in.book.state.OnDuty, func(o block.OnDuty) string { return o.Name })
	in.out.Last = in.book.st.Tail().Seq
	in.out.First = in.out.Last + 1
	in.out.FirstDay, in.out.LastDay = calendar.Of(book.From, in.book.Location()), calendar.Of(book.To, in.book.Location())
	last, err := in.book.st.LastDay()
	if err != nil || last == 0 || in.out.FirstDay > last {
		return err
	}
	in.older, in.upTo, in.have = true, last, map[moment]int64{}
	days, err := in.book.st.Days(in.out.FirstDay, in.out.LastDay)
	for _, day := range days {
		rows, err := in.book.st.Day(day)
		if err != nil {
			return err
		}
		for i := range rows {
			in.have[moment{rows[i].At, rows[i].Line}] = rows[i].Seq
		}
	}
	return err
}

// write judges the book while it is written, in one transaction that ends with the
// judgement, and keeps the states at the ends of its days.
func (in *importing) write(ctx context.Context, book *reading.Notation) error {
	st := in.book.st
	drafts := func(yield func(*store.Draft, error) bool) {
		enough := false
		in.put = func(d *store.Draft) bool {
			enough = enough || !yield(d, nil)
			return !enough
		}
		if err := in.judge(ctx, book); err != nil && !enough {
			yield(nil, err)
		}
	}
	if err := st.AppendEach(reading.Ahead(drafts, 1000)); err != nil {
		return err
	}
	for i := range in.ends {
		rows, err := st.Range(in.ends[i].seq, in.ends[i].seq)
		if err != nil || len(rows) == 0 {
			return err
		}
		in.ends[i].hash = rows[0].Hash
	}
	in.book.keepSnapshots(in.ends...) // so that the book need not be replayed from its beginning
	return nil
}

// judge replays the book from where the register stands, and says why it is not taken.
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
		if e.Event.Section != "" {
			in.named++
			if in.run.Box().SectionIndex(e.Event.Section) < 0 {
				in.strange++
				in.strangers[e.Event.Section] = true
			}
		}
		found := in.run.Take(e)
		in.out.Answered = append(append(in.out.Answered, in.run.Answered()...), answer(&in.out.Findings, in.run.Look())...)
		for i := range found {
			in.out.Answered = without(in.out.Answered, &found[i])
		}
		in.out.Findings = append(in.out.Findings, found...)
	}
	if err := in.foreign(); err != nil {
		return err
	}
	in.run.Finish() // for what the last entries answer; the register goes on
	in.out.Answered = append(in.out.Answered, in.run.Answered()...)
	in.out.Findings, in.out.Answered = ByRoot(in.out.Findings), ByRoot(in.out.Answered)
	return in.follows()
}

// entries gives the entries of the book as they will be in the register, in the
// order of the book, and makes what is to be written of each.
func (in *importing) entries(ctx context.Context, book *reading.Notation) iter.Seq2[*reading.Entry, error] {
	return func(yield func(*reading.Entry, error) bool) {
		shift := in.out.Last
		var last *reading.Entry
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
				if own := in.beside(e, head); own == nil || !yield(own, nil) {
					return
				}
				shift++
			}
			last = e
			written := shifted(e.Written(), shift)
			e.Event = shifted(&e.Event, shift)
			in.unproved(&e.Event)
			in.unproved(&written)
			if c := book.Correction(e.Seq); c != nil {
				written.Text = in.instead(c, shift)
			}
			for i := range e.Before {
				e.Before[i].Until += shift
				e.Before[i].Event = shifted(&e.Before[i].Event, shift)
				in.unproved(&e.Before[i].Event)
			}
			if !in.drafted(e, written) || !yield(e, nil) {
				return
			}
		}
		if in.opt.Transcription != "" {
			if own := in.beside(last, block.Event{Kind: block.Transcript, At: last.Event.At}); own != nil {
				yield(own, nil)
			}
		}
	}
}

// beside is an entry of the import itself, of the time of one of the book; nil when no
// more is wanted.
func (in *importing) beside(e *reading.Entry, ev block.Event) *reading.Entry {
	there, first := in.there, in.first
	own := &reading.Entry{Row: e.Row, Event: ev}
	more := in.drafted(own, ev)
	if in.marks, in.there, in.first = in.marks+1, there, first; more {
		return own
	}
	return nil
}

// unproved takes from an event what only the program may say of a register, and says
// whether there was any: anybody can write it into a book that is to be imported. A
// description's text is not in the book, nor the record by which a PIN is known, and that
// a PIN was given was not checked here. The words stay.
func (in *importing) unproved(ev *block.Event) bool {
	switch {
	case ev.Kind == block.Described || ev.Kind == block.PINSet || ev.Kind == block.PINReset:
		*ev = block.Event{Seq: ev.Seq, Kind: block.Note, At: ev.At, Written: ev.Written, Text: notation.Format(*ev, in.book.Location())}
	case ev.Kind.Signs() && ev.Which == block.ByPIN:
		ev.Which, ev.Text = "", strings.TrimPrefix(ev.Text+"; "+block.ByPIN+" in the book imported", "; ")
	default:
		return false
	}
	return true
}

// instead is the line that a correction puts instead of another.
func (in *importing) instead(c *reading.Correction, shift int64) string {
	ev := shifted(&c.Event, shift)
	if !in.unproved(&ev) && c.Event.Target == 0 {
		return c.Text
	}
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

// drafted hands over what is to be written of an entry, as it was first written and by
// the person on duty when it was, and says whether more is wanted.
func (in *importing) drafted(e *reading.Entry, written block.Event) (more bool) {
	in.out.Last++
	e.Seq, e.Event.Seq = in.out.Last, in.out.Last
	d := store.Draft{At: int64(written.At), Recorded: in.rec, Day: e.Day, Writer: in.duty.writer(), Line: notation.Format(written, in.book.Location())}
	in.duty.take(&e.Event)
	if in.opt.AsWritten {
		d.Recorded = int64(reading.WrittenAt(&written))
	}
	if seq := in.have[moment{d.At, d.Line}]; seq != 0 {
		in.there++
		in.first = cmp.Or(in.first, seq)
	}
	return in.put == nil || in.put(&d)
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

// ErrForeign is returned by Import for a book most of whose sections the box does not have.
var ErrForeign = errors.New("the book is of another box")

// foreign refuses the book of another box: what is once in a register stays there. A few
// wrong names are findings.
func (in *importing) foreign() error {
	if in.strange < 3 || 2*in.strange <= in.named {
		return nil
	}
	names := slices.Sorted(maps.Keys(in.strangers))
	return fmt.Errorf("%w: %d of its %d entries with a section name one that %s does not have: %s", ErrForeign, in.strange, in.named, in.run.Box().Name, strings.Join(names[:min(3, len(names))], ", "))
}

// ErrTwice is returned by Import for a book whose entries are in the register already.
var ErrTwice = errors.New("the book is in the register already")

// ErrRepeated is returned by Import for a book a part of which stands twice in it.
var ErrRepeated = errors.New("a part of the book stands twice in it")

// follows refuses a book that would stand behind later days, and with Older one of which
// most entries are in the register already, of the same moment in the same words.
func (in *importing) follows() error {
	all := in.out.Last - in.out.First + 1 - in.marks
	switch {
	case 2*in.there > all && !in.opt.Again:
		return fmt.Errorf("%w: %d of its %d entries are there line for line, the first as entry %d", ErrTwice, in.there, all, in.first)
	case in.older && !in.opt.Older:
		return fmt.Errorf("%w: it begins on %s and the register has entries up to %s", ErrOlder, in.out.FirstDay, in.upTo)
	}
	return nil
}
