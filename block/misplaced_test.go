package block_test

import (
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// A bell with its arrows turned is taken to where it was awaited, once. In these books, the
// least of what random histories came to, it is awaited there as little: it was handed to
// and fro without end, and the desk stood still.
func TestMisplacedOnce(t *testing.T) {
	for _, c := range []struct {
		method rulebook.Method
		rules  string
		box    int
		book   []string
		found  string // of the last entry
	}{
		{rulebook.Token, "british-early", 0, []string{"Saltgarth >1 <1 >3-1 train 1A02", "Saltgarth >1 <1 >3-5-5 <3-5-5 train 1A02", "Saltgarth token 1 out", "Saltgarth >2 <2 train 1A02"}, "danger entered-without-acceptance"},
		{rulebook.Token, "british-later", 0, []string{"train 1A01 departed for Saltgarth", "Saltgarth <1 >1 <2-6-3", "Saltgarth token 3 out there", "train 1A01 arrived at Yard no-tail-lamp", "Saltgarth >2-6-3 train 1A01", "Saltgarth <2 >2 train 1A01"}, "irregular step-not-booked, irregular train-name-differs"},
		{rulebook.Token, "british-later", 1, []string{"train 1A02 departed for Ennerholme", "Ennerholme >2 <2 train 1A02", "Ennerholme <1 >1 <3-1 train 1A02", "Ennerholme token 3 out", "Ennerholme >3-1", "Ennerholme <2 >2 train 1A02"}, "irregular entering-twice, irregular step-not-booked, irregular train-name-differs"},
	} {
		p := newPlant(t, c.method, c.rules, c.rules != "british-early")
		s := block.NewState(p.box[c.box])
		var found []block.Finding
		for _, line := range c.book {
			found = write(t, p, &s, c.box, line, clock)
		}
		if got := told(found); got != c.found {
			t.Errorf("%v: %s: %s", c.method, strings.Join(c.book, "; "), got)
		}
	}
}
