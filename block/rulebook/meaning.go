package rulebook

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
	LineClear                    // line clear given, in words: by bell it is the offer repeated
	LocalSignal                  // a local code with no effect on the block
	MeaningCount
)
