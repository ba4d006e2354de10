package block

import (
	"fairhand/block/rulebook"
)

// cameAs takes a train that came from a box with nothing signalled, and of which nothing else
// is booked, as the one that went there and is now given out of section by its name, as back.
// Should the first go on by its own name, they were two.
func (d *action) cameAs() {
	o := d.s.TrainNamed(d.e.Train)
	if o == nil || o.Name != d.e.Train || o.Where != Away || o.Returned || o.Out.Line != d.line || !o.Out.open() {
		return
	}
	t := onlyTrain(d.s.Trains, func(t *Train) bool {
		return t != o && t.Where == Here && t.In.Section == d.ref().section && t.In.Accepted == 0 && t.Opened == t.In.Seq && t.Opened == t.PlaceSeq && !t.Out.open() && d.e.At-t.PlaceAt <= d.b.Limit(rulebook.LateAfter)
	})
	if t == nil {
		return
	}
	d.answered(d.foundOf(t, &t.In, nil))
	o, line := d.touch(o), t.In.Line
	o.Where, o.Place, o.PlaceAt, o.PlaceSeq, o.Returned, o.Out.Shown = Here, t.Place, t.PlaceAt, t.PlaceSeq, true, t.PlaceAt
	o.Proof, o.ProofAt, o.ProofSeq = t.Proof, t.ProofAt, t.ProofSeq
	d.close(t)
	d.settle(line)
	d.settle(d.line)
	box := d.section().Neighbour
	d.differs(box, o, "The train that came from "+box+" is booked as "+t.Name, ofTrain)
	d.perhapsTwo(rulebook.EnteredWithoutAcceptance, t.Name, d.found[len(d.found)-1], "the train offered and accepted before it came")
}

// exchanged takes a departure on the line clear of a train that went on that of the one now
// departing as regular, and so that one's, where each came from one of the two boxes: a train
// goes one way. Their names are exchanged, where they were offered, or else in the departures.
func (st *step) exchanged(t *Train, line int) *Train {
	st.wentElsewhere(t, line)
	o, here := st.s.Train(st.s.Lines[line].Train), st.b.lines[line].section
	if o == nil || o == t || st.s.elsewhere(o) != line || t.Out.Line != o.Out.Line || st.online(t.Out.Line).usedBy(o) != t {
		return t
	}
	through, back := o.In.Section == here && t.In.Section == o.Out.Section, t.In.Section == here && o.In.Section == o.Out.Section
	if !through && !back {
		return t // the one may have been sent before the other, and both the wrong way
	}
	st.answered(st.foundOf(o, &o.Out, nil))
	st.endDoubts(func(k *Doubt) bool { return k.Train == o.ID && k.Line == o.Out.Line })
	o, t = st.touch(o), st.touch(t)
	o.Out.Offered, o.Out.Accepted = t.Out.Offered, t.Out.Offered
	t.Out = noLeg
	d := st.begin(line, Outward, true)
	st.handOver(d.begin(t), o.ID, t.ID)
	d.ofLine(t)
	what := "The train offered to "
	if back {
		what, o = "The train that departed for ", st.exchange(t, o, Outward)
		t = st.s.Train(d.ls().Train)
		o.DepartedAt, o.Place, t.DepartedAt = o.Out.Entered, "", 0
	}
	box := d.section().Neighbour
	st.differs(box, t, what+box+", and that for "+st.b.Sections[o.Out.Section].Neighbour+", are booked with their names exchanged", "each by its own name")
	return t
}

// offeredTurned takes line clear got over the other line for a train that now comes from there by
// name, of which that is all that is left since it was offered on, as given: its arrows are turned.
func (d *action) offeredTurned() bool {
	t := d.train
	if t == nil || t.Name != d.e.Train || d.dir != Inward || !t.neverHere() || d.ls().Phase != Normal {
		return false
	}
	for l, r := range d.b.lines {
		if ls := d.s.Lines[l]; r.section == d.ref().section && l != d.line && l != t.Out.Line && ls.Train == t.ID && ls.Phase.lineClear() {
			at, box := ls.Since, d.section().Neighbour
			d.unfind(misplaces[d.act])
			d.taken = nil
			d.settle(l)
			d.train = d.touch(t)
			leg := d.begin(d.train)
			leg.Offered, leg.Accepted = at, at
			m := Misplaced{Found: []Answer{{Seq: d.e.Seq, Section: box}}, Said: misplacedWords("the offer", box, box, t.Name)}
			m.tell(d.step, d.train)
			return true
		}
	}
	return false
}
