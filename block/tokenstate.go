package block

import "slices"

// TokenPlace is where a token is.
type TokenPlace uint8

// The places of a token.
const (
	TokenHere      TokenPlace = iota // in our instrument
	TokenAway                        // in the far instrument
	TokenOutOf                       // drawn: in hand or with a train
	TokenInCustody                   // with the technician
	TokenGone                        // lost
	TokenUnfit                       // damaged
	TokenRecovered                   // lost and found again, not to be issued
	TokenAtSiding                    // in an auxiliary instrument at a siding in the section
)

var tokenPlaceWords = [...]string{"here", "away", "out", "in custody", "lost", "damaged", "found, not to be issued", "at a siding"}

func (p TokenPlace) String() string { return tokenPlaceWords[p] }

// TokenState is the tokens of a section; Where runs parallel to the charge list.
type TokenState struct {
	Where []TokenPlace
	Out   int   // number drawn and not restored, 0 for none
	OutBy Dir   // Outward: drawn here
	Seq   int64 // entry of the draw
	Train int   // train it was drawn for or handed to, 0 unknown
	Shunt bool  // released for shunting
	Lost  bool  // one is lost and nothing done about it, where that suspends the instruments
	More  int   // tokens put in here whose number is not known: the book has them away

	Moved   int  // number of the token last drawn or put in
	MovedAt Time // when that was

	Misread []Answer `json:",omitempty"` // that the one out was given up by a driver under another number
	Either  [2]int   `json:",omitzero"`  // the number last drawn under one and put in under the other: one of the two is miswritten
}

// endOf is where a token lies in the instrument of this end, or of the far one.
func endOf(far bool) TokenPlace {
	if far {
		return TokenAway
	}
	return TokenHere
}

// in ends what is known of a token that is out: none is.
func (t *TokenState) in() { t.Out, t.Train, t.Shunt, t.Misread = 0, 0, false, nil }

// drawnAt is the instrument that the token which is out was drawn from.
func (t *TokenState) drawnAt() TokenPlace { return endOf(t.OutBy == Inward) }

// Count is the number of tokens at a place.
func (t *TokenState) Count(p TokenPlace) (n int) {
	for _, w := range t.Where {
		if w == p {
			n++
		}
	}
	return n
}

// Unnumbered is the train accepted or in section towards us that has a token of the other
// end whose number nobody told here; nil for none. The book has that token away.
func (s *State) Unnumbered(b *Box, section int) *Train {
	if len(b.Sections[section].Tokens.Charge) == 0 || s.Tokens[section].Out != 0 {
		return nil
	}
	c := &s.Circuits[section]
	return firstTrain(s.Trains, func(t *Train) bool {
		return t.In.Section == section && t.In.open() && t.In.Accepted != 0 && !t.In.TokenIn && !c.undrawn(t)
	})
}

// undrawn says whether a train from the other end came without a token: it was accepted while
// the section was worked by message or pilot, as it is yet.
func (c *Circuit) undrawn(t *Train) bool { return c.unbelled() && t.In.Seq > c.Begun }

// StaffState is the staff of a section under staff and ticket or one-train working.
type StaffState struct {
	Where   StaffPlace
	Train   int
	Tickets []Ticket
	Form    int    // last paper line clear ticket used, 0 when none is booked
	LastOut Time   // last train sent away from here
	Came    string // train that came since the staff was last recorded, and may have brought it
}

// ticketed says whether a train has a ticket of the section.
func (s *StaffState) ticketed(train int) bool {
	return slices.ContainsFunc(s.Tickets, func(k Ticket) bool { return k.Train == train })
}

// StaffPlace is where the staff is.
type StaffPlace uint8

// The places of a staff.
const (
	StaffUnknown StaffPlace = iota
	StaffIsHere
	StaffIsAway
	StaffOnTrain
)

var staffPlaceWords = [...]string{"not recorded", "here", "at the other end", "with the train"}

func (p StaffPlace) String() string { return staffPlaceWords[p] }

// Ticket is a ticket issued and not yet cancelled.
type Ticket struct {
	Number int
	Train  int
	At     Time
	Seq    int64
	Sound  bool // issued with the staff here, or not known otherwise
}
