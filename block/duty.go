package block

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// A duty is something that must follow from an event within a limit. When it
// does not, its rule is broken. One row says all there is to say of it. What
// stands is owed by its row alone; another is owed by a call of owe where it begins.
type duty struct {
	rule     rulebook.RuleID
	within   rulebook.LimitName // the time allowed
	others   rulebook.LimitName // for a train that is no passenger train, where that is another
	again    rulebook.LimitName // raised once more, in earnest, after so many times this
	times    Time
	words    string                     // for the desk: what is to be done, or will come
	awaited  bool                       // it comes of itself or from others
	atOnce   bool                       // due at once: a book that ends without it has left it out, whatever the clock says
	outlives bool                       // still owed when the row of its train closes
	stays    func(*step, *Pending) bool // to be done also when it was found not done in time, for as long as this says so; nil for no longer
	hushed   Phase                      // raised no more when its line is in this phase then

	// What brings it: an act of its train, or on its line where either has none; or
	// an entry of a kind that names no other line or train.
	acts  []Act
	kinds []Kind
	told  bool // an entry about its crew, or a visit, message or reminder that names its train or where that stands

	// What owes it: a train, for as long as the book says so, since the entry and time
	// given, at the boxes where that can be; 0 for a train that does not. Or what ends it, where owe begins it. Ended
	// so it is nobody's fault, unless it was late already: this entry may be the first
	// that shows it.
	stands func(*step, *Train) (int64, Time)
	at     func(*Box) bool
	ends   func(*Train, *Pending) bool
}

var duties = []duty{
	{rule: rulebook.EnteringNotSent, within: rulebook.EnteringAfter, words: "send train entering section", acts: []Act{ActEnter}, ends: notGone},
	{rule: rulebook.TrainOverdue, within: rulebook.OverduePass, others: rulebook.OverdueFreight, again: rulebook.OverduePass, times: 1,
		words: "train due out of the section", awaited: true, ends: notOut, hushed: Obstructed}, // then everybody knows why it has not come
	{rule: rulebook.TrainDetained, within: rulebook.Detained, again: rulebook.DetainedAgain, times: 2, awaited: true,
		words: "hear from the crew of the train standing at the signal", stands: atSignal, at: holdsAtSignal, told: true},
	{rule: rulebook.ReminderMissing, within: rulebook.DangerAfter, words: "put a reminder on", stays: unreminded, kinds: []Kind{ReminderOn}},

	{rule: rulebook.TailLampNotReported, within: rulebook.TailLampAfter, words: "report the train without tail lamp", atOnce: true, outlives: true, stays: onHand,
		kinds: []Kind{TrainEntire}},
	{rule: rulebook.TailLampOutNotReported, within: rulebook.TailLampAfter, words: "report the tail lamp not lit", outlives: true, stays: onHand},
	{rule: rulebook.ObstructionDangerNotSent, within: rulebook.DangerAfter, words: "send obstruction danger", atOnce: true,
		acts: []Act{ActDanger, ActBlockInside, ActBlockOutside}, kinds: []Kind{ObstructClear}},

	{rule: rulebook.NotAcknowledged, within: rulebook.AnswerAfter, words: "answer awaited on the bell", awaited: true},
	{rule: rulebook.WrongDescriptionNotFollowed, within: rulebook.AnswerAfter, words: "send the right description", acts: []Act{ActOffer}},
	{rule: rulebook.CancellingNotSent, within: rulebook.AnswerAfter, words: "send cancelling", stays: inPhase(Phase.lineClear), acts: []Act{ActCancel}},
	{rule: rulebook.ShuntNotWithdrawn, within: rulebook.EnteringAfter, words: "send shunt withdrawn", stays: inPhase(is(Shunting)), acts: []Act{ActShuntBack, ActCancel}},
	{rule: rulebook.IndicatorNotLineClear, within: rulebook.IndicatorAfter, words: "note the indicator at line clear", stays: inPhase(Phase.lineClear)},
	{rule: rulebook.IndicatorNotNormal, within: rulebook.IndicatorAfter, words: "note the indicator at normal", stays: inPhase(is(Normal))},

	{rule: rulebook.ClockUnchecked, within: rulebook.ClockCheckGrace, words: "check the clock", kinds: []Kind{ClockRight, ClockSlow, ClockFast}},
	{rule: rulebook.HandoverIncomplete, within: rulebook.TakeOver, words: "take over what has not been ticked", awaited: true},
	{rule: rulebook.DisconnectionNotCountersigned, within: rulebook.Countersigning, words: "countersign the disconnection", stays: unsigned},
	{rule: rulebook.EntryNotCountersigned, within: rulebook.Countersigning, words: "countersign what another wrote", stays: unsigned},

	{rule: rulebook.ReleaseNotTold, within: rulebook.MessageReply, words: "tell Control of the release"},

	{rule: rulebook.CrossingNotReportedClear, within: rulebook.CrossingClearAfter, words: "hear from the user of the crossing", awaited: true},
	{rule: rulebook.CrossingClosedLong, within: rulebook.CrossingClosed, words: "the train for which the crossing was closed, or open it", awaited: true},
	{rule: rulebook.CrossingKeeperNotTold, within: rulebook.EnteringAfter, words: "tell the keeper of the crossing"},
	{rule: rulebook.CrossingAttendantNotTold, within: rulebook.EnteringAfter, words: "tell the attendant at the crossing"},
}

// holdsAtSignal says whether the box has a place at a signal.
func holdsAtSignal(b *Box) bool {
	return slices.ContainsFunc(b.Places, func(p Place) bool { return p.AtSignal })
}

// standsAtSignal says whether the place where a train was booked last is one at a signal.
func (b *Box) standsAtSignal(t *Train) bool {
	p := b.PlaceNamed(t.Place)
	return p != nil && p.AtSignal
}

// atSignal is since when a train stands at a signal.
func atSignal(st *step, t *Train) (int64, Time) {
	if t.Where != Here || !st.b.standsAtSignal(t) {
		return 0, 0
	}
	if st.s.Fog && st.b.Rules.DetainedAtOnceInFog {
		return t.PlaceSeq, t.PlaceAt - st.b.Limit(rulebook.Detained)
	}
	return t.PlaceSeq, t.PlaceAt
}

// notGone says whether a train has not gone into the section after all.
func notGone(t *Train, p *Pending) bool {
	return t.Returned || t.Out.Section == p.Section && !t.Out.open()
}

// notOut says whether a train is no longer out in the section.
func notOut(t *Train, p *Pending) bool {
	comes := t.In.Section == p.Section && t.In.open() // it is late until it arrives
	return !comes && (t.Returned || t.Out.Section != p.Section || !t.Out.open())
}

// The table by rule, and the rules by what brings what they ask for.
var dutyOf, actBrings, kindBrings = func() (of map[rulebook.RuleID]*duty, acts [actCount][]rulebook.RuleID, kinds [kindCount][]rulebook.RuleID) {
	of = map[rulebook.RuleID]*duty{}
	for i := range duties {
		d := &duties[i]
		of[d.rule] = d
		for _, a := range d.acts {
			acts[a] = append(acts[a], d.rule)
		}
		for _, k := range d.kinds {
			kinds[k] = append(kinds[k], d.rule)
		}
	}
	return of, acts, kinds
}()

// Pending is a duty in force: what must follow from an entry, and by when.
type Pending struct {
	Rule     rulebook.RuleID
	Due      Time
	At       Time
	Seq      int64 // entry it follows from
	Section  int   // -1 for none
	Line     int
	Train    int // 0 for none
	Crossing int // its place in the box plus one, 0 for none
	Ahead    bool
	Times    int   // how often it was raised already
	Of       int64 `json:",omitempty"` // the entry that it is about, where that is another than Seq

	row *duty // of the rule; nil where the state was kept and read again
}

// duty is the row of what is owed.
func (p *Pending) duty() *duty {
	if p.row == nil {
		return dutyOf[p.Rule]
	}
	return p.row
}

// owe notes a duty that begins with this event. Its limit runs from p.Due, or
// from the event when that is not given. A duty owed already is not owed twice; one that
// was found not done begins anew.
func (st *step) owe(rule rulebook.RuleID, p Pending) {
	p.Rule, p.At, p.Seq = rule, st.e.At, st.e.Seq
	d := dutyOf[rule]
	p.row, p.Due = d, cmp.Or(p.Due, st.e.At)+st.b.Limit(d.limit(d.within, st.s.Train(p.Train)))
	i := slices.IndexFunc(st.s.Pending, func(o Pending) bool {
		return o.Rule == p.Rule && o.Section == p.Section && o.Line == p.Line && o.Train == p.Train && o.Ahead == p.Ahead && o.Crossing == p.Crossing && o.Of == p.Of
	})
	if i >= 0 && !st.s.Pending[i].Undone() {
		return
	}
	copyOnce(st.s, &st.s.pending, &st.s.Pending, 1)
	if i >= 0 {
		st.s.Pending = slices.Delete(st.s.Pending, i, i+1)
	}
	st.s.Pending = append(st.s.Pending, p)
}

// limit is the limit of a duty, or the other one where the train has it.
func (d *duty) limit(n rulebook.LimitName, t *Train) rulebook.LimitName {
	if d.others != 0 && t != nil && t.Class != rulebook.Passenger {
		return d.others
	}
	return n
}

// owedWarning says whether a warning of a train without tail lamp is owed to
// section i, in the direction the train goes or against it.
func (st *step) owedWarning(rule rulebook.RuleID, i int, ahead bool) bool {
	return slices.ContainsFunc(st.s.Pending, func(p Pending) bool { return p.Rule == rule && p.Section == i && p.Ahead == ahead })
}

// broughtBy strikes off what an act on a line brings.
func (d *action) broughtBy(a Act) {
	for _, rule := range actBrings[a] {
		d.bring(rule, func(p *Pending) bool {
			if p.Train != 0 && d.train != nil {
				return p.Train == d.train.ID
			}
			return p.Line == d.line
		})
	}
}

// broughtByEntry strikes off what an entry brings by its kind alone.
func (st *step) broughtByEntry() {
	for _, rule := range kindBrings[st.e.Kind] {
		st.bring(rule, func(p *Pending) bool {
			if i := st.b.SectionIndex(st.e.Section); st.e.Section != "" && (p.Section != i || p.Line != st.lineFor(i, Inward, NoAct)) {
				return false
			}
			t := st.s.TrainNamed(st.e.Train)
			return st.e.Train == "" || t != nil && t.ID == p.Train
		})
	}
}

// bring strikes off a duty that this event fulfils, and raises it as late when
// its limit had passed.
func (st *step) bring(rule rulebook.RuleID, match func(*Pending) bool) bool {
	return st.strike(rule, match, true)
}

// bringOnLine is bring for a duty of one line; those of the box itself have 0.
func (st *step) bringOnLine(rule rulebook.RuleID, line int) {
	st.bring(rule, func(p *Pending) bool { return p.Line == line })
}

// oweStanding has the trains that this event concerns owe what stands since it.
func (st *step) oweStanding() {
	for _, d := range st.b.stand {
		for _, id := range st.s.Touched {
			if t := st.s.Train(id); t == nil {
				continue
			} else if seq, from := d.stands(st, t); seq == st.e.Seq {
				st.owe(d.rule, Pending{Section: -1, Train: id, Due: from})
			}
		}
	}
}

// ended says whether a duty has ended without being done: its row says by what,
// and with the row of a train most of its duties end.
func (st *step) ended(d *duty, p *Pending) bool {
	if p.Train == 0 {
		return false
	}
	t := st.s.Train(p.Train)
	switch {
	case t == nil:
		return !d.outlives
	case d.stands != nil:
		seq, _ := d.stands(st, t)
		return seq != p.Seq
	}
	return d.ends != nil && d.ends(t, p)
}

// strike strikes off the duties of a rule that match, those of any where none is told, and
// raises what was late already if asked to.
func (st *step) strike(rule rulebook.RuleID, match func(*Pending) bool, late bool) bool {
	struck := false
	for i := 0; i < len(st.s.Pending); i++ {
		if p := &st.s.Pending[i]; rule != "" && p.Rule != rule || !match(p) {
			continue
		}
		p := st.s.Pending[i]
		copyOnce(st.s, &st.s.pending, &st.s.Pending, 1)
		st.s.Pending = slices.Delete(st.s.Pending, i, i+1)
		i--
		struck = true
		if late && st.e.At > p.Due && p.Times == 0 {
			if d := p.duty(); d.times > 0 && st.e.At > p.Due+d.times*st.b.Limit(d.limit(d.again, st.s.Train(p.Train))) {
				p.Times++ // so late that it is past the second limit as well
			}
			st.raise(p, st.e.Seq)
		}
	}
	return struck
}

// Undone says whether a duty was found not done, and is to be done all the same: nothing
// more will be found of it.
func (p *Pending) Undone() bool { return p.Times > 0 && p.duty().stays != nil }

// FallsDue says whether a rule is broken by what was not done within a limit, so that it is
// raised when that is past.
func FallsDue(rule rulebook.RuleID) bool { return dutyOf[rule] != nil }

// expire raises what this event shows was never done in time.
func (st *step) expire() {
	for i := 0; i < len(st.s.Pending); i++ {
		o := &st.s.Pending[i]
		d := o.duty()
		late, ended := o.Due < st.s.Now, st.ended(d, o)
		if o.Undone() {
			late, ended = false, ended || !d.stays(st, o)
		}
		if !late && !ended {
			continue
		}
		p := st.s.Pending[i]
		copyOnce(st.s, &st.s.pending, &st.s.Pending, 1)
		hushed := d.hushed != Normal && st.s.Lines[p.Line].Phase == d.hushed
		if late && !hushed {
			st.raise(p, p.Seq)
		}
		t := st.s.Train(p.Train)
		if on := d.times > 0 && t != nil || d.stays != nil && d.stays(st, &st.s.Pending[i]); on && !ended && !hushed && p.Times == 0 {
			p.Times++
			p.Due += d.times * st.b.Limit(d.limit(d.again, t))
			st.s.Pending[i] = p
			continue
		}
		st.s.Pending = slices.Delete(st.s.Pending, i, i+1)
		i--
	}
}

func (st *step) raise(p Pending, seq int64) {
	f := st.finding(p.Rule)
	f.Seq, f.Section, f.Line, f.Train = seq, "", "", "" // what this event is about has nothing to do with it
	if p.Rule == rulebook.HandoverIncomplete && len(st.s.Uncarried) > 0 {
		f.Text = "The relief signed on and was not told of " + strings.Join(st.uncarriedWords(), "; ")
	}
	if p.Section >= 0 {
		f.Section = st.b.Sections[p.Section].Neighbour
	}
	if t := st.s.Train(p.Train); t != nil {
		f.Train = t.Label(st.b)
	}
	if p.Times > 0 {
		f.Severity = rulebook.Irregular
	}
	if seq == p.Seq {
		f.At = p.At
		f.Rests = []int64{p.Seq, st.e.Seq}
	} else {
		f.Rests = []int64{p.Seq, seq}
	}
	if p.Crossing > 0 {
		f.Section = st.b.Crossings[p.Crossing-1].Section
	}
	raised := st.add(f)
	if p.Rule == rulebook.HandoverIncomplete && len(st.s.Uncarried) == 1 && st.trainLabelled(st.s.Uncarried[0]) != nil {
		raised.Train = st.s.Uncarried[0] // of nothing else: should the book show that it had gone, that is answered
	}
	if p.Crossing > 0 {
		raised.Text += "; at " + st.b.Crossings[p.Crossing-1].Name
	}
	if p.Of > 0 {
		raised.Text += "; entry " + strconv.FormatInt(p.Of, 10)
	}
}

// Finish raises what the end of a book leaves undone: everything whose limit
// had passed by the last entry, and what was due at once and never done.
func (r *Runner) Finish() []Finding {
	st := &r.st
	st.e, st.found = &Event{Seq: st.s.LastSeq, At: st.s.Now}, nil
	st.s.Closed, st.s.Answers = nil, nil
	for i := 0; i < len(st.s.Pending); i++ {
		if p := st.s.Pending[i]; !p.Undone() && (p.Due < st.s.Now || p.duty().atOnce) {
			st.raise(p, p.Seq)
		}
	}
	st.settleDoubts()
	return st.found
}
