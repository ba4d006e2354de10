package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// What a train's crew is told, tells, or must still hear; trains and lines examined.

// Speaks are the ways in which the crew of a train at a signal makes itself known;
// Results are what an examination of a train finds.
var (
	Speaks  = []string{"signed", "telephone"}
	Results = []string{"fit", "unfit"}
)

// Unheard is a message that must reach a train.
type Unheard struct {
	Train string
	Text  string
	At    Time
	Seq   int64
	Gone  bool // the train went without it
}

// Examination is a line to be examined by the next train.
type Examination struct {
	Section int
	Line    string // "" for every line
	Text    string
	At      Time
	Seq     int64
}

// trainDetained judges the entry about the crew of a train that stands at a signal:
// the line, who it was, his signature, and a reminder. Source: Great Southern
// Railways Rule Book 1933, rule 55.
func (st *step) trainDetained() {
	t := st.named()
	st.hears(t)
	st.stillIn(-1, t.Name)
	if t.Place != "" {
		t.In.Shown = st.e.At // it stands there yet
	}
	var lacks []string
	for _, w := range [...][2]string{{st.e.Line, "the line"}, {st.e.Subject, "who it was"}, {st.e.Which, "his signature, or that he spoke by telephone"}} {
		if w[0] == "" {
			lacks = append(lacks, w[1])
		}
	}
	if len(lacks) > 0 {
		st.note(rulebook.DetainedEntryIncomplete, "", t.Label(st.b), strings.Join(lacks, "; "))
	}
	if !st.reminded(t) {
		st.owe(rulebook.ReminderMissing, Pending{Section: -1, Train: t.ID})
	}
}

// trainExamined takes the result of stopping and examining a train.
func (st *step) trainExamined() {
	t := st.named()
	t.Examine, t.Stopped, t.Unfit = false, false, st.e.Which == Results[1]
}

// unexamined judges a train that goes on after it was stopped to be examined.
func (st *step) unexamined(t *Train) {
	switch {
	case t.Stopped:
		st.note(rulebook.ExaminationNotBooked, "", t.Label(st.b), "what was found when it was examined")
	case t.Unfit:
		st.note(rulebook.UnfitTrainSent, "", t.Label(st.b), "the train put right, examined again and found fit")
	default:
		return
	}
	t = st.touch(t)
	t.Stopped, t.Unfit = false, false
}

// trainToHear notes a message that must reach a train. One that has gone already
// proves nothing by going.
func (st *step) trainToHear() {
	t := st.s.TrainNamed(st.e.Train)
	st.s.ToHear = append(slices.Clone(st.s.ToHear), Unheard{st.e.Train, st.e.Text, st.e.At, st.e.Seq, t != nil && t.Where == Away})
}

// trainHeard takes every message for the train as delivered. One to go at caution, or to
// look out, is a warning.
func (st *step) trainHeard() {
	warns := func(m Unheard) bool { return m.Train == st.e.Train && says(wordsIn(m.Text), saidCaution) }
	if t := st.s.TrainNamed(st.e.Train); t != nil && slices.ContainsFunc(st.s.ToHear, warns) {
		t = st.touch(t)
		t.Warned, t.Untold = true, false
	}
	st.s.ToHear = slices.DeleteFunc(slices.Clone(st.s.ToHear), func(m Unheard) bool { return m.Train == st.e.Train })
}

// unheard raises a message that a train went without, at the entry that proves it.
// With a train that goes no further the message is done with.
func (st *step) unheard() {
	st.s.ToHear = slices.Clone(st.s.ToHear)
	for i := 0; i < len(st.s.ToHear); i++ {
		m := &st.s.ToHear[i]
		if st.e.Kind == TrainRenamed && st.e.Train == m.Train {
			m.Train = st.e.Subject
		}
		t := st.s.latest(m.Train)
		switch {
		case t == nil || m.Gone:
		case t.DepartedAt >= m.At && t.DepartedAt != 0 || t.Out.Entered >= m.At && t.Out.Entered != 0:
			m.Gone = true
			f := st.note(rulebook.MessageNotDelivered, "", m.Train, "the message delivered, and that booked, before the train goes: "+m.Text)
			f.Rests = []int64{m.Seq, st.e.Seq}
		case t.Where == Gone:
			st.s.ToHear = slices.Delete(st.s.ToHear, i, i+1)
			i--
		}
	}
}

// Words says what the message is, and that the train went without it.
func (m *Unheard) Words() string {
	if m.Gone {
		return m.Train + " WENT WITHOUT HEARING: " + m.Text
	}
	return m.Train + " must hear: " + m.Text
}

// trainAuthorised takes a driver's authority past a signal at danger; past the
// section signal it does not stand for line clear. Sources: those of a section
// signal cleared.
func (st *step) trainAuthorised() {
	t := st.named()
	t.Untold = st.e.Text == "" && (t.Untold || !t.Warned)
	t.Warned = true
	for _, g := range st.b.Signals {
		i := st.b.SectionIndex(g.Section)
		if g.Name != st.e.Subject || g.Kind != sectionSignal || i < 0 || !st.b.Sections[i].Method.Is().Offers {
			continue
		}
		c := &st.s.Circuits[i]
		for l, ln := range st.b.linesOf(i) {
			if ln.Way == In || g.Line != "" && ln.Name != g.Line || c.Message || c.Pilot != "" {
				continue
			}
			d := st.begin(l, Outward, true)
			d.train = t
			if !t.accepted(l) && !d.goesWithout() && st.s.Lines[l].Train == 0 && !wrongWayOrAssists.holds(d) && st.s.Lines[l].Phase != Shunting {
				st.noteSaying(rulebook.SignalOffWithoutLineClear, g.Section, t.Label(st.b), "A driver was authorised past the section signal with no line clear in hand",
					"line clear from "+g.Section+" first, or the train that it is to assist").Line = ln.Name
			}
		}
	}
}

// examination opens and ends the examination of a line.
func (st *step) examination(i int) {
	if st.e.Kind == SectionToExamine {
		st.s.ToExamine = append(slices.Clone(st.s.ToExamine), Examination{i, st.e.Line, st.e.Text, st.e.At, st.e.Seq})
		return
	}
	st.s.ToExamine = slices.DeleteFunc(slices.Clone(st.s.ToExamine), func(x Examination) bool {
		return x.Section == i && (st.e.Line == "" || x.Line == "" || x.Line == st.e.Line)
	})
	for _, t := range st.s.Trains {
		if t.LongIn && t.In.Section == i {
			st.touch(t).LongIn = false
		}
	}
}

// toldOfLine: a train sent over a line that is to be examined is stopped and its
// driver told. Source: Railway Clearing House Rule Book, rule 217(c).
var toldOfLine = Guard{
	Name: "the line not to be examined, or the driver told", Rule: rulebook.LineNotExamined, Mine: true,
	Says:     "A train was sent over a line that is to be examined, and its driver was not told",
	Expected: "the train stopped and its driver told to go at caution, look and report, and that booked",
	holds: func(d *action) bool {
		return d.dir == Inward || d.toldOrIn() || !slices.ContainsFunc(d.s.ToExamine, func(x Examination) bool {
			return x.Section == d.ref().section && (x.Line == "" || x.Line == d.lineName())
		})
	},
}

// tellings expects messages to be delivered, lines and trains to be examined.
func (x *expecting) tellings() {
	for _, m := range x.s.ToHear {
		x.offer(Expectation{Event: Event{Kind: TrainHeard, Train: m.Train}, Mine: true, Wanted: m.At, Label: m.Train + " heard: " + m.Text,
			Clears: m.Words() + ". Has its driver heard it, and repeated it?"})
	}
	for _, e := range x.s.ToExamine {
		who := x.b.Sections[e.Section].Neighbour
		x.offer(Expectation{Event: Event{Kind: SectionExamined, Section: who, Line: e.Line}, Mine: true, Wanted: x.s.Now + laterRemoval, Label: "line to " + who + " examined and clear",
			Clears: "The line to " + who + " is taken as safe again. Has a driver or somebody else been over it, and said that it is clear?"})
	}
	for _, t := range x.s.Trains {
		if (t.Stopped || t.Unfit) && t.Name != "" {
			x.offer(Expectation{Event: Event{Kind: TrainExamined, Train: t.Name, Which: Results[0]}, Mine: true, Wanted: t.PlaceAt + Minute, Label: t.Name + " examined and fit",
				Clears: t.Name + " was stopped to be examined, and may go on. Has somebody looked at the whole of it, on both sides?"})
		}
	}
}

// placeIn says whether a reason that names a place of the box names the one the
// train stands at; a reason that names none fits where it stood when that was written.
func (st *step) placeIn(text string, t *Train, why *Reason) bool {
	names := false
	for i := range st.b.Places {
		if strings.Contains(text, st.b.Places[i].Name) {
			if st.b.Places[i].Name == t.Place {
				return true
			}
			names = true
		}
	}
	return !names && (why == nil || why.after(t.PlaceAt, t.PlaceSeq))
}

// after says whether the reminder was put on when something was so already.
func (why *Reason) after(at Time, seq int64) bool {
	return at < why.At || at == why.At && seq <= why.Seq
}
