package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// aside does what a signal means apart from the machine of a line: warnings
// about a train, opening and closing, testing, what only some boxes may ring.
func (st *step) aside(i int, row *rulebook.CodeRow, bell Bell) {
	switch row.Means {
	case rulebook.LongInSection, rulebook.DividedTrain, rulebook.StopAndExamine, rulebook.RunawayRight, rulebook.RunawayWrong:
		st.stillIn(i, st.e.Train)
	}
	switch row.Means {
	case rulebook.TrainApproaching:
		if !st.b.Sections[i].Allows("train-approaching") {
			st.note(rulebook.CodeNotAuthorised, st.e.Section, st.e.Train, "this box's instructions to authorise "+string(row.Code))
		}
	case rulebook.NoTailLampAhead:
		st.warned(i, bell, true)
	case rulebook.NoTailLampRear:
		st.warned(i, bell, false)
	case rulebook.StopAndExamine:
		st.toExamine(i, bell)
	case rulebook.LongInSection:
		if t := st.from(i, func(t *Train) bool { // the one named, else the first
			return t.In.Entered != 0 && !t.clearOfSection() && (st.e.Train == "" || t.Name == st.e.Train)
		}); t != nil {
			t.LongIn = true
		}
	case rulebook.EngineArrived:
		e := firstTrain(st.s.Trains, func(e *Train) bool { // that assisted, and is through
			return e.Helps != 0 && e.Where == Away && e.Out.Section == i && (st.e.Train == "" || st.e.Train == e.Name)
		})
		if e != nil && !bell.Sent {
			st.engineThrough(e)
		}
	case rulebook.DividedTrain:
		st.divided(i, bell)
	case rulebook.Opening:
		st.editCircuit(i).Bye = false
		if !bell.Sent {
			st.editCircuit(i).Closed = false
		}
	case rulebook.Closing:
		if st.signalled(i) {
			st.onlyOutDue(i, "The box was closed", st.note(rulebook.ClosedWhileSignalled, st.e.Section, st.e.Train, "nothing signalled on either line before closing"))
		}
		st.editCircuit(i).Bye = true
		if !bell.Sent {
			st.editCircuit(i).Closed = true
		}
	case rulebook.Testing:
		if st.signalled(i) {
			f := st.note(rulebook.TestingWhileSignalled, st.e.Section, st.e.Train, "testing only with the section clear and nothing signalled")
			if st.b.Rules.Clauses[rulebook.TestingWhileSignalled] == "" {
				f.Severity = rulebook.Irregular // published of another railway alone
			}
			st.onlyOutDue(i, "Bells or instruments were tested", f)
		}
	}
}

// signalled says whether a train is signalled on any line of section i, of those not out of the
// section ahead long since.
func (st *step) signalled(i int) bool {
	return st.b.lineThat(i, func(l int) bool {
		st.online(l).goneOn()
		p := st.s.Lines[l].Phase
		return p.lineClear() || p == InSection || p == Shunting || p == ShuntReleased
	}) >= 0
}

// onlyOutDue makes less of what was found with trains signalled on section i where each of them has come,
// complete and clear, and no more than its train out of section is wanting: no other can be in its way.
func (st *step) onlyOutDue(i int, done string, f *Finding) {
	var due *Train
	for l := range st.b.linesOf(i) {
		if f.Line != "" && f.Line != st.b.lineAt(l).Name {
			continue
		}
		for _, t := range st.s.Trains {
			if !t.occupies(l) && !t.accepted(l) {
				continue
			}
			if t.In.Line != l || t.In.Entered == 0 || !t.clearOfSection() || !t.whole() || st.online(l).fouling(t.ID) != nil {
				return
			}
			due = t
		}
		if p := st.s.Lines[l].Phase; due == nil && p != Normal && p != Offered || p.shunting() {
			return
		}
	}
	if due != nil {
		f.Severity, f.Expected = rulebook.Irregular, "train out of section sent first; where it was, that booked with its time"
		f.Text = words(done+", and train out of section is not booked of a train that has come", f.Section, due.Label(st.b))
	}
}

// warned takes one of the two warning signals of a train without tail lamp. One written as
// received, of no train that can be meant, is that owed to the box with its arrows turned; and
// one sent that nothing is owed of tells of a train whose passing is not booked.
func (st *step) warned(i int, bell Bell, ahead bool) {
	if !bell.Sent {
		switch t := st.warnedOf(i, ahead); {
		case t != nil && ahead:
			st.touch(t).Proof = NoTailLamp
		case t != nil:
			st.touch(t).Out.NoLamp = true
		default:
			bell = st.asSent(i, bell, ahead)
			if !bell.Sent && firstTrain(st.s.Trains, func(t *Train) bool { return t.In.Section == i && t.In.open() || t.Out.Section == i && t.Out.open() }) == nil {
				st.noteSaying(rulebook.WrongSideSignal, st.e.Section, st.e.Train, "A warning of a train without tail lamp was received, and no train is there of which it can be",
					"the train of which it tells, and that it is in the section to that box or from it").Severity = rulebook.Irregular
			}
		}
	}
	if !bell.Sent {
		return
	}
	struck := false
	for _, rule := range [...]rulebook.RuleID{rulebook.TailLampNotReported, rulebook.TailLampOutNotReported} {
		struck = st.bring(rule, func(p *Pending) bool { return p.Section == i && p.Ahead == ahead }) || struck
	}
	if !struck && st.warningOwed(i, !ahead) {
		st.note(rulebook.WrongSideSignal, st.e.Section, st.e.Train, "9 to the box in advance, 4-5 to the box in rear")
	} else if !ahead {
		proof := ProofNone
		if struck {
			proof = NoTailLamp
		}
		if t := st.from(i, func(t *Train) bool { return t.In.Entered != 0 && t.Proof == proof }); t != nil {
			t.In.NoLamp = true
		}
	}
}

// warningOwed says whether a warning of a train without tail lamp is still to be sent to the box
// at the other end of section i.
func (st *step) warningOwed(i int, ahead bool) bool {
	return st.owedWarning(rulebook.TailLampNotReported, i, ahead) || st.owedWarning(rulebook.TailLampOutNotReported, i, ahead)
}

// asSent takes a warning written as received that is owed to that box as sent: its arrows are turned.
func (st *step) asSent(i int, bell Bell, ahead bool) Bell {
	if !bell.Sent && st.warningOwed(i, ahead) {
		st.noteSaying(rulebook.TrainNameDiffers, st.e.Section, st.e.Train, "The warning of a train without tail lamp is written with its arrows turned: it was sent", "the signal as sent: correct that entry")
		bell.Sent = true
	}
	return bell
}

// warnedOf finds the train that such a signal from section i is about: one that approaches from
// there, or has gone there.
func (st *step) warnedOf(i int, ahead bool) *Train {
	named := st.s.TrainNamed(st.e.Train)
	return firstTrain(st.s.Trains, func(t *Train) bool {
		comes := t.In.Section == i && t.In.open() && t.In.Entered != 0 && t.Proof == ProofNone && t.Where == Approaching
		return (named == nil || t == named) && (ahead && comes || !ahead && t.Out.Section == i && t.Out.inSection())
	})
}

// from finds the first train in use of the line it comes by from section i that
// matches, to be changed; nil when there is none.
func (st *step) from(i int, match func(*Train) bool) *Train {
	for _, t := range st.s.Trains {
		if t.In.Section == i && t.In.open() && match(t) {
			return st.touch(t)
		}
	}
	return nil
}

// toExamine marks the train coming from section i as one to be stopped and
// examined here. Source: britishrailways.info, Signalbox methods.
func (st *step) toExamine(i int, bell Bell) {
	if bell.Sent {
		return
	}
	named := st.s.TrainNamed(st.e.Train)
	if t := st.from(i, func(t *Train) bool { return t.In.Accepted != 0 && !t.clearOfSection() && (named == nil || t == named) }); t != nil {
		t.Examine = true
	} else if named != nil {
		st.touch(named).Examine = true
	}
}

// divided marks the train coming from section i as divided: no out of section
// for it until it is found entire. Its box knows then that the tail lamp is not on this
// part; and the box ahead is warned of more by the same signal than by 9. Source:
// signalbox.org, Block system ch. 9; General Rules (India) 6.09(4).
func (st *step) divided(i int, bell Bell) {
	if bell = st.asSent(i, bell, true); bell.Sent {
		st.bring(rulebook.TailLampNotReported, func(p *Pending) bool { return p.Section == i && p.Ahead })
		if t := onlyTrain(st.s.Trains, func(t *Train) bool { return t.Out.Section == i && t.Out.inSection() && t.In.inSection() && !t.whole() }); t != nil {
			st.touch(t).Divided = true // only its front has gone
		}
		return
	}
	if t := st.from(i, func(t *Train) bool { return t.In.Entered != 0 && t.Proof == ProofNone }); t != nil {
		t.Divided, t.Proof, t.In.NoLamp = true, NoTailLamp, true
	}
}

// toldBesideDoubt: beside a line on which a train came without tail lamp, and is
// not yet found complete, a train the other way is stopped and its driver told to
// look out. Source: GERT8000-TS3, train passed without tail lamp, read in study
// cards; that the opposite direction is meant is our reading.
var toldBesideDoubt = Guard{
	Name: "no train came without tail lamp on the line beside, or the driver told", Rule: rulebook.SectionNotProvedClear, For: onDouble, Mine: true,
	Says:     "A train was sent beside a line on which a train had come without tail lamp, and its driver was not told",
	Expected: "the train stopped and its driver told to pass at caution and report what he sees, and that booked",
	holds: func(d *action) bool {
		return d.toldBeside(func(t *Train) bool { return t.clearOfSection() && t.Proof == NoTailLamp })
	},
}

// toldBesideLate is the same for a train that both boxes know as unusually long in
// section. From memory.
var toldBesideLate = Guard{
	Name: "no train long in section on the line beside, or the driver told", Rule: rulebook.LineNotExamined, For: onDouble, Mine: true,
	Expected: "the train stopped and its driver told to look out, and that booked",
	holds: func(d *action) bool {
		return d.toldBeside(func(t *Train) bool { return !t.clearOfSection() && t.LongIn })
	},
}

// toldBeside says whether a train of ours goes beside none that matches, coming here
// over another line of its section, or its driver has been told. A shunt that goes
// out past the section signal and comes back does not run beside it.
func (d *action) toldBeside(match func(*Train) bool) bool {
	if d.dir == Inward || d.ls().Phase == Shunting || d.toldOrIn() {
		return true
	}
	return !slices.ContainsFunc(d.s.Trains, func(t *Train) bool {
		return (d.train == nil || t.ID != d.train.ID) && t.In.Section == d.ref().section && t.In.Line != d.line && t.occupies(t.In.Line) && match(t)
	})
}

// wrongWay opens and ends working in wrong direction on a line, by agreement of
// both boxes. Source: signaller study cards, working in wrong direction. Where no line is named it
// is that of the train in the section, which is to come back; with none there, the one against
// whose way a train is to go.
func (st *step) wrongWay(line int, on bool) {
	if on && st.e.Line == "" && st.s.occupied(line) == nil {
		against := map[Way]Way{Out: In, In: Out}[st.b.lineAt(line).Way]
		if l := st.b.lineThat(st.b.lines[line].section, func(l int) bool { return st.b.lineAt(l).Way == against }); l >= 0 {
			line = l
		}
	}
	for l := range st.b.linesOf(st.b.lines[line].section) {
		if !on && st.e.Line == "" && st.s.Lines[l].WrongWay {
			line = l // either box ends it, of the line that it was agreed for
		}
	}
	ls := st.editLine(line)
	ls.WrongWay = on
	if on {
		return
	}
	for _, t := range slices.Clone(st.s.Trains) {
		switch {
		case t.In.Line == line && t.In.inSection() && t.In.Arrived != 0 && t.In.Accepted == 0:
			st.touch(t).In.OutOf = st.e.At // it came over the line so
		case t.Out.Line != line || !t.shownIn(line):
		case t.Returned:
			st.touch(t).Out.OutOf = st.e.At // it came back over the line by that agreement
		case t.Out.Wrong:
			st.sure(line, t.ID) // should the line have been used since, it was there yet
			st.goneBy(t, Outward)
		}
	}
	st.settle(line)
}
