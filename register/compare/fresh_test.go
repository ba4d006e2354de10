package compare

import (
	"fmt"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/register/notation"
	"fairhand/register/reading"
)

// A book that never tells what becomes of its trains is read on with none of them on hand:
// at a quiet hour once there are fifty, and at the latest with four hundred; what it costs to
// read a year would grow with all of them otherwise.
func TestTrainsThatNeverGo(t *testing.T) {
	for _, c := range []struct{ every, most int }{{1, 400}, {20, 51}} { // minutes from train to train
		file := simFile(t, "Eastmoor", "Westbeck", "absolute", "exchanges", false)
		g, most := newGathering(file.Box, time.UTC), 0
		for n := range 900 {
			at := time.Date(2026, 5, 5, 0, n*c.every, 0, 0, time.UTC)
			events, err := notation.ParseLine(time.UTC, block.Time(at.Unix()), fmt.Sprintf("%s train 9W%03d arrived complete", at.Format("15:04"), n))
			if err != nil {
				t.Fatal(err)
			}
			e := reading.Entry{Event: events[0]}
			e.Seq, e.Event.Seq, e.Event.At = int64(n+1), int64(n+1), block.Time(at.Unix())
			g.take(&e)
			most = max(most, g.onHand)
		}
		if most > c.most || most < 50 {
			t.Errorf("a train every %d minutes: %d on hand, at most %d", c.every, most, c.most)
		}
		if len(g.b.trains) != 900 {
			t.Errorf("a train every %d minutes: %d trains in the book", c.every, len(g.b.trains))
		}
	}
}
