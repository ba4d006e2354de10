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
	BlockageUp: {"line blockage", true, sortOf(func(st *step) []LineBlockage { return st.s.Blockages }, func(st *step, _ int, k *LineBlockage) (string, bool, bool) {
		name := k.Line
		if k.Section >= 0 {
			name += ", " + st.b.Sections[k.Section].Neighbour
		}
		return name, !k.Key, k.is(st.e.Line, st.b.SectionIndex(st.e.Section))
	})},
	ObstructClear: {"obstruction", true, sortOf(func(st *step) []Obstruction { return st.s.Obstructions }, func(st *step, _ int, o *Obstruction) (string, bool, bool) {
		return o.Line + ", " + st.b.Sections[max(0, o.Section)].Neighbour, true, o.Line == st.e.Line && o.Section == st.b.SectionIndex(st.e.Section)
	})},
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
	DutyOff: {"duty of his", true, sortOf(func(st *step) []OnDuty { return st.s.OnDuty }, func(st *step, _ int, o *OnDuty) (string, bool, bool) {
		return o.Name, true, o.Name == st.e.Subject
	})},
	TrainExamined: {"train stopped to be examined", false, sortOf(func(st *step) []*Train { return st.s.Trains }, func(st *step, _ int, t **Train) (string, bool, bool) {
		return (*t).Label(st.b), (*t).Stopped || (*t).Unfit, (*t).Name == st.e.Train
	})},
	SectionExamined: {"line to be examined", false, sortOf(func(st *step) []Examination { return st.s.ToExamine }, func(st *step, _ int, x *Examination) (string, bool, bool) {
		return strings.TrimSpace(st.b.Sections[x.Section].Neighbour + " " + x.Line), true, x.Section == st.b.SectionIndex(st.e.Section) && (st.e.Line == "" || x.Line == "" || x.Line == st.e.Line)
	})},
	TrainHeard: {"message", false, sortOf(func(st *step) []Unheard { return st.s.ToHear }, func(st *step, _ int, m *Unheard) (string, bool, bool) {
		return m.Train, true, m.Train == st.e.Train
	})},
	Withdrawn: {"post", false, sortOf(func(st *step) []Post { return st.s.Posts }, func(st *step, _ int, p *Post) (string, bool, bool) {
		return p.Name + " at " + p.Place, true, p.Name == st.e.Subject && p.Place == st.e.Place
	})},
	WorkingNormal: {"other working", false, sortOf(func(st *step) []Circuit { return st.s.Circuits }, func(st *step, i int, c *Circuit) (string, bool, bool) {
		return st.b.Sections[i].Neighbour, c.Message || c.Pilot != "", st.b.Sections[i].Neighbour == st.e.Section
	})},
}

// sortOf tells whether what an entry ends is in a list, and what else of its sort is.
func sortOf[T any](list func(*step) []T, look func(st *step, i int, x *T) (name string, stands, this bool)) func(*step) (bool, []string) {
	return func(st *step) (this bool, others []string) {
		all := list(st)
		for i := range all {
			if name, stands, is := look(st, i, &all[i]); stands && is {
				this = true
			} else if stands {
				others = append(others, name)
			}
		}
		return this, others
	}
}

func gearWas(what string, so func(*GearState) bool) beginning {
	return beginning{what, false, sortOf(func(st *step) []GearState { return st.s.Gear }, func(st *step, _ int, g *GearState) (string, bool, bool) {
		return g.Name, so(g), g.Name == st.e.Subject
	})}
}

func laidWas(what string, kind Kind) beginning {
	return beginning{what, false, sortOf(func(st *step) []Laid { return st.s.Laid }, func(st *step, _ int, o *Laid) (string, bool, bool) {
		return o.Name, o.Kind == kind, o.Name == st.e.Subject
	})}
}

func crossingWas(what string, so func(*CrossingState) bool) beginning {
	return beginning{what, false, sortOf(func(st *step) []CrossingState { return st.s.Crossings }, func(st *step, i int, c *CrossingState) (string, bool, bool) {
		return st.b.Crossings[i].Name, so(c), st.b.Crossings[i].Name == st.e.Place
	})}
}

// begun raises an entry that ends what is not booked as begun, where something else of
// its sort stands.
func (st *step) begun(is *beginning) {
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
