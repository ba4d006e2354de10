package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// Time is a moment in seconds since 1970-01-01 00:00:00 UTC. block never asks
// what time it is and knows no zones: whoever calls it supplies every Time.
type Time int64

// Minute is one minute of Time.
const Minute Time = 60

// Kind says what an Event records. Names and order are free to change; what is
// stored is the notation line (see register/notation), never the number.
type Kind uint8

// The kinds of event. The comment names the fields that may be set beside
// Seq, At, Written and Text; a field not named is empty.
const (
	KindNone Kind = iota

	Bells // Section, Bells, and if given Train, Line, PN; on paper Number (of the inquiry), Subject (PN in words)

	TokenOut       // Section, Number; Train, Far, Place (of an auxiliary instrument): drawn from the instrument here, or at the far end when Far or when the far end was released to
	TokenIn        // Section, Number; Far, Place (of an auxiliary instrument): put into the instrument here, or at the far end when Far
	TokenToTrain   // Section, Number, Train: handed to the driver
	TokenFromTrain // Section, Number, Train: given up by the driver
	TokenMovedHere // Section, Number: put into our instrument by the technician
	TokenMovedAway // Section, Number: put into the far instrument by the technician
	TokenTaken     // Section, Number: in the technician's custody
	TokenLost      // Section, Number
	TokenFound     // Section, Number
	TokenDamaged   // Section, Number: not to be issued again
	TokenCount     // Section, Number: tokens counted in the instrument here; Other: at the far end, -1 when not told

	StaffHere      // Section
	StaffAway      // Section
	StaffToTrain   // Section, Train
	StaffFromTrain // Section, Train

	TicketToTrain   // Section, Number, Train
	TicketFromTrain // Section, Number, Train
	TicketCancelled // Section, Number

	TrainArrived  // Train; Place, From (section), Proof
	TrainPassed   // Train; Place, Section (for), Line, Proof
	TrainDeparted // Train; Section (for), Line
	TrainMoved    // Train, Place
	TrainDivided  // Train; Subject: the rear part's own name, when it has one
	TrainEntire   // Train: found complete
	TrainPutAway  // Train: left the running lines here; its row closes
	TrainOff      // Train: will not run; its row closes
	TrainRenamed  // Train, Subject: the name it has from now on
	TrainWarned   // Train: driver warned (restricted acceptance, caution, examination)

	TrainJoined     // Train, Subject: it is part of that train from now on
	EngineDetached  // Train, Subject: the engine, a train of its own from now on
	TrainAssists    // Train, Subject: it assists that train; Which (Returns): it comes back here
	TrainDetained   // Train; Line, Subject (who spoke for it), Which (one of Speaks): its crew made itself known
	TrainExamined   // Train; Which (one of Results): stopped and examined
	TrainToHear     // Train, Text: a message that must reach it
	TrainHeard      // Train: the message delivered
	TrainAuthorised // Train, Subject: past that signal at danger

	SectionToExamine // Section; Line: the next train to be cautioned and to look
	SectionExamined  // Section; Line, Train (that looked): examined, and clear

	Indicator // Section, Line, Subject: line-clear, train-on-line or normal; free or occupied by an axle counter

	SignalOff // Subject
	SignalOn  // Subject

	ReminderOn  // Subject (lever or instrument), Text: the reason
	ReminderOff // Subject, Text: the reason lifted, empty for all

	Obstruct      // Line, Section: something within the clearing point or on the section
	ObstructClear // Line, Section

	MessageTo   // Subject: the party; Text verbatim
	MessageFrom // Subject, Text; Target: entry answered, 0 for none

	Failure      // Subject: the gear
	Restored     // Subject
	Disconnected // Subject
	Reconnected  // Subject
	Clamped      // Subject: points secured by clamp
	Unclamped    // Subject

	Released    // Subject: the release; Which (one of Releases), Section, Line, Number and Other (its counter before and after, both 0 when not told), Party (told of it), Text: the cause
	CounterRead // Subject: the release; Number

	Blockage   // Line; Section, Party (on the line), PN (number of the authority), Which (repeated)
	BlockageUp // Line; Section: given up
	PartyOn    // Party, Line; Section, PN (number of the authority), Which (repeated): a further party on a line that is blocked
	PartyClear // Party, Line; Section, PN: it reports clear
	KeyOut     // Section; Party: the occupation key of the section taken
	KeyIn      // Section

	PointsSet     // Subject, Which (one of Lies)
	PointsLocked  // Subject
	PointsWound   // Subject, Which: moved by hand, without their locking
	RouteSet      // Subject; Train
	RouteReleased // Subject
	FrameOut      // Subject; Train: a ground frame released, its points free to be worked
	FrameIn       // Subject: locked again

	Posted    // Place, Subject: hand- or fogsignaller at a post
	Withdrawn // Place, Subject

	FogOn  //
	FogOff //

	// Level crossings: Place is the crossing in every one of them.
	CrossingAsked        // Place, Subject (what is to cross), Number (minutes, as the user says), Large: the user rang
	CrossingMayCross     // Place: permission given
	CrossingWait         // Place: told to wait
	CrossingClear        // Place: the user reports clear, gates shut
	CrossingNotHeard     // Place: a call that could not be understood
	CrossingDown         // Place: barriers or gates worked from the box, closed to the road
	CrossingUp           // Place: the same, open to the road
	CrossingTold         // Place, Train, PN: keeper told of a train
	CrossingShut         // Place, Train, PN: his assurance that the gates are across the road
	CrossingPast         // Place, Train, PN: the train reported past
	CrossingMayOpen      // Place, PN: leave to open to the road
	CrossingGatesOpen    // Place: found or reported open
	CrossingGatesShut    // Place: shut since
	CrossingObstructed   // Place
	CrossingUnobstructed // Place
	CrossingAttended     // Place, Subject: the attendant has taken duty
	CrossingUnattended   // Place
	CrossingLocal        // Place: local control taken
	CrossingRemote       // Place: local control given up
	CrossingSecured      // Place: locked out of use
	CrossingUnsecured    // Place
	TrainCautioned       // Train, Place: driver told to approach and pass the crossing at caution

	CounterReset  // Section, Line, PN: the axle counter reset
	ShuntKeyTaken // Section, Line: the shunt key taken out
	ShuntKeyBack  // Section, Line: put back

	WorkingMessage // Section: block by message, bells or instrument failed
	WorkingPilot   // Section, Subject: pilot; Line: single line working over it, PN: number of the form appointing him, held here
	WorkingNormal  // Section
	ProvedClear    // Section; Line: proved clear of trains, tokens in; Text: by whom, and how

	Note //

	Correct // Target: the entry superseded; Text: the line that stands instead

	DutyOn  // Subject; Party: the signaller under whom a trainee works, Which: that it was by PIN
	DutyOff // Subject

	PINSet   // Subject, Which: SHA-256 of the record by which his PIN is known, in hex
	PINReset // the same, without the PIN that he had; Party: by whom

	ClockRight //
	ClockSlow  // Number: minutes
	ClockFast  // Number: minutes

	ClockSet       // Text: what it read before; the time of the book goes on from this
	ClockConfirmed // Text: as before; it was asked about and is right

	BoxOpen        //
	BoxClosed      //
	BoxSwitchedIn  //
	BoxSwitchedOut //

	Visit       // Subject
	Sign        // Subject: the book examined and signed
	Countersign // Target, Subject
	Explain     // Target: remark on what was found about an entry
	Carried     // Subject: what; handed over and accepted by the relief
	Queried     // Subject: what; handed over and questioned by the relief
	Transcribed // Text: the source this and the following entries were copied from
	Transcript  // the last entry so copied is above
	SealMark    // Subject: whose; Text: the words of a sealed head
	Described   // Subject: SHA-256 of the box's description, in hex; Text: what is otherwise than before; Box

	kindCount
)

// Kinds is the number of kinds, for tables indexed by Kind.
const Kinds = int(kindCount)

// Bell is one bell signal: beats in groups, sent by this box or received.
type Bell struct {
	Sent bool
	Code rulebook.Code
}

// Proof is what was seen of a train's completeness.
type Proof uint8

// The proofs of completeness a register records with an arrival or passing.
const (
	ProofNone   Proof = iota // nothing recorded
	Complete                 // tail lamp seen, or completeness otherwise confirmed
	NoTailLamp               // passed without tail lamp
	TailLampOut              // tail lamp carried but not lit
	proofCount
)

var proofWords = [proofCount]string{"", "complete", "no-tail-lamp", "lamp-out"}

// String is the word the notation uses.
func (p Proof) String() string { return proofWords[p] }

// ParseProof reads a word of the notation; ok is false when it is none.
func ParseProof(s string) (p Proof, ok bool) {
	i := slices.Index(proofWords[1:], s)
	return Proof(i + 1), i >= 0
}

// Event is one entry as the regulations see it. It is shaped by its Kind; names
// are as written in the book and resolved against the Box by Apply, which
// accepts names it does not know.
type Event struct {
	Seq     int64 // number of the entry in the register, or line of a checked book
	At      Time  // when it happened
	Written Time  // when it was written, 0 for at once

	// OutOfOrder is set by a reader who puts events in the order of their times:
	// this one was not, and did not say that it was late. Relief is set by him too:
	// who had signed on since, and was to write, when an event told late was written.
	OutOfOrder bool
	Ahead      bool // and it is timed after those below it, not before those above
	Run        int  // how many others next to it are so with it, in order among themselves; -1 where one of those tells of it
	Relief     string

	// Redated is set by him where a correction gives another date, too far from those
	// around it to be read there: it is read where it stands, and is out of no order.
	Redated bool

	Kind    Kind
	Proof   Proof
	Far     bool // token kinds: at the far instrument
	Large   bool // what is to cross is large, low or slow, or animals
	Section string
	Line    string
	Train   string
	Place   string
	From    string // section a train arrived from
	Subject string
	Party   string // who was told, or whom it is for
	Which   string // one of the words of the kind
	Text    string
	Number  int
	Other   int
	Target  int64
	PN      string // private number, one or more digits, as exchanged
	Bells   []Bell
	Box     *Box // of Described, set by a reader who has the description: nil leaves the box as it is
}
