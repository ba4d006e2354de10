package block

import (
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// Handing over the turn, and what is still to be explained.

// maxOpen is how many unexplained findings a state carries; older ones are in
// the book and in the audit.
const maxOpen = 100

// takeOver notes, when a relief signs on at a box that was being worked, the
// things he must be told of. Source: TS1 1.3 as in signaller study cards.
func (st *step) takeOver() {
	if st.s.First == st.e.At && len(st.s.Trains) == 0 || st.s.DutyTurns == 0 {
		st.s.DutyTurns++
		st.s.Mentioned = nil
		return
	}
	st.s.DutyTurns++
	st.s.Uncarried = nil
	for _, it := range Live(st.b, st.s) {
		if !it.Rests && !slices.ContainsFunc(st.s.Mentioned, func(m string) bool { return strings.Contains(m, it.Name) }) {
			st.s.Uncarried = append(st.s.Uncarried, it.Name)
		}
	}
	for _, m := range st.s.Mentioned {
		if m[0] != ' ' && !slices.ContainsFunc(Live(st.b, st.s), func(it LiveItem) bool { return strings.Contains(m, it.Name) }) {
			st.carriedUnknown()
		}
	}
	st.s.Mentioned = nil
	if len(st.s.Uncarried) > 0 {
		st.owe(rulebook.HandoverIncomplete, Pending{Section: -1})
	}
}

// carried strikes off what an entry of the relief takes over.
func (st *step) carried() {
	text := st.e.Subject + " " + st.e.Text
	st.s.Mentioned = append(slices.Clone(st.s.Mentioned), text)
	if n := len(st.s.Mentioned); n > 50 {
		st.s.Mentioned = st.s.Mentioned[n-50:]
	}
	if len(st.s.Uncarried) == 0 {
		return
	}
	n := len(st.s.Uncarried)
	st.s.Uncarried = slices.DeleteFunc(slices.Clone(st.s.Uncarried), func(name string) bool { return strings.Contains(text, name) })
	if len(st.s.Uncarried) == n && st.e.Subject != "" {
		st.carriedUnknown()
	}
	if len(st.s.Uncarried) == 0 {
		st.bringOnLine(rulebook.HandoverIncomplete, 0)
	}
}

// carriedUnknown strikes off a train that no entry has named yet: what was handed
// over is no other thing that the book knows.
func (st *step) carriedUnknown() {
	for k, name := range st.s.Uncarried {
		if slices.ContainsFunc(st.s.Trains, func(t *Train) bool { return t.Name == "" && t.Label(st.b) == name }) {
			st.s.Uncarried = slices.Delete(st.s.Uncarried, k, k+1)
			return
		}
	}
}

// LiveItem is one thing a relief must know.
type LiveItem struct {
	Rests bool   // stands clear in a siding: to be told, not to be ticked
	Name  string // how an entry refers to it: a train's name, "token 7", a lever
	Text  string // in a sentence
	Seq   int64  // entry it rests on
}

// Live lists what is live at the box: trains signalled or standing on the
// running lines, tokens and staffs out, acceptances, blocks, reminders, gear
// out of use, messages unanswered. It is what a handover carries.
func Live(b *Box, s *State) []LiveItem {
	var out []LiveItem
	for _, t := range s.Trains {
		if b.longGone(t, s.Now) {
			continue
		}
		p := b.PlaceNamed(t.Place)
		rests := t.Where == Here && p != nil && p.Siding && !t.In.open() && !t.Out.open() ||
			t.Name == "" && t.In.Section < 0 && t.Out.Entered == 0 // signalled for a train that may be told by its name
		text := t.Label(b) + ": " + Whereabouts(b, t)
		if t.Proof == NoTailLamp {
			text += ", WITHOUT TAIL LAMP, not found complete"
		}
		if i := t.In.Section; i >= 0 && len(b.Sections[i].Tokens.Charge) > 0 && s.Tokens[i].Out == 0 && t.In.open() && t.In.Accepted != 0 && !t.In.TokenIn {
			out := "RELEASED"
			if t.In.Entered != 0 {
				out = "OUT"
			}
			text += ", A TOKEN " + out + ", its number not told here"
		}
		out = append(out, LiveItem{rests, t.Label(b), text, t.Opened})
	}
	for i := range b.Sections {
		who := b.Sections[i].Neighbour
		if n := s.Tokens[i].Out; n != 0 {
			out = append(out, LiveItem{false, "token " + strconv.Itoa(n), "token " + strconv.Itoa(n) + " of the section to " + who + " is out", s.Tokens[i].Seq})
		}
	}
	for i := range s.Doubts {
		if d := &s.Doubts[i]; d.Step != StepNone && d.Seq != 0 {
			out = append(out, LiveItem{Rests: true, Name: d.Name, Text: d.Words(b), Seq: d.Seq})
		}
	}
	for l, r := range b.lines {
		switch p := s.Lines[l].Phase; p {
		case BlockedInside, BlockedOutside, Obstructed, Shunting, ShuntReleased:
			ln := b.Sections[r.section].Lines[r.line].Name
			out = append(out, LiveItem{false, ln, ln + ", " + b.Sections[r.section].Neighbour + ": " + p.String(), s.Lines[l].Seq})
		}
	}
	for _, k := range s.Blockages {
		name := k.Line
		if k.Key {
			name = b.Sections[k.Section].Neighbour
		}
		out = append(out, LiveItem{false, name, "line blockage, " + name + ": " + k.Words(), k.Seq})
	}
	for _, o := range s.Obstructions {
		out = append(out, LiveItem{false, o.Line, "obstruction, " + o.Line + ": " + o.Text, o.Seq})
	}
	for _, r := range s.Reminders {
		for _, why := range r.Reasons {
			out = append(out, LiveItem{false, r.On, "reminder on " + r.On + ": " + why.Text, why.Seq})
		}
	}
	out = append(out, liveCrossings(b, s)...)
	for _, g := range s.Gear {
		out = append(out, LiveItem{false, g.Name, g.Name + ": " + g.Words(), g.Seq})
	}
	out = append(out, liveCounters(b, s)...)
	for _, m := range s.Messages {
		out = append(out, LiveItem{false, m.With, "message with " + m.With + " awaits an answer: " + m.Text, m.Seq})
	}
	return out
}

// Words says in what way gear is out of use.
func (g *GearState) Words() string {
	out := ""
	for _, w := range []struct {
		is   bool
		word string
	}{{g.Failed, "failed"}, {g.Disconnected, "disconnected"}, {g.Clamped, "clamped"}, {g.Released, "released"}} {
		if !w.is {
			continue
		}
		if out != "" {
			out += ", "
		}
		out += w.word
	}
	if g.Text != "" {
		out += " (" + g.Text + ")"
	}
	return out
}

// Whereabouts says where a train is, in words.
func Whereabouts(b *Box, t *Train) string {
	name := func(i int) string {
		if i < 0 {
			return ""
		}
		return b.Sections[i].Neighbour
	}
	switch t.Where {
	case OfferedHere:
		return "offered by " + name(t.In.Section)
	case AcceptedHere:
		return "accepted from " + name(t.In.Section)
	case Approaching:
		return "in section from " + name(t.In.Section)
	case Away:
		return "in section to " + name(t.Out.Section)
	case Here:
		out := "here"
		if t.Place != "" {
			out = "at " + t.Place
		}
		if t.Out.open() && t.Out.Accepted != 0 {
			out += ", accepted by " + name(t.Out.Section)
		}
		if t.In.open() && t.In.Entered != 0 {
			out += ", not yet out of section"
		}
		return out
	}
	return t.Where.String()
}

// explain strikes off the findings of an entry that has been explained.
func (st *step) explain() {
	if slices.ContainsFunc(st.s.Open, func(f Finding) bool { return f.Seq == st.e.Target }) {
		st.s.Open = slices.DeleteFunc(slices.Clone(st.s.Open), func(f Finding) bool { return f.Seq == st.e.Target })
	}
}

// remember keeps what was found until somebody explains it.
func (st *step) remember() {
	for _, f := range st.found {
		if f.Severity == rulebook.Advice {
			continue
		}
		st.s.Open = append(slices.Clone(st.s.Open), f)
		if n := len(st.s.Open); n > maxOpen {
			st.s.Open = st.s.Open[n-maxOpen:]
		}
	}
}

// correction raises a correction nobody has signed: no one on duty.
func (st *step) correction() {
	if st.s.DutyKnown && len(st.s.OnDuty) == 0 {
		st.note(rulebook.CorrectionUnsigned, "", "", "whoever corrects an entry signed on")
	}
}
