package rulebook

import "slices"

// Method is a method of working a block section.
type Method uint8

// The methods of working.
const (
	Absolute       Method = iota // double-line absolute block
	Token                        // electric token, tablet or staff instruments
	StaffAndTicket               // train staff and ticket
	OneTrain                     // one train only, with or without staff
	Tokenless                    // tokenless block
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
	Word          string  // in the box file
	Single        bool    // trains of both directions use the one line
	Carries       Carried // the driver's authority
	Tickets       bool    // trains may follow one another on tickets issued with the staff
	Offers        bool    // trains are offered, accepted and given out of section; without, one train at a time has the section
	ByBell        bool    // the signals of the block are bells
	EnteringBells bool    // train entering section is belled; else the instrument or the return of the train tells
}

var methods = [MethodCount]Traits{
	Absolute:       {Word: "absolute", Offers: true, ByBell: true, EnteringBells: true},
	Token:          {Word: "token", Single: true, Carries: CarriesToken, Offers: true, ByBell: true, EnteringBells: true},
	StaffAndTicket: {Word: "staff-and-ticket", Single: true, Carries: CarriesStaff, Tickets: true, Offers: true, ByBell: true, EnteringBells: true},
	OneTrain:       {Word: "one-train", Single: true, Carries: CarriesStaff},
	Tokenless:      {Word: "tokenless", Single: true, Offers: true, ByBell: true},
}

// Is gives the traits of a method.
func (m Method) Is() *Traits { return &methods[m] }

func (m Method) String() string { return methods[m].Word }

// MethodNamed finds the method of a word of the box file; ok is false when there
// is none.
func MethodNamed(word string) (m Method, ok bool) {
	i := slices.Index(Methods(), word)
	return Method(max(i, 0)), i >= 0
}

// Methods are the words of the methods, in order.
func Methods() []string {
	words := make([]string, MethodCount)
	for i := range methods {
		words[i] = methods[i].Word
	}
	return words
}
