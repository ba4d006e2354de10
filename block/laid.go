package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Points, routes and ground frames, where a box books them.

// Lies are the words for how points lie.
var Lies = []string{"normal", "reverse"}

// Laid is what the book tells last of points, a route or a ground frame, while it
// is not as it is when nothing is moved.
type Laid struct {
	Name  string
	Words string
	Kind  Kind // PointsWound, RouteSet or FrameOut
	At    Time
	Seq   int64
}

// laid follows points, routes and ground frames.
func (st *step) laid() {
	st.s.Laid = slices.DeleteFunc(slices.Clone(st.s.Laid), func(o Laid) bool { return o.Name == st.e.Subject })
	words := ""
	switch st.e.Kind {
	case PointsWound:
		words = "wound " + st.e.Which + " by hand"
	case RouteSet:
		words = "route set"
	case FrameOut:
		words = "ground frame released"
		st.frameUnder()
	default:
		return
	}
	words += So(st.e.Train != "", " for "+st.e.Train)
	st.s.Laid = append(st.s.Laid, Laid{st.e.Subject, words, st.e.Kind, st.e.At, st.e.Seq})
}

// serves says whether gear belongs to section i: to that of its row in the box file.
func (b *Box) serves(gear string, i int) bool {
	g := b.gearNamed(gear)
	return g != nil && g.Section != "" && b.SectionIndex(g.Section) == i
}

// frameUnder raises a ground frame released with a train signalled over its points.
func (st *step) frameUnder() {
	for i := range st.b.Sections {
		if !st.b.serves(st.e.Subject, i) {
			continue
		}
		for _, t := range st.s.Trains {
			if l := &t.In; t.Name != st.e.Train && l.Section == i && l.open() && (l.Accepted != 0 || l.Entered != 0) && !t.clearOfSection() {
				st.note(rulebook.GroundFrameOut, st.b.Sections[i].Neighbour, t.Label(st.b), "the ground frame left locked while a train is signalled over its points")
				return
			}
		}
	}
}

// loose finds what of the kind is not as it should be on the lines of the section
// of an act; nil for nothing. Points clamped are secure.
func (d *action) loose(kind Kind) *Laid {
	return first(d.s.Laid, func(o *Laid) bool {
		return o.Kind == kind && d.b.serves(o.Name, d.ref().section) && !d.clamped(o.Name)
	})
}

// pointsSecured: points within the clearing point are set and locked before line
// clear is given. Source: GERT8000-TS3 3.4.1, read in study cards; that the points
// of a section's row in the box file lie there is our reading.
var pointsSecured = Guard{
	Name: "no points wound by hand and not secured", Rule: rulebook.PointsNotSecured, Mine: true,
	Expected: "the points clamped or locked, and that booked",
	holds:    func(d *action) bool { return d.loose(PointsWound) == nil },
}

// frameLocked: no train is accepted or sent over points that a ground frame has
// released, but the one that works there. Common practice.
var frameLocked = Guard{
	Name: "no ground frame released", Rule: rulebook.GroundFrameOut, Mine: true,
	Expected: "the ground frame locked again, and that booked",
	holds:    func(d *action) bool { return d.train != nil && d.train.occupies(d.line) || d.loose(FrameOut) == nil },
}

// layings expects what was released or wound to be as it was.
func (x *expecting) layings() {
	for _, o := range x.s.Laid {
		e := map[Kind]Expectation{
			PointsWound: {Event: Event{Kind: PointsLocked}, Label: " locked"},
			RouteSet:    {Event: Event{Kind: RouteReleased}, Label: " released"},
			FrameOut:    {Event: Event{Kind: FrameIn}, Label: " in, ground frame locked"},
		}[o.Kind]
		e.Event.Subject, e.Label, e.Act, e.Mine, e.Wanted = o.Name, o.Name+e.Label, NoAct, true, x.s.Now+laterRemoval
		x.offer(e)
	}
}

// gearUnder raises a train run over gear that is disconnected with nothing done instead.
func (st *step) gearUnder(t *Train) {
	for _, o := range st.s.Laid {
		if g := st.b.gearNamed(o.Name); o.Kind == PointsWound && g != nil && st.runsOver(t, g) && !st.clamped(o.Name) {
			st.note(rulebook.PointsNotSecured, g.Section, t.Label(st.b), o.Name+" clamped or locked before a train runs over it")
		}
	}
	for _, g := range st.s.Gear {
		known := st.b.gearNamed(g.Name)
		if !g.Disconnected || g.Clamped || known == nil || known.Kind != "points" || !st.runsOver(t, known) {
			continue
		}
		if manned := func(p *Post) bool { return p.Place == known.Name || known.Place != "" && p.Place == known.Place }; first(st.s.Posts, manned) == nil {
			st.note(rulebook.GearDisconnectedTrainPassed, known.Section, t.Label(st.b), g.Name+" clamped and a handsignaller at it before a train runs over it")
		}
	}
}

// runsOver says whether the movement booked takes the train over gear: one that stops or
// shunts here is told by the section it came from, and by the places it comes to and leaves.
func (st *step) runsOver(t *Train, g *Gear) bool {
	switch at := g.Place != "" && g.Place == st.e.Place; {
	case st.e.Kind == TrainMoved:
		return at || g.Place != "" && g.Place == t.Place
	case st.e.Kind == TrainArrived:
		return at || g.Section != "" && t.In.open() && t.In.Section == st.b.SectionIndex(g.Section)
	case st.e.Kind == TrainDeparted && g.Section != "":
		return st.e.Section == g.Section || t.Out.Section == st.b.SectionIndex(g.Section) // it has come over the others
	}
	i := st.b.SectionIndex(g.Section)
	return g.Section == "" || t.In.Section == i || t.Out.Section == i || st.e.Section == g.Section
}

func (st *step) clamped(name string) bool {
	return slices.ContainsFunc(st.s.Gear, func(g GearState) bool { return g.Name == name && g.Clamped })
}

func (b *Box) gearNamed(name string) *Gear {
	return first(b.Gear, func(g *Gear) bool { return g.Name == name })
}
