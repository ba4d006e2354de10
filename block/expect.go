package block

// Expectation is an action that is regular now: what the desk offers on one
// key. It is made from the same rows that Apply judges by, so what is offered
// raises nothing.
type Expectation struct {
	Event Event  // ready to log but for At, Written and what is asked for below
	Label string // plain words, such as "line clear for 2P07, Saltgarth"
	Act   Act
	Mine  bool // this box acts; otherwise the neighbour's signal is awaited

	AskCode   bool // the description may be another: the beats are a guess
	AskTrain  bool // the train has no name yet and one is wanted
	AskNumber bool // the token's number is wanted (Event.Number is a guess)
	AskProof  bool // completeness is to be confirmed (Event.Proof is a guess)
	Order     int  // smaller is wanted sooner
}

// Expected lists the regular next actions in the order in which they will be
// wanted.
func Expected(b *Box, s *State) []Expectation { return nil }
