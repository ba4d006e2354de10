package rulebook

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// spoken are the words that boxes say to each other where nothing is belled: in
// a method without bells, and where a section is worked by message. They stand
// for the same acts as the bells and are the same under every rule set. Words of
// the four messages of train reporting: Ril 408.0221; refusing and cancelling as
// on the bell.
var spoken = []CodeRow{
	{Code: "offer", Means: Offer, Words: "train offered", From: Rear, NoAttention: true, Source: srcReporting},
	{Code: "accept", Means: LineClear, Words: "line clear given for the train", From: Advance, NoAttention: true, Source: srcReporting},
	{Code: "refuse", Means: NotClear, Words: "train refused", From: Advance, NoAttention: true, Source: srcReporting},
	{Code: "entering", Means: Entering, Words: "train has entered the section, or enters it at the time told", From: Rear, NoAttention: true, Source: srcReporting},
	{Code: "arrived", Means: OutOfSection, Words: "train arrived complete, section clear", From: Advance, NoAttention: true, Source: srcReporting},
	{Code: "cancel", Means: Cancelling, Words: "train is not going", From: Rear, NoAttention: true, Source: CommonPractice},
}

const srcReporting = "DB Ril 408.0221, train reporting by telephone, https://fahrdienstleiter.net/fdl/fahrdienstvorschrift-408-0221-zugmeldungen"

// Spoken lists the words said between boxes.
func Spoken() []CodeRow { return spoken }

// Spoken says whether a signal is a word and no bell.
func (c Code) Spoken() bool { return c != "" && c[0] > '9' }

// ParseSignal reads what follows the arrow of a signal: a spoken word, or beats
// as ParseCode does.
func ParseSignal(s string) (Code, error) {
	if slices.ContainsFunc(spoken, func(r CodeRow) bool { return string(r.Code) == s }) {
		return Code(s), nil
	}
	if strings.ContainsFunc(s, unicode.IsLetter) && !strings.ContainsAny(s, "0123456789") {
		return "", fmt.Errorf("%q is no word said between boxes: they are %s", s, strings.Join(SpokenWords(), ", "))
	}
	return ParseCode(s)
}

// SpokenWords are the words themselves.
func SpokenWords() []string {
	var words []string
	for _, r := range spoken {
		words = append(words, string(r.Code))
	}
	return words
}
