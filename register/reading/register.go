package reading

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"iter"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/register/calendar"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// Register is a register on disk, for reading. Any number of goroutines may read
// it, while another writes.
type Register struct {
	st    *store.Store
	loc   *time.Location
	boxes *descriptions
}

// Of reads the register st of a box whose clock is that of loc.
func Of(st *store.Store, loc *time.Location) Register { return Register{st, loc, new(descriptions)} }

// Span is which entries of a register are read, and how.
type Span struct {
	After   int64        // those numbered after this
	To      int64        // up to this one; 0 to the end
	Proved  bool         // each entry's hash is compared with its fields first; needs To
	Damaged bool         // whatever can be read, unproved and with gaps: to be shown under an alarm alone
	With    *block.Event // an entry that is not written yet and stands last; nil for none
}

// Entries gives the entries of a span in the order of writing, with what later
// entries say of them. An error ends them: one that names the entry that cannot
// be read, a *store.DamagedError, or that of the context.
func (r Register) Entries(ctx context.Context, s Span) iter.Seq2[*Entry, error] {
	return func(yield func(*Entry, error) bool) {
		rd, err := r.reader(s.After, s.Damaged)
		if err == nil && s.With != nil && s.With.Kind == block.Correct {
			err = r.Correctable(s.With)
			rd.links.correct(s.With)
		}
		if err != nil {
			yield(nil, err)
			return
		}
		for batch, err := range rd.batches(ctx, s) {
			if err != nil {
				yield(nil, err)
				return
			}
			for i := range batch {
				if !yield(&batch[i], nil) {
					return
				}
			}
			rd.release(batch)
		}
		if ev := s.With; ev != nil {
			e := Entry{Row: store.Row{Seq: ev.Seq, At: int64(ev.At), Recorded: int64(WrittenAt(ev)), Day: calendar.Of(ev.At, r.loc)}, Event: *ev}
			if err := rd.links.apply(&e); err != nil {
				yield(nil, err)
				return
			}
			yield(&e, nil)
		}
	}
}

// Correctable says what is wrong with a correction that is not written yet; nil
// for nothing.
func (r Register) Correctable(ev *block.Event) error {
	rows, err := r.st.Range(ev.Target, ev.Target)
	if err != nil {
		return err
	}
	if len(rows) == 0 || ev.Target >= ev.Seq {
		return fmt.Errorf("there is no entry %d to correct; the last is %d", ev.Target, ev.Seq-1)
	}
	c := Correction{Target: ev.Target, Text: ev.Text}
	if err := c.stand(r.loc, block.Time(rows[0].At)); err != nil {
		return fmt.Errorf("the line that is to stand instead of entry %d: %w", ev.Target, err)
	}
	was, err := notation.NewStored(r.loc).Event(block.Time(rows[0].At), rows[0].Line)
	if err == nil && (was.Kind == block.Described || c.Event.Kind == block.Described) {
		err = fmt.Errorf("entry %d: which description of the box was in force is not corrected; change box.yaml, and the next entry is under it", ev.Target)
	}
	if err == nil {
		err = pinKept(&was, &c.Event)
	}
	if err == nil && c.Event.Kind == block.Correct { // what it puts instead is a correction again
		err = r.Correctable(&c.Event)
	}
	return err
}

// pinKept refuses a correction that brings a PIN into the book or takes one out of it.
func pinKept(was, now *block.Event) error {
	pin := func(e *block.Event) bool { return e.Kind == block.PINSet || e.Kind == block.PINReset }
	switch {
	case pin(was) || pin(now):
		return errors.New("which PIN is known by what is not corrected; fairhand pin NAME sets another")
	case now.Kind.Signs() && now.Which == block.ByPIN && (was.Kind != now.Kind || was.Which != now.Which || was.Subject != now.Subject || was.Target != now.Target):
		return errors.New("by-pin stands only where the PIN was checked for what is signed; correct it without")
	}
	return nil
}

// Reader makes entries of the rows of a register, for those who choose the rows
// themselves. It is for one goroutine.
type Reader struct {
	reg   Register
	after int64
	lines *notation.Stored
	day   days
	links *links
	free  chan []Entry

	upTo  int64          // the last entry there was when the Reader was made
	known map[int64]bool // those up to there that were found to speak of others
}

// Reader reads rows numbered after a number: first those that speak of others.
func (r Register) Reader(after int64) (*Reader, error) { return r.reader(after, false) }

func (r Register) reader(after int64, damaged bool) (*Reader, error) {
	rd := &Reader{reg: r, after: after, lines: notation.NewStored(r.loc), day: days{loc: r.loc}, links: newLinks(r.loc), free: make(chan []Entry, 8),
		upTo: r.st.Tail().Seq, known: map[int64]bool{}}
	rows, err := r.referring(after, damaged)
	if err != nil {
		return rd, err
	}
	var explains []store.Row
	for i := range rows {
		rd.known[rows[i].Seq] = true
		var ev block.Event
		err := rd.event(&rows[i], &ev)
		if err != nil && damaged {
			continue
		}
		if err != nil {
			return rd, err
		}
		switch ev.Kind { // of any other kind it is a remark that reads like one
		case block.Correct:
			rd.links.correct(&ev)
		case block.Explain:
			explains = append(explains, rows[i])
		}
	}
	return rd, rd.explain(explains)
}

// referring gives the rows that may speak of others: of a damaged register without
// the help of their list.
func (r Register) referring(after int64, damaged bool) ([]store.Row, error) {
	if !damaged {
		return r.st.Corrections(after)
	}
	var out []store.Row
	for rows := range r.st.EachReadable(after + 1) {
		out = append(out, slices.DeleteFunc(rows, func(r store.Row) bool { return !store.Refers(r.Line) })...)
	}
	return out, nil
}

// explain takes the entries that explain another, those among them that do so
// only since they were corrected.
func (rd *Reader) explain(rows []store.Row) error {
	asFirst := map[int64]bool{}
	for i := range rows {
		asFirst[rows[i].Seq] = true
	}
	for target := range rd.links.of {
		c := rd.links.last(target)
		if c == nil || asFirst[target] {
			continue
		}
		if ev, err := notation.ParseCorrection(rd.reg.loc, 0, c.Text); err != nil || ev.Kind != block.Explain {
			continue
		}
		more, err := rd.reg.st.Range(target, target)
		if err != nil {
			return err
		}
		rows = append(rows, more...)
	}
	for i := range rows {
		var e Entry
		if err := rd.Entry(&rows[i], &e); err != nil {
			return err
		}
		rd.links.explain(&e.Event)
	}
	return nil
}

func (rd *Reader) event(row *store.Row, ev *block.Event) error {
	if err := rd.lines.Read(ev, block.Time(row.At), row.Line); err != nil {
		return unreadable(row, err)
	}
	ev.Seq = row.Seq
	return nil
}

// Entry makes an entry of a row.
func (rd *Reader) Entry(row *store.Row, e *Entry) error {
	e.Row, e.Place = *row, 0
	if err := rd.event(row, &e.Event); err != nil {
		return err
	}
	if err := rd.links.apply(e); err != nil {
		return unreadable(row, err)
	}
	if e.Event.Kind == block.Described {
		if err := rd.reg.bringsIn(&e.Event); err != nil {
			return err
		}
	}
	if c := e.Corrects; c != nil && c.Was == "" { // its target is not among what is read
		rows, err := rd.reg.st.Range(c.Target, c.Target)
		if err != nil {
			return err
		}
		for i := range rows {
			c.Was = rows[i].Line
		}
	}
	return nil
}

func unreadable(row *store.Row, err error) error {
	return fmt.Errorf("entry %d of the register cannot be read by this version (%q): %w; run fairhand verify", row.Seq, row.Line, err)
}

// longReading is the number of entries from which it pays to read, to decode and
// to replay at once on three goroutines.
const longReading = 5000

// batches decodes the rows of a span some at a time.
func (rd *Reader) batches(ctx context.Context, s Span) iter.Seq2[[]Entry, error] {
	to := cmp.Or(s.To, rd.reg.st.Tail().Seq)
	rows := rd.reg.st.Each(s.After + 1)
	if s.Proved {
		rows = rd.reg.st.EachProved(s.After+1, to)
	}
	if s.Damaged {
		rows = func(yield func([]store.Row, error) bool) {
			rd.reg.st.EachReadable(s.After + 1)(func(list []store.Row) bool { return yield(list, nil) })
		}
	}
	long := to-s.After > longReading
	if long {
		rows = Ahead(rows, 8)
	}
	decoded := func(yield func([]Entry, error) bool) {
		for rows, err := range rows {
			var batch []Entry
			if err == nil {
				err = ctx.Err()
			}
			if err == nil {
				batch, err = rd.decode(rows, s)
			}
			if err != nil {
				yield(nil, err)
				return
			}
			if len(batch) > 0 && !yield(batch, nil) || s.To > 0 && rows[len(rows)-1].Seq > s.To {
				return
			}
		}
	}
	if long {
		return Ahead(decoded, 4)
	}
	return decoded
}

// decode makes entries of rows as far as the span goes.
func (rd *Reader) decode(rows []store.Row, s Span) ([]Entry, error) {
	for i := range rows { // the list of them is an index that may be damaged
		if r := &rows[i]; !s.Damaged && store.Refers(r.Line) && r.Seq > rd.after && r.Seq <= rd.upTo && !rd.known[r.Seq] {
			return nil, &store.DamagedError{Path: rd.reg.st.Path(), Kind: store.Index,
				Detail: fmt.Sprintf("entry %d corrects or explains another and is not found by its list", r.Seq)}
		}
	}
	var batch []Entry
	select {
	case batch = <-rd.free:
	default:
	}
	if cap(batch) < len(rows) {
		batch = make([]Entry, len(rows))
	}
	batch = batch[:len(rows)]
	n := 0
	for i := range rows {
		if s.To > 0 && rows[i].Seq > s.To {
			break
		}
		err := rd.Entry(&rows[i], &batch[n])
		if e := &batch[n]; err == nil && !s.Damaged && rd.day.of(e.Written().At) != e.Day {
			err = fmt.Errorf("entry %d is kept under %s and its line is of %s", e.Seq, e.Day, rd.day.of(e.Written().At))
		}
		if err != nil && !s.Damaged {
			return nil, err
		}
		if err == nil {
			n++
		}
	}
	return batch[:n], nil
}

// release gives a batch back to be filled again.
func (rd *Reader) release(batch []Entry) {
	select {
	case rd.free <- batch:
	default:
	}
}
