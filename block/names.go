package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// A name that no train on hand has, in an entry that can only be about one that
// is on hand, is another train or a slip of the pen. It is found once; the train
// goes on under both names. Should the same be booked again of the first name,
// they were two trains.

// also says whether the train goes under a second name.
func (t *Train) also(name string) bool { return slices.Contains(t.Also, name) }

const (
	signalledFor = "the train for which line clear was given, "
	oneName      = "one name for the train"
)

// goesBy lets the train go on under a name that the entry gives it and no other
// train has: that is found.
func (st *step) goesBy(t *Train, name string) *Train {
	t = st.touch(t)
	t.Also = append(slices.Clip(t.Also), name)
	f := st.finding(rulebook.TrainNameDiffers)
	f.Train = t.Label(st.b)
	for _, l := range [...]*Leg{&t.In, &t.Out} {
		if l.open() && (f.Section == "" || st.b.Sections[l.Section].Neighbour == st.e.Section) {
			f.Section, f.Line = st.neighbourOn(l.Line), st.b.lineAt(l.Line).Name
			f.Rests = []int64{l.Seq, st.e.Seq}
		}
	}
	f.Expected = oneName
	belled := t.Out.Booked && t.Out.Entering == 0 // its departure is booked under its name: the bell is of it
	goes := st.e.Kind == TrainDeparted || st.e.Kind == Bells && st.act.act == ActEnter && st.act.dir == Outward && !belled
	if goes && !alike(t.Name, name) || st.offeredToo(t, name) {
		f.Rule, f.Severity, f.Train = rulebook.WrongTrainEntered, rulebook.Danger, name
		f.Expected = signalledFor + t.Name
		f.Text = "Another train entered than the one accepted, or its name is miswritten"
		st.add(f)
		return t
	}
	if l := &t.Out; st.e.Kind == TrainArrived && t.Where == Away && l.open() && !st.b.Sections[l.Section].Method.Is().Offers {
		f.Severity, f.Text = rulebook.Advice, words("The train that left as "+t.Name+" is booked as come back as "+name, f.Section, "") // the number of its working back
		st.add(f)
		return t
	}
	if signalled := t.Name; signalled != st.e.Train && (goes || st.e.Kind == TrainPassed) {
		st.perhapsTwo(rulebook.WrongTrainEntered, signalled, f, signalledFor+signalled)
	} else if goes {
		st.perhapsTwo(rulebook.WrongTrainEntered, name, f, signalledFor+name) // the one that stood here went, on the line clear of the other
	}
	st.add(f).Text = "The book has " + t.Name + " and " + name + " where there is one train: another than the one signalled, or a slip of the pen"
	return t
}

// parted says whether an act under the first name of a train that went on under
// a second one shows that they are two: the same was booked of the other already.
// The one signalled keeps the second name; the first is free for a row of its own.
func (st *step) parted(t *Train, again bool) bool {
	if !again || len(t.Also) == 0 || st.e.Train != t.Name {
		return false
	}
	t = st.touch(t)
	t.Name, t.Also = t.Also[len(t.Also)-1], nil
	st.leaveUnused(t.In.Section, st.e.Train)
	st.twoAfterAll(func(p *Presumption) bool { return p.Name == st.e.Train })
	return true
}

// another says whether the name that a train goes under too is free for its own train: it comes,
// and this one has come; or it is offered on, and this one was offered elsewhere under its own.
func (d *action) another(t *Train, a Act) bool {
	if !t.also(d.e.Train) || !d.comesToo(t, a) && !(a == ActOffer && d.dir == Outward && t.Out.open() && t.Out.Section != d.ref().section) {
		return false
	}
	t = d.touch(t)
	t.Also = slices.DeleteFunc(slices.Clone(t.Also), func(n string) bool { return n == d.e.Train })
	return true
}

// comesToo says whether a train that comes is another than the one that went under its name too,
// and has come.
func (d *action) comesToo(t *Train, a Act) bool {
	back := t.Out.open() && t.Out.Section == d.ref().section && d.section().Method.Is().Single // on its way here again
	return (a == ActOffer || a == ActEnter) && d.dir == Inward && !back && !(t.In.open() && (t.In.Entered == 0 || a == ActEnter && !t.clearOfSection()))
}

// again says whether an act of a train is booked already.
func (d *action) again(t *Train, a Act) bool {
	l := t.leg(d.dir)
	elsewhere := d.dir == Inward && l.Line != d.line && l.inSection() && !t.clearOfSection() // and it comes by this line now
	return a == ActOffer && l.Entered != 0 || a == ActEnter && (l.Line == d.line && l.open() && l.Entering != 0 || elsewhere)
}

// meant finds the train that an entry under a name nobody has must be about: the
// only one on hand of which it would be the regular next entry, or of several the one
// whose name is most like it: a letter is miswritten sooner than a figure. nil where there
// is none, more than one, or one that nobody has named yet.
func (st *step) meant() *Train {
	may := namedNext[st.e.Kind]
	if may == nil {
		return nil
	}
	i := st.b.SectionIndex(st.e.Section)
	unnamed := false
	found, n := likeliest(st.s.Trains, func(t *Train) int {
		switch {
		case !may(st, t, i):
			return -1
		case t.Name == "" || t.In.open() && t.In.Assumed || t.Out.open() && t.Out.Assumed:
			unnamed = true
			return -1
		case misspelt(st.e.Train, t.Name):
			return 2
		case alike(t.Name, st.e.Train):
			return 1
		}
		return 0
	})
	if n != 1 || unnamed {
		return nil
	}
	return st.goesBy(found, st.e.Train)
}

// signalledLike takes a train that the book knows only by what it is to do next for
// the one on its way here whose name is a letter from its own, if there is one.
func (st *step) signalledLike(t *Train) *Train {
	o := firstTrain(st.s.Trains, func(o *Train) bool {
		return o.ID != t.ID && o.In.open() && !t.In.open() && alike(o.Name, t.Name) && st.mayArrive(o, -1)
	})
	if o == nil {
		return t
	}
	return st.isOther(t, o, Inward)
}

// isOther gives a train what another is signalled for, of which nothing else is booked, and
// lets it go on under the name of that as well.
func (st *step) isOther(t, o *Train, dir Dir) *Train {
	name := o.Name
	t = st.exchange(t, o, dir)
	st.dropEmpty(o.ID)
	return st.goesBy(t, name)
}

// alike says whether two names are one letter apart: another one, one too many
// or too few, or two that changed places; or one is the end of the other.
func alike(a, b string) bool {
	if cut(a, b) {
		return true
	}
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(a) < 3 {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	switch len(b) - len(a) {
	case 0:
		return i < len(a) && (a[i+1:] == b[i+1:] || i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:])
	case 1:
		return a[i:] == b[i+1:]
	}
	return false
}

// Miswritten says whether the name of a train may be another's by a slip of the pen: two
// characters that changed places, one too many or too few, or another letter. With another
// figure it would be another train.
func Miswritten(name, of string) bool {
	return turned(name, of) || misspelt(name, of) || len(name) != len(of) && alike(name, of)
}

// cut says whether one name is the end of the other: the number of a train without its class,
// or the last of many figures.
func cut(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	return len(a) >= 2 && len(a) < len(b) && len(b) >= 4 && strings.HasSuffix(b, a)
}

// signalledAs finds the train that was signalled on the line under a name much
// like this one's and of which nothing else is booked: it is this train, which
// stands here and has no other way on. Under any name, where this is the only train
// that the offer can have been of: its name was miswritten.
func (d *action) signalledAs(t *Train) *Train {
	o := d.s.Train(d.ls().Train)
	if o == nil || o == t || !o.accepted(d.line) {
		return t
	}
	if d.dir == Inward || t.Out.open() && t.Out.standing() > 0 || t.Where != Here && t.Where != PassedHere && t.Where != Approaching {
		return t
	}
	like := o.neverHere() && alike(o.Name, t.Name)
	if !like && !d.offeredFor(t, o) {
		return t
	}
	if t.Out.open() { // an offer nobody took
		t = d.touch(t)
		d.handOver(&t.Out, t.ID, 0)
		t.Out = noLeg
	}
	if like {
		return d.isOther(t, o, Outward)
	}
	t, o = d.exchange(t, o, d.dir), d.s.Train(o.ID)
	if o.In.Section >= 0 {
		d.describedAs(o, &o.In)
	}
	d.dropEmpty(o.ID)
	d.train = t
	d.findSaying(rightTrain.Rule, "", signalledFor+o.Name)
	d.s.Misplaced = append(slices.Clip(d.s.Misplaced), Misplaced{Act: ActOffer, Offer: true, Line: d.line, Train: t.ID, At: d.e.At, Name: o.Name,
		Found: []Answer{*d.found[len(d.found)-1].answer()}, Said: d.offeredAsWords(t, o.Name)})
	return t
}

func (d *action) offeredAsWords(t *Train, name string) string {
	box := d.section().Neighbour
	if name == "" { // what was offered under its own name was taken as of one that comes from there
		return misplacedWords("the offer", box, box, t.Label(d.b))
	}
	return words("The train offered to or by "+box+" is booked as "+name, "", t.Label(d.b))
}

// offeredFor says whether line clear may have been got for the train that now goes, under the
// name of one of which nothing else is booked, or that comes from there and is not here yet, or of
// another description: this one came by another box under the description offered, and no other
// here did. One train was accepted, and one went.
func (d *action) offeredFor(t, o *Train) bool {
	code, at := d.ls().LastOffer, d.ref().section
	back := o.In.Section == at && !d.section().Method.Is().Single && (!o.clearOfSection() || o.Where == Here && d.s.Lines[o.In.Line].LastOffer != code)
	return (o.neverHere() && o.Name != "" || back) && t == onlyTrain(d.s.Trains, func(o *Train) bool {
		return o.Name != "" && o.Code == code && o.In.Accepted != 0 && o.In.Section != at && !d.sameSide(o.In.Section) && o.Where <= PassedHere && !o.Out.inSection()
	})
}

// namedNext says, for the kinds of entry that name a train, of which train one
// can be the next entry; i is the section it names, -1 for none.
var namedNext = [kindCount]func(st *step, t *Train, i int) bool{
	TrainArrived:   (*step).mayArrive,
	TrainPassed:    (*step).mayArrive,
	TrainDeparted:  (*step).mayDepart,
	TrainCautioned: (*step).mayBeCautioned,
	TrainWarned:    func(_ *step, t *Train, _ int) bool { return t.toGo(-1) && !t.Warned },
	TrainEntire:    (*step).mayBeEntire,
	TrainPutAway:   (*step).mayBePutAway,
	TokenOut: func(_ *step, t *Train, i int) bool {
		return (t.toGo(i) || t.In.accepted() && t.In.Section == i) && !t.Out.HasToken
	},
	TokenToTrain:    func(_ *step, t *Train, i int) bool { return t.toGo(i) && !t.Out.HasToken },
	StaffToTrain:    func(_ *step, t *Train, i int) bool { return t.toGo(i) && !t.Out.HasToken },
	TicketToTrain:   (*step).mayHaveTicket,
	TokenFromTrain:  (*step).mayGiveUp,
	StaffFromTrain:  (*step).mayGiveUp,
	TicketFromTrain: (*step).mayGiveUp,
}

// mayBeCautioned: one that has not run over the crossing yet, its name miswritten.
func (st *step) mayBeCautioned(t *Train, _ int) bool {
	return Miswritten(st.e.Train, t.Name) && (t.Where <= Here || t.toGo(-1))
}

// mayBePutAway: one that stands here and is not signalled on, if no other may have
// left in its place: then the name is of one the book took for gone.
func (st *step) mayBePutAway(t *Train, _ int) bool {
	return t.Where == Here && !t.Out.open() && (st.s.Went == 0 || t.PlaceAt >= st.s.Went)
}

// toGo says whether the train has line clear to section i, any section for -1.
func (t *Train) toGo(i int) bool {
	return t.Out.accepted() && (i < 0 || t.Out.Section == i)
}

// mayArrive: one in section, coming here; or one that left where nothing is
// belled, and is back.
func (st *step) mayArrive(t *Train, _ int) bool {
	from := st.b.SectionIndex(st.e.From)
	if l := &t.Out; st.e.Kind == TrainArrived && from >= 0 && l.Section == from && l.open() && t.Where == Away &&
		(!st.b.Sections[from].Method.Is().Offers || st.s.Lines[l.Line].Phase == Shunting) {
		return true
	}
	l := &t.In
	in := l.Entered != 0 || l.Accepted != 0 && !st.b.Sections[max(0, l.Section)].Method.Is().Entering
	return l.open() && in && l.Arrived == 0 && !t.clearOfSection() && (from < 0 || l.Section == from)
}

// mayDepart: one with line clear where it goes, or the staff or a ticket; or one belled
// away at the same time whose departure is not yet booked.
func (st *step) mayDepart(t *Train, i int) bool {
	l := &t.Out
	switch {
	case i >= 0 && rides(st.e.Text, st.s.Circuits[i].Pilot) && st.s.Staffs[i].ticketed(t.ID) && !Miswritten(st.e.Train, t.Name):
		return false // that with the pilot is another than the one with his ticket
	case t.toGo(i):
		return true
	case i >= 0 && st.s.Circuits[i].Message && t.Where == Here && !t.Out.open() && allowing(st.s.Circuits[i].Told, t.Name) >= 0:
		return alike(t.Name, st.e.Train)
	case i >= 0 && (!st.b.Sections[i].Method.Is().Offers || st.s.Circuits[i].unbelled()):
		return t.carriesOf(i)
	case t.carriesOf(i) && !t.Out.open():
		return Miswritten(st.e.Train, t.Name)
	}
	return l.open() && l.Entering != 0 && !l.Booked && (i < 0 || l.Section == i) && st.e.At == l.Entering
}

// carriesOf says whether a train that is not away carries the staff, a ticket or a token of a section.
func (t *Train) carriesOf(i int) bool {
	return t.Carries.Any && t.Carries.Section == i && t.Where != Away
}

func (st *step) mayBeEntire(t *Train, _ int) bool {
	return t.clearOfSection() && t.In.open() && !t.whole()
}

// mayHaveTicket: one with line clear to go; or, where the pilot sends it, one that stands here,
// came from elsewhere, and whose name is much like it: back it goes under the next number.
func (st *step) mayHaveTicket(t *Train, i int) bool {
	sent := i >= 0 && st.s.Circuits[i].Pilot != "" && t.Where == Here && !t.Out.open() && t.In.Section != i && alike(t.Name, st.e.Train)
	return (t.toGo(i) || sent) && !t.Out.HasToken
}

// mayGiveUp: one that has the token, staff or ticket of section i.
func (st *step) mayGiveUp(t *Train, i int) bool {
	return t.Carries.Any && t.Carries.Section == i || t.In.HasToken && t.In.Section == i && t.clearOfSection()
}

// standsHere raises a train offered by a box by the name of one that stands here,
// and that nothing can have taken away.
func (d *action) standsHere(t *Train) {
	if p := d.b.PlaceNamed(t.Place); p != nil && p.InSection != "" {
		return // it stands out in the section, and leaves it
	}
	if d.dir != Inward || d.e.Train == "" || t.Where != Here || t.Place == "" || t.Returned || t.Out.open() || d.s.Went != 0 && t.PlaceAt < d.s.Went || t.leg(Inward).Line == d.line && t.In.open() {
		return
	}
	d.noteSaying(rulebook.TrainNameDiffers, d.section().Neighbour, t.Label(d.b), "The train offered has the name of one that stands here, at "+t.Place,
		"what became of the train here booked, or the name of the one that comes")
}

// goneBefore takes a departure of a train that is out of the section ahead already,
// its departure not booked, for that one: written late, or in the wrong place.
func (st *step) goneBefore(t *Train, line int) bool {
	if t.Opened != st.e.Seq || t.Name == "" || t.Name != st.s.Lines[line].Unbooked || st.holder(line, Outward, t) != nil {
		return false
	}
	st.editLine(line).Unbooked = ""
	if !slices.ContainsFunc(st.found, func(f Finding) bool { return f.Rule == rulebook.EntryOutOfOrder }) {
		st.note(rulebook.EntryOutOfOrder, st.neighbourOn(line), t.Name, "the departure where it belongs, or with the time it was written").Text =
			words("The departure is booked after the train was out of section", st.e.Section, t.Name)
	}
	st.close(t)
	return true
}

// offeredToo says whether a train was offered under the name with line clear standing for this
// one, and not accepted: the boxes know of two, and neither name is a slip of the pen for the
// other. Source: Warngau, 8 June 1975.
func (st *step) offeredToo(t *Train, name string) bool {
	return slices.ContainsFunc(st.s.Open, func(f *Finding) bool {
		return f.Rule == rulebook.OfferedBeforeOutOfSection && f.Train == name && f.Seq < st.e.Seq && slices.ContainsFunc([]Leg{t.In, t.Out}, func(l Leg) bool {
			return l.open() && l.Accepted != 0 && f.At >= l.Accepted && st.b.Sections[l.Section].Neighbour == f.Section
		})
	})
}
