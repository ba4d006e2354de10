package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// commits are the acts by which both boxes go on working a line: after one of
// them, what the book still shows there stands aside, in doubt, and the line
// goes on from the phase here.
var commits = map[Act]Phase{
	ActAccept: Accepted, ActAcceptRestricted: RestrictedLC, ActEnter: InSection, ActDepart: InSection,
	ActRelease: ShuntReleased, ActShunt: Shunting, ActBlockInside: BlockedInside, ActBlockOutside: BlockedOutside,
}

// doubtful opens a doubt about everything on the line but the train of this act,
// and says whether there is anything.
func (d *action) doubtful() bool {
	any := false
	for _, t := range d.s.Trains {
		if d.train != nil && t.ID == d.train.ID {
			continue
		}
		if t.occupies(d.line) {
			if !d.offeredBehind() {
				d.doubt(d.line, t, StepOut)
				any = true
			}
		} else if t.accepted(d.line) {
			step := StepCancel
			if t.In.Line == d.line && t.In.Given != 0 || t.Out.Line == d.line && t.Out.Given != 0 {
				step = StepPassage
			}
			d.doubt(d.line, t, step)
			any = true
		}
	}
	switch p := d.ls().Phase; {
	case p.Blocked():
		d.doubt(d.line, nil, d.ls().blockedBy())
		any = true
	case p.shunting() && !any:
		d.doubt(d.line, nil, StepWithdrawn)
		any = true
	}
	return any
}

// offeredBehind says whether a train is signalled behind those in the section, which are there
// still, and that with one accepted is what is against the rules.
func (d *action) offeredBehind() bool {
	return d.section().Method.Is().Follows && d.ls().Phase.lineClear() && !d.crowded() && (d.act == ActOffer || d.act == ActAccept || d.act == ActAcceptRestricted)
}

// blockedBy is the end that a block awaits. Obstruction removed is sent from one box to the
// other and acknowledged: both know of the block, and when the one then offers a train and
// the other gives line clear for it, either both break the regulation, or that one signal is
// not booked. What ran away has left the box that told of it, whose line clear says nothing
// of it; and a train that got through proves as little. Sources: signalbox.org, Block system
// ch. 3 and 9; signaller study cards, obstruction danger and TS1 2.2.
func (ls *LineState) blockedBy() Step {
	if ls.Runaway {
		return StepStopped
	}
	return StepRemoval
}

// tokenAside takes the token of the train put aside as home at the end the train
// went to.
func (d *action) tokenAside() {
	if d.tokens().Out == 0 || d.train != nil && d.tokens().Train == d.train.ID {
		return
	}
	ts := d.editToken(d.ref().section)
	holder := d.s.Train(ts.Train)
	away := ts.OutBy == Outward && (holder == nil || holder.Out.Line == d.line && holder.Out.Entered != 0) && !ts.Shunt ||
		ts.OutBy == Inward && (ts.Shunt || holder != nil && holder.In.Entered == 0)
	d.lay(ts.Out, endOf(away))
	for i := range d.s.Doubts {
		if o := &d.s.Doubts[i]; o.Line == d.line && o.Step == StepWithdrawn && o.Seq == d.e.Seq {
			d.ownDoubts()[i].Token = ts.Out
		}
	}
	ts.in()
}

// shownClear presumes, when a train has gone through the section and out of it,
// every step of the earlier ones that the book lacks.
func (d *action) shownClear() {
	if len(d.s.Doubts) == 0 || d.foundNow(rulebook.RunningTimeShort) >= 0 {
		return // none runs so fast: it may have been of one in doubt
	}
	d.clearAgain()
	for _, o := range slices.Clone(d.s.Doubts) {
		if o.Line != d.line || o.Step == StepNone || o.Step.lasts() || d.train != nil && o.Train == d.train.ID {
			continue
		}
		if o.Step == StepRemoval && d.obstructed() && (d.train == nil || d.peopled() || !d.ranOver(&o)) {
			continue
		}
		if t := d.s.Train(o.Train); t != nil && !t.aside(o.Line) {
			continue
		}
		d.takeAsMade(&o)
	}
}

// ranOver takes what is booked as standing on the line, with no end of it and obstruction removed
// not booked, as gone where a second train let in over it has run through: what was found stands,
// and is not found again of each that follows.
func (d *action) ranOver(o *Doubt) bool {
	if l := d.train.leg(d.dir); l.Accepted <= o.At {
		return false
	}
	d.s.Obstructions = left(d.s.Obstructions, d.isOn)
	o.Found = nil
	return true
}

// takeAsMade takes the missing steps of a doubt as made: it says so, answers what
// they explain and ends the train's use of the line.
func (st *step) takeAsMade(o *Doubt) {
	steps := []Step{o.Step}
	t := st.s.Train(o.Train)
	if t != nil {
		t = st.touch(t)
		l := t.asideBy(o.Line)
		dir := dirOf(l == &t.In)
		switch {
		case l == nil:
		case l.Falsely && l.Arrived != 0:
			st.cameAside(t, l)
			return
		case dir == Outward && o.Step == StepReturn && st.outTurned(t, l, o):
			return
		case dir == Outward && o.Step == StepReturn:
			if !st.returned(t, o) {
				return
			}
		default:
			steps = st.endPresumed(t, l, dir, o.At)
		}
	}
	st.notBooked(*o, t, steps...)
}

// endPresumed ends a leg by steps presumed, made at the latest when the doubt
// arose, and names them.
func (st *step) endPresumed(t *Train, l *Leg, dir Dir, at Time) []Step {
	l.Aside, l.Presumed = false, true
	st.notOverdue(l.Section, t)
	if l.Entered == 0 && l.Given != 0 { // the section was shown free after it
		l.Entered, l.Falsely = l.Given, true
	}
	if l.Entered == 0 {
		l.Cancelled = at
		if dir == Inward && t.Where <= Approaching || dir == Outward && t.In.Section < 0 && t.Place == "" {
			st.close(t)
		}
		return []Step{StepCancel}
	}
	steps := []Step{StepOut}
	l.OutOf = at
	if st.shutInBefore(t, l) {
		return []Step{StepTokenIn}
	}
	if dir == Outward {
		if !t.Returned {
			st.close(t)
		}
		return steps
	}
	if !t.clearOfSection() {
		l.Arrived = at
		steps = []Step{StepArrival, StepOut}
	}
	if l.Falsely {
		l.OutOf, l.Arrived = l.Given, l.Given
		steps = []Step{StepArrival}
		if l.Entered == l.Given {
			steps = []Step{StepPassage}
		}
	}
	if t.Where == Approaching || t.Where == Unaccounted {
		t.Where = Here
	}
	if t.PutAway && !t.Out.open() || t.Where == PassedHere && t.Out.Section < 0 && len(st.b.Sections) == 1 {
		st.close(t)
	}
	return steps
}

// notBooked says, once, which steps are missing and answers what they explain.
func (st *step) notBooked(o Doubt, t *Train, steps ...Step) {
	f := st.finding(rulebook.StepNotBooked)
	f.Section, f.Line, f.Train = st.neighbourOn(o.Line), st.b.lineAt(o.Line).Name, o.Name
	if t != nil {
		f.Train = t.Label(st.b)
	}
	if steps[0] == StepAccepted && st.contradict(func(p *Presumption) bool {
		return p.Line == o.Line && p.Name == f.Train && slices.Contains(p.Steps, StepCancel)
	}) {
		st.answered(st.explainedBy(&o, t, steps)) // it had line clear yet
		st.endDoubt(o)
		return
	}
	text := f.missing(&o, t, steps)
	f.Rests = []int64{st.e.Seq}
	if o.Seq != st.e.Seq && o.Seq != 0 {
		f.Rests = []int64{o.Seq, st.e.Seq}
	}
	if slices.Contains(steps, StepOut) {
		st.ownOut(o.Line, t)
	}
	aside := st.hungAside(t, &o, steps)
	if aside != nil {
		f.Rule, f.Expected, f.Rests = rulebook.TrainNameDiffers, whereItBelongs, []int64{aside.Seq, st.e.Seq}
		text = misplacedWords(ActOut.String(), aside.Section, f.Section, f.Train)
	}
	if !o.Said || o.misreported() {
		st.add(f).Text = text
	}
	answers := slices.Concat(st.overdue(f.Section, t), st.explainedBy(&o, t, steps), st.restedOn(&o, t, steps))
	if aside != nil {
		answers = append(answers, *aside.answer())
	}
	st.presumed(&o, t, &f, steps, answers)
	st.answered(answers)
	st.endDoubt(o)
}

// hungAside finds the one out of section with no train, received of another box, that is of a train
// which is shown to be out of the section ahead with none booked: it came when that had run through.
func (st *step) hungAside(t *Train, o *Doubt, steps []Step) (found *Finding) {
	if t == nil || t.Out.Line != o.Line || !slices.Equal(steps, []Step{StepOut}) {
		return nil
	}
	for _, f := range st.s.Open {
		if f.Rule != rulebook.OutOfSectionNoTrain || !strings.Contains(f.Text, " received") || f.Section == st.b.Sections[t.Out.Section].Neighbour || f.Train != "" || f.At-t.Out.Entered < st.least(&t.Out, t.Class) {
			continue
		}
		if found != nil {
			return nil
		}
		found = f
	}
	return found
}

// missing says which steps of a train are, by what that is shown and what to do about it. A train
// that was reported by another number than its own lacks none; nor, as it may be, one that is
// accepted again and has not gone: line clear may only be written twice.
func (f *Finding) missing(o *Doubt, t *Train, steps []Step) string {
	switch {
	case o.misreported():
		f.Rule, f.Expected = rulebook.TrainNameDiffers, "its own number: correct that entry"
		return words("The train was reported in by another number than its own", f.Section, f.Train)
	case t != nil && steps[0] == StepCancel && t.accepted(o.Line):
		f.Expected = "the exchange written once: correct the one that is too many; book cancelling late only where it was sent"
		return words("Line clear is booked twice for one train, with no cancelling between", f.Section, f.Train)
	}
	text := words(capital(stepsIn(steps))+" not booked", f.Section, f.Train)
	if steps[0] == StepAccepted {
		f.Expected = "the offer and line clear booked late, if they were exchanged; if not, that it went without"
		return text + "; both boxes worked the train as if it had been given"
	}
	return text + "; this entry shows that it was done"
}

// late takes train out of section for a train that stands aside: it is out, and
// what was found stands. The line goes on with the train that followed it.
func (d *action) late() bool {
	t := d.train
	if d.act != ActOut || t == nil || !t.aside(d.line) || t.Out.Line == d.line && t.Out.TokenIn { // its token is home: it is back
		return false
	}
	d.dir = dirOf(t.In.Line == d.line && t.In.Aside)
	if row := d.machine().Row(InSection, false, ActOut); row != nil {
		d.judge(row)
	}
	d.outOfSection(true)
	l := d.train.leg(d.dir)
	if d.dir == Outward && !d.mine && l.Given != 0 { // it was there yet when out of section was given here
		d.sure(d.line, d.train.ID)
	}
	if d.e.Train != "" {
		d.thereYet(l)
	}
	if !l.open() {
		l.Aside = false
		if d.train.Where == Unaccounted {
			d.train.Where = Here
		}
	}
	return true
}

// presumeArrival takes a train given out of section with no arrival booked as
// arrived when it is then recorded moving here or going on.
func (st *step) presumeArrival(t *Train) {
	l := &t.In
	k := first(st.s.Doubts, func(o *Doubt) bool {
		return o.Train == t.ID && o.Line == l.Line && !o.Step.lasts() && o.Step != StepNone
	})
	if k == nil || !l.open() || l.Arrived != 0 {
		return
	}
	o, line := *k, l.Line
	if l.Falsely {
		st.notBooked(o, t, st.endPresumed(t, l, Inward, o.At)...)
		if st.s.Lines[line].Phase == InSection {
			st.settle(line)
		}
		return
	}
	l.Arrived = o.At
	st.notBooked(o, t, StepArrival)
	if l.Aside { // its out of section is to come
		o.Found = nil
		st.s.Doubts = append(slices.Clip(st.s.Doubts), o)
	}
}

// uncleared notes a train whose row closes, out of the section ahead, while the section it came by
// has not been cleared: what was found against it may rest on no more than that.
func (d *action) uncleared(t *Train) {
	l := &t.In
	there := d.dir == Outward && l.inSection() && !l.Aside && t.Where != Unaccounted
	if !there && !(l.Aside && l.open()) {
		return
	}
	if there && d.s.doubtOf(l.Line, t.ID, StepOut) == nil {
		d.s.Doubts = append(slices.Clip(d.s.Doubts), Doubt{Line: l.Line, At: d.e.At, Train: t.ID, Name: t.Label(d.b), Step: StepOut})
	}
	out := []Step{StepOut}
	for i := range d.s.Doubts {
		if o := d.s.Doubts[i]; o.Line == l.Line && o.Train == t.ID && o.Step == StepOut {
			o.Found = slices.Concat(d.overdue(d.b.Sections[l.Section].Neighbour, t), d.explainedBy(&o, t, out), d.restedOn(&o, t, out))
			o.Train = 0 // the line went on without it, and so does the doubt
			d.ownDoubts()[i] = o
		}
	}
}

// goneOn presumes train out of section for a train already out of the section
// ahead, when the line is next used: no second train can be meant.
func (d *action) goneOn() {
	if d.ls().Phase != InSection || d.act == ActOut || d.s.occupied(d.line) != nil {
		return
	}
	if k := d.s.doubtOf(d.line, 0, StepOut); k != nil {
		d.takeAhead(k.Name)
		d.notBooked(*k, nil, StepOut)
		d.settle(d.line)
	}
}

// takeAhead takes back, before it is found, that a train is signalled with another in the
// section: it was that should the other be given out of section only later.
func (d *action) takeAhead(name string) {
	rule := rulebook.OfferedBeforeOutOfSection
	if d.dir == Inward && slices.ContainsFunc(d.e.Bells, func(b Bell) bool { return b.Sent && d.code != nil && b.Code == d.code.Code }) {
		rule = rulebook.AcceptedSectionOccupied
	} else if d.act != ActOffer {
		return
	}
	f := d.wouldBreak(rule, d.section().Neighbour, d.lineName(), d.e.Train)
	if name != "" {
		f.Text += "; " + name + " is not out of section"
	}
	d.taken = append(d.taken, f)
}
