package block

import (
	"cmp"
	"slices"
	"strconv"

	"fairhand/block/rulebook"
)

// An entry is now and then written as of the wrong box, line or train, or with its arrows turned.
// Where the bells name no train nothing in it tells: the book has a danger that there was not.
// Whoever has the whole book may read that entry as it was meant, and see whether anything is
// then wrong. Common practice of reading a book.

// misreadAs are the dangers that may be none should an entry be of another box than it is
// written of: line clear, a token or a train is missing in one place, and is one too many in
// another. What is wrong of its own, wherever it was done, is not among them.
var misreadAs = map[rulebook.RuleID]bool{
	rulebook.EnteredWithoutAcceptance: true, rulebook.WrongTrainEntered: true, rulebook.OutOfSectionTrainNotArrived: true,
	rulebook.AcceptedSectionOccupied: true, rulebook.AcceptedTwice: true, rulebook.OpposingAcceptance: true, rulebook.OfferedBeforeOutOfSection: true,
	rulebook.CancelledAfterEntering: true, rulebook.WrongTrainReported: true, rulebook.TokenInBeforeArrival: true, rulebook.TokenAlreadyOut: true,
	rulebook.TokenOutWithoutRelease: true, rulebook.TokenWrongSection: true, rulebook.TokenNotInInstrument: true, rulebook.TokenNumberDiffers: true,
	rulebook.StaffElsewhere: true, rulebook.PilotMissing: true, rulebook.SectionNotProvedClear: true,
}

// MayBeMisread says whether a finding is a danger that may be none, should an entry be
// written as of the wrong box or with its arrows turned.
func (f *Finding) MayBeMisread() bool { return f.Severity == rulebook.Danger && misreadAs[f.Rule] }

// signalsTrains are the kinds by which a train is signalled, let go and received.
var signalsTrains = [kindCount]string{
	Bells: "The signal", TrainArrived: "The arrival", TrainPassed: "The passing", TrainDeparted: "The departure",
	TokenOut: "A token drawn", TokenIn: "A token put in", TokenToTrain: "A token handed over", TokenFromTrain: "A token given up",
	Indicator:    "The indication",
	StaffToTrain: "The staff handed over", StaffFromTrain: "The staff given up", TicketToTrain: "A ticket handed over", TicketFromTrain: "A ticket given up",
}

// signalTrains are the meanings of the signals by which a train is let go, and is told of. One
// that says that the line is obstructed or blocked, or that something is wrong with a train, is
// read as written.
var signalTrains = []rulebook.Meaning{
	rulebook.Offer, rulebook.Entering, rulebook.OutOfSection, rulebook.Cancelling, rulebook.Restricted, rulebook.LineNowClear,
	rulebook.ReleaseToken, rulebook.TokenReplaced, rulebook.LineClear, rulebook.ShuntAhead, rulebook.ShuntWithdrawn, rulebook.DrawnBack,
}

// Misreadings gives what an event may have been meant to be: the same of each other box of
// the diagram, or of another line to the box, and a signal with its arrows turned as well, or
// with the beats of another; and an answer as one. None of one that signals no train.
func (b *Box) Misreadings(e *Event) (out []Event) {
	if signalsTrains[e.Kind] == "" || e.Neighbour() == "" {
		return nil
	}
	for i := range b.Sections {
		signals := func(m rulebook.Meaning) bool { return b.lookup(i, e.Bells[len(e.Bells)-1].Code, m) != nil }
		if len(e.Bells) > 0 && !slices.ContainsFunc(signalTrains, signals) {
			continue
		}
		to := *e
		if box := to.neighbour(); b.Sections[i].Neighbour != *box {
			if *box = b.Sections[i].Neighbour; e.Kind != Indicator {
				to.Line = "" // a signal tells its line, an indication is read off one
			}
			out = append(out, to)
		} else {
			out = append(out, b.otherLines(e, i)...)
		}
		if len(e.Bells) > 0 {
			to.Bells = slices.Clone(e.Bells)
			for k := range to.Bells {
				to.Bells[k].Sent = !to.Bells[k].Sent
			}
			out = append(out, to)
		}
	}
	if e.Kind == TokenOut || e.Kind == TokenIn {
		to := *e
		if to.Kind = TokenIn; e.Kind == TokenIn {
			to.Kind = TokenOut
		}
		out = append(out, to)
	}
	return append(append(out, b.answered(e)...), b.otherBeats(e)...)
}

// answered gives a signal that stands without the one it answers, as the answer to it: the other
// end called attention, or it is of a train by its name.
func (b *Box) answered(e *Event) []Event {
	n := len(e.Bells) - 1
	if n < 0 || n == 0 && e.Train == "" || n > 0 && (e.Bells[0].Sent == e.Bells[n].Sent || e.Bells[n-1].Code == e.Bells[n].Code) {
		return nil
	}
	switch b.lastMeans(e) {
	case rulebook.Offer, rulebook.Entering, rulebook.OutOfSection:
		to := *e
		to.Bells = slices.Insert(slices.Clone(e.Bells), n, Bell{Sent: !e.Bells[n].Sent, Code: e.Bells[n].Code})
		return []Event{to}
	}
	return nil
}

// OfToken says whether an event is of a token that has gone out or come back, by its number.
func (e *Event) OfToken() bool {
	return e.Number != 0 && (e.Kind == TokenOut || e.Kind == TokenIn || e.Kind == TokenToTrain || e.Kind == TokenFromTrain)
}

// otherLines gives an event as of each other line of a section on which trains may run as on
// the one that it names; a signal that names none, where there is more than one pair, as of each
// by which its train may go.
func (b *Box) otherLines(e *Event, section int) (out []Event) {
	lines := b.Sections[section].Lines
	named := slices.IndexFunc(lines, func(l Line) bool { return l.Name == e.Line })
	way, n := Out, len(e.Bells)-1
	switch {
	case named >= 0:
		way = lines[named].Way
	case e.Line != "" || n < 0 || len(lines) < 3:
		return nil
	default:
		k := slices.IndexFunc(e.Bells, func(o Bell) bool { return o.Code == e.Bells[n].Code }) // what comes after is its answer
		row := b.lookup(section, e.Bells[k].Code, rulebook.MeansNothing)
		if row == nil {
			return nil
		} else if (row.From == rulebook.Advance) == e.Bells[k].Sent {
			way = In
		}
	}
	for i := range lines {
		if i != named && lines[i].Way == way {
			to := *e
			to.Line = lines[i].Name
			out = append(out, to)
		}
	}
	return out
}

// takenFor are the signals of a train in the section of which the beats are written for the
// other's.
var takenFor = map[rulebook.Meaning]rulebook.Meaning{rulebook.Entering: rulebook.OutOfSection, rulebook.OutOfSection: rulebook.Entering}

// otherBeats gives an event with the beats that its last may have been meant to be: of a code that
// the section has not, those of an offer.
func (b *Box) otherBeats(e *Event) []Event {
	i, n := b.SectionIndex(e.Neighbour()), len(e.Bells)
	if i < 0 || n == 0 {
		return nil
	}
	code, means := e.Bells[n-1].Code, rulebook.Offer
	if row := b.lookup(i, code, rulebook.MeansNothing); row != nil {
		means = takenFor[row.Means]
	}
	meant := b.codeFor(i, means, rulebook.AnyClass)
	if means == rulebook.MeansNothing || code.Spoken() || meant == nil {
		return nil
	}
	to := *e
	to.Bells = slices.Clone(e.Bells)
	for k := range to.Bells {
		if to.Bells[k].Code == code {
			to.Bells[k].Code = meant.Code
		}
	}
	return []Event{to}
}

// GoesWith says whether two events are told of one train, which each of them sees: a departure
// or passing and what is signalled of it to the box in advance, or handed to its driver, in one
// minute, or an arrival and our report of it; or a train that is signalled as entering and comes. A
// line clear or an out of section given there goes with nothing: the train that it was not of is the danger.
func (b *Box) GoesWith(e, o *Event) bool {
	goes := func(e *Event) bool { return e.Kind == TrainDeparted || e.Kind == TrainPassed }
	switch near := max(e.At-o.At, o.At-e.At) <= Minute; {
	case b.entering(e) && e.Bells[0].Sent:
		return near && goes(o) && (o.Kind == TrainPassed || o.Neighbour() == e.Neighbour())
	case b.entering(o) && o.Bells[0].Sent:
		return near && goes(e) && (e.Kind == TrainPassed || o.Neighbour() == e.Neighbour())
	case e.Kind == TrainDeparted && o.handsOver(), e.handsOver() && o.Kind == TrainDeparted:
		return near && o.Neighbour() == e.Neighbour()
	case b.lastMeans(e) == rulebook.OutOfSection && e.Bells[0].Sent:
		return near && o.Kind == TrainArrived && o.Proof != NoTailLamp && (o.Neighbour() == "" || o.Neighbour() == e.Neighbour())
	case b.entering(e):
		return e.At <= o.At && (o.Kind == TrainArrived && (o.From == "" || o.From == e.Section) || o.Kind == TrainPassed && o.Section != e.Section)
	}
	return false
}

// entering says whether an event is the signal that a train enters a section.
func (b *Box) entering(e *Event) bool { return b.lastMeans(e) == rulebook.Entering }

// lastMeans is what the last signal of an event means in the code of its section; nothing, where
// it has none.
func (b *Box) lastMeans(e *Event) rulebook.Meaning {
	i, n := b.SectionIndex(e.Neighbour()), len(e.Bells)
	if i < 0 || n == 0 {
		return rulebook.MeansNothing
	}
	row := b.lookup(i, e.Bells[n-1].Code, rulebook.MeansNothing)
	if row == nil {
		return rulebook.MeansNothing
	}
	return row.Means
}

// NotOf says whether the train that the next event names cannot be the one that it is of, by
// what goes with it: a signal sent is of the train that was seen to go, whatever it names; and
// a train that has come does not come, nor one that has gone go.
func (r *Runner) NotOf(e *Event) bool {
	enters := r.Box().entering(e)
	if enters && e.Bells[0].Sent {
		return true
	}
	t := lastTrain(r.st.s.Trains, func(t *Train) bool { return t.Name == e.Train })
	if e.Kind == TrainPassed || enters {
		return t == nil || t.Where >= Here
	}
	return t == nil || t.Where >= Away
}

// Awaits says whether the next event of a train that is on its way here has it come, so that
// nothing before had it go.
func (r *Runner) Awaits(next *Event) bool {
	t := lastTrain(r.st.s.Trains, func(t *Train) bool { return t.Name == next.Train })
	return t != nil && t.Where == Approaching && t.In.inSection() && (next.Kind == TrainArrived || next.Kind == TrainPassed)
}

// LetGo is the only train that has line clear to go where an event has one depart to; none, where
// that is unknown or has no name.
func (r *Runner) LetGo(e *Event) string {
	i := r.Box().SectionIndex(e.Section)
	if e.Kind != TrainDeparted || i < 0 {
		return ""
	}
	if t := onlyTrain(r.st.s.Trains, func(t *Train) bool { return t.toGo(i) }); t != nil {
		return t.Name
	}
	return ""
}

// Offers says whether an event is that a train is offered, whoever answers.
func (b *Box) Offers(e *Event) bool {
	m := b.lastMeans(e)
	return m == rulebook.Offer || m == rulebook.LineClear && len(e.Bells) > 1
}

// TakesUp says whether an event has a train go, or come, by the line clear of an offer.
func (b *Box) TakesUp(offer, e *Event) bool {
	if e.Neighbour() != offer.Neighbour() {
		return false
	}
	if sent := offer.Bells[0].Sent; b.entering(e) {
		return e.Bells[0].Sent == sent
	} else if sent {
		return e.Kind == TrainDeparted || e.Kind == TrainPassed
	}
	return e.Kind == TrainArrived
}

// handsOver says whether an event is that a driver is handed the authority for a section.
func (e *Event) handsOver() bool {
	return e.Kind == TokenToTrain || e.Kind == StaffToTrain || e.Kind == TicketToTrain
}

// Goes says whether by an event a train goes into a section, or is handed what it may go with.
func (e *Event) Goes() bool { return e.Kind == TrainDeparted || e.handsOver() }

// NotGone says whether the next event of a train shows that an event by which it goes, or may,
// was not of it: it comes from another box, or is at the station when it is booked as departed.
func (b *Box) NotGone(goes, next *Event) bool {
	comes := next.Kind == TrainArrived
	if len(next.Bells) > 0 {
		if !b.Offers(next) && !b.entering(next) {
			return false
		}
		comes = !next.Bells[0].Sent
	}
	if comes {
		return next.Neighbour() != "" && next.Neighbour() != goes.Neighbour()
	}
	here := len(next.Bells) > 0 || next.handsOver() || next.Kind == TrainDeparted || next.Kind == TrainMoved || next.Kind == TrainRenamed
	return here && goes.Kind == TrainDeparted
}

// neighbour is where the event has the box that it is of.
func (e *Event) neighbour() *string {
	if e.Kind == TrainArrived {
		return &e.From
	}
	return &e.Section
}

// Neighbour is the box that the event is of, empty where it is of none.
func (e *Event) Neighbour() string { return *e.neighbour() }

// IsOf says whether what the event last taken did was of the train that it names, if it names one.
func (r *Runner) IsOf(train string) bool {
	t := r.st.act.train
	return train == "" || t == nil || t.Name == train
}

// SentBack says whether the event last taken has a train go back, which no slip of the pen does: it
// is the report of the box in rear that one on its way here is out of the section, or the offer from
// there of one that is in the section to it.
func (r *Runner) SentBack() bool {
	a := &r.st.act
	if (a.act == ActOffer || a.act == ActAccept) && a.dir == Inward && a.e.Train != "" && slices.ContainsFunc(r.st.s.Trains, func(t *Train) bool {
		return t.Name == a.e.Train && t.Where == Away && t.Out.inSection() && t.Out.Section == a.ref().section
	}) {
		return true
	}
	return a.act == ActOut && !a.mine && a.dir == Inward && a.train != nil && a.train.In.Arrived == 0
}

// Unended counts the sections for which trains had line clear or were offered, or which they were
// in, by a time, and that have neither out of section nor cancelling yet.
func (r *Runner) Unended(by Time) (n int) {
	for _, t := range r.st.s.Trains {
		for _, l := range [...]*Leg{&t.In, &t.Out} {
			if l.open() && cmp.Or(l.Offered, l.Accepted, l.Entered) <= by {
				n++
			}
		}
	}
	return n
}

// ReadAs is told by whoever goes on from a book read with an earlier event as it was meant:
// it gives the finding that says so, and notes what was found before and stands no more.
func (r *Runner) ReadAs(written, meant *Event, answered []Finding) Finding {
	st := &r.st
	was, is := written.Neighbour(), meant.Neighbour()
	st.found = nil
	f := st.note(rulebook.TrainNameDiffers, was, written.Train, whereItBelongs)
	f.Seq, f.At, f.Rests = written.Seq, written.At, []int64{written.Seq, st.e.Seq}
	what := cmp.Or(signalsTrains[written.Kind], "The entry")
	if n := len(written.Bells); n > 0 {
		what += " " + string(written.Bells[n-1].Code)
	}
	how := " is written with its arrows turned"
	switch {
	case meant.Kind == KindNone:
		how = " is written twice"
	case meant.Kind != written.Kind:
		how = ": out is written for in, or in for out"
	case len(meant.Bells) > len(written.Bells):
		how = " is written without the one that it answers"
	case len(meant.Bells) > 0 && meant.Bells[len(meant.Bells)-1].Code != written.Bells[len(written.Bells)-1].Code:
		how = " is written for " + string(meant.Bells[len(meant.Bells)-1].Code)
		if st.b.lastMeans(meant) == rulebook.Offer {
			how = " is no code of the section, and was an offer"
		}
	case was == is && written.Line != meant.Line:
		how = " is written " + cmp.Or(So(written.Line != "", "for the "+written.Line), "without its line") + ", and was of the " + meant.Line
	case was != is:
		how = " is written against " + was + ", and was of " + is
	case written.Number != meant.Number:
		how = " is written with the number " + strconv.Itoa(written.Number) + ", and was of " + strconv.Itoa(meant.Number)
	case written.Train != meant.Train:
		how = " is written under the name of " + written.Train + ", and was of " + meant.Train
	}
	f.Text = what + how + ": read so, the entries around it agree"
	out := *f
	st.remember()
	for i := range answered {
		st.s.Answers = append(slices.Clip(st.s.Answers), *answered[i].answer())
	}
	return out
}
