package block

import "fairhand/block/rulebook"

// Where says where a train on hand is.
type Where uint8

// The whereabouts of a train, in the order of its journey through the box.
const (
	Unplaced     Where = iota // known by name only
	OfferedHere               // offered to us, not accepted
	AcceptedHere              // accepted by us, not in section
	Approaching               // in section, coming here
	Here                      // within our station limits
	PassedHere                // seen to pass, not yet in the next section
	Away                      // in the section ahead, going away
	Gone                      // out of the last section, put away or not to run
	Unaccounted               // given out of section and never recorded as arrived
	whereCount
)

var whereWords = [whereCount]string{
	"known", "offered", "accepted", "approaching", "here", "passed", "in section ahead", "gone", "not accounted for",
}

func (w Where) String() string { return whereWords[w] }

// Train is one row of the register: a train and its times on either side of the
// box. Zero times were not recorded. All times are the box's own clock.
type Train struct {
	ID    int
	Name  string        // as written; empty until somebody names it
	Also  []string      // names that later entries gave it in its place
	Was   string        `json:",omitempty"` // its name before it was renamed
	Code  rulebook.Code // description last offered
	Place string        // while it is here

	In  Leg // section it came by; Section < 0 when it started here
	Out Leg // section it goes by; Section < 0 until known

	PlaceAt    Time
	PlaceSeq   int64
	ProofAt    Time
	ProofSeq   int64
	DepartedAt Time  // recorded departure, or passing
	Opened     int64 // entry that opened the row
	OpenedAt   Time
	Earlier    []Leg
	Carries    CarriedToken
	Helps      int // train that this engine assists, 0 for none
	PartOf     int // train of which this part was left in a section, 0 for none

	gen uint64

	// One byte each, kept together: a train is copied for every event that
	// concerns it.
	Class    rulebook.Class
	Where    Where
	Proof    Proof
	Gauge    int8 // of the description: see CodeRow
	Warned   bool
	Untold   bool `json:",omitempty"` // by an authority past a signal alone, which tells of nothing
	LongIn   bool // both boxes know it as unusually long in section
	Examine  bool // the box in rear asked for it to be stopped and examined
	Divided  bool
	Returned bool // set back here from the section ahead
	Shunts   bool `json:",omitempty"` // its departure is booked as a shunt: it comes back
	PutAway  bool // put away, or will not run, while still signalled
	Back     bool // an assisting engine that comes back here
	Stopped  bool // stopped to be examined, and the result not booked
	Unfit    bool // examined, and not fit to go on
	Refused  bool `json:",omitempty"` // it was offered last, by its name, and refused
	Crowded  bool `json:",omitempty"` // another was told of, come where this one stands, and where there is room for one of them
}

// Leg is a train's use of one section.
type Leg struct {
	Section   int
	Line      int // index into State.Lines
	Offered   Time
	Accepted  Time
	Entering  Time // train entering section sent or received
	Entered   Time // known to be in section: entering, or departure recorded
	Arrived   Time // arrived or passed here (In), departed or passed (Out)
	OutOf     Time // train out of section
	Cancelled Time
	Token     int // token number, or ticket number
	Seq       int64
	Given     Time // out of section given here with no arrival recorded
	Shown     Time `json:",omitempty"` // the last entry that has it in the section still, or where it stood

	Restricted bool
	HasToken   bool  // the driver has the token or staff
	TokenIn    bool  // the token was put in here after the journey (In), or since it left (Out)
	Wrong      bool  // in wrong direction, by agreement
	Falsely    bool  // out of section was given with no arrival recorded
	NoLamp     bool  `json:",omitempty"` // told by the box at the other end to be without tail lamp, or divided; or to the box in rear
	Beats      bool  `json:",omitempty"` // its entering is written with the beats of out of section: it may have been drawn back
	Assumed    bool  // no entry says that it is this train and no other
	Guessed    bool  `json:",omitempty"` // no bell names it, nor did its arrival the box: it is of the one likeliest to come
	Aside      bool  // the boxes have gone on without it: in doubt
	Presumed   bool  // ended by a step that was not booked
	Booked     bool  // its departure or passing is booked, not only belled
	Unbooked   bool  // its acceptance is presumed: the book has the offer alone
	Against    int64 `json:",omitempty"` // the entry by which line clear was given here with a train standing on the running lines
	Told       bool  `json:",omitempty"` // in words: its arrival, to the box in rear, out of section not given yet; or that it may go, with no other working booked
}

// CarriedToken is the token last recorded as handed to a train's driver.
type CarriedToken struct {
	Section int
	Number  int32
	Any     bool
}

var noLeg = Leg{Section: -1, Line: -1}

// LineClear is when line clear was given, as far as the book tells: 0 where it is
// only presumed of an offer.
func (l *Leg) LineClear() Time {
	if l.Unbooked {
		return 0
	}
	return l.Accepted
}

// open says whether the leg is in use: begun and neither out of section nor cancelled.
func (l *Leg) open() bool { return l.Section >= 0 && l.OutOf == 0 && l.Cancelled == 0 }

// between says whether the leg is open and of the section told, any if negative, and not of
// the one that the train goes on to.
func (l *Leg) between(from, to int) bool {
	return l.open() && (from < 0 || l.Section == from) && l.Section != to
}

// inSection says whether the train entered by the leg, and is not out of section.
func (l *Leg) inSection() bool { return l.Entered != 0 && l.open() }

// accepted says whether the train has line clear by the leg and has not entered.
func (l *Leg) accepted() bool { return l.Accepted != 0 && l.Entered == 0 && l.open() }

// offeredOnly says whether the train is offered by the leg, and no more.
func (l *Leg) offeredOnly() bool {
	return l.Offered != 0 && l.Accepted == 0 && l.Entered == 0 && l.open()
}

// occupies says whether the train is in the line's section or not yet out of it.
func (t *Train) occupies(line int) bool {
	return t.In.Line == line && t.In.inSection() && !t.In.Aside && t.Where != Unaccounted ||
		t.Out.Line == line && t.Out.inSection() && !t.Out.Aside
}

// stillHere says whether the train is here, or was seen to pass and is not yet in the next section.
func (t *Train) stillHere() bool { return t.Where == Here || t.Where == PassedHere }

// accepted says whether the train has line clear on the line and has not entered.
func (t *Train) accepted(line int) bool {
	return t.In.Line == line && t.In.accepted() && !t.In.Aside || t.Out.Line == line && t.Out.accepted() && !t.Out.Aside
}

// leg is the train's leg on a line in a direction.
func (t *Train) leg(d Dir) *Leg {
	if d == Inward {
		return &t.In
	}
	return &t.Out
}

// Leg is the train's use of the section by which it comes, or goes.
func (t *Train) Leg(d Dir) *Leg { return t.leg(d) }

// Label is the name to show: the name, or the description and where it came from.
func (t *Train) Label(b *Box) string {
	switch {
	case t.Name != "":
		return t.Name
	case t.Code != "" && t.In.Section >= 0:
		return string(t.Code) + " from " + b.Sections[t.In.Section].Neighbour
	case t.Code != "" && t.Out.Section >= 0:
		return string(t.Code) + " for " + b.Sections[t.Out.Section].Neighbour
	case t.Code != "":
		return string(t.Code)
	default:
		return "unnamed train"
	}
}

// clearOfSection says whether the train is known to have left the section it
// came by: arrived, passed, or already in the section ahead.
func (t *Train) clearOfSection() bool { return t.In.Arrived != 0 || t.Out.Entered != 0 }

// On lists the trains that occupy a line, in order of arrival in the book.
func (s *State) On(line int) []*Train {
	var on []*Train
	for _, t := range s.Trains {
		if t.occupies(line) {
			on = append(on, t)
		}
	}
	return on
}

// alone says whether the train occupies the line and no other does.
func (s *State) alone(t *Train, line int) bool { return t.occupies(line) && len(s.On(line)) == 1 }

// occupied is the quick form of On: the first train on the line, nil for none.
func (s *State) occupied(line int) *Train {
	for _, t := range s.Trains {
		if t.occupies(line) {
			return t
		}
	}
	return nil
}

// dirOn is the direction in which a train uses a line.
func dirOn(t *Train, line int, entered bool) Dir {
	if t.In.Line == line && t.In.open() && (t.In.Entered != 0) == entered {
		return Inward
	}
	return Outward
}
