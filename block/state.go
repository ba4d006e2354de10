package block

import (
	"cmp"
	"iter"
	"slices"

	"fairhand/block/rulebook"
)

// State is everything a book tells about a box at one moment. It is a value:
// Apply returns a new one and never edits the one it was given. All of it
// follows from the entries, so it can be thrown away and built again.
type State struct {
	Now     Time  // latest time of an event
	LastAt  Time  // time of the last event, but for corrections and what is told late
	LastSeq int64 // number of the last entry
	Begun   bool  // there is an entry
	First   Time  // time of the first entry

	Lines    []*LineState // one for each line of each section, in box order
	Bells    []BellState  // of each section, the bell of its first pair of lines
	Circuits []Circuit    // of each section, what else holds between the two boxes
	Tokens   []TokenState // of each section; empty where no tokens are used
	Staffs   []StaffState // of each section

	Trains []*Train // on hand, in order of arrival in the book
	Went   Time     `json:",omitempty"` // when a train last left of which no entry says which it is: it may be another of them
	NextID int      // number of the next train

	Named    bool // an entry has named a train: arrivals can be booked
	Nameless bool `json:",omitempty"` // a train was given out of section with no arrival booked while none had

	// What the last event did, for whoever builds the page.
	Touched []int    `json:",omitempty"` // ids of the trains it concerned: none, as nil or empty
	Closed  []*Train // trains whose row it closed
	Answers []Answer // earlier findings that it shows to stand no more

	Doubts   []Doubt       // steps the book may lack, oldest first
	Presumed []Presumption `json:",omitempty"` // steps said to lack, which a later entry may contradict
	Resting  []Resting     `json:",omitempty"` // dangers of another kind that rest on one train in a section

	Misplaced []Misplaced `json:",omitempty"` // bells that may be written in the wrong place

	Obstructions []Obstruction
	Reminders    []Reminder
	Gear         []GearState
	Counters     []Counter
	Blockages    []LineBlockage
	Misnumbered  []Misnumbered `json:",omitempty"` // reports of clear under another number
	Posts        []Post
	Crossings    []CrossingState // of each level crossing, in box order
	SignalsOff   []string        // signals protecting a crossing that are off
	SignalsKept  []string        // those of which the book has told
	Messages     []Message
	ToHear       []Unheard     // messages that must reach a train
	ToExamine    []Examination // lines to be examined
	Laid         []Laid        // points wound, routes set, ground frames released
	Pending      []Pending

	Unsigned   []Unsigned `json:",omitempty"` // transfers and corrections that no other hand has signed
	PINs       []PIN      `json:",omitempty"`
	OnDuty     []OnDuty
	DutyKnown  bool // a signing on or off has been recorded
	Unattended bool `json:",omitempty"` // the bells were worked last with nobody on duty
	Status     Status
	Fog        bool
	FogLeft    Time `json:",omitempty"` // when the last fogsignaller was withdrawn, the fog not booked as lifted
	ClockError int  // minutes fast (+) or slow (-) at the last check
	ClockAt    Time // time of the last check, 0 for never
	ClockDay   int32
	ClockBack  Time       // from which the computer's clock was last set back; 0 when it was last set forward, or never
	Source     string     // transcription in progress
	DutyTurns  int        // signings on so far
	Mentioned  []string   // what entries since the last signing on say of things taken over
	Uncarried  []string   // what the relief has not yet taken over, by name
	Open       []*Finding // dangers and irregularities nobody has explained, the last of them; states share them, and none changes one
	gens
}

// Phase is the state of one line of a section, by the bells exchanged.
type Phase uint8

// The phases of a line. Who is in rear is LineState.Dir.
const (
	Normal         Phase = iota // line blocked, nothing signalled
	Offered                     // is line clear sent, not acknowledged
	Accepted                    // line clear given (token: release given)
	RestrictedLC                // line clear given under restricted acceptance
	InSection                   // train in section
	BlockedInside               // blocking back inside the home signal
	BlockedOutside              // blocking back outside the home signal
	Obstructed                  // obstruction danger
	Shunting                    // shunting into the forward section
	ShuntAsked                  // release of a token asked for shunting
	ShuntReleased               // token released for shunting
	CounterDoubt                // axle counter shows a train that nobody knows
	ShuntKeyOut                 // the shunt key is out
	phaseCount
	settled Phase = 255 // in a row: whatever the trains on the line make it
)

var phaseWords = [phaseCount]string{
	"normal", "offered", "line clear", "restricted acceptance", "train in section",
	"blocked back inside", "blocked back outside", "obstruction danger", "shunting into section",
	"shunt release asked", "token released for shunting", "axle counter in doubt", "shunt key out",
}

func (p Phase) String() string {
	switch {
	case p == settled:
		return "as the trains stand"
	case p >= phaseCount:
		return "as before"
	}
	return phaseWords[p]
}

// Blocked says whether obstruction danger or blocking back keeps trains off the line.
func (p Phase) Blocked() bool { return p == Obstructed || p == BlockedInside || p == BlockedOutside }

// lineClear says whether a train has line clear, also one under restriction.
func (p Phase) lineClear() bool { return p == Accepted || p == RestrictedLC }

// Dir says which box is in rear on a line at the moment.
type Dir uint8

// The directions of an exchange.
const (
	Outward Dir = iota // this box is in rear: the train goes to the neighbour
	Inward             // the neighbour is in rear: the train comes here
)

// dirOf is the direction of a train that comes here, or does not.
func dirOf(comes bool) Dir {
	if comes {
		return Inward
	}
	return Outward
}

func (d Dir) String() string {
	return [...]string{"outward", "inward"}[d]
}

// LineState is the state of one line of a section.
type LineState struct {
	Phase     Phase
	Dir       Dir
	Shown     bool          // line clear was noted on the indicator for the last train accepted
	HomeOff   bool          // the home signal is off
	HomeKept  bool          // the book has shown it put back: it writes both
	IsOff     bool          // the section signal is off
	TokenBack bool          // the token drawn on this release has been put back
	Reset     bool          // the axle counter was reset, and no train has gone through since
	Back      bool          `json:",omitempty"` // cancelled for a train said to be back, and the axle counter has not shown it
	Refused   bool          `json:",omitempty"` // what was last offered on it was refused, or cancelled
	Cancelled string        `json:",omitempty"` // the train of which alone that was cancelled, by its name
	WrongWay  bool          // working in wrong direction was agreed
	Danger    DangerAnswer  `json:",omitempty"` // to the obstruction danger that stands
	Runaway   bool          `json:",omitempty"` // vehicles running away were told of in the obstruction danger that stands
	SignalOff uint8         // times the section signal came off on this line clear
	Train     int           // the train offered or accepted, 0 for none
	Since     Time          // when the phase began
	Seq       int64         // entry that began it
	LastOffer rulebook.Code // last description offered on it, a guess for the next
	Before    Phase         `json:",omitempty"` // before line clear was given
	Behind    Phase         `json:",omitempty"` // blocked back so, behind the train that was taken under restriction for that or is going away
	Uncalled  bool          `json:",omitempty"` // the offer was given, or given again, without call attention: it may answer one that is not booked
	Vain      Vain          `json:",omitzero"`  // the offer or request since, that does not stand
	LeftOpen  bool          `json:",omitempty"` // the offer's remark may say that it was refused
	Found     []Answer      `json:",omitempty"` // of the acceptance presumed
	Indicator string
	Shunts    string `json:",omitempty"` // the train that it was signalled or released for shunting for, where it was named
	Freed     string `json:",omitempty"` // the train out with the section shown free, of which the other end may yet tell
	Quickest  Time   `json:",omitempty"` // the shortest run over it that the book shows
	Stood     Time   `json:",omitempty"` // when something was last moved from within its clearing point, or off it
	Unbooked  string `json:",omitempty"` // the train last out of the section ahead of those whose departure is not booked
	PN        string // private number of the consent in force
	Inquiry   int    // number of the inquiry made, on paper
	ToHold    uint8  // one more than the direction of a train cancelled of which no message says yet that it is held; heldBefore is added instead, to that of one told so beforehand

	gen uint64
}

// Circuit is how trains are worked with one neighbour, and what is agreed with him. It
// changes seldom; what changes at each signal is in State.Bells.
type Circuit struct {
	Told    []string // messages from him in hand, under working by message
	Given   []string // messages to him not yet used by a train from him
	Heard   []string `json:",omitempty"` // messages from him that ask line clear for such a train, or say that it has left
	Pilot   string
	PilotAt PilotPlace
	Over    string // the line in use under single line working, "" for none
	Form    string // number of the form by which its pilot is appointed, held here
	PN      string // last private number exchanged

	Inquiries [2]Inquiry // by direction
	Spent     []SpentNumber
	Beyond    string      // box beyond with which the section is worked, while the neighbour is switched out
	Closed    bool        // the neighbour has closed
	Message   bool        // working by message
	Repaired  bool        `json:",omitempty"` // what was out of order is booked as right again
	Otherwise Otherwise   `json:",omitzero"`  // what tells that other working has begun, or ended
	Why       string      // the cause of that, as it was booked
	Begun     int64       // entry by which it began
	Worded    bool        // the words of the block are used for it: nothing else gives leave
	Bye       bool        // closing was exchanged with him
	SaidAt    Time        // last message to him, where that is asked for
	HeardAt   Time        // last message from him
	Others    []BellState // bells of further pairs of lines
}

// Unbelled says how a section is worked while no bells let trains go over it, and why; "" while
// they do.
func (c *Circuit) Unbelled() string {
	switch {
	case c.Message:
		return "bells or instrument failed, worked by message" + c.Cause()
	case c.unbelled():
		return "worked by pilot, " + c.Pilot + pilotWords[c.PilotAt] + c.Cause()
	}
	return ""
}

// Cause is why it is worked so, behind a colon; "" where the book does not say.
func (c *Circuit) Cause() string {
	return So(c.Why != "", ": "+c.Why)
}

// SpentNumber is the private number of a consent that was cancelled.
type SpentNumber struct {
	PN string
	At Time
}

// PilotPlace is at which end of the section the pilot was last booked.
type PilotPlace uint8

// The places of a pilot.
const (
	PilotUnknown PilotPlace = iota
	PilotHere               // came here with a train
	PilotGone               // rode away with one
	PilotMaybe              // rode away, and a train has come since that did not name him
)

// pilotWords say where the pilot is, behind his name.
var pilotWords = [...]string{PilotHere: " (here)", PilotGone: " (gone to the other end)", PilotMaybe: " (gone, perhaps back)"}

// Asked is an unanswered bell signal.
type Asked struct {
	Open bool
	Sent bool
	Void bool // against the regulations when given: no answer is expected

	Presumed bool // an offer taken as accepted: the book has signals alone
	Means    rulebook.Meaning
	Code     rulebook.Code
	At       Time
	Seq      int64
	Line     int
	Train    int
}

// Obstruction is something recorded within the clearing point or on a section.
type Obstruction struct {
	Line    string
	Section int
	Text    string
	At      Time
	Seq     int64
	Removed bool `json:",omitempty"` // obstruction removed was given since, or its end booked under another name
}

// Reminder is a reminder appliance with its reasons, one for each time it was placed.
type Reminder struct {
	On      string
	Reasons []Reason
}

// Reason is why a reminder is in use.
type Reason struct {
	Text string
	At   Time
	Seq  int64
}

// GearState is equipment out of use.
type GearState struct {
	Name         string
	Failed       bool
	Disconnected bool
	Clamped      bool
	Released     bool      // a release used, and not booked restored
	Text         string    // why, of all that holds
	Why          [3]string // why it failed, why it was released, why it was disconnected
	At           Time
	Seq          int64
	By           string   `json:",omitempty"` // who wrote the disconnection
	Signed       []string // who has countersigned it
}

// Post is a hand- or fogsignaller at a place.
type Post struct {
	Name, Place string
	At          Time
	Seq         int64
}

// Message is a message that awaits an answer.
type Message struct {
	To   bool // sent by us
	With string
	Text string
	At   Time
	Seq  int64
}

// OnDuty is a person signed on.
type OnDuty struct {
	Name  string
	At    Time
	Seq   int64
	Under string `json:",omitempty"` // the signaller under whom a trainee works
	ByPIN bool   `json:",omitempty"` // he gave his PIN with his name
}

// NewState is the state of a box before the first entry: every line normal, tokens and
// staffs where the box file says.
func NewState(b *Box) State {
	s := State{
		Lines:    make([]*LineState, len(b.lines)),
		Bells:    make([]BellState, len(b.Sections)),
		Circuits: make([]Circuit, len(b.Sections)),
		Tokens:   make([]TokenState, len(b.Sections)),
		Staffs:   make([]StaffState, len(b.Sections)),
		NextID:   1,
	}
	if len(b.Crossings) > 0 {
		s.Crossings = make([]CrossingState, len(b.Crossings))
	}
	for i := range b.lines {
		s.Lines[i] = &LineState{Dir: dirOf(b.lineAt(i).Way == In)}
	}
	for i := range b.Sections {
		s.Staffs[i].Where = b.Sections[i].Staff
		t := &b.Sections[i].Tokens
		s.Tokens[i].Where = make([]TokenPlace, len(t.Charge))
		for j, n := range t.Charge {
			if !slices.Contains(t.Here, n) {
				s.Tokens[i].Where[j] = TokenAway
			}
		}
	}
	return s
}

// Train finds a train on hand by its number; nil when there is none.
func (s *State) Train(id int) *Train {
	for _, t := range s.Trains {
		if t.ID == id {
			return t
		}
	}
	return nil
}

// Concerned goes through the trains that the last event concerned, as they stand after
// it; one whose row it closed is among them.
func (s *State) Concerned() iter.Seq[*Train] {
	return func(yield func(*Train) bool) {
		for _, id := range s.Touched {
			t := s.known(id)
			if t != nil && !yield(t) {
				return
			}
		}
	}
}

// known finds a train by its number, on hand or with its row closed by this entry.
func (s *State) known(id int) *Train {
	return cmp.Or(firstTrain(s.Closed, func(c *Train) bool { return c.ID == id }), s.Train(id))
}

// TrainNamed finds the latest train on hand of a name, or else the one that goes
// by it as well; nil when there is none.
func (s *State) TrainNamed(name string) *Train {
	if t := lastTrain(s.Trains, func(t *Train) bool { return t.Name == name }); t != nil {
		return t
	}
	return lastTrain(s.Trains, func(t *Train) bool { return t.also(name) })
}

// latest finds a train of a name on hand, or else one whose row this entry closed; nil
// when there is none.
func (s *State) latest(name string) *Train {
	return cmp.Or(s.TrainNamed(name), firstTrain(s.Closed, func(t *Train) bool { return t.Name == name }))
}
