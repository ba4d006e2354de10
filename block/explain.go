package block

import (
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// finding begins a finding of a rule on the present event.
func (st *step) finding(id rulebook.RuleID) Finding {
	r, _ := rulebook.RuleNamed(id)
	return Finding{Rule: id, Severity: r.Severity, Seq: st.e.Seq, At: st.e.At, Section: st.e.Section, Line: st.e.Line, Train: st.e.Train, Expected: r.Do}
}

// add puts a finding with the others, in words and with the source of its rule.
func (st *step) add(f Finding) *Finding {
	r, _ := rulebook.RuleNamed(f.Rule)
	i := st.b.SectionIndex(f.Section)
	f.Ref = st.b.Rules.Cite(r, i >= 0 && st.b.Sections[i].Method.Is().Single)
	f.Text = words(r, f.Section, f.Train)
	st.found = append(st.found, f)
	return &st.found[len(st.found)-1]
}

// note raises a rule on the present event with what was expected instead.
func (st *step) note(id rulebook.RuleID, section, train, expected string) *Finding {
	f := st.finding(id)
	if section != "" {
		f.Section = section
	}
	if train != "" {
		f.Train = train
	}
	if expected != "" {
		f.Expected = expected
	}
	f.Rests = []int64{st.e.Seq}
	return st.add(f)
}

// find raises a rule broken by an act on a line.
func (d *action) find(id rulebook.RuleID, expected string) {
	if d.saidAlready(id) {
		return
	}
	f := d.finding(id)
	f.Section = d.section().Neighbour
	f.Line = d.lineName()
	if d.train != nil {
		f.Train = d.train.Label(d.b)
	}
	if expected != "" {
		f.Expected = expected
	}
	if s := d.ls().Seq; s != 0 && s != d.e.Seq {
		f.Rests = append(f.Rests, s)
	}
	f.Rests = append(f.Rests, d.e.Seq)
	d.add(f).Text += d.because(id)
}

// saidAlready says whether this event has the same finding already, or one
// that says more of the same fact; a lesser one is taken back.
func (d *action) saidAlready(id rulebook.RuleID) bool {
	for i, f := range d.found {
		if f.Rule == id && f.Section == d.section().Neighbour && f.Line == d.lineName() && f.Seq == d.e.Seq {
			return true
		}
		// An offer that should not have been made and was then accepted is one
		// fault: ours, whichever of the two we did.
		if f.Seq == d.e.Seq && (f.Rule == rulebook.OfferedBeforeOutOfSection || f.Rule == rulebook.OfferedWhileBlocked) && d.act.By() == rulebook.Advance {
			if !d.mine && id != rulebook.OpposingAcceptance {
				return true
			}
			d.found = append(d.found[:i:i], d.found[i+1:]...)
			return false
		}
	}
	return false
}

// words is a finding in plain words.
func words(r rulebook.Rule, section, train string) string {
	text := strings.TrimSuffix(r.What, ".")
	if train != "" {
		text += ": " + train
	}
	if section != "" {
		text += " (" + section + ")"
	}
	return text
}

// because adds the fact a finding rests on.
func (d *action) because(id rulebook.RuleID) string {
	switch id {
	case rulebook.AcceptedClearingPointFouled, rulebook.OutOfSectionClearingPointFouled:
		only := 0
		if id == rulebook.OutOfSectionClearingPointFouled && d.train != nil {
			only = d.train.ID
		}
		if t := d.fouling(only); t != nil {
			return "; " + t.Label(d.b) + " stands at " + t.Place
		}
	case rulebook.AcceptedConditionUnmet:
		return "; " + optionWords(rulebook.Conditions, d.unmet())
	case rulebook.AcceptedSectionOccupied, rulebook.OfferedBeforeOutOfSection, rulebook.EnteredWithoutAcceptance:
		if t := d.s.occupied(d.line); t != nil && (d.train == nil || t.ID != d.train.ID) {
			return "; " + t.Label(d.b) + " is not out of section"
		}
	case rulebook.TokenAlreadyOut, rulebook.TokenNumberDiffers, rulebook.OutOfSectionTokenNotIn:
		if n := d.tokens().Out; n != 0 {
			return "; token " + strconv.Itoa(n) + " is out"
		}
	}
	return ""
}

func optionWords(list []rulebook.Option, name string) string {
	for _, o := range list {
		if o.Name == name {
			return o.Words
		}
	}
	return name
}

// expectedHere says what the machine would have regular in the present phase.
func (d *action) expectedHere() string {
	m := d.machine()
	out := ""
	for a := Act(0); a < actCount; a++ {
		r := m.Row(d.ls().Phase, false, a)
		if r == nil || r.Rule != "" || a == ActDanger || a == ActRefuse || r.To == r.From && a != ActRestore && a != ActDraw {
			continue
		}
		if out != "" {
			out += ", or "
		}
		out += a.String()
	}
	if out == "" {
		return ""
	}
	return "with the line at " + d.ls().Phase.String() + ": " + out
}
