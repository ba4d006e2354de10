package register

import (
	"cmp"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
)

// startsSoon is how long before it is to be offered a train that starts here is
// proposed.
const startsSoon = 5 * block.Minute

// Propose lets the timetable speak to what is expected next: a neighbour's offer
// gets the name and the beats of the train booked next from there, a train that
// starts here is proposed to be offered, and an arrival gets the booked place.
// The warning signals that a train without tail lamp makes due are proposed before
// everything else but obstruction danger. Whatever would be found fault with is left as it was.
// Of the ways on of a train that is not booked, the days' entries, the latest day first, tell
// which comes before the others.
func (b *Book) Propose(next []block.Expectation, o *Outlook, days ...[]Entry) []block.Expectation {
	next = slices.Clone(next)
	put := func(x block.Expectation, ok bool) {
		if ok {
			next = append(next, x)
		}
	}
	for i := range b.state.Pending {
		put(b.proposeWarning(&b.state.Pending[i], o.At))
	}
	for i := range b.state.Obstructions {
		put(b.proposeDanger(&b.state.Obstructions[i]))
	}
	for i := range next {
		x := &next[i]
		if x.Act == block.ActOffer && x.Mine {
			b.proposeCode(x, o)
		}
		switch {
		case x.Act == block.ActOffer && !x.Mine && x.AskTrain:
			b.proposeOffer(x, o)
		case x.Act == block.ActOffer && x.Mine && o.stays(x.Event.Train):
			x.Wanted += mayEnd // put away before that
		case x.Act == block.ActOffer && x.Mine && b.elsewhere(&x.Event, o, days):
			x.Wanted += startsSoon // after the way that is booked, or shown
		case x.Event.Kind == block.TrainArrived:
			b.proposePlace(x, o)
		case x.Mine && (x.Act == block.ActEnter || x.Event.Kind == block.TrainDeparted):
			x.Wanted = max(x.Wanted, o.leaves(x.Event.Train)) // what it came with is first put in and belled
		case x.Event.Kind == block.TrainPassed && o.stops(x.Event.Train):
			x.Wanted += 2 // after the arrival that is booked
		}
	}
	for i := range o.Trains {
		if p := &o.Trains[i]; p.From == "" && p.ID == 0 && p.Offer-o.At <= startsSoon {
			put(b.proposeStart(p, o.At))
		}
	}
	for _, t := range b.state.Trains {
		put(b.proposeEnd(t, o))
	}
	slices.SortStableFunc(next, func(a, c block.Expectation) int { return cmp.Compare(a.Wanted, c.Wanted) })
	return next
}

// When a train that stands here is wanted put away: beyond what Enter writes, since it may
// stand for long, and after the neighbours' next offers, which are the regular next thing; one
// on a running line that is not booked to end here after all. Guesses, as those of package block.
const (
	endsHere = 31 * block.Minute
	mayEnd   = 90 * block.Minute
)

// proposeEnd is the entry with which a train that stands here, done with the section it came
// by and not signalled on, leaves the book. On a running line it is asked about: what is put
// away stands in nobody's way any more.
func (b *Book) proposeEnd(t *block.Train, o *Outlook) (x block.Expectation, ok bool) {
	comes, goes := &t.In, &t.Out
	if t.Where != block.Here || t.Name == "" || t.Helps != 0 || o.goesOn(t.Name) || t.Proof == block.NoTailLamp || comes.Section >= 0 && comes.OutOf == 0 || goes.Section >= 0 && goes.OutOf == 0 && goes.Cancelled == 0 {
		return x, false
	}
	x = block.Expectation{Event: block.Event{Kind: block.TrainPutAway, Train: t.Name}, Mine: true, Wanted: o.At + mayEnd, Label: t.Name + " put away, to go no further"}
	if o.stays(t.Name) {
		x.Wanted, x.Label = o.At+endsHere, t.Name+" put away, it ends here"
	}
	if p := b.Box().PlaceNamed(t.Place); p != nil && p.Siding {
		x.Wanted, x.Label = o.At+endsHere, t.Name+" put away, "+t.Place
	} else {
		x.Clears = strings.TrimSuffix(t.Name+" stands here at "+t.Place, " at ") + ", and is followed no further. Is the whole of it clear of the running lines?"
	}
	return x, b.sound(x.Event, o.At)
}

// goesOn says whether a train is booked to leave here.
func (o *Outlook) goesOn(train string) bool {
	p := o.booked(train)
	return p != nil && p.To != ""
}

// leaves is when a train that stands here is booked to depart; 0 when it is not.
func (o *Outlook) leaves(train string) block.Time {
	if p := o.booked(train); p != nil && p.Arrives != p.Departs {
		return p.Departs
	}
	return 0
}

// stays says whether a train is booked to end here, or was when it came.
func (o *Outlook) stays(train string) bool {
	p := o.booked(train)
	return p != nil && p.To == "" || slices.Contains(o.ends, train)
}

// proposeWarning is the bell signal that reports a train without tail lamp.
func (b *Book) proposeWarning(p *block.Pending, now block.Time) (x block.Expectation, ok bool) {
	if p.Rule != rulebook.TailLampNotReported || p.Section < 0 || b.Box().Booking != block.BookExchanges {
		return x, false
	}
	means, where := rulebook.NoTailLampRear, "in rear"
	x.Act, x.Mine, x.Wanted = block.NoAct, true, 1 // before everything else but danger
	if p.Ahead {
		means, where, x.Wanted = rulebook.NoTailLampAhead, "in advance", 0
	}
	row := b.codeRow(p.Section, func(r *rulebook.CodeRow) bool { return r.Means == means })
	if row == nil {
		return x, false
	}
	bells := []block.Bell{{Sent: true, Code: row.Code}, {Code: row.Code}}
	if !row.NoAttention {
		bells = append([]block.Bell{{Sent: true, Code: "1"}, {Code: "1"}}, bells...)
	}
	x.Event = block.Event{Kind: block.Bells, Section: b.Box().Sections[p.Section].Neighbour, Bells: bells}
	who := ""
	if t := b.state.Train(p.Train); t != nil {
		x.Event.Train, who = t.Name, t.Label(b.Box())+" "
	}
	x.Label = who + "without tail lamp: " + string(row.Code) + " to " + x.Event.Section + ", " + where
	return x, b.sound(x.Event, now)
}

// proposeDanger is the bell signal that stops trains towards something on the line,
// as long as the line it is on has not been closed by one. It goes before all.
func (b *Book) proposeDanger(o *block.Obstruction) (x block.Expectation, ok bool) {
	box := b.Box()
	if o.Section < 0 || box.Booking != block.BookExchanges {
		return x, false
	}
	for _, l := range box.Lines() {
		if l.Section != o.Section || l.Line.Way == block.Out || l.Line.Name != o.Line {
			continue
		}
		switch b.state.Lines[l.Index].Phase {
		case block.Obstructed, block.BlockedInside, block.BlockedOutside:
			return x, false
		}
		row := b.codeRow(o.Section, func(r *rulebook.CodeRow) bool { return r.Means == rulebook.ObstructionDanger })
		if row == nil {
			return x, false
		}
		who := box.Sections[o.Section].Neighbour
		x.Event = block.Event{Kind: block.Bells, Section: who, Bells: []block.Bell{{Sent: true, Code: row.Code}}} // what he answers comes after it
		x.Label = "OBSTRUCTION DANGER: " + string(row.Code) + " to " + who + ", " + o.Line
		x.Act, x.Mine, x.Wanted = block.ActDanger, true, -1
		return x, true // also when it is late: then most of all
	}
	return x, false
}

// proposeOffer gives a neighbour's offer the train booked next from there.
func (b *Book) proposeOffer(x *block.Expectation, o *Outlook) {
	list := o.Trains
	if !o.due(x.Event.Section) {
		list = slices.Concat(o.Cancelled, list)
	}
	for i := range list {
		p := &list[i]
		if p.From != x.Event.Section || p.ID != 0 {
			continue
		}
		try := *x
		try.Event.Train = p.Train
		if n := len(x.Event.Bells); p.Code != "" && n > 0 && !x.Event.Bells[n-1].Code.Spoken() && b.offers(x.Event.Section, p.Code) {
			old := x.Event.Bells[n-1].Code
			try.Event.Bells = Recoded(x.Event.Bells, p.Code)
			try.Label = block.OfferWords(x.Event.Section, p.Code, strings.HasPrefix(x.Label, block.OfferWords(x.Event.Section, old, true))) + block.LineWords(&x.Event)
		}
		try.Wanted = max(p.Offer, o.At)
		if b.sound(try.Event, o.At) {
			try.Label += ", " + p.Train + " next"
			*x = try
		}
		return
	}
}

// Recoded are bells with other beats for the last signal, and for its acknowledgement.
func Recoded(bells []block.Bell, code rulebook.Code) []block.Bell {
	if len(bells) == 0 {
		return bells
	}
	bells = slices.Clone(bells)
	old := bells[len(bells)-1].Code
	for i := range bells {
		if bells[i].Code == old {
			bells[i].Code = code
		}
	}
	return bells
}

// proposeCode gives a train of which no beats were heard those that it is booked with, else
// those of the class that its number names, where the code book has classes by number: not the
// first of the book.
func (b *Book) proposeCode(x *block.Expectation, o *Outlook) {
	t, n := b.state.TrainNamed(x.Event.Train), len(x.Event.Bells)
	if t == nil || t.Code != "" && !t.Code.Spoken() || n == 0 || x.Event.Bells[n-1].Code.Spoken() {
		return
	}
	var code rulebook.Code
	if p := o.booked(t.Name); p != nil {
		code = p.Code
	}
	if name := t.Name; code == "" && len(name) == 4 && strings.Trim(name[:1]+name[2:], "0123456789") == "" && strings.Trim(name[1:2], "0123456789") != "" {
		if row := b.codeRow(b.Box().SectionIndex(x.Event.Section), func(r *rulebook.CodeRow) bool {
			return r.Means == rulebook.Offer && strings.Contains(r.Words+")", "class "+name[:1]+")")
		}); row != nil {
			code = row.Code
		}
	}
	if old := x.Event.Bells[n-1].Code; code != "" && code != old && b.offers(x.Event.Section, code) {
		try := *x
		try.Event.Bells = Recoded(x.Event.Bells, code)
		try.Label = strings.Replace(x.Label, "("+string(old)+")", "("+string(code)+")", 1)
		if b.sound(try.Event, o.At) {
			*x = try
		}
	}
}

// due says whether a train from a neighbour that was not offered yet is to be offered now.
func (o *Outlook) due(from string) bool {
	return slices.ContainsFunc(o.Trains, func(p Prospect) bool { return p.From == from && p.ID == 0 && p.Offer <= o.At })
}

// booked is the train of a name that is still to come or to leave; nil for none.
func (o *Outlook) booked(train string) *Prospect {
	return each.First(o.Trains, func(p *Prospect) bool { return p.Train == train })
}

// elsewhere says whether a train goes on to another neighbour: it is booked to, or not booked,
// and the book shows it.
func (b *Book) elsewhere(e *block.Event, o *Outlook, days [][]Entry) bool {
	if p := o.booked(e.Train); p != nil && p.To != "" {
		return p.To != e.Section
	}
	way := b.shownWay(b.state.TrainNamed(e.Train), days)
	return way != "" && way != e.Section
}

// shownWay is the neighbour to which the last train went on that had the name of a train and
// came from where it comes from, else the last of its series, which is the first two letters
// or figures of a name; "" where the days tell of none.
func (b *Book) shownWay(t *block.Train, days [][]Entry) (way string) {
	if t == nil || len(t.Name) < 3 || t.In.Section < 0 {
		return ""
	}
	to := map[string]string{} // where trains went on, as far as the days were read backwards
	for _, day := range days {
		for i := len(day) - 1; i >= 0; i-- {
			e := &day[i].Event
			if e.Kind != block.Bells || !strings.HasPrefix(e.Train, t.Name[:2]) {
				continue
			}
			n := slices.IndexFunc(e.Bells, func(x block.Bell) bool { return x.Code == "offer" || b.offers(e.Section, x.Code) })
			if n < 0 {
				continue
			}
			if e.Bells[n].Sent {
				to[e.Train] = cmp.Or(to[e.Train], e.Section)
				continue
			}
			if went := to[e.Train]; e.Section == b.Box().Sections[t.In.Section].Neighbour && went != "" {
				if e.Train == t.Name {
					return went
				}
				way = cmp.Or(way, went)
			}
			delete(to, e.Train)
		}
	}
	return way
}

// proposePlace gives an arrival the place the timetable books.
func (b *Book) proposePlace(x *block.Expectation, o *Outlook) {
	p := o.booked(x.Event.Train)
	if p == nil || p.Place == "" || p.Place == x.Event.Place {
		return
	}
	try := *x
	try.Event.Place = p.Place
	try.Label = p.Train + " arrived at " + p.Place + " complete"
	if b.sound(try.Event, o.At) { // not where it would be one too many
		*x = try
	} else {
		x.Label += ", booked for " + p.Place
	}
}

// stops says whether a train is booked to stand here.
func (o *Outlook) stops(train string) bool {
	p := o.booked(train)
	return p != nil && (p.To == "" || p.Depart > p.Arrive)
}

// proposeStart offers a train that starts here to its first neighbour.
func (b *Book) proposeStart(p *Prospect, now block.Time) (x block.Expectation, ok bool) {
	byWord := b.byWord(p.To)
	if !byWord && (p.Code == "" || b.Box().Booking != block.BookExchanges || !b.offers(p.To, p.Code)) {
		return x, false
	}
	bells := []block.Bell{{Sent: true, Code: "1"}, {Code: "1"}, {Sent: true, Code: p.Code}, {Code: p.Code}}
	x = block.Expectation{
		Event: block.Event{Kind: block.Bells, Section: p.To, Train: p.Train, Bells: bells},
		Label: "offer " + p.Train + " (" + string(p.Code) + ") to " + p.To + ", starts here",
		Act:   block.ActOffer, Mine: true, Wanted: max(p.Offer, now),
	}
	if byWord {
		x.Event.Bells = []block.Bell{{Sent: true, Code: "offer"}, {Code: "accept"}}
		x.Label = "offer " + p.Train + " to " + p.To + ", starts here"
	}
	return x, b.sound(x.Event, now)
}

// codeRow is the first row that is meant of a section's code book; nil for none.
func (b *Book) codeRow(section int, is func(*rulebook.CodeRow) bool) *rulebook.CodeRow {
	if section >= 0 {
		for _, r := range b.Box().CodeBook(section) {
			if is(&r) {
				return &r
			}
		}
	}
	return nil
}

// means says whether beats have a meaning in the code book of a section.
func (b *Book) means(section string, code rulebook.Code, what rulebook.Meaning) bool {
	return b.codeRow(b.Box().SectionIndex(section), func(r *rulebook.CodeRow) bool { return r.Code == code && r.Means == what }) != nil
}

// offers says whether beats describe a train in a section's code book.
func (b *Book) offers(section string, code rulebook.Code) bool {
	return b.means(section, code, rulebook.Offer)
}

// byWord says whether the section to a neighbour is worked by words.
func (b *Book) byWord(section string) bool {
	i := b.Box().SectionIndex(section)
	return i >= 0 && b.Box().ByWord(i)
}

// sound says whether an event would be entered with nothing found against it, but for that
// it is late: what is overdue is wanted most of all.
func (b *Book) sound(ev block.Event, now block.Time) bool {
	s := b.state
	ev.At = max(now, s.Now, s.LastAt)
	ev.Seq = s.LastSeq + 1
	_, found := block.Apply(b.Box(), s, &ev)
	return !slices.ContainsFunc(found, func(f block.Finding) bool {
		late := slices.ContainsFunc(s.Pending, func(p block.Pending) bool { return p.Rule == f.Rule && p.Due < ev.At })
		return f.Seq == ev.Seq && f.Rule != rulebook.TrainNameAssumed && !late
	})
}
