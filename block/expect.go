package block

import (
	"cmp"
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// Expectation is an action that is regular now: what the desk offers on one
// key. The rows that Apply judges by say which acts may come; what is then
// offered has been tried and raises nothing.
type Expectation struct {
	Event Event  // ready to log but for At, Written and what is asked for below
	Label string // plain words, such as "2P07 out of section, to Saltgarth"
	Act   Act    // the act on the line; NoAct for a movement within the box
	Mine  bool   // this box acts; otherwise the neighbour's signal is awaited

	AskCode   bool // the description may be another: the beats are a guess
	AskTrain  bool // the train has no name yet and one is wanted
	AskNumber bool // the token's number is wanted (Event.Number is a guess)
	Untold    bool // it, or the train's name, cannot be guessed: Event only has what stands for it
	AskPN     bool // the private number told with it is wanted (Event.PN only stands for it)
	AskCall   bool // what is to cross and how long it takes are a guess
	AskProof  bool // completeness is to be confirmed (Event.Proof is a guess)
	Wanted    Time // when it will be wanted, by the rules' own times

	// Clears is for an entry that clears, cancels or withdraws by way of exception:
	// what would stand no longer, by name, and what is to be asked first. It is not
	// to be written on one key.
	Clears string
}

// How far ahead things are wanted that nothing dates: a guess that orders the
// list and is never shown.
const (
	soonEntering = 3 * Minute  // line clear to train entering section, common practice
	laterOffer   = 30 * Minute // the next offer of a neighbour
	laterRemoval = 60 * Minute // the end of a blocking back

	laterHandBack = 240 * Minute // a line given back
)

// Expected lists the regular next actions in the order in which they will be
// wanted. Each has been tried: Apply finds nothing against it.
func Expected(b *Box, s *State) []Expectation {
	list, _ := ExpectedAndWithheld(b, s)
	return list
}

// Withheld is out of section for a train that has come, an arrival, or a token to be drawn,
// which would be next but for what would be found against it.
type Withheld struct {
	Label string
	Found Finding
}

// ExpectedAndWithheld is Expected, and what is withheld: an entry that is looked for among
// those expected and is not there wants its reason.
func ExpectedAndWithheld(b *Box, s *State) ([]Expectation, []Withheld) {
	base := b
	b = base.Worked(s)
	r := NewRunner(b, *s)
	r.st.e = &Event{At: max(s.Now, s.LastAt), Seq: s.LastSeq + 1}
	x := expecting{base: base, b: b, s: s, next: &r.st}
	for i := range b.Sections {
		if s.Bells[i].Asked.Open {
			x.answer(i)
		}
		x.repeat(i)
		x.comesNext(i)
	}
	for l := range b.lines {
		x.line(l)
		x.heldNext(l)
	}
	for _, t := range s.Trains {
		x.train(t)
		x.madeUp(t)
	}
	for i := range b.Crossings {
		x.crossing(i)
	}
	x.releases()
	x.alarms()
	x.occupations()
	x.tellings()
	x.layings()
	x.singleLines()
	slices.SortStableFunc(x.list, func(a, c Expectation) int { return cmp.Compare(a.Wanted, c.Wanted) })
	return x.list, x.withheld
}

// expecting collects expectations.
type expecting struct {
	base *Box // as described
	b    *Box // as worked now
	s    *State
	next *step // the entry that would come now, for reading
	list []Expectation

	withheld []Withheld
}

// offer adds an expectation if nothing is found against it.
func (x *expecting) offer(e Expectation) bool {
	if words := LineWords(&e.Event); !strings.HasSuffix(e.Label, words) { // some say their line themselves
		e.Label += words
	}
	e.Event.At = max(x.s.Now, x.s.LastAt)
	e.Event.Seq = x.s.LastSeq + 1
	_, found := Apply(x.base, *x.s, &e.Event)
	for _, f := range found {
		// What is due is offered also when it is late: then most of all. What the
		// other box will send is shown from the first, and warned of while it is too soon.
		if f.Rule == rulebook.RunningTimeShort && !e.Mine {
			e.Clears = cmp.Or(e.Clears, "No train could have run through the section since it entered. Has "+e.Event.Section+" given it already?")
			continue
		}
		if f.Seq == e.Event.Seq && f.Rule != rulebook.TrainNameAssumed && f.Rule != rulebook.StepNotBooked && !slices.ContainsFunc(x.s.Pending, func(p Pending) bool { return p.Rule == f.Rule && p.Due < e.Event.At }) {
			if e.Act == ActOut && e.Mine && f.Rule != rulebook.OutOfSectionTrainNotArrived || e.Event.Kind == TrainArrived && f.Severity == rulebook.Danger {
				x.withheld = append(x.withheld, Withheld{e.Label, f})
			}
			return false
		}
	}
	e.Event.At, e.Event.Seq = 0, 0
	x.list = append(x.list, e)
	return true
}

// answer expects the acknowledgement of the signal outstanding on a circuit.
func (x *expecting) answer(i int) {
	a := x.s.Bells[i].Asked
	who := x.b.Sections[i].Neighbour
	e := Expectation{Act: acts[a.Means].acknowledged, Mine: !a.Sent, Wanted: a.At}
	e.Event = Event{Kind: Bells, Section: who, Bells: []Bell{{Sent: !a.Sent, Code: a.Code}}}
	e.Label = who + " answers " + string(a.Code)
	if e.Mine {
		e.Label = "answer " + string(a.Code) + " to " + who
		if a.Means == rulebook.Offer && !x.b.Sections[i].Method.Is().Described {
			// Written without its answer it was refused for the time being.
			e.Label = "accept: " + e.Label
			e.Wanted = x.s.Now + laterOffer - 1
		}
	}
	switch a.Means {
	case rulebook.Offer:
		d := *x.next.begin(a.Line, Outward, false)
		x.numbered(&e, &d)
	case rulebook.ObstructionDanger:
		e.Wanted = 0 // before everything else
	}
	x.offer(e)
	if a.Means == rulebook.Offer && !x.b.Sections[i].Method.Is().Described {
		x.again(i, &a)
	}
}

// repeat expects a signal that was not acknowledged once more, now that attention was
// called for it again.
func (x *expecting) repeat(i int) {
	a := x.s.Bells[i].Again
	if !a.Open || a.Void {
		return
	}
	who := x.b.Sections[i].Neighbour
	e := Expectation{Act: acts[a.Means].acknowledged, Mine: a.Sent, Wanted: a.At}
	e.Event = Event{Kind: Bells, Section: who, Bells: []Bell{{Sent: a.Sent, Code: a.Code}, {Sent: !a.Sent, Code: a.Code}}}
	e.Label = who + " gives " + string(a.Code) + " again"
	if a.Sent {
		e.Label = "give " + string(a.Code) + " to " + who + " again"
	}
	x.offer(e)
}

// again expects a train that was offered and not accepted to be offered once more.
func (x *expecting) again(i int, a *Asked) {
	row := x.b.lookup(i, a.Code, rulebook.Offer)
	if row == nil {
		return
	}
	who := x.b.Sections[i].Neighbour
	e := Expectation{Act: ActOffer, Mine: a.Sent, AskCode: true, AskTrain: true, Wanted: x.s.Now + laterOffer - 2}
	e.Event = Event{Kind: Bells, Section: who, Bells: x.exchange(i, row, a.Sent)}
	name := string(a.Code)
	if t := x.s.Train(a.Train); t != nil && t.Name != "" {
		e.Event.Train, e.AskTrain, name = t.Name, false, t.Name+" ("+name+")"
	}
	e.Label = "offered again: accept " + name + " from " + who
	if a.Sent {
		e.Label = "offer " + name + " to " + who + " again"
	}
	d := *x.next.begin(a.Line, Outward, false)
	x.numbered(&e, &d)
	x.offer(e)
}

// line expects the acts that are regular in a line's phase.
func (x *expecting) line(l int) {
	r := x.b.lines[l]
	a, follows := x.s.Bells[r.section].Asked, x.b.Sections[r.section].Method.Is().Follows
	ls := x.s.Lines[l]
	hangs := a.Open && a.Line == l // an offer of a train behind another, and that one goes on meanwhile
	if a.Open && (a.Means != rulebook.Offer || hangs && !follows && ls.Phase == Offered) {
		return // first that answer; an offer not accepted leaves the other lines alone
	}
	way, piloted := x.b.lineAt(l).Way, x.s.Circuits[r.section].byPilot()
	for _, dir := range [...]Dir{Inward, Outward} {
		if way == In && dir == Outward || way == Out && dir == Inward || (way == Shut || way == Both && ls.Phase != Normal) && ls.Dir != dir {
			continue
		}
		d := *x.next.begin(l, dir, false)
		for a := Act(0); a < actCount; a++ {
			if hangs && (follows && a != ActOut || a == ActOffer || a == ActAccept || a == ActRefuse) || (way == Shut || piloted) && a == ActOffer || piloted && a == ActDraw {
				continue
			}
			row := d.machine().Row(ls.Phase, false, a)
			if row == nil || row.Rule != "" || proposals[a] == nil {
				continue
			}
			d.act = a
			d.mine = (a.By() == rulebook.Advance) == (dir == Inward)
			proposals[a](x, d)
		}
		if len(x.s.Doubts) > 0 {
			d.act, d.mine = ActOut, dir == Inward
			x.outOf(d, func(t *Train) bool { return t.aside(l) && t.leg(dir).Entered != 0 })
		}
	}
}

// proposals makes the event of each act that may come next.
var proposals = [actCount]func(*expecting, action){
	ActOffer:    (*expecting).offerNext,
	ActAccept:   (*expecting).answerNext,
	ActRefuse:   (*expecting).answerNext,
	ActEnter:    (*expecting).enterNext,
	ActOut:      (*expecting).outNext,
	ActUnblock:  (*expecting).unblockNext,
	ActReplaced: (*expecting).replacedNext,
	ActDraw:     (*expecting).drawNext,
	ActRestore:  (*expecting).restoreNext,

	ActShuntBack: (*expecting).shuntNext,
	ActKeyIn:     (*expecting).keyInNext,
}

// offerNext expects offers: the neighbour's next train, and every train on hand
// that goes on to him.
func (x *expecting) offerNext(d action) {
	if d.dir == Inward {
		x.offeredNext(d)
		return
	}
	who := d.section().Neighbour
	for _, t := range x.s.Trains {
		l := &t.Out
		if !d.fitsOffer(t, l, l.Line == d.line && l.open()) {
			continue
		}
		row := x.offerRow(d.ref().section, t.Code, t.Class)
		e := Expectation{Event: x.bellEvent(&d, row, t), Act: ActOffer, Mine: true, AskCode: true, AskTrain: t.Name == "", Wanted: x.wantsAway(t)}
		if t.Code != "" && row.Code != t.Code && !row.Code.Spoken() {
			e.Wanted++ // not in his code book: it rather goes another way
		}
		e.Label = "offer " + t.Label(x.b) + " (" + string(row.Code) + ") to " + who
		if d.section().Method.Is().Described {
			e.Label = "describe " + t.Label(x.b) + " (" + string(row.Code) + ") to " + who
		}
		if row.Code.Spoken() {
			e.AskCode = false
			e.Label = "offer " + t.Label(x.b) + " to " + who
		}
		if t.In.Line >= 0 && e.Event.Line != "" && x.b.lineAt(t.In.Line).Name != e.Event.Line {
			e.Wanted++ // it rather keeps to the line it comes on
		}
		x.numbered(&e, &d)
		x.offer(e)
	}
}

// offeredNext is the offer that may come over a line.
func (x *expecting) offeredNext(d action) {
	row := x.offerRow(d.ref().section, d.ls().LastOffer, rulebook.Passenger)
	who := d.section().Neighbour
	e := Expectation{Event: x.bellEvent(&d, row, nil), Act: ActOffer, AskCode: true, AskTrain: true, Wanted: x.s.Now + laterOffer}
	if t := x.s.Train(d.ls().Train); t != nil && t.Where == OfferedHere {
		e.Event.Train, e.AskTrain = t.Name, t.Name == ""
	}
	if row.Code.Spoken() {
		e.AskCode = false
		e.Event.Train = cmp.Or(e.Event.Train, guessedName)
	}
	x.numbered(&e, &d)
	e.Label = OfferWords(who, row.Code, true)
	if d.section().Method.Is().Described {
		e.Label = "description " + string(row.Code) + " from " + who
	}
	if !x.offer(e) && x.b.Booking == BookExchanges {
		e.Event.PN, e.AskPN = "", false
		e.Event.Bells = e.Event.Bells[:len(e.Event.Bells)-1]
		e.Label = OfferWords(who, row.Code, false)
		x.offer(e)
	}
}

// OfferWords is the label of a neighbour's offer, written with the answer that
// accepts it or without.
func OfferWords(who string, code rulebook.Code, accepted bool) string {
	if code.Spoken() {
		code = "a train"
	}
	if !accepted {
		return who + " offers " + string(code) + ": not accepted"
	}
	return "accept " + string(code) + " from " + who
}

// wantsAway is when a train on hand will want to go on: one put in a siding waits
// for its time, one without tail lamp until it is found complete, and one that is
// kept back by a line blocked to it for that.
func (x *expecting) wantsAway(t *Train) Time {
	if p := x.b.PlaceNamed(t.Place); t.Where == Here && (t.Proof == NoTailLamp || p != nil && p.Siding) ||
		t.Where != Here && t.In.open() && t.In.Accepted != 0 && x.s.Lines[t.In.Line].Phase.Blocked() {
		return x.s.Now + laterOffer - 1
	}
	if t.Where == Here {
		return max(x.arrival(t), x.s.Now) // nothing owed on account of it waits for that
	}
	return x.arrival(t)
}

// arrival is when a train is here or will be.
func (x *expecting) arrival(t *Train) Time {
	switch {
	case t.In.Arrived != 0:
		return t.In.Arrived
	case t.In.Entered != 0:
		return t.In.Entered + x.s.running(x.b, t.In.Section, t.Class)
	case t.In.Accepted != 0:
		return t.In.Accepted + soonEntering + x.s.running(x.b, t.In.Section, t.Class)
	}
	return t.OpenedAt
}

func (x *expecting) enterNext(d action) {
	row := x.row(d.ref().section, rulebook.Entering, rulebook.AnyClass)
	for _, t := range x.s.Trains {
		l := t.leg(d.dir)
		if l.Line != d.line || !l.open() || l.Accepted == 0 || l.Entering != 0 {
			continue
		}
		e := Expectation{Event: x.bellEvent(&d, row, t), Act: ActEnter, Mine: d.mine, Wanted: l.Accepted + soonEntering}
		if d.section().Method.Is().Counter {
			e.Event = Event{Kind: Indicator, Section: d.section().Neighbour, Subject: "occupied", Line: d.lineName()}
		}
		e.Label = t.Label(x.b) + " entering section, from " + d.section().Neighbour
		if d.mine {
			e.Label = t.Label(x.b) + " entering section, to " + d.section().Neighbour
			e.Wanted = max(x.arrival(t), t.DepartedAt)
			if x.piloted(t) && t.DepartedAt == 0 {
				e.Wanted = max(e.Wanted, l.Accepted) + Minute + 1 // it departs first, and with whom is told
			}
			if t.In.Section >= 0 && t.In.Arrived == 0 {
				if s := x.b.Sections[t.In.Section]; s.Running != [rulebook.ClassCount]Time{} && t.In.Entered != 0 && (x.s.Now-t.In.Entered)*4 < x.s.running(x.b, t.In.Section, t.Class) {
					continue // it cannot be here yet, as little as its arrival is offered (tooSoon)
				}
				e.Wanted += Minute / 2 // it passes here first
			}
		}
		if d.ls().Phase.Blocked() { // only if it had passed before: not what happens next, nor what Enter writes
			e.Wanted = d.ls().Since + laterRemoval + 1
			e.Clears = d.lineName() + ", " + d.section().Neighbour + ", is " + d.ls().Phase.String() + ". "
			if d.mine {
				e.Clears += "Had it passed your signals already?"
			} else {
				e.Clears += "Did " + d.section().Neighbour + " bell it all the same, as a train that had passed already?"
			}
		}
		x.offer(e)
	}
}
