package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// named finds the train an event names, or opens a row for it.
func (st *step) named() *Train {
	if st.e.Kind != TrainArrived && st.e.Kind != TrainPassed { // what comes may have that name too
		st.renamedBefore()
	}
	if t := st.s.TrainNamed(st.e.Train); t != nil {
		return st.touch(t)
	}
	if t := st.meant(); t != nil {
		return t
	}
	return st.newTrain(st.e.Train)
}

func (st *step) trainArrived() {
	st.miswritten()
	if st.partIn() {
		return
	}
	st.cameAfterAll(false)
	t := st.arriving()
	st.cameFrom(t)
	st.gearUnder(t)
	t = st.wentUnbooked(t)
	st.cameBack(t)
	st.withRear(t)
	st.reach(t)
	t.Where, t.Stopped, t.Examine = Here, t.Stopped || t.Examine, false
	st.proof(t)
	st.withoutAcceptance(t)
	st.stand(t, st.e.Place)
	st.withoutEntering(t)
	st.inAfterwards(t)
	st.cameWithPilot(t)
}

// withoutEntering raises a train that came on line clear and was never belled
// into the section. Source: the published matrix of the token machine, W-36.
func (st *step) withoutEntering(t *Train) {
	if !t.In.accepted() || t.In.Assumed {
		return
	}
	if st.belled(t.In.Section) {
		st.cameUnbelled(t)
	}
	t.In.Entered = st.e.At
	st.wasIn(t, &t.In)
	st.settle(t.In.Line)
}

// cameUnbelled raises that a train came and the box in rear had not sent that it entered.
func (st *step) cameUnbelled(t *Train) {
	st.noteSaying(rulebook.EnteringNotSent, st.b.Sections[t.In.Section].Neighbour, t.Label(st.b), "A train came, and train entering section was not received for it", "train entering section from the box in rear when it left")
}

// cameBack notes that a train which had left for the section ahead is back.
func (st *step) cameBack(t *Train) {
	if t.Out.Entered != 0 {
		st.detach(t)
	}
	st.engineBack(t)
	if t.Where == Away && t.Out.open() && (st.e.From == "" || st.b.SectionIndex(st.e.From) == t.Out.Section) {
		t.Returned, t.Warned, t.Out.Shown = true, false, st.e.At // what it was told is used up
		if st.e.Kind == TrainMoved {                             // or it was here a little before, and that is not booked
			t.Out.Shown -= st.b.Limit(rulebook.LateAfter)
		}
		if t.Out.Aside && t.Out.Given != 0 { // given out of section before
			if d := st.begin(t.Out.Line, Outward, true); t.Out.Token != 0 && d.tokens().Out == 0 && !t.Out.TokenIn && d.lay(t.Out.Token, TokenOutOf) {
				st.editToken(t.Out.Section).Out = t.Out.Token // it comes with it
			}
			if st.e.Kind == TrainMoved { // and had come before
				t = st.presumeReturn(t)
			}
			st.cameAside(t, &t.Out)
			return
		}
		if st.e.From != "" { // it was there until now, and not out of the section before
			st.endDoubts(func(o *Doubt) bool { return o.Line == t.Out.Line && o.Train == t.ID && o.Step == StepOut })
		}
		st.staffMayCome(t, t.Out.Section)
		if st.s.Lines[t.Out.Line].Phase == Shunting {
			st.owe(rulebook.ShuntNotWithdrawn, Pending{Section: t.Out.Section, Line: t.Out.Line, Train: t.ID})
		}
		st.freedByReturn(t)
	}
}

// freedByReturn ends the section of a train that is back from it where there is no bell
// to tell so: the train is the section free, unless it came without its tail lamp. One that was let
// in against another that is on its way yet ends its own time there: out of section is given for the other.
func (st *step) freedByReturn(t *Train) {
	i := t.Out.Section
	if i < 0 || !t.Out.open() || !t.Returned || st.e.Proof == NoTailLamp {
		return
	}
	lamp := st.b.Sections[i].Method.Is().Counter // one for both
	opposed := firstTrain(st.s.Trains, func(o *Train) bool {
		return o.In.Line == t.Out.Line && o.In.open() && !o.In.Falsely && o.In.Arrived == 0 && (o.In.Entered != 0 || lamp && o.In.Accepted != 0)
	})
	if opposed != nil {
		st.online(t.Out.Line).comesYet(opposed)
	}
	if !st.b.Sections[i].Method.Is().Offers || st.s.Circuits[i].unbelled() || opposed != nil {
		t.Out.OutOf = st.e.At
		st.helpersBack(t)
		st.settle(t.Out.Line)
	}
}

// reach notes the arrival or passing on the leg the train came by.
func (st *step) reach(t *Train) {
	from := st.b.SectionIndex(st.e.From)
	if from >= 0 && t.In.Section < 0 && !t.Returned {
		t.In.Section, t.In.Line = from, st.lineFor(from, Inward, NoAct)
		if l := st.b.lineThat(from, func(l int) bool { return st.s.Lines[l].WrongWay && st.s.Lines[l].Phase == Normal }); l >= 0 {
			t.In.Line = l // by that agreement it came, over the line that trains leave by
		}
	}
	if from >= 0 && t.In.open() && t.In.Section != from && t.In.Arrived == 0 && !t.Returned && t.Out.Section != from {
		by := st.b.Sections[t.In.Section].Neighbour
		st.differs(st.e.From, t, "The train is booked as come from "+st.e.From+" and was signalled from "+by, "the box it was signalled from, "+by)
	}
	if t.In.Section >= 0 && t.In.Arrived == 0 {
		if f := st.tooSoon(t, &t.In); f != nil {
			f.Text = words("The train was here sooner than any train could run through the section", f.Section, f.Train)
		}
		st.cameDescribed(t)
		for _, o := range st.s.Trains { // come, and not given out when the next comes
			if o != t && o.In.Line == t.In.Line && o.In.open() && o.In.Arrived != 0 {
				st.ownOut(t.In.Line, o)
			}
		}
		t.In.Arrived = st.e.At
		st.quickest(&t.In, st.e.At)
		t.In.Seq = st.e.Seq
	}
	st.bring(rulebook.TrainOverdue, func(p *Pending) bool { return p.Section == t.In.Section && p.Train == t.ID })
	st.staffMayCome(t, t.In.Section)
}

// withoutAcceptance raises a train that came with nothing signalled for it.
func (st *step) withoutAcceptance(t *Train) {
	if t.Opened == st.e.Seq && t.In.Accepted == 0 && st.contradict(func(p *Presumption) bool {
		return p.Name == t.Name && slices.ContainsFunc(p.Found, func(f Finding) bool { return f.Rule == rulebook.AssistingEngineInSection })
	}) {
		return // it was to come back from assisting, and was not out of the section
	}
	if t.In.Section < 0 && !t.Returned {
		st.notBrought(t)
	}
	// One that was offered and now is here with the section shown occupied is the one that is in it:
	// line clear was not given, or not booked.
	sweptIn := t.In.open() && t.In.Offered != 0 && st.s.Lines[t.In.Line].unknownIn()
	if st.e.From == "" && !sweptIn || t.In.Section < 0 || t.In.Entered != 0 || t.In.Accepted != 0 || t.Returned {
		return // one that came on line clear is looked at by withoutEntering
	}
	switch {
	case st.cameByMessage(t), st.e.From != "" && st.cameAfterAll(true):
	case t.In.Line >= 0 && (st.s.Lines[t.In.Line].Runaway || st.s.Lines[t.In.Line].WrongWay): // the box in rear told of it
	case st.b.Sections[t.In.Section].Method.Is().Described:
		if !st.b.Sections[t.In.Section].OnlyReported { // by a describer, which shows it
			st.note(rulebook.TrainNotDescribed, st.e.From, t.Label(st.b), "the description received before the train came")
		}
	case st.b.Sections[t.In.Section].OnlyReported:
		st.note(rulebook.EnteringNotSent, st.e.From, t.Label(st.b), "the train reported away from there before it came")
	case st.b.byInterval(t.In.Section):
		st.cameByInterval(t)
		return
	default:
		st.note(rulebook.EnteredWithoutAcceptance, st.b.Sections[t.In.Section].Neighbour, t.Label(st.b), "the train offered and accepted before it came")
		if how := st.b.Sections[t.In.Section].Method.Is(); how.Offers && !how.Entering && t.In.Line >= 0 && st.s.occupied(t.In.Line) == nil {
			st.doubt(t.In.Line, t, StepAccepted)
		}
	}
	t.In.Entered = st.e.At
	if t.In.Line >= 0 && slices.Contains([]Phase{Normal, Accepted, RestrictedLC, CounterDoubt}, st.s.Lines[t.In.Line].Phase) {
		st.settle(t.In.Line)
	}
}

// proof takes what was seen of the train's completeness.
func (st *step) proof(t *Train) {
	if st.e.Proof == ProofNone {
		return
	}
	t.Proof, t.ProofAt, t.ProofSeq = st.e.Proof, st.e.At, st.e.Seq
	if st.e.Proof == NoTailLamp && !t.In.Assumed && !t.In.NoLamp && t.In.Section >= 0 && !spoken.of(st.b.Sections[t.In.Section].Method) && t.In.inSection() {
		st.owe(rulebook.TailLampNotReported, Pending{Section: t.In.Section, Train: t.ID})
	}
}

func (st *step) trainPassed() {
	st.cameAfterAll(false)
	t := st.arriving()
	st.cameFrom(t)
	st.reach(t)
	if t.Where != Away { // entering may have been sent before the passing is written
		t.Where, t.Place = PassedHere, st.e.Place
	}
	t.DepartedAt = st.e.At
	if t.Examine {
		st.note(rulebook.StopAndExamineOmitted, "", t.Label(st.b), "the train stopped here and examined")
	}
	st.notStopping(t)
	st.proof(t)
	st.withoutAcceptance(t)
	st.withoutEntering(t)
	st.inAfterwards(t)
	st.cameWithPilot(t)
	switch {
	case st.e.Section != "":
		st.departFor(t)
	case t.Out.open() && st.b.Sections[t.Out.Section].Method.Is().Described:
		st.departOn(t, t.Out.Line)
	case t.Out.Accepted != 0 && t.Out.Entered != 0:
		t.Where = Away
	case t.Out.Accepted != 0 && t.Out.open() && st.belled(t.Out.Section):
		st.owe(rulebook.EnteringNotSent, Pending{Section: t.Out.Section, Line: t.Out.Line, Train: t.ID})
	}
	if t.Out.inSection() {
		if t.Proof == NoTailLamp || t.Proof == TailLampOut {
			st.owe(tailLampRule(t.Proof), Pending{Section: t.Out.Section, Train: t.ID, Ahead: true})
		}
		t.Where = Away
	}
	st.gearUnder(t)
}

func (st *step) trainDeparted() {
	st.renamedBefore()
	t := st.departing()
	st.liftedToGo(t)
	st.gearUnder(t)
	switch {
	case st.e.Section != "":
		st.departFor(t)
	case t.Out.open():
		st.departOn(t, t.Out.Line)
	default:
		t.DepartedAt = st.e.At
	}
}

// departFor lets the train into the section to the neighbour named.
func (st *step) departFor(t *Train) {
	i := st.b.SectionIndex(st.e.Section)
	if i < 0 {
		return
	}
	line := st.lineFor(i, Outward, ActDepart)
	if t.Out.Section == i && t.Out.open() && st.e.Line == "" {
		line = t.Out.Line
	}
	if c := &st.s.Circuits[i]; c.Message && !c.Worded {
		if name := st.nearIn(c.Told, t.Name, Miswritten); name != "" {
			t = st.letGoAs(t, name)
		}
	}
	st.departOn(t, line)
}

func (st *step) departOn(t *Train, line int) {
	if twice := t.Where == Away && t.Out.Line == line && t.Out.Booked && t.Out.open() && t.DepartedAt == st.e.At; twice || st.goneBefore(t, line) || st.backForRear(t, line) {
		return
	}
	line = st.goneElsewhere(t, line)
	t = st.exchanged(t, line)
	t = st.claim(st.begin(line, Outward, true).goesHere(t, false), line, Outward)
	if t.Out.Line != line {
		st.detach(t)
	}
	t.Out.Assumed = false
	// An engine, booked as gone with the train in the section and taken off it since, leaves by itself.
	again := t.Out.Accepted == 0 && !t.Out.Booked && t.DepartedAt != 0 && len(st.s.On(t.Out.Line)) > 1
	if t.Out.Line == line && t.Out.inSection() && !t.Returned && !again {
		t.Where, t.Place = Away, "" // entering was sent before the departure was written
		t.Out.Booked = true
		d := st.begin(line, Outward, true)
		d.train = t
		d.pilotBooked()
		if t.DepartedAt == 0 || st.e.At < t.DepartedAt {
			t.DepartedAt = st.e.At
		}
		return
	}
	d := st.begin(line, Outward, true)
	d.train = d.signalledAs(t)
	if strings.Contains(strings.ToLower(st.e.Text), "shunt") {
		d.of(d.train).Shunts = true
	}
	d.do(ActDepart)
}

// notStopping judges the box condition that the running line is clear when line clear is given, and
// stays so, for a train that does not stop here: that it did not is known only when it has passed. Source: New Lynn, 28 May 1913, instruction 4(b).
func (st *step) notStopping(t *Train) {
	if t.In.Section < 0 || !st.b.Sections[t.In.Section].Requires("non-stopping-clear") || t.In.Against == 0 && st.runningLineClear() {
		return
	}
	f := st.note(rulebook.AcceptedConditionUnmet, st.b.Sections[t.In.Section].Neighbour, t.Label(st.b), optionWords(rulebook.Conditions, "non-stopping-clear"))
	if t.In.Against != 0 {
		f.Seq, f.At, f.Rests = t.In.Against, t.In.Accepted, []int64{t.In.Against, st.e.Seq}
	}
}

func (st *step) trainMoved() {
	if st.partIn() {
		return
	}
	st.shutInUnnamed()
	t := st.named()
	st.liftedToGo(t)
	st.gearUnder(t)
	for l := range st.b.lines { // it stood there until now
		if t.Place != "" && st.s.fouls(st.b, t.Place, l) {
			st.editLine(l).Stood = st.e.At
		}
	}
	if t.Opened == st.e.Seq {
		st.stillIn(-1, t.Name) // it cannot be here from where it was presumed out of section
	}
	if p := st.b.PlaceNamed(st.e.Place); t.Where == Away && (p == nil || p.InSection == "") { // else it is inside, out in the section
		st.cameBack(t)
	}
	st.presumeArrival(t)
	if t.Where == Approaching || t.Where == AcceptedHere {
		st.reach(t)
	}
	t.Where = Here
	st.stand(t, st.e.Place)
}

func (st *step) trainEntire() {
	if st.s.TrainNamed(st.e.Train) == nil && first(st.s.Doubts, func(o *Doubt) bool { return o.Train == 0 && o.Step == StepOut && o.Name == st.e.Train }) != nil {
		return // told by the box ahead, which has it: its out of section here is still to be given
	}
	if st.s.TrainNamed(st.e.Train) == nil { // the name of the only unnamed one of which the bells tell that it came without its tail lamp
		if t := onlyTrain(st.s.Trains, func(t *Train) bool { return t.Name == "" && t.In.NoLamp && t.In.open() }); t != nil {
			st.touch(t).Name = st.e.Train
		}
	}
	t := st.named()
	if t.Where == Here && t.Proof == Complete { // its rear is in
		st.wholeAgain(t)
	}
	t.Divided, t.Proof = false, Complete
	t.ProofAt, t.ProofSeq = st.e.At, st.e.Seq
	st.inAfterwards(t)
	st.inByInterval(t)
	st.freedByReturn(t)
}

func (st *step) trainGone() {
	if t := st.s.TrainNamed(st.e.Train); t != nil && st.parted(t, t.Where == Away && !t.Returned) {
		st.note(rulebook.WrongTrainEntered, st.b.Sections[t.Out.Section].Neighbour, t.Name, "the train for which line clear was given, "+st.e.Train)
	}
	t := st.named()
	st.detach(t) // what waits for a train to go is not for this one
	st.presumeArrival(t)
	st.presumeBack(t)
	for l := range st.s.Lines {
		if st.s.Lines[l].Train == t.ID && st.s.Lines[l].Phase == Offered {
			st.editLine(l).Phase = Normal
		}
	}
	if t.In.inSection() || t.Out.inSection() || t.In.accepted() || t.Out.accepted() {
		// Still signalled: the row stays until the section is cleared or the
		// acceptance cancelled; only its place is known.
		t.Place, t.PutAway = "", true
		if t.In.open() && t.In.Arrived == 0 && t.In.Entered != 0 {
			t.In.Arrived = st.e.At
		}
		if t.Where == Approaching {
			t.Where = Here
		}
		return
	}
	st.close(t)
}
