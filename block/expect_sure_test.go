package block_test

import (
	"slices"
	"testing"

	"fairhand/block"
)

// What one press must not write: each row is looked for by its label after the
// entries; it is gone, asked about first, or wanted later than ten minutes from
// now, as far ahead as a desk lets its first row be pressed.
func TestNotOnOnePress(t *testing.T) {
	accepted := []string{`10:00 A <1 >1 <4 >4 train 1A10`}
	entered := []string{`10:00 A <1 >1 <4 >4 train 1A10`, `10:02 A <2 >2 train 1A10`}
	blocked := append(slices.Clone(accepted), `10:01 A >6 <6`)
	banked := []string{`10:00 C >1 <1 >3-2 <3-2 train 6M60`, `10:01 train 0B60 assists 6M60 returns`, `10:02 C >2 <2 train 6M60`}
	noLamp := append(slices.Clone(entered), `10:06 train 1A10 arrived at Platform no-tail-lamp`)
	gone := []string{`10:00 A >1 <1 >3-1 <3-1 train 2B20`, `10:01 A >2 <2 train 2B20`}
	for _, c := range []struct {
		name    string
		entries []string
		label   string
		offered bool
		asked   bool
		later   bool
	}{
		{"line clear given", accepted, "1A10 entering section, from A", true, false, false},
		{"obstruction danger sent", blocked, "1A10 entering section, from A", true, true, true},
		{"line clear given", accepted, "offer 1A10 (4) to C", true, false, false},
		{"obstruction danger sent", blocked, "offer 1A10 (4) to C", true, false, true},
		{"train in section", entered, "offer 1A10 (4) to C", true, false, false},
		{"no tail lamp", noLamp, "offer 1A10 (4) to C", true, false, true},
		{"gone a moment ago", gone, "2B20 out of section, from A", true, true, false},
		{"gone four minutes ago", append(slices.Clone(gone), `10:05 note "fog"`), "2B20 out of section, from A", true, false, false},
		{"the engine is to come back", banked, "0B60 out of section, from C", false, false, false},
		{"the engine is to come back", banked, "0B60 back from assisting", true, false, false},
		{"the engine goes through", []string{banked[0], `10:01 train 0B60 assists 6M60`, banked[2]}, "6M60 out of section, from C", true, false, false},
	} {
		b, s := stateOf(t, "B", c.entries...)
		next := block.Expected(b, s)
		i := slices.IndexFunc(next, func(e block.Expectation) bool { return e.Label == c.label })
		if (i >= 0) != c.offered {
			t.Errorf("%s: %s offered %v, want %v", c.name, c.label, i >= 0, c.offered)
			continue
		}
		if i < 0 {
			continue
		}
		if e := next[i]; (e.Clears != "") != c.asked || (e.Wanted > s.Now+10*block.Minute) != c.later {
			t.Errorf("%s: %s asks %q and is wanted %v after the last entry; want asked %v, later %v", c.name, c.label, e.Clears, e.Wanted-s.Now, c.asked, c.later)
		}
	}
}

// A neighbour's next offer is listed also after what was special: bells again after
// offers by message, and a user at the crossing after one that may have been large.
func TestNextOfferStaysListed(t *testing.T) {
	for _, c := range []struct {
		box, label string
		entries    []string
	}{
		{"B", "accept 4 from A", []string{`10:00 A working by message`, `10:01 A <offer >accept train 1A10`, `10:02 A <entering train 1A10`, `10:06 train 1A10 arrived at Platform complete`, `10:07 A >arrived train 1A10`, `10:08 A working normal`}},
		{"UW-bare", "Mill Lane: the user asks to cross", []string{`10:00 crossing "Mill Lane" asked "tractor" for 1`, `10:01 crossing "Mill Lane" may cross`, `10:02 crossing "Mill Lane" clear`}},
	} {
		b, s := stateOf(t, c.box, c.entries...)
		next := block.Expected(b, s)
		if !slices.ContainsFunc(next, func(e block.Expectation) bool { return e.Label == c.label }) {
			t.Errorf("%s: %s is not listed: %v", c.box, c.label, labels(next))
		}
	}
}

func labels(next []block.Expectation) []string {
	var list []string
	for i := range next {
		list = append(list, next[i].Label)
	}
	return list
}

// The place offered for an arrival is not one that is described as lying on the way
// of the other neighbour's trains only, while another has room.
func TestArrivesOnItsWay(t *testing.T) {
	b, s := stateOf(t, "B", `10:00 A <1 >1 <4 >4 train 1A10`, `10:02 A <2 >2 train 1A10`, `10:05 note "fog"`)
	for _, c := range []struct {
		first, label string
	}{
		{"A", "1A10 arrived at Platform complete"},
		{"C", "1A10 arrived at Short complete"},
	} {
		b.Places[0].BeyondHome = []block.BeyondHome{{Section: c.first, Distance: 1}}
		b.Places[1].BeyondHome[0].Distance = b.Sections[0].ClearingPoint
		if next := labels(block.Expected(b, s)); !slices.Contains(next, c.label) {
			t.Errorf("Platform on the way of trains from %s: %s is not listed: %v", c.first, c.label, next)
		}
	}
}

// A user who rings with a train on its way is told to wait before anything is done about
// his crossing; with none about, his crossing is protected first.
func TestWaitFirstWithTrainComing(t *testing.T) {
	asked := `10:03 crossing "Mill Lane" asked "van" for 3`
	for first, entries := range map[string][]string{
		"Mill Lane: wait, 2K11 may be there in 2 minutes": {`10:00 Beech <1 >1 <3-1 >3-1 train 2K11`, `10:02 Beech <2 >2 train 2K11`, asked},
		"Down Starting on, for Mill Lane":                 {asked},
	} {
		b, s := stateOf(t, "UW", entries...)
		if next := labels(block.Expected(b, s)); len(next) == 0 || next[0] != first {
			t.Errorf("%q does not come first: %q", first, next)
		}
	}
	// While he waits for it, the signals that let it come stay as they are.
	b, s := stateOf(t, "UW", `10:00 Beech <1 >1 <3-1 >3-1 train 2K11`, `10:02 Beech <2 >2 train 2K11`, asked, `10:03 crossing "Mill Lane" wait`)
	if next := labels(block.Expected(b, s)); slices.Contains(next, "Down Starting on, for Mill Lane") {
		t.Errorf("the signal is to be put on for a user who waits for the train: %q", next)
	}
}

// What is said with a keeper is expected in its turn, each step gone once it is written:
// told, closed, past, leave to open; with private numbers each asks for one, and nothing of
// it is expected at a crossing whose keeper is told of no train.
func TestKeeperExpected(t *testing.T) {
	steps := []string{"LC 31: tell the keeper of 5611", "LC 31: closed for 5611", "LC 31: 5611 past", "LC 31: may open"}
	book := []string{`08:00 W >1 <1 >2 <2 train 5611 pn 52`, `08:01 W token 21 out`}
	for i, more := range []string{"", `08:01 crossing "LC 31" told train 5611`, `08:02 crossing "LC 31" closed train 5611`,
		`08:10 crossing "LC 31" past train 5611`, `08:30 crossing "LC 31" may open`} {
		if more != "" {
			book = append(book, more)
		}
		switch i {
		case 2: // it goes before it is past
			book = append(book, `08:03 train 5611 departed for W`, `08:03 W >3 <3`)
		case 3: // and is at the other end before leave to open
			book = append(book, `08:20 W <4 >4`, `08:21 W token 21 in there`)
		}
		b, s := stateOf(t, "KP", book...)
		next := block.Expected(b, s)
		for k, step := range steps {
			at := slices.IndexFunc(next, func(e block.Expectation) bool { return e.Label == step })
			if want := k == i; want != (at >= 0) {
				t.Errorf("after %q: %s expected %v, want %v: %q", book[len(book)-1], step, at >= 0, want, labels(next))
			} else if want && next[at].AskPN {
				t.Errorf("%s asks for a number", step)
			}
		}
	}
	b, s := stateOf(t, "KP", `08:00 crossing "LC 21" told train 5610 pn 14`, `08:02 crossing "LC 21" closed train 5610 pn 37`)
	if next := block.Expected(b, s); !slices.ContainsFunc(next, func(e block.Expectation) bool { return e.Label == "LC 21: may open" && e.AskPN }) {
		t.Errorf("leave to open with a number is not expected: %q", labels(next))
	}
}

// A signature that another hand owes is told to the relief, with whose it may not be, until
// it is there.
func TestSignaturesHandedOver(t *testing.T) {
	for _, c := range []struct{ box, entry, words string }{
		{"B", `10:01 disconnected "Points 5" "lever 5"`, "entry 2, disconnection of Points 5, to be countersigned by another hand than A. Fell"},
		{"P", `10:01 E token 6 moved away "stock evened out"`, "entry 2, transfer of a token, to be countersigned by another hand than A. Fell"},
	} {
		book := []string{`10:00 duty on "A. Fell"`, c.entry}
		for i, want := range []bool{true, false} {
			if i == 1 {
				book = append(book, `10:05 countersign 2 "R. Howe"`)
			}
			b, s := stateOf(t, c.box, book...)
			if got := slices.ContainsFunc(block.Live(b, s), func(l block.LiveItem) bool { return l.Text == c.words && l.Seq == 2 && !l.Tick }); got != want {
				t.Errorf("after %q it is told %v, want %v: %+v", book[len(book)-1], got, want, block.Live(b, s))
			}
		}
	}
}

// A train of the Up is expected at a place of that name, or of none, before one of the Down.
func TestPlaceOfTheLineIsExpectedFirst(t *testing.T) {
	b, s := stateOf(t, "B", `10:00 A <1 >1 <4 >4 train 1A01`, `10:02 A <2 >2`, `10:07 note "nothing yet"`)
	for want, places := range map[string][]string{
		"Up Platform":   {"Down Platform", "Up Platform"},
		"Platform 1":    {"Down Platform", "Platform 1", "Up Platform"},
		"Down Platform": {"Down Platform"},
	} {
		of := *b
		of.Places = nil
		for _, p := range places {
			of.Places = append(of.Places, block.Place{Name: p})
		}
		if err := of.Prepare(); err != nil {
			t.Fatal(err)
		}
		x := block.Expected(&of, s)
		if i := slices.IndexFunc(x, func(x block.Expectation) bool { return x.Event.Kind == block.TrainArrived }); i < 0 || x[i].Event.Place != want {
			t.Errorf("of %q not %q is expected first: %+v", places, want, x)
		}
	}
}

// Who may sign on: signallers, reliefs and, under one of them, trainees; nobody else.
func TestWhoMaySignOn(t *testing.T) {
	b, _ := stateOf(t, "P")
	var may []string
	for _, p := range b.People {
		if r := b.RoleOf(p.Name); slices.Contains(r.May, block.DutyOn) {
			may = append(may, p.Name)
		}
	}
	if want := []string{"A. Fell", "R. Howe", "T. Lad"}; !slices.Equal(may, want) {
		t.Errorf("%q may sign on, want %q", may, want)
	}
}
