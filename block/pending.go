package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Pending is something the rules expect to follow within a limit. When it does
// not, Rule is broken. The desk shows it as due; Apply raises it when time has
// run out.
type Pending struct {
	Rule    rulebook.RuleID
	Due     Time
	At      Time
	Seq     int64 // entry it follows from
	Section int   // -1 for none
	Line    int
	Train   int // 0 for none
	Ahead   bool
	Times   int // how often it was raised already
}

// owe notes something expected to follow from this event.
func (st *step) owe(p Pending) {
	p.At, p.Seq = st.e.At, st.e.Seq
	if slices.ContainsFunc(st.s.Pending, func(o Pending) bool {
		return o.Rule == p.Rule && o.Section == p.Section && o.Train == p.Train && o.Ahead == p.Ahead
	}) {
		return
	}
	own(st.s, &st.s.pending, &st.s.Pending, 1)
	st.s.Pending = append(st.s.Pending, p)
}

// discharge strikes off what this event brings, for a section (-1 any) and a
// train (0 any), and raises it as late when the limit had passed.
func (st *step) discharge(rule rulebook.RuleID, section, train int) bool {
	return st.strike(func(p *Pending) bool {
		return p.Rule == rule && (section < 0 || p.Section == section) && (train == 0 || p.Train == train)
	}, true)
}

// forgetRule strikes off what no longer matters for a train.
func (st *step) forgetRule(rule rulebook.RuleID, train int) {
	st.strike(func(p *Pending) bool { return p.Rule == rule && p.Train == train }, false)
}

// arrivedFrom strikes off the watch for a train overdue in one section; that for
// the section ahead stands.
func (st *step) arrivedFrom(section, train int) {
	st.strike(func(p *Pending) bool {
		return p.Rule == rulebook.TrainOverdue && p.Train == train && p.Section == section
	}, false)
}

// forget strikes off everything about a train whose row has closed, except a
// warning signal that is still owed.
func (st *step) forget(train int) {
	st.strike(func(p *Pending) bool {
		return p.Train == train && p.Rule != rulebook.TailLampNotReported && p.Rule != rulebook.TailLampOutNotReported && p.Due >= st.s.Now
	}, false)
}

func (st *step) strike(match func(*Pending) bool, late bool) bool {
	struck := false
	for i := 0; i < len(st.s.Pending); i++ {
		p := st.s.Pending[i]
		if !match(&p) {
			continue
		}
		own(st.s, &st.s.pending, &st.s.Pending, 1)
		st.s.Pending = slices.Delete(st.s.Pending, i, i+1)
		i--
		struck = true
		if late && st.e.At > p.Due && p.Times == 0 {
			st.raise(p, st.e.Seq)
		}
	}
	return struck
}

// expire raises what this event shows was never done in time.
func (st *step) expire() {
	for i := 0; i < len(st.s.Pending); i++ {
		p := st.s.Pending[i]
		if p.Due >= st.s.Now {
			continue
		}
		own(st.s, &st.s.pending, &st.s.Pending, 1)
		if p.Rule == rulebook.TrainOverdue && st.s.Lines[p.Line].Phase == Obstructed {
			st.s.Pending = slices.Delete(st.s.Pending, i, i+1) // everybody knows why it has not come
			i--
			continue
		}
		st.raise(p, p.Seq)
		if again := st.again(&p); again > 0 {
			p.Times++
			p.Due += again
			st.s.Pending[i] = p
			continue
		}
		st.s.Pending = slices.Delete(st.s.Pending, i, i+1)
		i--
	}
}

// again is the time after which a thing raised once is raised once more, in
// earnest: a train overdue or detained is first advice, then irregular.
func (st *step) again(p *Pending) Time {
	if p.Times > 0 {
		return 0
	}
	switch p.Rule {
	case rulebook.TrainOverdue:
		t := st.s.Train(p.Train)
		if t == nil {
			return 0
		}
		return st.b.overdue(t.Class)
	case rulebook.TrainDetained:
		return 2 * st.b.limit(rulebook.DetainedAgain)
	}
	return 0
}

func (st *step) raise(p Pending, seq int64) {
	f := st.finding(p.Rule)
	f.Seq = seq
	if p.Section >= 0 {
		f.Section = st.b.Sections[p.Section].Neighbour
	}
	if p.Train != 0 {
		if t := st.s.Train(p.Train); t != nil {
			f.Train = t.Label(st.b)
		}
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
	f.Text = st.words(p.Rule, f.Section, f.Train)
	st.found = append(st.found, f)
}

// dueWords says what is to be done, or will come, for what may fall due.
var dueWords = map[rulebook.RuleID]string{
	rulebook.EnteringNotSent:               "send train entering section",
	rulebook.ObstructionDangerNotSent:      "send obstruction danger",
	rulebook.TailLampNotReported:           "report the train without tail lamp",
	rulebook.TailLampOutNotReported:        "report the tail lamp not lit",
	rulebook.NotAcknowledged:               "answer awaited on the bell",
	rulebook.TrainOverdue:                  "train due out of the section",
	rulebook.TrainDetained:                 "hear from the crew of the train standing at the signal",
	rulebook.ClockUnchecked:                "check the clock",
	rulebook.HandoverIncomplete:            "take over what has not been ticked",
	rulebook.ReminderMissing:               "put a reminder on",
	rulebook.CancellingNotSent:             "send cancelling",
	rulebook.ShuntNotWithdrawn:             "send shunt withdrawn",
	rulebook.WrongDescriptionNotFollowed:   "send the right description",
	rulebook.IndicatorNotLineClear:         "note the indicator at line clear",
	rulebook.IndicatorNotNormal:            "note the indicator at normal",
	rulebook.DisconnectionNotCountersigned: "countersign the disconnection",
}

// DueItem is something that will fall due.
type DueItem struct {
	Pending
	Train string
	Where string // neighbour concerned
	Text  string
}

// Due lists what is expected to follow and has not yet, up to a time, soonest
// first; what is already overdue comes first of all.
func Due(b *Box, s *State, until Time) []DueItem {
	var due []DueItem
	for _, p := range s.Pending {
		if p.Due > until {
			continue
		}
		d := DueItem{Pending: p}
		if p.Section >= 0 {
			d.Where = b.Sections[p.Section].Neighbour
		}
		if t := s.Train(p.Train); p.Train != 0 && t != nil {
			d.Train = t.Label(b)
		}
		d.Text = dueWords[p.Rule]
		if d.Text == "" {
			r, _ := rulebook.RuleNamed(p.Rule)
			d.Text = r.What
		}
		due = append(due, d)
	}
	slices.SortStableFunc(due, func(a, b DueItem) int { return int(a.Pending.Due - b.Pending.Due) })
	return due
}
