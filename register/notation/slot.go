package notation

import "fairhand/block"

// field is a field of block.Event that a slot fills.
type field uint8

const (
	fieldSection field = iota
	fieldLine
	fieldTrain
	fieldPlace
	fieldFrom
	fieldSubject
	fieldText
	fieldPN
	fieldNumber
	fieldOther
	fieldTarget
	fieldBells
	fieldProof
	fieldFar
	fieldLarge
	fieldParty
	fieldWhich
	fieldCount
)

var fieldNames = [fieldCount]string{
	"Section", "Line", "Train", "Place", "From", "Subject", "Text", "PN",
	"Number", "Other", "Target", "Bells", "Proof", "Far", "Large", "Party", "Which",
}

// value is how a slot is written.
type value uint8

const (
	valueName   value = iota // bare word or quoted
	valueText                // always quoted
	valueDigits              // digits kept as written
	valueNumber              // whole number
	valueBells               // <1 >3-1, one or more
	valueSpan                // two whole numbers: 41-42
	valueChoice              // one of the slot's words, never quoted
)

// slot is one word in capitals of the grammar: the field it fills, how it is
// written, and what it is called when it is missing.
type slot struct {
	word  string
	field field
	value value
	noun  string
	names func(*Names) []string // what is known to the desk, nil for nothing
	words []string              // valueChoice: the words allowed
	least int64                 // valueNumber: smallest number allowed
}

var proofWords = []string{
	block.Complete.String(), block.NoTailLamp.String(), block.TailLampOut.String(),
}

var slots = []slot{
	{word: "SECTION", field: fieldSection, noun: "a section name", names: func(n *Names) []string { return n.Sections }},
	{word: "FROM", field: fieldFrom, noun: "a section name", names: func(n *Names) []string { return n.Sections }},
	{word: "LINE", field: fieldLine, noun: "a line name", names: func(n *Names) []string { return n.Lines }},
	{word: "TRAIN", field: fieldTrain, noun: "a train name", names: func(n *Names) []string { return n.Trains }},
	{word: "PLACE", field: fieldPlace, noun: "a place name", names: func(n *Names) []string { return n.Places }},
	{word: "CROSSING", field: fieldPlace, noun: "the name of a crossing", names: func(n *Names) []string { return n.Crossings }},
	{word: "PERSON", field: fieldSubject, noun: "a person's name", names: func(n *Names) []string { return n.People }},
	{word: "GEAR", field: fieldSubject, noun: "the name of a signal, lever or other equipment", names: func(n *Names) []string { return n.Gear }},
	{word: "PARTY", field: fieldSubject, noun: "the name of the other party", names: func(n *Names) []string { return n.Parties }},
	{word: "SIGNALLER", field: fieldParty, noun: "the signaller's name", names: func(n *Names) []string { return n.People }},
	{word: "BYPIN", field: fieldWhich, value: valueChoice, noun: "that the PIN was given", words: []string{block.ByPIN}},
	{word: "VERIFIER", field: fieldWhich, noun: "the SHA-256 of what knows the PIN"},
	{word: "NEWNAME", field: fieldSubject, noun: "the new name of the train"},
	{word: "REAR", field: fieldSubject, noun: "the name of the rear part"},
	{word: "ENGINE", field: fieldSubject, noun: "the name of the engine as a train"},
	{word: "WITH", field: fieldSubject, noun: "the other train's name", names: func(n *Names) []string { return n.Trains }},
	{word: "ROUTE", field: fieldSubject, noun: "the name of the route"},
	{word: "MATTER", field: fieldSubject, noun: "the matter handed over"},
	{word: "DIGEST", field: fieldSubject, noun: "the SHA-256 of the description"},
	{word: "INDICATION", field: fieldSubject, value: valueChoice, noun: "an indication", words: []string{"line-clear", "train-on-line", "normal", "free", "occupied"}},
	{word: "WHAT", field: fieldSubject, value: valueText, noun: "a quoted text of what is to cross"},
	{word: "TEXT", field: fieldText, value: valueText, noun: "a quoted text"},
	{word: "PN", field: fieldPN, value: valueDigits, noun: "a private number in digits"},
	{word: "TOKEN", field: fieldNumber, value: valueNumber, noun: "a token number", names: func(n *Names) []string { return n.Tokens }},
	{word: "TICKET", field: fieldNumber, value: valueNumber, noun: "a ticket number"},
	{word: "INQUIRY", field: fieldNumber, value: valueNumber, noun: "the number of the inquiry on paper"},
	{word: "WORDS", field: fieldSubject, value: valueText, noun: "the private number in words, quoted"},
	{word: "MINUTES", field: fieldNumber, value: valueNumber, noun: "a number of minutes"},
	{word: "NUMBER", field: fieldNumber, value: valueNumber, noun: "a number of tokens"},
	{word: "OTHER", field: fieldOther, value: valueNumber, noun: "a number of tokens"},
	{word: "TARGET", field: fieldTarget, value: valueNumber, noun: "an entry number", least: 1},
	{word: "BELLS", field: fieldBells, value: valueBells, noun: "bell signals such as <3-1"},
	{word: "PROOF", field: fieldProof, value: valueChoice, noun: "proof that the train is complete", words: proofWords},
	{word: "FAR", field: fieldFar, value: valueChoice, noun: `"there"`, words: []string{"there"}},
	{word: "TOLD", field: fieldParty, noun: "who was told", names: func(n *Names) []string { return n.Parties }},
	{word: "WHO", field: fieldParty, noun: "the name of the party", names: func(n *Names) []string { return n.Gangs }},
	{word: "AUTHORITY", field: fieldPN, value: valueDigits, noun: "the number of the authority"},
	{word: "FORM", field: fieldPN, value: valueDigits, noun: "the number of the form appointing the pilot"},
	{word: "REPEATED", field: fieldWhich, value: valueChoice, noun: "that it was repeated back", words: []string{"repeated"}},
	{word: "RETURNS", field: fieldWhich, value: valueChoice, noun: "that it comes back", words: []string{block.Returns}},
	{word: "SPOKEN", field: fieldWhich, value: valueChoice, noun: "how the crew spoke", words: block.Speaks},
	{word: "RESULT", field: fieldWhich, value: valueChoice, noun: "the result", words: block.Results},
	{word: "LIE", field: fieldWhich, value: valueChoice, noun: "how the points lie", words: block.Lies},
	{word: "RELEASE", field: fieldWhich, value: valueChoice, noun: "which release it is", words: block.Releases},
	{word: "COUNTER", field: fieldNumber, value: valueSpan, noun: "the counter before and after, such as 41-42"},
	{word: "READING", field: fieldNumber, value: valueNumber, noun: "what the counter shows"},
	{word: "LARGE", field: fieldLarge, value: valueChoice, noun: "that it is large, low or slow, or animals", words: []string{"large"}},
}

// text is the field as a string in ev, for the fields that are strings.
func (f field) text(ev *block.Event) *string {
	switch f {
	case fieldSection:
		return &ev.Section
	case fieldLine:
		return &ev.Line
	case fieldTrain:
		return &ev.Train
	case fieldPlace:
		return &ev.Place
	case fieldFrom:
		return &ev.From
	case fieldSubject:
		return &ev.Subject
	case fieldPN:
		return &ev.PN
	case fieldParty:
		return &ev.Party
	case fieldWhich:
		return &ev.Which
	}
	return &ev.Text
}

// number reads the field, for the fields that are numbers.
func (f field) number(ev *block.Event) int64 {
	switch f {
	case fieldOther:
		return int64(ev.Other)
	case fieldTarget:
		return ev.Target
	}
	return int64(ev.Number)
}

// setNumber stores the field, for the fields that are numbers.
func (f field) setNumber(ev *block.Event, n int64) {
	switch f {
	case fieldOther:
		ev.Other = int(n)
	case fieldTarget:
		ev.Target = n
	default:
		ev.Number = int(n)
	}
}

// choice is the word the field was given, "" for none.
func (f field) choice(ev *block.Event) string {
	switch f {
	case fieldProof:
		return ev.Proof.String()
	case fieldFar:
		return map[bool]string{true: "there"}[ev.Far]
	case fieldLarge:
		return map[bool]string{true: "large"}[ev.Large]
	}
	return *f.text(ev)
}

// setChoice stores one of the slot's words.
func (f field) setChoice(ev *block.Event, word string) {
	switch f {
	case fieldProof:
		ev.Proof, _ = block.ParseProof(word)
	case fieldFar:
		ev.Far = true
	case fieldLarge:
		ev.Large = true
	default:
		*f.text(ev) = word
	}
}

// given tells whether an optional slot has anything to write.
func (s *slot) given(ev *block.Event) bool {
	switch s.value {
	case valueNumber:
		if s.field == fieldOther {
			return ev.Other >= 0
		}
		return s.field.number(ev) != 0
	case valueBells:
		return len(ev.Bells) > 0
	case valueSpan:
		return ev.Number != 0 || ev.Other != 0
	case valueChoice:
		return s.field.choice(ev) != ""
	}
	return *s.field.text(ev) != ""
}
