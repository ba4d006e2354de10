package tui

import (
	"strings"
	"unicode/utf8"
)

// doer is what a key does: an action, which each mode takes in its own way, or a deed,
// which is the same wherever a key has it.
type doer interface {
	press(m model, p pressed) (model, cmd)
}

type deed func(m model, p pressed) (model, cmd)

func (d deed) press(m model, p pressed) (model, cmd) { return d(m, p) }

// alters makes a deed of what changes the model alone, opens one that shows a list, and
// types one that begins a line.
func alters(f func(model) model) deed {
	return func(m model, _ pressed) (model, cmd) { return f(m), cmd{} }
}

func opens(of mode) deed { return alters(func(m model) model { return m.toList(of) }) }

func types(why purpose) deed { return alters(func(m model) model { return m.line(why, 0, "") }) }

// beside shows the day with entries before or after the one shown.
func beside(step int) deed {
	return func(m model, _ pressed) (model, cmd) {
		return m, cmd{do: fetch, date: m.date(), step: step, page: m.mode != modeBook}
	}
}

type action uint8

func (a action) press(m model, p pressed) (model, cmd) {
	if press, ok := presses[m.mode]; ok {
		return press(m, p)
	}
	return m.pressList(p)
}

// The actions. Each has at least one row in keyTable.
const (
	doNext action = iota
	doNth
	doAlter
	doEarlier
	doLater
	doBook
	doHelp
	doQuit
	doUp
	doDown
	doPageUp
	doPageDown
	doHome
	doEnd
	doLeft
	doRight
	doText
	doRub
	doDelete
	doRubWord
	doRubAll
	doSection
	doPlace
	doFit
	doAccept
	doDrop
	doReceived
	doSent
	doComplete
	doNoLamp
	doLampOut
	doWriteIt
	doCorrect
	doExplain
	doFound
	doPage
	doHandover
	doTick
	doUntick
	doQuery
	doOnly
	doGo
	doRefuse
	doExamTurn
	doExamDay
	doExamWeek
	doAuditFound
	doFine
	doAside
	doObstruct
	doReason
	doTyped
	doRings
	doRest
	actionCount
)

// modes is a set of modes.
type modes uint32

func in(list ...mode) modes {
	var s modes
	for _, m := range list {
		s |= 1 << m
	}
	return s
}

func (s modes) has(m mode) bool { return s&(1<<m) != 0 }

var (
	everywhere = modes(1<<modeCount - 1)
	typingIn   = in(modeAsk, modeBeats, modeLine, modeForms, modePIN, modeLocked)
	onALine    = in(modeAsk, modeBeats, modeLine, modePIN, modeLocked)
	lists      = in(modeForms, modeBook, modePage, modeFindings, modeDue, modeHelp, modeHandover, modeTrains, modeFound, modeAudit, modeGraph, modeCodes, modeWhole)
	papers     = in(modePage, modeAudit, modeGraph, modeCodes, modeWhole, modeHelp)
	dayPages   = in(modeBook, modePage, modeGraph)
)

// anyText in a row stands for every printable key that no other row of the mode takes.
const anyText = "text"

// keyRow is one row of the key table: it answers the key press, writes the
// footer and writes the help.
type keyRow struct {
	keys   []string
	modes  modes
	do     doer
	label  string // in the footer; empty where the help alone tells of it
	help   string
	footer int // smaller stands further left

	fits func(*model) bool // when the footer shows it; nil for always
}

// isWide says whether the footer has room for a key of what stands on the desk anyway.
func isWide(m *model) bool { return m.width >= wideDesk }

// keyTable is every key of the desk. Control characters that a terminal sends
// for Backspace, Tab, Enter and Esc are not used; what is on a function key is
// on a letter as well.
var keyTable []keyRow

func init() { keyTable = keyRows } // which read it themselves, in the help and the footer

var keyRows = []keyRow{
	{[]string{"Enter"}, in(modeDesk), doNext, "first", "write the first of the entries expected next, where Enter stands before it", 1, nil},
	{[]string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}, in(modeDesk), doNth, "", "write that one of the entries expected next", 2, nil},
	{[]string{"0"}, in(modeDesk), alters(model.theRest), "", "those of the entries expected next that the window has no room for, or no number", 2, nil},
	{[]string{"a"}, in(modeDesk), doAlter, "alter", "alter the next expected entry before it is written: beats, name, number (again: no)", 3, nil},
	{[]string{"-"}, in(modeDesk), doEarlier, "min", "it happened a minute earlier (again: one more); the entry says that it was written late", 4, nil},
	{[]string{"+", "="}, in(modeDesk), doLater, "", "a minute less early", 4, nil},
	{[]string{"t"}, in(modeDesk), types(forTime), "", "the clock time of the next entry", 4, nil},
	{[]string{"b", "F2"}, in(modeDesk), alters(model.openPad), "bell", "type the beats of any bell signal", 5, nil},
	{[]string{"e", "F3"}, in(modeDesk), types(forEntry), "entry", "type any entry as a line", 6, nil},
	{[]string{"k", "F4"}, in(modeDesk), opens(modeForms), "kinds", "choose a kind of entry: tokens, duty, reminders, messages, failures ...", 7, nil},
	{[]string{"m"}, in(modeDesk), alters(model.shunting), "", "a train that is here is shunted to another place", 7, nil},
	{[]string{"x"}, in(modeDesk), doRings, "call", "the user of a level crossing rings: what he asks for (again with Tab: the next crossing)", 4, canRing},
	{[]string{"r", "F5"}, in(modeDesk), opens(modeBook), "book", "today's register; corrections are made there", 8, nil},
	{[]string{"f", "F6"}, in(modeDesk), opens(modeFindings), "found", "findings that wait for a remark", 9, nil},
	{[]string{"d", "F7"}, in(modeDesk), opens(modeDue), "due", "what falls due in the next quarter of an hour, and every train in a section", 10, isWide},
	{[]string{"h", "F8"}, in(modeDesk), doHandover, "handover", "hand the turn over: the sheet, item by item, and the relief signs on", 10, nil},
	{[]string{"n", "F9"}, in(modeDesk), opens(modeTrains), "trains", "special notices, trains expected by the timetable, how late they run, and the time in hand", 10, nil},
	{[]string{"i"}, in(modeDesk), alters(model.inspect), "", "examine the book: the audit of a turn, a day, a week or a period; and sign it", 10, nil},
	{[]string{"g"}, in(modeDesk), deed(model.toGraph), "", "the train graph of the day", 10, nil},
	{[]string{"c"}, in(modeDesk), opens(modeCodes), "codes", "the bell codes of this box, and what they mean", 5, besideCalls},
	{[]string{"s"}, in(modeDesk), opens(modeWhole), "all", "everything that stands, in full: each line, what is out of the ordinary, what is expected and due", 10, nil},
	{[]string{"u"}, in(modeDesk), deed(func(m model, p pressed) (model, cmd) { return m.toTurn(p.at) }), "", "sign on, or sign off without a relief", 10, nil},
	{[]string{"l"}, in(modeDesk), alters(model.lock), "lock", "lock the desk: the line goes on being shown; the name or the PIN of who is on duty unlocks it", 10, nil},
	{[]string{"p"}, in(modeDesk), types(forPIN), "", "set a PIN, or another in its place: whose is asked; one that is forgotten: fairhand pin", 10, nil},
	{[]string{"?"}, everywhere &^ typingIn &^ in(modeHelp, modeQuit), doHelp, "help", "keys, and every form of entry", 11, nil},
	{[]string{"F1"}, everywhere &^ in(modeHelp, modeQuit), doHelp, "", "keys, and every form of entry; what is typed stays", 11, nil},
	{[]string{"q", "F10"}, in(modeDesk), doQuit, "leave", "leave the desk; asks first", 12, nil},
	{[]string{"Ctrl-C"}, everywhere &^ in(modeQuit), doQuit, "", "leave the desk; asks first, and what is typed stays", 12, nil},

	{[]string{"Up"}, in(modeDesk), doUp, "", "scroll the register back", 20, nil},
	{[]string{"Down"}, in(modeDesk), doDown, "", "scroll the register on", 20, nil},
	{[]string{"PgUp"}, in(modeDesk), doPageUp, "", "scroll the register back by ten", 20, nil},
	{[]string{"PgDn"}, in(modeDesk), doPageDown, "", "scroll the register on by ten", 20, nil},
	{[]string{"End"}, in(modeDesk), doEnd, "", "to the newest entry", 20, nil},
	{[]string{"Esc"}, in(modeDesk), doDrop, "", "forget the minutes set back, `alter` and the message", 20, nil},

	{[]string{"Enter"}, in(modeAsk), doAccept, "write", "write the entry; what is left empty stays as proposed", 1, nil},
	{[]string{"Tab"}, in(modeAsk), doRefuse, "not accepted", "the train is offered and not accepted, by either box: the last answer is not given (again: it is)", 2, canRefuse},
	{[]string{"o"}, in(modeDesk), doObstruct, "danger", "send obstruction danger: at once, on the line that is asked", 2, nil},
	{[]string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}, in(modeObstruct), doNth, "send on that line", "send obstruction danger for that line, and write it", 1, nil},
	{[]string{"n", "Esc"}, in(modeObstruct), doDrop, "no", "no: nothing is sent or written", 2, nil},
	{[]string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}, in(modeMove), doNth, "that train", "the train that is shunted; then it is asked where to", 1, nil},
	{[]string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}, in(modeWhere), doNth, "to that place", "write that the train was shunted to that place", 1, nil},
	{[]string{"t"}, in(modeMove, modeWhere), doTyped, "type it", "type the line, for another train or place", 2, nil},
	{[]string{"n", "Esc"}, in(modeMove, modeWhere), doDrop, "no", "no: nothing is written", 3, nil},
	{[]string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}, in(modeWhich), doNth, "that one", "the entry that is meant: write it, or what it asks first", 1, nil},
	{[]string{"0"}, in(modeWhich), doRest, "the others", "those that the window has no room for", 2, moreWhich},
	{[]string{"n", "Esc"}, in(modeWhich), doDrop, "no", "no: nothing is written", 3, nil},
	{[]string{"z"}, in(modeDesk), alters(func(m model) model { return m.strike(m.latest()) }), "undo", "strike out the last entry: it never happened, or a wrong key; it stays, struck through", 3, nil},
	{[]string{"z"}, in(modeBook), alters(func(m model) model { return m.strike(m.picked()) }), "undo", "strike the entry out: it never happened; it stays, struck through", 2, nil},
	{[]string{"1", "2", "3", "4"}, in(modeStrike), doReason, "that reason", "strike it out for that reason", 1, nil},
	{[]string{"t"}, in(modeStrike), alters(func(m model) model { return m.line(forStrike, m.target, "") }), "type it", "type another reason", 2, nil},
	{[]string{"n", "Esc"}, in(modeStrike), doDrop, "no", "no: nothing is written", 3, nil},
	{[]string{"y"}, in(modeClock), doAccept, "it is right", "the clock is right: book that it was asked about, and write what waits", 1, nil},
	{[]string{"n", "Esc"}, in(modeClock), doDrop, "it is wrong", "the clock is wrong: write nothing; set it, then enter again", 2, nil},
	{[]string{"Enter"}, in(modePIN), doAccept, "give it", "that is the PIN: sign on with it, or set it", 1, nil},
	{[]string{"Tab"}, in(modePIN), doRefuse, "without it", "sign on without the PIN, as when it is forgotten: that is found, and stands in the book", 2, func(m *model) bool { return m.secret.want == signingOn }},
	{[]string{"Enter"}, in(modeLocked), doAccept, "unlock", "unlock the desk", 1, nil},
	{[]string{"y"}, in(modeSure), doAccept, "yes, it is so", "it is so: write the entry, though it clears what stands", 1, nil},
	{[]string{"n", "Esc"}, in(modeSure), doDrop, "no", "no: nothing is written", 2, nil},
	{[]string{"c", "y"}, in(modeProof), doComplete, "complete", "tail lamp seen: the train is complete; write the entry", 1, nil},
	{[]string{"n"}, in(modeProof), doNoLamp, "no tail lamp", "no tail lamp; write the entry", 2, nil},
	{[]string{"o"}, in(modeProof), doLampOut, "lamp out", "tail lamp carried but out; write the entry", 3, nil},
	{[]string{"Tab"}, in(modeProof), doPlace, "another place", "the train stands at another place", 4, nil},

	{[]string{"Enter"}, in(modeBeats), doAccept, "write", "write the bell signals as they stand", 1, nil},
	{[]string{"<", ","}, in(modeBeats), doReceived, "received", "received: after beats alone the whole exchange is put there; before beats it is a signal of its own", 2, nil},
	{[]string{">", "."}, in(modeBeats), doSent, "sent", "sent, in the same way", 3, nil},
	{[]string{"Tab"}, in(modeBeats), doSection, "other box", "the bell of the next neighbour", 4, nil},

	{[]string{"Enter"}, in(modeLine), doAccept, "write", "write the line", 1, nil},
	{[]string{"Tab"}, in(modeLine), doFit, "complete", "complete the word, again: the next that fits; a name that nobody knows: take the one meant, or add it to the box", 2, nil},
	{[]string{"Up"}, in(modeLine), alters(func(m model) model { return m.remember(1) }), "earlier line", "the line written or given up before", 3, func(m *model) bool { return len(m.earlier()) > 0 }},
	{[]string{"Down"}, in(modeLine), alters(func(m model) model { return m.remember(-1) }), "", "the line after that", 3, nil},

	{[]string{"Left"}, onALine, doLeft, "", "cursor left", 30, nil},
	{[]string{"Right"}, onALine, doRight, "", "cursor right", 30, nil},
	{[]string{"Home", "Ctrl-A"}, onALine, doHome, "", "cursor to the start", 30, nil},
	{[]string{"End", "Ctrl-E"}, onALine, doEnd, "", "cursor to the end", 30, nil},
	{[]string{"Backspace"}, typingIn, doRub, "", "take back a character", 30, nil},
	{[]string{"Delete"}, onALine, doDelete, "", "delete the character at the cursor", 30, nil},
	{[]string{"Ctrl-W"}, typingIn, doRubWord, "", "take back a word", 30, nil},
	{[]string{"Ctrl-U"}, typingIn, doRubAll, "", "take back everything before the cursor", 30, nil},
	{[]string{anyText}, typingIn, doText, "", "what is typed", 30, nil},
	{[]string{"Esc"}, onALine&^in(modeLocked) | in(modeProof), doDrop, "drop", "drop it: nothing is written", 9, nil},
	{[]string{"Esc"}, in(modeLocked), doDrop, "", "take back what is typed", 9, nil},

	{[]string{"w"}, in(modeStop), doWriteIt, "write it, it happened", "write the entry as it happened; the finding stands beside it until somebody explains it", 1, nil},
	{[]string{"r"}, in(modeStop), doRefuse, "not accepted", "the train offered is not accepted: write the offer without the answer", 1, canLeave},
	{[]string{"d", "Esc"}, in(modeStop), doDrop, "drop it, not done yet", "drop the entry: it has not been done; the line is kept, the last of those written before", 2, nil},

	{[]string{"Up"}, lists | in(modeStop), doUp, "", "up", 20, nil},
	{[]string{"Down"}, lists | in(modeStop), doDown, "", "down", 20, nil},
	{[]string{"PgUp"}, lists, doPageUp, "", "up by ten", 20, nil},
	{[]string{"PgDn"}, lists, doPageDown, "", "down by ten", 20, nil},
	{[]string{"Home"}, lists, doHome, "", "to the first", 20, nil},
	{[]string{"End"}, lists, doEnd, "", "to the last", 20, nil},
	{[]string{"Enter"}, in(modeForms), doAccept, "take it", "begin an entry of this kind", 1, nil},
	{[]string{"c"}, in(modeBook), doCorrect, "correct", "correct the entry: the old one stays, struck through", 1, nil},
	{[]string{"x"}, in(modeBook), doExplain, "remark", "write a remark on what was found about the entry", 2, nil},
	{[]string{"Enter", "y"}, in(modeHandover), doTick, "take over", "the item is told and understood; then the next that is not ticked", 1, nil},
	{[]string{" "}, in(modeHandover), doUntick, "", "the same, but on a ticked item: take the tick back", 1, nil},
	{[]string{"x"}, in(modeHandover), doQuery, "query", "question the item, with a remark", 2, nil},
	{[]string{"n"}, in(modeHandover), types(forRemark), "remark", "a remark of the relief, written across the page", 3, nil},
	{[]string{"s"}, in(modeHandover), types(forRelief), "sign on", "the relief signs on: everything taken over is written, then duty on, and the off-duty line directly below", 4, nil},
	{[]string{"w"}, in(modeHandover), doWriteIt, "write only", "write what is taken over and queried, without signing on or off", 5, nil},
	{[]string{"Enter"}, in(modeFound), doGo, "show its day", "show the entry in the register of its day", 1, nil},
	{[]string{"/", "s"}, in(modeFound), alters(func(m model) model { return m.line(forYears, 0, m.hunt.text) }), "search again", "search all years for another text", 2, nil},
	{[]string{"x", "Enter"}, in(modeFindings), doExplain, "explain", "write a remark that explains the finding", 1, nil},
	{[]string{"t"}, in(modeAudit), doExamTurn, "this turn", "examine the turn of whoever is on duty", 1, nil},
	{[]string{"d"}, in(modeAudit), doExamDay, "the day", "examine the latest day of the register", 2, nil},
	{[]string{"w"}, in(modeAudit), doExamWeek, "seven days", "examine that day and the six before it", 3, nil},
	{[]string{"p"}, in(modeAudit), types(forPeriod), "a period", "examine the days between two dates, a month or a year", 4, nil},
	{[]string{"s"}, in(modeAudit), alters(func(m model) model { return m.line(forSign, 0, m.signing()) }), "sign the book", "write that the book was examined and signed, by whom and with what remark", 5, nil},
	{[]string{"f", "Enter"}, in(modeAudit), doAuditFound, "findings", "the findings of the report one by one: Enter shows each in the register of its day", 6, nil},
	{[]string{"Left"}, dayPages, beside(-1), "before", "the day before that has entries", 3, nil},
	{[]string{"Right"}, dayPages, beside(1), "after", "the day after", 4, nil},
	{[]string{"g"}, dayPages, types(forDate), "go to date", "go to a date", 5, nil},
	{[]string{"/"}, in(modeBook), alters(func(m model) model { return m.line(forSearch, 0, m.find) }), "search", "show only entries of the day that contain a train, a token, a name or any text", 6, nil},
	{[]string{"s"}, in(modeBook), alters(func(m model) model { return m.line(forYears, 0, m.find) }), "all years", "search the whole register, newest first, while the desk goes on", 6, nil},
	{[]string{"n"}, in(modeBook), doOnly, "one box", "show only entries about one neighbour (again: the next; in the end all)", 7, nil},
	{[]string{"o"}, in(modeBook), doFound, "only found", "show only entries about which something was found (again: all)", 7, nil},
	{[]string{"i"}, in(modeFindings), alters(model.inspect), "inspect the book", "examine the book: the audit of a turn, a day, a week or a period; and sign it", 2, nil},
	{[]string{"t"}, in(modeBook), deed(model.toGraph), "", "the train graph of the day", 8, nil},
	{[]string{"t"}, in(modePage), deed(model.toGraph), "train graph", "the train graph of the day", 8, nil},
	{[]string{"z"}, in(modeGraph), doFine, "closer", "five minutes a line (again: the whole day in the window)", 1, nil},
	{[]string{"p"}, in(modeBook, modeGraph), doPage, "page", "the day as the page of a paper register: one row a train", 8, nil},
	{[]string{"r"}, in(modeGraph), doBook, "entries", "the day entry by entry", 8, nil},
	{[]string{"r", "p"}, in(modePage), doBook, "entries", "the day entry by entry", 8, nil},
	{[]string{"Esc"}, lists, doDrop, "back to the desk", "back to the desk", 9, nil},
	{[]string{"q"}, in(modeAudit), doAside, "", "back to the desk; an audit under way goes on", 9, nil},
	{[]string{"q"}, lists &^ in(modeForms, modeAudit), doDrop, "", "back to the desk", 9, nil},

	{[]string{"y"}, in(modeQuit), doAccept, "leave", "leave the desk; everything written is on disk", 1, nil},
	{[]string{"n", "Esc", "Ctrl-C"}, in(modeQuit), doDrop, "stay", "stay", 2, nil},
}

// lookup finds the row that answers a key in a mode; nil when none does.
func lookup(m mode, key string) *keyRow {
	var text *keyRow
	for i := range keyTable {
		r := &keyTable[i]
		if !r.modes.has(m) {
			continue
		}
		for _, k := range r.keys {
			if k == key {
				return r
			}
			if k == anyText && utf8.RuneCountInString(key) == 1 {
				text = r
			}
		}
	}
	return text
}

// hints are the rows of a mode that the footer shows, in order.
func hints(m mode) []*keyRow {
	var out []*keyRow
	for want := range 20 {
		for i := range keyTable {
			if r := &keyTable[i]; r.modes.has(m) && r.label != "" && r.footer == want {
				out = append(out, r)
			}
		}
	}
	return out
}

// keyWords is how the keys of a row are shown.
func (r *keyRow) keyWords() string {
	if len(r.keys) > 2 && r.keys[0] == "1" {
		return "1-" + r.keys[len(r.keys)-1]
	}
	return r.keys[0]
}

// key is a key as whoever works the desk presses it: by its name, or as a line types it.
func (m *model) key(name string) string {
	switch {
	case !m.lines:
		return name
	case name == "Enter" && m.mode.typing():
		return "an empty line"
	}
	return "/" + strings.ToLower(name)
}

// sentence is words at the beginning of a sentence.
func sentence(words string) string { return strings.ToUpper(words[:1]) + words[1:] }
