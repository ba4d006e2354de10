package block

import (
	"iter"
	"slices"
	"strings"
	"unicode"

	"fairhand/block/rulebook"
)

// Working when bells or instruments have failed: by message, or with a pilot.

// byMessage: the section is worked by message and the box in advance has sent
// one since the last train went. Source: from memory; form of the messages per
// railway.
var byMessage = Guard{
	Name:  "allowed by message or pilot",
	holds: func(d *action) bool { return d.s.Circuits[d.ref().section].unbelled() },
}

var messageHeld = Guard{
	Name: "a message in hand for this train", Rule: rulebook.WorkingByMessageNoMessage, Mine: true, Replaces: true,
	Expected: "a message from the box in advance, written down and repeated back, before the train goes",
	holds: func(d *action) bool {
		c := &d.s.Circuits[d.ref().section]
		return !c.Message || !c.Worded && d.toldOf(c.Told) >= 0
	},
}

// goesAs is the name of the train of the act, "" for none known.
func (d *action) goesAs() string {
	if d.train != nil && d.train.Name != "" {
		return d.train.Name
	}
	return d.e.Train
}

// toldOf finds the message in hand that lets the train of the act go, under any of its names.
func (d *action) toldOf(messages []string) int {
	k := allowing(messages, d.goesAs())
	for i := 0; k < 0 && d.train != nil && i < len(d.train.Also); i++ {
		k = allowing(messages, d.train.Also[i])
	}
	return k
}

// allowing finds the message in hand that lets a train go: the one that names it,
// else the first that names no other; else one that names it in words not known here;
// -1 for none.
func allowing(messages []string, train string) int {
	named := func(text string) bool { return train != "" && strings.Contains(text, train) }
	sure := func(text string) bool { return leaveIn(text) == leaveGiven }
	for _, lets := range [...]func(string) bool{
		func(text string) bool { return named(text) && sure(text) },
		func(text string) bool { return !namesAnother(text, train) && sure(text) },
		named,
	} {
		if i := slices.IndexFunc(messages, lets); i >= 0 {
			return i
		}
	}
	return -1
}

// namesAnother says whether a text has a word built as the name of a train is,
// letter for letter and figure for figure, and is another. A name of figures alone
// is not told from a time.
func namesAnother(text, name string) bool {
	shape := shapeOf(name)
	if strings.Trim(shape, "0") == "" || !strings.Contains(shape, "0") {
		return false
	}
	return slices.ContainsFunc(fieldsOf(text), func(word string) bool {
		return word != name && shapeOf(word) == shape
	})
}

// nearIn is the name, no train's on hand, in a message giving leave that is like that of a train;
// "" for none, and where a message lets this train itself go.
func (st *step) nearIn(messages []string, name string, like func(a, b string) bool) string {
	if allowing(messages, name) >= 0 {
		return ""
	}
	for word := range letGo(messages) {
		if like(word, name) && st.s.TrainNamed(word) == nil {
			return word
		}
	}
	return ""
}

// letGo are the names in the messages that give leave.
func letGo(messages []string) iter.Seq[string] {
	return func(yield func(string) bool) {
		for _, text := range messages {
			if leaveIn(text) != leaveGiven {
				continue
			}
			for _, word := range namesIn(text) {
				if !yield(word) {
					return
				}
			}
		}
	}
}

// shapeOf is a word with every figure 0 and every letter a.
func shapeOf(word string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsDigit(r):
			return '0'
		case unicode.IsLetter(r):
			return 'a'
		}
		return r
	}, word)
}

// told takes a message exchanged with a box that works by message, or by a
// pilot, with us: the arrival of a train in section, or consent to the next, and what
// takes consent back. Source: absolute-block rule for failed instruments, form of the
// messages from memory; General Rules (India) 14.10 for the report of arrival.
func (st *step) told() {
	i := st.b.SectionIndex(st.e.Subject)
	if i < 0 {
		return
	}
	from, in, normal := st.e.Kind == MessageFrom, false, !st.s.Circuits[i].unbelled()
	open := func(t *Train) bool { // when normal working was resumed
		return st.s.open(func(f *Finding) bool { return f.Rule == rulebook.SectionNotProvedClear && f.Train == t.Label(st.b) }) != nil
	}
	dir := dirOf(!from)
	there := func(t *Train) bool { // in the section, or in from it and not reported
		l := t.leg(dir)
		return t.Name != "" && l.Section == i && l.open() && l.Entered != 0 && (!from || t.Where == Away) && (!normal || st.s.Tokens[i].Lost || open(t)) // with its token lost nothing else ends it
	}
	only, miswritten := onlyTrain(st.s.Trains, there), st.miswrittenIn(there)
	for _, t := range slices.Clone(st.s.Trains) {
		unnamed := t == only && len(namesIn(st.e.Text)) == 0 && reportsArrival(st.e.Text) && (from || t.clearOfSection())
		switch named := t.Name != "" && speaksOf(st.e.Text, t.Name) || slices.ContainsFunc(t.Also, func(n string) bool { return speaksOf(st.e.Text, n) }) || t == miswritten; {
		case !named && !unnamed || !there(t):
		case reportsArrival(st.e.Text):
			st.reported(t, dir)
			in = true
		default:
			st.openLeft(t)
		}
	}
	st.toldOfTail(i)
	st.leave(i, from, in)
}

// leave takes what a message says of trains that may go: it is in hand until one has gone, or it is
// taken back. While the bells work, leave given is kept of the last few, should they turn out to be
// given up; in says that the message reported a train in.
func (st *step) leave(i int, from, in bool) {
	normal := !st.s.Circuits[i].unbelled()
	if normal && leaveIn(st.e.Text) != leaveGiven {
		return
	}
	c := st.editCircuit(i)
	hand := &c.Given
	if from {
		hand = &c.Told
	}
	if normal {
		kept := *hand
		*hand = append(slices.Clone(kept[max(0, len(kept)-3):]), st.e.Text)
		return
	}
	if text := wordsIn(st.e.Text); from && (asks(text) || says(text, saidGone)) {
		c.Heard = append(slices.Clip(c.Heard), st.e.Text)
	}
	switch says := leaveIn(st.e.Text); {
	case says == leaveGiven, says == leaveUnclear, !from && !in && reportsArrival(st.e.Text): // its arrival may be written after the report
		if !st.givenAgainst(i, from) {
			st.givenTwice(i, *hand)
		}
		if from {
			st.editLine(st.lineFor(i, Outward, ActOffer)).Refused = false
		}
		*hand = append(slices.Clip(*hand), st.e.Text)
	case says == leaveRefused:
		if from {
			ls := st.editLine(st.lineFor(i, Outward, ActOffer))
			ls.Refused, ls.Cancelled = true, ""
		}
		*hand = slices.DeleteFunc(slices.Clone(*hand), func(text string) bool { return sameTrains(text, st.e.Text) })
		if from && len(namesIn(st.e.Text)) > 0 { // or their own train, which had leave from here
			c.Given = slices.DeleteFunc(slices.Clone(c.Given), func(text string) bool { return sameTrains(text, st.e.Text) })
		}
	}
}

// miswrittenIn finds the only train there that a report of arrival may be of, where no train has
// the name in it: that is said once.
func (st *step) miswrittenIn(there func(*Train) bool) *Train {
	names := namesIn(st.e.Text)
	if len(names) != 1 || !reportsArrival(st.e.Text) || st.s.TrainNamed(names[0]) != nil {
		return nil
	}
	t := onlyTrain(st.s.Trains, func(t *Train) bool { return there(t) && Miswritten(names[0], t.Name) && !speaksOf(st.e.Text, t.Name) })
	if t != nil {
		f := st.note(rulebook.TrainNameDiffers, st.e.Subject, t.Label(st.b), oneName)
		f.Text = words("The arrival of "+t.Name+" is reported under the name "+names[0], f.Section, "")
	}
	return t
}

// speaksOf says whether a message names a train: by its whole name, or by its number alone as
// the first word.
func speaksOf(text, name string) bool {
	of, _, _ := strings.Cut(text, " ")
	return strings.Contains(text, name) || cut(of, name) && len(of) < len(name)
}

// givenAgainst raises line clear given by message over a single line while a train of the other
// way has it, and has neither gone nor been reported in.
func (st *step) givenAgainst(i int, from bool) bool {
	dir := dirOf(!from)
	if leaveIn(st.e.Text) != leaveGiven || !st.leaveAgainst(i, dir, st.e.Text) {
		return false
	}
	d := st.begin(st.lineFor(i, dir, ActAccept), dir, !from)
	d.act = ActAccept
	d.leftAgainst()
	return true
}

// leftAgainst raises line clear against a train that has leave by message.
func (d *action) leftAgainst() {
	d.find(rulebook.OpposingAcceptance, "the train of the other way arrived and reported, or its line clear taken back, first")
}

// leaveAgainst says whether a train of the other way has leave by message over a single line,
// another than that of a text.
func (st *step) leaveAgainst(i int, dir Dir, of string) bool {
	c := &st.s.Circuits[i]
	against := c.Told
	if dir == Outward {
		against = c.Given
	}
	return c.Message && st.b.Sections[i].Method.Is().Single && slices.ContainsFunc(against, func(text string) bool {
		in := func(of string) bool { return reportsArrival(of) && sameTrains(of, text) }
		return leaveIn(text) == leaveGiven && len(namesIn(text)) > 0 && !sameTrains(text, of) && !slices.ContainsFunc(against, in)
	})
}

// givenTwice raises line clear given here by message while the train before is in the
// section, or has leave to come.
func (st *step) givenTwice(i int, before []string) {
	if st.e.Kind != MessageTo || leaveIn(st.e.Text) != leaveGiven || !st.s.Circuits[i].Message {
		return
	}
	d := st.begin(st.lineFor(i, Inward, ActAccept), Inward, true)
	d.act = ActAccept
	switch t := d.s.occupied(d.line); {
	case t != nil && !strings.Contains(st.e.Text, t.Name):
		d.find(rulebook.AcceptedSectionOccupied, "the arrival of the train before reported, complete, first")
		d.standAside()
	case slices.ContainsFunc(before, func(text string) bool {
		return leaveIn(text) == leaveGiven && (!sameTrains(text, st.e.Text) || st.left(i, text)) && !slices.ContainsFunc(before, func(of string) bool { return reportsArrival(of) && sameTrains(of, text) })
	}):
		d.find(rulebook.AcceptedTwice, "the train before that has leave arrived and reported, or the leave taken back, first")
	}
}

// left says whether the box in rear has told that the train of a message has gone, where neither it
// nor the message of this entry names one: this one is for another.
func (st *step) left(i int, leave string) bool {
	return len(namesIn(leave+" "+st.e.Text)) == 0 && slices.ContainsFunc(st.s.Circuits[i].Heard, func(text string) bool {
		return len(namesIn(text)) == 0 && says(wordsIn(text), saidGone)
	})
}

const (
	resumedUnreported = "Normal working was resumed with a train not reported in"
	reportedFirst     = "the last train reported in before normal working is resumed"
)

// leftUnreported raises normal working resumed with a train that had leave to come by message,
// was told to have left, and is neither booked as come nor reported in.
func (st *step) leftUnreported(i int) {
	c := &st.s.Circuits[i]
	for _, text := range c.Given {
		of := func(o string) bool { return sameTrains(o, text) }
		left := slices.ContainsFunc(c.Heard, func(o string) bool { return of(o) && says(wordsIn(o), saidGone) })
		if leaveIn(text) != leaveGiven || !left || slices.ContainsFunc(c.Given, func(o string) bool { return of(o) && reportsArrival(o) }) {
			continue
		}
		name := strings.Join(namesIn(text), " ")
		st.noteSaying(rulebook.SectionNotProvedClear, st.e.Section, name, resumedUnreported, reportedFirst)
	}
}

// reported takes the report of the box a train has reached as train out of section,
// with all that this asks for. The word for it may follow.
func (st *step) reported(t *Train, dir Dir) {
	line, name := t.leg(dir).Line, t.Name
	d := st.begin(line, dir, dir == Inward)
	d.act, d.train = ActOut, t
	if d.do(ActOut) {
		st.editLine(line).Freed = name
	}
}

// goneBy ends the use of a line by a train that went over it, by what is no bell.
func (st *step) goneBy(t *Train, dir Dir) {
	t = st.touch(t)
	l := t.leg(dir)
	l.OutOf = st.e.At
	if dir == Outward {
		st.helpersOut(t, l.Line)
	}
	st.close(t)
	st.settle(l.Line)
}

// heldBefore is what is added to the direction of a train with line clear that is said to be held, by
// speaking, before it is cancelled by bell: so the manual has it. Source: Block Working Manual Part A 3.3(A).
const heldBefore = 3

// heldTold takes a message of the box that keeps a cancelled train as saying that it
// is held.
func (st *step) heldTold() {
	from := dirOf(st.e.Kind == MessageFrom)
	for l := range st.b.linesOf(st.b.SectionIndex(st.e.Subject)) {
		switch ls := st.s.Lines[l]; {
		case ls.ToHold == 1+uint8(from):
			st.editLine(l).ToHold = 0
		case ls.Phase.lineClear() && ls.Dir == from && saysHeld(st.e.Text) && st.s.Train(ls.Train) != nil && strings.Contains(st.e.Text, st.s.Train(ls.Train).Name):
			st.editLine(l).ToHold = heldBefore + uint8(from)
		}
	}
}

// heldNext expects the message that a cancelled train is held, from the box that
// keeps it: a train the other way waits for it.
func (x *expecting) heldNext(l int) {
	who := x.b.Sections[x.b.lines[l].section].Neighbour
	e := Event{Kind: MessageTo, Subject: who, Text: "The train cancelled is held and will be."}
	label := "tell " + who + " that the train cancelled is held"
	switch x.s.Lines[l].ToHold {
	case 0, heldBefore, heldBefore + 1:
		return
	case 1 + uint8(Inward):
		e.Kind, label = MessageFrom, who+" says that the train cancelled is held"
	}
	x.offer(Expectation{Event: e, Mine: e.Kind == MessageTo, Wanted: x.s.LastAt, Label: label})
}

// otherHeld: the message comes before a train goes the other way.
var otherHeld = Guard{
	Name: "a train cancelled the other way told to be held", Rule: rulebook.CancelledTrainNotHeld, For: onSingle,
	Expected: "a message from the box that keeps the train cancelled, that it is held and will be",
	holds: func(d *action) bool {
		to := d.ls().ToHold
		return to == 0 || to >= heldBefore || to == 1+uint8(d.dir)
	},
}

// usesMessage takes the message in hand for a train that goes on it.
func (d *action) usesMessage() {
	if l := d.train.leg(d.dir); d.dir == Inward && l.Accepted == 0 && l.Entered == d.e.At && d.s.Circuits[d.ref().section].Message {
		d.cameByMessage(d.train)
	}
	if c := &d.s.Circuits[d.ref().section]; len(c.Told) > 0 && d.dir == Outward {
		switch k := d.toldOf(c.Told); {
		case k >= 0 && c.Message && !c.Worded:
			d.unclearLeave(d.ref().section, d.train, c.Told[k])
		case k >= 0 && !c.unbelled():
			d.of(d.train).Out.Told = true
		}
		c = d.editCircuit(d.ref().section)
		c.Told = nil
	}
}

// Working in wrong direction was agreed on the line.
var wrongWayAgreed = Guard{
	Name:  "working in wrong direction agreed",
	holds: func(d *action) bool { return d.ls().WrongWay },
}

var (
	messageOrWrongWay  = either("allowed by message or pilot, or working in wrong direction agreed", wrongWayAgreed, byMessage)
	acceptedOrWrongWay = either("train had been accepted, or working in wrong direction agreed", wrongWayAgreed, wasAccepted)
	wrongWayOrAssists  = either("working in wrong direction agreed, or to assist the train in section, its driver told", wrongWayAgreed, toAssist)
)
