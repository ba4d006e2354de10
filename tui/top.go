package tui

import (
	"fmt"
	"strings"
	"time"

	"fairhand/block"
)

// topLine says which box, when, who, and how far the clock is out.
func topLine(m *model, w int) row {
	now := time.Unix(int64(m.now), 0).In(m.zone)
	r := line(strong, " "+strings.ToUpper(m.box.Name)).
		add(plain, "  "+now.Format("Mon 2 Jan 2006")+"  ").add(strong, now.Format("15:04:05")+"  ")
	if m.state.Status == block.StatusClosed || m.state.Status == block.StatusSwitchedOut {
		r = r.add(peril, "BOX "+strings.ToUpper(m.state.Status.String())).add(plain, "  ")
	}
	if n := m.state.OnDuty; len(n) > 0 {
		who := make([]string, len(n))
		for i := range n {
			who[i] = n[i].Name
		}
		r = r.add(plain, strings.Join(who, ", ")+" on duty")
	} else {
		r = r.add(peril, "NOBODY ON DUTY")
	}
	k, clock := clockWords(m)
	end := line(k, clock).add(plain, " ")
	if gap := w - r.width() - end.width(); gap > 0 {
		return append(r.add(plain, strings.Repeat(" ", gap)), end...)
	}
	return append(r.add(plain, "  "), end...)
}

// clockWords says how the clock was at the last check.
func clockWords(m *model) (role, string) {
	s := m.state
	switch {
	case s.ClockAt == 0:
		return care, "clock NOT CHECKED"
	case s.ClockError > 0:
		return care, fmt.Sprintf("clock %d min FAST", s.ClockError)
	case s.ClockError < 0:
		return care, fmt.Sprintf("clock %d min SLOW", -s.ClockError)
	}
	return plain, "clock right at " + m.clock(s.ClockAt)
}

// notice is something out of the ordinary that holds at the moment.
type notice struct {
	role role
	text string
}

// notices lists what is out of the ordinary, the gravest first.
func notices(m *model) []notice {
	var out []notice
	say := func(k role, format string, a ...any) { out = append(out, notice{k, fmt.Sprintf(format, a...)}) }
	s := m.state
	for _, t := range s.Trains {
		switch {
		case t.Where == block.Unaccounted:
			say(peril, "%s NOT ACCOUNTED FOR", t.Label(m.box))
		case t.Proof == block.NoTailLamp:
			say(peril, "%s NOT COMPLETE", t.Label(m.box))
		}
	}
	for _, o := range s.Obstructions {
		say(peril, "OBSTRUCTED %s%s: %s", o.Line, sectionWords(m, o.Section), o.Text)
	}
	for _, b := range s.Blockages {
		say(peril, "BLOCKED %s%s: %s", b.Line, sectionWords(m, b.Section), b.Text)
	}
	for i, c := range s.Circuits {
		who := m.box.Sections[i].Neighbour
		if a := c.Asked; a.Open {
			way := "from " + who + ": answer it"
			if a.Sent {
				way = "to " + who + ": no answer yet"
			}
			say(care, "BELL %s %s (%s)", string(a.Code), way, ago(m.now-a.At))
		}
		if c.Closed {
			say(care, "%s CLOSED", who)
		}
		if c.Message {
			say(care, "%s worked BY MESSAGE", who)
		}
		if c.Pilot != "" {
			say(care, "%s worked BY PILOT %s", who, c.Pilot)
		}
	}
	for _, d := range m.due {
		if d.Pending.Due < m.now {
			say(care, "LATE since %s: %s", m.clock(d.Pending.Due), dueWords(d))
		}
	}
	for _, r := range s.Reminders {
		why := make([]string, 0, len(r.Reasons))
		for _, x := range r.Reasons {
			why = append(why, x.Text)
		}
		say(care, "REMINDER on %s: %s", r.On, strings.Join(why, "; "))
	}
	return append(out, lesserNotices(m)...)
}

// lesserNotices are those about equipment, weather and messages.
func lesserNotices(m *model) []notice {
	var out []notice
	s := m.state
	for _, g := range s.Gear {
		what := "FAILED"
		if g.Disconnected {
			what = "DISCONNECTED"
		}
		if g.Clamped {
			what += ", clamped"
		}
		out = append(out, notice{care, strings.TrimSuffix(g.Name+" "+what+": "+g.Text, ": ")})
	}
	if s.Fog {
		out = append(out, notice{care, "FOG"})
	}
	for _, p := range s.Posts {
		out = append(out, notice{plain, p.Name + " posted at " + p.Place})
	}
	for _, x := range s.Messages {
		if x.To {
			out = append(out, notice{plain, "no reply from " + x.With + " since " + m.clock(x.At)})
		} else {
			out = append(out, notice{plain, "message from " + x.With + " at " + m.clock(x.At) + " not answered"})
		}
	}
	return out
}

// dueWords says whom something that falls due concerns, and what it will mean if
// nothing is written until then.
func dueWords(d block.DueItem) string {
	s := strings.TrimSuffix(d.Text, ".")
	if who := strings.TrimSpace(d.Train + " " + d.Where); who != "" {
		return who + ", else: " + s
	}
	return "else: " + s
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
