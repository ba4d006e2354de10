package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// offeredElsewhere takes line clear that a train has for another box as got from this one, for
// which its departure is booked and train entering section is now sent: of the three the offer
// is the one written wrong, and the line to the other box is free of it.
func (d *action) offeredElsewhere() {
	t := d.s.occupied(d.line)
	if t == nil || t.Name == "" || t.Out.Line != d.line || !t.Out.Booked || t.Out.Accepted != 0 || d.e.Train != "" && d.e.Train != t.Name {
		return
	}
	at, was := d.s.elsewhere(t), t.In.Section
	if at >= 0 {
		was = d.b.lines[at].section
	}
	if was < 0 || was == d.ref().section || d.usedBy(t) != nil {
		return
	}
	found := d.foundOf(t, &Leg{Section: was, Offered: t.In.Accepted + 1}, tooMany) // of the offer as written, and not of that by which it came
	if at >= 0 {
		d.standsAgain(&Leg{Line: at, Seq: d.s.Lines[at].Seq})
		d.settle(at)
	} else if len(found) == 0 {
		return
	}
	d.answered(found)
	wrong, right := d.b.Sections[was].Neighbour, d.section().Neighbour
	d.note(rulebook.TrainNameDiffers, wrong, t.Label(d.b), "the box it is offered to, "+right).Text = misplacedWords("the offer", wrong, right, t.Label(d.b))
}

// offeredAs notes a train found to go on the line clear of another, which was never here:
// should that one be offered to this box yet, the train was offered under its name.
func (d *action) offeredAs() {
	i := d.foundNow(rulebook.WrongTrainEntered)
	o := d.s.Train(d.ls().Train)
	if i < 0 || d.dir != Outward || o == nil || o == d.train || !o.accepted(d.line) || !o.neverHere() || o.Name == "" || d.train == nil || d.train.In.Entered == 0 || d.train.Out.open() {
		return
	}
	d.s.Misplaced = append(slices.Clip(d.s.Misplaced), Misplaced{Act: ActOffer, Line: d.line, Train: o.ID, At: d.e.At, Found: []Answer{*d.found[i].answer()},
		Said: words("The train offered to "+d.section().Neighbour+" is booked as "+o.Name+", which was offered here afterwards", "", d.train.Label(d.b))})
}

// offeredAsLast finds the train that an offer must be of under the name of the last that left
// over the line, for good: the only one that goes on there next, and is of that description.
func (d *action) offeredAsLast(a Act) *Train {
	if a != ActOffer || d.dir != Outward || d.e.Train != d.ls().Last {
		return nil
	}
	found := onlyTrain(d.s.Trains, func(o *Train) bool { return o.Name != "" && o.In.Section >= 0 && d.described(o) && d.fits(a, o) })
	if found != nil {
		d.differs(d.section().Neighbour, found, "The train offered to "+d.section().Neighbour+" is booked as "+d.e.Train+", which has left for there", ofTrain)
	}
	return found
}

// offeredBack gives line clear just given for a train back to the box it came from, and that is
// offered the way it goes now, to the one that stands here to go there, if there is one: a
// train goes one way. It gives the train back, as it then is.
func (d *action) offeredBack(t *Train) *Train {
	if t == nil || t.Out.Section < 0 || t.Out.Section != t.In.Section || t.Out.Section == d.ref().section || !t.accepted(t.Out.Line) || d.e.At-t.Out.Offered > d.b.Limit(rulebook.LateAfter) {
		return t
	}
	if found := onlyTrain(d.s.Trains, func(o *Train) bool {
		return o != t && o.Name != "" && o.Where == Here && o.In.Section >= 0 && o.In.Section != t.Out.Section && !o.Out.open() && o.Code == t.Code
	}); found != nil {
		box := d.b.Sections[t.Out.Section].Neighbour
		found = d.exchange(found, t, Outward)
		d.differs(box, found, "The train offered to "+box+" is booked as "+t.Name+", which came from there", ofTrain)
		t = d.s.Train(t.ID)
	}
	return t
}
