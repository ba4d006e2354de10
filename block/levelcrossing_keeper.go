package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Keepers and gatemen: told of trains, their assurance, leave to open again.
// Source: General and Subsidiary Rules (India), Appendix II, annexures I to V.

func (x atCrossing) told() {
	s := x.edit()
	s.Told = slices.Clone(s.Told)
	a := Advice{Train: x.e.Train, At: x.e.At, Seq: x.e.Seq}
	if i := slices.IndexFunc(s.Told, func(o Advice) bool { return o.Seq == 0 && o.Train == a.Train }); i >= 0 {
		s.Told[i].At, s.Told[i].Seq = a.At, a.Seq // written after his answer
	} else {
		s.Told = append(s.Told, a)
	}
	x.number()
	x.brings(rulebook.CrossingKeeperNotTold)
}

// assured takes the keeper's word that the gates are across the road: for the train he
// names, or for all he was told of. Of one that he was not told of by the book he was told
// all the same, or the name is not that of the one train he was.
func (x atCrossing) assured() {
	x.road(RoadClosed)
	s := x.edit()
	s.Told = slices.Clone(s.Told)
	x.number()
	meant, waits := x.e.Train, []string(nil)
	for i := range s.Told {
		if a := &s.Told[i]; !a.Closed {
			waits = append(waits, a.Train)
		}
	}
	is := func(a Advice) bool { return mayBeSame(a.Train, meant) }
	t := x.s.TrainNamed(meant)
	nobody := t == nil || slices.Contains(s.Past, t.ID) // the one that has the name is past here
	if x.c.Kind == KeeperCrossing && !slices.ContainsFunc(s.Told, is) {
		switch {
		case len(waits) == 1 && nobody:
			x.otherName(waits[0])
			meant = waits[0]
			s.Told[slices.IndexFunc(s.Told, is)].Also = x.e.Train
		case x.c.ToldBefore != "":
			s.Told = append(s.Told, Advice{Train: meant, At: x.e.At})
		}
	}
	for i := range s.Told {
		if is(s.Told[i]) {
			s.Told[i].Closed = true
		}
	}
}

// otherName raises a name that is not that of the train awaited.
func (x atCrossing) otherName(awaited string) {
	x.find(rulebook.TrainNameDiffers, awaited, "the train that is awaited at "+x.c.Name).Text =
		words("The crossing was told of under the name "+x.e.Train+" for the train awaited there", x.c.Section, awaited) + "; at " + x.c.Name
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
	} else if near, ok := x.s.NextAtCrossing(x.b, x.i, x.e.At); ok && near.Entered {
		if s.Past = append(slices.Clone(s.Past), near.Train); x.e.Train != "" {
			x.otherName(near.Name)
			x.forget(near.Name)
		}
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
	x.opens()
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
	i := slices.IndexFunc(x.now().Told, func(a Advice) bool { return mayBeSame(a.Train, name) || a.Also == name && name != "" })
	if i >= 0 && x.now().Told[i].Also == name { // the other of the two is no name of his train
		s := x.edit()
		s.Told = slices.Clone(s.Told)
		s.Told[i].Train, s.Told[i].Also = name, ""
	}
	switch {
	case x.c.PrivateNumbers && (i < 0 || !x.now().Told[i].Closed):
		x.find(rulebook.CrossingKeeperNotAssured, name, "")
	case i < 0 || x.now().Told[i].Seq == 0:
		x.find(rulebook.CrossingKeeperNotTold, name, "the keeper told before line clear is given or got")
	}
}

// sent judges a train sent over a crossing with a keeper.
func (x atCrossing) sent(t *Train) {
	if x.c.Kind != KeeperCrossing || x.now().Secured.is() {
		return
	}
	if slices.ContainsFunc(x.now().Told, func(a Advice) bool {
		return mayBeSame(a.Train, t.Name) && (a.Seq != 0 || x.c.ToldBefore == toldLineClear)
	}) {
		return
	}
	switch x.c.ToldBefore {
	case toldDeparture:
		x.owes(rulebook.CrossingKeeperNotTold, Pending{Train: t.ID})
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
		x.owes(rulebook.CrossingKeeperNotTold, Pending{})
	}
}
