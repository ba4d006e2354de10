package tui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
)

// topLine says which box, when, who, and how far the clock is out. Where the window
// is narrow the date is shorter.
func topLine(m *model, w int) row {
	k, clock := clockWords(m)
	end := line(k, clock).add(plain, " ")
	var r row
	for _, date := range []string{"Mon 2 Jan 2006  ", "Mon 2 Jan  ", "2 Jan  ", ""} {
		r = topWords(m, date)
		if gap := w - r.width() - end.width(); gap > 1 {
			return append(r.add(plain, strings.Repeat(" ", gap)), end...)
		}
	}
	return append(r.add(plain, "  "), end...)
}

func topWords(m *model, date string) row {
	now := time.Unix(int64(m.now), 0).In(m.zone)
	again := "" // the second time that the clocks show it
	if strings.HasSuffix(calendar.Clock(m.now, m.zone, calendar.RoundDown), "*") {
		again = "*"
	}
	r := line(strong, " "+strings.ToUpper(m.box.Name)+"  ").
		add(plain, now.Format(date)).add(strong, now.Format("15:04:05")+again+"  ")
	if m.state.Status == block.StatusClosed || m.state.Status == block.StatusSwitchedOut {
		r = r.add(peril, "BOX "+strings.ToUpper(m.state.Status.String())).add(plain, "  ")
	}
	return r.add(dutyWords(m))
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
}

// sectionNotices tells what is asked over the sections, and how they are worked while not
// in the ordinary way.
func sectionNotices(m *model) (out []notice) {
	s := m.state
	say := func(k role, format string, a ...any) {
		out = append(out, notice{role: k, text: fmt.Sprintf(format, a...)})
	}
	for i, c := range s.Circuits {
		who := m.box.Sections[i].Neighbour
		switch a := &s.Bells[i].Asked; {
		case a.Open && a.Means == rulebook.ObstructionDanger:
			say(peril, "OBSTRUCTION DANGER, %s", askedWords(m, a, who))
		case a.Open:
			say(care, "%s", askedWords(m, a, who))
		}
		if c.Closed {
			say(care, "%s CLOSED", who)
		}
		if c.Message {
			say(care, "%s worked BY MESSAGE%s", who, c.Cause())
		}
		if how := s.Single(i); how != "" {
			say(care, "%s: %s", who, how)
		} else if c.Pilot != "" {
			say(care, "%s worked BY PILOT %s", who, c.Pilot)
		}
	}
	return out
}

// notices lists what is out of the ordinary, the gravest first.
func notices(m *model) []notice {
	var out []notice
	say := func(k role, format string, a ...any) {
		out = append(out, notice{role: k, text: fmt.Sprintf(format, a...)})
	}
	s := m.state
	out = append(out, standingNotices(m)...)
	out = append(out, clockNotice(m)...)
	for _, t := range s.Trains {
		switch {
		case t.Where == block.Unaccounted:
			say(peril, "%s NOT ACCOUNTED FOR", t.Label(m.box))
		case t.Proof == block.NoTailLamp:
			say(peril, "%s NOT COMPLETE", t.Label(m.box))
		}
	}
	for _, o := range s.Obstructions {
		out = append(out, notice{peril, "OBSTRUCTED " + o.Line + sectionWords(m, o.Section), ": " + o.Text})
	}
	for _, b := range s.Blockages {
		out = append(out, notice{peril, "BLOCKED " + cmp.Or(b.Line, "section") + sectionWords(m, b.Section), ": " + b.Words()})
	}
	out = append(out, sectionNotices(m)...)
	out = append(out, gearNotices(m)...)
	out = append(out, dueNotices(m)...)
	out = append(out, withheldNotices(m)...)
	if n := m.uncarried(); len(n) > 0 {
		say(care, "NOT TAKEN OVER: %s (h)", strings.Join(n, ", "))
	}
	for _, r := range s.Reminders {
		why := make([]string, 0, len(r.Reasons))
		for _, x := range r.Reasons {
			why = append(why, x.Text)
		}
		out = append(out, notice{care, "REMINDER on " + r.On, ": " + strings.Join(why, "; ")})
	}
	for _, t := range s.Trains {
		if n := m.standing(t); n > 0 {
			say(care, "%s STANDING at %s for %s", t.Label(m.box), orHere(t.Place), ago(n))
		}
	}
	out = append(out, lesserNotices(m)...)
	perils := slices.DeleteFunc(slices.Clone(out), func(n notice) bool { return n.role != peril })
	return append(perils, slices.DeleteFunc(out, func(n notice) bool { return n.role == peril })...)
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

// gearNotices are equipment out of use.
func gearNotices(m *model) []notice {
	var out []notice
	for _, g := range m.state.Gear {
		what := "FAILED"
		switch {
		case g.Disconnected:
			what = "DISCONNECTED"
		case g.Released && !g.Failed:
			what = "RELEASED"
		}
		if g.Clamped {
			what += ", clamped"
		}
		out = append(out, notice{care, g.Name + " " + what, strings.TrimSuffix(": "+g.Text, ": ")})
	}
	return out
}

// withheldNotices say why out of section is not offered for a train that is here. Of one
// without tail lamp it is said already that it is not complete.
func withheldNotices(m *model) (out []notice) {
	for _, w := range m.withheld {
		if t := m.state.TrainNamed(w.Found.Train); w.Found.Rule != rulebook.OutOfSectionTailLampNotSeen || t == nil || t.Proof != block.NoTailLamp {
			out = append(out, notice{role: care, text: w.Label + " WAITS FOR " + w.Found.Expected})
		}
	}
	return out
}

// dueNotices are the things the box owes, and what is late.
func dueNotices(m *model) []notice {
	var out []notice
	for _, d := range m.due {
		if d.Pending.Rule == rulebook.HandoverIncomplete && len(m.uncarried()) == 0 {
			continue
		}
		if d.Pending.Due < m.now {
			out = append(out, notice{role: care, text: "LATE since " + m.noted(d.Pending.Due) + ": " + dueWords(d)})
		} else if !d.Awaited {
			out = append(out, notice{role: care, text: "TO DO by " + m.clock(d.Pending.Due) + ": " + dueWords(d)})
		}
	}
	return out
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

// lesserNotices are those about weather, posts and messages.
func lesserNotices(m *model) []notice {
	var out []notice
	s := m.state
	if s.Fog {
		out = append(out, notice{role: care, text: "FOG"})
	}
	if m.noticesAmiss != nil {
		out = append(out, notice{role: care, text: m.noticesAmiss.Error()})
	}
	switch n := len(m.binding(m.now)); {
	case n == 1:
		out = append(out, notice{role: plain, text: "1 SPECIAL NOTICE (n)"})
	case n > 1:
		out = append(out, notice{role: plain, text: fmt.Sprintf("%d SPECIAL NOTICES (n)", n)})
	}
	for _, l := range m.box.Lines() {
		if d := s.InDoubt(l.Index); d != nil {
			out = append(out, notice{care, "IN DOUBT " + l.Line.Name + sectionWords(m, l.Section), fmt.Sprintf(": since entry %d, until it is shown or proved clear (k proved)", d.Seq)})
		}
	}
	for _, p := range s.Posts {
		out = append(out, notice{role: plain, text: p.Name + " posted at " + p.Place})
	}
	for _, x := range s.Messages {
		if x.To {
			out = append(out, notice{role: plain, text: "no reply from " + x.With + " since " + m.noted(x.At)})
		} else if x.Asks() {
			out = append(out, notice{role: plain, text: "message from " + x.With + " at " + m.noted(x.At) + " not answered"})
		}
	}
	return out
}

// dueWords says what is to be done, or will come, and whom it concerns.
func dueWords(d block.DueItem) string {
	s := strings.TrimSuffix(d.Text, ".")
	for _, who := range []string{d.Train, d.Where} {
		if who != "" {
			s += ", " + who
		}
	}
	return s
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

func orHere(place string) string {
	if place == "" {
		return "the box"
	}
	return place
}

// checkDue says whether the daily clock check is due and not done today.
func (m *model) checkDue() bool {
	if m.box.ClockCheck < 0 || m.state.ClockAt == 0 {
		return false
	}
	now := time.Unix(int64(m.now), 0).In(m.zone)
	y, mo, d := now.Date()
	checked := time.Unix(int64(m.state.ClockAt), 0).In(m.zone)
	cy, cmo, cd := checked.Date()
	return now.Sub(time.Date(y, mo, d, 0, 0, int(m.box.ClockCheck), 0, m.zone)) >= 0 && (y != cy || mo != cmo || d != cd)
}
