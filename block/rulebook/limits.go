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
	LimitCount
)

// LimitWords are the key of each limit in the box file and what it runs from
// and to.
var LimitWords = [LimitCount]struct{ Key, Says string }{
	EnteringAfter:      {"entering-after", "from departing or passing to train entering section"},
	DangerAfter:        {"danger-after", "from an obstruction to obstruction danger"},
	TailLampAfter:      {"tail-lamp-after", "from a train without tail lamp to the two warning signals"},
	AnswerAfter:        {"answer-after", "from a bell signal to its answer"},
	LateAfter:          {"late-after", "from what happened to the writing of its entry"},
	ClockCheckGrace:    {"clock-check-grace", "from the time of the clock check to its entry"},
	OverduePass:        {"overdue-passenger", "beyond the running time, passenger trains"},
	OverdueFreight:     {"overdue-freight", "beyond the running time, other trains"},
	Detained:           {"detained", "a train standing at a signal, clear weather"},
	DetainedAgain:      {"detained-again", "from one reminder of a detained train to the next"},
	MessageReply:       {"message-reply", "a message waiting for its reply"},
	TicketInterval:     {"ticket-interval", "between trains following under tickets where there is no block"},
	IndicatorAfter:     {"indicator-after", "from an acceptance or train out of section to the indicator noted, where it is noted"},
	TakeOver:           {"take-over", "from the signing on of a relief to the last thing taken over"},
	Countersigning:     {"countersigning", "from the signing on of a relief to what he has to countersign"},
	LeftOpen:           {"left-open", "a row without its last entry, where there are many"},
	Running:            {"running", "running time taken where a section gives none"},
	CrossingClearAfter: {"crossing-clear-after", "from when a user said to be clear of a crossing to his report, where one is due"},
	CrossingClosed:     {"crossing-closed", "from a crossing closed to the road to its train"},
}

// Limits are the times a rule set allows. A box may override each.
type Limits [LimitCount]Limit
