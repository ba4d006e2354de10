package block

import (
	"cmp"
	"slices"
	"strconv"

	"fairhand/block/rulebook"
)

// A book is not perfect. Where an act is against the rules as the book stands,
// either the rule was broken or an earlier step was made and not booked, and at
// that moment nobody can tell which. It is found, once; the line is in doubt
// until later entries show it clear, and what is found meanwhile on the same
// ground names the entry it follows from.

// Doubt is a step the book may lack: a train, or a block, that it still shows on
// a line on which both boxes have gone on working.
type Doubt struct {
	Line  int
	Seq   int64 // entry on which it arose: the root of what is found under it
	At    Time  // when that was
	Train int   // the train in doubt, 0 for none on hand
	Name  string
	Token int      // number of a token that is in doubt, 0 unknown
	In    Time     `json:",omitempty"` // when the first that it may be of went in, where it has passed to the one behind
	Step  Step     // the step thought missing; StepNone where none can be presumed
	Said  bool     `json:",omitempty"` // the step was booked, of a name much like the train's: that was found then
	Found []Answer // what a missing step would explain
}

// Answer names a finding of an earlier entry, as a value. In State.Answers it
// is one that the last event shows to stand no more.
type Answer struct {
	Seq                  int64
	Rule                 rulebook.RuleID
	Section, Line, Train string
}

// Of says whether it is this finding that is meant.
func (a Answer) Of(f *Finding) bool { return *f.answer() == a }

func (f *Finding) answer() *Answer {
	return &Answer{f.Seq, f.Rule, f.Section, f.Line, f.Train}
}

// InDoubt is the oldest doubt about a line, nil for none.
func (s *State) InDoubt(line int) *Doubt {
	return first(s.Doubts, func(d *Doubt) bool { return d.Line == line })
}

// doubt opens a doubt about a train on a line, unless one is open already.
func (st *step) doubt(line int, t *Train, missing Step) {
	d := Doubt{Line: line, Seq: st.e.Seq, At: st.e.At, Step: missing}
	if t != nil {
		d.Train, d.Name = t.ID, t.Label(st.b)
	}
	for i := range st.s.Doubts {
		o := &st.s.Doubts[i]
		if o.Line != line || o.Train != d.Train || o.Step.lasts() != missing.lasts() || o.Step.lasts() && o.Step != missing {
			continue
		}
		if o.Step == StepNone && missing != StepNone {
			o = &st.ownDoubts()[i]
			o.Step = missing
		}
		return
	}
	st.s.Doubts = append(slices.Clone(st.s.Doubts), d)
}

// misreported says whether the doubt is about a train reported by its own figures turned:
// another number would be another train.
func (d *Doubt) misreported() bool {
	return slices.ContainsFunc(d.Found, func(a Answer) bool { return a.Rule == rulebook.WrongTrainReported })
}

// doubtOf gives the doubt about a step of a train on a line; nil for none.
func (s *State) doubtOf(line, train int, of Step) *Doubt {
	return first(s.Doubts, func(d *Doubt) bool { return d.Line == line && d.Train == train && d.Step == of })
}

func (st *step) ownDoubts() []Doubt {
	st.s.Doubts = slices.Clone(st.s.Doubts)
	return st.s.Doubts
}

// settleDoubts ends what the event has cleared and relates what it found: to the
// doubt it follows from, and to the steps that would explain it.
func (st *step) settleDoubts() {
	if len(st.found) > 0 {
		st.relate()
	}
	if len(st.s.Doubts) > 0 {
		st.endDoubts(func(d *Doubt) bool { return st.over(d) })
	}
	if len(st.s.Resting) > 0 {
		st.s.Resting = left(st.s.Resting, func(r *Resting) bool {
			t := st.s.Train(r.Train)
			return t == nil || !t.on(r.Line) && st.s.doubtOf(r.Line, r.Train, StepPassed) == nil
		})
	}
}

// endDoubts drops the doubts that match.
func (st *step) endDoubts(match func(*Doubt) bool) {
	st.s.Doubts = left(st.s.Doubts, match)
}

// sure ends what is in doubt of the use of a line by a train.
func (st *step) sure(line, train int) {
	st.endDoubts(func(d *Doubt) bool { return d.Line == line && d.Train == train && !d.Step.lasts() })
}

// endDoubt drops a doubt.
func (st *step) endDoubt(o Doubt) {
	st.endDoubts(func(d *Doubt) bool {
		return d.Seq == o.Seq && d.Line == o.Line && d.Train == o.Train && d.Step == o.Step
	})
}

// over says whether nothing is left of a doubt: its train is off the line, or,
// where it is about no train, the line is normal and its tokens are in.
func (st *step) over(d *Doubt) bool {
	switch {
	case d.Step == StepPassed:
		return st.s.Train(d.Train) == nil
	case d.Step == StepClear:
		return !st.standing(d.Line)
	case d.Step == StepAccepted && d.Train == 0:
		return st.idle(d.Line)
	case d.Step == StepAccepted:
		t := st.s.Train(d.Train) // it may have its token and be here yet
		return t == nil || !t.on(d.Line) && st.idle(d.Line)
	case d.Step.lasts() || d.Step == StepReturn || d.Step == StepRemoval || d.Train == 0 && d.Step == StepOut:
		return false // until it shows, the tokens are counted or the section proved clear
	case d.Train == 0:
		return st.idle(d.Line)
	}
	t := st.s.Train(d.Train)
	return t == nil || !t.on(d.Line) || d.Step == StepNone && st.s.Lines[d.Line].Phase == Normal
}

// on says whether the train has a use of the line that is not ended.
func (t *Train) on(line int) bool { return t.legOn(line) != nil }

// legOn is the leg by which it has; nil for none.
func (t *Train) legOn(line int) *Leg {
	switch {
	case t.In.Line == line && t.In.open():
		return &t.In
	case t.Out.Line == line && t.Out.open():
		return &t.Out
	}
	return nil
}

// relate gives what this event found its root, or makes it one.
func (st *step) relate() {
	for i := range st.found {
		f := &st.found[i]
		kind := breaches[f.Rule]
		line := st.lineOf(f)
		if len(brokenBefore[f.Rule]) > 0 && kind == 0 {
			f.Root = st.ofOneAct(f)
		}
		if kind == 0 || line < 0 {
			continue
		}
		st.ranAlone(f)
		if missing := st.lacks(f); missing == StepClear {
			st.doubt(line, nil, missing)
		} else if missing != StepNone {
			st.doubt(line, st.trainOf(f), missing)
		}
		if kind&overTrain != 0 {
			st.mayBeOut(f, line)
		}
		root := cmp.Or(st.rootFor(line, f), st.ofOneAct(f))
		if root != 0 && root < f.Seq {
			f.Root = root
		}
		for j := range st.s.Doubts {
			if d := &st.s.Doubts[j]; st.concerns(d, f, line) && st.explains(d, f) && st.restsOn(d, f, line) {
				st.ownDoubts()[j].Found = append(slices.Clone(d.Found), *f.answer())
			}
		}
		if (root == 0 || root == f.Seq) && kind&breeds != 0 && f.Severity == rulebook.Danger && !st.idle(line) {
			st.doubt(line, st.trainOf(f), StepNone)
		}
	}
}

// foundOver is a train that stood against what was found: in the section, or accepted for it.
type foundOver struct {
	rule        rulebook.RuleID
	line, train int
}

// restsOn says whether a finding of this event may rest on what a doubt is about: not where
// another train than that in doubt, or one where that in doubt is off hand, stood against it,
// so that it was wrong in either reading. Where several may be, as many as that stood.
func (st *step) restsOn(d *Doubt, f *Finding, line int) bool {
	room := 1
	if f.Rule == rulebook.PermissiveTooMany {
		room = st.online(line).section().Trains
	}
	for _, o := range st.against {
		if o.rule == f.Rule && o.line == line && o.train != d.Train {
			room--
		}
	}
	return room > 0
}

// mayBeOut doubts the trains that the book has in a section, or on the line that the
// finding names, for something that is done only with none there.
func (st *step) mayBeOut(f *Finding, line int) {
	for l := range st.b.linesOf(st.b.sectionOf(line)) {
		if f.Line != "" && l != line {
			continue
		}
		for _, t := range st.s.Trains {
			if t.occupies(l) {
				st.doubt(l, t, StepOut)
			} else if t.accepted(l) {
				st.doubt(l, t, StepCancel)
			} else {
				continue
			}
			st.against = append(st.against, foundOver{f.Rule, line, t.ID})
		}
	}
}

// lacks is the step of its own train that a finding itself points to.
func (st *step) lacks(f *Finding) Step {
	t := st.trainOf(f)
	switch {
	case clears[f.Rule] && st.standing(st.lineOf(f)):
		return StepClear
	case f.Rule == rulebook.OutOfSectionTokenNotIn, f.Rule == rulebook.TokenCancelledWhileOut, st.onTicket(f, t):
		return StepTokenIn
	case t == nil:
	case f.Rule == rulebook.AssistingEngineInSection, f.Rule == rulebook.SectionNotProvedClear:
		return StepOut // its return, or the report that it is through
	case f.Rule == rulebook.PilotMissing && t.Out.open() && st.b.Sections[t.Out.Section].Neighbour == f.Section:
		return StepPilot
	case f.Rule == rulebook.EnteredWithoutToken, f.Rule == rulebook.PaperTicketMissing, f.Rule == rulebook.StaffElsewhere && st.mayHaveStaff(f):
		return StepTokenOut
	case f.Rule == rulebook.TokenInBeforeArrival && !t.clearOfSection():
		return StepArrival
	case (f.Rule == rulebook.TokenInAtSendingEnd || f.Rule == rulebook.ShuntNotBack) && t.Where == Away:
		return StepReturn
	case f.Rule == rulebook.OutOfSectionTailLampNotSeen && t.In.Arrived == 0 && !(t.Returned && t.Proof == NoTailLamp):
		return StepPassed
	}
	return StepNone
}

// explains says whether the step a doubt is about would explain a finding.
func (st *step) explains(d *Doubt, f *Finding) bool {
	switch {
	case d.Step == StepNone:
		return false
	case d.Step == StepClear:
		// Men at work may have been there all the same when the train went by; and a vehicle
		// within the clearing point, if obstruction removed was not exchanged.
		x := st.online(d.Line)
		return st.lacks(f) == StepClear && (x.obstructed() || x.blockaded() || st.act.act == ActUnblock || f.Rule == rulebook.OutOfSectionClearingPointFouled || len(d.Found) > 0) && !x.peopled() && x.onlyUncleared()
	case clears[f.Rule] && f.Severity == rulebook.Danger && d.Train != 0, st.lacks(f) == StepClear && st.online(st.lineOf(f)).held((*LineBlockage).peopled):
		return false // no step of a train, and none takes people off the line
	case d.Step == StepRemoval && st.online(d.Line).obstructed():
		return false // of that and the end of what is there not both are forgotten
	case f.Rule == rulebook.ShuntNotBack:
		return d.Name == f.Train // no other train's
	case f.Rule == rulebook.WrongTrainReported:
		return d.Said && d.Step == StepOut && f.Seq == d.Seq && turned(f.Train, d.Name)
	case f.Rule == rulebook.SectionNotProvedClear || f.Rule == rulebook.CounterResetTrainInSection:
		t := st.s.Train(d.Train) // two trains could meet by it: it was booked as come, or reported
		come := t != nil && (t.In.Line == d.Line && (t.In.Falsely || t.In.Arrived != 0 && t.whole()) || t.Out.Line == d.Line && d.Step == StepOut)
		return (f.Train == d.Name || f.Train == "") && !d.Step.lasts() && come
	case d.Step == StepAccepted:
		return (d.Seq == f.Seq || d.Train != 0 && d.Name == f.Train) && ofLineClear[f.Rule] ||
			f.Root == d.Seq && f.Rule == rulebook.TokenWrongSection // the token drawn on it, handed over
	case d.Step.lasts():
		return st.lacks(f) == d.Step && (d.Seq == f.Seq || d.Name != "" && d.Name == f.Train)
	case f.Rule == rulebook.PilotMissing || f.Rule == rulebook.PaperTicketMissing:
		return false // no train before it brings him what he lacks
	}
	if t := st.trainOf(f); f.Rule == rulebook.EnteredWithoutAcceptance && d.Step == StepRemoval && t != nil {
		// Line clear was booked for it, and counted for nothing because of the obstruction.
		return t.In.Line == d.Line && t.In.Accepted >= d.At || t.Out.Line == d.Line && t.Out.Accepted >= d.At
	}
	return breaches[f.Rule]&explained != 0 || (f.Rule == rulebook.EnteredWithoutAcceptance || f.Rule == rulebook.SignalOffWithoutLineClear) && st.online(d.Line).byReport()
}

// byReport says whether a train needs no line clear on the line: it is the report of the one
// before that lets it go, and its signal.
func (x *action) byReport() bool {
	return x.section().OnlyReported || x.s.Circuits[x.ref().section].unbelled()
}

// idle says whether a line has nothing on it that a doubt could be about.
func (st *step) idle(line int) bool {
	return st.s.Lines[line].Phase == Normal && st.s.Tokens[st.b.lines[line].section].Out == 0
}

// rootFor is the entry a finding on a line follows from, 0 for none: that of the
// oldest doubt about the line that can still have led to it.
func (st *step) rootFor(line int, f *Finding) int64 {
	for i := range st.s.Doubts {
		d := &st.s.Doubts[i]
		if d.Seq == 0 || !st.concerns(d, f, line) || f.Rule != rulebook.EnteredWithoutAcceptance && !st.restsOn(d, f, line) {
			continue
		}
		if d.Step.lasts() && d.Step != StepStopped && f.Train != d.Name && (d.Step != StepClear || st.lacks(f) != StepClear) {
			continue // what has not shown itself is not about the trains since
		}
		return d.Seq
	}
	return 0
}

// concerns says whether a finding is about the line of a doubt; one that names
// no line is about all of its section.
func (st *step) concerns(d *Doubt, f *Finding, line int) bool {
	return d.Line == line || f.Line == "" && st.b.sectionOf(d.Line) == st.b.sectionOf(line)
}

// lineOf is the line a finding is about, the first of its section where it names
// none; -1 for no section.
func (st *step) lineOf(f *Finding) int {
	if i := st.b.SectionIndex(f.Section); i >= 0 {
		return st.b.lineNamed(i, f.Line)
	}
	return -1
}

func (st *step) trainOf(f *Finding) *Train { return st.trainLabelled(f.Train) }

// trainLabelled finds the latest train on hand that is called so; nil for none.
func (st *step) trainLabelled(label string) *Train {
	return lastTrain(st.s.Trains, func(t *Train) bool { return label != "" && t.Label(st.b) == label })
}

// answered notes that findings of earlier entries stand no more.
func (st *step) answered(list []Answer) {
	if len(list) == 0 {
		return
	}
	st.s.Answers = append(slices.Clip(st.s.Answers), list...)
	st.s.Open = slices.DeleteFunc(slices.Clone(st.s.Open), func(f *Finding) bool { return slices.Contains(list, *f.answer()) })
	for i := range st.s.Doubts {
		if d := &st.s.Doubts[i]; slices.ContainsFunc(d.Found, func(a Answer) bool { return slices.Contains(list, a) }) {
			st.ownDoubts()[i].Found = slices.DeleteFunc(slices.Clone(d.Found), func(a Answer) bool { return slices.Contains(list, a) })
		}
	}
}

// Words tells an open doubt in a sentence.
func (d *Doubt) Words(b *Box) string {
	out := b.lineAt(d.Line).Name + ", " + b.Sections[b.sectionOf(d.Line)].Neighbour + ": in doubt since entry " + strconv.FormatInt(d.Seq, 10)
	return out + So(d.Name != "", ", "+d.Name) + So(d.Step != StepNone, "; "+d.Step.String()+" not booked, or not made")
}
