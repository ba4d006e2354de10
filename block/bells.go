package block

import (
	"cmp"
	"slices"

	"fairhand/block/rulebook"
)

// signalling ties a meaning to the acts it stands for: when the signal is given,
// and when it is acknowledged.
type signalling struct {
	given, acknowledged Act
}

// acts is what each meaning does on a line. A meaning not listed leaves the
// block as it is.
var acts = [rulebook.MeaningCount]signalling{
	rulebook.Offer:              {ActOffer, ActAccept},
	rulebook.Entering:           {given: ActEnter},
	rulebook.OutOfSection:       {given: ActOut},
	rulebook.DrawnBack:          {given: ActOut}, // by the box to which the train has come back
	rulebook.ObstructionRemoved: {given: ActUnblock},
	rulebook.Cancelling:         {acknowledged: ActCancel},
	rulebook.WrongDescription:   {acknowledged: ActRedescribe},
	rulebook.Restricted:         {acknowledged: ActAcceptRestricted},
	rulebook.LineNowClear:       {acknowledged: ActLineNowClear},
	rulebook.BlockBackInside:    {acknowledged: ActBlockInside},
	rulebook.BlockBackOutside:   {acknowledged: ActBlockOutside},
	rulebook.ObstructionDanger:  {given: ActDanger},
	rulebook.NotClear:           {given: ActRefuse},
	rulebook.LineClear:          {given: ActAccept},
	rulebook.ShuntAhead:         {acknowledged: ActShunt},
	rulebook.ShuntWithdrawn:     {acknowledged: ActShuntBack},
	rulebook.ReleaseToken:       {ActAskRelease, ActRelease},
	rulebook.TokenReplaced:      {given: ActReplaced},
	rulebook.RunawayRight:       {given: ActDanger}, // vehicles on the line block it until removed
	rulebook.RunawayWrong:       {given: ActDanger},
}

// bells follows the exchanges of one entry with one neighbour.
func (st *step) bells() {
	i := st.b.SectionIndex(st.e.Section)
	if i < 0 {
		f := st.note(rulebook.CodeUnknown, st.e.Section, st.e.Train, "the name of a neighbouring box of "+st.b.Name)
		f.Text = "No box called " + st.e.Section + " is a neighbour of " + st.b.Name
		near := st.nearBox(st.e.Section)
		st.perhaps(f, near)
		if i = st.b.SectionIndex(near); i < 0 {
			return
		}
		st.readAs(inSectionOf, near)
	}
	if len(st.b.Sections[i].LongSection) > 0 {
		st.betweenOut(i)
	}
	st.attended()
	st.instrumentUsed(i)
	pair := st.toPair(i)
	st.wording(i)
	for k := range st.e.Bells {
		if bell := st.e.Bells[k]; bell.Code.Spoken() {
			st.say(i, bell)
		} else {
			st.bell(i, bell, k+1)
		}
	}
	if st.unanswered {
		st.owe(rulebook.NotAcknowledged, Pending{Section: i})
	}
	st.changeBell(i, pair)
	if st.e.PN != "" {
		c := st.editCircuit(i)
		if c.PN == st.e.PN || slices.ContainsFunc(c.Spent, func(n SpentNumber) bool { return n.PN == st.e.PN && st.e.At-n.At < sheetTime }) {
			st.note(rulebook.PrivateNumberRepeated, st.e.Section, st.e.Train, "")
		}
		c.PN = st.e.PN
	}
}

// sheetTime is how long the number of a cancelled consent is remembered: a sheet of
// private numbers is not used up sooner, and on the next the number may stand again.
// Common practice.
const sheetTime = 60 * Minute

// spend notes the private number of the consent that is cancelled.
func (d *action) spend() {
	ls := d.editLine(d.line)
	if ls.PN == "" {
		return
	}
	c := d.editCircuit(d.ref().section)
	kept := left(c.Spent, func(n *SpentNumber) bool { return d.e.At-n.At >= sheetTime })
	c.Spent, ls.PN = append(slices.Clip(kept), SpentNumber{ls.PN, d.e.At}), ""
}

// bell takes one signal: an acknowledgement of the one outstanding, an answer
// to an offer that is itself a signal, or a new signal; next is the place in the entry
// of what follows it.
func (st *step) bell(i int, bell Bell, next int) {
	c := st.editBell(i)
	asked := c.Asked
	if !asked.Open && asked.Presumed && asked.Sent != bell.Sent && st.answer(i, &asked, bell) != nil {
		asked.Open, asked.Presumed = true, false // it has an answer of its own
		st.editBell(i).Asked = asked
		st.takeBack(asked.Line, asked.Train)
	}
	if asked.Open && asked.Sent != bell.Sent {
		if asked.Code == bell.Code {
			c.Asked = Asked{}
			st.dangerAnswered(&asked, DangerHeld)
			st.acknowledged(i, &asked, bell)
			return
		}
		if asked.Means == rulebook.ObstructionDanger && st.b.lookup(i, bell.Code, rulebook.RunawayRight) != nil {
			// A train already past is the answer to obstruction danger.
			st.dangerAnswered(&asked, DangerPassed)
			st.unasked(i)
			asked = Asked{}
		}
		if row := st.answer(i, &asked, bell); row != nil {
			c.Asked = Asked{Open: true, Sent: bell.Sent, Code: bell.Code, At: st.e.At, Seq: st.e.Seq, Means: row.Means, Line: asked.Line, Train: asked.Train}
			if row.Means == rulebook.NotClear {
				st.give(i, row, bell, &asked)
			}
			st.presume(i, bell, next)
			return
		}
	}
	if st.lapse(i, c, &asked, bell, st.e.Bells[next:]) {
		st.tender(i, c, &asked, bell)
		st.presume(i, bell, next)
	}
}

// answer finds the row of a signal that may answer an offer instead of its
// repetition: restricted acceptance, clear to the clearing point, not clear.
func (st *step) answer(i int, asked *Asked, bell Bell) *rulebook.CodeRow {
	if asked.Means != rulebook.Offer && asked.Means != rulebook.ReleaseToken {
		return nil
	}
	for _, m := range [...]rulebook.Meaning{rulebook.Restricted, rulebook.ClearToClearingPoint, rulebook.NotClear} {
		if row := st.b.lookup(i, bell.Code, m); row != nil {
			return row
		}
	}
	return nil
}

// lapse deals with a signal left unanswered when another is given.
// It says whether the signal now given is to be taken as a new one; a wrong
// acknowledgement is not. What goes on with its own answer is none.
func (st *step) lapse(i int, c *BellState, asked *Asked, bell Bell, rest []Bell) bool {
	if !asked.Open {
		return true
	}
	same := asked.Sent == bell.Sent && asked.Code == bell.Code
	emergency := false
	if row := st.b.lookup(i, bell.Code, rulebook.MeansNothing); row != nil {
		emergency = (row.NoAttention || row.Means == rulebook.CallAttention) && !st.misanswered(i, asked, row)
	}
	exchange := len(rest) > 0 && rest[0] == (Bell{Sent: !bell.Sent, Code: bell.Code})
	if asked.Sent != bell.Sent && !exchange && !emergency && !asked.Void && asked.Means != rulebook.CallAttention {
		st.note(rulebook.AcknowledgedWrongly, st.e.Section, st.e.Train, "the code "+string(asked.Code)+" repeated, or no answer")
		return false
	}
	calls := asked.Sent == bell.Sent && mustAnswer(asked.Means) && st.b.lookup(i, bell.Code, rulebook.CallAttention) != nil
	switch {
	case same || asked.Void:
		// repeated until answered, or not to be answered at all
	case calls:
		c.Again = *asked // he will give it again
	case asked.Means == rulebook.CallAttention || asked.Means == rulebook.Offer || asked.Means == rulebook.ReleaseToken:
		// Silence refuses; an offer stands until something else is done on the line.
	default:
		st.lost(i, asked)
		st.unrepeated = asked.Sent && (asked.Means == rulebook.Restricted || asked.Means == rulebook.ClearToClearingPoint)
	}
	if !same && !calls {
		st.unasked(i)
	}
	return true
}

// misanswered says whether train entering section, written behind a signal in one entry, is a
// wrong answer to it: that signal has no other there, and no train has line clear to enter.
func (st *step) misanswered(i int, asked *Asked, row *rulebook.CodeRow) bool {
	return row.Means == rulebook.Entering && asked.Seq == st.e.Seq && mustAnswer(asked.Means) &&
		st.b.lineThat(i, func(l int) bool { return st.s.Lines[l].Phase.lineClear() }) < 0
}

// lapseOffer returns a line to normal whose offer was not acknowledged when an
// act begins that is no answer to it: no answer is the regular way to refuse.
func (st *step) lapseOffer(line int, next Act) {
	p := st.s.Lines[line].Phase
	if !(p == Offered && (next == ActShunt || next == ActUnblock || next == ActAskRelease || next == ActReplaced)) &&
		!(p == ShuntAsked && (next == ActOffer || next == ActOut || next == ActBlockInside || next == ActBlockOutside)) {
		return
	}
	ls := st.editLine(line)
	ls.Phase, ls.Train, ls.Since, ls.Seq = Normal, 0, st.e.At, st.e.Seq
	if st.b.Sections[st.b.lines[line].section].Method.Is().Follows {
		st.settle(line)
	}
}

// tender takes a new signal.
func (st *step) tender(i int, c *BellState, asked *Asked, bell Bell) {
	if st.repeated(i, c, asked, bell) {
		return
	}
	row := st.b.lookup(i, bell.Code, rulebook.MeansNothing)
	repeat := asked.Open && asked.Sent == bell.Sent && asked.Code == bell.Code
	c.Asked = Asked{Open: true, Sent: bell.Sent, Code: bell.Code, At: st.e.At, Seq: st.e.Seq}
	if row == nil {
		st.note(rulebook.CodeUnknown, st.e.Section, st.e.Train, "a code of "+st.b.Rules.Name+" or of this box's own list")
		return
	}
	row = st.reading(i, row, bell)
	c.Asked.Means = row.Means
	if !st.b.says(i, row) {
		if needless := row.Means == rulebook.Entering || row.Means == rulebook.OutOfSection; !needless || !st.b.Sections[i].Method.Is().Counter {
			st.unfit(i, row)
		}
		return
	}
	before := len(st.found)
	st.uncalled = st.b.Booking == BookExchanges && (!c.Ready || c.ReadyMe != bell.Sent)
	switch {
	case row.Means == rulebook.CallAttention:
		return // it does nothing on a line
	case repeat:
		c.Ready = false // attention may have been called again for it: it is used
	default:
		st.attention(c, row, bell)
	}
	st.give(i, row, bell, &c.Asked)
	if st.b.Booking == BookSignals {
		return
	}
	if len(st.found) > before {
		// A signal against the regulations is rightly left unanswered.
		c.Asked.Void = true
		return
	}
	if mustAnswer(row.Means) {
		st.unanswered = true
	}
}

// mustAnswer says whether silence is a fault: an offer may be refused by it, and
// call attention is repeated.
func mustAnswer(m rulebook.Meaning) bool {
	return m != rulebook.Offer && m != rulebook.ReleaseToken && m != rulebook.CallAttention && m != rulebook.MeansNothing
}

// reading picks the meaning of a code that has several, by how the line stands.
func (st *step) reading(i int, row *rulebook.CodeRow, bell Bell) *rulebook.CodeRow {
	pick := func(m rulebook.Meaning) {
		if row.Means == m {
			return
		}
		if r := st.b.lookup(i, bell.Code, m); r != nil {
			row = r
		}
	}
	switch row.Means {
	case rulebook.OutOfSection, rulebook.ObstructionRemoved:
		line, _ := st.where(i, row, bell, ActOut)
		t := st.s.TrainNamed(st.e.Train)
		if named := t != nil && t.shownIn(line); st.s.Lines[line].Phase.Blocked() && !named || st.removes(line, bell) {
			pick(rulebook.ObstructionRemoved)
		} else {
			pick(rulebook.OutOfSection)
		}
	case rulebook.NotClear:
		pick(rulebook.ObstructionDanger) // an answer to an offer is read as NotClear before this
	case rulebook.NoTailLampAhead, rulebook.NoTailLampRear:
		if st.owedWarning(rulebook.TailLampNotReported, i, true) {
			pick(rulebook.NoTailLampAhead)
		} else if st.owedWarning(rulebook.TailLampNotReported, i, false) {
			pick(rulebook.NoTailLampRear)
		}
	}
	return row
}

// give does what a signal means when it is given.
func (st *step) give(i int, row *rulebook.CodeRow, bell Bell, asked *Asked) {
	s := acts[row.Means]
	a, probe := s.given, cmp.Or(s.given, s.acknowledged)
	line, dir := st.where(i, row, bell, probe)
	asked.Line = line
	st.aside(i, row, bell)
	if probe == NoAct || st.cancelsVain(line, probe, bell.Sent) {
		return
	}
	d := st.begin(line, dir, bell.Sent)
	d.code = row
	st.lapsePresumed(line, probe)
	st.lapseOffer(line, probe)
	d.repeat = a == ActOffer && st.s.Lines[line].Phase == Offered
	d.train = d.attribute(probe)
	if a == ActOffer && d.train != nil && st.takeBack(line, d.train.ID) {
		d.repeat = true // an offer is repeated until it is acknowledged
	}
	if a != NoAct {
		d.do(a)
	}
	if d.train != nil {
		asked.Train = d.train.ID
	}
}

// acknowledged does what a signal means once it is repeated.
func (st *step) acknowledged(i int, asked *Asked, bell Bell) {
	st.unasked(i)
	if asked.Means == rulebook.CallAttention {
		c := st.editBell(i)
		c.Ready, c.ReadyMe, c.ReadyAt = true, asked.Sent, st.e.At
		return
	}
	switch asked.Means {
	case rulebook.WrongDirection:
		st.wrongWay(asked.Line, true)
	case rulebook.ClearOfSection:
		st.wrongWay(asked.Line, false)
	}
	a := acts[asked.Means].acknowledged
	if a == NoAct || st.cancelledVain(asked.Line, a, asked.Sent) {
		return
	}
	mine := asked.Sent
	if a == ActAccept || a == ActRelease {
		mine = bell.Sent
	}
	d := st.begin(asked.Line, dirOf((a.By() == rulebook.Advance) == mine), mine)
	d.code = st.b.lookup(i, asked.Code, asked.Means)
	if asked.Train != 0 {
		d.train = st.s.Train(asked.Train)
	}
	d.nameTrain()
	if d.train == nil {
		d.train = d.attribute(a)
	}
	d.do(a)
}
