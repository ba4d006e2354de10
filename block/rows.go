package block

import "fairhand/block/rulebook"

// Act is something done on a line of a section that its machine follows: a
// signal of one of the two boxes, or a movement of a train or token. Which box
// acts follows from the act: the box in rear offers, the box in advance accepts.
type Act uint8

// The acts.
const (
	ActOffer            Act = iota // rear: is line clear sent
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
	actCount
)

var actWords = [actCount]string{
	"is line clear", "line clear given", "restricted acceptance", "line now clear", "line not clear",
	"train entering section", "train departs into the section", "train out of section",
	"cancelling", "wrongly described", "blocking back inside", "blocking back outside",
	"obstruction removed", "obstruction danger", "shunting into section", "shunt withdrawn",
	"release token", "token released", "token replaced", "token drawn", "token put in",
}

func (a Act) String() string { return actWords[a] }

// actBy says which box does each act.
var actBy = [actCount]rulebook.Side{
	rulebook.Rear, rulebook.Advance, rulebook.Advance, rulebook.Advance, rulebook.Advance, rulebook.Rear, rulebook.Rear, rulebook.Advance, rulebook.Rear, rulebook.Rear,
	rulebook.Advance, rulebook.Advance, rulebook.Advance, rulebook.Advance, rulebook.Rear, rulebook.Rear, rulebook.Rear, rulebook.Advance, rulebook.Rear, rulebook.Rear, rulebook.Either,
}

// By says which box does the act.
func (a Act) By() rulebook.Side { return actBy[a] }

// Row is one line of a machine: in phase From, Act leads to phase To. A row
// with no Rule is regular if its Guards hold; a row with a Rule is against that
// rule unless every guard of Unless holds. The same rows say what is legal, what
// may come next and what the reference prints.
type Row struct {
	From    Phase
	Opposed bool // the act runs against the direction in force (single lines)
	Act     Act
	To      Phase
	Rule    rulebook.RuleID // broken by being here at all
	Unless  []Guard         // what makes such a row regular all the same
	Regular Phase           // the phase it then leads to, when another than To
	Guards  []Guard         // conditions, each with the rule it breaks when it does not hold
	Ref     string
}

// Machine is the rows of one method of working, compiled: every phase and act
// has exactly one row.
type Machine struct {
	Method rulebook.Method
	Rows   []Row // as written, regular rows first
	phases []Phase
	table  [phaseCount][2][actCount]*Row
}

// anyPhase in a row stands for every phase not named by another row.
const anyPhase Phase = 254

// compile fills the table: rows for named phases first, then those for any.
func compile(m rulebook.Method, phases []Phase, rows []Row) *Machine {
	mc := &Machine{Method: m, Rows: rows, phases: phases}
	for _, wild := range []bool{false, true} {
		for i := range rows {
			r := &rows[i]
			if (r.From == anyPhase) != wild {
				continue
			}
			for _, p := range phases {
				if !wild && p != r.From {
					continue
				}
				if c := &mc.table[p][b2i(r.Opposed)][r.Act]; *c == nil {
					*c = r
				}
			}
		}
	}
	return mc
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Row is the row for an act in a phase; nil where the method has no such act.
func (m *Machine) Row(p Phase, opposed bool, a Act) *Row { return m.table[p][b2i(opposed)][a] }

// Phases lists the phases the method uses.
func (m *Machine) Phases() []Phase { return m.phases }

// machines are the machines by method.
var machines = [rulebook.MethodCount]*Machine{
	rulebook.Absolute:       compile(rulebook.Absolute, absolutePhases, absoluteRows),
	rulebook.Token:          compile(rulebook.Token, tokenPhases, tokenRows),
	rulebook.StaffAndTicket: compile(rulebook.StaffAndTicket, singlePhases, staffRows),
	rulebook.OneTrain:       compile(rulebook.OneTrain, oneTrainPhases, oneTrainRows),
	rulebook.Tokenless:      compile(rulebook.Tokenless, singlePhases, tokenlessRows),
}

// MachineFor is the machine of a method of working.
func MachineFor(m rulebook.Method) *Machine { return machines[m] }
