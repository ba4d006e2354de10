package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Misplaced is a bell, or an offer with its answer, that hangs on the wrong peg: written with
// its arrows turned, or of another box. It shows where the two do not meet: a bell is against
// the rules where it is written, and of one train only it would be the regular next elsewhere.
// It is found, and the two are taken as of one place; and answered when the book shows that
// nothing else was given. Should the same be booked of that train again, they were two, and
// the danger stands. Common practice of reading a book.
type Misplaced struct {
	Act   Act
	Line  int // on which it is taken to have been given
	Was   int `json:",omitempty"` // on which it is written
	Train int // that shows it: the one that entered, or that of which out of section is booked
	At    Time
	Found []Answer // the danger, or what is told in its place, and what was found of an offer in the wrong place
	Said  string
	Offer bool   `json:",omitempty"` // it is the offer that is misplaced, and was against the rules, or a token shows it
	Beats bool   `json:",omitempty"` // it is written with the beats of another
	Name  string `json:",omitempty"` // of its train, which is off hand
	Named bool   `json:",omitempty"` // the bell is, by that name
	Told  bool   `json:",omitempty"` // it is said already, and is taken back should it be the other that is misplaced, the bell or the offer

	Against []Answer `json:",omitempty"` // what was done meanwhile that is a danger should it be there that the train is
}

// misplaces are the acts of which that can be told, with the danger that it was found to be.
var misplaces = map[Act]rulebook.RuleID{
	ActEnter: rulebook.EnteredWithoutAcceptance, ActOut: rulebook.OutOfSectionTrainNotArrived, ActDraw: rulebook.TokenOutWithoutRelease,
}

// misplaced takes an act that was found to be a danger, and the only one like it that is
// awaited with the arrows turned, or with another box, as one; false where there is none.
func (d *action) misplaced() bool {
	if d.act == ActOut && d.foundNow(misplaces[ActOut]) < 0 && (d.bothGiven() || d.ofAside()) {
		return true
	}
	i, another := d.strange()
	if i < 0 || d.act == ActEnter && d.train != nil && d.train.Name != d.e.Train {
		return false
	}
	k := d.twin()
	if k == nil && d.act == ActEnter && d.offeredTurned() {
		return false
	}
	if k == nil || another && (k.train != d.train || !k.train.Out.Booked && !k.comesFrom(d)) || d.act == ActOut && k.train.aside(k.line) && d.s.occupied(d.line) != nil {
		return false // elsewhere it is of none; or one is in that it is of as it is written
	}
	wrong, right, m := d, k, Misplaced{Act: d.act, Line: k.line, Was: d.line, Train: k.train.ID, At: d.e.At, Found: []Answer{*d.found[i].answer()}}
	if j := d.foundNow(rulebook.CodeNotAuthorised); j >= 0 {
		m.Found = append(m.Found, *d.found[j].answer()) // words, where that box is worked by bell
	}
	what, sure := d.act.String(), false
	if d.act == ActOut {
		as := d.outAsWritten()
		if as == nil {
			return false
		}
		m.Train = as.ID
	} else if sure = d.act == ActEnter && d.e.Train != "" && k.train.unseen() && (d.dir == Inward || !k.train.toGo(-1)) && k.tokens().Out == 0 && (d.ls().Phase == Normal || k.line == d.line) && !d.tokenless(); sure || k.offerAstray(&m) {
		what, wrong, right, m.Line, m.Was = "the offer", k, d, d.line, k.line
	}
	if right == d && d.act == ActEnter && d.ls().Since > k.train.leg(k.dir).Offered {
		return false // the line was in use since: line clear is not of that offer, or it was given against what was done there
	}
	m.Said = misplacedWords(what, wrong.section().Neighbour, right.section().Neighbour, k.train.Label(d.b))
	if d.found[i].Train != k.train.Label(d.b) {
		d.found[i].Text += "; unless it was " + words("of "+k.train.Label(d.b), k.section().Neighbour, "")
	}
	amiss := d.foundOf(k.train, k.train.leg(k.dir), tooMany)
	if o := d.s.doubtOf(k.line, k.train.ID, StepCancel); o != nil && sure {
		m.Against = o.Found // it was not cancelled there: it was never accepted, or it comes
		d.endDoubt(*o)
	}
	if right == d {
		k = d.rehang(k)
	}
	if sure { // one train comes from one box
		d.unfind(misplaces[d.act])
		d.unfind(rulebook.CodeNotAuthorised)
		d.taken = nil
		m.tell(d.step, k.train)
		m.Offer, m.Told, m.Found = true, true, append([]Answer{*d.found[len(d.found)-1].answer()}, amiss...)
	}
	if !sure || m.Was != m.Line {
		d.s.Misplaced = append(slices.Clip(d.s.Misplaced), m)
	}
	k.train, k.moved = d.touch(k.train), true
	k.do(d.act)
	return true
}

// strange is which finding says that the act fits nothing where it is written, -1 for none, and
// whether that is because it names another train than the one with line clear.
func (d *action) strange() (i int, another bool) {
	i = d.foundNow(misplaces[d.act])
	if i < 0 && d.act == ActEnter && !d.section().Method.Is().Offers { // where nothing is belled
		i = d.foundNow(rulebook.StaffElsewhere)
	}
	if another = i < 0 && d.act == ActEnter && d.e.Train != ""; another { // on the line clear of another: by name, and booked as gone elsewhere
		i = d.foundNow(rulebook.WrongTrainEntered)
	}
	return i, another
}

// comesFrom says whether the bell is of a train that has line clear from the box it is written as
// sent to, over the other line, and was not seen here: nothing but its arrows take it there.
func (d *action) comesFrom(written *action) bool {
	return d.dir == Inward && d.ref().section == written.ref().section && d.line != written.line && d.train.unseen() && d.train.accepted(d.line)
}

// ofAside takes an out of section that is of no train as with its arrows turned, or of another
// box, where one that the boxes went on without is still to be given out: it was there until now;
// or where the train that it names is in the section.
// Not where one was given out here since that went in: that may have been the wrong one.
func (d *action) ofAside() bool {
	var k *action
	n := 0
	for l, r := range d.b.lines {
		for _, dir := range [...]Dir{Inward, Outward} {
			o := action{step: d.step, act: ActOut, line: l, dir: dir, mine: d.mine == (dir == d.dir)}
			if o.train = o.awaits(true); o.train == nil {
				continue
			}
			byName := o.train.Name == d.e.Train && dir == d.dir && r.section != d.ref().section
			if byName || o.train.aside(l) && (dir == d.dir || r.section == d.ref().section) {
				k, n = &o, n+1
			}
		}
	}
	ls := d.ls()
	if d.foundNow(rulebook.OutOfSectionNoTrain) < 0 || n != 1 || ls.Phase != Normal || ls.Since >= k.train.leg(k.dir).Entered {
		return false
	}
	d.unfind(rulebook.OutOfSectionNoTrain)
	box := d.section().Neighbour
	d.writtenWrong(d.e.Seq, box, k.train, misplacedWords(ActOut.String(), box, k.section().Neighbour, k.train.Label(d.b)))
	k.train, k.moved = d.touch(k.train), true
	k.do(d.act)
	return true
}

// byToken says whether trains carry a token in the section.
func (d *action) byToken() bool { return tokened(d.section().Method.Is()) }

// tokenless says whether a train cannot go this way: no token is drawn for it here.
func (d *action) tokenless() bool {
	return d.byToken() && d.dir == Outward && d.tokens().Out == 0
}

// twin is the act where else it would be the regular next; nil for nowhere, or more than
// one such place.
func (d *action) twin() *action {
	var twin *action
	n := 0
	for l, r := range d.b.lines {
		for _, dir := range [...]Dir{Inward, Outward} {
			turned := dir != d.dir
			if turned != (r.section == d.ref().section) || d.act == ActOut && !turned || d.act == ActDraw && turned && !(d.far && d.lies(d.number) == TokenAway) {
				continue // an out of section at the wrong box is of the wrong train as well
			}
			k := action{step: d.step, act: d.act, line: l, dir: dir, mine: d.mine != turned}
			if k.train = k.awaits(true); k.train != nil && !(d.act == ActDraw && turned && !k.train.neverHere()) {
				twin, n = &k, n+1
			}
		}
	}
	if n != 1 {
		return nil
	}
	return twin
}

// unseen says whether no entry was made of the train at the box.
func (t *Train) unseen() bool { return t.PlaceSeq == 0 && t.DepartedAt == 0 }

// neverHere says whether a train is known by no more than that it has line clear to leave.
func (t *Train) neverHere() bool { return t.In.Section < 0 && t.unseen() && t.Out.Entered == 0 }

// tooMany are the rules that the offer of a train, or its answer, breaks with another there.
var tooMany = map[rulebook.RuleID]bool{rulebook.AcceptedSectionOccupied: true, rulebook.AcceptedTwice: true, rulebook.OpposingAcceptance: true, rulebook.OfferedBeforeOutOfSection: true}

// offerAstray says whether of a bell and an offer that do not meet the offer is the one
// misplaced: of a train that was never here, as against one that comes; given when it was
// against the rules; or to a box from whose instrument no token was drawn.
func (d *action) offerAstray(m *Misplaced) bool {
	list := d.foundOf(d.train, d.train.leg(d.dir), tooMany)
	m.Offer = d.act == ActDraw || d.dir == Inward && len(list) > 0 && d.tokens().Out == 0
	if !m.Offer && !d.train.neverHere() {
		return false
	}
	m.Found = append(m.Found, list...)
	return true
}

// rehang takes the offer that a train has elsewhere, and its answer, as made here.
func (d *action) rehang(from *action) *action {
	t, pn := d.touch(from.train), d.s.Lines[from.line].PN
	l := *t.leg(from.dir)
	*t.leg(from.dir) = noLeg
	d.handOver(&l, t.ID, 0)
	d.standsAgain(&l)
	d.settle(l.Line)
	d.asAccepted(t, &l, pn)
	k := *d
	return &k
}

// outTurned takes out of section given here, over a single line, for a train that went and
// can have run through it, as given by the other box: nothing but its arrow brings it back.
func (st *step) outTurned(t *Train, l *Leg, o *Doubt) bool {
	if t.Returned || t.Where != Away || l.TokenIn || !st.b.Sections[l.Section].Method.Is().Single || l.Given-l.Entered <= st.least(l, t.Class) {
		return false
	}
	box := st.b.Sections[l.Section].Neighbour
	st.answered(st.explainedBy(o, t, []Step{StepOut}))
	st.writtenWrong(o.Seq, box, t, misplacedWords(ActOut.String(), box, box, t.Label(st.b)))
	l.Aside, l.OutOf = false, l.Given
	st.notOverdue(l.Section, t)
	st.close(t)
	line := l.Line
	st.endDoubts(func(d *Doubt) bool { return d.Line == line && d.Train == t.ID })
	return true
}

// outAsWritten is the train accepted on the line that an out of section is of as it is written.
func (d *action) outAsWritten() *Train {
	t := d.train
	if t == nil || t.leg(d.dir).Line != d.line {
		t = d.s.Train(d.ls().Train)
	}
	if t == nil || t.leg(d.dir).Line != d.line || t.leg(d.dir).Accepted == 0 {
		return nil
	}
	return t
}

// asAccepted gives the train line clear on this line, by the offer and answer of another leg:
// what speaks against it here is found now.
func (d *action) asAccepted(t *Train, by *Leg, pn string) {
	if d.dir == Inward {
		t.Where = OfferedHere
	}
	d.begin(t).Offered = by.Offered
	ls := d.editLine(d.line)
	ls.Phase, ls.Train, ls.Dir = Offered, t.ID, d.dir
	entry, told := d.e, *d.e
	told.PN = pn
	d.e = &told
	given := *d
	given.train, given.mine = t, d.dir == Inward
	given.do(ActAccept)
	d.e, d.train = entry, given.train
	d.touch(given.train).leg(d.dir).Accepted = by.Accepted
}

// awaits finds the train of which the act would be the regular next on the line: with named
// set the one that the entry names, if it names one. Of one that stands aside out of section
// is awaited, and that it enters where it is named.
func (d *action) awaits(named bool) *Train {
	how, way := d.section().Method.Is(), d.b.lineAt(d.line).Way
	if way == Shut || way == In && d.dir == Outward || way == Out && d.dir == Inward || !how.Offers {
		return nil
	}
	t := d.s.occupied(d.line)
	if d.act == ActDraw || d.act == ActEnter && (t == nil || t.leg(d.dir).Entering != 0) {
		t = d.s.Train(d.ls().Train)
	}
	if (d.act == ActOut || d.act == ActEnter && named && d.e.Train != "") && !d.dueOf(t, named) {
		t = onlyTrain(d.s.Trains, func(o *Train) bool { return o.aside(d.line) && (d.act == ActOut || o.Name == d.e.Train) })
	}
	if !d.dueOf(t, named) {
		return nil
	}
	return t
}

// dueOf says whether the act is the regular next of a train.
func (d *action) dueOf(t *Train, named bool) bool {
	if t == nil || t.leg(d.dir).Line != d.line || t.Helps != 0 || named && d.e.Train != "" && d.e.Train != t.Name {
		return false // an engine that assists goes with its train: there is no bell for it alone
	}
	l, how := t.leg(d.dir), d.section().Method.Is()
	switch {
	case d.act == ActOut && d.dir == Inward:
		return l.Entered != 0 && !l.Falsely && t.clearOfSection() && t.whole()
	case d.act == ActOut:
		return l.Entered != 0 && d.e.At-l.Entered > d.least(l, t.Class)
	case d.act == ActDraw:
		return t.accepted(d.line) && t.Where == Here && d.tokens().Out == 0 && l.Token == 0
	case t.neverHere() && d.dir == Outward:
		return t.accepted(d.line) && (how.Entering || how.ByBell || d.e.Train != "") && d.tokens().Out == 0
	case !how.Entering && !how.ByBell && d.e.Train == "" || d.tokenless():
		return false
	case l.Entered != 0:
		return l.Booked
	}
	return (t.accepted(d.line) || l.Aside && l.standing() == 2) && (d.dir == Inward || t.stillHere())
}

// shown answers what was found of misplaced bells of which nothing more can be booked.
func (st *step) shown() {
	st.notMeant()
	for _, m := range slices.Clone(st.s.Misplaced) {
		t := st.s.known(m.Train)
		shown := t != nil && m.shownBy(t)
		if m.Beats {
			t, shown = &Train{Name: m.Name, Where: Here}, st.letInSince(&m)
		}
		if bell := m.Told && !m.Offer; t != nil && (!shown || bell && t.In.open()) && st.e.At-m.At <= presumedFor {
			continue
		}
		if shown {
			st.answered(m.Against)
		}
		if shown && m.Told {
			st.answered(m.Found[1:])
		} else if shown {
			stood := st.s.open(m.Found[0].Of)
			st.answered(m.Found)
			st.found = slices.DeleteFunc(st.found, func(f Finding) bool { return slices.Contains(m.Found, *f.answer()) })
			m.tell(st, t)
			if stood != nil {
				st.mayBeTwo(&m, stood)
			}
			if m.Act == ActEnter && m.Was != m.Line && t.In.Line == m.Line && st.e.From == "" {
				// It came with no box named: the offer may be what is misplaced, should the train be given out
				// of section where the bell is.
				st.endMisplaced(m.Found[0])
				m.Told, m.Found = true, []Answer{*st.found[len(st.found)-1].answer()}
				st.s.Misplaced = append(slices.Clip(st.s.Misplaced), m)
				continue
			}
		}
		st.endMisplaced(m.Found[0])
	}
}

// mayBeTwo lets what was found stand again, should another come yet on line clear that names
// none, or the train go from here as well under whose name the line clear of one that went is
// booked.
func (st *step) mayBeTwo(m *Misplaced, stood *Finding) {
	p := Presumption{Line: m.Line, Name: m.Name, Unnamed: m.Name == "", Found: []Finding{*stood}}
	switch {
	case m.Act == ActAccept && p.Unnamed:
		p.Said = *st.found[len(st.found)-1].answer()
	case m.Act == ActOffer && !p.Unnamed:
		p.Said = Answer{Seq: st.e.Seq}
	default:
		return
	}
	st.presumption(p)
}

// tell says what was written in the wrong place.
func (m *Misplaced) tell(st *step, t *Train) {
	st.writtenWrong(m.Found[0].Seq, m.Found[0].Section, t, m.Said)
}

const whereItBelongs = "what is written where it belongs: correct that entry"

// writtenWrong says of the entry of that number what is written in it in the wrong place.
func (st *step) writtenWrong(seq int64, box string, t *Train, said string) {
	f := st.note(rulebook.TrainNameDiffers, box, t.Label(st.b), whereItBelongs)
	f.Text, f.Rests = said, []int64{seq, st.e.Seq}
}

// shownBy says whether the train is booked on without the bell of its own.
func (m *Misplaced) shownBy(t *Train) bool {
	l := &t.In
	if t.Out.Line == m.Line && m.Act != ActOut && t.In.Line != m.Line {
		l = &t.Out
	}
	switch {
	case m.Act == ActOffer:
		return t.In.Section >= 0 && t.In.Offered >= m.At || t.Out.Line == m.Line && t.Out.OutOf != 0
	case m.Act == ActOut:
		return t.In.OutOf != 0 && t.In.OutOf > m.At
	case l.Line != m.Line || m.Offer:
		return l.Line == m.Line && l.OutOf != 0
	case l == &t.Out:
		return l.Booked || l.OutOf != 0
	}
	return l.Arrived != 0 || l.OutOf != 0
}

func (st *step) endMisplaced(of Answer) {
	st.s.Misplaced = left(st.s.Misplaced, func(m *Misplaced) bool { return m.Found[0] == of })
}
