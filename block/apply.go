package block

import (
	"slices"
	"sync"
)

// Apply is the one door to the regulations: the state after an event, and what
// is found against the rules. It is total and pure: every event is accepted,
// the same box, state and event give the same answer, and the state given in is
// not changed. Times and names come from the event alone.
func Apply(b *Box, s State, e *Event) (next State, found []Finding) {
	st := scratch.Get().(*step)
	st.kept = s
	st.kept.gen++
	st.base, st.s, st.e = b, &st.kept, e
	st.run()
	next, found = st.kept, st.found
	st.e, st.found = nil, nil
	scratch.Put(st)
	return next, found
}

// scratch lends Apply its working memory, which begins each call with the state it is
// given. What one leaves in it is never read by another.
var scratch = sync.Pool{New: func() any { return &step{ringing: []BellState{}} }}

// Runner applies events one after another to a state it owns, without copying
// it each time: the quick way to replay a book.
type Runner struct {
	st step
}

// NewRunner starts a replay from a state, which it will not change.
func NewRunner(b *Box, s State) *Runner {
	r := &Runner{}
	r.st.kept = s
	r.st.kept.gen++
	r.st.base, r.st.b, r.st.s = b, b, &r.st.kept
	return r
}

// Step applies one event and returns what is found.
func (r *Runner) Step(e *Event) []Finding {
	r.st.e, r.st.found = e, nil
	r.st.run()
	return r.st.found
}

// Box is the description in force: the one the replay began with, or the last that
// an event brought in.
func (r *Runner) Box() *Box { return r.st.base }

// Look gives the present state for reading until the next Step.
func (r *Runner) Look() *State { return &r.st.kept }

// Fork gives a runner that goes on from the present state, and leaves this one as it is.
func (r *Runner) Fork() *Runner { return NewRunner(r.Box(), r.State()) }

// State gives the present state to keep.
func (r *Runner) State() State {
	out := r.st.kept
	r.st.kept.gen++
	return out
}

// gens notes in which generation each part of a state was last copied. A part
// of the present generation belongs to this state alone and may be changed;
// any other may be shared with an older state and is copied first.
type gens struct {
	gen, lines, bells, circuits, tokens, staffs, trains, pending, touched, crossings uint64
}

// step is one event being applied.
type step struct {
	base    *Box // as described
	b       *Box // as worked now
	s       *State
	e       *Event
	found   []Finding
	again   []Finding // of earlier entries, which stand again
	taken   []Finding // of this entry, taken back for a step that is now presumed
	kept    State     // what s points to
	act     action    // the act being done: one at a time
	against []foundOver

	ringing, bellsWere []BellState // being worked on, and as they were before: see editBell; nil in a Runner

	presuming  bool // line clear is being given by presumption, for an offer booked alone
	unanswered bool // a signal of this entry awaits its answer, unless the entry goes on with it
	uncalled   bool // the signal of this entry came without call attention
	unrepeated bool // line clear that was given here under restriction was not repeated before this entry
}

// begin makes ready for an act on a line. It takes the place of the one before.
func (st *step) begin(line int, dir Dir, mine bool) *action {
	st.act = action{step: st, line: line, dir: dir, mine: mine}
	return &st.act
}

func (st *step) run() {
	s := st.s
	var other *Runner
	var of Answer
	if len(s.Misplaced) > 0 {
		other, of = st.otherwise()
	}
	st.act, st.against, st.unanswered, st.uncalled, st.unrepeated = action{}, st.against[:0], false, false, false // what was before is no business of this event
	st.b = st.base.Worked(s)
	s.Closed, s.Answers = nil, nil
	if s.touched == s.gen {
		s.Touched = s.Touched[:0]
	} else {
		s.Touched = nil
	}
	if len(s.Presumed) > 0 {
		st.endPresumptions(func(p *Presumption) bool { return st.e.At-p.At > presumedFor })
	}
	st.keeping()
	if len(s.Trains) > leftOpenMost {
		st.leftOpen()
	}
	st.namesKnown()
	s.Named = s.Named || st.e.Train != ""
	if atBox[st.e.Kind] {
		st.seenHere()
	}
	if is := &beginnings[st.e.Kind]; is.stands != nil {
		st.begun(is)
	}
	st.workingShown()
	if h := handlers[st.e.Kind]; h != nil {
		h(st)
	}
	if len(st.b.Crossings) > 0 {
		st.crossingEntry()
	}
	if len(st.s.ToHear) > 0 {
		st.unheard()
	}
	if len(st.s.Misplaced) > 0 {
		st.shown()
	}
	st.oweStanding()
	st.broughtByEntry()
	st.expire()
	st.settleDoubts()
	if other != nil {
		st.alsoThere(other, of)
	}
	if len(st.found)+len(st.again) > 0 {
		st.found, st.again = append(st.found, st.again...), nil
		st.remember()
	}
	st.keepBells()
	s.LastSeq = st.e.Seq
}

// handlers is what each kind of event does; a kind without one is only written down.
var handlers = [kindCount]func(*step){
	Bells:          (*step).bells,
	TokenOut:       (*step).tokenOut,
	TokenIn:        (*step).tokenIn,
	TokenToTrain:   (*step).tokenToTrain,
	TokenFromTrain: (*step).tokenFromTrain,
	TokenMovedHere: (*step).tokenMoved, TokenMovedAway: (*step).tokenMoved, TokenTaken: (*step).tokenMoved,
	TokenLost: (*step).tokenMoved, TokenFound: (*step).tokenMoved, TokenDamaged: (*step).tokenMoved,
	TokenCount:    (*step).tokenCounted,
	TrainArrived:  (*step).trainArrived,
	TrainPassed:   (*step).trainPassed,
	TrainDeparted: (*step).trainDeparted,
	TrainMoved:    (*step).trainMoved,
	TrainDivided:  (*step).trainDivided,
	TrainEntire:   (*step).trainEntire,
	TrainPutAway:  (*step).trainGone, TrainOff: (*step).trainGone,
	TrainRenamed:  (*step).trainRenamed,
	TrainWarned:   (*step).trainWarned,
	ReminderOn:    (*step).reminderOn,
	ReminderOff:   (*step).reminderOff,
	Obstruct:      (*step).obstruct,
	ObstructClear: (*step).obstructClear,
	MessageTo:     (*step).message, MessageFrom: (*step).message,
	Failure: (*step).gear, Restored: (*step).gear, Disconnected: (*step).gear,
	Reconnected: (*step).gear, Clamped: (*step).gear, Unclamped: (*step).gear,
	Released:    (*step).released,
	CounterRead: (*step).counterRead,
	Blockage:    (*step).blockage,
	BlockageUp:  (*step).blockageUp,
	PartyOn:     (*step).partyOn,
	PartyClear:  (*step).partyClear,
	KeyOut:      (*step).key, KeyIn: (*step).key,
	Posted:    (*step).posted,
	Withdrawn: (*step).withdrawn,
	FogOn:     (*step).fog, FogOff: (*step).fog,
	WorkingMessage: ofSection((*step).working), WorkingPilot: ofSection((*step).working), WorkingNormal: ofSection((*step).working),
	ProvedClear: (*step).provedClear,
	DutyOn:      (*step).dutyOn,
	DutyOff:     (*step).dutyOff,
	ClockRight:  (*step).clock, ClockSlow: (*step).clock, ClockFast: (*step).clock,
	BoxOpen: (*step).status, BoxClosed: (*step).status, BoxSwitchedIn: (*step).status,
	BoxSwitchedOut: (*step).status,
	Visit:          (*step).heard,
	Countersign:    (*step).countersign,
	Sign:           (*step).signed,
	PINSet:         (*step).pin, PINReset: (*step).pin,
	Correct: (*step).correction,
	Explain: (*step).explain,
	Carried: (*step).carried, Queried: (*step).carried, Note: (*step).carried,
	Transcribed:  func(st *step) { st.s.Source = st.e.Text },
	Transcript:   func(st *step) { st.s.Source = "" },
	Described:    (*step).described,
	Indicator:    ofSection((*step).indicator),
	CounterReset: ofSection((*step).counterEntry), ShuntKeyTaken: ofSection((*step).counterEntry), ShuntKeyBack: ofSection((*step).counterEntry),
	SignalOff: (*step).signal, SignalOn: (*step).signal,
	StaffHere: (*step).staff, StaffAway: (*step).staff, StaffToTrain: (*step).staff,
	StaffFromTrain: (*step).staff,
	TicketToTrain:  (*step).ticket, TicketFromTrain: (*step).ticket, TicketCancelled: (*step).ticket,
	TrainCautioned:   (*step).cautioned,
	TrainJoined:      (*step).trainJoined,
	EngineDetached:   (*step).engineDetached,
	TrainAssists:     (*step).trainAssists,
	TrainDetained:    (*step).trainDetained,
	TrainExamined:    (*step).trainExamined,
	TrainToHear:      (*step).trainToHear,
	TrainHeard:       (*step).trainHeard,
	TrainAuthorised:  (*step).trainAuthorised,
	SectionToExamine: ofSection((*step).examination), SectionExamined: ofSection((*step).examination),
	PointsSet: (*step).laid, PointsLocked: (*step).laid, PointsWound: (*step).laid,
	RouteSet: (*step).laid, RouteReleased: (*step).laid, FrameOut: (*step).laid,
	FrameIn: (*step).laid,
}

// ofSection is the handler of an entry about a section of this box, which it is given; about any
// other it is only written down.
func ofSection(do func(*step, int)) func(*step) {
	return func(st *step) {
		if i := st.b.SectionIndex(st.e.Section); i >= 0 {
			do(st, i)
		}
	}
}

// Writable parts of the state. Each is copied once in a generation.

// copyOnce copies a list once in a generation, with room for so many more.
func copyOnce[T any](s *State, part *uint64, list *[]T, spare int) {
	if *part != s.gen {
		*list = append(make([]T, 0, len(*list)+spare), *list...)
		*part = s.gen
	}
}

func (st *step) editLine(i int) *LineState {
	s := st.s
	if l := s.Lines[i]; l.gen != s.gen {
		copyOnce(s, &s.lines, &s.Lines, 0)
		c := *l
		c.gen = s.gen
		s.Lines[i] = &c
	}
	return s.Lines[i]
}

// editBell works, in Apply, on a copy that becomes the state's only in keepBells: most
// entries leave every bell as it was, each signal answered.
func (st *step) editBell(i int) *BellState {
	if s := st.s; st.ringing == nil {
		copyOnce(s, &s.bells, &s.Bells, 0)
	} else if s.bells != s.gen {
		st.bellsWere, s.bells = s.Bells, s.gen
		st.ringing = append(st.ringing[:0], s.Bells...)
		s.Bells = st.ringing
	}
	return &st.s.Bells[i]
}

// keepBells has the state share its bells with the one before where none has changed.
func (st *step) keepBells() {
	switch s := st.s; {
	case st.bellsWere == nil:
		return
	case slices.Equal(st.bellsWere, s.Bells):
		s.Bells, s.bells = st.bellsWere, 0
	default:
		s.Bells = slices.Clone(s.Bells)
	}
	st.bellsWere = nil
}

func (st *step) editCircuit(i int) *Circuit {
	copyOnce(st.s, &st.s.circuits, &st.s.Circuits, 0)
	return &st.s.Circuits[i]
}

func (st *step) editToken(i int) *TokenState {
	if st.s.tokens != st.s.gen {
		copyOnce(st.s, &st.s.tokens, &st.s.Tokens, 0)
		for j := range st.s.Tokens {
			st.s.Tokens[j].Where = slices.Clone(st.s.Tokens[j].Where)
		}
	}
	return &st.s.Tokens[i]
}

func (st *step) editStaff(i int) *StaffState {
	copyOnce(st.s, &st.s.staffs, &st.s.Staffs, 0)
	return &st.s.Staffs[i]
}

// editTrain makes a train on hand writable.
func (st *step) editTrain(t *Train) *Train {
	if t.gen == st.s.gen {
		return t
	}
	copyOnce(st.s, &st.s.trains, &st.s.Trains, 1)
	for i, o := range st.s.Trains {
		if o.ID == t.ID {
			c := *o
			c.gen = st.s.gen
			st.s.Trains[i] = &c
			return &c
		}
	}
	return t // no longer on hand: nobody else can see a change
}

// touch notes that this event concerns a train and makes it writable.
func (st *step) touch(t *Train) *Train {
	if !slices.Contains(st.s.Touched, t.ID) {
		copyOnce(st.s, &st.s.touched, &st.s.Touched, 1)
		st.s.Touched = append(st.s.Touched, t.ID)
	}
	return st.editTrain(t)
}

// of has the act be of a train, to be changed.
func (d *action) of(t *Train) *Train {
	d.train = d.touch(t)
	return d.train
}

// newTrain opens a row.
func (st *step) newTrain(name string) *Train {
	t := &Train{ID: st.s.NextID, Name: name, In: noLeg, Out: noLeg, Opened: st.e.Seq, OpenedAt: st.e.At, gen: st.s.gen}
	st.s.NextID++
	copyOnce(st.s, &st.s.trains, &st.s.Trains, 1)
	st.s.Trains = append(st.s.Trains, t)
	return st.touch(t)
}

// close ends a train's row: it is no longer on hand.
func (st *step) close(t *Train) {
	t = st.touch(t)
	st.detach(t)
	t.Where = Gone
	copyOnce(st.s, &st.s.trains, &st.s.Trains, 1)
	st.s.Trains = slices.DeleteFunc(st.s.Trains, func(o *Train) bool { return o.ID == t.ID })
	st.s.Closed = append(st.s.Closed, t)
	for i := range st.s.Lines {
		if st.s.Lines[i].Train == t.ID {
			st.editLine(i).Train = 0
		}
	}
}
