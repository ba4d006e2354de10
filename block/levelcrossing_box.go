package block

import (
	"cmp"
	"slices"
)

// Crossing is a level crossing worked or supervised from the box.
type Crossing struct {
	Name           string
	Kind           string        // one of CrossingKinds
	Section        string        // neighbour in whose section it lies; "" when it lies at Place
	Place          string        // place of the box where it lies: trains that pass or leave there cross it
	From           []MinutesFrom // least running times to it
	ProtectedBy    []string      // signals that keep trains from it
	LargeAfter     Time          // a movement that takes so long counts as large
	ReportClear    string        // one of ReportClearWords
	ToldBefore     string        // keeper: one of ToldBeforeWords, "" when not said
	PrivateNumbers bool          // keeper: exchanged with each advice
	BeyondHome     []BeyondHome  // when it lies within a clearing point

	section int   // index of Section, -1 for none
	guards  []int // indices of the protecting signals in Box.Signals
}

// MinutesFrom is the least running time from the last report of a box to a crossing.
type MinutesFrom struct {
	Box  string // a neighbour, or FromHere
	Time Time
}

// FromHere stands for this box in MinutesFrom.
const FromHere = "here"

// The kinds of level crossing.
const (
	UserWorked       = "user-worked" // gates opened by the user, who telephones
	WorkedCrossing   = "worked"      // gates or barriers worked from the box
	KeeperCrossing   = "keeper"      // a keeper or gateman, told of trains
	AutomaticKind    = "automatic"   // worked by the trains; an attendant and local control
	largeOnly        = "large-only"
	toldLineClear    = "line-clear"
	toldSignals      = "signals"
	toldDeparture    = "departure"
	defaultLargeTime = 3 * Minute // signaller study cards, level crossings: 3 minutes or more
)

// The words of a crossing's description.
var (
	CrossingKinds    = []string{UserWorked, WorkedCrossing, KeeperCrossing, AutomaticKind}
	ReportClearWords = []string{largeOnly, "always"}
	ToldBeforeWords  = []string{toldLineClear, toldSignals, toldDeparture}
)

// CrossingNamed finds the index of a level crossing; -1 when the box has none of
// that name.
func (b *Box) CrossingNamed(name string) int {
	return slices.IndexFunc(b.Crossings, func(c Crossing) bool { return c.Name == name })
}

// prepareCrossings checks the level crossings and fills what their description
// leaves out.
func (b *Box) prepareCrossings(bad func(string, ...any)) {
	for i := range b.Crossings {
		c := &b.Crossings[i]
		c.LargeAfter, c.ReportClear = cmp.Or(c.LargeAfter, defaultLargeTime), cmp.Or(c.ReportClear, largeOnly)
		c.section, c.guards = -1, nil
		if c.Section != "" {
			if c.section = b.SectionIndex(c.Section); c.section < 0 {
				bad("crossings: %s lies in the section to %q, which is no section of this box", c.Name, c.Section)
			}
		} else if b.PlaceNamed(c.Place) == nil {
			bad("crossings: %s lies at %q, which is no place of this box", c.Name, c.Place)
		}
		for _, name := range c.ProtectedBy {
			g := slices.IndexFunc(b.Signals, func(s Signal) bool { return s.Name == name })
			if g < 0 {
				bad("crossings: %s is protected by %q, which is no signal of this box", c.Name, name)
				continue
			}
			c.guards = append(c.guards, g)
		}
		for _, m := range c.From {
			if m.Box != FromHere && b.SectionIndex(m.Box) < 0 {
				bad("crossings: %s has minutes from %q, which is no section of this box", c.Name, m.Box)
			}
		}
	}
}

// from is the least running time to the crossing from the last report of a box;
// ok is false when the box file does not give it.
func (c *Crossing) from(box string) (t Time, ok bool) {
	i := slices.IndexFunc(c.From, func(m MinutesFrom) bool { return m.Box == box })
	if i < 0 {
		return 0, false
	}
	return c.From[i].Time, true
}

// within says whether the crossing lies within the clearing point of section i.
func (c *Crossing) within(s *Section) bool {
	return slices.ContainsFunc(c.BeyondHome, func(h BeyondHome) bool { return h.Section == s.Neighbour && h.Distance < s.ClearingPoint })
}

// isLarge says whether a movement needs the protection of a large one. Source:
// signaller study cards, level crossings: large, low or slow, animals, or three
// minutes or more.
func (c *Crossing) isLarge(call *Call) bool { return call.Large || call.Minutes >= c.LargeAfter }
