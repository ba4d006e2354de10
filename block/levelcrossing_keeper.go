package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Keepers and gatemen: told of trains, their assurance, leave to open again.
// Source: General and Subsidiary Rules (India), Appendix II, annexures I to V.

func (x atCrossing) told() {
	s := x.edit()
	s.Told = append(slices.Clone(s.Told), Advice{Train: x.e.Train, At: x.e.At, Seq: x.e.Seq})
	x.number()
	x.brings(rulebook.CrossingKeeperNotTold)
}

// assured takes the keeper's word that the gates are across the road: for the
// train he names, or for all he was told of.
func (x atCrossing) assured() {
	x.road(RoadClosed)
	s := x.edit()
	s.Told = slices.Clone(s.Told)
	for i := range s.Told {
		if mayBeSame(s.Told[i].Train, x.e.Train) {
			s.Told[i].Closed = true
		}
	}
	x.number()
}

// mayBeSame says whether two names may be of one train: one not given may be any.
func mayBeSame(a, b string) bool { return a == b || a == "" || b == "" }

// number judges a private number exchanged with the keeper.
func (x atCrossing) number() {
	if !x.c.PrivateNumbers {
		return
	}
	s := x.edit()
	switch neighbour := x.c.section >= 0 && x.s.Circuits[x.c.section].PN == x.e.PN; {
	case x.e.PN == "":
		x.find(rulebook.PrivateNumberMissing, x.e.Train, "a private number with each advice to the keeper, and his own back")
	case s.PN == x.e.PN || neighbour:
		x.find(rulebook.PrivateNumberRepeated, x.e.Train, "")
	}
	if x.e.PN != "" {
		s.PN = x.e.PN
	}
}

func (x atCrossing) past() {
	s := x.edit()
	s.Gone = slices.DeleteFunc(slices.Clone(s.Gone), func(g SentOver) bool { return x.e.Train == "" || x.e.Train == g.Name })
	if t := x.s.TrainNamed(x.e.Train); t != nil && x.e.Train != "" {
		s.Past = append(slices.Clone(s.Past), t.ID)
		x.over1(t.ID)
	} else if near, ok := x.s.NextAtCrossing(x.b, x.i, x.e.At); ok && x.e.Train == "" && near.Entered {
		s.Past = append(slices.Clone(s.Past), near.Train)
		x.over1(near.Train)
	}
	x.forget(x.e.Train)
}

// forget ends the keeper's advice of a train.
func (x atCrossing) forget(name string) {
	s := x.edit()
	if i := slices.IndexFunc(s.Told, func(a Advice) bool { return mayBeSame(a.Train, name) }); i >= 0 {
		s.Told = slices.Delete(slices.Clone(s.Told), i, i+1)
	}
}

// mayOpen gives leave to open: no line clear may stand, and no train be on its way.
func (x atCrossing) mayOpen() {
	x.road(RoadOpen)
	x.brings(rulebook.CrossingKeeperNotTold)
	if near, ok := x.s.NextAtCrossing(x.b, x.i, x.e.At); ok && (near.Entered || !near.Behind) {
		f := x.find(rulebook.CrossingOpenedLineClear, near.Name, "the train reported past, or its line clear cancelled")
		f.Text += "; " + near.Words(x.e.At)
	}
	s := x.edit()
	s.Told = slices.DeleteFunc(slices.Clone(s.Told), func(a Advice) bool { return a.Closed })
}

// consent judges line clear given or got with a keeper on the way.
func (x atCrossing) consent(t *Train) {
	if x.c.Kind != KeeperCrossing || x.c.ToldBefore != toldLineClear || x.now().Secured.is() {
		return
	}
	name := x.e.Train
	if t != nil && t.Name != "" {
		name = t.Name
	}
	i := slices.IndexFunc(x.now().Told, func(a Advice) bool { return mayBeSame(a.Train, name) })
	switch {
	case x.c.PrivateNumbers && (i < 0 || !x.now().Told[i].Closed):
		x.find(rulebook.CrossingKeeperNotAssured, name, "")
	case i < 0:
		x.find(rulebook.CrossingKeeperNotTold, name, "the keeper told before line clear is given or got")
	}
}

// sent judges a train sent over a crossing with a keeper.
func (x atCrossing) sent(t *Train) {
	if x.c.Kind != KeeperCrossing || x.now().Secured.is() {
		return
	}
	if slices.ContainsFunc(x.now().Told, func(a Advice) bool { return mayBeSame(a.Train, t.Name) }) {
		return
	}
	switch x.c.ToldBefore {
	case toldDeparture:
		x.owes(rulebook.CrossingKeeperNotTold, Pending{Section: -1, Train: t.ID})
	case toldSignals:
		if !slices.ContainsFunc(x.c.ProtectedBy, func(g string) bool { return slices.Contains(x.s.SignalsKept, g) }) {
			x.find(rulebook.CrossingKeeperNotTold, t.Label(x.b), "the keeper told before the signals are taken off")
		}
	}
}

// changed notes that a train a keeper was told of is not coming after all.
func (x atCrossing) changed(t *Train) {
	if x.c.Kind != KeeperCrossing || t == nil {
		return
	}
	if slices.ContainsFunc(x.now().Told, func(a Advice) bool { return mayBeSame(a.Train, t.Name) }) {
		x.forget(t.Name)
		x.owes(rulebook.CrossingKeeperNotTold, Pending{Section: -1})
	}
}
