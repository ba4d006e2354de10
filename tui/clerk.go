package tui

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/notation"
	"fairhand/register/sheet"
	"fairhand/register/store"
	"fairhand/register/watch"
)

// book is what the desk needs of a register; a *register.Book has it.
type book interface {
	Box() *block.Box
	State() *block.State
	Recent() []register.Entry
	Now() block.Time
	Parse(line string) ([]block.Event, error)
	Preview(ev block.Event) (block.State, []block.Finding)
	Log(ev block.Event, given ...register.Given) (register.Entry, error)
	ClockDoubt() *register.ClockError
	ClockIsRight() error
	Add(line string) (register.Entry, error)
	CheckPIN(name, pin string) (register.Given, error)
	SetPIN(name, pin, by string, given register.Given) (register.Entry, error)
	WrongPINs(name string) int
	PINAlarms() []sheet.Alarm
	Store() *store.Store
	LoadDay(ctx context.Context, day calendar.Day) (*register.Day, error)
	SketchDay(ctx context.Context, day calendar.Day) (*register.Day, error)
	DayOf(at block.Time) calendar.Day
	Refresh() (int, error)
	Handover(expected []register.ExpectedTrain) register.Sheet
	TimetableOf(day calendar.Day) ([]register.Booked, error)
	Notices() ([]register.Notice, error)
	NoticesStamp() string
	RunningTimes(ctx context.Context) (*register.Runs, error)
	Outlook(table []register.Booked, runs *register.Runs, now block.Time) register.Outlook
	Propose(next []block.Expectation, o *register.Outlook, days ...[]register.Entry) []block.Expectation
	Search(ctx context.Context, text string, tell func(register.SearchPart) error) error
	Glance(day calendar.Day) (*register.Day, error)
	Nearest(day calendar.Day) (calendar.Day, error)
	ExpectedTrains(o *register.Outlook, fault error) []register.ExpectedTrain
	Unbooked(fault error) string
}

// clerk does what update asks for and says how it went.
type clerk struct {
	book   book
	base   sight // zone and what draws the graph
	source audit.Source
	now    func() block.Time
	helper *assistant
	watch  *watch.Watch // over the register; nil for none

	eve     []register.Entry // the register day before the latest
	eveOf   calendar.Day     // the latest, when eve was read
	altered int              // entries of the latest that correct an earlier day, when eve was read

	table   []register.Booked
	runs    *register.Runs
	tableOf calendar.Day // the day on which they were read
	fault   error        // why the timetable cannot be used
	untold  bool         // fault has not been said yet
	ahead   register.Outlook

	notices      []register.Notice
	noticesAmiss error
	noticesStamp string // of the file when they were read
}

// look is a fresh look at the book; with the handover sheet when it is wanted.
func (c *clerk) look(sheet bool) seen {
	s := c.base
	s.box = c.book.Box() // which is described anew, here or by another program
	s.amiss, s.doubt = append(c.standing(), c.book.PINAlarms()...), c.book.ClockDoubt()
	c.readEve()
	s.eve = c.eve
	s.state, s.day, s.now = c.book.State(), c.book.Recent(), c.now()
	c.readTable(s.now)
	s.ahead = c.book.Outlook(c.table, c.runs, s.now)
	c.ahead = s.ahead
	s.unbooked = c.book.Unbooked(c.fault)
	present := *s.state // what is regular depends on the time, not only on the last entry's
	present.Now = max(present.Now, s.now)
	s.due = block.Due(s.box, s.state, s.now+dueAhead)
	next, withheld := block.ExpectedAndWithheld(s.box, &present)
	s.next, s.withheld = signOnFirst(&present, owedFirst(s.state, c.book.Propose(next, &s.ahead, s.day, s.eve), s.due)), withheld
	if stamp := c.book.NoticesStamp(); stamp != c.noticesStamp {
		c.noticesStamp = stamp
		c.notices, c.noticesAmiss = c.book.Notices()
	}
	s.notices, s.noticesAmiss = c.notices, c.noticesAmiss
	if sheet {
		s.sheet = c.book.Handover(c.book.ExpectedTrains(&s.ahead, c.fault))
	}
	return seen{sight: s}
}

// unsent is the train that has gone into the section by an entry expected next which tells the
// box in advance so; nil where it is no such entry. It does not know that a train is coming.
func unsent(s *block.State, x *block.Expectation) *block.Train {
	if t := s.TrainNamed(x.Event.Train); x.Act == block.ActEnter && x.Mine && t != nil && t.Out.Entered != 0 {
		return t
	}
	return nil
}

// owedFirst puts the bell signals that are owed before what others are late with, the
// soonest due first, but behind those that must go at once. What was found not sent in time is
// owed still.
func owedFirst(s *block.State, next []block.Expectation, due []block.DueItem) []block.Expectation {
	by := func(x *block.Expectation) block.Time {
		if x.Wanted <= 0 {
			return 0
		}
		for _, d := range due {
			if x.Mine && x.Event.Kind == block.Bells && !d.Awaited && d.Train == x.Event.Train && d.Where == x.Event.Section {
				return d.Pending.Due
			}
		}
		if t := unsent(s, x); t != nil {
			return t.Out.Entered
		}
		return math.MaxInt64
	}
	slices.SortStableFunc(next, func(a, b block.Expectation) int { return cmp.Compare(by(&a), by(&b)) })
	return next
}

// signOnFirst puts signing on first where nobody is on duty, but behind the signals
// that must go at once.
func signOnFirst(s *block.State, next []block.Expectation) []block.Expectation {
	if len(s.OnDuty) > 0 || s.Status == block.StatusClosed || s.Status == block.StatusSwitchedOut {
		return next
	}
	i := slices.IndexFunc(next, func(x block.Expectation) bool { return x.Wanted > 0 })
	if i < 0 {
		i = len(next)
	}
	return slices.Insert(slices.Clip(next), i, block.Expectation{Event: block.Event{Kind: block.DutyOn}, Label: "sign on", Mine: true})
}

// readTable reads the timetable, and the running times seen, once a day. What
// cannot be read is left out, and why is said once.
func (c *clerk) readTable(now block.Time) {
	day := c.book.DayOf(now)
	if c.runs != nil && c.tableOf == day {
		return
	}
	var err error
	c.table, c.fault = c.book.TimetableOf(day)
	c.runs, err = c.book.RunningTimes(context.Background())
	c.fault, c.tableOf = errors.Join(c.fault, err), day
	c.untold = c.fault != nil
}

// readEve reads the register day before the latest once a day, and again when an earlier day
// was corrected: what was found shortly before midnight must not be forgotten after it. A day
// that cannot be read is left out here; the register page says why.
func (c *clerk) readEve() {
	day := c.book.Recent()
	altered := 0
	for i := range day {
		if e := &day[i].Event; e.Kind == block.Correct && e.Target < day[0].Seq {
			altered++
		}
	}
	if len(day) == 0 || day[0].Day == c.eveOf && altered == c.altered {
		return
	}
	c.eve, c.eveOf, c.altered = nil, day[0].Day, altered
	days, err := c.book.Store().Days(0, c.eveOf-1)
	if err != nil || len(days) == 0 {
		return
	}
	if eve, err := c.book.SketchDay(context.Background(), days[len(days)-1]); err == nil {
		c.eve = slices.DeleteFunc(eve.Entries, func(e register.Entry) bool { return e.Seq >= day[0].Seq }) // those are listed today
	}
}

// errands is what the clerk does beside writing.
var errands = map[errand]func(*clerk, cmd) msg{
	fetch: (*clerk).fetch, search: (*clerk).search, stopSearch: stops("search"), examineBook: (*clerk).examine, stopAudit: stops("audit"),
	provePIN: (*clerk).prove, unlockDesk: (*clerk).unlock, setPIN: (*clerk).setPIN,
}

func stops(sort string) func(*clerk, cmd) msg {
	return func(c *clerk, _ cmd) msg {
		c.helper.end(sort)
		return nil
	}
}

// run runs a command. What it gives is to be passed to update, before a fresh look.
func (c *clerk) run(do cmd) msg {
	if do.do != write {
		if run := errands[do.do]; run != nil {
			return run(c, do)
		}
		return nil
	}
	events := do.events
	adds := boxfile.AdditionOf(do.line) != nil
	if do.line != "" && !adds {
		var err error
		if events, err = c.book.Parse(do.line); err != nil {
			return unread{err}
		}
	}
	for _, e := range do.events {
		if e.Kind != block.Correct {
			continue
		}
		if _, err := c.book.Parse(e.Text); err != nil {
			return unread{err}
		}
	}
	if wait := c.clockAsked(do, events); wait != nil {
		return wait
	}
	if do.clockRight {
		if err := c.book.ClockIsRight(); err != nil {
			return wrote{of: len(events), err: err}
		}
	}
	if adds {
		return c.add(do.line)
	}
	if wait := c.pinAsked(do, events); wait != nil {
		return wait
	}
	if !do.sure {
		events = c.signed(do, events)
		doubt := c.doubts(do, events)
		if danger := c.danger(events); len(danger) > 0 {
			return held{events, danger, doubt.words, do.signers}
		}
		if doubt.words != "" {
			return doubt
		}
	}
	return c.write(events, do.signers)
}

// doubts says which name typed in a line, or in the line that corrects another,
// nobody here knows. What an earlier entry says of trains is not judged by those
// on hand now.
func (c *clerk) doubts(do cmd, events []block.Event) doubtful {
	s := sight{box: c.book.Box(), state: c.book.State(), zone: c.base.zone, ahead: c.ahead}
	switch {
	case do.asTyped:
		return doubtful{}
	case do.line != "":
		return s.doubts(events)
	case len(events) != 1 || events[0].Kind != block.Correct:
		return doubtful{}
	}
	events, err := c.book.Parse(events[0].Text)
	if err != nil {
		return doubtful{} // said when it is written
	}
	for i := range events {
		events[i].Train = ""
	}
	return s.doubts(events)
}

// fetch reads the entries of a day, or of the nearest with entries before or
// after it, and has the assistant read all that is known about them.
func (c *clerk) fetch(do cmd) msg {
	date, err := c.dayOf(do)
	if err != nil {
		return fetched{err: err}
	}
	asked := calendar.Day(0)
	if do.step == 0 && date != do.date {
		asked = do.date
	}
	if today := c.book.Recent(); !do.page && (date == 0 || len(today) > 0 && date == today[0].Day) {
		return fetched{seq: do.seq, first: do.step > 0, asked: asked}
	}
	day, err := c.book.Glance(date)
	if err != nil {
		return fetched{err: err}
	}
	c.helper.start("day", func(ctx context.Context, tell func(msg)) {
		full, err := c.book.LoadDay(ctx, date)
		if err == nil && c.base.graph != nil { // without a timetable the graph shows what ran
			full.Timetable, _ = c.book.TimetableOf(date)
		}
		tell(fetched{day: full, full: true, err: err})
	})
	return fetched{day: day, seq: do.seq, first: do.step > 0, asked: asked}
}

// dayOf is the day that a command means; 0 for today.
func (c *clerk) dayOf(do cmd) (calendar.Day, error) {
	after, before := calendar.Day(0), calendar.Day(0)
	switch {
	case do.step == 0:
		return c.book.Nearest(do.date)
	case do.step < 0:
		before = do.date - 1
	default:
		after = do.date + 1
	}
	days, err := c.book.Store().Days(after, before)
	switch {
	case err != nil || len(days) == 0 && do.step > 0:
		return 0, err
	case len(days) == 0:
		return 0, errors.New("there is no earlier day in the register")
	case do.step < 0:
		return days[len(days)-1], nil
	}
	return days[0], nil
}

// search has the assistant look for a text in all years.
func (c *clerk) search(do cmd) msg {
	c.helper.start("search", func(ctx context.Context, tell func(msg)) {
		err := c.book.Search(ctx, do.text, func(p register.SearchPart) error {
			tell(hunted{id: do.id, part: p})
			return ctx.Err()
		})
		tell(hunted{id: do.id, done: true, err: err})
	})
	return nil
}

// late are the rules broken by a signal that stops trains when it goes too late: it is
// held up by nothing, least of all by that.
var late = map[rulebook.RuleID]bool{rulebook.ObstructionDangerNotSent: true, rulebook.TailLampNotReported: true}

// danger is what would be found of danger if the events were written.
func (c *clerk) danger(events []block.Event) []block.Finding {
	var danger []block.Finding
	var state block.State
	for i, ev := range events {
		var found []block.Finding
		if i == 0 {
			state, found = c.book.Preview(ev)
		} else {
			ev.Seq = state.LastSeq + 1
			state, found = block.Apply(c.book.Box(), state, &ev)
		}
		for _, f := range found {
			if f.Severity == rulebook.Danger && !late[f.Rule] {
				danger = append(danger, f)
			}
		}
	}
	return danger
}

// add adds to the box what a line says.
func (c *clerk) add(line string) msg {
	e, err := c.book.Add(line)
	if err != nil {
		return unread{err}
	}
	return wrote{of: 1, entries: []register.Entry{e}}
}

func (c *clerk) write(events []block.Event, by []signer) wrote {
	w := wrote{of: len(events)}
	given := each.Of(by, func(s signer) register.Given { return s.given })
	for _, ev := range events {
		tail := c.book.Store().Tail().Seq
		e, err := c.book.Log(ev, given...)
		if err != nil {
			w.err = err
			w.behind = errors.Is(err, store.ErrConflict)
			w.onDisk = !w.behind && c.book.Store().Tail().Seq > tail
			w.lost = notation.Format(ev, c.base.zone)
			return w
		}
		w.entries = append(w.entries, e)
		c.watched(&e)
	}
	return w
}
