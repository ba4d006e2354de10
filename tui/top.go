package tui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/each"
)

// topLine says which box, when, who, and how far the clock is out. Where the window
// is narrow the date is shorter, and then the time of the check of the clock.
func topLine(m *model, w int) (r row) {
	k, clock := clockWords(m)
	what, at, timed := strings.Cut(clock, " at ")
	shorter := []string{clock}
	if timed {
		shorter = append(shorter, what+" at "+at[:len("15:04")], what)
	}
	for _, clock := range shorter {
		end := line(k, clock).add(plain, " ")
		for _, date := range []string{"Mon 2 Jan 2006  ", "Mon 2 Jan  ", "2 Jan  ", ""} {
			r = topWords(m, date)
			if gap := w - r.width() - end.width(); gap > 1 {
				return append(r.add(plain, strings.Repeat(" ", gap)), end...)
			}
		}
	}
	return r.add(plain, "  ").add(k, what)
}

func topWords(m *model, date string) row {
	now := calendar.In(m.now, m.zone)
	again := "" // the second time that the clocks show it
	if strings.HasSuffix(calendar.Clock(m.now, m.zone, calendar.RoundDown), "*") {
		again = "*"
	}
	r := line(strong, " "+strings.ToUpper(m.box.Name)+"  ").
		add(plain, now.Format(date)).add(strong, now.Format("15:04:05")+again+"  ")
	if m.unwatched() {
		r = r.add(peril, "BOX "+strings.ToUpper(m.state.Status.String())).add(plain, "  ")
	}
	return r.add(dutyWords(m))
}

// unwatched says whether the box is closed or switched out.
func (m *sight) unwatched() bool {
	return m.state.Status == block.StatusClosed || m.state.Status == block.StatusSwitchedOut
}

// dutyWords says who is on duty.
func dutyWords(m *model) (role, string) {
	n := m.state.OnDuty
	if len(n) == 0 {
		return peril, "NOBODY ON DUTY"
	}
	return plain, strings.Join(namesOf(n, onDutyName), ", ") + " on duty"
}

// clockWords says how the clock was at the last check.
func clockWords(m *model) (role, string) {
	s := m.state
	switch {
	case s.ClockAt == 0 && m.box.ClockCheck < 0:
		return plain, "no clock check"
	case s.ClockAt == 0:
		return care, "clock NOT CHECKED"
	case m.checkDue():
		return care, "CLOCK CHECK DUE"
	case s.ClockError > 0:
		return care, fmt.Sprintf("clock %d min FAST", s.ClockError)
	case s.ClockError < 0:
		return care, fmt.Sprintf("clock %d min SLOW", -s.ClockError)
	}
	return plain, "clock right at " + m.noted(s.ClockAt)
}

// notice is something out of the ordinary that holds at the moment.
type notice struct {
	role   role
	text   string
	reason string // left out before anything is hidden
	late   string // what it says is late; "" for another notice
}

// board is the notices as they are gathered.
type board struct {
	*model
	list []notice
}

func (b *board) say(k role, text, reason string) {
	b.list = append(b.list, notice{role: k, text: text, reason: reason})
}

// sections tells what is asked over them, and how they are worked while not in the
// ordinary way.
func (b *board) sections() {
	for i, c := range b.state.Circuits {
		who := b.box.Sections[i].Neighbour
		switch a := &b.state.Bells[i].Asked; {
		case a.Open && a.Means == rulebook.ObstructionDanger:
			b.say(peril, "OBSTRUCTION DANGER, "+askedWords(b.model, a, who), "")
		case a.Open:
			b.say(care, askedWords(b.model, a, who), "")
		}
		if c.Closed {
			b.say(care, who+" CLOSED", "")
		}
		if c.Message {
			b.say(care, who+" worked BY MESSAGE"+c.Cause(), "")
		} else if how := cmp.Or(c.Unbelled(), b.state.Single(i)); how != "" {
			b.say(care, who+": "+strings.Replace(how, "by pilot", "BY PILOT", 1), "")
		}
	}
}

// notices lists what is out of the ordinary, the gravest first.
func notices(m *model) []notice {
	b := &board{model: m}
	for _, a := range m.amiss {
		b.say(peril, a.String(), "")
	}
	b.clockDoubt()
	for _, t := range m.state.Trains {
		switch {
		case t.Where == block.Unaccounted:
			b.say(peril, t.Label(m.box)+" NOT ACCOUNTED FOR", "")
		case t.Proof == block.NoTailLamp:
			b.say(peril, t.Label(m.box)+" NOT COMPLETE", "")
		}
	}
	for _, o := range m.state.Obstructions {
		b.say(peril, "OBSTRUCTED "+o.Line+sectionWords(m, o.Section), ": "+o.Text)
	}
	for _, x := range m.state.Blockages {
		b.say(peril, "BLOCKED "+cmp.Or(x.Line, "section")+sectionWords(m, x.Section), ": "+x.Words())
	}
	b.sections()
	b.overdue()
	b.gear()
	b.owed()
	b.waiting()
	if n := m.uncarried(); len(n) > 0 {
		b.say(care, "NOT TAKEN OVER: "+strings.Join(n, ", ")+" (h)", "")
	}
	for _, r := range m.state.Reminders {
		b.say(care, "REMINDER on "+r.On, ": "+each.Joined(r.Reasons, "; ", func(x block.Reason) string { return x.Text }))
	}
	for _, t := range m.state.Trains {
		if n := m.standing(t); n > 0 {
			b.say(care, fmt.Sprintf("%s STANDING at %s for %s", t.Label(m.box), orHere(t.Place), ago(n)), "")
		}
	}
	b.lesser()
	perils := slices.DeleteFunc(slices.Clone(b.list), func(n notice) bool { return n.role != peril })
	return append(perils, slices.DeleteFunc(b.list, func(n notice) bool { return n.role == peril })...)
}

// calledRows say on a page, where the line is out of sight, what is dangerous or late: as much
// of it as a row holds.
func calledRows(m *model, w int) []row {
	list := slices.DeleteFunc(notices(m), func(n notice) bool { return n.role != peril && n.late == "" })
	for i := range list {
		list[i].reason = ""
	}
	out, hidden := flow(list, w-noticesMore, 1)
	if hidden > 0 {
		out[0] = out[0].add(care, fmt.Sprintf(" +%d more", hidden))
	}
	return out
}

// askedWords says which bell signal waits for its answer. An offer that has waited
// is not accepted: that is its answer.
func askedWords(m *model, a *block.Asked, who string) string {
	name := string(a.Code)
	if t := m.state.Train(a.Train); t != nil && t.Name != "" {
		name = t.Name + " (" + name + ")"
	}
	gone := ago(m.now - a.At)
	switch {
	case a.Means == rulebook.Offer && !a.Sent && !m.box.Sections[m.box.SectionIndex(who)].Method.Is().Described: // left without its answer it is refused
		return fmt.Sprintf("%s from %s NOT ACCEPTED (%s)", name, who, gone)
	case a.Sent:
		return fmt.Sprintf("BELL %s to %s: no answer yet (%s)", string(a.Code), who, gone)
	}
	return fmt.Sprintf("BELL %s from %s: answer it (%s)", string(a.Code), who, gone)
}

// uncarried are the things that the relief has not taken over and that are still
// live: what has gone meanwhile nobody can take over.
func (m *model) uncarried() []string {
	var out []string
	live := block.Live(m.box, m.state)
	for _, name := range m.state.Uncarried {
		if block.Still(live, name) {
			out = appendNew(out, name)
		}
	}
	return out
}

// gear is equipment out of use.
func (b *board) gear() {
	for _, g := range b.state.Gear {
		b.say(care, g.Name+" "+strings.ToUpper(g.Ways()), strings.TrimSuffix(": "+g.Text, ": "))
	}
}

// waiting says why out of section is not offered for a train that is here. Of one without
// tail lamp it is said already that it is not complete.
func (b *board) waiting() {
	for _, w := range b.withheld {
		if t := b.state.TrainNamed(w.Found.Train); w.Found.Rule != rulebook.OutOfSectionTailLampNotSeen || t == nil || t.Proof != block.NoTailLamp {
			b.say(care, w.Label+" WAITS FOR "+strings.TrimSuffix(w.Found.Expected, " first"), "")
		}
	}
}

// overdue are the trains that should have come out of their section. Each stays until it has
// come or somebody has explained it: what was found of it once would go with the next entry.
func (b *board) overdue() {
	list := block.Underways(b.box, b.state)
	slices.SortStableFunc(list, func(x, y block.Underway) int { return cmp.Compare(x.Due, y.Due) })
	for _, u := range list {
		if u.Due != 0 && u.Due < b.now {
			b.late(u.Due, "train due out of the section", u.Train+", "+u.Section)
		}
	}
}

// late says what is late, and of what. Several of one kind share a notice, so that they hide
// nothing else; read out, each stays one of its own.
func (b *board) late(since block.Time, what, of string) {
	if of != "" {
		of = ", " + of
	}
	i := slices.IndexFunc(b.list, func(n notice) bool { return n.late == what })
	if i < 0 || b.lines || of == "" {
		b.list = append(b.list, notice{role: care, text: "LATE since " + b.noted(since) + b.dayOf(since) + ": " + what + of, late: what})
		return
	}
	b.list[i].text += "; " + strings.TrimPrefix(of, ", ") + ", since " + b.noted(since) + b.dayOf(since)
}

// owed is what the box owes, and what is late.
func (b *board) owed() {
	for _, d := range b.due {
		switch {
		case d.Pending.Rule == rulebook.TrainOverdue: // told by its own
		case d.Pending.Rule == rulebook.HandoverIncomplete && len(b.uncarried()) == 0:
		case d.Pending.Due < b.now:
			b.late(d.Pending.Due, strings.TrimSuffix(d.Text, "."), dueOf(d))
		case !d.Awaited:
			b.say(care, "TO DO by "+b.clock(d.Pending.Due)+": "+dueWords(d), "")
		}
	}
	for i := range b.next {
		x := &b.next[i]
		if t := unsent(b.state, x); t != nil && !slices.ContainsFunc(b.due, func(d block.DueItem) bool {
			return d.Pending.Rule == rulebook.EnteringNotSent && d.Pending.Train == t.ID
		}) {
			b.say(care, "NOT SENT: train entering section, "+t.Name+", "+x.Event.Section+" ("+ago(b.now-t.Out.Entered)+")", "")
		}
	}
}

// calls are what the bell of the terminal calls for when it is new: what this box has
// to do, and what is late.
func (m *model) calls() []string {
	out := []string{} // never nil: a desk that has looked once
	for _, d := range m.due {
		if late := d.Pending.Due < m.now; late || !d.Awaited {
			out = append(out, fmt.Sprint(late, d.Pending.Rule, d.Pending.Due, dueWords(d)))
		}
	}
	return out
}

// lesser is weather, posts and messages.
func (b *board) lesser() {
	if b.state.Fog {
		b.say(care, "FOG", "")
	}
	if b.noticesAmiss != nil {
		b.say(care, b.noticesAmiss.Error(), "")
	}
	switch n := len(b.binding(b.now)); {
	case n == 1:
		b.say(plain, "1 SPECIAL NOTICE (n)", "")
	case n > 1:
		b.say(plain, itoa(n)+" SPECIAL NOTICES (n)", "")
	}
	for _, l := range b.box.Lines() {
		if d := b.state.InDoubt(l.Index); d != nil {
			b.say(care, "IN DOUBT "+l.Line.Name+sectionWords(b.model, l.Section), fmt.Sprintf(": since entry %d, until it is shown or proved clear (k proved)", d.Seq))
		}
	}
	for _, p := range b.state.Posts {
		b.say(plain, p.Name+" posted at "+p.Place, "")
	}
	for _, x := range b.state.Messages {
		if x.To {
			b.say(plain, "no reply from "+x.With+" since "+b.noted(x.At)+b.dayOf(x.At), "")
		} else if x.Asks() {
			b.say(plain, "message from "+x.With+" at "+b.noted(x.At)+b.dayOf(x.At)+" not answered", "")
		}
	}
}

// dueWords says what is to be done, or will come, and whom it concerns.
func dueWords(d block.DueItem) string {
	s := strings.TrimSuffix(d.Text, ".")
	if of := dueOf(d); of != "" {
		s += ", " + of
	}
	return s
}

// dueOf says whom or what it concerns; "" for the box alone.
func dueOf(d block.DueItem) string {
	entry := block.So(d.Pending.Of > 0, "entry "+itoa(int(d.Pending.Of)))
	return strings.Join(block.WordsOf(d.Train, d.Where, entry), ", ")
}

func sectionWords(m *model, i int) string {
	if i < 0 || i >= len(m.box.Sections) {
		return ""
	}
	return " (" + m.box.Sections[i].Neighbour + ")"
}

// ago is a length of time for the eye: minutes, or hours and minutes.
func ago(t block.Time) string {
	n := int(t / block.Minute)
	switch {
	case n < 1:
		return "now"
	case n < 60:
		return fmt.Sprintf("%d min", n)
	}
	return fmt.Sprintf("%d h %02d", n/60, n%60)
}

// agoWord follows a length of time that has gone by.
func agoWord(t block.Time) string {
	if t < block.Minute {
		return ""
	}
	return " ago"
}

// standsLong is how long a train may stand on the running lines beyond its booked
// departure, or beyond its arrival when none is booked, before the desk speaks of
// it. Common practice: long enough for a crossing or a water stop.
const standsLong = 15 * block.Minute

// standing is how long a train has stood on the running lines, when that is too
// long; 0 otherwise.
func (m *model) standing(t *block.Train) block.Time {
	p := m.box.PlaceNamed(t.Place)
	if t.Where != block.Here || t.PlaceAt == 0 || p != nil && p.Siding {
		return 0
	}
	from := t.PlaceAt
	for i := range m.ahead.Trains {
		if b := &m.ahead.Trains[i]; b.ID == t.ID && b.Departs > from {
			from = b.Departs
		}
	}
	if m.now-from < standsLong {
		return 0
	}
	return m.now - t.PlaceAt
}

func orHere(place string) string { return cmp.Or(place, "the box") }

// checkDue says whether the daily clock check is due and not done today.
func (m *model) checkDue() bool {
	if m.box.ClockCheck < 0 || m.state.ClockAt == 0 {
		return false
	}
	from := m.today().At(int(m.box.ClockCheck), m.zone)
	return int64(m.now) >= from.Unix() && calendar.Of(m.state.ClockAt, m.zone) != m.today()
}
