package boxfile

import (
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
)

// Roles are what somebody in the book may be.
var Roles = each.Of(block.Roles, func(r block.Role) string { return r.Name })

// SignalKinds are what a signal may be for.
var SignalKinds = []string{"section", "home", "distant"}

// GearKinds are the kinds of equipment a failure may name.
var GearKinds = []string{"points", "signal", "instrument", "lever", "crossing", "crossing-telephone", "release", "ground-frame"}

var (
	wayWords     = []string{block.Both.String(), block.Out.String(), block.In.String()}
	sideWords    = []string{"either", "rear", "advance"} // in the order of block.Side
	bookingWords = []string{"exchanges", "signals"}      // in the order of block.Booking
	staffWords   = []string{"unknown", "here", "away"}   // in the order of block.StaffPlace
	towardsWords = []string{"up", "down"}
)

// classes are the classes of train, as running-minutes and codes name them.
var classes = []rulebook.Class{rulebook.Passenger, rulebook.Freight, rulebook.LightEngine, rulebook.EmptyStock, rulebook.Trolley, rulebook.AnyClass}

// classWord is a class as box.yaml writes it.
func classWord(c rulebook.Class) string { return strings.ReplaceAll(c.String(), " ", "-") }

func classWords() []string { return each.Of(classes, classWord) }

func optionWords(options []rulebook.Option) []string {
	return each.Of(options, func(o rulebook.Option) string { return o.Name })
}

// meaningWords are the words of `signal` under codes, by meaning.
var meaningWords = []string{
	rulebook.CallAttention:        "call-attention",
	rulebook.LineClear:            "line-clear",
	rulebook.Offer:                "offer",
	rulebook.Entering:             "train-entering-section",
	rulebook.OutOfSection:         "train-out-of-section",
	rulebook.ObstructionRemoved:   "obstruction-removed",
	rulebook.Cancelling:           "cancelling",
	rulebook.WrongDescription:     "wrongly-described",
	rulebook.Restricted:           "restricted-acceptance",
	rulebook.LineNowClear:         "line-now-clear",
	rulebook.ClearToClearingPoint: "clear-to-clearing-point",
	rulebook.TrainApproaching:     "train-approaching",
	rulebook.AssistingInRear:      "assisting-in-rear",
	rulebook.EngineArrived:        "assisting-engine-arrived",
	rulebook.ShuntAhead:           "shunt-ahead",
	rulebook.ShuntWithdrawn:       "shunt-withdrawn",
	rulebook.DrawnBack:            "drawn-back",
	rulebook.BlockBackInside:      "blocking-back-inside",
	rulebook.BlockBackOutside:     "blocking-back-outside",
	rulebook.ObstructionDanger:    "obstruction-danger",
	rulebook.NotClear:             "line-not-clear",
	rulebook.NoTailLampAhead:      "no-tail-lamp-to-advance",
	rulebook.NoTailLampRear:       "no-tail-lamp-to-rear",
	rulebook.StopAndExamine:       "stop-and-examine",
	rulebook.DividedTrain:         "train-divided",
	rulebook.RunawayRight:         "runaway-right-direction",
	rulebook.RunawayWrong:         "runaway-wrong-direction",
	rulebook.LongInSection:        "long-in-section",
	rulebook.WrongDirection:       "wrong-direction",
	rulebook.ClearOfSection:       "clear-of-section",
	rulebook.ReleaseToken:         "release-token",
	rulebook.TokenReplaced:        "token-replaced",
	rulebook.Opening:              "opening",
	rulebook.Closing:              "closing",
	rulebook.Testing:              "testing",
	rulebook.TestingSlots:         "testing-slots",
	rulebook.TimeSignal:           "time-signal",
	rulebook.CallStaff:            "call-staff",
	rulebook.DistantDefective:     "distant-defective",
	rulebook.HomeDefective:        "home-defective",
	rulebook.Telephone:            "telephone",
	rulebook.Police:               "police",
	rulebook.ShuntForFollowing:    "shunt-for-following",
	rulebook.LocalSignal:          "local",
}

// ofWord finds a word's place in a list that is in the order of its constants.
func ofWord[T ~uint8](word string, words []string) T { return T(max(slices.Index(words, word), 0)) }
