package rulebook

import "slices"

// RuleSet is one railway's book: its code table, limits and habits. Sets are
// never merged with each other; a box adds its own codes to one set.
type RuleSet struct {
	Name    string // as in box.yaml: british-later ...
	Title   string
	Source  string // what the set as a whole rests on
	Methods []Method
	Codes   []CodeRow
	Limits  Limits

	// Habits that change the order or the content of what is booked.
	PrivateNumbers      bool     // consent carries a private number
	TellTokenNumber     bool     // number told to the far end when drawn
	OneWayLoop          bool     // one train at a time is accepted towards a crossing loop
	RoundUp             bool     // a fraction of a minute counts as one
	RefuseNeedsReason   bool     // refusal is booked with its reason
	HeldAfterCancelling bool     // an opposing train waits for the message that the one cancelled is held
	CountersHandedOver  bool     // the relief is told what the counters of releases show
	SuspendedOnLoss     bool     // a token lost suspends the instruments, and is kept by when it is found
	SurrenderFirst      bool     // a token is given up before that of the next section is given
	DetainedAtOnceInFog bool     // a train detained makes itself known at once in fog or falling snow
	ClearingPoint       Distance // when the box gives none
	ClearingPointSource string
	StaffFollow         StaffFollow

	// Abroad are words by which references to the books of other railways are
	// known, which are no clause of this one's.
	Abroad []string

	// Clauses gives, by rule id, the clause of this set's own book.
	Clauses map[RuleID]string
}

// StaffFollow says how one train may follow another under staff and ticket.
type StaffFollow uint8

// The ways trains follow under staff and ticket.
const (
	FollowBlock    StaffFollow = iota // after train out of section
	FollowInterval                    // after TicketInterval, driver warned
)

// Covers says whether the set has rules for a method of working.
func (r *RuleSet) Covers(m Method) bool {
	return slices.Contains(r.Methods, m.Over(false)) || slices.Contains(r.Methods, m)
}

// ruleSets are the built-in sets by name; each has a file of its own.
var ruleSets = []*RuleSet{&britishLater, &britishEarly, &indianGeneral}

// RuleSetNamed finds a built-in set; nil when there is none.
func RuleSetNamed(name string) *RuleSet {
	for _, r := range ruleSets {
		if r.Name == name {
			return r
		}
	}
	return nil
}

// RuleSetNames lists the built-in sets.
func RuleSetNames() []string {
	names := make([]string, len(ruleSets))
	for i, r := range ruleSets {
		names[i] = r.Name
	}
	return names
}
