package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// Astray is an offer, or its answer, that was found to be one too many on its line. Should a
// train go elsewhere whose offer is not booked, the two are one: it, or the one before it that
// has the line clear there, is written against the other box, or with its arrows turned.
type Astray struct {
	Line         int
	At           Time
	Name, Before string // as the two are written: "" for a bell that names no train
	Code         rulebook.Code
	Offered      Time // the one before, 0 where that is in the section
	Gone         bool `json:",omitempty"` // a train went in on the one or the other
	Found        Answer
}

// tooMany notes an offer that the act was found to be one too many.
func (d *action) tooMany() {
	i := slices.IndexFunc(d.found, func(f Finding) bool { return f.Seq == d.e.Seq && tooMany[f.Rule] })
	if i < 0 || d.act != ActOffer && d.act != ActAccept {
		return
	}
	d.s.Astray = left(d.s.Astray, func(k *Astray) bool { return k.Found.Seq == d.e.Seq })
	k := Astray{Line: d.line, At: d.e.At, Name: d.e.Train, Found: *d.found[i].answer()}
	if d.code != nil && d.code.Means == rulebook.Offer {
		k.Code = d.code.Code
	}
	if t := d.s.Train(d.ls().Train); t != nil && t.accepted(d.line) {
		l := t.leg(dirOn(t, d.line, false))
		if k.Offered = l.Offered; !l.Assumed {
			k.Before = t.Name
		}
	}
	d.s.Astray = append(slices.Clip(d.s.Astray), k)
}

// wentOnOne notes a train that goes in on the offer that was one too many, or on the one before
// it. Where one went on each, or the one before was in the section, none of them is of another line.
func (d *action) wentOnOne(l *Leg) {
	for i := len(d.s.Astray) - 1; i >= 0; i-- {
		switch k := d.s.Astray[i]; {
		case k.Line != l.Line || l.Accepted != k.At && l.Offered != k.At && (k.Offered == 0 || l.Offered != k.Offered):
		case k.Gone || k.Offered == 0:
			d.s.Astray = slices.Delete(slices.Clone(d.s.Astray), i, i+1)
		default:
			d.s.Astray = slices.Clone(d.s.Astray)
			d.s.Astray[i].Gone = true
		}
	}
}

// A train goes on its offer within astrayFor, and is through within astrayKept. Common practice.
const (
	astrayFor  = 30 * Minute
	astrayKept = 180 * Minute
)

// astray finds the offer that a train went on whose line clear is not booked, and says in
// place of that where it is written. No train went on it there without being found to.
func (st *step) astray(o *Doubt, t *Train, steps []Step, f *Finding, text *string) []Answer {
	if t == nil || steps[0] != StepAccepted {
		return nil
	}
	l := &t.Out
	if t.In.Line == o.Line && t.In.open() {
		l = &t.In
	}
	ofIt := func(name string, code rulebook.Code) bool {
		return name == t.Name || name == "" && (code == t.Code || code == "" || t.Code == "")
	}
	k := first(st.s.Astray, func(k *Astray) bool {
		late := k.Offered != 0 && k.Offered <= l.Entered && ofIt(k.Before, k.Code)
		return k.Line != o.Line && l.Entered-k.At <= astrayFor && (late || k.At <= l.Entered && ofIt(k.Name, k.Code)) && !st.wentOnIt(k)
	})
	if k == nil {
		return nil
	}
	was := *k
	st.s.Astray = left(st.s.Astray, func(k *Astray) bool { return *k == was })
	if w := onlyTrain(st.s.Trains, func(w *Train) bool { return w.Name == "" && w.accepted(was.Line) && w.Opened == was.Found.Seq }); w != nil {
		st.close(w) // the row that the offer opened there
		st.settle(was.Line)
	}
	f.Rule, f.Expected = rulebook.TrainNameDiffers, "the offer and its answer written where they were given: correct that entry"
	f.Rests = append([]int64{was.Found.Seq}, f.Rests...)
	*text = misplacedWords("the offer", st.neighbourOn(was.Line), st.neighbourOn(o.Line), t.Label(st.b))
	o.Said = slices.ContainsFunc(st.s.Open, func(g *Finding) bool {
		return g.Rule == f.Rule && g.Train == t.Label(st.b) && strings.HasPrefix(g.Text, *text)
	})
	return []Answer{was.Found}
}

// wentOnIt says whether a train was signalled on the line since that had no line clear, or
// was one too many.
func (st *step) wentOnIt(k *Astray) bool {
	return slices.ContainsFunc(st.s.Open, func(f *Finding) bool {
		return (f.Rule == rulebook.EnteredWithoutAcceptance || f.Rule == rulebook.EnteringTwice) && f.At >= k.At && st.lineOf(f) == k.Line
	})
}

// onceOffered takes an offer that repeats that of the train now out of section, of its
// minute and its description, as that one written twice: no other came on it.
func (d *action) onceOffered(t *Train, l *Leg) {
	k := first(d.s.Astray, func(k *Astray) bool {
		return k.Line == l.Line && k.At == l.Offered && k.Offered == k.At && k.Name == "" && k.Before == "" && k.Code == t.Code && !d.wentOnIt(k)
	})
	if k == nil {
		return
	}
	was := *k
	d.s.Astray = left(d.s.Astray, func(k *Astray) bool { return *k == was })
	d.answered([]Answer{was.Found})
	f := d.note(rulebook.AcceptedTwice, d.section().Neighbour, t.Label(d.b), "the exchange written once: correct the one that is too many")
	f.Severity, f.Text = rulebook.Irregular, words("The offer is written twice, and one train came", d.section().Neighbour, t.Label(d.b))
	f.Rests = []int64{was.Found.Seq, d.e.Seq}
}

// writtenFor is the row of train out of section where train entering section is written as
// sent of a train, by its name, that came by this section, is gone another way and has yet to
// be given out of it: that is what was sent. nil where it is not so.
func (st *step) writtenFor(i int, bell Bell) *rulebook.CodeRow {
	t := st.s.TrainNamed(st.e.Train)
	if !bell.Sent || t == nil || t.Name != st.e.Train || t.In.Section != i || !t.In.open() || !t.whole() || t.Where != Away || t.Returned || t.Out.Section == i {
		return nil
	}
	box := st.b.Sections[i].Neighbour
	st.differs(box, t, "Train entering section is written to "+box+", and was train out of section", "train out of section: it came from there and has gone on")
	return st.b.codeFor(i, rulebook.OutOfSection, rulebook.AnyClass)
}

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
