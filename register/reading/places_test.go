package reading

import (
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/store"
)

// belled is an entry of bells with Saltgarth, each written as in the notation.
func belled(seq int64, bells ...string) *held {
	ev := block.Event{Kind: block.Bells, Section: "Saltgarth", Seq: seq}
	for _, b := range bells {
		ev.Bells = append(ev.Bells, block.Bell{Sent: b[0] == '>', Code: rulebook.Code(b[1:])})
	}
	h := &held{}
	h.e.Seq, h.e.Event = seq, ev
	return h
}

// An entry answers the one above it only where that ends with a signal not yet
// acknowledged, and itself begins with its acknowledgement.
func TestAnswers(t *testing.T) {
	elsewhere := belled(2, "<3-1")
	elsewhere.e.Event.Section = "Stangill"
	for name, c := range map[string]struct {
		above, below *held
		want         bool
	}{
		"the acknowledgement":                {belled(1, ">3-1"), belled(2, "<3-1"), true},
		"and that after attention":           {belled(1, "<1", ">1", "<3-1"), belled(2, ">3-1"), true},
		"the same signal once more":          {belled(1, ">3-1"), belled(2, ">3-1"), false},
		"another signal":                     {belled(1, ">3-1"), belled(2, "<2-1"), false},
		"a signal acknowledged already":      {belled(1, ">3-1", "<3-1"), belled(2, ">3-1"), false},
		"of another neighbour":               {belled(1, ">3-1"), elsewhere, false},
		"written above":                      {belled(2, ">3-1"), belled(1, "<3-1"), false},
		"behind an entry without any signal": {belled(1), belled(2, "<3-1"), false},
	} {
		if got := c.below.answers(c.above); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// late is a late entry of a time.
func late(seq int64, own block.Time, early bool) *held {
	h := belled(seq)
	h.at, h.own, h.early = own, own, early
	return h
}

// A late entry stands behind the one that it was written with, also where that is the first held.
func TestPlaceBehindItsOwn(t *testing.T) {
	above, below := late(7, 600, true), late(8, 600, true)
	o := order{list: []*held{above}}
	o.insert(below)
	if len(o.list) != 2 || o.list[1] != below || below.tied {
		t.Errorf("of two written together the second is at %d, tied %v", slices.Index(o.list, below), below.tied)
	}
}

// Two entries were written together where the one stands right below the other, of the
// same time and both late.
func TestWrittenWith(t *testing.T) {
	above := late(7, 600, true)
	for name, c := range map[string]struct {
		h    *held
		want bool
	}{
		"right below":     {late(8, 600, true), true},
		"right above":     {late(6, 600, true), false},
		"further below":   {late(9, 600, true), false},
		"of another time": {late(8, 660, true), false},
		"not late":        {late(8, 600, false), false},
	} {
		if got := c.h.with(above); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
	if late(8, 600, true).with(late(7, 600, false)) {
		t.Error("below one that is not late")
	}
}

// Where nothing is held an entry stands behind the last one read, and is of its time.
func TestPlaceBehindAll(t *testing.T) {
	o := order{last: 600}
	if i, at := o.placeOf(belled(9)); i != 0 || at != 600 {
		t.Errorf("place %d at %d", i, at)
	}
}

// The second description already must follow from the first.
func TestSecondDescriptionFollows(t *testing.T) {
	r := Of(nil, london(t))
	if err := r.take(store.Description{Text: plainBox}); err != nil {
		t.Fatal(err)
	}
	err := r.take(store.Description{Text: strings.ReplaceAll(plainBox, "Saltgarth", "Stangill")})
	if err == nil || !strings.Contains(err.Error(), "does not follow") {
		t.Errorf("another neighbour in the place of the one there was: %v", err)
	}
}
