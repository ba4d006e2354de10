package block

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// Handing over the turn, and what is still to be explained.

// maxOpen is how many unexplained findings a state carries; older ones are in
// the book and in the audit.
const maxOpen = 100

// takeOver notes, when a relief signs on at a box that was being worked, the
// things he must be told of. Source: TS1 1.3 as in signaller study cards.
func (st *step) takeOver() {
	begins, mentioned := st.s.First == st.e.At && len(st.s.Trains) == 0 || st.s.DutyTurns == 0, st.s.Mentioned
	st.s.DutyTurns++
	if st.s.Mentioned = nil; begins {
		return
	}
	st.s.Uncarried = nil
	live := Live(st.b, st.s)
	names := make([]string, len(live))
	for i := range live {
		names[i] = live[i].Name
	}
	for _, it := range live {
		if it.Owed && !slices.ContainsFunc(mentioned, func(m string) bool { return covered(live, m, it.Name, names) }) {
			st.s.Uncarried = append(st.s.Uncarried, it.Name)
		}
	}
	for _, m := range mentioned {
		if m[0] != ' ' && !slices.ContainsFunc(live, func(i LiveItem) bool { return !i.gone && mentions(m, i.Name, names) }) {
			st.carriedUnknown()
		}
	}
	if len(st.s.Uncarried) > 0 {
		st.owe(rulebook.HandoverIncomplete, Pending{Section: -1})
	}
}

// carried strikes off what an entry of the relief takes over.
func (st *step) carried() {
	text := st.e.Subject + " " + st.e.Text
	mentioned := append(slices.Clone(st.s.Mentioned), text)
	st.s.Mentioned = mentioned[max(0, len(mentioned)-50):]
	if len(st.s.Uncarried) == 0 {
		return
	}
	n, all, live := len(st.s.Uncarried), st.s.Uncarried, Live(st.b, st.s)
	st.s.Uncarried = slices.DeleteFunc(slices.Clone(all), func(name string) bool { return covered(live, text, name, all) })
	if len(st.s.Uncarried) == n && st.e.Subject != "" {
		st.carriedUnknown()
	}
	if len(st.s.Uncarried) == 0 {
		st.bringOnLine(rulebook.HandoverIncomplete, 0)
	}
}

// uncarriedWords are the things not handed over: what is known by the name of a line, of gear or of
// another party alone is told with what it is.
func (st *step) uncarriedWords() []string {
	list, live := slices.Clone(st.s.Uncarried), Live(st.b, st.s)
	for i, name := range list {
		switch it := first(live, func(it *LiveItem) bool { return it.Name == name }); {
		case it == nil:
		case it.rank == told:
			list[i] = "a message not answered (" + name + ")"
		case it.rank == stopsTrains, it.rank == shut, it.rank == outOfUse:
			list[i] = it.Text
		}
	}
	return list
}

// Still says whether an item named name at a handover is live.
func Still(live []LiveItem, name string) bool {
	return slices.ContainsFunc(live, func(i LiveItem) bool {
		return i.Name == name || strings.HasPrefix(name, i.Name+", ") || strings.HasPrefix(i.Name, name+", ")
	})
}

// LiveItem is one thing a relief must know.
type LiveItem struct {
	Name string // how an entry refers to it: a train's name, "token 7", a lever; no two have the same
	Text string // in a sentence
	Seq  int64  // entry it rests on
	Tick bool   // to be ticked on the sheet
	Owed bool   // what is not ticked is found

	gone  bool    // a train that may have left, when one did that no entry named, or that no entry saw here
	apart string  // tells it from another of that name
	with  string  // the name of what it is told with: the train that has a token, the box for gear of it that is worked by message for it
	rank  urgency // how near to danger it is
}

// urgency is how near to danger a live item is: the sheet begins with the nearest.
type urgency uint8

const (
	stopsTrains urgency = iota // something is on the line
	inDoubt                    // nobody can say where a train or its rear is
	shut                       // a line is given up or blocked, a crossing is not as it was
	running                    // trains
	authority                  // tokens and tickets out
	outOfUse                   // gear
	told                       // messages
	reminded
)

// Live lists what is live at the box, the nearest to danger first: obstructions,
// trains signalled or standing on the running lines, acceptances, blocks, tokens
// and tickets out, gear out of use, messages that are not answered, reminders. It
// is what a handover carries.
func Live(b *Box, s *State) []LiveItem {
	l := &liveList{b: b, s: s}
	l.sections()
	l.lines()
	l.things()
	for _, m := range s.Messages {
		words := "message with " + m.With + " awaits an answer: "
		if !m.Asks() {
			words = "message from " + m.With + ", binding until one answers it: "
		}
		l.out = append(l.out, LiveItem{Name: m.With, Text: words + m.Text, Seq: m.Seq, Tick: m.Asks(), Owed: m.Asks(), apart: "entry " + strconv.FormatInt(m.Seq, 10), rank: told})
	}
	slices.SortStableFunc(l.out, func(x, y LiveItem) int { return cmp.Compare(x.rank, y.rank) })
	return toldApart(l.out)
}

// liveList is what Live has found so far.
type liveList struct {
	b   *Box
	s   *State
	out []LiveItem
}

// add takes an item that has its tick on the sheet, and is found without one.
func (l *liveList) add(rank urgency, name, apart, text string, seq int64) {
	l.out = append(l.out, LiveItem{Name: name, Text: text, Seq: seq, Tick: true, Owed: true, apart: apart, rank: rank})
}

// sections adds trains, tokens, tickets and doubts.
func (l *liveList) sections() {
	b, s := l.b, l.s
	for _, t := range s.Trains {
		if !b.longGone(t, s.Now) {
			l.out = append(l.out, liveTrain(b, s, t))
		}
	}
	for i := range b.Sections {
		who := b.Sections[i].Neighbour
		if far := s.Circuits[i].Beyond; far != "" {
			l.add(shut, who, "switched out", who+" is switched out: worked with "+far, 0)
		}
		if how := s.Single(i); how != "" {
			l.add(shut, who, "single line working", how+", to "+who, 0)
		}
		if how := s.Circuits[i].Unbelled(); how != "" { // the relief must know before he reaches for a bell
			l.out = append(l.out, LiveItem{Name: who, Text: who + ": " + how, Seq: s.Circuits[i].Begun, Tick: true, apart: "by message", rank: shut})
		}
		if n := s.Tokens[i].Out; n != 0 {
			l.add(authority, "token "+strconv.Itoa(n), who, "token "+strconv.Itoa(n)+" of the section to "+who+" is out", s.Tokens[i].Seq)
			if t := s.Train(s.Tokens[i].Train); t != nil {
				l.out[len(l.out)-1].with = t.Name
			}
		}
		for _, k := range s.Staffs[i].Tickets {
			name, text := "ticket "+strconv.Itoa(k.Number), ""
			if t := s.Train(k.Train); t != nil {
				text = ", to " + t.Label(b)
			}
			l.out = append(l.out, LiveItem{Name: name, Text: name + " of the section to " + who + " is issued" + text, Seq: k.Seq, Tick: true, apart: who, rank: authority})
		}
	}
	for i := range s.Doubts {
		d := &s.Doubts[i]
		if d.Step == StepOut && d.Train == 0 && d.Seq == 0 { // gone on, and nothing else is on the line
			l.out = append(l.out, LiveItem{Name: d.Name, Text: "train out of section for " + d.Name + " is not booked, to " + b.Sections[b.lines[d.Line].section].Neighbour, rank: shut})
		}
		if d.Step != StepNone && d.Seq != 0 {
			l.out = append(l.out, LiveItem{Name: d.Name, Text: d.Words(b), Seq: d.Seq, rank: inDoubt})
		}
	}
}

// lines adds what a line is closed by.
func (l *liveList) lines() {
	b, s := l.b, l.s
	for i, r := range b.lines {
		rank := shut
		switch p := s.Lines[i].Phase; p {
		case Obstructed:
			rank = stopsTrains
			fallthrough
		case BlockedInside, BlockedOutside, Shunting, ShuntReleased:
			sec, of := &b.Sections[r.section], s.Lines[i].Shunts
			l.add(rank, sec.Lines[r.line].Name, sec.Neighbour, sec.Lines[r.line].Name+", "+sec.Neighbour+": "+p.String()+So(of != "", ", "+of), s.Lines[i].Seq)
		}
	}
	for _, k := range s.Blockages {
		name := k.Line
		if k.Key {
			name = b.Sections[k.Section].Neighbour
		}
		l.add(shut, name, "blockage", "line blockage, "+name+": "+k.Words(), k.Seq)
	}
	for _, o := range s.Obstructions {
		l.add(stopsTrains, o.Line, "obstruction", "obstruction, "+o.Line+": "+o.Text, o.Seq)
	}
}

// things adds reminders, crossings, gear and what is to be told.
func (l *liveList) things() {
	b, s := l.b, l.s
	for _, r := range s.Reminders {
		for _, why := range r.Reasons {
			l.add(reminded, r.On, why.Text, "reminder on "+r.On+": "+why.Text, why.Seq)
		}
	}
	for i := range b.Crossings {
		if words := s.Stands(b, i, s.Now); words != "" {
			l.add(shut, b.Crossings[i].Name, "crossing", b.Crossings[i].Name+": "+words, s.Crossings[i].lastSeq())
		}
	}
	for i := range s.ToExamine {
		e := &s.ToExamine[i]
		who := b.Sections[e.Section].Neighbour
		l.add(shut, cmp.Or(e.Line, who), "examination", "to be examined, "+cmp.Or(e.Line, "line")+" to "+who+": "+e.Text, e.Seq)
	}
	for i := range s.ToHear {
		l.add(told, s.ToHear[i].Train, "message", s.ToHear[i].Words(), s.ToHear[i].Seq)
	}
	for _, o := range s.Laid {
		l.add(outOfUse, o.Name, o.Words, o.Name+": "+o.Words, o.Seq)
	}
	for _, g := range s.Gear {
		l.add(outOfUse, g.Name, "gear", g.Name+": "+g.Words(), g.Seq)
		box, _, _ := strings.Cut(g.Name, " ")
		if i := b.SectionIndex(box); i >= 0 && s.Circuits[i].unbelled() {
			l.out[len(l.out)-1].with = box + " "
		}
	}
	l.signatures()
	for _, c := range s.Counters {
		l.out = append(l.out, LiveItem{Name: c.Gear, Text: "counter of " + c.Gear + " shows " + strconv.Itoa(c.Shows), Seq: c.Seq,
			Tick: b.Rules.CountersHandedOver, Owed: b.Rules.CountersHandedOver, apart: "counter", rank: reminded})
	}
}

// signatures are those that another hand still owes: told, not ticked, since the entry
// itself says who wrote what and the relief signs it under its own number.
func (l *liveList) signatures() {
	owed := func(seq int64, what, by string) {
		n := strconv.FormatInt(seq, 10)
		l.out = append(l.out, LiveItem{Name: "entry " + n, Text: "entry " + n + ", " + what + ", to be countersigned by another hand than " + cmp.Or(by, "the writer's"), Seq: seq, rank: told})
	}
	for _, g := range l.s.Gear {
		if g.Disconnected && len(g.Signed) == 0 {
			owed(g.Seq, "disconnection of "+g.Name, g.By)
		}
	}
	for _, u := range l.s.Unsigned {
		if slices.Contains(l.b.Second, u.What) {
			owed(u.Seq, map[string]string{Seconds[0]: "transfer of a token", Seconds[1]: "correction"}[u.What], u.By)
		}
	}
}

// toldApart gives items of one name what tells them from each other.
func toldApart(list []LiveItem) []LiveItem {
	met := map[string]int{}
	for _, i := range list {
		met[i.Name]++
	}
	for i := range list {
		if x := &list[i]; met[x.Name] > 1 && x.Name != "" && x.apart != "" {
			x.Name += ", " + x.apart
		}
	}
	return list
}

// liveTrain is a train on hand as a relief is told of it. One that stands clear in
// a siding is told, not ticked.
func liveTrain(b *Box, s *State, t *Train) LiveItem {
	p := b.PlaceNamed(t.Place)
	o := &t.Out
	unseen := t.In.Section < 0 && t.PlaceSeq == 0 && (!o.open() || o.standing() == 0 && s.Lines[o.Line].Train != t.ID) // never booked here, and at most offered
	rests := t.Where == Here && p != nil && p.Siding && !t.In.open() && !o.open() || unseen ||
		t.Name == "" && t.In.Section < 0 && t.Out.Entered == 0 // signalled for a train that may be told by its name
	gone := unseen || t.Where == Here && !t.In.open() && (!o.open() || o.Assumed) && s.Went != 0 && t.PlaceAt < s.Went // perhaps: a train left that nobody named
	out := LiveItem{Name: t.Label(b), Text: t.Label(b) + ": " + Whereabouts(b, t), Seq: t.Opened, Tick: !rests, Owed: !rests && !gone, gone: gone, rank: running}
	if t.Where == Unaccounted {
		out.rank = inDoubt
	}
	if o := s.Train(t.Helps); o != nil {
		out.Text += ", assisting " + o.Label(b) + So(t.Back, ", to come back")
	}
	out.Text += So(t.Unfit, ", EXAMINED AND NOT FIT") + So(t.Stopped && !t.Unfit, ", stopped to be examined")
	if t.Proof == NoTailLamp {
		out.Text += ", WITHOUT TAIL LAMP, not found complete"
		out.rank = inDoubt
	}
	if i := t.In.Section; i >= 0 && s.Unnumbered(b, i) == t {
		out.Text += ", A TOKEN " + cmp.Or(So(t.In.Entered == 0, "RELEASED"), "OUT") + ", its number not told here"
	}
	return out
}

// Barred says why a line is not what its phase makes it: obstructed or blocked by
// what the book tells, not in use beside one worked as a single line, or in doubt.
// Nothing for a line that is none of this.
func Barred(b *Box, s *State, l BoxLine) []string {
	obstructed := first(s.Obstructions, func(o *Obstruction) bool {
		return o.Line == l.Line.Name && (o.Section == l.Section || o.Section < 0)
	}) != nil
	blocked := first(s.Blockages, func(k *LineBlockage) bool { return k.Over(l.Line.Name, l.Section) }) != nil
	return WordsOf(So(obstructed, "obstructed"), So(blocked, "blocked"), So(s.Shut(b, l), "not in use"), So(s.InDoubt(l.Index) != nil, "in doubt"))
}

// So is a word for what something is, and "" where it is not so.
func So(is bool, word string) string {
	if is {
		return word
	}
	return ""
}

// WordsOf are the words that there are.
func WordsOf(words ...string) []string {
	return slices.DeleteFunc(words, func(w string) bool { return w == "" })
}

// Ways says in what ways gear is out of use.
func (g *GearState) Ways() string {
	return strings.Join(WordsOf(So(g.Failed, "failed"), So(g.Disconnected, "disconnected"), So(g.Clamped, "clamped"), So(g.Released, "released")), ", ")
}

// Words says so with what is told of it.
func (g *GearState) Words() string {
	return g.Ways() + So(g.Text != "", " ("+g.Text+")")
}

// Whereabouts says where a train is, in words.
func Whereabouts(b *Box, t *Train) string {
	name := func(i int) string {
		if i < 0 {
			return ""
		}
		return b.Sections[i].Neighbour
	}
	switch t.Where {
	case Unplaced:
		return "named in the book, not signalled"
	case OfferedHere, AcceptedHere, Approaching:
		return map[Where]string{OfferedHere: "offered by ", AcceptedHere: "accepted from ", Approaching: "in section from "}[t.Where] + name(t.In.Section)
	case Away:
		return "in section to " + name(t.Out.Section) + So(t.In.inSection(), ", not yet out of section from "+name(t.In.Section))
	case Here:
		at := cmp.Or(So(t.Place != "", "at "+t.Place), "here")
		if t.Returned && t.Out.inSection() {
			return at + ", back from " + name(t.Out.Section) + ", not yet out of section"
		}
		return at + So(t.Out.open() && t.Out.Accepted != 0, ", accepted by "+name(t.Out.Section)) + So(t.In.inSection(), ", not yet out of section")
	}
	return t.Where.String()
}
