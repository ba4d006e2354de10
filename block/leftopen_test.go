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

// TestMessagesStayFew: of messages that nothing answers the last are kept.
func TestMessagesStayFew(t *testing.T) {
	b := &Box{Name: "B", Rules: rulebook.RuleSetNamed("british-later"), ClockCheck: -1,
		Sections: []Section{{Neighbour: "A", Method: rulebook.Absolute, Lines: []Line{{Name: "Up", Way: In}}}}}
	if err := b.Prepare(); err != nil {
		t.Fatal(err)
	}
	run := NewRunner(b, NewState(b))
	for i := range 2 * maxMessages {
		run.Step(&Event{Seq: int64(i + 1), At: Time(i) * Minute, Kind: MessageFrom, Subject: "A", Text: "Line " + strconv.Itoa(i) + " to be watched"})
	}
	if kept := run.Look().Messages; len(kept) != maxMessages || kept[0].Seq != maxMessages+1 || kept[maxMessages-1].Seq != 2*maxMessages {
		t.Errorf("kept are %d messages: %v", len(kept), kept)
	}
}
