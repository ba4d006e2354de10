package block

import (
	"strconv"
	"testing"

	"fairhand/block/rulebook"
)

// TestRowsLeftOpenStayFew: a book in which no train is ever closed is still read
// in bounded memory, and says so.
func TestRowsLeftOpenStayFew(t *testing.T) {
	b := &Box{Name: "B", Rules: rulebook.RuleSetNamed("british-later"), ClockCheck: -1,
		Sections: []Section{{Neighbour: "A", Method: rulebook.Absolute, Lines: []Line{{Name: "Up", Way: In}}}}}
	if err := b.Prepare(); err != nil {
		t.Fatal(err)
	}
	run := NewRunner(b, NewState(b))
	most, said := 0, 0
	for i := range 2000 {
		ev := Event{Seq: int64(i + 1), At: Time(i) * 20 * Minute, Kind: TrainArrived, Train: "T" + strconv.Itoa(i), From: "A"}
		for _, f := range run.Step(&ev) {
			if f.Rule == "row-left-open" {
				said++
			}
		}
		most = max(most, len(run.Look().Trains))
	}
	if most > 80 || said < 1900 {
		t.Errorf("%d trains on hand at most, %d rows said to be left open", most, said)
	}
}
