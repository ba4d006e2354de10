package block

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"fairhand/block/rulebook"
)

// A name that this box does not have. Where it is a letter from one that the box has, or
// short for it, and from no other, the entry is read as of that one: else a letter too many
// would hide what was done, or that it was over. What is written about any other is judged as
// of nothing. The neighbours and their lines are all in the box file, so that any other is
// wrong; of places and signals it may list only those that matter, so that another is advised.

// The fields of an entry that name something of the box.
var (
	inSectionOf = func(e *Event) *string { return &e.Section }
	inFrom      = func(e *Event) *string { return &e.From }
	inLine      = func(e *Event) *string { return &e.Line }
	inPlace     = func(e *Event) *string { return &e.Place }
	inSubject   = func(e *Event) *string { return &e.Subject }
	inTrain     = func(e *Event) *string { return &e.Train }
)

// readAs goes on with the entry as if it had the name that is meant.
func (st *step) readAs(field func(*Event) *string, meant string) {
	if meant != "" {
		e := *st.e
		*field(&e) = meant
		st.e = &e
	}
}

// namesKnown raises the first name in an entry that this box does not have.
func (st *step) namesKnown() {
	e, at := st.e, -1
	if e.Section != "" && e.Kind != Bells && (e.Kind < TokenOut || e.Kind > TokenCount) { // those say so of a bell, or of a token
		if at = st.b.SectionIndex(e.Section); at < 0 {
			st.notOfBox("neighbouring box", inSectionOf, st.nearBox(e.Section), true)
			return
		}
	}
	if e.From != "" && st.b.SectionIndex(e.From) < 0 {
		st.notOfBox("neighbouring box", inFrom, st.nearBox(e.From), true)
	} else if e.Line != "" && !st.b.hasLine(e.Line, at) && st.b.PlaceNamed(e.Line) == nil && st.b.CrossingNamed(e.Line) < 0 { // a blockage may also be of a place, or of a line that is no running line
		lines := slices.DeleteFunc(slices.Clone(st.b.lines), func(r lineRef) bool { return at >= 0 && r.section != at })
		near, _ := among(lines, e.Line, func(r *lineRef) string { return st.b.Sections[r.section].Lines[r.line].Name })
		st.notOfBox("line", inLine, near, at >= 0 || e.Kind == Bells)
	} else if e.Kind == Bells { // they name nothing else
	} else if (e.Kind == TrainArrived || e.Kind == TrainPassed || e.Kind == TrainMoved) && e.Place != "" && len(st.b.Places) > 0 {
		near, known := among(st.b.Places, e.Place, func(p *Place) string { return p.Name })
		if !known && st.b.CrossingNamed(e.Place) < 0 && !st.b.hasLine(e.Place, -1) {
			st.notOfBox("place", inPlace, near, false)
		}
	} else if (e.Kind == SignalOff || e.Kind == SignalOn || e.Kind == TrainAuthorised) && len(st.b.Signals) > 0 {
		if near, known := among(st.b.Signals, e.Subject, func(g *Signal) string { return g.Name }); !known && st.b.gearNamed(e.Subject) == nil {
			st.notOfBox("signal", inSubject, near, false)
		}
	} else if gear := gearKinds[e.Kind]; gear != "" {
		st.gearKnown(gear)
	} else if (crossingEntries[e.Kind] != nil || e.Kind == TrainCautioned) && len(st.b.Crossings) > 0 && st.b.CrossingNamed(e.Place) < 0 {
		near, _ := among(st.b.Crossings, e.Place, func(c *Crossing) string { return c.Name })
		st.notOfBox("level crossing", inPlace, near, true)
	} else if e.Kind == Posted || e.Kind == Withdrawn {
		if near, known := among(st.b.Gear, e.Place, func(g *Gear) string { return g.Name }); !known && near != "" {
			st.notOfBox("gear", inPlace, near, false)
		}
	} else if e.Kind == MessageTo || e.Kind == MessageFrom {
		if near := st.nearBox(e.Subject); near != "" && st.b.SectionIndex(e.Subject) < 0 && first(st.b.People, func(p *Person) bool { return p.Name == e.Subject }) == nil {
			st.notOfBox("neighbouring box", inSubject, near, false)
		}
	} else if e.Kind == ReminderOff {
		if near, known := among(st.s.Reminders, e.Subject, func(r *Reminder) string { return r.On }); !known {
			st.notOfBox("reminder in use", inSubject, near, false)
		}
	} else if f := fittings[e.Kind]; f.has != nil && !f.has(st) {
		st.note(rulebook.NameNotOfBox, e.Section, "", "the box, the crossing or the entry that was meant").Text = "There is no " + f.what + cmp.Or(e.Section, e.Place)
	}
}

// gearKinds are the kinds of gear that entries name, of which a box lists all or none:
// what is written of another is held against no train. Any kind is for what may
// befall what no box lists.
var gearKinds = [kindCount]string{
	PointsSet: "points", PointsLocked: "points", PointsWound: "points", Clamped: "points", Unclamped: "points",
	FrameOut: "ground-frame", FrameIn: "ground-frame", Released: "release", CounterRead: "release",
	Failure: anyGear, Restored: anyGear, Disconnected: anyGear, Reconnected: anyGear,
}

const anyGear = "any"

// gearKnown raises gear that the box does not list.
func (st *step) gearKnown(kind string) {
	name, sure := st.e.Subject, kind != anyGear
	if st.b.gearNamed(name) != nil || !sure && st.b.CrossingNamed(name) >= 0 || sure && !slices.ContainsFunc(st.b.Gear, func(g Gear) bool { return g.Kind == kind }) {
		return
	}
	near := st.b.nearGear(name, kind)
	if !sure {
		signal, known := among(st.b.Signals, name, func(g *Signal) string { return g.Name })
		near = cmp.Or(near, signal)
		if known || near == "" && !slices.ContainsFunc(st.b.Gear, func(g Gear) bool { return g.mayBe(name) }) {
			return
		}
	}
	st.notOfBox("gear", inSubject, near, sure)
}

// mayBe says whether what befell something of a name may have befallen this gear: the
// telephone of the crossing named, or points where these are called so too.
func (g *Gear) mayBe(name string) bool {
	word, _, _ := strings.Cut(g.Name, " ")
	return g.Crossing != "" && strings.HasPrefix(name, g.Crossing) || g.Kind == "points" && strings.HasPrefix(name, word+" ")
}

// fitting is what an entry takes for granted that is there.
type fitting struct {
	what string
	has  func(*step) bool
}

// fittings are what some methods of working and some kinds of level crossings have, and
// others have not: an entry about it is of another section, or of another crossing.
var fittings = [kindCount]fitting{
	CounterReset:    inSection("axle counter", func(m *rulebook.Traits) bool { return m.Counter }),
	ShuntKeyTaken:   inSection("shunt key", func(m *rulebook.Traits) bool { return m.ShuntKey }),
	ShuntKeyBack:    inSection("shunt key", func(m *rulebook.Traits) bool { return m.ShuntKey }),
	StaffHere:       inSection("staff", staffed),
	StaffAway:       inSection("staff", staffed),
	StaffToTrain:    inSection("staff", staffed),
	StaffFromTrain:  inSection("staff", staffed),
	TokenOut:        inSection("token", tokened),
	TokenIn:         inSection("token", tokened),
	TokenToTrain:    inSection("token", tokened),
	TokenFromTrain:  inSection("token", tokened),
	CrossingDown:    {"barrier worked from here at ", notByUser},
	CrossingUp:      {"barrier worked from here at ", notByUser},
	CrossingMayOpen: {"keeper at ", notByUser},
	CrossingShut:    {"keeper at ", notByUser},
	CrossingLocal:   {"local control at ", notByUser},
	CrossingRemote:  {"local control at ", notByUser},
	Indicator: {"axle counter in the section to ", func(st *step) bool {
		return st.e.Subject != "free" && st.e.Subject != "occupied" || inSection("", func(m *rulebook.Traits) bool { return m.Counter }).has(st)
	}},
}

func staffed(m *rulebook.Traits) bool { return m.Carries == rulebook.CarriesStaff }
func tokened(m *rulebook.Traits) bool { return m.Carries == rulebook.CarriesToken }

// inSection is what the section named has by its method of working.
func inSection(what string, so func(*rulebook.Traits) bool) fitting {
	return fitting{what + " in the section to ", func(st *step) bool {
		i := st.b.SectionIndex(st.e.Section)
		return i < 0 || so(st.b.Sections[i].Method.Is())
	}}
}

func notByUser(st *step) bool {
	i := st.b.CrossingNamed(st.e.Place)
	return i < 0 || st.b.Crossings[i].Kind != UserWorked
}

// nearGear is the gear of a kind that a name may be short for, or misspelt of.
func (b *Box) nearGear(name, kind string) string {
	near, _ := among(b.Gear, name, func(g *Gear) string { return g.Name })
	for _, g := range b.Gear {
		if g.Kind == kind && strings.HasSuffix(strings.ToLower(g.Name), " "+strings.ToLower(name)) {
			near = g.Name
		}
	}
	return near
}

// hasLine says whether section i has a line of that name, any section for -1.
func (b *Box) hasLine(name string, i int) bool {
	return slices.ContainsFunc(b.lines, func(r lineRef) bool {
		return (i < 0 || r.section == i) && b.Sections[r.section].Lines[r.line].Name == name
	})
}

// among looks a name up in a list, and for the only one that it may be misspelt of.
func among[T any](list []T, name string, of func(*T) string) (near string, known bool) {
	two := false
	for i := range list {
		switch n := of(&list[i]); {
		case n == name:
			return "", true
		case misspelt(name, n) || shortFor(name, n):
			two = two || near != "" && near != n
			near = n
		}
	}
	if two {
		near = ""
	}
	return near, false
}

// shortFor says whether a name is another with letters left out of its words, but not their
// first: Dn for Down, Rd for Road.
func shortFor(name, of string) bool {
	a, b := strings.Fields(strings.ToLower(name)), strings.Fields(strings.ToLower(of))
	if len(a) != len(b) || len(name) < 2 {
		return false
	}
	for i := range a {
		if a[i][0] != b[i][0] || !inOrder(strings.TrimSuffix(a[i], "."), b[i]) || figures(a[i]) != figures(b[i]) {
			return false
		}
	}
	return true
}

// inOrder says whether the letters of a word are all in another, in their order.
func inOrder(word, in string) bool {
	for i := range len(word) {
		at := strings.IndexByte(in, word[i])
		if at < 0 {
			return false
		}
		in = in[at+1:]
	}
	return true
}

// figures are the figures of a name: another number is another thing.
func figures(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) {
			return r
		}
		return -1
	}, name)
}

// misspelt says whether a name is a letter from another.
func misspelt(name, of string) bool {
	return alike(strings.ToLower(name), strings.ToLower(of)) && figures(name) == figures(of)
}

// notOfBox says that the box has no such thing of the name in a field of the entry; sure is set
// where the box file must list it, and near is what was meant, or may have been.
func (st *step) notOfBox(sort string, field func(*Event) *string, near string, sure bool) {
	f := st.note(rulebook.NameNotOfBox, "", "", "")
	f.Text = "There is no " + sort + " “" + *field(st.e) + "” at " + st.b.Name
	short := shortFor(*field(st.e), near) && !misspelt(*field(st.e), near) // a habit, and no slip
	st.perhaps(f, near)
	st.readAs(field, near)
	if near == "" && !sure || short {
		f.Severity = rulebook.Advice
	}
}

// perhaps says which name may have been meant, if there is one.
func (st *step) perhaps(f *Finding, near string) {
	if near != "" {
		f.Text, f.Expected = f.Text+"; “"+near+"” may be meant", near+", if the name was miswritten: then correct the entry"
	}
}

// nearBox is the neighbour of which a name may be misspelt, or that is called a box.
func (st *step) nearBox(name string) string {
	if called := strings.TrimSuffix(name, " box"); called != name && st.b.SectionIndex(called) >= 0 {
		return called
	}
	near, _ := among(st.b.Sections, name, func(s *Section) string { return s.Neighbour })
	return near
}

// midway says whether the book may have begun with trains on hand: it does not say that
// the box was opened, and nothing was signalled yet, nor let come or asked for by message.
func (s *State) midway() bool {
	letCome := func(c Circuit) bool { return c.unbelled() && len(c.Given)+len(c.Heard) > 0 }
	return s.Status == StatusUnknown && !slices.ContainsFunc(s.Circuits, letCome) && !slices.ContainsFunc(s.Lines, func(l *LineState) bool { return l.Seq != 0 })
}

// notBrought raises a train that is booked as come, and that nothing in the
// book brought: neither bells nor words nor a movement. Of one that is said to come from
// a box it is said that it had no line clear.
func (st *step) notBrought(t *Train) {
	gone := func(f *Finding) bool { return f.Rule == rulebook.CancelledAfterEntering && f.Train == t.Name }
	if t.Opened != st.e.Seq || st.e.From != "" || st.s.midway() || st.s.open(gone) != nil {
		return // what brought one that was cancelled is told with that
	}
	for i := range st.b.Sections {
		c, how := &st.s.Circuits[i], st.b.Sections[i].Method.Is()
		unsaid := st.b.Sections[i].OnlyReported || !how.Offers || st.b.byInterval(i) || c.unbelled() && c.Pilot != ""
		if unsaid || c.Message && allowing(c.Given, t.Name) >= 0 {
			return // it may have come over this one
		}
	}
	if !st.cameAfterAll(true) {
		st.note(rulebook.TrainNotKnown, "", t.Label(st.b), "")
	}
}
