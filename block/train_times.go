package block

import (
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// heard takes a visit, message or reminder that names a detained train or the
// place it stands at: its crew has made itself known. Source: Rule 55.
func (st *step) heard() {
	text := st.e.Subject + " " + st.e.Text
	for _, t := range st.s.Trains {
		if t.Where == Here && (t.Name != "" && strings.Contains(text, t.Name) || t.Place != "" && strings.Contains(text, t.Place)) {
			st.spare(rulebook.TrainDetained, t.ID)
		}
	}
}

// tooSoon raises a train out of its section in less than a quarter of the regular
// running time the box file gives: none runs so fast. Common practice of
// inspectors; the fraction is ours.
func (st *step) tooSoon(t *Train, l *Leg) *Finding {
	s := st.s.section(st.b, l.Section)
	if s.Running == [rulebook.ClassCount]Time{} || l.Assumed || l.Entering == 0 {
		return nil
	}
	regular := st.s.running(st.b, l.Section, t.Class)
	if (st.e.At-l.Entering)*4 >= regular {
		return nil
	}
	return st.note(rulebook.RunningTimeShort, s.Neighbour, t.Label(st.b), "a running time nearer "+strconv.Itoa(int(regular/Minute))+" minutes, or one of the times corrected")
}
