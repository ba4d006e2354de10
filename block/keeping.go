package block

import (
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// keeping checks how the register itself is kept: order of times, late writing,
// who is on duty, whether the box is open, the daily clock check.
func (st *step) keeping() {
	s, e := st.s, st.e
	if e.Kind == ClockSet && s.Begun {
		st.setClock()
	}
	if !s.Begun {
		s.Begun, s.First, s.LastAt, s.Now = true, e.At, e.At, e.At
	}
	switch late := e.Written - e.At; {
	case e.Kind == Correct || e.Kind == Transcribed || e.Kind == Transcript || e.Kind == Described || e.Kind == ClockSet || e.Redated:
	case e.Written != 0 && late >= st.b.Limit(rulebook.LateAfter):
		st.note(rulebook.EntryLate, "", "", "the entry written at once; written "+strconv.Itoa(int(late/Minute))+" minutes after the event")
	case e.Written != 0 && late > 0 && st.staffUnsealed():
		st.note(rulebook.EntryLate, "", "", "the emergency staff written down before its seal is broken")
	case e.OutOfOrder && e.Run < 0:
	case e.OutOfOrder || e.At < s.LastAt && e.Written == 0:
		st.disordered()
	}
	writer := e.Relief
	if n := len(s.OnDuty); n > 0 && e.At < s.OnDuty[n-1].At {
		writer = s.OnDuty[n-1].Name
	}
	follows := e.Relief == "" && e.Written == 0 && len(s.OnDuty) > 0 && s.LastAt < s.OnDuty[len(s.OnDuty)-1].At // as the entry above: said of that
	if writer != "" && !follows && e.Run >= 0 && e.Kind != DutyOff && e.Kind != Correct && e.Kind != Described && s.Source == "" {
		st.note(rulebook.EntryBeforeDuty, "", "", "entries of the time before "+writer+" signed on written by whoever was on duty then")
	}
	if e.At > s.LastAt || e.Written == 0 && e.Kind != Correct && !e.Redated {
		s.LastAt = e.At
	}
	st.clockDue(e.At)
	s.Now = max(s.Now, e.At)
}

// disordered raises an entry that is timed before the one above it, or after the one below,
// once with those that go on from its time.
func (st *step) disordered() {
	f := st.note(rulebook.EntryOutOfOrder, "", "", "times in order, or a late entry with the time it was written")
	n, others := st.e.Run, "the "+strconv.Itoa(st.e.Run)+" entries"
	if n == 1 {
		others = "the entry"
	}
	if st.e.Ahead {
		if f.Text = "An entry is timed after the one below it"; n > 0 {
			f.Text += "; " + others + " above it led up to its time"
		}
	} else if n > 0 {
		f.Text += "; " + others + " below it went on from its time"
	}
}

// clockDue notes, when the check time of a day passes while the book is in use,
// that the clock check is due.
func (st *step) clockDue(now Time) {
	if st.b.ClockCheck < 0 || st.s.Source != "" && st.b.ClockCheck == 0 {
		return
	}
	off := st.b.offset(now)
	day := dayNumber(now + off)
	check := day*24*60*Minute + st.b.ClockCheck - off
	if st.s.ClockAt != 0 && st.s.ClockDay >= int32(day) || now < check || st.s.Now >= check || st.s.Now < check-24*60*Minute {
		return
	}
	checks := st.e.Kind == ClockRight || st.e.Kind == ClockSlow || st.e.Kind == ClockFast
	if st.s.First >= check || st.s.Status == StatusClosed || st.s.Status == StatusSwitchedOut || checks {
		return
	}
	st.owe(rulebook.ClockUnchecked, Pending{Due: check, Section: -1})
}

// dayNumber counts civil days from 1970-01-01, before it downwards.
func dayNumber(local Time) Time {
	const day = 24 * 60 * Minute
	if local < 0 {
		return -((-local + day - 1) / day)
	}
	return local / day
}

// slowToSet is how long after the entry above it a clock found wrong is set, at the
// most: ours, and only what is irregular rests on it.
const slowToSet = 5 * Minute

// setClock goes on from another time than the book has come to: what is awaited is
// awaited for as long as before, and who has signed on was on duty before it.
func (st *step) setClock() {
	s, at := st.s, st.e.At
	copyOnce(s, &s.pending, &s.Pending, 1)
	for i := range s.Pending {
		s.Pending[i].Due += at - s.Now
	}
	s.OnDuty = slices.Clone(s.OnDuty)
	for i := range s.OnDuty {
		s.OnDuty[i].At = min(s.OnDuty[i].At, at)
	}
	if day := int32(dayNumber(at + st.b.offset(at))); s.ClockDay > day {
		s.ClockDay = day - 1 // whatever was checked by the wrong clock
	}
	// A set that mends the error of the last check, to the few minutes that pass with
	// no entry, leaves nothing unexplained.
	if off := at - s.Now + Time(s.ClockError)*Minute; s.ClockError == 0 || off < -Minute || off > slowToSet {
		st.note(rulebook.ClockJumped, "", "", "a clock that goes evenly; what was written before by this one stands under the time that it read")
	}
	s.ClockError, s.ClockBack = 0, 0
	if at < s.Now {
		s.ClockBack = s.Now
	}
	s.Now, s.LastAt = at, at
}

func (st *step) clock() {
	s := st.s
	s.ClockAt = st.e.At
	s.ClockDay = int32(dayNumber(st.e.At + st.b.offset(st.e.At)))
	s.ClockError = map[Kind]int{ClockSlow: -st.e.Number, ClockFast: st.e.Number}[st.e.Kind]
}

// attended checks, for whatever works the block, that the box is open and
// somebody is on duty, each of which is found once. A book that never says either is
// not held to it.
func (st *step) attended() {
	was := st.s.Unattended
	st.s.Unattended = st.s.DutyKnown && !slices.ContainsFunc(st.s.OnDuty, func(o OnDuty) bool { return o.Under == "" })
	if st.s.Unattended && !was {
		st.note(rulebook.NobodyOnDuty, st.e.Section, st.e.Train, "a signaller signed on before the bells are worked")
	}
	out := st.s.Status == StatusSwitchedOut
	if !out && st.s.Status != StatusClosed {
		return
	}
	for _, b := range st.e.Bells {
		if row := st.b.lookup(max(st.b.SectionIndex(st.e.Section), 0), b.Code, rulebook.MeansNothing); row != nil {
			switch row.Means {
			case rulebook.Opening, rulebook.Closing, rulebook.Testing, rulebook.CallAttention:
				continue
			}
		}
		f := st.note(rulebook.BoxClosed, st.e.Section, st.e.Train, "the box opened first")
		if st.s.Status = StatusOpen; out && st.saidHello() { // worked, so it is open: said once
			f.Text, f.Expected = "The box is worked, and switching in is not booked after the opening signals", "box switched in booked late, at the time it was done"
		}
		return
	}
}

func (st *step) status() {
	closes := st.e.Kind == BoxClosed || st.e.Kind == BoxSwitchedOut
	signalled := false
	for i := range st.b.Sections {
		if !st.signalled(i) {
			continue
		}
		box := st.b.Sections[i].Neighbour
		found := func(f *Finding) bool { // at the closing signal, already
			return f.Rule == rulebook.ClosedWhileSignalled && f.Section == box && st.e.At-f.At < presumedFor
		}
		if signalled = true; closes && !(st.s.Circuits[i].Bye && st.s.open(found) != nil) {
			st.onlyOutDue(i, "The box was closed or switched out", st.note(rulebook.ClosedWhileSignalled, box, "", "no train signalled on any line before the box is closed or switched out"))
		}
	}
	switch st.e.Kind {
	case BoxOpen, BoxSwitchedIn:
		if st.s.Status == StatusUnknown && signalled {
			st.note(rulebook.BoxClosed, "", "", "the box booked open first").Text = "A train was signalled before the box was booked open"
		}
		st.s.Status = StatusOpen
	case BoxClosed:
		st.s.Status = StatusClosed
	case BoxSwitchedOut:
		st.saidBye()
		st.s.Status = StatusSwitchedOut
	}
}

func (st *step) message() {
	s := st.s
	st.toldIn()
	st.told()
	st.protested()
	st.heldTold()
	st.partySays()
	st.talked()
	st.heard()
	if i := st.b.SectionIndex(st.e.Subject); st.e.Kind == MessageTo && i < 0 {
		st.bring(rulebook.ReleaseNotTold, func(*Pending) bool { return true })
	} else if _, ok := s.AlarmByWord(st.b, i); ok && st.e.Kind == MessageTo {
		st.bring(rulebook.ObstructionDangerNotSent, func(p *Pending) bool { return p.Section == i })
	}
	if st.e.Target != 0 {
		s.Messages = slices.DeleteFunc(slices.Clone(s.Messages), func(m Message) bool { return m.Seq == st.e.Target })
		return
	}
	m := Message{st.e.Kind == MessageTo, st.e.Subject, st.e.Text, st.e.At, st.e.Seq}
	if !m.Asks() && (m.To || m.Text == "") {
		return
	}
	// What was received binds until a message answers it, but no list grows for ever.
	kept := append(slices.Clip(left(s.Messages, func(o *Message) bool { return !o.Asks() && m.At-o.At > bindsLongest })), m)
	s.Messages = kept[max(0, len(kept)-maxMessages):]
}

// How long a message received is told to the relief unless it is answered, and how
// many are kept. Common practice: what holds for more than a week is a notice.
const (
	bindsLongest = 7 * 24 * 60 * Minute
	maxMessages  = 50
)

// Asks says whether a message awaits a reply: it ends with a question mark. One
// received that does not binds the box until a message answers it.
func (m *Message) Asks() bool { return strings.HasSuffix(m.Text, "?") }

// saidHello says whether every neighbour that has bells has exchanged the opening
// signal since the closing one.
func (st *step) saidHello() bool {
	for i := range st.b.Sections {
		if c := &st.s.Circuits[i]; st.b.Sections[i].Method.Is().ByBell && (c.Bye || c.Closed) {
			return false
		}
	}
	return true
}

// saidBye raises a box switched out without the closing signal exchanged with
// every neighbour that has bells. Source: signalbox.org, Block system ch. 10.
func (st *step) saidBye() {
	for i := range st.b.Sections {
		if c := &st.s.Circuits[i]; st.b.Sections[i].Method.Is().ByBell && !c.Bye && !c.Closed {
			st.note(rulebook.ClosedWithoutSignal, st.b.Sections[i].Neighbour, "", "the closing signal sent and acknowledged on both sides before switching out")
		}
	}
}

// leftOpenMost is how many trains may be on hand before rows left open too long
// are closed: their last entry was never written, and a book full of such rows is
// no longer read.
const leftOpenMost = 40

// leftOpen closes the oldest row when too many are open. A train in a siding may
// stand for days and is left alone; the only one in a section holds it, however long.
func (st *step) leftOpen() {
	for _, t := range st.s.Trains {
		if p := st.b.PlaceNamed(t.Place); st.s.Now-t.OpenedAt < st.b.Limit(rulebook.LeftOpen) || t.Where == Here && p != nil && p.Siding ||
			st.s.alone(t, t.In.Line) || st.s.alone(t, t.Out.Line) {
			continue
		}
		st.note(rulebook.RowLeftOpen, "", t.Label(st.b), "what became of it booked: out of section, put away, or will not run")
		st.close(t)
		return
	}
}

// Status says whether the box is worked.
type Status uint8

// The statuses of a box. A book that never says is taken as open.
const (
	StatusUnknown Status = iota
	StatusOpen
	StatusClosed
	StatusSwitchedOut
)

var statusWords = [...]string{"not recorded", "open", "closed", "switched out"}

func (s Status) String() string { return statusWords[s] }
