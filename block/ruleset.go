package block

import "slices"

// Method is a method of working a block section.
type Method uint8

// The methods of working. The names in methodWords are those of the box file.
const (
	Absolute       Method = iota // double-line absolute block
	Token                        // electric token, tablet or staff instruments
	StaffAndTicket               // train staff and ticket
	OneTrain                     // one train only, with or without staff
	Tokenless                    // tokenless block
	methodCount
)

var methodWords = [methodCount]string{"absolute", "token", "staff-and-ticket", "one-train", "tokenless"}

func (m Method) String() string { return methodWords[m] }

// ParseMethod reads the word of the box file; ok is false when it is none.
func ParseMethod(s string) (m Method, ok bool) {
	i := slices.Index(methodWords[:], s)
	return Method(max(i, 0)), i >= 0
}

// Methods are the words ParseMethod knows, in order.
func Methods() []string { return methodWords[:] }

// Single says whether trains of both directions use the one line.
func (m Method) Single() bool { return m != Absolute }

// Class is what kind of train a description is for, as far as a rule asks.
type Class uint8

// The classes of train that rules and running times tell apart.
const (
	AnyClass Class = iota
	Passenger
	Freight
	LightEngine
	EmptyStock
	Trolley
	classCount
)

var classWords = [classCount]string{"any", "passenger", "freight", "light engine", "empty stock", "trolley"}

func (c Class) String() string { return classWords[c] }

// ParseClass reads a class as the box file writes it.
func ParseClass(s string) (c Class, ok bool) {
	i := slices.Index(classWords[:], s)
	return Class(max(i, 0)), i >= 0
}

// Side says whose signal a bell code is: that of the box in rear or in advance
// of the train concerned.
type Side uint8

// The sides of a section.
const (
	Either  Side = iota
	Rear         // the box the train leaves
	Advance      // the box the train goes to
)

// Meaning is what a bell code says, whatever its beats.
type Meaning uint8

// The meanings bell codes have in the rule sets we know.
const (
	MeansNothing         Meaning = iota
	CallAttention                // call attention
	Offer                        // is line clear for ...? (line clear enquiry)
	Entering                     // train entering section
	OutOfSection                 // train out of section
	ObstructionRemoved           // obstruction removed
	Cancelling                   // cancelling
	WrongDescription             // last train wrongly described
	Restricted                   // section clear but station or junction blocked: restricted acceptance
	LineNowClear                 // line now clear: a restricted acceptance made a full one
	ClearToClearingPoint         // line clear to clearing point only
	TrainApproaching             // train approaching
	AssistingInRear              // engine assisting in rear of train
	EngineArrived                // assisting engine arrived
	ShuntAhead                   // shunting into forward section
	ShuntWithdrawn               // shunt withdrawn
	DrawnBack                    // train drawn back clear of section
	BlockBackInside              // blocking back inside home signal
	BlockBackOutside             // blocking back outside home signal
	ObstructionDanger            // obstruction danger
	NotClear                     // line not clear: the offer is refused
	NoTailLampAhead              // train passed without tail lamp, to the box in advance
	NoTailLampRear               // train passed without tail lamp, to the box in rear
	StopAndExamine               // stop and examine train
	DividedTrain                 // train divided
	RunawayRight                 // vehicles running away, right direction
	RunawayWrong                 // vehicles running away, wrong direction
	LongInSection                // train an unusually long time in section
	WrongDirection               // working in wrong direction
	ClearOfSection               // train clear of section (after a wrong-direction move)
	ReleaseToken                 // release token (for shunting)
	TokenReplaced                // token replaced
	Opening                      // opening of box
	Closing                      // closing of box
	Testing                      // testing bells and instruments
	TestingSlots                 // testing slotted or controlled signals
	TimeSignal                   // time signal
	CallStaff                    // lampman or fogsignalman required
	DistantDefective             // distant signal defective
	HomeDefective                // home signal defective
	Telephone                    // signaller required on telephone
	Police                       // police assistance required
	ShuntForFollowing            // shunt train for following train to pass
	LocalSignal                  // a local code with no effect on the block
	meaningCount
)

// CodeRow is one line of a code book: beats, meaning, who may send it, and on
// what the row rests.
type CodeRow struct {
	Code        Code
	Means       Meaning
	Words       string   // as read out, e.g. "ordinary passenger train"
	Class       Class    // for Offer
	From        Side     // box in rear, box in advance, or either
	NoAttention bool     // sent without call attention
	Gauge       int8     // out-of-gauge load: 1 may meet ordinary trains and its like, 2 not its like, 3 nothing on the other line
	Methods     []Method // where it has this meaning; nil for every method
	Source      string   // published source, "common practice" or "from memory: check your rule book"
}

// On says whether the row applies to a method of working.
func (r CodeRow) On(m Method) bool { return len(r.Methods) == 0 || slices.Contains(r.Methods, m) }

// Limit is a time allowed by the rules, with its source.
type Limit struct {
	Value  Time
	Source string
}

// Limits are the times a rule set allows. A box may override each.
type Limits struct {
	EnteringAfter   Limit // departure or passing to train entering section
	DangerAfter     Limit // obstruction recorded to obstruction danger
	TailLampAfter   Limit // train seen without tail lamp to the two warning signals
	AnswerAfter     Limit // a bell that must be answered to its answer
	LateAfter       Limit // event to the writing of its entry
	ClockCheckGrace Limit // clock-check time to its entry
	OverduePass     Limit // beyond running time, passenger trains
	OverdueFreight  Limit // beyond running time, other trains
	Detained        Limit // train standing at a signal, clear weather
	DetainedAgain   Limit // then again at this interval
	MessageReply    Limit // message awaiting reply
	TicketInterval  Limit // following trains under tickets without block
	Running         Limit // running time taken where the box file gives none
}

// RuleSet is one railway's book: its code table, limits and habits. Sets are
// never merged with each other; a box adds its own codes to one set.
type RuleSet struct {
	Name    string // as in box.yaml: british-later ...
	Title   string
	Source  string // what the set as a whole rests on
	Methods []Method
	Codes   []CodeRow
	Limits  Limits

	// Habits that change the order or the content of what is booked.
	PrivateNumbers      bool     // consent carries a private number
	TellTokenNumber     bool     // number told to the far end when drawn
	RestoreCooperation  bool     // the far end must co-operate to restore a token
	CountAfterEach      bool     // tokens counted after every movement
	OneWayLoop          bool     // one train at a time is accepted towards a crossing loop
	RoundUp             bool     // a fraction of a minute counts as one
	RefuseNeedsReason   bool     // refusal is booked with its reason
	ClearingPoint       Distance // when the box gives none
	ClearingPointSource string
	StaffFollow         StaffFollow

	// Clauses gives, by rule id, the clause of this set's own book.
	Clauses map[RuleID]string
}

// StaffFollow says how one train may follow another under staff and ticket.
type StaffFollow uint8

// The ways trains follow under staff and ticket.
const (
	FollowBlock    StaffFollow = iota // after train out of section
	FollowInterval                    // after TicketInterval, driver warned
)

// Covers says whether the set has rules for a method of working.
func (r *RuleSet) Covers(m Method) bool { return slices.Contains(r.Methods, m) }

// ruleSets are the built-in sets by name; each has a file of its own.
var ruleSets = []*RuleSet{&britishLater, &britishEarly, &indianGeneral}

// RuleSetNamed finds a built-in set; nil when there is none.
func RuleSetNamed(name string) *RuleSet {
	for _, r := range ruleSets {
		if r.Name == name {
			return r
		}
	}
	return nil
}

// RuleSetNames lists the built-in sets.
func RuleSetNames() []string {
	names := make([]string, len(ruleSets))
	for i, r := range ruleSets {
		names[i] = r.Name
	}
	return names
}
