package block_test

import (
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/notation"
)

// The physical model that the safety tests run two books against: two boxes,
// the section between them, three real trains and, on a token line, three real
// tokens in two instruments. Trains 0 and 1 stand at box 0, train 2 at box 1.
// A move is one thing that a signaller or a driver does, right or wrong; with
// it go the entries that each signaller writes in his own book. Each writes
// only what he saw, sent or heard, and may leave out an arrival or a tail lamp,
// but never writes what did not happen; a train that leaves is always written
// by the box it leaves, as a departure or as train entering section.

// spot is where a train really is.
type spot uint8

const (
	clear0  spot = iota // at box 0, clear of the clearing point
	clear1              // at box 1, likewise
	point0              // at box 0, within the clearing point of the line towards it
	point1              // at box 1, likewise
	split0              // engine at box 0, vehicles left behind in the section
	split1              // at box 1, likewise
	section             // in the section
	gone                // put away
)

// at says whether a train at the spot stands at box x, all or part of it.
func (s spot) at(x int) bool { return s < section && int(s)%2 == x }

// stage is how far the regular working of the line has come.
type stage uint8

const (
	idle stage = iota
	offered
	clear
	inSection
	shuntAsked
	shuntOut
)

// working is what the rules say of the line, kept here independently of block.
type working struct {
	stage   stage
	from    int8 // box in rear
	train   int8
	drawn   bool // a token has been drawn on this release
	tes     bool // train entering section exchanged
	arrived bool // arrival or return written
	proved  bool // and written complete
	back    bool // returned to the box it left
}

// world is the physical truth, the bells still hanging and the regular working.
type world struct {
	at       [3]spot
	written  [3]bool // arrival at the present box written
	unproved [3]bool // arrival written without a tail lamp, not yet found complete
	told     [3]bool // 4-5 sent for it
	asked    int8    // offer not answered: 1 + train; 9 and 10: shunt release asked by box 0, 1
	obstacle bool    // something lies within the clearing point of box 1
	danger   bool    // obstruction danger exchanged and not removed
	blocked  bool    // blocking back exchanged and not removed
	token    [3]int8 // 0, 1: in that instrument; 2, 3: in hand at that box; 4+t: on train t
	staff    int8    // 0, 1: at that box; 4+t: with train t
	ticket   [3]bool // a ticket is with the train
	odd      bool    // which private number comes next
	spent    int8    // consents cancelled, whose private numbers are not given again
	work     working
	lastOut  int8         // the train last given out of section, where they may follow one another
	behind   [3]following // how each train stands, where they may follow one another
	made     [3]madeUp    // what each train is part of or assists, where trains are made up
	wrong    uint8        // moves made against the rules
	slips    uint8        // entries left out or misspelt
	since    uint8        // trains given out of section since the first slip
}

// move is one act with the entries it leads to.
type move struct {
	name string
	next world
	book [2][]string
}

// plant is one configuration of the model.
type plant struct {
	name   string
	method rulebook.Method
	box    [2]*block.Box
	prefix [2][]string // how the trains came to stand where they stand
	codes  codeWords
	named  bool   // every bell of either book names its train; else only offers sent and trains that leave
	second string // how the second train is offered, where trains may follow one another
	indian bool   // call attention before train entering, private numbers with every consent
	home   [3]int // the box at which each train stands before the first move
	makes  bool   // trains are joined, divided, and assisted
}

// codeWords are the beats of a rule set for what the model does.
type codeWords struct{ offer, enter, out, cancel, removed, blocking, danger, noLamp, shunt, replaced string }

var (
	britishWords = codeWords{"3-1", "2", "2-1", "3-5", "2-1-2", "2-4", "6", "4-5", "5-2", "2-5"}
	indianWords  = codeWords{"2", "3", "4", "5", "4", "", "6", "6-2", "", ""}
	saidWords    = codeWords{offer: "offer", enter: "entering", out: "arrived", cancel: "cancel"}
	earlyWords   = codeWords{"3-1", "2", "2-1", "3-5", "2-1", "2-4", "6", "4-5", "", ""}
)

var (
	trainNames = [3]string{"1A01", "1A02", "2B11"}
	boxNames   = [2]string{"Ennerholme", "Saltgarth"}
	outer      = [2]string{"Coldbeck", "Thorsay"} // where the trains came from
	places     = [8]string{"Yard", "Loop", "Home", "Home", "Yard", "Loop", "", ""}
)

// far is the name by which box x knows the other.
func far(x int) string { return boxNames[1-x] }

// spoken says whether the boxes tell each other in words.
func (p *plant) spoken() bool { return p.method.Is().Offers && !p.method.Is().ByBell }

// counted says whether an axle counter proves the section clear.
func (p *plant) counted() bool { return p.method.Is().Counter }

func (p *plant) single() bool { return p.method.Is().Single }

// newPlant makes the two boxes. The outer sections are worked by absolute block
// and only bring the trains in.
func newPlant(t testing.TB, m rulebook.Method, rules string, named bool) *plant {
	t.Helper()
	p := &plant{name: block.NameOver(m) + " " + rules, method: m, codes: britishWords, named: named, home: [3]int{0, 0, 1}}
	switch rules {
	case "british-early":
		p.codes = earlyWords
	case "indian-general":
		p.codes, p.indian = indianWords, true
	}
	if !named {
		p.name += " few names"
	}
	lines := func(out, in string) []block.Line {
		return []block.Line{{Name: out, Way: block.Out}, {Name: in, Way: block.In}}
	}
	between := [2][]block.Line{lines("Up", "Down"), lines("Down", "Up")}
	var tokens [2]block.Tokens
	if m.Is().Single {
		between = [2][]block.Line{{{Name: "Single"}}, {{Name: "Single"}}}
	}
	if m.Is().Carries == rulebook.CarriesToken {
		tokens = [2]block.Tokens{{Charge: []int{1, 2, 3}, Here: []int{1, 2}}, {Charge: []int{1, 2, 3}, Here: []int{3}}}
	}
	// A train sent and set back is cancelled here: both boxes need the allowance.
	var allow []string
	if !m.Is().Single || m.Is().Counter {
		allow = []string{"shunt-as-train"}
	}
	for x := range 2 {
		p.box[x] = &block.Box{Name: boxNames[x], Rules: rulebook.RuleSetNamed(rules), ClockCheck: -1,
			Sections: []block.Section{
				{Neighbour: far(x), Method: m, Lines: between[x], Towards: [2]string{"up", "down"}[x], Tokens: tokens[x], Allow: allow},
				{Neighbour: outer[x], Method: rulebook.Absolute, Lines: lines("Away", "Towards"), Towards: [2]string{"down", "up"}[x]},
			},
			Places: []block.Place{
				{Name: places[x], Holds: 6},
				{Name: "Home", Holds: 3, Fouls: []block.Foul{{Section: far(x)}}},
			},
		}
		p.box[x].Limits = p.box[x].Rules.Limits
		p.box[x].Limits[rulebook.LeastRunning].Value = -1 // time stands still
		if err := p.box[x].Prepare(); err != nil {
			t.Fatal(err)
		}
	}
	if p.assemble(); p.spoken() {
		p.codes = saidWords
	}
	return p
}

// assemble brings the trains to the boxes at which they stand, over the outer
// sections, which have bells.
func (p *plant) assemble() {
	p.prefix = [2][]string{}
	if p.staffed() {
		p.prefix = [2][]string{{far(0) + " staff here"}, {far(1) + " staff away"}}
	}
	for i, n := range trainNames {
		x, o := p.home[i], p.codes
		p.prefix[x] = append(p.prefix[x],
			outer[x]+" <1 >1 <"+o.offer+" >"+o.offer+" train "+n+p.privateNumber(i%2 == 0, 0), outer[x]+" "+swapped.Replace(p.entering()),
			"train "+n+" arrived at "+places[x]+" complete", outer[x]+" >1 <1 >"+o.out+" <"+o.out)
	}
}

// entering is train entering section as the box in rear writes it.
func (p *plant) entering() string {
	if p.indian {
		return ">1 <1 >3 <3"
	}
	return ">" + p.codes.enter + " <" + p.codes.enter
}

// privateNumber is what goes with a consent; no two in turn may be the same, and
// none that of a consent cancelled before.
func (p *plant) privateNumber(odd bool, spent int8) string {
	switch {
	case !p.indian:
		return ""
	case odd:
		return " pn 4" + strconv.Itoa(int(spent))
	}
	return " pn 2" + strconv.Itoa(int(spent))
}

// begin is the state of affairs before the first move.
func (p *plant) begin() world {
	w := world{written: [3]bool{true, true, true}, token: [3]int8{0, 0, 1}}
	for t, x := range p.home {
		w.at[t] = clear0 + spot(x)
	}
	return w
}

// collided says what must never come about unfound: the empty string when
// all is well.
func (p *plant) collided(w *world) string {
	if p.follows() {
		return p.ranInto(w)
	}
	in := 0
	for t, s := range w.at {
		if s >= split0 && s <= section && !(w.inSectionWith(t) && (w.made[t].warned || !w.made[t].sentIn)) {
			in++
		}
	}
	if in > 1 {
		return "two trains in the section"
	}
	return ""
}

// Entries are written in the book notation and read once.
var (
	readings sync.Map
	swapped  = strings.NewReplacer("<", ">", ">", "<")
)

func reading(t testing.TB, line string) block.Event {
	if e, ok := readings.Load(line); ok {
		return e.(block.Event)
	}
	e, err := notation.ParseLine(time.UTC, 0, line)
	if err != nil {
		t.Fatalf("%s: %v", line, err)
	}
	readings.Store(line, e[0])
	return e[0]
}

// bell is an exchange between the boxes as both write it; beats are as the
// book of box x has them.
func (p *plant) bell(m *move, x int, beats, train string, sure bool) {
	if p.spoken() {
		beats, sure = inWords(beats), true
	}
	mine, yours := far(x)+" "+beats, far(1-x)+" "+swapped.Replace(beats)
	if train != "" {
		if p.named || sure {
			mine += " train " + train
		}
		if p.named || p.spoken() {
			yours += " train " + train
		}
	}
	m.book[x] = append(m.book[x], mine)
	m.book[1-x] = append(m.book[1-x], yours)
}

// inWords is what is said instead of a bell: no call attention, no repetition,
// and the offer that would be repeated is answered.
func inWords(beats string) string {
	for _, b := range strings.Fields(beats) {
		switch {
		case b == "<offer":
			return "<accept"
		case b[0] == '>' && b != ">1":
			return b
		}
	}
	return beats
}

// onLine names the line between the boxes that trains 0 and 1 use, where there are two.
func (p *plant) onLine(x int) string {
	if p.single() {
		return ""
	}
	return " line Up"
}

// toldWith is the train that words name where a bell need not.
func (p *plant) toldWith(train string) string {
	if p.spoken() {
		return train
	}
	return ""
}

// note is an entry that only box x writes.
func (m *move) note(x int, line string) { m.book[x] = append(m.book[x], line) }
