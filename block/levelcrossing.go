package block

import (
	"cmp"
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// atCrossing is one entry or act looked at from one crossing.
type atCrossing struct {
	*step
	c *Crossing
	i int
}

// now is the state of the crossing, for reading.
func (x atCrossing) now() *CrossingState { return &x.s.Crossings[x.i] }

// edit is the state of the crossing, to be changed; its lists are to be cloned first.
func (x atCrossing) edit() *CrossingState {
	copyOnce(x.s, &x.s.crossings, &x.s.Crossings, 0)
	return &x.s.Crossings[x.i]
}

// find raises a rule at the crossing.
func (x atCrossing) find(id rulebook.RuleID, train, expected string) *Finding {
	f := x.note(id, x.c.Section, train, expected)
	f.Text += "; at " + x.c.Name
	return f
}

// owed notes a duty at the crossing.
func (x atCrossing) owes(id rulebook.RuleID, p Pending) {
	p.Crossing, p.Section = x.i+1, -1
	x.owe(id, p)
}

// brings strikes off a duty at the crossing.
func (x atCrossing) brings(id rulebook.RuleID) {
	x.bring(id, func(p *Pending) bool { return p.Crossing == x.i+1 })
}

func (x atCrossing) present() Since { return Since{x.e.At, x.e.Seq} }

// crossingEntries is what each entry does at its crossing.
var crossingEntries = [kindCount]func(atCrossing){
	CrossingAsked:        atCrossing.asked,
	CrossingMayCross:     atCrossing.mayCross,
	CrossingWait:         atCrossing.wait,
	CrossingClear:        atCrossing.clear,
	CrossingNotHeard:     func(x atCrossing) { x.edit().NotHeard = x.present() },
	CrossingDown:         atCrossing.down,
	CrossingUp:           atCrossing.up,
	CrossingTold:         atCrossing.told,
	CrossingShut:         atCrossing.assured,
	CrossingPast:         atCrossing.past,
	CrossingMayOpen:      atCrossing.mayOpen,
	CrossingGatesOpen:    atCrossing.gatesOpen,
	CrossingGatesShut:    func(x atCrossing) { x.edit().GatesOpen, x.edit().NotHeard = Since{}, Since{} },
	CrossingObstructed:   atCrossing.obstructed,
	CrossingUnobstructed: atCrossing.unobstructed,
	CrossingAttended:     atCrossing.attended,
	CrossingUnattended:   atCrossing.unattended,
	CrossingLocal:        atCrossing.local,
	CrossingRemote:       atCrossing.remote,
	CrossingSecured:      atCrossing.secured,
	CrossingUnsecured:    func(x atCrossing) { x.edit().Secured = Since{} },
}

// crossingOf is the crossing that an entry names; ok is false for one the box does not have.
func (st *step) crossingOf() (x atCrossing, ok bool) {
	i := st.b.CrossingNamed(st.e.Place)
	if i < 0 {
		return x, false
	}
	return atCrossing{st, &st.b.Crossings[i], i}, true
}

// eachCrossing visits every level crossing of the box.
func (st *step) eachCrossing(do func(atCrossing)) {
	for i := range st.b.Crossings {
		do(atCrossing{st, &st.b.Crossings[i], i})
	}
}

// manyCalls in manyMinutes are worth a thought. Source: RAIB safety digest,
// Worlingham, 2020: six calls in the ten minutes before.
const (
	manyCalls   = 6
	manyMinutes = 10 * Minute
)

// stale is when a caller who had no word has given up.
const stale = 30 * Minute

// next is the caller whom a word is for: the last who was not told to wait, else the
// last of all; -1 for none.
func (s *CrossingState) next() int {
	for i := len(s.Asked) - 1; i >= 0; i-- {
		if !s.Asked[i].Waits {
			return i
		}
	}
	return len(s.Asked) - 1
}

// doubt is why the crossing is in doubt; when it is not, what was found is forgotten.
func (x atCrossing) doubt() string {
	why := x.s.crossingDoubt(x.b, x.i, x.e.At)
	if why == "" && x.now().DoubtSeq != 0 {
		x.edit().DoubtSeq = 0
	}
	return why
}

// findDoubt raises a rule broken by a doubt: it is one matter, and what is found
// after the first follows from that.
func (x atCrossing) findDoubt(id rulebook.RuleID, train, why string) {
	f := x.find(id, train, "")
	f.Text += "; " + why
	s := x.edit()
	if s.Said.is() {
		x.unclosed(f)
	}
	if s.DoubtSeq == 0 {
		s.DoubtSeq = x.e.Seq
	} else if s.DoubtSeq != x.e.Seq {
		f.Root = s.DoubtSeq
	}
}

func (x atCrossing) asked() {
	s := x.edit()
	call := Call{What: x.e.Subject, Minutes: Time(x.e.Number) * Minute, Large: x.e.Large, At: x.e.At, Seq: x.e.Seq}
	s.NotHeard = Since{}
	s.Out = slices.DeleteFunc(slices.Clone(s.Out), func(o Call) bool { return !o.Due && o.Until < x.e.At })
	s.Asked = append(slices.DeleteFunc(slices.Clone(s.Asked), func(a Call) bool { return a.Waits || a.At < x.e.At-stale }), call) // he rings again
	s.Calls = append(slices.DeleteFunc(slices.Clone(s.Calls), func(t Time) bool { return t < x.e.At-manyMinutes }), x.e.At)
	if call.What == "" {
		x.find(rulebook.CrossingCallIncomplete, "", "the user asked what is to cross")
	}
	if !x.c.isLarge(&call) && rulebook.SoundsLarge(call.What) {
		x.find(rulebook.CrossingMaybeLarge, "", "the user asked how large, low or slow it is")
	}
	if len(s.Calls) == manyCalls {
		x.find(rulebook.CrossingManyCalls, "", "")
	}
	if len(s.Cleared) > 0 {
		if s.Between++; s.Between == 2 {
			x.find(rulebook.CrossingCallBetween, x.nameOf(x.s.Train(s.Cleared[0].Train)), "")
		}
	}
}

func (x atCrossing) wait() {
	if len(x.now().Asked) == 0 {
		x.find(rulebook.CrossingNotAsked, "", "the call booked").Severity = rulebook.Advice
		return
	}
	s := x.edit()
	s.Asked = slices.Clone(s.Asked)
	for i := range s.Asked {
		s.Asked[i].Waits = true
	}
}

// mayCross gives leave to the caller a word is for.
func (x atCrossing) mayCross() {
	s := x.edit()
	call := Call{}
	if at := s.next(); at < 0 {
		x.find(rulebook.CrossingNotAsked, "", "the call booked: what is to cross, and how long it will take")
	} else {
		call = s.Asked[at]
		s.Asked = slices.Delete(slices.Clone(s.Asked), at, at+1)
		if call.Minutes == 0 {
			x.find(rulebook.CrossingCallIncomplete, "", "the user asked how long it will take, gates included")
		}
	}
	large := x.c.isLarge(&call)
	call.Given, call.GivenSeq, call.Due = x.e.At, x.e.Seq, large || x.c.ReportClear != largeOnly
	call.Until = x.e.At + cmp.Or(call.Minutes, x.c.LargeAfter)
	why := x.s.crossingInDoubt(x.i, x.e.At)
	switch {
	case len(why) > 0:
		x.findDoubt(rulebook.CrossingInDoubt, "", strings.Join(why, ", "))
	case slices.ContainsFunc(s.Out, func(o Call) bool { return o.Due || o.Until >= x.e.At }):
		x.find(rulebook.CrossingSecondUser, "", "")
	}
	x.trainsNear(&call)
	if large {
		x.protected(&call)
	}
	s.Out = append(slices.DeleteFunc(slices.Clone(s.Out), func(o Call) bool { return !o.Due && o.Until < x.e.At }), call)
	s.Last = call
	if call.Due {
		x.owes(rulebook.CrossingNotReportedClear, Pending{Due: call.Until})
	}
}

// trainsNear judges a permission by the trains that may be there before the user
// is clear. Source: study cards, level crossings; RAIB, Hockham Road, 10 April 2016.
func (x atCrossing) trainsNear(call *Call) {
	near, ok := x.s.NextAtCrossing(x.b, x.i, x.e.At)
	if !ok || near.At > call.Until {
		return
	}
	f := x.find(rulebook.CrossingTrainApproaching, near.Name, "the train booked past the crossing, or time enough before it")
	f.Text += "; " + near.Words(x.e.At)
	if !near.Entered {
		f.Severity = rulebook.Advice
	}
	x.rests(f, x.towards(call.Until))
	if rulebook.SaysPassed(x.e.Text) || rulebook.SaysPassed(call.What) {
		x.find(rulebook.CrossingWordOfUser, near.Name, "the train booked past by a report of its own")
	}
}

// protected judges the protection of a large movement. Source: study cards, level
// crossings; RAIB report 11/2019, Bagillt.
func (x atCrossing) protected(call *Call) {
	reminded := len(x.c.guards) == 0
	for _, k := range x.c.guards {
		g := &x.b.Signals[k]
		switch {
		case slices.Contains(x.s.SignalsOff, g.Name):
			x.find(rulebook.CrossingNotProtected, "", g.Name+" at danger first").Text += "; " + g.Name + " is off"
		case !slices.Contains(x.s.SignalsKept, g.Name) && !x.held(g):
			x.unclosed(x.find(rulebook.CrossingNotProtected, "", g.Name+" at danger first, and booked so")).Text += "; nothing shows " + g.Name + " at danger"
		}
		reminded = reminded || x.remindedOf(g.Name)
	}
	for _, m := range x.c.From {
		i := x.b.SectionIndex(m.Box)
		if i < 0 || x.ownSignal(m.Box) {
			continue
		}
		if c, at := &x.s.Circuits[i], x.now().askedFor(call); (c.SaidAt < at || c.HeardAt < at || c.SaidAt == 0 || c.HeardAt == 0) && !x.blocked(i) {
			x.find(rulebook.CrossingNextBoxNotHeld, "", m.Box+" asked to hold trains, and his word that he does")
		}
	}
	if !reminded {
		x.owes(rulebook.ReminderMissing, Pending{})
	}
}

// askedFor is from when the next box may have been asked to hold trains for a movement: from
// its call, or, with another still on the crossing for which they are held, from that one's.
func (s *CrossingState) askedFor(call *Call) Time {
	at := call.At
	for _, o := range s.Out {
		if o.Due && o.At != 0 {
			at = min(at, o.At)
		}
	}
	return at
}

// ownSignal says whether a signal of this box keeps trains from a neighbour off
// the crossing.
func (x atCrossing) ownSignal(neighbour string) bool {
	return slices.ContainsFunc(x.c.guards, func(k int) bool {
		return x.b.Signals[k].Section == neighbour && x.b.Signals[k].Kind != sectionSignal
	})
}

// sectionSignal is the kind of a signal that controls entry to the section.
const sectionSignal = "section"

// held says whether an entry other than of the signal itself keeps trains from it:
// a reminder on it, or its line blocked.
func (x atCrossing) held(g *Signal) bool {
	return x.remindedOf(g.Name) || g.Line != "" && slices.ContainsFunc(x.s.Blockages, func(k LineBlockage) bool { return k.Over(g.Line, -1) })
}

// remindedOf says whether a reminder is in use on a signal, or for the crossing.
func (x atCrossing) remindedOf(signal string) bool {
	return slices.ContainsFunc(x.s.Reminders, func(r Reminder) bool {
		return r.On == signal || slices.ContainsFunc(r.Reasons, func(why Reason) bool { return strings.Contains(why.Text, x.c.Name) })
	})
}

// blocked says whether every line by which trains come from section i is blocked
// to them.
func (x atCrossing) blocked(i int) bool {
	return x.b.lineThat(i, func(l int) bool {
		w := x.b.lineAt(l).Way
		return w != Out && w != Shut && !x.s.Lines[l].Phase.Blocked()
	}) < 0
}

func (x atCrossing) clear() {
	s := x.edit()
	s.NotHeard = Since{} // as by any call that is understood
	if len(s.Out) == 0 {
		if !x.onlyNow(StepReport) {
			x.find(rulebook.CrossingNothingAllowed, "", "the permission booked when it was given")
		}
		return
	}
	// He who had leave last has seen the crossing: whoever was to be clear before
	// that is off it. Of two who had leave at one time, the first is clear.
	before, last := s.Out[:len(s.Out)-1], s.Out[len(s.Out)-1]
	s.Out = slices.DeleteFunc(slices.Clone(before), func(o Call) bool { return o.Until < last.Given })
	s.Out = append(s.Out, last)[1:]
	if !slices.ContainsFunc(s.Out, func(o Call) bool { return o.Due }) {
		x.brings(rulebook.CrossingNotReportedClear)
		s.Cautioned = nil
	}
}

func (x atCrossing) attended() {
	s := x.edit()
	s.Attended, s.Attendant, s.Left = x.present(), x.e.Subject, Since{}
	if x.e.Subject == "" {
		x.find(rulebook.CrossingAttendantUnnamed, "", "")
	}
	if slices.ContainsFunc(x.s.Blockages, func(k LineBlockage) bool { return x.over(k.Line, k.Section) }) {
		x.owes(rulebook.CrossingAttendantNotTold, Pending{})
	}
}

func (x atCrossing) unattended() {
	s := x.edit()
	if s.Attended, s.Attendant = (Since{}), ""; s.Road == RoadLocal {
		s.Left = x.present()
	}
}

// secured locks the crossing out of use: nobody is on it, nobody can come.
func (x atCrossing) secured() {
	s := x.edit()
	s.Secured, s.NotHeard, s.GatesOpen, s.Out, s.Asked = x.present(), Since{}, Since{}, nil, nil
	x.brings(rulebook.CrossingNotReportedClear)
}

// obstructed raises the call for obstruction danger on every line over the crossing.
func (x atCrossing) obstructed() {
	x.edit().Obstructed, x.edit().Removed = x.present(), Since{}
	for l, r := range x.b.lines {
		if ln := x.b.lineAt(l); ln.Way != Out && x.over(ln.Name, r.section) && !x.s.Lines[l].Phase.Blocked() {
			x.owe(rulebook.ObstructionDangerNotSent, Pending{Section: r.section, Line: l})
		}
	}
}

func (x atCrossing) unobstructed() {
	if s := x.edit(); !s.Obstructed.is() {
		x.onlyNow(StepFreed)
	} else {
		s.Obstructed, s.Removed = Since{}, Since{}
	}
	x.bring(rulebook.ObstructionDangerNotSent, func(p *Pending) bool {
		return p.Section == x.b.sectionOf(p.Line) && x.over(x.b.lineAt(p.Line).Name, p.Section)
	})
}
