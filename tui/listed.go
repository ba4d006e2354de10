package tui

import (
	"slices"
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/notation"
)

// A key does what the eye saw. An entry expected next gets its number when the window
// shows it, and keeps it while it is listed, wherever it stands in the list. A number given
// back rests, and of those that have rested the one longest out of use is given: who looks
// away and back finds no other meaning under it. Under the same number the same entry may come
// back at once. A row counts only when the window shows it and has shown it for the guard
// time, with the same words and the same entry behind them.

// listed is an entry expected next as it stands in the list.
type listed struct {
	block.Expectation
	ways   []block.Expectation // those between which its key asks; nil for none
	number int                 // the key, 1 to 9; 0 for none
	body   string              // what it writes
	since  time.Time           // when the window began to show it; zero while it does not
}

// read is what the eye reads of a row beside its label: what it writes, and what is asked
// before. A question that is asked no more was read, too.
func (l *listed) read() string { return l.body + "\n" + l.wants() }

// wants says what will be asked before the entry is written.
func (l *listed) wants() string {
	if l.ways != nil {
		return "to which box?"
	}
	return wants(&l.Expectation)
}

// numbers is how many number keys there are.
const numbers = 9

// listing is the list shown brought up to now. While nothing new is written (still) it keeps
// its order: a list that moves by itself under the hand would have Enter do something else
// than was read. What is new comes before what is wanted later, so that what has become due
// is in sight, but not before what Enter stood on. An entry about a train that has another
// name now (renamed, new name to old) keeps its number, and is to be read afresh.
func listing(shown, now []listed, still, stood bool, renamed map[string]string) []listed {
	kept, shown := slices.Clone(shown), slices.Clone(shown)
	taken := make([]bool, len(shown))
	out := make([]listed, 0, len(now))
	for _, row := range now {
		x := &row.Expectation
		i := slices.IndexFunc(kept, func(l listed) bool { return l.Label == x.Label })
		if was, ok := renamed[x.Event.Train]; ok && i < 0 {
			i = slices.IndexFunc(kept, func(l listed) bool {
				return l.Label != "" && l.Event.Train == was && l.Act == x.Act && l.Mine == x.Mine && nameless(l.Event) == nameless(x.Event)
			})
		}
		if i < 0 {
			i = slices.IndexFunc(kept, func(l listed) bool { return l.reworded(&row, now) })
			if i >= 0 {
				shown[i].Label, kept[i].body = x.Label, "" // to be read afresh
			}
		}
		if i >= 0 && !taken[i] {
			taken[i] = true
			row.number = kept[i].number
			if row.read() == kept[i].read() {
				row.since = kept[i].since
			}
			kept[i].Label = "" // found once
		}
		out = append(out, row)
	}
	if still {
		return inOrder(shown, out, stood)
	}
	return out
}

// reworded says whether a row writes what this one wrote, which is listed no more: only its
// words have changed, as those of a train that may be at a crossing in fewer minutes.
func (l *listed) reworded(as *listed, now []listed) bool {
	return l.Label != "" && l.body != "" && l.body == as.body && l.Act == as.Act &&
		!slices.ContainsFunc(now, func(o listed) bool { return o.Label == l.Label })
}

// inOrder is the list now in the order of the list shown, with what is new between, at place
// 1 at the earliest where Enter stood on the first. What is moved by it is to be read afresh.
func inOrder(shown, now []listed, stood bool) []listed {
	at := func(list []listed, x *listed) int {
		return slices.IndexFunc(list, func(l listed) bool { return l.Label == x.Label })
	}
	out := make([]listed, 0, len(now))
	for i := range shown {
		if k := at(now, &shown[i]); k >= 0 && at(out, &shown[i]) < 0 {
			out = append(out, now[k])
		}
	}
	stood = stood && len(out) > 0 && out[0].Label == shown[0].Label
	for i := len(now) - 1; i >= 0; i-- {
		if at(out, &now[i]) >= 0 {
			continue
		}
		to := slices.IndexFunc(out, func(l listed) bool { return at(now, &l) > i })
		if to < 0 {
			to = len(out)
		}
		if to == 0 && stood {
			to = 1
		}
		out = slices.Insert(out, to, now[i])
	}
	for i := range min(len(out), len(shown)) {
		if out[i].Label != shown[i].Label {
			out[i].since = time.Time{}
		}
	}
	return out
}

// nameless is what an entry writes but for the name of its train.
func nameless(e block.Event) string {
	e.Train = ""
	return notation.FormatBody(e)
}

// renamed are the trains on hand that have another name than at the last look, new name to
// old: where a correction or a change of name was written since, and just one name has gone
// and one come.
func (m *model) renamed(s *sight) map[string]string {
	if !slices.ContainsFunc(s.day, func(e register.Entry) bool {
		return e.Seq > m.seen && (e.Event.Kind == block.Correct || e.Event.Kind == block.TrainRenamed)
	}) {
		return nil
	}
	now := namesOf(s.state.Trains, trainName)
	without := func(list, other []string) []string {
		return slices.DeleteFunc(slices.Clone(list), func(name string) bool { return slices.Contains(other, name) })
	}
	gone, come := without(m.onHand, now), without(now, m.onHand)
	if len(gone) != 1 || len(come) != 1 {
		return nil
	}
	return map[string]string{come[0]: gone[0]}
}

// lent is what a number key stood for last, and since when it does not.
type lent struct {
	label string
	gone  time.Time
}

// numberRest is how long a number means nothing after its entry has left the list. Longer
// than the eye is off the desk for a bell and the book; a guess, not measured.
const numberRest = 15 * time.Second

// giveBack notes the numbers of what was listed and is listed no more.
func (m *model) giveBack(before []listed) {
	for _, l := range before {
		if l.number > 0 && m.numberedRow(l.number) < 0 {
			m.lent[l.number] = lent{l.Label, m.moment}
		}
	}
}

// lend is the number for an entry that the window begins to show: the one it had, else of
// those that have rested the one longest out of use; 0 while there is none. Where keys have
// no guard (in lines, where a number counts only as it was told) none needs rest.
func (m *model) lend(label string) int {
	best := 0
	for n := 1; n <= numbers; n++ {
		was := m.lent[n]
		switch {
		case m.numberedRow(n) >= 0:
		case was.label == label:
			return n
		case m.resting(n):
		case best == 0 || was.gone.Before(m.lent[best].gone):
			best = n
		}
	}
	return best
}

// resting says whether a number that is given back is not yet to be given again.
func (m *model) resting(n int) bool {
	was := m.lent[n]
	return m.guard > 0 && was.label != "" && m.moment.Sub(was.gone) < numberRest
}

// watch notes which rows of the list the window shows at the moment, and since
// when, and numbers them; and since when it shows the present mode.
func (m model) watch(before mode) model {
	if m.mode != before {
		m.came = m.moment
		if m.mode == modeDesk && m.last == "Enter" {
			m.shut = m.moment
		}
	}
	shown := 0
	if m.box != nil {
		shown = nextShown(&m)
	}
	if first := m.first(); first != m.entered {
		m.entered, m.firstCame = first, m.moment
	}
	m.listed = slices.Clone(m.listed)
	for i := range m.listed {
		switch l := &m.listed[i]; {
		case i >= shown:
			l.since = time.Time{}
		case l.number == 0:
			if l.number = m.lend(l.Label); l.number > 0 || l.since.IsZero() {
				l.since = m.moment // read it may have been, but not under this key
			}
		case l.since.IsZero():
			l.since = m.moment
		}
	}
	return m
}

// enterAhead is how far ahead a thing may lie that Enter writes: what is further off
// is not what happens next. Longer than most sections take; a guess.
const enterAhead = 10 * block.Minute

// soon says whether Enter stands on something: the first row, when it is next.
func (m *model) soon() bool {
	return len(m.listed) > 0 && m.listed[0].Wanted <= m.now+enterAhead && !m.forked()
}

// forked says whether the first row is one of several ways on for its train, and nothing
// tells which it takes.
func (m *model) forked() bool {
	return slices.ContainsFunc(m.listed[min(1, len(m.listed)):], func(x listed) bool {
		a := &m.listed[0]
		return a.Act == block.ActOffer && a.Mine && x.Act == a.Act && x.Mine && x.Event.Train == a.Event.Train && x.Event.Section != a.Event.Section && x.Wanted == a.Wanted
	})
}

// first is what Enter would write: the first row of the list; "" for nothing.
func (m *model) first() string {
	if !m.soon() {
		return ""
	}
	return m.listed[0].Label + "\n" + m.listed[0].read()
}

// fresh says whether something is on the screen for too short a time to have been
// read when a key was pressed.
func (m *model) fresh(since, pressed time.Time) bool {
	return m.guard > 0 && pressed.Sub(since) < m.guard
}
