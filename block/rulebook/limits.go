package rulebook

// Seconds is a length of time.
type Seconds int64

// Minute is one minute.
const Minute Seconds = 60

// Limit is a time allowed by the rules, with its source.
type Limit struct {
	Value  Seconds
	Source string
}

// LimitName names one of the times the rules allow.
type LimitName uint8

// The times the rules allow; what each is from and to stands in LimitWords.
const (
	EnteringAfter LimitName = iota
	DangerAfter
	TailLampAfter
	AnswerAfter
	LateAfter
	ClockCheckGrace
	OverduePass
	OverdueFreight
	Detained
	DetainedAgain
	MessageReply
	TicketInterval
	IndicatorAfter
	TakeOver
	Countersigning
	LeftOpen
	Running
	CrossingClearAfter
	CrossingClosed
	LeastRunning
	LimitCount
)

// LimitWords are the key of each limit in the box file, what it runs from and to,
// and what is usual where the book of a rule set does not say otherwise.
var LimitWords = [LimitCount]struct {
	Key, Says string
	Usual     Limit
}{
	EnteringAfter:      {"entering-after", "from departing or passing to train entering section", Limit{2 * Minute, CommonPractice}},
	DangerAfter:        {"danger-after", "from an obstruction to obstruction danger", Limit{1 * Minute, CommonPractice}},
	TailLampAfter:      {"tail-lamp-after", "from a train without tail lamp to the two warning signals", Limit{2 * Minute, CommonPractice}},
	AnswerAfter:        {"answer-after", "from a bell signal to its answer", Limit{5 * Minute, srcNoAnswerAsIndia}},
	LateAfter:          {"late-after", "from what happened to the writing of its entry", Limit{3 * Minute, CommonPractice}},
	ClockCheckGrace:    {"clock-check-grace", "from the time of the clock check to its entry", Limit{60 * Minute, CommonPractice}},
	OverduePass:        {"overdue-passenger", "beyond the running time, passenger trains", Limit{10 * Minute, srcOverdueAsIndia}},
	OverdueFreight:     {"overdue-freight", "beyond the running time, other trains", Limit{20 * Minute, srcOverdueAsIndia}},
	Detained:           {"detained", "a train standing at a signal, clear weather", Limit{5 * Minute, FromMemory}},
	DetainedAgain:      {"detained-again", "from one reminder of a detained train to the next", Limit{5 * Minute, CommonPractice}},
	MessageReply:       {"message-reply", "a message waiting for its reply", Limit{10 * Minute, CommonPractice}},
	TicketInterval:     {"ticket-interval", "between trains following under tickets where there is no block", Limit{15 * Minute, srcTicketAsIndia}},
	IndicatorAfter:     {"indicator-after", "from an acceptance or train out of section to the indicator noted, where it is noted", Limit{1 * Minute, CommonPractice}},
	TakeOver:           {"take-over", "from the signing on of a relief to the last thing taken over", Limit{10 * Minute, CommonPractice}}, // at once; the sheet is gone through item by item
	Countersigning:     {"countersigning", "from the signing on of a relief to what he has to countersign", Limit{15 * Minute, CommonPractice}},
	LeftOpen:           {"left-open", "a row without its last entry, where there are many", Limit{24 * 60 * Minute, CommonPractice}},
	Running:            {"running", "running time taken where a section gives none", Limit{10 * Minute, CommonPractice}},
	CrossingClearAfter: {"crossing-clear-after", "from when a user said to be clear of a crossing to his report, where one is due", Limit{5 * Minute, CommonPractice}},
	CrossingClosed:     {"crossing-closed", "from a crossing closed to the road to its train", Limit{10 * Minute, CommonPractice}},
	LeastRunning:       {"least-running", "running time in which no train is out of a section of which neither the box file nor the book tells", Limit{2 * Minute, CommonPractice}},
}

// Limits are the times a rule set allows. A box may override each.
type Limits [LimitCount]Limit

// orUsual gives the limits that a book states, and the usual ones beside them.
func (own Limits) orUsual() Limits {
	for n, l := range own {
		if l == (Limit{}) {
			own[n] = LimitWords[n].Usual
		}
	}
	return own
}
