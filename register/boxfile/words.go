package boxfile

import (
	"slices"
	"strings"

	"fairhand/block"
)

// Roles are what somebody in the book may be.
var Roles = []string{"signaller", "trainee", "inspector", "manager", "technician", "pilot", "handsignaller", "other"}

// Roundings are the ways clock times may be shown on the page.
var Roundings = []string{"nearest-minute", "half-minute", "up", "down"}

// SignalKinds are what a signal may be for.
var SignalKinds = []string{"section", "home", "distant"}

// GearKinds are the kinds of equipment a failure may name.
var GearKinds = []string{"points", "signal", "instrument", "lever", "crossing"}

var (
	wayWords     = []string{"both", "out", "in"}         // in the order of block.Way
	sideWords    = []string{"either", "rear", "advance"} // in the order of block.Side
	bookingWords = []string{"exchanges", "signals"}      // in the order of block.Booking
	towardsWords = []string{"up", "down"}
)

// classes are the classes of train, as running-minutes and codes name them.
var classes = []block.Class{block.Passenger, block.Freight, block.LightEngine, block.EmptyStock, block.Trolley, block.AnyClass}

// classWord is a class as box.yaml writes it.
func classWord(c block.Class) string { return strings.ReplaceAll(c.String(), " ", "-") }

func classWords() []string {
	words := make([]string, len(classes))
	for i, c := range classes {
		words[i] = classWord(c)
	}
	return words
}

func optionWords(options []block.Option) []string {
	words := make([]string, len(options))
	for i, o := range options {
		words[i] = o.Name
	}
	return words
}

// meaningWords are the words of `signal` under codes, by meaning.
var meaningWords = []string{
	block.CallAttention:        "call-attention",
	block.Offer:                "offer",
	block.Entering:             "train-entering-section",
	block.OutOfSection:         "train-out-of-section",
	block.ObstructionRemoved:   "obstruction-removed",
	block.Cancelling:           "cancelling",
	block.WrongDescription:     "wrongly-described",
	block.Restricted:           "restricted-acceptance",
	block.LineNowClear:         "line-now-clear",
	block.ClearToClearingPoint: "clear-to-clearing-point",
	block.TrainApproaching:     "train-approaching",
	block.AssistingInRear:      "assisting-in-rear",
	block.EngineArrived:        "assisting-engine-arrived",
	block.ShuntAhead:           "shunt-ahead",
	block.ShuntWithdrawn:       "shunt-withdrawn",
	block.DrawnBack:            "drawn-back",
	block.BlockBackInside:      "blocking-back-inside",
	block.BlockBackOutside:     "blocking-back-outside",
	block.ObstructionDanger:    "obstruction-danger",
	block.NotClear:             "line-not-clear",
	block.NoTailLampAhead:      "no-tail-lamp-to-advance",
	block.NoTailLampRear:       "no-tail-lamp-to-rear",
	block.StopAndExamine:       "stop-and-examine",
	block.DividedTrain:         "train-divided",
	block.RunawayRight:         "runaway-right-direction",
	block.RunawayWrong:         "runaway-wrong-direction",
	block.LongInSection:        "long-in-section",
	block.WrongDirection:       "wrong-direction",
	block.ClearOfSection:       "clear-of-section",
	block.ReleaseToken:         "release-token",
	block.TokenReplaced:        "token-replaced",
	block.Opening:              "opening",
	block.Closing:              "closing",
	block.Testing:              "testing",
	block.TestingSlots:         "testing-slots",
	block.TimeSignal:           "time-signal",
	block.CallStaff:            "call-staff",
	block.DistantDefective:     "distant-defective",
	block.HomeDefective:        "home-defective",
	block.Telephone:            "telephone",
	block.Police:               "police",
	block.ShuntForFollowing:    "shunt-for-following",
	block.LocalSignal:          "local",
}

// limitRow ties a key under limits to its place in block.Limits.
type limitRow struct {
	word string
	says string
	at   func(*block.Limits) *block.Limit
}

var limitRows = []limitRow{
	{"entering-after", "from departing or passing to train entering section", func(l *block.Limits) *block.Limit { return &l.EnteringAfter }},
	{"danger-after", "from an obstruction to obstruction danger", func(l *block.Limits) *block.Limit { return &l.DangerAfter }},
	{"tail-lamp-after", "from a train without tail lamp to the two warning signals", func(l *block.Limits) *block.Limit { return &l.TailLampAfter }},
	{"answer-after", "from a bell signal to its answer", func(l *block.Limits) *block.Limit { return &l.AnswerAfter }},
	{"late-after", "from what happened to the writing of its entry", func(l *block.Limits) *block.Limit { return &l.LateAfter }},
	{"clock-check-grace", "from the time of the clock check to its entry", func(l *block.Limits) *block.Limit { return &l.ClockCheckGrace }},
	{"overdue-passenger", "beyond the running time, passenger trains", func(l *block.Limits) *block.Limit { return &l.OverduePass }},
	{"overdue-freight", "beyond the running time, other trains", func(l *block.Limits) *block.Limit { return &l.OverdueFreight }},
	{"detained", "a train standing at a signal, clear weather", func(l *block.Limits) *block.Limit { return &l.Detained }},
	{"detained-again", "from one reminder of a detained train to the next", func(l *block.Limits) *block.Limit { return &l.DetainedAgain }},
	{"message-reply", "a message waiting for its reply", func(l *block.Limits) *block.Limit { return &l.MessageReply }},
	{"ticket-interval", "between trains following under tickets where there is no block", func(l *block.Limits) *block.Limit { return &l.TicketInterval }},
}

// ofWord finds a word's place in a list that is in the order of its constants.
func ofWord[T ~uint8](word string, words []string) T { return T(max(slices.Index(words, word), 0)) }
