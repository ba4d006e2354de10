package register

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
)

// Outlook is what the timetable leads one to expect at a moment, together with
// what the book tells of the trains and how long they took before.
type Outlook struct {
	At     block.Time
	Trains []Prospect // still to come or to leave, in order of their times here
	Hand   []InHand   // one for each line of each section, in box order

	Cancelled []Prospect // signalled and cancelled a short while ago: these may be offered again

	ends []string // trains booked to end here that have come
}

// Prospect is a booked train still to come here, or to leave.
type Prospect struct {
	Booked
	Arrives, Departs block.Time // booked, 0 for none
	Offer            block.Time // when it is to be offered to us, or by us; 0 when that was done
	Late             block.Time // behind its booked time, at least; negative when early
	Told             bool       // the book tells Late; otherwise it is only not heard of
	Where            string     // whereabouts in words, empty when not heard of
	ID               int        // of the train on hand, 0 for none
	from, out        int        // sections, -1 for none
	inBegun          bool       // it was offered to us
}

// Time is when the train is booked here first.
func (p *Prospect) Time() block.Time { return cmp.Or(p.Arrives, p.Departs) }

// InHand is how long a line of a section can be given up, to a shunt or to a
// technician, before the next booked train must be offered on it.
type InHand struct {
	Line  int        // index into State.Lines
	Free  block.Time // when it is clear: now, or when what is on it should be out; 0 when nothing tells
	Until block.Time // when Train must be offered, 0 when none is booked within inHandAhead
	Train string
	Basis string // what Until rests on, in words
}

// Hand is the time in hand: zero when there is none.
func (h *InHand) Hand() block.Time {
	if h.Free == 0 || h.Until == 0 {
		return 0
	}
	return max(0, h.Until-h.Free)
}

const (
	inHandAhead  = 6 * 60 * block.Minute // how far ahead the timetable is looked at
	givenUp      = 2 * 60 * block.Minute // a booked train not heard of for so long is left out
	dayAround    = 12 * 60 * block.Minute
	offeredAgain = 30 * block.Minute // how long a train that was cancelled is thought to be offered again; a guess
	leadGuess    = 3 * block.Minute  // is line clear to train entering section; common practice
)

// Outlook puts the timetable beside the book at a moment. Without a timetable
// there are no trains in it, and every line has no end of time in hand.
func (b *Book) Outlook(table []Booked, runs *Runs, now block.Time) Outlook {
	o := Outlook{At: now}
	last, cancelled := b.lastMentions(runs)
	for _, day := range []int{-1, 0, 1} {
		date := Day{Date: b.DayOf(now).Add(day), Zone: b.Location()}
		for i := range table {
			p := Prospect{Booked: table[i], Arrives: date.BookedAt(table[i].Arrive), Departs: date.BookedAt(table[i].Depart),
				from: b.Box().SectionIndex(table[i].From), out: b.Box().SectionIndex(table[i].To)}
			if p.Time() > now+inHandAhead || p.Time() < now-dayAround {
				continue
			}
			if b.outlook(&p, runs, last, now) {
				o.Trains = append(o.Trains, p)
			} else if p.To == "" && p.ID != 0 {
				o.ends = append(o.ends, p.Train)
			} else if p.ID == 0 && now-cancelled[p.Train] < offeredAgain {
				o.Cancelled = append(o.Cancelled, p)
			}
		}
	}
	slices.SortStableFunc(o.Trains, func(p, q Prospect) int { return cmp.Compare(p.Time(), q.Time()) })
	o.Hand = each.Of(b.Box().Lines(), func(l block.BoxLine) InHand { return b.inHand(l, &o, runs) })
	return o
}

// Expected are the trains of the next two hours, for the handover sheet.
func (o *Outlook) Expected() []ExpectedTrain {
	var out []ExpectedTrain
	for i := range o.Trains {
		p := &o.Trains[i]
		if p.Time() > o.At+120*block.Minute {
			continue
		}
		text := p.Train + " " + p.Route()
		if w := p.LateWords(); w != "" {
			text += ", " + w
		}
		if p.Where != "" {
			text += ", " + p.Where
		}
		out = append(out, ExpectedTrain{Time: p.Time(), Text: text})
	}
	return out
}

// Route says where the train comes from and goes to.
func (p *Prospect) Route() string {
	switch {
	case p.From == "":
		return "starts here for " + p.To
	case p.To == "":
		return "from " + p.From + ", ends here"
	}
	return "from " + p.From + " for " + p.To
}

// LateWords is the late running in minutes, in words; empty when there is none
// to tell.
func (p *Prospect) LateWords() string {
	n := int(p.Late / block.Minute)
	switch {
	case n >= 1 && p.Told:
		return fmt.Sprintf("%d late", n)
	case n >= 1:
		return fmt.Sprintf("not heard of, %d late", n)
	case n <= -1 && p.Told:
		return fmt.Sprintf("%d early", -n)
	case p.Told:
		return "on time"
	}
	return ""
}

// lastMentions tells when each train was last written about, and when it was cancelled if
// that was then.
func (b *Book) lastMentions(runs *Runs) (last, cancelled map[string]block.Time) {
	last, cancelled = make(map[string]block.Time, len(runs.mentioned)+len(b.recent)), map[string]block.Time{}
	maps.Copy(last, runs.mentioned)
	with := map[string]string{} // the train that a neighbour's bells were last about
	for i := range b.recent {
		e := &b.recent[i].Event
		name := e.Train
		if e.Kind == block.Bells {
			name = cmp.Or(name, with[e.Section])
			with[e.Section] = name
		}
		switch {
		case name == "":
		case e.Kind == block.Bells && len(e.Bells) > 0 && b.means(e.Section, e.Bells[len(e.Bells)-1].Code, rulebook.Cancelling):
			last[name], cancelled[name] = e.At, e.At
		case e.Train != "":
			last[name], cancelled[name] = e.At, 0
		}
	}
	return last, cancelled
}

// outlook fills in what the book tells of a booked train, and says whether it
// is still to come or to leave.
func (b *Book) outlook(p *Prospect, runs *Runs, last map[string]block.Time, now block.Time) bool {
	t := b.state.TrainNamed(p.Train)
	if t != nil && abs(t.OpenedAt-p.Time()) > dayAround {
		t = nil
	}
	if t == nil {
		if at := last[p.Train]; at != 0 && abs(at-p.Time()) < dayAround {
			return false // it has been
		}
		p.Offer = p.Departs - runs.Lead(p.out, block.Outward).Time
		if p.from >= 0 {
			p.Offer = p.Arrives - runs.Through(p.from, block.Inward, b.classOf(p)).Time - runs.Lead(p.from, block.Inward).Time
		}
		p.Late = max(0, now-p.Offer)
		return p.Late < givenUp
	}
	p.ID, p.Where, p.inBegun = t.ID, block.Whereabouts(b.Box(), t), true
	switch {
	case t.Out.Entered != 0 || t.Out.OutOf != 0:
		return false
	case t.In.Arrived != 0 || t.Where == block.Here || t.Where == block.PassedHere:
		return b.standing(p, t, runs, now)
	case t.In.Entered != 0:
		due := max(now, t.In.Entered+runs.Through(p.from, block.Inward, t.Class).Time)
		p.Late, p.Told = due-p.Arrives, p.Arrives != 0
	default:
		due := now + runs.Through(p.from, block.Inward, t.Class).Time
		p.Late, p.Told = max(0, due-p.Arrives), due > p.Arrives
	}
	if p.out >= 0 && t.Out.Offered == 0 {
		p.Offer = max(p.Departs+max(0, p.Late), now) - runs.Lead(p.out, block.Outward).Time
	}
	return true
}

// standing is the outlook of a train that is here: it still has to leave.
func (b *Book) standing(p *Prospect, t *block.Train, runs *Runs, now block.Time) bool {
	if t.In.Arrived != 0 && p.Arrives != 0 {
		p.Late, p.Told = t.In.Arrived-p.Arrives, true
	}
	if p.out < 0 {
		return false // it ends here and is here
	}
	if now-p.Departs > p.Late {
		p.Late, p.Told = now-p.Departs, true
	}
	if t.Out.Offered == 0 {
		p.Offer = max(p.Departs, now) - runs.Lead(p.out, block.Outward).Time
	}
	return true
}

func abs(t block.Time) block.Time { return max(t, -t) }

// classOf is the class of a booked train by its beats.
func (b *Book) classOf(p *Prospect) rulebook.Class {
	i := p.from
	if i < 0 {
		i = p.out
	}
	if r := b.codeRow(i, func(r *rulebook.CodeRow) bool { return r.Code == p.Code && r.Means == rulebook.Offer }); r != nil {
		return r.Class
	}
	return rulebook.Passenger
}

// inHand works out the time in hand of a line.
func (b *Book) inHand(l block.BoxLine, o *Outlook, runs *Runs) InHand {
	h := InHand{Line: l.Index, Free: b.freeAt(l, runs, o.At)}
	for i := range o.Trains {
		p := &o.Trains[i]
		until, basis := block.Time(0), ""
		if p.from == l.Section && l.Line.Way != block.Out && !p.inBegun {
			through := runs.Through(l.Section, block.Inward, b.classOf(p))
			until, basis = p.Offer, through.words("running time")
		}
		if p.out == l.Section && l.Line.Way != block.In {
			lead := runs.Lead(l.Section, block.Outward)
			at := max(p.Departs+max(0, p.Late), p.Departs) - lead.Time
			if t := b.state.Train(p.ID); (t == nil || t.Out.Offered == 0) && (until == 0 || at < until) {
				until, basis = at, lead.words("offer to entering")
			}
		}
		if until != 0 && (h.Until == 0 || until < h.Until) {
			h.Until, h.Train, h.Basis = until, p.Train, basis
		}
	}
	return h
}

// freeAt is when a line is clear: at the moment itself when nothing is on it,
// when the trains on it should be out, or 0 when nothing tells.
func (b *Book) freeAt(l block.BoxLine, runs *Runs, now block.Time) block.Time {
	free := now
	on := b.state.On(l.Index)
	ls := b.state.Lines[l.Index]
	if ls.Phase != block.Normal && len(on) == 0 {
		t := b.state.Train(ls.Train)
		if t == nil || ls.Phase != block.Accepted && ls.Phase != block.RestrictedLC {
			return 0
		}
		return now + runs.Lead(l.Section, ls.Dir).Time + runs.Through(l.Section, ls.Dir, t.Class).Time
	}
	for _, t := range on {
		dir, leg := block.Inward, &t.In
		if t.Out.Line == l.Index && t.Out.Entered != 0 {
			dir, leg = block.Outward, &t.Out
		}
		free = max(free, leg.Entered+runs.Through(l.Section, dir, t.Class).Time)
	}
	if slices.ContainsFunc(b.state.Blockages, func(k block.LineBlockage) bool { return k.Over(l.Line.Name, l.Section) }) {
		return 0
	}
	return free
}

// ExpectedTrains are the trains of the timetable for the handover sheet. Where
// there is no timetable, or fault says why it cannot be used, the sheet says so:
// none expected would be another thing than none known.
func (r *Reader) ExpectedTrains(o *Outlook, fault error) []ExpectedTrain {
	var list []ExpectedTrain
	if why := r.Unbooked(fault); why != "" {
		list = append(list, ExpectedTrain{Text: why})
	}
	if fault == nil && r.File().Timetable == "" {
		return list
	}
	return append(list, o.Expected()...)
}

// Unbooked says why the trains of the timetable are not known, a fault of it or that there
// is none; "" where they are.
func (r *Reader) Unbooked(fault error) string {
	switch {
	case fault != nil:
		return "not known: " + fault.Error()
	case r.File().Timetable == "":
		return "not known: " + BoxFileName + " names no timetable"
	}
	return ""
}
