package block

import (
	"slices"
	"strings"
	"testing"

	"fairhand/block/rulebook"
)

// NSW procedure NPR 736 (2017) prints a complete table of its own. A railway
// with such a book writes it as additions to a set, and they win.
func TestAdditionsOfABoxWin(t *testing.T) {
	nsw := []rulebook.CodeRow{
		{Code: "1", Means: rulebook.Telephone}, {Code: "4", Means: rulebook.Offer, Class: rulebook.Passenger}, {Code: "2-3", Means: rulebook.Offer, Class: rulebook.LightEngine},
		{Code: "1-2-1", Means: rulebook.Offer, Class: rulebook.Freight}, {Code: "2", Means: rulebook.Entering}, {Code: "3", Means: rulebook.OutOfSection}, {Code: "3-5", Means: rulebook.Cancelling},
		{Code: "3-3-3", Means: rulebook.Opening}, {Code: "3-4-3", Means: rulebook.Closing}, {Code: "3-5-3", Means: rulebook.Testing}, {Code: "6", Means: rulebook.ObstructionDanger},
	}
	b := Box{Name: "Ennerholme", Rules: rulebook.RuleSetNamed("british-later"), Codes: nsw,
		Sections: []Section{{Neighbour: "Saltgarth", Method: rulebook.Absolute, Lines: []Line{{"Up Main", Out}, {"Down Main", In}}}}}
	if err := b.Prepare(); err != nil {
		t.Fatal(err)
	}
	book := b.CodeBook(0)
	for _, want := range nsw {
		i := slices.IndexFunc(book, func(row rulebook.CodeRow) bool { return row.Code == want.Code })
		if i < 0 || book[i].Means != want.Means || book[i].Class != want.Class {
			t.Errorf("%s: the box's addition does not win", want.Code)
		}
	}
}

// Every fault of a description is told in words that name it, and alone where it stands alone.
func TestPrepareTellsEachFault(t *testing.T) {
	described := func() Box {
		return Box{Name: "Ennerholme", Rules: rulebook.RuleSetNamed("british-later"), Signals: []Signal{{Name: "EH4", Kind: "home", Section: "Saltgarth"}}, Places: []Place{{Name: "Loop"}},
			Crossings: []Crossing{{Name: "Mill Lane", Section: "Saltgarth", ProtectedBy: []string{"EH4"}, From: []MinutesFrom{{Box: FromHere, Time: Minute}, {Box: "Saltgarth", Time: Minute}}}},
			Sections: []Section{{Neighbour: "Saltgarth", Method: rulebook.Absolute, Lines: []Line{{"Up Main", Out}, {"Down Main", In}}},
				{Neighbour: "Thornby", Method: rulebook.Token, Lines: []Line{{"Single", Both}}, Tokens: Tokens{Charge: []int{7, 8}, Here: []int{7}}}}}
	}
	sound := described()
	if err := sound.Prepare(); err != nil {
		t.Fatal(err)
	}
	for want, spoil := range map[string]func(b *Box){
		"name of the box is missing":                    func(b *Box) { b.Name = "" },
		"no rule set; known are":                        func(b *Box) { b.Rules = nil },
		"a box has at least one section":                func(b *Box) { b.Sections, b.Signals, b.Crossings = nil, nil, nil },
		"section 2 has no neighbour":                    func(b *Box) { b.Sections[1].Neighbour = "" },
		"which rule set british-later does not cover":   func(b *Box) { b.Sections[0].Method = rulebook.AxleCounter },
		"Thornby has no lines":                          func(b *Box) { b.Sections[1].Lines = nil },
		"way must be out or in under absolute":          func(b *Box) { b.Sections[0].Lines[0].Way = Both },
		"way must be left out under token":              func(b *Box) { b.Sections[1].Lines[0].Way = In },
		"Saltgarth: trains and source are for":          func(b *Box) { b.Sections[0].Trains = 2 },
		"Thornby: trains and source are for":            func(b *Box) { b.Sections[1].Source = "local instructions" },
		"token 9 at Thornby is not on the charge list":  func(b *Box) { b.Sections[1].Tokens.Here = []int{7, 9} },
		`Saltgarth: allow has no word "haste"`:          func(b *Box) { b.Sections[0].Allow = []string{"haste"} },
		`Saltgarth: needs has no word "luck"`:           func(b *Box) { b.Sections[0].Needs = []string{"luck"} },
		`Loop lies in the section to "Elsewhere"`:       func(b *Box) { b.Places[0].InSection = "Elsewhere" },
		`Loop is at the section signal for "Elsewhere"`: func(b *Box) { b.Places[0].StarterFor = "Elsewhere" },
		`Loop fouls "Elsewhere"`:                        func(b *Box) { b.Places[0].Fouls = []Foul{{Section: "Elsewhere"}} },
		`Loop lies beyond the home signal of`:           func(b *Box) { b.Places[0].BeyondHome = []BeyondHome{{Section: "Elsewhere"}} },
		`Mill Lane lies in the section to "Elsewhere"`:  func(b *Box) { b.Crossings[0].Section = "Elsewhere" },
		`Mill Lane lies at "Nowhere"`:                   func(b *Box) { b.Crossings[0].Section, b.Crossings[0].Place = "", "Nowhere" },
		`Mill Lane is protected by "EH5"`:               func(b *Box) { b.Crossings[0].ProtectedBy = []string{"EH5"} },
		`Mill Lane has minutes from "Elsewhere"`:        func(b *Box) { b.Crossings[0].From[1].Box = "Elsewhere" },
	} {
		b := described()
		spoil(&b)
		if err := b.Prepare(); err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: told as %v", want, err)
		}
	}
}
