package block

import (
	"slices"
	"strings"
	"unicode"

	"fairhand/block/rulebook"
)

// Messages are free text. What one does is decided by its words: those of the signals
// that are spoken between boxes, and what signallers write for them. One that has none
// of them does nothing, and whoever reads the book is told so.

// The words and phrases. Source of arrived, accept and refuse: the words of train
// reporting (package rulebook, spoken); the others are common practice.
var (
	saidArrived = phrases("arrived/arr/complete/whole/entire/out of section/section clear/section is clear/clear of section/clear of the section")
	saidMayCome = phrases("line clear/line is clear/clear for/accept/accepted/may come/may proceed/may go/may be sent/can come/can proceed/can go/can be sent/send/let/yes/proceed/consent/permission/authority")
	saidGone    = phrases("left/leaves/leaving/gone/departed/dep/entering/entered/passed/sent")

	// What takes the meaning from a report of arrival, and from its own part of a text.
	notComplete = phrases("not/never/cannot/no tail/without/incomplete/divided/parted/part of/portion/missing/behind/stop/danger/runaway/running away/failed")
	notYet      = phrases("?/will/shall/when/until/till/unless/if/should/after/before/once/as soon as/yet")

	// What makes leave a refusal: by itself, or before a word of leave in its part of the
	// text; and what leaves it open.
	saidNo   = phrases("refuse/refused/refuses/blocked/obstructed/obstruction/withdrawn/cancel/cancelled/cancels")
	denies   = phrases("not/no line/no train/never/cannot/without")
	denied   = phrases("clear/accept/accepted/come/proceed/go/send/sent/take/let/allowed/yes/consent/permission/authority")
	notSure  = phrases("stop/hold/held/keep/wait/when/until/till/unless/if/not/cannot/danger")
	asksIfIs = phrases("is line clear/is the line clear")

	// What ends an alarm.
	saidOver = phrases("line clear/line is clear/all clear/all right/section clear/section is clear/normal")

	// What has a train in the section still.
	saidStands = phrases("standing/stands/stopped/still/waiting/failed/in section/in the section")
	saidAbsent = phrases("where is/where has/no sign of/nothing of/not here/not arrived/not come/not seen") // by the box that it goes to

	saidIn      = phrases("in/here/through/back")
	saidDivided = phrases("divided/parted/rear part/rear portion/front part/front portion")
	saidRemoved = phrases("drawn back/brought back/worked back/removed/cleared/clear/recovered")
	saidTail    = phrases("tail lamp/tail light/tail board/tail disc")
	saidWhole   = phrases("complete/whole/entire")
	saidInside  = phrases("inside/shut in/in the siding")
	saidLast    = phrases("the last")

	saidComesOut = phrases("come out/come back/want/ready") // of a siding, of one that is inside

	// What warns the driver who hears it.
	saidCaution = phrases("caution/cautiously/look out")

	// What makes a report of a train one of something wrong.
	protests = phrases("no/why/what/unannounced/unoffered/unexpected/unaccepted/past/ran past/irregular/wrong")
)

// gearFailed takes out of a message that gear has failed: it is no train then.
var gearFailed = strings.NewReplacer("bells failed", "", "bell failed", "", "instrument failed", "", "instruments failed", "", "counter failed", "", "block failed", "")

func phrases(list string) []string { return strings.Split(list, "/") }

// wordsIn is a message as its parts, each its words in small letters with a space before
// and behind each.
func wordsIn(text string) (parts []string) {
	text = strings.ReplaceAll(strings.ToLower(text), "n't", " not")
	text = strings.NewReplacer("?", " ? ", ". ", ",", ";", ",").Replace(text)
	for part := range strings.SplitSeq(text, ",") {
		words := strings.FieldsFunc(part, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '?' })
		parts = append(parts, " "+strings.Join(words, " ")+" ")
	}
	return parts
}

// said finds where one of the phrases begins in a part of a message; -1 for none.
func said(part string, list []string) int {
	at := -1
	for _, p := range list {
		if i := strings.Index(part, " "+p+" "); i >= 0 && (at < 0 || i < at) {
			at = i
		}
	}
	return at
}

// has tells whether a part of a message has one of the phrases.
func has(part string, list []string) bool { return said(part, list) >= 0 }

// says tells whether any part of a message has one of the phrases.
func says(parts []string, list []string) bool {
	return slices.ContainsFunc(parts, func(p string) bool { return has(p, list) })
}

// reportsArrival says whether a message says that a train has arrived complete.
func reportsArrival(text string) bool {
	parts := wordsIn(text)
	return !says(parts, notComplete) && slices.ContainsFunc(parts, func(p string) bool { return has(p, saidArrived) && !has(p, notYet) })
}

// asks says whether a message is a question, and gives nothing.
func asks(parts []string) bool {
	return strings.HasSuffix(parts[len(parts)-1], "? ") || said(parts[0], asksIfIs) == 0
}

// refuses says whether a message keeps a train back.
func refuses(parts []string) bool {
	return says(parts, saidNo) || slices.ContainsFunc(parts, func(p string) bool {
		i := said(p, denies)
		return i >= 0 && has(p[i+1:], denied)
	})
}

// objects says whether a message speaks of a train, or of none by name, and is more than a
// plain report of it. Of a train that nobody has named any may speak.
func objects(message, train string) bool {
	text := wordsIn(gearFailed.Replace(strings.ToLower(message)))
	against := says(text, notComplete) || says(text, denies) || says(text, saidNo) || says(text, protests)
	if !strings.Contains(message, train) {
		return against && len(namesIn(message)) == 0
	}
	return against || train != "" && !reportsArrival(message) && !says(text, saidGone)
}

// hasYet says whether a message tells that a train is in the section still.
func hasYet(message, train string) bool {
	text := wordsIn(message)
	return slices.ContainsFunc(text, func(p string) bool {
		stands := has(p, saidAbsent) || !asks(text) && has(p, saidStands)
		return strings.Contains(p, " "+strings.ToLower(train)+" ") && stands && !has(p, saidGone)
	})
}

// hasIn says whether a message tells that a train has come out of the section.
func hasIn(message, train string) bool {
	return slices.ContainsFunc(wordsIn(message), func(p string) bool {
		in := has(p, saidArrived) || has(p, saidIn)
		return strings.Contains(p, " "+strings.ToLower(train)+" ") && in && !has(p, saidStands) && !has(p, notComplete) && !has(p, notYet)
	})
}

// saysOver says whether a message tells that what stopped trains is over.
func saysOver(message string) bool {
	text := wordsIn(message)
	over := slices.ContainsFunc(text, func(p string) bool { return has(p, saidOver) && !has(p, notYet) })
	return over && !asks(text) && !refuses(text) && !says(text, saidStands)
}

// saysClear says whether a message tells that somebody is clear of a line now.
func saysClear(message string) bool {
	text := wordsIn(message)
	return says(text, saidRemoved) && !says(text, notYet) && !says(text, notSure) && !says(text, saidStands) && !asks(text)
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
	text := wordsIn(message)
	lets := says(text, saidMayCome)
	switch {
	case asks(text):
		return noLeave
	case refuses(text):
		return leaveRefused
	case says(text, saidLast) && !slices.ContainsFunc(text, func(p string) bool { return has(p, saidMayCome) && len(namesIn(p)) > 0 }):
		return noLeave // the trains that ran are told, and that the line is clear of them: none is let come
	case lets && !says(text, notSure):
		return leaveGiven
	case lets, len(namesIn(message)) > 0 && !reportsArrival(message) && !says(text, saidGone):
		return leaveUnclear
	}
	return noLeave
}

// fieldsOf are the words of a text as they are written.
func fieldsOf(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ,;.:?\"'()", r) })
}

// namesIn are the words of a text that may be names of trains: letters and figures.
func namesIn(text string) []string {
	return slices.DeleteFunc(fieldsOf(text), func(word string) bool {
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
	st.noteSaying(rulebook.WorkingByMessageNoMessage, st.b.Sections[section].Neighbour, t.Label(st.b), "The only message in hand for the train, “"+text+"”, does not say in words known here that it may come",
		"a message that says in plain words that the train may come: line clear for it").Severity = rulebook.Irregular
}

// openLeft advises that a message names a train in the section and does not say that it
// has arrived complete: the train stays in the section.
func (st *step) openLeft(t *Train) {
	if text := wordsIn(st.e.Text); says(text, saidGone) || asks(text) {
		return
	}
	st.note(rulebook.ArrivalNotReported, st.e.Subject, t.Label(st.b), "")
}

// toldIn notes a train that is in, and that this box tells the box in rear so in words: working by
// message may follow at once, and asks for no more. Source: Block Working Manual Part A 8.6(b).
func (st *step) toldIn() {
	i := st.b.SectionIndex(st.e.Subject)
	for _, t := range slices.Clone(st.s.Trains) {
		if st.e.Kind == MessageTo && t.Name != "" && t.In.Section == i && t.In.open() && t.clearOfSection() && t.whole() && speaksOf(st.e.Text, t.Name) && reportsArrival(st.e.Text) {
			st.touch(t).In.Told = true
		}
	}
}

// saysHeld: the remark beside the cancelling may be the message.
func saysHeld(text string) bool {
	text = strings.ToLower(text)
	return strings.Contains(text, "held") || strings.Contains(text, "hold")
}
