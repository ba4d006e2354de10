package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// CrossingState is what stands at one level crossing.
type CrossingState struct {
	Asked []Call // callers waiting for word, oldest first
	Out   []Call // users given leave and not reported clear
	Last  Call   // the call last answered: a guess for the next
	Road  Road   // as last recorded
	Since Since  // of Road

	Twice    bool    `json:",omitempty"` // opened last when it was open already
	Unclosed []int64 `json:",omitempty"` // entries on which was found what a step not booked would explain: see unclosed
	Removed  Since   `json:",omitzero"`  // obstruction removed given for a line over it that is obstructed by the book

	NotHeard, GatesOpen, Obstructed, Attended, Secured Since

	Attendant string
	Said      Since // another told that it is clear, and nothing of it since
	Left      Since // attendant gone while under local control
	Means     bool  // spoken with otherwise since its telephone failed

	Told      []Advice    // trains the keeper was told of and that are not past
	Cleared   []Clearance // trains for which a protecting signal was cleared and that are not past
	Cautioned []int       // trains cautioned for it
	Past      []int       // trains reported past it
	Gone      []SentOver  // trains sent over it that nothing else reports past
	Calls     []Time      // when it was last asked, the latest last
	DoubtSeq  int64       // first entry found against the doubt that stands, 0 for none
	Between   int         // calls since the last signing on that came between a signal cleared and its train
	PN        string      // private number last exchanged with the keeper
}

// Call is one user's wish to cross, and what became of it.
type Call struct {
	What     string
	Minutes  Time // as the user says; 0 when not booked
	Large    bool
	At       Time // asked, 0 when no call is booked
	Seq      int64
	Given    Time // permission
	GivenSeq int64
	Until    Time // when the user says to be clear
	Due      bool // to be reported clear
	Waits    bool // told to wait
	Let      bool // a train let towards it has been raised
}

// Since is when something began and the entry that says so; Seq 0: it is not so.
type Since struct {
	At  Time
	Seq int64
}

func (s Since) is() bool { return s.Seq != 0 }

// Road is whether a crossing is open to the road.
type Road uint8

// The states of a crossing to the road.
const (
	RoadUnknown Road = iota
	RoadClosed
	RoadOpen
	RoadLocal // under local control
)

// Advice is a train of which a keeper was told.
type Advice struct {
	Train  string
	Also   string `json:",omitempty"` // the other name, by which he gave his assurance
	At     Time
	Seq    int64 // 0 when only his assurance is booked
	Closed bool  // his assurance is booked
}

// SentOver is a train on its way over a crossing that nothing but a word from there
// reports past.
type SentOver struct {
	Name        string
	From, Until Time // the earliest it can be there; when it has reached the other end
}

// Clearance is a protecting signal cleared for a train that is not yet past.
type Clearance struct {
	Signal string
	Line   int
	Train  int // 0 when it could not be told
	At     Time
	Seq    int64
	On     Time // when the signal was put back, 0 while it is off
}

// A level crossing in doubt: a user of whom no word came, gates open, equipment failed.

// crossingDoubt says why a crossing is in doubt, "" when it is not. Sources: study
// cards, level crossings; of barriers that failed, unless they are down, General and
// Subsidiary Rules (India), Appendix II, section 4, and RAIB report 20/2011, Lydney.
func (s *State) crossingDoubt(b *Box, i int, now Time) string {
	why := s.crossingInDoubt(i, now)
	if x, c := &s.Crossings[i], &b.Crossings[i]; !x.Attended.is() && !x.Secured.is() {
		why = append(why, So(!x.Means && s.failedAt(c, b, "crossing-telephone"), "its telephone failed"),
			So(x.Road != RoadClosed && s.failedAt(c, b, "crossing"), "its gates or barriers failed"))
	}
	return strings.Join(WordsOf(why...), ", ")
}

// failedAt says whether equipment of a kind is booked as failed at a crossing; what has
// the crossing's own name is the crossing.
func (s *State) failedAt(c *Crossing, b *Box, kind string) bool {
	return slices.ContainsFunc(s.Gear, func(g GearState) bool {
		k := b.gearNamed(g.Name)
		return g.Failed && (k != nil && k.Kind == kind && k.Crossing == c.Name || kind == "crossing" && g.Name == c.Name)
	})
}

// crossingInDoubt is crossingDoubt but for what failed: to a user who has just asked it
// makes no odds by what he spoke.
func (s *State) crossingInDoubt(i int, now Time) []string {
	x := &s.Crossings[i]
	if x.Secured.is() {
		return nil
	}
	overdue := slices.ContainsFunc(x.Out, func(o Call) bool { return o.Due && now > o.Until })
	return WordsOf(So(overdue, "a user not reported clear"), So(x.GatesOpen.is(), "gates reported open"), So(x.NotHeard.is(), "a call not understood"))
}

// ranClear ends the doubt about users of whom no report came: a train that went into the
// section after their time has run over the crossing since (by inference: the driver
// would have told of them). That the report is missing has been found; where another was
// told that the crossing is clear, it was made, and that is the one slip.
func (x atCrossing) ranClear(d *action) {
	if d.train == nil || x.c.section < 0 {
		return
	}
	l := d.train.leg(d.dir)
	if removed := x.now().Removed; l.Line == d.line && l.Section == x.c.section && removed.is() && l.Entered >= removed.At {
		x.notBooked(StepFreed, "", "the crossing booked as free before obstruction removed is given", removed.Seq, x.answerUnclosed(rulebook.CrossingObstructedTrainSent))
		x.edit().Obstructed, x.edit().Removed = Since{}, Since{}
	}
	overdue := func(o Call) bool { return o.Due && o.Until < l.Entered }
	if l.Line == d.line && l.Section == x.c.section && slices.ContainsFunc(x.now().Out, overdue) {
		if said := x.now().Said; said.is() {
			x.notBooked(StepReport, "", "the user's report booked before anybody is told that the crossing is clear", said.Seq, x.answerUnclosed(rulebook.CrossingNotCautioned))
		}
		s := x.edit()
		s.Out = slices.DeleteFunc(slices.Clone(s.Out), overdue)
	}
}

// over1 ends the clearance of a train at the crossing.
func (x atCrossing) over1(id int) {
	s := x.edit()
	s.Cleared = slices.DeleteFunc(slices.Clone(s.Cleared), func(c Clearance) bool { return c.Train == id || c.Train == 0 })
	x.brings(rulebook.CrossingClosedLong)
}

// wasReminded takes a reminder that is lifted from the signal protecting the crossing, and was
// put on by no entry: it was, and showed the signal kept at danger. Common practice.
func (x atCrossing) wasReminded() {
	if !slices.Equal(x.c.ProtectedBy, []string{x.e.Subject}) {
		return
	}
	if list := x.answerUnclosed(rulebook.CrossingNotProtected); len(list) > 0 {
		x.notBooked(StepReminder, "", "the reminder booked when it is put on", list[0].Seq, list)
	}
}
