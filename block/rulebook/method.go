package rulebook

import "slices"

// Method is a method of working a block section.
type Method uint8

// The methods of working.
const (
	Absolute          Method = iota // double-line absolute block
	Token                           // electric token, tablet or staff instruments
	StaffAndTicket                  // train staff and ticket
	OneTrain                        // one train only, with or without staff
	Tokenless                       // tokenless block
	ByTelephone                     // trains offered, accepted and reported by word of mouth
	ByTelephoneSingle               // the same on a single line
	AxleCounter                     // line clear by word of mouth, the section proved clear by axle counter
	AxleCounterSingle               // the same on a single line
	TrackCircuit                    // trains described from box to box; the section is proved clear by track circuits
	Permissive                      // goods lines: a train may follow another into the section, its driver warned
	SingleLineWorking               // one line of a double line for trains of both directions, each with the pilot or his ticket
	MethodCount
)

// Carried is what a driver has in hand as his authority for the section.
type Carried uint8

// What drivers carry.
const (
	CarriesNothing Carried = iota // the section signal, released by line clear, is the authority
	CarriesToken                  // a token, tablet or key staff from instruments at both ends
	CarriesStaff                  // the one staff of the section
)

// Traits are what tells one method of working from another. Whoever needs to
// know how a section is worked asks for a trait, never for the method by name.
type Traits struct {
	Word      string  // in the box file
	Single    bool    // trains of both directions use the one line
	Carries   Carried // the driver's authority
	Tickets   bool    // trains may follow one another on tickets issued with the staff
	Offers    bool    // trains are offered, accepted and given out of section; without, one train at a time has the section
	ByBell    bool    // the signals of the block are bells
	ShuntKey  bool    // a key taken from the instrument holds the section for a shunt
	Counter   bool    // an axle counter proves the section clear; line clear has a private number
	Follows   bool    // a train may be let in behind another, the driver told
	Described bool    // trains are only described: nothing is accepted and nothing given out of section
	Entering  bool    // train entering section is told by the box in rear; else the instrument or the return of the train tells
	Piloted   bool    // begun and ended by entries, over one line of a section worked by Absolute; a pilot with every train
}

var methods = [MethodCount]Traits{
	Absolute:          {Word: "absolute", Offers: true, ByBell: true, Entering: true},
	Token:             {Word: "token", Single: true, Carries: CarriesToken, Offers: true, ByBell: true, Entering: true},
	StaffAndTicket:    {Word: "staff-and-ticket", Single: true, Carries: CarriesStaff, Tickets: true, Offers: true, ByBell: true, Entering: true},
	OneTrain:          {Word: "one-train", Single: true, Carries: CarriesStaff},
	Tokenless:         {Word: "tokenless", Single: true, Offers: true, ByBell: true, ShuntKey: true},
	ByTelephone:       {Word: "telephone", Offers: true, Entering: true},
	ByTelephoneSingle: {Word: "telephone", Single: true, Offers: true, Entering: true},
	AxleCounter:       {Word: "axle-counter", Offers: true, ShuntKey: true, Counter: true},
	AxleCounterSingle: {Word: "axle-counter", Single: true, Offers: true, ShuntKey: true, Counter: true},
	TrackCircuit:      {Word: "track-circuit", Offers: true, ByBell: true, Described: true},
	Permissive:        {Word: "permissive", Offers: true, ByBell: true, Follows: true, Entering: true},
	SingleLineWorking: {Word: "single-line-working", Single: true, Offers: true, ByBell: true, Entering: true, Piloted: true},
}

// having lists the methods whose traits are such.
func having(such func(Traits) bool) (list []Method) {
	for m := range MethodCount {
		if such(methods[m]) {
			list = append(list, m)
		}
	}
	return list
}

// Over is the method as it is over a single line or over a double one, where it
// may be over either.
func (m Method) Over(single bool) Method {
	for o := range methods {
		if methods[o].Word == methods[m].Word && methods[o].Single == single {
			return Method(o)
		}
	}
	return m
}

// Is gives the traits of a method.
func (m Method) Is() *Traits { return &methods[m] }

func (m Method) String() string { return methods[m].Word }

// MethodNamed finds the method of a word of the box file, over a double line where
// it may be over either; ok is false when there is none.
func MethodNamed(word string) (m Method, ok bool) {
	i := slices.IndexFunc(methods[:], func(t Traits) bool { return t.Word == word })
	return Method(max(i, 0)), i >= 0
}

// Methods are the words of the methods in order, those begun by entries left out.
func Methods() []string {
	var words []string
	for i := range methods {
		if !methods[i].Piloted {
			words = append(words, methods[i].Word)
		}
	}
	return slices.Compact(words)
}
