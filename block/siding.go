package block

import (
	"slices"
	"strconv"

	"fairhand/block/rulebook"
)

// A train shut in at a siding out in the section, and sections that share rails.

// toldInside is the train on the line of which a message since it went into the section says
// that it is inside the siding: it is there from then on.
func (d *action) toldInside() *Train {
	for _, m := range d.s.Messages {
		text := wordsIn(m.Text)
		later := slices.ContainsFunc(text, func(p string) bool { return has(p, notYet) && (has(p, saidInside) || !has(p, saidComesOut)) })
		if m.To || !says(text, saidInside) || says(text, denies) || later || asks(text) {
			continue
		}
		if t := firstTrain(d.s.On(d.line), func(t *Train) bool {
			l := &t.In
			if t.Out.Line == d.line && t.Out.open() {
				l = &t.Out
			}
			return t.Name != "" && l.Entered != 0 && l.Entered <= m.At && (speaksOf(m.With, t.Name) || speaksOf(m.Text, t.Name))
		}); t != nil {
			t = d.touch(t)
			t.Where = Here
			d.stand(t, d.e.Place)
			return t
		}
	}
	return nil
}

// inAtSiding takes the token of a train that is away and told to be inside the siding of the section
// as put in there, where that is booked as if it were here.
func (d *action) inAtSiding() {
	p := first(d.b.Places, func(p *Place) bool { return p.InSection == d.section().Neighbour })
	if t := d.s.occupied(d.line); p == nil || d.e.Place != "" || !d.isOut() || t == nil || t.Where != Away {
		return
	}
	written := d.e
	if d.readAs(inPlace, p.Name); d.toldInside() == nil {
		d.e = written
		return
	}
	d.noteSaying(rulebook.TokenNotInInstrument, d.section().Neighbour, "", "The token is booked as put in here, and its train is inside "+p.Name, "the instrument where it was put in").Severity = rulebook.Irregular
}

// trainInside: the section is told out by bell when a train in it has been shut in. From memory.
var trainInside = Guard{
	Name: "a train shut in at a siding of the section",
	holds: func(d *action) bool {
		return firstTrain(d.s.Trains, func(t *Train) bool {
			p := d.b.PlaceNamed(t.Place)
			return t.Where == Here && p != nil && p.InSection == d.section().Neighbour && (d.e.Train == "" || d.e.Train == t.Name) && max(t.In.OutOf, t.Out.OutOf) != 0
		}) != nil
	},
}

// shutInUnnamed gives its name to a train that nobody has named, and that is reported inside a
// siding of the section in which it is: nothing else can be there.
func (st *step) shutInUnnamed() {
	p := st.b.PlaceNamed(st.e.Place)
	if p == nil || p.InSection == "" || st.s.TrainNamed(st.e.Train) != nil {
		return
	}
	i := st.b.SectionIndex(p.InSection)
	if t := onlyTrain(st.s.Trains, func(t *Train) bool {
		return t.In.inSection() && t.In.Section == i && !t.clearOfSection() || t.Out.inSection() && t.Out.Section == i
	}); t != nil && t.Name == "" {
		st.touch(t).Name = st.e.Train
	}
}

// tokenAtSiding puts the token into, or draws it from, an auxiliary instrument.
func (d *action) tokenAtSiding() {
	p := d.b.PlaceNamed(d.e.Place)
	if p == nil || p.InSection != d.section().Neighbour {
		d.find(rulebook.TokenNotInInstrument, "a siding of this section with an instrument of its own")
		return
	}
	if d.e.Kind == TokenIn {
		d.shutInside()
		return
	}
	i := slices.Index(d.section().Tokens.Charge, d.number)
	if n := d.tokens().Count(TokenAtSiding); i >= 0 && d.tokens().Where[i] != TokenAtSiding && n == 1 && d.ls().Phase.lineClear() {
		d.wrongNumber(rulebook.TokenNotInInstrument, "drawn: read it again and correct the entry", "Token "+strconv.Itoa(d.number)+" is booked as drawn at the siding, and there is another there")
		i = slices.Index(d.tokens().Where, TokenAtSiding)
		d.number = d.section().Tokens.Charge[i]
	} else if i >= 0 && d.tokens().Where[i] != TokenAtSiding {
		d.find(rulebook.TokenNotInInstrument, "a number that the book shows in that instrument")
	}
	d.comesOut()
	if !d.ls().Phase.lineClear() {
		d.find(rulebook.TokenOutWithoutRelease, "the train at the siding offered and accepted as any other")
	}
	d.takenOut(d.tokens().Train, d.ls().Dir)
}

// shutInBefore takes a train that is reported inside a siding, out in the section, as shut
// in there, its token put in and not booked, and says whether it is.
func (st *step) shutInBefore(t *Train, l *Leg) bool {
	p := st.b.PlaceNamed(t.Place)
	if p == nil || p.InSection != st.b.Sections[l.Section].Neighbour || t.Where != Here {
		return false
	}
	st.online(l.Line).lay(l.Token, TokenAtSiding)
	return true
}

// comesOut gives line clear that names no train, when the token at a siding is drawn on it, to the one
// train that is shut in there.
func (d *action) comesOut() {
	o := d.s.Train(d.ls().Train)
	t := onlyTrain(d.s.Trains, func(t *Train) bool { return t.Where == Here && t.Place == d.e.Place && !t.In.open() && !t.Out.open() })
	if d.e.Train == "" && o != nil && o.Name == "" && o.accepted(d.line) && t != nil && t.Name != "" {
		d.train = d.claim(d.touch(t), d.line, d.dir)
	}
}

// unreported is the siding of the section at which a token was put in since the train of the leg went,
// with no train reported inside; nil for none.
func (d *action) unreported(l *Leg) *Place {
	if d.s.open(func(f *Finding) bool {
		return f.Rule == rulebook.ShutInNotReported && f.Section == d.section().Neighbour && f.At >= l.Entered
	}) == nil {
		return nil
	}
	return first(d.b.Places, func(p *Place) bool { return p.InSection == d.section().Neighbour })
}

// takenInside takes a train as inside a siding where its token was put in, though that was not reported,
// when out of section is given for it: the boxes go on, and it is one matter.
func (d *action) takenInside(t *Train, l *Leg, p *Place) {
	t.Where, l.OutOf = Here, d.e.At
	d.stand(t, p.Name)
	if ts := d.editToken(d.ref().section); ts.Out != 0 {
		d.lay(ts.Out, TokenAtSiding)
		ts.in()
	}
}

// shutInside: the token goes into the auxiliary instrument only when the train is
// reported inside, clear of the running line. Source: RAIB report 13/2008,
// Aylesbury; Block Working Manual part A 3.5.
func (d *action) shutInside() {
	t := firstTrain(d.s.Trains, func(t *Train) bool { return t.Where == Here && t.Place == d.e.Place && t.on(d.line) })
	if t == nil {
		t = d.toldInside()
	}
	if t == nil {
		d.find(rulebook.ShutInNotReported, "the train reported inside the siding, clear of the running line, first")
		return
	}
	if !d.isOut() && d.tokens().Out != 0 {
		d.find(rulebook.TokenNumberDiffers, numberOut.Expected)
		return
	}
	d.lay(d.number, TokenAtSiding)
	d.editToken(d.ref().section).in()
	t = d.touch(t)
	for _, l := range [...]*Leg{&t.In, &t.Out} {
		if l.Line == d.line && l.open() {
			l.OutOf = d.e.At
		}
	}
	d.settle(d.line)
}

// sharedClear: long-section and short-section tokens over the same rails are
// never out together. Source: Ffestiniog Railway, train control; inference of
// the trade notes, I8.
var sharedClear = Guard{
	Name: "no token out of a section over the same rails", Rule: rulebook.SharedSectionTokenOut, For: onSingle,
	Expected: "every token of the section over the same rails in, or the long one shut in the frame",
	holds:    func(d *action) bool { return !d.sharing() },
}

// sameRails says whether section i is another than that of the act and lies over the same rails.
func (d *action) sameRails(i int) bool {
	o := &d.b.Sections[i]
	return i != d.ref().section && (slices.Contains(d.section().Shares, o.Neighbour) || slices.Contains(o.Shares, d.section().Neighbour))
}

// sharing says whether a section over the same rails has a token out or a train.
func (d *action) sharing() bool {
	for i := range d.b.Sections {
		if d.sameRails(i) && (d.s.Tokens[i].Out != 0 || d.b.lineThat(i, func(l int) bool { return d.s.occupied(l) != nil }) >= 0) {
			return true
		}
	}
	return false
}
