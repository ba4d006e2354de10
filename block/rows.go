package block

import (
	"slices"
	"sync"

	"fairhand/block/rulebook"
)

// Act is something done on a line of a section that its machine follows: a
// signal of one of the two boxes, or a movement of a train or token. Which box
// acts follows from the act: the box in rear offers, the box in advance accepts.
type Act uint8

// The acts.
const (
	NoAct               Act = iota // a movement within the box, or an entry that does nothing on a line
	ActOffer                       // rear: is line clear sent
	ActAccept                      // advance: offer acknowledged, line clear given
	ActAcceptRestricted            // advance: 3-5-5 exchanged, restricted line clear given
	ActLineNowClear                // advance: restricted acceptance made a full one
	ActRefuse                      // advance: line not clear
	ActEnter                       // rear: train entering section
	ActDepart                      // rear: train recorded as departed or passed into the section
	ActOut                         // advance: train out of section
	ActCancel                      // rear: cancelling
	ActRedescribe                  // rear: last train wrongly described
	ActBlockInside                 // advance: blocking back inside home signal
	ActBlockOutside                // advance: blocking back outside home signal
	ActUnblock                     // advance: obstruction removed
	ActDanger                      // advance: obstruction danger
	ActShunt                       // rear: shunting into forward section
	ActShuntBack                   // rear: shunt withdrawn
	ActAskRelease                  // rear: release token asked for shunting
	ActRelease                     // advance: token released for shunting
	ActReplaced                    // rear: token replaced
	ActDraw                        // rear: token drawn
	ActRestore                     // either: token put into an instrument
	ActOccupied                    // either: the section shown occupied
	ActReset                       // either: the axle counter reset
	ActKeyOut                      // either: the shunt key taken out
	ActKeyIn                       // either: the shunt key put back
	actCount
)

var actWords = [actCount]string{
	"", "is line clear", "line clear given", "restricted acceptance", "line now clear", "line not clear",
	"train entering section", "train departs into the section", "train out of section",
	"cancelling", "wrongly described", "blocking back inside", "blocking back outside",
	"obstruction removed", "obstruction danger", "shunting into section", "shunt withdrawn",
	"release token", "token released", "token replaced", "token drawn", "token put in",
	"section shown occupied", "axle counter reset", "shunt key out", "shunt key in",
}

func (a Act) String() string { return actWords[a] }

// actBy says which box does each act.
var actBy = [actCount]rulebook.Side{
	rulebook.Either, rulebook.Rear, rulebook.Advance, rulebook.Advance, rulebook.Advance, rulebook.Advance, rulebook.Rear, rulebook.Rear, rulebook.Advance, rulebook.Rear, rulebook.Rear,
	rulebook.Advance, rulebook.Advance, rulebook.Advance, rulebook.Advance, rulebook.Rear, rulebook.Rear, rulebook.Rear, rulebook.Advance, rulebook.Rear, rulebook.Rear, rulebook.Either,
	rulebook.Either, rulebook.Either, rulebook.Either, rulebook.Either,
}

// By says which box does the act.
func (a Act) By() rulebook.Side { return actBy[a] }

// trait says which methods a row or a guard is for.
type trait uint8

const (
	always    trait = iota
	onDouble        // a line for each direction
	onSingle        // one line for both
	withToken       // a token drawn from instruments
	withStaff       // the one staff, or a ticket
	spoken          // by word of mouth
	counted         // proved clear by axle counter
	keyed           // with a shunt key
	described       // trains are only described
	following       // a train may be let in behind another
	piloted         // the pilot, or his ticket, with every train
)

// of says whether a method has the trait.
func (t trait) of(m rulebook.Method) bool {
	return t == always || traits[t](m.Is())
}

var traits = [...]func(*rulebook.Traits) bool{
	onDouble:  func(is *rulebook.Traits) bool { return !is.Single },
	onSingle:  func(is *rulebook.Traits) bool { return is.Single },
	withToken: tokened,
	withStaff: staffed,
	spoken:    func(is *rulebook.Traits) bool { return is.Offers && !is.ByBell },
	counted:   func(is *rulebook.Traits) bool { return is.Counter },
	keyed:     func(is *rulebook.Traits) bool { return is.ShuntKey },
	described: func(is *rulebook.Traits) bool { return is.Described },
	following: func(is *rulebook.Traits) bool { return is.Follows },
	piloted:   func(is *rulebook.Traits) bool { return is.Piloted },
}

// Row is one line of a machine: in phase From, Act leads to phase To. A row
// with no Rule is regular if its Guards hold; a row with a Rule is against that
// rule unless every guard of Unless holds. The same rows say what is legal, what
// may come next and what the reference prints.
type Row struct {
	From    Phase
	Opposed bool // the act runs against the direction in force (single lines)
	Both    bool // the same in either direction
	Act     Act
	To      Phase
	For     trait           // the methods that have it
	Rule    rulebook.RuleID // broken by being here at all
	Says    string          // what was done, where the rule's own words tell of another act
	Unless  []Guard         // what makes such a row regular all the same
	Regular Phase           // the phase it then leads to, when another than To
	Guards  []Guard         // conditions, each with the rule it breaks when it does not hold
	asked   [2][]*Guard     // all of the act, where the neighbour does it and where this box does: those of every phase, then its own
}

// Machine is the rows of one method of working, compiled: every phase and act
// has exactly one row.
type Machine struct {
	Method rulebook.Method
	Rows   []Row // those that decide something, as written, regular rows first
	phases []Phase
	table  [phaseCount][2][actCount]*Row
}

// anyPhase in a row stands for every phase not named by another row; stay for
// the phase as it was.
const (
	stay     Phase = 253
	anyPhase Phase = 254
)

// compile makes the machine of a method: the rows and guards that it has, the
// first row for a case before a later one, a named phase before any.
func compile(m rulebook.Method, phases []Phase, rows []Row) *Machine {
	mc := &Machine{Method: m, Rows: having(m, rows), phases: phases}
	for {
		decides, used := mc.fill(), []Row(nil)
		for i, r := range mc.Rows {
			if decides[i] {
				used = append(used, r)
			}
		}
		if len(used) == len(mc.Rows) {
			return mc
		}
		mc.Rows = used
	}
}

// fill makes the table, and says which rows decide something.
func (mc *Machine) fill() []bool {
	mc.table = [phaseCount][2][actCount]*Row{}
	decides := make([]bool, len(mc.Rows))
	for _, wild := range []bool{false, true} {
		for i := range mc.Rows {
			r := &mc.Rows[i]
			for _, p := range mc.phases {
				if (r.From == anyPhase) != wild || !wild && p != r.From {
					continue
				}
				for opposed := range 2 {
					cell := &mc.table[p][opposed][r.Act]
					if *cell == nil && (r.Both || r.Opposed == (opposed == 1)) && (opposed == 0 || mc.Method.Is().Single) {
						*cell = r
						decides[i] = decides[i] || opposed == 0 || p != Normal
					}
				}
			}
		}
	}
	return decides
}

// having picks the rows and guards that a method has.
func having(m rulebook.Method, rows []Row) []Row {
	var out []Row
	for _, r := range rows {
		if !r.For.of(m) || spoken.of(m) && !sayable[r.Act] {
			continue
		}
		r.Guards = guardsOf(m, r.Guards)
		r.asked = [2][]*Guard{}
		for _, guards := range [...][]Guard{guardsOf(m, inEveryPhase[r.Act]), r.Guards} {
			for i := range guards {
				g := &guards[i]
				if r.asked[1] = append(r.asked[1], g); !g.Mine {
					r.asked[0] = append(r.asked[0], g)
				}
			}
		}
		out = append(out, r)
	}
	return out
}

func guardsOf(m rulebook.Method, guards []Guard) []Guard {
	return slices.DeleteFunc(slices.Clone(guards), func(g Guard) bool { return !g.For.of(m) })
}

// sayable are the acts that are done by word of mouth, or by a train.
var sayable = [actCount]bool{ActOffer: true, ActAccept: true, ActRefuse: true, ActEnter: true, ActDepart: true, ActOut: true, ActCancel: true,
	ActOccupied: true, ActReset: true, ActKeyOut: true, ActKeyIn: true}

// Row is the row for an act in a phase; nil where the method has no such act.
func (m *Machine) Row(p Phase, opposed bool, a Act) *Row {
	if opposed {
		return m.table[p][1][a]
	}
	return m.table[p][0][a]
}

var (
	doublePhases    = []Phase{Normal, Offered, Accepted, RestrictedLC, InSection, BlockedInside, BlockedOutside, Obstructed, Shunting}
	tokenPhases     = []Phase{Normal, Offered, Accepted, RestrictedLC, InSection, BlockedInside, BlockedOutside, Obstructed, ShuntAsked, ShuntReleased}
	spokenPhases    = []Phase{Normal, Offered, Accepted, InSection}
	countedPhases   = []Phase{Normal, Offered, Accepted, InSection, CounterDoubt, ShuntKeyOut}
	singlePhases    = []Phase{Normal, Offered, Accepted, RestrictedLC, InSection, BlockedInside, BlockedOutside, Obstructed}
	keyedPhases     = append(slices.Clip(singlePhases), ShuntKeyOut)
	describedPhases = []Phase{Normal, Obstructed} // described trains wait in no phase
	oneTrainPhases  = []Phase{Normal, InSection}  // the section is free or it has the train
)

// machineOf is the machine of a method, by its traits.
func machineOf(m rulebook.Method) *Machine {
	switch t := m.Is(); {
	case t.Described:
		return compile(m, describedPhases, describedRows)
	case !t.Offers:
		return compile(m, oneTrainPhases, oneTrainRows)
	case t.Counter:
		return compile(m, countedPhases, slices.Concat(counterRows, keyRows, blockRows))
	case t.ShuntKey:
		return compile(m, keyedPhases, slices.Concat(keyRows, blockRows))
	case t.Follows:
		return compile(m, doublePhases, slices.Concat(followingRows, blockRows))
	case !t.ByBell:
		return compile(m, spokenPhases, blockRows)
	case t.Carries == rulebook.CarriesToken:
		return compile(m, tokenPhases, blockRows)
	case t.Single:
		return compile(m, singlePhases, blockRows)
	}
	return compile(m, doublePhases, blockRows)
}

// machines are the machines by method, each made when it is first asked for: a box has few.
var machines = func() (of [rulebook.MethodCount]func() *Machine) {
	for m := range of {
		of[m] = sync.OnceValue(func() *Machine { return machineOf(rulebook.Method(m)) })
	}
	return of
}()
