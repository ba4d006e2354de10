package block

import (
	"cmp"
	"slices"
	"strings"
)

// soonClear puts a user's report of clear before what is not due sooner.
const soonClear = Minute

// crossing expects what comes next at a level crossing: word for the user who
// waits, and before that what protects a large movement; the report of the one
// who crosses; the next call.
func (x *expecting) crossing(i int) {
	c, s := &x.b.Crossings[i], &x.s.Crossings[i]
	now := max(x.s.Now, x.s.LastAt)
	x.cautions(i, now)
	for _, o := range s.Out {
		x.reminders(c, &o)
		if o.Due || o.Until+soonClear >= now {
			x.offer(Expectation{Event: Event{Kind: CrossingClear, Place: c.Name}, Wanted: o.Until, Label: c.Name + ": clear, " + o.words()})
			break
		}
	}
	if len(s.Asked) == 0 {
		if len(s.Out) == 0 && c.isLarge(&s.Last) && s.Last.Given != 0 {
			x.unprotected(c, &s.Last)
		}
		if s.Secured.is() || c.Kind == WorkedCrossing || c.Kind == KeeperCrossing && s.Last.Seq == 0 {
			x.road(i)
			x.keeper(i)
			return
		}
		for _, call := range []Call{s.Last, {}} { // where something is found against the last once more, one on foot
			if x.offer(call.asksAgain(c, now)) {
				break
			}
		}
		return
	}
	call := &s.Asked[s.next()]
	if x.offer(Expectation{Event: Event{Kind: CrossingMayCross, Place: c.Name}, Mine: true, Wanted: call.pressing() + 1, Label: c.Name + ": may cross, " + call.words()}) {
		x.reminders(c, call)
		return
	}
	near, coming := x.s.NextAtCrossing(x.b, i, now)
	away := coming && near.Entered // nobody who is asked to hold trains holds that one
	coming = coming && near.At <= now+call.Minutes
	if c.isLarge(call) && !coming { // the signals of a train that he is to wait for stay as they are
		x.protection(c, call)
	}
	if !call.Waits {
		wanted, label := call.pressing()+2, c.Name+": wait, "+call.words()
		if coming || away {
			wanted, label = call.pressing()-1, c.Name+": wait, "+near.Words(now)
		}
		x.offer(Expectation{Event: Event{Kind: CrossingWait, Place: c.Name}, Mine: true, Wanted: wanted, Label: label})
	}
}

// cautions expects each driver who goes from here over a crossing in doubt to be told.
func (x *expecting) cautions(i int, now Time) {
	c, s := &x.b.Crossings[i], &x.s.Crossings[i]
	if x.s.crossingDoubt(x.b, i, now) == "" {
		return
	}
	for _, t := range x.s.Trains {
		for _, dir := range [...]Dir{Inward, Outward} {
			n, comes := x.s.near(x.b, c, t, dir, now)
			if !comes || t.Name == "" || c.section >= 0 && (dir == Inward || n.Entered) || slices.Contains(s.Cautioned, t.ID) {
				continue
			}
			x.offer(Expectation{Event: Event{Kind: TrainCautioned, Train: t.Name, Place: c.Name}, Mine: true, Wanted: cmp.Or(t.leg(dir).Entered, t.leg(dir).Accepted), Label: t.Name + " cautioned for " + c.Name})
			break
		}
	}
}

// asksAgain expects the next user of a crossing to ask for what this one did.
func (call *Call) asksAgain(c *Crossing, now Time) Expectation {
	return Expectation{Event: Event{Kind: CrossingAsked, Place: c.Name, Subject: cmp.Or(call.What, "on foot"), Number: max(1, int(call.Minutes/Minute)), Large: call.Large},
		AskCall: true, Wanted: now + laterOffer + 1, Label: c.Name + ": the user asks to cross"}
}

// last is the last of a list, if it has any.
func last(list []Time) []Time { return list[max(0, len(list)-1):] }

// Rings is the call of a user at each crossing that users work, the one last rung from
// first: they ring when they like, whatever else is expected.
func Rings(b *Box, s *State) (calls []Expectation) {
	var at []int
	for i := range b.Crossings {
		if b.Crossings[i].Kind == UserWorked && !s.Crossings[i].Secured.is() {
			at = append(at, i)
		}
	}
	slices.SortStableFunc(at, func(i, k int) int { return slices.Compare(last(s.Crossings[k].Calls), last(s.Crossings[i].Calls)) })
	for _, i := range at {
		calls = append(calls, s.Crossings[i].Last.asksAgain(&b.Crossings[i], s.Now))
	}
	return calls
}

// pressing is since when a user waits for word, put back while he is on the telephone: he
// is answered before what is merely due.
func (c *Call) pressing() Time {
	if c.Waits || c.Given != 0 {
		return c.At
	}
	return c.At - laterOffer
}

// protection expects what a large movement needs before it: signals on, a
// reminder on each, the next box asked and its word.
func (x *expecting) protection(c *Crossing, call *Call) {
	at := atCrossing{x.next, c, x.b.CrossingNamed(c.Name)}
	offer := func(e Event, mine bool, label string) {
		x.offer(Expectation{Event: e, Mine: mine, Wanted: call.pressing(), Label: label})
	}
	for _, k := range c.guards {
		g := &x.b.Signals[k]
		if slices.Contains(x.s.SignalsOff, g.Name) || !slices.Contains(x.s.SignalsKept, g.Name) && !at.held(g) {
			offer(Event{Kind: SignalOn, Subject: g.Name}, true, g.Name+" on, for "+c.Name)
		}
	}
	x.reminders(c, call)
	for _, m := range c.From {
		i := x.b.SectionIndex(m.Box)
		if i < 0 || at.ownSignal(m.Box) {
			continue
		}
		switch s, since := &x.s.Circuits[i], at.now().askedFor(call); {
		case s.SaidAt < since:
			offer(Event{Kind: MessageTo, Subject: m.Box, Text: "Hold trains for " + c.Name + "."}, true, "ask "+m.Box+" to hold trains for "+c.Name)
		case s.HeardAt < since:
			offer(Event{Kind: MessageFrom, Subject: m.Box, Text: "Holding trains for " + c.Name + "."}, false, m.Box+" holds trains for "+c.Name)
		}
	}
}

// heardFrom is the last message of a box since a moment, which binds until one answers it;
// the zero value for none.
func (s *State) heardFrom(box string, since Time) (last Message) {
	for _, m := range s.Messages {
		if !m.To && m.With == box && m.At >= since {
			last = m
		}
	}
	return last
}

// reminders expects one for a large movement, before the leave that it goes with.
func (x *expecting) reminders(c *Crossing, call *Call) {
	at := atCrossing{x.next, c, x.b.CrossingNamed(c.Name)}
	for _, k := range c.guards {
		if g := &x.b.Signals[k]; c.isLarge(call) && !at.remindedOf(g.Name) {
			x.offer(Expectation{Event: Event{Kind: ReminderOn, Subject: g.Name, Text: c.Name}, Mine: true, Wanted: call.pressing(), Label: "reminder on " + g.Name + ", for " + c.Name})
		}
	}
}

// unprotected expects what protected a large movement to be taken away behind it:
// the next box told, the reminders lifted.
func (x *expecting) unprotected(c *Crossing, call *Call) {
	at := atCrossing{x.next, c, x.b.CrossingNamed(c.Name)}
	if x.s.crossingDoubt(x.b, at.i, x.s.Now) != "" {
		return
	}
	for _, m := range c.From {
		if i := x.b.SectionIndex(m.Box); i >= 0 && !at.ownSignal(m.Box) && x.s.Circuits[i].SaidAt >= call.At && x.s.Circuits[i].SaidAt <= call.Given {
			x.offer(Expectation{Event: Event{Kind: MessageTo, Subject: m.Box, Text: c.Name + " clear, normal working.", Target: x.s.heardFrom(m.Box, call.At).Seq}, Mine: true, Wanted: call.Given, Label: "tell " + m.Box + " that " + c.Name + " is clear"})
		}
	}
	for _, r := range x.s.Reminders {
		for _, why := range r.Reasons {
			if strings.Contains(why.Text, c.Name) {
				x.offer(Expectation{Event: Event{Kind: ReminderOff, Subject: r.On, Text: why.Text}, Mine: true, Wanted: call.Given + 1, Label: "reminder off " + r.On + ", " + c.Name + " clear"})
			}
		}
	}
}

// road expects a crossing worked from the box to be closed for a train, and opened
// behind it.
func (x *expecting) road(i int) {
	c, s := &x.b.Crossings[i], &x.s.Crossings[i]
	near, ok := x.s.NextAtCrossing(x.b, i, x.s.Now)
	switch {
	case c.Kind != WorkedCrossing || s.Secured.is():
	case s.Road != RoadClosed && ok:
		wanted := near.At - Minute
		if !near.Entered { // road users wait for a train that comes, not for line clear alone
			wanted = max(wanted, x.s.Now+laterOffer-3)
		} else if t := x.s.Train(near.Train); t != nil && !near.Known {
			wanted = cmp.Or(t.In.Entered, wanted) // it may be here at any moment since, but its bell is answered first
		}
		x.offer(Expectation{Event: Event{Kind: CrossingDown, Place: c.Name}, Mine: true, Wanted: wanted, Label: c.Name + " down, for " + near.Name})
	case s.Road == RoadClosed && !ok: // never with a train signalled, however far
		x.offer(Expectation{Event: Event{Kind: CrossingUp, Place: c.Name}, Mine: true, Wanted: s.Since.At + Minute, Label: c.Name + " up"})
	}
}

// keeper expects what is said with the keeper of a crossing who is told of trains: each as
// it comes, his word that the gates are closed, that it is past, and leave to open when
// nothing is on its way. A train for which line clear is only asked is on nobody's hands yet.
func (x *expecting) keeper(i int) {
	c, s := &x.b.Crossings[i], &x.s.Crossings[i]
	if c.Kind != KeeperCrossing || c.ToldBefore == "" || s.Secured.is() {
		return
	}
	near, comes := x.s.NextAtCrossing(x.b, i, x.s.Now)
	said := func(kind Kind, mine bool, wanted Time, words string) {
		e := Expectation{Event: Event{Kind: kind, Place: c.Name, Train: near.Name}, Mine: mine, Wanted: wanted, Label: c.Name + ": " + words}
		if e.AskPN = c.PrivateNumbers; e.AskPN {
			e.Event.PN = "0" // stands for it
		}
		x.offer(e)
	}
	if !comes {
		if s.Road == RoadClosed {
			said(CrossingMayOpen, true, s.Since.At+Minute, "may open")
		}
		return
	}
	at := slices.IndexFunc(s.Told, func(a Advice) bool { return mayBeSame(a.Train, near.Name) })
	switch {
	case at < 0 || s.Told[at].Seq == 0:
		said(CrossingTold, true, min(near.At, x.s.Now)-1, "tell the keeper of "+near.Name)
	case !s.Told[at].Closed:
		said(CrossingShut, false, s.Told[at].At, "closed for "+near.Name)
	case near.Entered:
		said(CrossingPast, false, near.At+1, near.Name+" past")
	}
}

// CrossingSays is what stands at crossing i in words for the desk, whether it is
// to be seen first, and since when; "" when nothing is known.
func CrossingSays(b *Box, s *State, i int, now Time) (words string, grave bool, since Time) {
	x := &s.Crossings[i]
	words = s.Stands(b, i, now)
	switch {
	case len(x.Out) > 0:
		since = x.Out[0].Given
	case len(x.Asked) > 0:
		since = x.Asked[0].At
	}
	road := [...]string{RoadClosed: "closed to the road", RoadOpen: "open to the road", RoadLocal: ""}[x.Road]
	if road != "" {
		since = cmp.Or(since, x.Since.At)
		words = strings.TrimPrefix(words+"; "+road, "; ")
	}
	return words, x.Obstructed.is() || s.crossingDoubt(b, i, now) != "", since
}
