package block_test

import (
	"slices"
	"testing"

	"fairhand/block"
)

// An axle counter suspended, paper line clear, and back: each entry offered next leads
// on. Source: Block Working Manual, annexure on paper line clear, 1.2 to 1.5;
// Subsidiary Rule 3.68.8.
func TestOfferedNextOnPaper(t *testing.T) {
	paper := []string{
		`10:00 failure "Y axle counter" "shows occupied"`,
		`10:01 Y working by message "paper line clear"`,
		`10:05 Y >offer <accept train 5612 inquiry 1 pn 53 words "five three"`,
		`10:06 Y ticket 7 to train 5612`,
		`10:08 train 5612 departed for Y`,
		`10:08 Y >entering train 5612`,
		`10:20 Y <arrived train 5612`,
		`10:25 Y working normal`,
		`10:26 Y counter reset pn 71`,
		`10:30 Y >offer <accept train 5614 pn 54`,
		`10:31 train 5614 warned "first after the reset"`,
	}
	const ticket, back, authority = "ticket to 5612, Y", "normal working to Y again", "5614 authorised in writing, first after the reset"
	for _, c := range []struct {
		entries    int
		label      string
		offered    bool
		number     int
		asksBefore bool
	}{
		{1, back, false, 0, false},
		{2, back, true, 0, true},
		{3, back, false, 0, false}, // line clear stands
		{3, ticket, true, 1, false},
		{4, ticket, false, 0, false}, // he has it
		{4, "5612 departed for Y", true, 0, false},
		{6, back, false, 0, false}, // a train not reported in
		{7, back, true, 0, true},
		{8, back, false, 0, false},
		{10, authority, true, 0, false},
		{10, "5614 departed for Y", false, 0, false},
		{11, authority, false, 0, false},
		{11, "5614 departed for Y", true, 0, false},
	} {
		b, s := stateOf(t, "AX", paper[:c.entries]...)
		next := block.Expected(b, s)
		i := slices.IndexFunc(next, func(e block.Expectation) bool { return e.Label == c.label })
		if (i >= 0) != c.offered {
			t.Errorf("after %s: %s offered %v, want %v", paper[c.entries-1], c.label, i >= 0, c.offered)
			continue
		}
		if i >= 0 && (next[i].Event.Number != c.number || (next[i].Clears != "") != c.asksBefore) {
			t.Errorf("after %s: %s with number %d, asked before %q", paper[c.entries-1], c.label, next[i].Event.Number, next[i].Clears)
		}
	}
	b, s := stateOf(t, "AX", append(slices.Clone(paper[:7]), `10:21 Y >offer <accept train 5616 inquiry 2 pn 58 words "five eight"`)...)
	for _, e := range block.Expected(b, s) {
		if e.Event.Kind == block.TicketToTrain && e.Event.Number != 8 {
			t.Errorf("ticket %d follows ticket 7", e.Event.Number)
		}
	}
}
