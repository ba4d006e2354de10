package block

import (
	"slices"
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
