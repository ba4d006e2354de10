package block

import (
	"regexp"
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// Messages are free text. What one does is decided by its words: those of the signals
// that are spoken between boxes, and what signallers write for them. One that has none
// of them does nothing, and whoever reads the book is told so.

// wordsOf makes the pattern of a list of words and phrases.
func wordsOf(list string) *regexp.Regexp { return regexp.MustCompile(`\b(?:` + list + `)\b`) }

// The words. Source of arrived, accept and refuse: the words of train reporting (package
// rulebook, spoken); the others are common practice.
var (
	saidArrived = wordsOf(`arrived|arr|complete|whole|entire|out of section|section (?:is )?clear|clear of (?:the )?section`)
	saidMayCome = wordsOf(`line (?:is )?clear|clear for|accept(?:ed)?|(?:may|can) (?:come|proceed|go|be sent)|send|let|yes|proceed|consent|permission|authority`)
	saidGone    = wordsOf(`left|leaves|leaving|gone|departed|dep|entering|entered|passed|sent`)

	// What takes the meaning from a report of arrival, and from its own part of a text.
	notComplete = wordsOf(`not|never|cannot|no tail|without|incomplete|divided|parted|part of|portion|missing|behind|stop|danger|runaway|running away|failed`)
	notYet      = regexp.MustCompile(`\?|\b(?:will|shall|when|until|till|unless|if|should|after|before|once|as soon as|yet)\b`)

	// What makes leave a refusal, and what leaves it open.
	notClear = wordsOf(`(?:not|no|never|cannot|without)\b[^,;]*\b(?:clear|accept(?:ed)?|come|proceed|go|send|sent|take|let|allowed|yes|consent|permission|authority)|refused?|refuses|blocked|obstructed|obstruction|withdrawn|cancel(?:led|s)?`)
	notSure  = wordsOf(`stop|hold|held|keep|wait|when|until|till|unless|if|not|cannot|danger`)

	parts     = regexp.MustCompile(`[,;]|\. `)
	asksClear = regexp.MustCompile(`\?\s*$|^\s*is (?:the )?line clear`)
	shortNot  = regexp.MustCompile(`n't\b`)
)

func plainWords(text string) string {
	return shortNot.ReplaceAllString(strings.ToLower(text), " not")
}

// reportsArrival says whether a message says that a train has arrived complete.
func reportsArrival(text string) bool {
	text = plainWords(text)
	if notComplete.MatchString(text) {
		return false
	}
	for _, part := range parts.Split(text, -1) {
		if saidArrived.MatchString(part) && !notYet.MatchString(part) {
			return true
		}
	}
	return false
}

// leave is what a message says of a train that is to come.
type leave uint8

const (
	noLeave leave = iota // it is about something else
	leaveRefused
	leaveUnclear // it names the train, in words that are not known here
	leaveGiven
)

// leaveIn reads a message for the leave that it gives to send a train.
func leaveIn(message string) leave {
	text := plainWords(message)
	switch {
	case asksClear.MatchString(text):
		return noLeave
	case notClear.MatchString(text):
		return leaveRefused
	case saidMayCome.MatchString(text) && !notSure.MatchString(text):
		return leaveGiven
	case saidMayCome.MatchString(text), len(namesIn(message)) > 0 && !reportsArrival(message) && !saidGone.MatchString(text):
		return leaveUnclear
	}
	return noLeave
}

// namesIn are the words of a text that may be names of trains: letters and figures.
func namesIn(text string) []string {
	return slices.DeleteFunc(strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ,;.:?\"'()", r) }), func(word string) bool {
		shape := shapeOf(word)
		return len(word) < 3 || !strings.Contains(shape, "0") || !strings.Contains(shape, "a")
	})
}

// sameTrains says whether two messages are of one train, as far as they name any.
func sameTrains(a, b string) bool {
	in := namesIn(b)
	return len(in) == 0 || len(namesIn(a)) == 0 || slices.ContainsFunc(namesIn(a), func(n string) bool { return slices.Contains(in, n) })
}

// unclearLeave raises a train that went, or came, on a message whose words are not known
// here: whoever reads the book decides whether it was let go.
func (st *step) unclearLeave(section int, t *Train, text string) {
	if leaveIn(text) == leaveGiven {
		return
	}
	f := st.note(rulebook.WorkingByMessageNoMessage, st.b.Sections[section].Neighbour, t.Label(st.b), "a message that says in plain words that the train may come: line clear for it")
	f.Severity = rulebook.Irregular
	f.Text = words("The only message in hand for the train, “"+text+"”, does not say in words known here that it may come", f.Section, f.Train)
}

// openLeft advises that a message names a train in the section and does not say that it
// has arrived complete: the train stays in the section.
func (st *step) openLeft(t *Train) {
	if text := plainWords(st.e.Text); saidGone.MatchString(text) || asksClear.MatchString(text) {
		return
	}
	st.note(rulebook.ArrivalNotReported, st.e.Subject, t.Label(st.b), "")
}
