package audit

import (
	"context"
	"fmt"
	"iter"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/reading"
)

// Options say what to audit and how much to keep.
type Options struct {
	From, To calendar.Day // register days, both included; 0 is open
	After    int64        // of a register, for no days: only entries with a greater number; 0 for all

	Details int // findings, batches, corrections ... kept of each kind; 0 is 20
	Turns   int // turns of duty kept, those with most to explain; 0 is 200

	Filter Filter // findings that are counted and told

	Timetable *Timetable // nil: lateness is not reported

	Each Each // is handed what the report only counts

	// Progress is told from time to time how many of how many entries are
	// replayed; nil for none.
	Progress func(done, total int64)
}

// Run audits a book. The days of the options are register days: an entry belongs
// to the day on which it happened. What is left undone in them may be found by
// entries after them, which are read for as long as something is awaited. At the
// end of the book what it leaves undone is found as register.Check finds it.
//
// Errors: one for which errors.Is(err, register.ErrNoEntries) holds for days
// without entries; *store.DamagedError for a register whose chain of hashes is
// broken; notation.Errors for a book that cannot be read; ErrNotKnown for a filter by
// a name that the book does not have; that of the context.
func Run(ctx context.Context, src Source, opt Options) (*Report, error) {
	if opt.Details <= 0 {
		opt.Details = 20
	}
	if opt.Turns <= 0 {
		opt.Turns = 200
	}
	s, err := src.span(ctx, opt.From, opt.To, opt.After)
	if err != nil {
		return nil, err
	}
	if s.first == 0 {
		return nil, fmt.Errorf("audit of %s: %w%s", src.about().box.Name, register.ErrNoEntries, calendar.Between(opt.From, opt.To))
	}
	a := newAuditor(src.about(), s, opt)
	if err := a.replay(src.entries(ctx, s)); err != nil {
		return nil, err
	}
	a.opt.Each.rest(a.run.Look())
	pr, err := src.proof(s, s.start+a.replayed-1)
	if err != nil {
		return nil, err
	}
	r := a.report(pr)
	if err := opt.Filter.known(r, src.about().box); err != nil {
		return nil, err
	}
	if who := opt.Filter.Person; who != "" {
		r.People = slices.DeleteFunc(r.People, func(p Person) bool { return p.Name != who })
	}
	return r, nil
}

// auditor replays the book and gathers what the report tells.
type auditor struct {
	sub  subject
	span span
	opt  Options
	run  *reading.Replay
	hold reading.Hold

	turns  turns
	people persons
	trend  trend
	rules  map[rulebook.RuleID]*ruleTally
	sum    tallies
	keep   keeping
	signed signing
	fig    figures
	under  []Described

	answered  Answered
	explained map[int64][]Remark // by number of the entry
	onDuty    int64              // the signing on of whoever was on duty before the entry that is replayed
	undone    map[undone]int64   // the same as something fell due
	foreign   map[int64]bool     // entries of other days between the first and the last
	entries   int64
	replayed  int64
	left      int64 // up to the last of the days asked for, to be replayed
}

func newAuditor(sub subject, s span, opt Options) *auditor {
	a := &auditor{
		sub: sub, span: s, opt: opt, run: reading.NewReplay(s.box, s.state), onDuty: onDuty(&s.state),
		rules: map[rulebook.RuleID]*ruleTally{}, explained: map[int64][]Remark{}, foreign: map[int64]bool{}, undone: map[undone]int64{}, people: persons{}, trend: newTrend(sub.zone),
	}
	a.left = a.total()
	a.turns = newTurns(sub, opt, &s.state)
	a.keep = newKeeping(sub, opt.Details)
	a.signed = signing{sub: sub, days: map[calendar.Day]*int64{}}
	if s.under != nil {
		a.under = append(a.under, *s.under)
	}
	a.fig = newFigures(sub, opt, &s.state, a.keep.days)
	return a
}

// progressEvery is the number of entries after which it is told how far the work is.
const progressEvery = 1000

// replay takes the entries through the rules for as long as something of the days
// asked for is awaited.
func (a *auditor) replay(entries iter.Seq2[*reading.Entry, error]) error {
	tell := a.opt.Progress
	if tell == nil {
		tell = func(int64, int64) {}
	}
	defer func() { tell(min(a.replayed, a.total()), a.total()) }()
	for e, err := range a.run.Ordered(a.assigned(entries)) {
		if err != nil {
			return err
		}
		if a.left == 0 && !a.waiting() {
			a.take(a.hold.Rest())
			return nil
		}
		a.step(e)
		if a.replayed%progressEvery == 0 {
			tell(min(a.replayed, a.total()), a.total())
		}
	}
	a.judge(a.run.Finish())
	a.take(a.hold.Rest())
	return nil
}

// assigned has each entry of the days asked for assigned to a turn, in the order of
// the book.
func (a *auditor) assigned(entries iter.Seq2[*reading.Entry, error]) iter.Seq2[*reading.Entry, error] {
	return func(yield func(*reading.Entry, error) bool) {
		for e, err := range entries {
			if err == nil && e.Event.Seq <= a.span.last {
				a.turns.assign(e)
			}
			if err == nil && a.asked(e) {
				a.signed.read(e)
			}
			if !yield(e, err) {
				return
			}
		}
	}
}

func (a *auditor) total() int64 { return a.span.last - a.span.start + 1 }

// step replays one entry.
func (a *auditor) step(e *reading.Entry) {
	in := a.asked(e)
	if !in && e.Event.Seq > a.span.first && e.Event.Seq < a.span.last {
		a.foreign[e.Event.Seq] = true
	}
	if in && e.Begins(a.keep.day) {
		a.keep.dayEnd(a.run.Box(), a.run.Look())
		a.keep.day = e.Day
	}
	for _, r := range e.Remarks {
		a.explained[e.Event.Seq] = append(a.explained[e.Event.Seq], Remark{r.Seq, a.sub.moment(r.At), r.Text})
	}
	found := a.run.Take(e)
	a.replayed++
	st := a.run.Look()
	var turn *duty
	if e.Event.Seq <= a.span.last {
		turn = a.turns.take(e, in, st)
	}
	rows := a.fig.rows
	a.fig.take(e, in, st)
	if e.Event.Kind == block.Described && e.Event.Box != nil && in {
		at := a.sub.moment(e.Event.At)
		a.under = append(a.under, Described{Entry: e.Seq, At: &at, SHA256: e.Event.Subject, Kept: true, PINs: e.Event.Box.PINs, Changes: e.Event.Text})
	}
	if in {
		a.entries++
		late := turn.Late
		a.keep.take(e, turn, copied(e, st))
		a.signed.step(e)
		a.worked(e, turn, a.fig.rows-rows, turn.Late-late)
		a.opt.Each.entry(a, e, turn, st)
	}
	a.judge(found)
	if e.Event.Seq <= a.span.last {
		a.onDuty = onDuty(st)
		a.left--
	}
	if a.left == 0 && e.Event.Seq <= a.span.last {
		a.keep.end(a.run.Box(), st)
		a.turns.end()
	}
}

// later is the later of two moments, the first of which may not be known yet;
// moments before 1970 are less than zero.
func later(a, b block.Time) block.Time {
	if a == 0 {
		return b
	}
	return max(a, b)
}

// asked says whether an entry belongs to the days asked for.
func (a *auditor) asked(e *reading.Entry) bool {
	return e.Event.Seq >= a.span.first && e.Event.Seq <= a.span.last &&
		(a.opt.From == 0 || e.Day >= a.opt.From) && (a.opt.To == 0 || e.Day <= a.opt.To)
}

// waiting says whether something that follows from an entry of the days asked
// for may still be found undone.
func (a *auditor) waiting() bool {
	return slices.ContainsFunc(a.run.Look().Pending, func(p block.Pending) bool { return !p.Undone() && a.concerns(p.Seq) }) ||
		a.hold.Any(func(f *block.Finding) bool { return a.concerns(f.Seq) })
}

// undone is something that fell due and was not done. What is raised twice is the matter of
// whoever let it go by first.
type undone struct {
	rule rulebook.RuleID
	seq  int64
}

// undoneMost is how many of them are remembered.
const undoneMost = 4096

// onDuty is the entry by which whoever is on duty signed on, 0 for nobody.
func onDuty(st *block.State) int64 {
	if n := len(st.OnDuty); n > 0 {
		return st.OnDuty[n-1].Seq
	}
	return 0
}

// judge takes what an entry found, as far as it need not wait, and what it answers. What was
// not done in time is the matter of whoever was on duty as it fell due, who may have come
// after the entry that it follows from.
func (a *auditor) judge(found []block.Finding) {
	for i := range found {
		f := &found[i]
		due := undone{f.Rule, f.Seq}
		if _, known := a.undone[due]; known || !block.FallsDue(f.Rule) {
			continue
		}
		if len(a.undone) == undoneMost {
			clear(a.undone)
		}
		a.undone[due] = max(a.onDuty, f.Seq)
	}
	a.take(a.hold.Take(found, a.run.Look()))
	a.take(a.run.Answered())
}

func (a *auditor) take(found []block.Finding) {
	for i := range found {
		if a.concerns(found[i].Seq) {
			a.finding(&found[i])
		}
	}
}

// worked counts an entry for who wrote it and when.
func (a *auditor) worked(e *reading.Entry, turn *duty, trains, late int64) {
	a.trend.entry(e.Day, trains)
	if turn.aside {
		return
	}
	if turn.by == nil || turn.by.Name != turn.Name { // who signs off names a turn that had no name
		turn.by = a.people.of(turn.Name)
	}
	p := turn.by
	p.Trainee = p.Trainee || turn.Under != ""
	p.Entries++
	p.Trains += trains
	if turn != p.turn {
		p.turn, p.Turns = turn, p.Turns+1
	}
	p.Late += late
	if e.Event.Kind == block.Correct {
		p.Corrected++
	}
}

// concerns says whether an entry already read is of the days asked for.
func (a *auditor) concerns(seq int64) bool {
	return seq >= a.span.first && seq <= a.span.last && !a.foreign[seq]
}

// finding counts one finding and keeps it while there is room; apart, if it stands
// no more.
func (a *auditor) finding(f *block.Finding) {
	remarks := a.explained[f.Seq]
	turn := a.turns.of(max(f.Seq, a.undone[undone{f.Rule, f.Seq}]))
	if f.Answered == 0 {
		a.keep.found[f.Rule]++
	}
	if !a.opt.Filter.chooses(f, len(remarks) > 0) {
		return
	}
	if f.Answered == 0 {
		a.people.found(turn, f, len(remarks) > 0)
	}
	if who := a.opt.Filter.Person; who != "" && who != turn.Name {
		return
	}
	if a.opt.Each.Finding != nil {
		told := a.sub.finding(f, turn.Name, remarks)
		a.opt.Each.Finding(turn.id, &told)
	}
	if f.Answered != 0 {
		keep(&a.answered.Details, &a.answered.Count, a.opt.Details, a.sub.finding(f, turn.Name, remarks))
		return
	}
	a.signed.found(f, remarks)
	a.trend.found(f, len(remarks) > 0)
	turn.found(f, len(remarks) > 0, a.opt.Details)
	a.sum.add(f.Severity, len(remarks) > 0)
	t := a.rules[f.Rule]
	if t == nil {
		t = &ruleTally{limit: a.opt.Details, ref: f.Ref}
		a.rules[f.Rule] = t
	}
	t.add(f, turn.Name, remarks, a.sub)
}

// report puts together what was gathered.
func (a *auditor) report(pr proof) *Report {
	box := a.sub.box
	r := &Report{
		Schema:     Schema,
		Examined:   Examined{Caution: register.Caution, Railway: box.Railway, Box: box.Name, Zone: a.sub.zone.String(), RuleSet: box.Rules.Name, Program: register.Program()},
		Described:  append([]Described{}, a.under...),
		Severities: a.sum.report(), Rules: rulesReport(a.rules), Answered: Answered{a.answered.Count, orEmpty(a.answered.Details)}, Figures: a.fig.report(),
	}
	if a.opt.From != 0 {
		r.From = a.opt.From.String()
	}
	if a.opt.To != 0 {
		r.To = a.opt.To.String()
	}
	days, first, last := a.keep.extent()
	r.Extent = Extent{
		First: a.span.first, Last: a.span.last, Entries: a.entries, Days: days, FirstDay: first, LastDay: last,
		Replayed: a.replayed, ProvedTo: pr.last, ProvedFor: pr.entries, Head: pr.head,
	}
	r.Chosen = a.opt.Filter.String()
	r.People = a.people.report()
	r.compared = len(r.People) > 1
	r.Periods, r.Sections = a.trend.report()
	r.Turns, r.TurnCount = a.turns.report()
	r.Keeping = a.keep.report()
	r.Keeping.TurnsWithoutSignOn, r.Keeping.TurnsWithoutSignOff = a.turns.withoutOn, a.turns.withoutOff
	r.zone = a.sub.zone
	r.Signed = a.signed.report(a.opt.Details)
	r.Occupation = a.fig.occupation(a.run.Look())
	return r
}
