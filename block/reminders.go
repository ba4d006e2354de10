package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// Reminders on levers and instruments: what each is there for, and what takes it off early.

func (st *step) reminderOn() {
	s := st.s
	why := Reason{st.e.Text, st.e.At, st.e.Seq}
	i := slices.IndexFunc(s.Reminders, func(r Reminder) bool { return r.On == st.e.Subject })
	s.Reminders = slices.Clone(s.Reminders)
	if i < 0 {
		s.Reminders = append(s.Reminders, Reminder{st.e.Subject, []Reason{why}})
	} else {
		s.Reminders[i].Reasons = append(slices.Clone(s.Reminders[i].Reasons), why)
	}
	st.heard()
}

// reminderOff lifts one reason, or all; lifting while another reason stands, or
// while the thing it was placed for is still so, is too early.
func (st *step) reminderOff() {
	s := st.s
	i := slices.IndexFunc(s.Reminders, func(r Reminder) bool { return r.On == st.e.Subject })
	if i < 0 {
		st.eachCrossing(atCrossing.wasReminded)
		return
	}
	r := s.Reminders[i]
	lifted := func(why Reason) bool { return why.Text == st.e.Text || st.e.Text == "" }
	left := slices.DeleteFunc(slices.Clone(r.Reasons), lifted)
	for _, why := range r.Reasons {
		if lifted(why) {
			st.contradict(func(p *Presumption) bool { // it was put on for a train presumed gone, which stood there until now
				return slices.Contains(p.Steps, StepClear) && p.Name != "" && why.At < p.At && p.At < st.e.At && strings.Contains(why.Text, p.Name)
			})
		}
		if lifted(why) && st.stillSo(r.On, why) {
			st.note(rulebook.ReminderRemovedEarly, "", "", "the reason gone first: "+why.Text)
			break
		}
	}
	s.Reminders = slices.Clone(s.Reminders)
	if len(left) == 0 {
		s.Reminders = slices.Delete(s.Reminders, i, i+1)
		return
	}
	s.Reminders[i].Reasons = left
}

// stillSo says whether the reason for a reminder is still recorded: a train
// standing here that it names, or an obstruction, or people, on a line it names. A
// reminder on a signal where trains stand is for one that stands there.
func (st *step) stillSo(on string, why Reason) bool {
	for _, t := range st.s.Trains {
		// One that was for a restricted acceptance is taken off when the driver has been warned. Source:
		// signalbox.org, Block system ch. 5.
		warning := t.Warned && t.Out.Restricted && t.Out.open() && st.placeIn(why.Text, &Train{}, nil)
		if t.Name != "" && (t.Where == Here || t.Where == Unaccounted) && st.speaksOfAny(why.Text, t.Name) && st.placeIn(why.Text+" "+on, t, &why) && !warning {
			return true
		}
	}
	blocked := func(k LineBlockage) bool {
		return k.Line != "" && strings.Contains(why.Text, k.Line) && why.after(k.At, k.Seq) && k.peopled()
	}
	obstructed := func(o Obstruction) bool { return strings.Contains(why.Text, o.Line) && why.after(o.At, o.Seq) }
	return slices.ContainsFunc(st.s.Blockages, blocked) || slices.ContainsFunc(st.s.Obstructions, obstructed)
}

// speaksOfAny says whether a text has the name of a train, or one that nobody on hand has and
// that may be a slip of the pen for it.
func (st *step) speaksOfAny(text, name string) bool {
	return strings.Contains(text, name) || slices.ContainsFunc(namesIn(text), func(word string) bool {
		return alike(word, name) && st.s.TrainNamed(word) == nil
	})
}

// liftedToGo answers that the reminder for a train that stands at a signal was lifted early, where it
// then moves off: while it is on the lever, the signal cannot be cleared for it. Common practice.
func (st *step) liftedToGo(t *Train) {
	if !st.b.standsAtSignal(t) {
		return
	}
	st.answered(st.s.answers(func(f *Finding) bool { return f.liftedFor(t) && st.e.At-f.At <= st.b.Limit(rulebook.LateAfter) }))
}
