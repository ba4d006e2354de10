package block

import (
	"cmp"
	"errors"
	"fmt"
	"iter"
	"slices"

	"fairhand/block/rulebook"
)

// Way is the direction of traffic on a line of a section, seen from this box.
type Way uint8

// The ways a line is worked.
const (
	Both Way = iota // single line
	Out             // away from this box: we are the box in rear
	In              // towards this box: we are the box in advance
	Shut            // no trains: the other line is in use under single line working
)

var wayWords = [...]string{"both", "out", "in", "shut"}

func (w Way) String() string { return wayWords[w] }

// Box describes one signal box: what box.yaml says, checked and resolved. It is
// read-only once Prepare has returned.
type Box struct {
	Railway    string
	Name       string
	Rules      *rulebook.RuleSet
	Limits     rulebook.Limits // of the rule set, with the box's own changes
	Rounding   string          // for the page: nearest-minute, half-minute, up, down
	ClockCheck Time            // local time of day of the daily check in seconds; -1 for none
	Booking    Booking
	PINs       bool     // who signs on gives a PIN as well
	LockAfter  Time     // that the desk locks itself after without a key; 0 for never
	Second     []string // what another hand countersigns beside disconnections; see Seconds
	Sections   []Section
	Places     []Place
	Signals    []Signal
	Gear       []Gear
	Crossings  []Crossing
	People     []Person
	Codes      []rulebook.CodeRow // this box's additions to the rule set

	// Civil is the box's civil time as data, oldest first: from a moment on, so
	// many seconds east of UTC. Without it civil time is UTC.
	Civil []CivilTime

	lines  []lineRef                      // every line of every section, in box order
	pairs  []int                          // by line: the bell it is worked by
	ways   [][2][]int                     // by section and direction: the lines on which a train may go so
	stand  []*duty                        // those that can stand here
	codes  [][]*rulebook.CodeRow          // by section: code book in force
	byCode []codeTable                    // the same by beats
	all    [rulebook.MethodCount]*Machine // by method, of those worked here
}

// Booking says how much of an exchange the book holds.
type Booking uint8

// What is booked of an exchange of bells.
const (
	BookExchanges Booking = iota // call attention and acknowledgements are written
	BookSignals                  // only the signals themselves, as in many paper books
)

// Section is the block section to one neighbouring box.
type Section struct {
	Neighbour     string
	Method        rulebook.Method
	Lines         []Line
	Towards       string // up or down: a train going to this neighbour
	ClearingPoint rulebook.Distance
	Allow         []string // what this box's instructions authorise; see Allowances
	Needs         []string // conditions on acceptance; see Conditions
	Tokens        Tokens
	Staff         StaffPlace                // where it is when the book begins: here, away or not known
	Running       [rulebook.ClassCount]Time // longest regular running time; 0: the rule set's
	Shares        []string                  // neighbours whose token section lies over the same rails (long and short sections)
	Converges     []string                  // neighbours whose trains need the same line within the clearing point
	OnlyReported  bool                      // trains are reported and not offered: by telephone over a double line
	Trains        int                       // most trains in the section at once, where they may follow one another; 0: not told
	Source        string                    // the instruction by which the section is worked so
	LongSection   []string                  // boxes beyond, worked with while the neighbour is switched out

	// While the section is worked with a box beyond, in place of Running and ClearingPoint; left out they serve.
	LongRunning  [rulebook.ClassCount]Time
	LongClearing rulebook.Distance
}

// Line is one running line of a section.
type Line struct {
	Name string
	Way  Way
}

// Tokens are the tokens (tablets, staffs) of a section.
type Tokens struct {
	Charge   []int // every number on the charge list
	Here     []int // those in our instrument when the book begins
	LowStock int   // advise the technician when our instrument falls to this; 0 never
}

// Place is a named spot within station limits where a train can stand.
type Place struct {
	Name       string
	Holds      int // trains; 0 unlimited
	BeyondHome []BeyondHome
	Fouls      []Foul
	AtSignal   bool   // a train standing here is detained at a signal
	Siding     bool   // clear of the running lines
	InSection  string // a siding out in the section to this neighbour, with an auxiliary token instrument
	StarterFor string // neighbour whose section signal a train standing here waits at
}

// BeyondHome is how far beyond a section's home signal a place lies.
type BeyondHome struct {
	Section  string
	Distance rulebook.Distance
}

// Foul names a section, and where it matters a line, whose clearing point a
// train at the place fouls whatever the distance.
type Foul struct {
	Section string
	Line    string
}

// Signal ties a signal's name to the line it protects.
type Signal struct {
	Name    string
	Section string
	Line    string
	Kind    string // section (controls entry to the section), home, distant
}

// Gear is equipment that failures and disconnections name.
type Gear struct {
	Name     string
	Kind     string // points, signal, instrument, lever, crossing, crossing-telephone, release, ground-frame
	Section  string // whose trains run over it or whose block it works; "" all
	Place    string
	Crossing string // level crossing it belongs to
}

// Person is somebody named in the book.
type Person struct {
	Name string
	Role string // signaller, inspector, technician, trainee, pilot ...
}

// lineRef is one line of one section.
type lineRef struct {
	section int
	line    int
}

// Prepare checks the description, fills what it leaves to the rule set and
// makes it ready for Apply. All faults are reported together.
func (b *Box) Prepare() error {
	var errs []error
	bad := func(format string, a ...any) { errs = append(errs, fmt.Errorf(format, a...)) }
	if b.Name == "" {
		bad("box: the name of the box is missing")
	}
	if b.Rules == nil {
		bad("rules: no rule set; known are %v", rulebook.RuleSetNames())
		return errors.Join(errs...)
	}
	if b.Limits == (rulebook.Limits{}) {
		b.Limits = b.Rules.Limits
	}
	if len(b.Sections) == 0 {
		bad("sections: a box has at least one section")
	}
	for i := range b.Sections {
		b.prepareSection(i, bad)
	}
	b.lines, b.stand = b.refs(), nil
	for i := range duties {
		if d := &duties[i]; d.stands != nil && d.at(b) {
			b.stand = append(b.stand, d)
		}
	}
	for _, p := range b.Places {
		of := func(is, section string) {
			if b.SectionIndex(section) < 0 {
				bad("places: %s "+is+" %q, which is no section of this box", p.Name, section)
			}
		}
		if p.InSection != "" {
			of("lies in the section to", p.InSection)
		}
		if p.StarterFor != "" {
			of("is at the section signal for", p.StarterFor)
		}
		for _, f := range p.Fouls {
			of("fouls", f.Section)
		}
		for _, d := range p.BeyondHome {
			of("lies beyond the home signal of", d.Section)
		}
	}
	b.prepareCrossings(bad)
	b.prepareCodes()
	return errors.Join(errs...)
}

func (b *Box) prepareSection(i int, bad func(string, ...any)) {
	s := &b.Sections[i]
	if s.Neighbour == "" {
		bad("sections: section %d has no neighbour", i+1)
	}
	if !b.Rules.Covers(s.Method) {
		bad("sections: %s is worked by %s, which rule set %s does not cover", s.Neighbour, s.Method, b.Rules.Name)
	}
	if len(s.Lines) == 0 {
		bad("sections: %s has no lines", s.Neighbour)
	}
	for _, l := range s.Lines {
		if s.Method.Is().Single != (l.Way == Both) {
			bad("sections: line %q to %s: way must be %s under %s", l.Name, s.Neighbour, map[bool]string{true: "left out", false: "out or in"}[s.Method.Is().Single], s.Method)
		}
	}
	if (s.Trains != 0 || s.Source != "") && !s.Method.Is().Follows {
		bad("sections: %s: trains and source are for a section on which trains may follow one another, not under %s", s.Neighbour, s.Method)
	}
	if s.ClearingPoint == 0 {
		s.ClearingPoint = b.Rules.ClearingPoint
	}
	for _, n := range s.Tokens.Here {
		if !slices.Contains(s.Tokens.Charge, n) {
			bad("sections: token %d at %s is not on the charge list", n, s.Neighbour)
		}
	}
	known := func(key string, words []string, options []rulebook.Option) {
		for _, a := range words {
			if !slices.ContainsFunc(options, func(o rulebook.Option) bool { return o.Name == a }) {
				bad("sections: %s: %s has no word %q", s.Neighbour, key, a)
			}
		}
	}
	known("allow", s.Allow, rulebook.Allowances)
	known("needs", s.Needs, rulebook.Conditions)
}

// SectionIndex finds a section by its neighbour's name, or by that of a box
// beyond it with which the longer section is worked while the neighbour is
// switched out; -1 when there is none.
func (b *Box) SectionIndex(neighbour string) int {
	for i := range b.Sections {
		if b.Sections[i].Neighbour == neighbour {
			return i
		}
	}
	for i := range b.Sections {
		if slices.Contains(b.Sections[i].LongSection, neighbour) {
			return i
		}
	}
	return -1
}

// PlaceNamed finds a place; nil when the box file has none of that name.
func (b *Box) PlaceNamed(name string) *Place {
	return first(b.Places, func(p *Place) bool { return p.Name == name })
}

// Allows says whether the box's instructions for a section list an allowance.
func (s *Section) Allows(word string) bool { return slices.Contains(s.Allow, word) }

// Requires says whether a condition on acceptance is set for a section.
func (s *Section) Requires(word string) bool { return slices.Contains(s.Needs, word) }

// machine is that of the method of section i.
func (b *Box) machine(i int) *Machine { return b.all[b.Sections[i].Method] }

// Running is the longest regular running time of a class over section i.
func (b *Box) Running(i int, c rulebook.Class) Time { return b.running(&b.Sections[i], c) }

func (b *Box) running(s *Section, c rulebook.Class) Time {
	if t := s.Running[rulebook.Freight]; s.Running[c] == 0 && c != rulebook.Passenger && t != 0 {
		return t
	}
	return cmp.Or(s.Running[c], s.Running[rulebook.Passenger], b.Limit(rulebook.Running))
}

// Limit is a time the rules allow at this box.
func (b *Box) Limit(n rulebook.LimitName) Time { return Time(b.Limits[n].Value) }

// CivilTime is one rule of a box's civil time.
type CivilTime struct {
	From   Time
	Offset Time // seconds east of UTC
}

// offset is how far the box's civil time is east of UTC at a moment.
func (b *Box) offset(at Time) Time {
	i, _ := slices.BinarySearchFunc(b.Civil, at, func(c CivilTime, at Time) int {
		if c.From <= at {
			return -1
		}
		return 1
	})
	if i == 0 {
		return 0
	}
	return b.Civil[i-1].Offset
}

// linesOf goes through the lines of section i, with their places in State.Lines.
func (b *Box) linesOf(i int) iter.Seq2[int, *Line] {
	return func(yield func(int, *Line) bool) {
		for l, r := range b.lines {
			if r.section == i && !yield(l, &b.Sections[i].Lines[r.line]) {
				return
			}
		}
	}
}

// lineNamed is the line of section i that has a name; its first where none has.
func (b *Box) lineNamed(i int, name string) int {
	if l := b.lineThat(i, func(l int) bool { return b.lineAt(l).Name == name }); l >= 0 {
		return l
	}
	return b.firstLine(i)
}

// sectionOf is the section of a line; -1 for no line.
func (b *Box) sectionOf(line int) int {
	if line < 0 {
		return -1
	}
	return b.lines[line].section
}

// firstLine is the first line of section i.
func (b *Box) firstLine(i int) int { return max(0, b.lineThat(i, func(int) bool { return true })) }

// lineThat is the first line of section i that is so; -1 for none.
func (b *Box) lineThat(i int, so func(line int) bool) int {
	for l := range b.linesOf(i) {
		if so(l) {
			return l
		}
	}
	return -1
}

// lineAt is what the description has of a line.
func (b *Box) lineAt(line int) *Line {
	return &b.Sections[b.lines[line].section].Lines[b.lines[line].line]
}

// Lines lists every line of every section in the order of State.Lines, with the
// index of its section.
func (b *Box) Lines() []BoxLine {
	out := make([]BoxLine, len(b.lines))
	for i, r := range b.lines {
		out[i] = BoxLine{Index: i, Section: r.section, Line: *b.lineAt(i)}
	}
	return out
}

// BoxLine is a line of a section with its place in State.Lines.
type BoxLine struct {
	Index   int
	Section int
	Line    Line
}
