package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// A bell may be written with the beats of another: train out of section for train entering
// section, or the other way round. It shows where no train is there of which it could be as
// it is written, and one only of which the other would be the regular next. Entering so read
// has the train in the section, and is told at once. Out of section so read frees it: what it
// is as written stays a danger until the boxes have let the next train in over the line.
// Common practice of reading a book.

var otherBeats = [actCount]Act{ActEnter: ActOut, ActOut: ActEnter}

// miscoded finds the act that a bell was, where its beats are those of another; nil where
// they are its own.
func (d *action) miscoded() (k *action) {
	other := otherBeats[d.act]
	if other == NoAct || d.code == nil || d.code.Means != rulebook.Entering && d.code.Means != rulebook.OutOfSection || d.moved || other == ActOut && !d.section().Method.Is().Single {
		return nil // where each line has its own trains it may be of one whose offer is not booked
	}
	if d.asWritten() {
		return nil
	}
	for l := range d.b.linesOf(d.ref().section) {
		o := action{step: d.step, act: other, line: l, dir: wayOf(other, d.mine), mine: d.mine, moved: true}
		o.train = o.awaits(true)
		switch {
		case o.train == nil || other == ActEnter && o.mine && o.train.Where != Away || other == ActOut && (d.train != nil && d.train != o.train || o.mine && o.byToken() && (o.tokens().Out != 0 || !o.train.In.TokenIn)):
		case k != nil:
			return nil
		default:
			k = &o
		}
	}
	return k
}

// wayOf is the direction of a train of which one box gives a bell.
func wayOf(a Act, mine bool) Dir {
	return dirOf(mine != (a == ActEnter))
}

// asWritten says whether a train is there that an act could be of, over any line of the section:
// in section, for its out of section; or else with line clear.
func (d *action) asWritten() bool {
	dir := wayOf(d.act, d.mine)
	return slices.ContainsFunc(d.s.Trains, func(t *Train) bool {
		l := t.leg(dir)
		return l.Section == d.ref().section && l.open() && (l.Entered != 0 || d.act == ActEnter && l.Accepted != 0) && (d.act == ActOut || l.Entering == 0)
	})
}

// asMeant does what a bell written with the beats of another was.
func (d *action) asMeant(k *action) bool {
	box, name := d.section().Neighbour, k.train.Label(d.b)
	m := Misplaced{Act: k.act, Line: k.line, Was: k.line, Train: k.train.ID, At: d.e.At, Beats: true, Name: name, Named: d.e.Train != "", Found: []Answer{{Seq: d.e.Seq, Section: box}}}
	said := "The beats of " + d.act.String() + " are written for those of "
	if d.code.Code.Spoken() {
		said = capital(d.act.String()) + " is said for "
	}
	m.Said = words(said+k.act.String(), box, name)
	k.train = d.touch(k.train)
	if k.act == ActEnter {
		m.tell(d.step, k.train)
		k.do(k.act)
		d.touch(k.train).In.Beats = k.dir == Inward && d.section().Method.Is().Single
		return true
	}
	d.findSaying(rulebook.EnteredWithoutAcceptance, "", "line clear from "+box+" for a train that enters, or "+k.act.String()+" of "+name)
	m.Found = []Answer{*d.found[len(d.found)-1].answer()}
	k.do(k.act)
	d.s.Misplaced = append(slices.Clip(d.s.Misplaced), m)
	return false
}

// drawnBack has a train out of a single line, whose entering was read where the box that let
// it go gave it out of section: when a train is next offered over the line and it has not come,
// it was drawn back, and its entering is what is not booked. Should it come after all, the
// next was offered over the line with it in the section.
func (d *action) drawnBack() {
	t := d.s.occupied(d.line)
	if t == nil || !t.In.Beats || t.In.Line != d.line || t.Where != Approaching {
		return
	}
	d.goneBy(t, Inward)
	if d.e.Train == "" || d.e.Train == t.Name {
		return // it is offered again
	}
	f := d.wouldBreak(rulebook.OfferedBeforeOutOfSection, d.section().Neighbour, d.e.Line, d.e.Train)
	d.presumption(Presumption{Line: d.line, Name: t.Name, Unnamed: t.Name == "", Steps: []Step{StepArrival}, Found: []Finding{f}})
}

// letInSince says whether the boxes have let another train in over the line since a bell was
// read so, or its train, by name, has been moved here or gone on over another line.
func (st *step) letInSince(m *Misplaced) bool {
	ls := st.s.Lines[m.Line]
	if t := st.s.Train(m.Train); t != nil && m.Named && (t.Where == Here && t.PlaceSeq > m.Found[0].Seq || t.Out.Entered >= m.At && t.Out.Line != m.Line) {
		return true
	}
	return ls.Phase.lineClear() && ls.Since >= m.At && ls.Train != 0 && st.e.Seq > m.Found[0].Seq
}

// notMeant lets the danger stand where out of section is given after all of a train that a
// bell was read as that of, or the train is booked over that line.
func (st *step) notMeant() {
	for _, m := range slices.Clone(st.s.Misplaced) {
		i := st.b.lines[m.Line].section
		over := st.e.Train != "" && st.e.Train == m.Name && (st.e.Kind == TrainArrived || st.e.Kind == TrainDeparted) && st.sectionMeant() == i
		again := st.foundNow(rulebook.OutOfSectionNoTrain) >= 0 && st.b.lines[st.act.line].section == i
		if m.Beats && m.Act == ActOut && st.e.Seq != m.Found[0].Seq && (over || again) {
			st.endMisplaced(m.Found[0])
		}
	}
}
