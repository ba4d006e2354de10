package tui

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/notation"
	"fairhand/register/sheet"
)

// mode says what the keys do at the moment.
type mode uint8

// The modes. modeDesk is where everything starts and returns to.
const (
	modeDesk     mode = iota
	modeAsk           // an expected entry still wants a name, beats or a number
	modeProof         // an expected entry still wants what was seen of the tail lamp
	modeSure          // an expected entry clears something by way of exception
	modeObstruct      // on which line obstruction danger is sent
	modeMove          // which train is shunted
	modeWhere         // to which place it is shunted
	modeWhich         // which of several entries is meant
	modeStrike        // why an entry is struck out
	modeBeats         // beats are typed for a bell signal that was not expected
	modeLine          // a line is typed: an entry, a correction or a remark
	modeForms         // a kind of entry is chosen
	modeClock         // the computer's clock is in doubt
	modePIN           // somebody's PIN is asked for
	modeLocked        // the desk is locked
	modeStop          // danger was found in what is to be written
	modeBook          // the entries of a day fill the screen
	modePage          // the trade's page of a day: one row a train
	modeFindings      // findings that nobody has explained
	modeDue           // what will fall due
	modeHandover      // the turn is handed over, item by item
	modeTrains        // trains expected, and the time in hand
	modeFound         // what a search of all years has found
	modeAudit         // the book is examined and signed
	modeGraph         // the train graph of a day
	modeCodes         // the bell codes of the box
	modeWhole         // everything that stands, nothing left out or cut
	modeHelp          // keys and forms
	modeQuit          // really leave?
	modeCount
)

var modeWords = [modeCount]string{
	"desk", "name or number", "tail lamp", "are you sure", "obstruction danger", "which train", "where to", "which", "strike out", "beats", "entry line", "kinds of entry", "clock", "PIN", "locked", "stop",
	"register", "page", "findings", "due", "handover", "trains", "search", "inspection", "graph", "bell codes", "everything", "help", "leave",
}

func (m mode) String() string { return modeWords[m] }

// typing says whether printable keys are text in this mode.
func (m mode) typing() bool { return typingIn.has(m) }

// sight is what the desk sees of the book at one moment. It is shared with the
// book: for reading only.
type sight struct {
	box      *block.Box
	state    *block.State
	day      []register.Entry // of the latest register day, oldest first
	eve      []register.Entry // of the register day before it: what was found then may still wait
	unbooked string           // why the trains booked are not known; "" where they are
	next     []block.Expectation
	withheld []block.Withheld

	due   []block.DueItem // within the next quarter of an hour
	ahead register.Outlook

	notices      []register.Notice // special ones, also those that bind no more or not yet
	noticesAmiss error             // why they cannot be read

	sheet register.Sheet // only while the turn is handed over
	zone  *time.Location
	now   block.Time

	doubt *register.ClockError // that the computer's clock is right; nil for none

	amiss []sheet.Alarm // with the register itself, as its watch tells them

	graph func(day *register.Day, columns, lines int) string // draws the train graph; nil for none
	codes string                                             // the code card, line by line; "" for none
}

// dueAhead is how far ahead the desk looks for things that fall due.
const dueAhead = 15 * block.Minute

// purpose is what a line is typed for.
type purpose uint8

// The purposes of the line.
const (
	forEntry   purpose = iota // an entry in the notation
	forCorrect                // the line that is to stand instead of entry target
	forExplain                // a remark on what was found about entry target
	forTime                   // the clock time of the next entry
	forDate                   // the day to show
	forSearch                 // what the entries shown must contain
	forYears                  // what the entries of all years must contain
	forQuery                  // what the relief asks about an item of the sheet
	forRemark                 // a remark of the relief
	forRelief                 // who signs on
	forPeriod                 // the days to be examined
	forStrike                 // why an entry is struck out
	forSign                   // the entry with which the book is signed
	forPIN                    // whose PIN is set
)

// kept is a line that was written or given up, and what it was typed for.
type kept struct {
	purpose purpose
	target  int64
	text    string
}

// asking is an expected entry that waits for an answer.
type asking struct {
	exp     block.Expectation
	was     block.Time // when it happened: at the key press that began it, or earlier when set back
	refused bool       // a train was offered and is not accepted
}

// stopped is what waits for a decision because danger was found.
type stopped struct {
	events   []block.Event
	findings []block.Finding // danger only
	from     mode            // where dropping it leads
	signers  []signer
	pick     int // the row of the list before it
}

// grade says how much a message matters.
type grade uint8

// The grades of a message.
const (
	calm grade = iota
	good
	warn
	alarm
)

// message is the desk's one line to the signaller.
type message struct {
	text  string
	grade grade
}

// saying is the model with a message, says the same as the end of a key.
func (m model) saying(text string, of grade) model {
	m.msg = message{text, of}
	return m
}

func (m model) says(text string, of grade) (model, cmd) { return m.saying(text, of), cmd{} }

// model is the whole of the desk.
type model struct {
	mode mode
	back mode // where modeHelp, modeQuit return to
	from mode // where the line was begun
	sight
	seen   int64    // the last entry at the last look
	onHand []string // names of the trains at the last look
	lines  bool     // the desk is worked in lines, where keys that have names are typed
	small  bool     // the window is too small to work in

	width, height int // of the window, in cells

	listed []listed          // what is expected next, as it stands in the list
	lent   [numbers + 1]lent // what the number keys stood for
	guard  time.Duration     // how long a thing must be on the screen before a key counts; 0 for no guard
	moment time.Time         // of what happened last
	came   time.Time         // when the present mode began
	burst  time.Time         // the last key that was taken for a slip
	last   string            // the last key
	shut   time.Time         // when Enter last ended a prompt, or was answered by a question
	poised *poised           // a key that writes when the hand rests

	entered   string    // what Enter writes
	firstCame time.Time // since when

	shift   int        // minutes by which the next entry is set back, 0 or less
	backTo  block.Time // the clock time typed to which it is set back; 0 for none
	alter   bool       // the next expected entry is to be altered before it is written
	section int        // chosen for the beats pad

	edit    editor
	purpose purpose
	target  int64
	doubted string // the text with an unknown name that was asked about
	meant   string // the text with the name that may be meant in its place; "" for none
	unmeant string // the text as it was typed, once that was taken
	adds    string // the line that adds that name to the box; "" for none
	aside   aside
	stands  string // forCorrect: the line as it stands
	place   int    // modeProof: steps away from the place guessed
	ask     asking
	stop    stopped
	clocked clocked
	secret  secret
	keyed   time.Time // when the last key came

	history []kept // lines written or given up, oldest first
	recall  int    // how far back in those of its kind, 0 for the line being typed
	draft   string // that line, while looking back
	fault   *notation.Error
	offers  []notation.Suggestion // completions shown
	fitted  string                // text the completions are for
	fitting int                   // which completion is in the line, -1 for none

	shown  *register.Day // an earlier day in modeBook and modePage, nil for today
	glance bool          // of the day shown only the entries are read yet
	find   string        // only entries that contain it
	found  bool          // only entries about which something was found
	only   int           // only entries about this section, from 1; 0 for all

	taking takeover
	hunt   hunt
	exam   exam
	fine   bool // the train graph has five minutes a line

	choices []string // what stands under the numbers of a question
	moving  string   // the train that is shunted

	which     []listed // between which it is asked
	whichOf   string   // what is asked
	whichFrom int      // the first of them that is shown

	pick int // selected row of a list
	top  int // desk: entries scrolled back; help: first row
	msg  message

	calling []string // what is due and late, as the bell has called for it; nil before the first look
}

// open is a finding that no remark answers, and the entry a remark is to name.
type open struct {
	block.Finding
	entry int64
}

// unexplained lists the findings of the latest register day and the one before
// that no remark answers, the gravest first and of each grade the latest first.
func (m *model) unexplained() []open {
	var out []open
	today := map[int64]bool{} // entries of the day before that were explained today
	for i := range m.day {
		if e := &m.day[i].Event; e.Kind == block.Explain {
			today[e.Target] = true
		}
	}
	for _, day := range [][]register.Entry{m.day, m.eve} {
		for i := len(day) - 1; i >= 0; i-- {
			e := &day[i]
			if len(e.Explained) > 0 || today[e.Seq] {
				continue
			}
			for _, f := range e.Findings {
				if !m.onEve(&f, e.Seq) {
					out = append(out, open{f, e.Seq})
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b open) int { return cmp.Compare(b.Severity, a.Severity) })
	return out
}

// onEve says whether a finding that stands with an entry of today is about one of
// the day before, and stands there too.
func (m *model) onEve(f *block.Finding, with int64) bool {
	if f.Seq == with {
		return false
	}
	return slices.ContainsFunc(m.eve, func(e register.Entry) bool {
		return e.Seq == f.Seq && slices.ContainsFunc(e.Findings, func(o block.Finding) bool {
			return o.Rule == f.Rule && o.Severity == f.Severity && o.At == f.At && o.Text == f.Text
		})
	})
}

// entries are those the register page shows: of the day shown, and of those the
// ones looked for.
func (m *model) entries() []*register.Entry {
	day := m.day
	if m.shown != nil {
		day = m.shown.Entries
	}
	var out []*register.Entry
	for i := range day {
		e := &day[i]
		if m.found && len(e.Findings) == 0 || m.find != "" && !holds(e, m.find) ||
			m.only > 0 && e.Event.Section != m.box.Sections[m.only-1].Neighbour {
			continue
		}
		out = append(out, e)
	}
	return out
}

// holds says whether an entry contains a text, in capitals or not: in its line,
// its writer, or what was found about it.
func holds(e *register.Entry, text string) bool {
	all := e.Line + " " + e.Writer
	for _, f := range e.Findings {
		all += " " + string(f.Rule) + " " + f.Text
	}
	return strings.Contains(strings.ToLower(all), strings.ToLower(text))
}

// entry finds an entry of the latest register day or the one before; nil when
// it is of neither.
func (m *model) entry(seq int64) *register.Entry {
	for _, day := range [][]register.Entry{m.day, m.eve} {
		if i := slices.IndexFunc(day, func(e register.Entry) bool { return e.Seq == seq }); i >= 0 {
			return &day[i]
		}
	}
	return nil
}

// date is the day shown.
func (m *model) date() calendar.Day {
	switch {
	case m.shown != nil:
		return m.shown.Date
	case len(m.day) > 0:
		return m.latestDay()
	}
	return m.today()
}

// latestDay is the register day the book is in; 0 in an empty book. Its first entry
// tells it: a later one may be of what happened before midnight.
func (m *model) latestDay() calendar.Day {
	if len(m.day) == 0 {
		return 0
	}
	return m.day[0].Day
}

// today is the present date of the box.
func (m *model) today() calendar.Day { return calendar.Of(m.now, m.zone) }

// clock is a moment as the page writes it.
func (m *model) clock(at block.Time) string { return calendar.Clock(at, m.zone, m.box.Rounding) }

// noted is the time of an entry as the register has it below: rounded it may lie ahead of
// the clock above.
func (m *model) noted(at block.Time) string { return calendar.Exact(at, m.zone) }

// dayOf is the day of a moment behind its time, where that is another than today.
func (m *model) dayOf(at block.Time) string {
	if d := calendar.Of(at, m.zone); d != m.today() {
		return d.Format(" Mon 2 Jan")
	}
	return ""
}

// neighbour is the name of the section chosen for the beats pad.
func (m *model) neighbour() string { return m.box.Sections[m.section].Neighbour }
