package block

import (
	"strings"

	"fairhand/block/rulebook"
)

// What an entry ends was begun by another. Ended again it does no harm; but where
// something else of its sort stands, that may be what was meant, and goes on standing
// unseen: trains are kept off one line, and let onto the other.

// beginning is a sort of thing that an entry ends.
type beginning struct {
	what   string
	grave  bool // it keeps trains off a line
	stands func(*step) (this bool, others []string)
}

var beginnings = [kindCount]beginning{
	BlockageUp: {"line blockage", true, func(st *step) (bool, []string) {
		return sortOf(st.s.Blockages, func(_ int, k *LineBlockage) (string, bool, bool) {
			name := k.Line
			if k.Section >= 0 {
				name += ", " + st.b.Sections[k.Section].Neighbour
			}
			return name, !k.Key, k.is(st.e.Line, st.sectionOf())
		})
	}},
	ObstructClear: {"obstruction", true, func(st *step) (bool, []string) {
		return sortOf(st.s.Obstructions, func(_ int, o *Obstruction) (string, bool, bool) {
			return o.Line + ", " + st.b.Sections[max(0, o.Section)].Neighbour, true, o.Line == st.e.Line && o.Section == st.sectionOf()
		})
	}},
	Restored:             gearWas("failure", func(g *GearState) bool { return g.Failed || g.Released }),
	Reconnected:          gearWas("disconnection", func(g *GearState) bool { return g.Disconnected }),
	Unclamped:            gearWas("clamp", func(g *GearState) bool { return g.Clamped }),
	RouteReleased:        laidWas("route", RouteSet),
	FrameIn:              laidWas("release of a ground frame", FrameOut),
	CrossingUnobstructed: crossingWas("obstruction", func(c *CrossingState) bool { return c.Obstructed.is() }),
	CrossingUnattended:   crossingWas("attendant", func(c *CrossingState) bool { return c.Attended.is() }),
	CrossingUnsecured:    crossingWas("securing", func(c *CrossingState) bool { return c.Secured.is() }),
	CrossingGatesShut:    crossingWas("open gate", func(c *CrossingState) bool { return c.GatesOpen.is() || c.NotHeard.is() }),
	CrossingRemote:       crossingWas("local control", func(c *CrossingState) bool { return c.Road == RoadLocal }),
	DutyOff: {"duty of his", true, func(st *step) (bool, []string) {
		return sortOf(st.s.OnDuty, func(_ int, o *OnDuty) (string, bool, bool) { return o.Name, true, o.Name == st.e.Subject })
	}},
	TrainExamined: {"train stopped to be examined", false, func(st *step) (bool, []string) {
		return sortOf(st.s.Trains, func(_ int, t **Train) (string, bool, bool) {
			return (*t).Label(st.b), (*t).Stopped || (*t).Unfit, (*t).Name == st.e.Train
		})
	}},
	SectionExamined: {"line to be examined", false, func(st *step) (bool, []string) {
		return sortOf(st.s.ToExamine, func(_ int, x *Examination) (string, bool, bool) {
			return strings.TrimSpace(st.b.Sections[x.Section].Neighbour + " " + x.Line), true, x.Section == st.sectionOf() && (st.e.Line == "" || x.Line == "" || x.Line == st.e.Line)
		})
	}},
	TrainHeard: {"message", false, func(st *step) (bool, []string) {
		return sortOf(st.s.ToHear, func(_ int, m *Unheard) (string, bool, bool) { return m.Train, true, m.Train == st.e.Train })
	}},
	Withdrawn: {"post", false, func(st *step) (bool, []string) {
		return sortOf(st.s.Posts, func(_ int, p *Post) (string, bool, bool) {
			return p.Name + " at " + p.Place, true, p.Name == st.e.Subject && p.Place == st.e.Place
		})
	}},
	WorkingNormal: {"other working", false, func(st *step) (bool, []string) {
		return sortOf(st.s.Circuits, func(i int, c *Circuit) (string, bool, bool) {
			return st.b.Sections[i].Neighbour, c.Message || c.Pilot != "", st.b.Sections[i].Neighbour == st.e.Section
		})
	}},
}

// sortOf says whether what an entry ends is in a list, and what else of its sort is.
func sortOf[T any](list []T, look func(i int, x *T) (name string, stands, this bool)) (this bool, others []string) {
	for i := range list {
		switch name, stands, is := look(i, &list[i]); {
		case !stands:
		case is:
			this = true
		default:
			others = append(others, name)
		}
	}
	return this, others
}

func gearWas(what string, so func(*GearState) bool) beginning {
	return beginning{what, false, func(st *step) (bool, []string) {
		return sortOf(st.s.Gear, func(_ int, g *GearState) (string, bool, bool) { return g.Name, so(g), g.Name == st.e.Subject })
	}}
}

func laidWas(what string, kind Kind) beginning {
	return beginning{what, false, func(st *step) (bool, []string) {
		return sortOf(st.s.Laid, func(_ int, o *Laid) (string, bool, bool) { return o.Name, o.Kind == kind, o.Name == st.e.Subject })
	}}
}

func crossingWas(what string, so func(*CrossingState) bool) beginning {
	return beginning{what, false, func(st *step) (bool, []string) {
		return sortOf(st.s.Crossings, func(i int, c *CrossingState) (string, bool, bool) {
			return st.b.Crossings[i].Name, so(c), st.b.Crossings[i].Name == st.e.Place
		})
	}}
}

// begun raises an entry that ends what is not booked as begun, where something else of
// its sort stands.
func (st *step) begun() {
	is := &beginnings[st.e.Kind]
	if is.stands == nil {
		return
	}
	this, others := is.stands(st)
	if this || len(others) == 0 {
		return
	}
	f := st.note(rulebook.EndedNotBegun, st.e.Section, "", "what stands ended by its own name, if it was meant: "+strings.Join(others, "; "))
	f.Text = "There is no " + is.what + " in the book that this ends, and it stands otherwise: " + strings.Join(others, "; ")
	if !is.grave {
		f.Severity = rulebook.Advice
	}
}
