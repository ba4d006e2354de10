package tui

import (
	"strings"

	"fairhand/block"
	"fairhand/register/notation"
)

// A train that is here is shunted by numbers: which train, where several are here, then to
// which place. What stands under a number stays while it is asked, whatever comes meanwhile.

// shunting asks which train is shunted, or of the only one where to.
func (m model) shunting() model {
	switch here := m.here(); len(here) {
	case 0:
		return m.line(forEntry, 0, "train ")
	case 1:
		return m.shunt(here[0])
	default:
		m.mode, m.choices, m.msg = modeMove, here, message{}
		return m
	}
}

// shunt asks to which place a train is shunted.
func (m model) shunt(train string) model {
	m.mode, m.moving, m.choices, m.msg = modeWhere, train, nil, message{}
	for _, p := range m.box.Places {
		if p.Name != m.placeOf(train) {
			m.choices = append(m.choices, p.Name)
		}
	}
	return m
}

// placeOf is where a train stands; "" where nothing tells.
func (m *model) placeOf(train string) string {
	if t := m.state.TrainNamed(train); t != nil {
		return t.Place
	}
	return ""
}

// pressMove is the keys while the train or the place is asked.
func (m model) pressMove(p pressed) (model, cmd) {
	switch p.do {
	case doDrop:
		return m.dropped(), cmd{}
	case doTyped:
		if m.mode == modeMove {
			return m.line(forEntry, 0, "train "), cmd{}
		}
		return m.line(forEntry, 0, strings.TrimSuffix(notation.FormatBody(m.moved("X")), "X")), cmd{}
	}
	n := int(p.key[0] - '1')
	switch {
	case n >= len(m.choices):
		return m.says("Nothing stands under "+p.key+". Nothing was written.", warn)
	case m.mode == modeMove:
		return m.shunt(m.choices[n]), cmd{}
	}
	return m, cmd{do: write, events: []block.Event{timed(m.moved(m.choices[n]), m.then(p.at), p.at)}}
}

// moved is the train asked about at another place.
func (m *model) moved(place string) block.Event {
	return block.Event{Kind: block.TrainMoved, Train: m.moving, Place: place}
}

// movePanel asks which train, or to which place: those that have a number, and who stands there.
func movePanel(m *model, p *page) []row {
	title := " WHICH TRAIN IS SHUNTED? "
	beside := map[string]string{}
	if m.mode == modeWhere {
		title = " " + m.moving + " IS SHUNTED"
		if from := m.placeOf(m.moving); from != "" {
			title += " FROM " + strings.ToUpper(from)
		}
		title += " TO "
		for _, s := range standings(m) {
			if s.who != "" {
				beside[s.where] = ": " + s.who + " there"
			}
		}
	} else {
		for _, train := range m.choices {
			beside[train] = " at " + orHere(m.placeOf(train))
		}
	}
	var list []row
	for i, c := range m.choices[:min(numbers, len(m.choices))] {
		list = append(list, row{txt(plain, " "), txt(keycap, itoa(i+1)), txt(strong, " "+c), txt(plain, beside[c]+"  ")})
	}
	return append([]row{ruled(p.t, title, p.w)}, flowed(list, p.w)...)
}
