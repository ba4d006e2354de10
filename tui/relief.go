package tui

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register/notation"
)

// Who signs on is chosen by number, or typed. A number always means the same
// person: it is his place among the signallers of the box file, whoever is on
// duty. A name that the box file does not have is asked about once before it is
// written, because a mistyped name in the register is there for good.

// signOn are the entries of a change of turn: what was told, duty on, and duty
// off of everybody else directly below, trainees first. A trainee relieves nobody.
func (m *model) signOn(name string, at block.Time) []block.Event {
	if m.trains(name) {
		return []block.Event{{Kind: block.DutyOn, Subject: name, Party: m.inCharge(), At: at}}
	}
	out := m.told(at)
	if !m.onDuty(name) {
		out = append(out, block.Event{Kind: block.DutyOn, Subject: name, At: at})
	}
	for _, trainees := range []bool{true, false} {
		for _, o := range m.state.OnDuty {
			if o.Name != name && (o.Under != "") == trainees {
				out = append(out, block.Event{Kind: block.DutyOff, Subject: o.Name, At: at})
			}
		}
	}
	return out
}

// inCharge is the signaller on duty who signed on last; "" for none.
func (m *sight) inCharge() string {
	for i := len(m.state.OnDuty) - 1; i >= 0; i-- {
		if o := &m.state.OnDuty[i]; o.Under == "" {
			return o.Name
		}
	}
	return ""
}

// toTurn signs on, or off without a relief; asked about first when trains are left.
func (m model) toTurn(at block.Time) (model, cmd) {
	if len(m.state.OnDuty) == 0 {
		return m.line(forRelief, 0, ""), cmd{}
	}
	if off, why := m.signOff(); why != "" {
		return m.expected(block.Expectation{Event: off, Label: "sign off " + off.Subject, Clears: why}, at)
	}
	return m.line(forEntry, 0, m.turn()), cmd{}
}

// signOff is the end of the turn of whoever is on duty, and what is to be asked
// about it; "" for nothing.
func (m *model) signOff() (off block.Event, why string) {
	on := m.state.OnDuty
	off = block.Event{Kind: block.DutyOff, Subject: on[len(on)-1].Name}
	return off, m.deserted([]block.Event{off})
}

// deserted says which trains are in section when events leave nobody on duty; ""
// for none, or when somebody stays or signs on.
func (m *sight) deserted(events []block.Event) string {
	stays := func(o block.OnDuty) bool {
		return o.Under == "" && !slices.ContainsFunc(events, func(e block.Event) bool { return e.Kind == block.DutyOff && e.Subject == o.Name })
	}
	if m.inCharge() == "" || slices.ContainsFunc(m.state.OnDuty, stays) ||
		slices.ContainsFunc(events, func(e block.Event) bool { return e.Kind == block.DutyOn && e.Party == "" }) {
		return ""
	}
	var trains []string
	for _, t := range m.state.Trains {
		occupies := slices.ContainsFunc(m.state.Lines, func(l *block.LineState) bool { return l.Phase == block.InSection && l.Train == t.ID })
		if occupies || t.Where == block.Approaching || t.Where == block.Away {
			trains = append(trains, t.Label(m.box)+" ("+block.Whereabouts(m.box, t)+")")
		}
	}
	if len(trains) == 0 {
		return ""
	}
	return "Nobody would be on duty, with " + strings.Join(trains, ", ") + ". Who watches them? h hands the turn over."
}

// signallers are the people of the box who may sign on, in the order of the box
// file. Their places are their numbers.
func (m *model) signallers() []string {
	return slices.DeleteFunc(namesOf(m.box.People, personName), func(name string) bool {
		return !slices.Contains(m.box.RoleOf(name).May, block.DutyOn)
	})
}

// trains says whether somebody is a trainee of the box.
func (m *model) trains(name string) bool {
	r := m.box.RoleOf(name)
	return r != nil && r.Under
}

func (m *model) onDuty(name string) bool {
	return slices.ContainsFunc(m.state.OnDuty, func(o block.OnDuty) bool { return o.Name == name })
}

// reliefNamed is who is meant by what was typed: a number of the list, or a name;
// known says whether the box file has it.
func (m *model) reliefNamed(text string) (name string, known bool) {
	for i, name := range m.signallers() {
		if text == itoa(i+1) {
			return name, true
		}
	}
	text = strings.Trim(text, `"`)
	for _, p := range m.box.People {
		if strings.EqualFold(text, p.Name) {
			return p.Name, true
		}
	}
	return text, false
}

// peopleFor are the people of the box that a half-typed name may mean: it begins
// the name, or a word of it.
func (m *model) peopleFor(typed string) []notation.Suggestion {
	typed = strings.ToLower(strings.TrimSpace(typed))
	var out []notation.Suggestion
	for _, p := range m.box.People {
		name := strings.ToLower(p.Name)
		if strings.HasPrefix(name, typed) || strings.Contains(name, " "+typed) {
			out = append(out, notation.Suggestion{Text: p.Name, Says: p.Role, Line: p.Name})
		}
	}
	if m.purpose == forRelief { // who may sign on first
		may := m.signallers()
		not := func(x notation.Suggestion) int {
			if slices.Contains(may, x.Text) && !m.onDuty(x.Text) {
				return 0
			}
			return 1
		}
		slices.SortStableFunc(out, func(a, c notation.Suggestion) int { return not(a) - not(c) })
	}
	return out
}

// ownName is the person of the box whose name shares most with a name that the box
// file does not have; empty when none shares a word's beginning.
func (m *model) ownName(typed string) string {
	best, most := "", 2 // letters of a word; fewer are chance
	for _, p := range m.box.People {
		for _, have := range strings.Fields(strings.ToLower(p.Name)) {
			for _, w := range strings.Fields(strings.ToLower(typed)) {
				n := 0
				for n < min(len(w), len(have)) && w[n] == have[n] {
					n++
				}
				if n > most {
					best, most = p.Name, n
				}
			}
		}
	}
	return best
}

// mayRelieve is what is asked about who signs on: one whom the box does not list, or lists as
// somebody who takes no duty. Nothing is asked where it lists nobody.
func (m *model) mayRelieve(name string, known bool) doubtful {
	switch r := m.box.RoleOf(name); {
	case len(m.box.People) == 0:
	case !known:
		ask := fmt.Sprintf("There is no %q among the people of the box", name)
		other, end := m.ownName(name), "."
		if other != "" {
			end = fmt.Sprintf(". Did you mean %q?", other)
		}
		return doubtful{ask + end, name, other, m.adding("person of the box", name)}
	case !r.Under && !slices.Contains(m.signallers(), name):
		return doubtful{words: name + " is listed as " + r.Name + ", who takes no duty."}
	}
	return doubtful{}
}

// relieve writes who signs on, or asks about a name that the box file does not have.
func (m model) relieve(text string, at block.Time) (model, cmd) {
	name, known := m.reliefNamed(text)
	switch {
	case name == "":
		return m.says("Who signs on? A number of the list, or a name. Nothing was written.", warn)
	case m.trains(name) && m.inCharge() == "":
		return m.says(name+" is a trainee: the signaller under whom he works signs on first. Nothing was written.", warn)
	case m.onDuty(name) && (m.trains(name) || len(m.state.OnDuty) == 1):
		return m.says(name+" is on duty already. Nothing was written.", warn)
	}
	if d := m.mayRelieve(name, known); d.words != "" && m.doubted != name {
		m = m.asks(d)
		m.doubted = name // which a number may stand for
		return m, cmd{}
	}
	return m, cmd{do: write, events: m.signOn(name, at)}
}

// lacksPIN says whether somebody is to be known by a PIN and has none.
func (m *model) lacksPIN(name string) bool {
	return m.box.PINs && name != "" && m.state.PINOf(name) == nil
}

// reliefRows are the choices for who signs on, and what will be written.
func reliefRows(m *model) []row {
	r := row{txt(plain, " ")}
	for i, name := range m.signallers() {
		k, said := plain, ""
		switch {
		case m.onDuty(name):
			k, said = dim, ", on duty"
		case m.lacksPIN(name):
			said = ", no PIN yet"
		}
		r = r.add(keycap, itoa(i+1)).add(k, " "+name+said+"   ")
	}
	last := "Writes "
	name, _ := m.reliefNamed(strings.TrimSpace(m.edit.String()))
	switch n := len(m.told(m.now)); {
	case m.trains(name):
		last += "duty on under " + m.inCharge()
	case n > 0:
		last += entryCount(n) + ", duty on"
	default:
		last += "duty on"
	}
	for _, o := range m.state.OnDuty {
		if o.Name != name && !m.trains(name) {
			last += ", then duty off " + o.Name + " directly below"
		}
	}
	out := []row{r, line(dim, " "+last+".")}
	if m.lacksPIN(name) {
		out = append(out, line(care, " "+name+" has no PIN yet, and that is found: "+m.key("Esc")+", then p sets it."))
	}
	if live, taken, queried := m.counted(); m.from == modeHandover && live > taken+queried { // before it is too late
		out = append(out, line(care, fmt.Sprintf(" %d NOT TAKEN OVER", live-taken-queried)))
	}
	return out
}
