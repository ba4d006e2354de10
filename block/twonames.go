package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// TwoNames is a train that went under another name, a letter from that for which line
// clear was given: taken for a slip of the pen. Should one of the first name go as well
// they were two, and the first had no line clear.
type TwoNames struct {
	Name   string // for which line clear was given
	Said   Answer // train-name-differs
	At     Time
	Danger Finding // that stands if they were two
}

// maybeTwo keeps what is dangerous should the train that went under the name of the
// entry be another than the one signalled.
func (st *step) maybeTwo(name string, f Finding) {
	w := TwoNames{Name: name, Said: *f.answer(), At: f.At}
	f.Rule, f.Severity, f.Train, f.Expected = rulebook.WrongTrainEntered, rulebook.Danger, st.e.Train, signalledFor+name
	w.Danger = st.complete(f)
	st.s.TwoNames = append(slices.Clip(st.s.TwoNames), w)
}

// offeredToo says whether a train was offered under the name with line clear standing for this
// one, and not accepted: the boxes know of two, and neither name is a slip of the pen for the
// other. Source: Warngau, 8 June 1975.
func (st *step) offeredToo(t *Train, name string) bool {
	return slices.ContainsFunc(st.s.Open, func(f Finding) bool {
		return f.Rule == rulebook.OfferedBeforeOutOfSection && f.Train == name && f.Seq < st.e.Seq && slices.ContainsFunc([]Leg{t.In, t.Out}, func(l Leg) bool {
			return l.open() && l.Accepted != 0 && f.At >= l.Accepted && st.b.Sections[l.Section].Neighbour == f.Section
		})
	})
}

// twoAfterAll lets the danger stand when a train of the first name goes by itself. One
// that comes under it was away under it.
func (d *action) twoAfterAll() {
	another := func(w *TwoNames) bool { return w.Name == d.train.Name && w.Said.Seq < d.train.Opened }
	for _, w := range d.s.TwoNames {
		if !another(&w) || d.dir == Inward {
			continue
		}
		d.answered([]Answer{w.Said})
		w.Danger.Text += "; " + w.Name + " went afterwards"
		w.Danger.Rests = append(slices.Clip(w.Danger.Rests), d.e.Seq)
		d.step.again = append(d.step.again, w.Danger)
	}
	d.endTwoNames(another)
}

// endTwoNames drops those of which no entry can tell more.
func (st *step) endTwoNames(match func(*TwoNames) bool) {
	st.s.TwoNames = left(st.s.TwoNames, match)
}
