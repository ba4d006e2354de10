package notation

import (
	"os"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/block/rulebook"
)

func sent(code rulebook.Code) block.Bell     { return block.Bell{Sent: true, Code: code} }
func received(code rulebook.Code) block.Bell { return block.Bell{Code: code} }

// golden gives for every kind the event that its example in the table means.
var golden = []block.Event{
	{Kind: block.Bells, Section: "Coldbeck", Bells: []block.Bell{{Sent: true, Code: "offer"}, {Code: "accept"}},
		Train: "2P07", Line: "Single", Number: 3, PN: "41", Subject: "four one"},
	{Kind: block.TokenOut, Section: "Coldbeck", Number: 7, Far: true, Train: "2P07"},
	{Kind: block.TokenIn, Section: "Coldbeck", Number: 7, Place: "Quarry Siding"},
	{Kind: block.TokenToTrain, Section: "Coldbeck", Number: 7, Train: "2P07"},
	{Kind: block.TokenFromTrain, Section: "Coldbeck", Number: 7, Train: "2P07"},
	{Kind: block.TokenMovedHere, Section: "Coldbeck", Number: 9},
	{Kind: block.TokenMovedAway, Section: "Coldbeck", Number: 9},
	{Kind: block.TokenTaken, Section: "Coldbeck", Number: 9},
	{Kind: block.TokenLost, Section: "Coldbeck", Number: 9},
	{Kind: block.TokenFound, Section: "Coldbeck", Number: 9},
	{Kind: block.TokenDamaged, Section: "Coldbeck", Number: 9, Text: "bent"},
	{Kind: block.TokenCount, Section: "Coldbeck", Number: 6, Other: 5},
	{Kind: block.StaffHere, Section: "Stangill"},
	{Kind: block.StaffAway, Section: "Stangill"},
	{Kind: block.StaffToTrain, Section: "Stangill", Train: "2P07"},
	{Kind: block.StaffFromTrain, Section: "Stangill", Train: "2P07"},
	{Kind: block.TicketToTrain, Section: "Stangill", Number: 14, Train: "2P05"},
	{Kind: block.TicketFromTrain, Section: "Stangill", Number: 14, Train: "2P05"},
	{Kind: block.TicketCancelled, Section: "Stangill", Number: 14},
	{Kind: block.Indicator, Section: "Saltgarth", Subject: "line-clear", Line: "Up Main"},
	{Kind: block.CounterReset, Section: "Birch", PN: "52", Text: "last trains 5610 and 5611"},
	{Kind: block.ShuntKeyTaken, Section: "Birch"},
	{Kind: block.ShuntKeyBack, Section: "Birch"},
	{Kind: block.WorkingMessage, Section: "Coldbeck"},
	{Kind: block.WorkingPilot, Section: "Saltgarth", Subject: "T. Hale", Line: "Up Main", PN: "3"},
	{Kind: block.WorkingNormal, Section: "Coldbeck"},
	{Kind: block.ProvedClear, Section: "Coldbeck", Line: "Single", Text: "told by R. Garth, tokens 6 and 6"},
	{Kind: block.TrainArrived, Train: "2P07", Place: "Platform 1", From: "Coldbeck", Proof: block.Complete},
	{Kind: block.TrainPassed, Train: "6K20", Place: "Down Main", Section: "Saltgarth", Line: "Up Main", Proof: block.NoTailLamp},
	{Kind: block.TrainDeparted, Train: "2P07", Section: "Saltgarth", Line: "Up Main"},
	{Kind: block.TrainMoved, Train: "6K20", Place: "Yard"},
	{Kind: block.TrainDivided, Train: "6K20", Subject: "6K20R"},
	{Kind: block.TrainEntire, Train: "6K20"},
	{Kind: block.TrainPutAway, Train: "6K20"},
	{Kind: block.TrainOff, Train: "2P11"},
	{Kind: block.TrainRenamed, Train: "2P11", Subject: "5P11"},
	{Kind: block.TrainWarned, Train: "6K20"},
	{Kind: block.TrainAuthorised, Train: "6K20", Subject: "Up Starting"},
	{Kind: block.TrainJoined, Train: "2P11", Subject: "2P13"},
	{Kind: block.EngineDetached, Train: "6K20", Subject: "0K20"},
	{Kind: block.TrainAssists, Train: "0B01", Subject: "6K20", Which: "returns"},
	{Kind: block.TrainDetained, Train: "6K20", Line: "Up Main", Subject: "J. Wray", Which: "signed"},
	{Kind: block.TrainExamined, Train: "6K20", Which: "fit", Text: "door shut"},
	{Kind: block.TrainToHear, Train: "6K20", Text: "stop at Mill Lane"},
	{Kind: block.TrainHeard, Train: "6K20"},
	{Kind: block.SectionToExamine, Section: "Coldbeck", Line: "Single", Text: "rough ride, driver of 2P07"},
	{Kind: block.SectionExamined, Section: "Coldbeck", Line: "Single", Train: "2P11"},
	{Kind: block.PointsSet, Subject: "Points 9", Which: "reverse"},
	{Kind: block.PointsLocked, Subject: "Points 9"},
	{Kind: block.PointsWound, Subject: "Points 9", Which: "normal"},
	{Kind: block.RouteSet, Subject: "Up Main to Yard", Train: "6K20"},
	{Kind: block.RouteReleased, Subject: "Up Main to Yard"},
	{Kind: block.FrameOut, Subject: "Quarry", Train: "6K20"},
	{Kind: block.FrameIn, Subject: "Quarry"},
	{Kind: block.SignalOff, Subject: "Up Starting"},
	{Kind: block.SignalOn, Subject: "Up Starting"},
	{Kind: block.ReminderOn, Subject: "Lever 5", Text: "2F03 standing"},
	{Kind: block.ReminderOff, Subject: "Lever 5"},
	{Kind: block.Obstruct, Line: "Down Main", Section: "Saltgarth", Text: "wagon foul"},
	{Kind: block.ObstructClear, Line: "Down Main", Section: "Saltgarth"},
	{Kind: block.CrossingAsked, Place: "Mill Lane", Subject: "tractor and trailer", Number: 4, Large: true},
	{Kind: block.CrossingMayCross, Place: "Mill Lane"},
	{Kind: block.CrossingWait, Place: "Mill Lane", Text: "2K14 due"},
	{Kind: block.CrossingClear, Place: "Mill Lane"},
	{Kind: block.CrossingNotHeard, Place: "Mill Lane"},
	{Kind: block.CrossingDown, Place: "Station Road"},
	{Kind: block.CrossingUp, Place: "Station Road"},
	{Kind: block.CrossingTold, Place: "LC 21", Train: "5610", PN: "14"},
	{Kind: block.CrossingShut, Place: "LC 21", Train: "5610", PN: "37"},
	{Kind: block.CrossingPast, Place: "LC 21", Train: "5610"},
	{Kind: block.CrossingMayOpen, Place: "LC 21", PN: "52"},
	{Kind: block.CrossingGatesOpen, Place: "Mill Lane", Text: "driver of 2K14"},
	{Kind: block.CrossingGatesShut, Place: "Mill Lane"},
	{Kind: block.CrossingObstructed, Place: "Mill Lane", Text: "trailer fast on the rails"},
	{Kind: block.CrossingUnobstructed, Place: "Mill Lane"},
	{Kind: block.CrossingAttended, Place: "Mill Lane", Subject: "J. Wray"},
	{Kind: block.CrossingUnattended, Place: "Mill Lane"},
	{Kind: block.CrossingLocal, Place: "Station Road"},
	{Kind: block.CrossingRemote, Place: "Station Road"},
	{Kind: block.CrossingSecured, Place: "Mill Lane"},
	{Kind: block.CrossingUnsecured, Place: "Mill Lane"},
	{Kind: block.TrainCautioned, Train: "2K14", Place: "Mill Lane"},
	{Kind: block.MessageTo, Subject: "Control", Target: 17, Text: "Coldbeck crossing locked"},
	{Kind: block.MessageFrom, Subject: "Control", Target: 18, Text: "noted"},
	{Kind: block.Failure, Subject: "Lever 12", Text: "lamp out"},
	{Kind: block.Restored, Subject: "Lever 12"},
	{Kind: block.Disconnected, Subject: "Points 9"},
	{Kind: block.Reconnected, Subject: "Points 9"},
	{Kind: block.Clamped, Subject: "Points 9"},
	{Kind: block.Unclamped, Subject: "Points 9"},
	{Kind: block.Released, Subject: "Up Release", Which: "sealed", Number: 41, Other: 42, Party: "Control", Text: "circuit failed"},
	{Kind: block.CounterRead, Subject: "Up Release", Number: 42},
	{Kind: block.Blockage, Line: "Down Main", Section: "Saltgarth", Party: "J. Wray", PN: "17", Which: "repeated"},
	{Kind: block.BlockageUp, Line: "Down Main", Section: "Saltgarth"},
	{Kind: block.PartyOn, Party: "B. Wood", Line: "Down Main", Section: "Saltgarth", PN: "17", Which: "repeated"},
	{Kind: block.PartyClear, Party: "B. Wood", Line: "Down Main", Section: "Saltgarth", PN: "17"},
	{Kind: block.KeyOut, Section: "Coldbeck", Party: "J. Wray"},
	{Kind: block.KeyIn, Section: "Coldbeck"},
	{Kind: block.Posted, Subject: "L. Barr", Place: "Down Distant"},
	{Kind: block.Withdrawn, Subject: "L. Barr", Place: "Down Distant"},
	{Kind: block.FogOn},
	{Kind: block.FogOff},
	{Kind: block.Note, Text: "relief is late"},
	{Kind: block.Correct, Target: 41, Text: "10:43 Coldbeck <2 >2"},
	{Kind: block.DutyOn, Subject: "L. Marsh", Party: "A. Fell", Which: block.ByPIN},
	{Kind: block.DutyOff, Subject: "A. Fell"},
	{Kind: block.PINSet, Subject: "A. Fell", Which: "3c4e1a"},
	{Kind: block.PINReset, Subject: "A. Fell", Which: "5d6f2b", Party: "R. Garth"},
	{Kind: block.ClockRight},
	{Kind: block.ClockSlow, Number: 2},
	{Kind: block.ClockFast, Number: 1},
	{Kind: block.ClockSet},
	{Kind: block.ClockConfirmed},
	{Kind: block.BoxOpen},
	{Kind: block.BoxClosed},
	{Kind: block.BoxSwitchedIn},
	{Kind: block.BoxSwitchedOut},
	{Kind: block.Visit, Subject: "R. Garth"},
	{Kind: block.Sign, Subject: "R. Garth"},
	{Kind: block.Countersign, Target: 41, Subject: "R. Garth"},
	{Kind: block.Explain, Target: 41, Text: "bell repeated at the neighbour's request"},
	{Kind: block.Carried, Subject: "6K20 in the yard"},
	{Kind: block.Queried, Subject: "token 9"},
	{Kind: block.Transcribed, Text: "paper book 12, page 40"},
	{Kind: block.Transcript},
	{Kind: block.SealMark, Subject: "Coldbeck", Text: "amber heron quiet lantern"},
	{Kind: block.Described, Subject: "9f86d081884c7d65", Text: "late-after 10, was 3"},
}

func TestEveryKindHasAFormAndItsExampleMeansTheEvent(t *testing.T) {
	want := map[block.Kind]block.Event{}
	for _, ev := range golden {
		want[ev.Kind] = ev
	}
	for k := block.KindNone + 1; int(k) < block.Kinds; k++ {
		r := compiled().rules[k]
		if r == nil {
			t.Errorf("kind %d has no form", k)
			continue
		}
		if r.Says == "" || r.Example == "" {
			t.Errorf("%q has no help or no example", r.Pattern)
		}
		if _, ok := want[k]; !ok {
			t.Errorf("%q has no golden event", r.Pattern)
			continue
		}
		got, err := parseOne(r.Example)
		if err != nil {
			t.Errorf("%s: %v", r.Example, err)
			continue
		}
		if d := cmp.Diff(want[k], got); d != "" {
			t.Errorf("%s (-want +got):\n%s", r.Example, d)
		}
		if back := FormatBody(got); back != r.Example {
			t.Errorf("%s: formats as %s", r.Example, back)
		}
		if err := Check(got); err != nil {
			t.Errorf("%s: %v", r.Example, err)
		}
	}
}

// The book is the example of the design, section 6, with the alternatives of
// its second line written out.
func TestDesignExampleParses(t *testing.T) {
	text, err := os.ReadFile("testdata/book.txt")
	if err != nil {
		t.Fatal(err)
	}
	loc := london(t)
	evs, err := ParseAll(strings.NewReader(string(text)), loc)
	if err != nil {
		t.Fatal(err)
	}
	if len(evs) != 27 {
		t.Errorf("%d entries, want 27", len(evs))
	}
	at := func(h, m int) block.Time {
		return block.Time(time.Date(2026, 5, 5, h, m, 0, 0, loc).Unix())
	}
	for _, want := range []block.Event{
		{Seq: 8, At: at(10, 41), Kind: block.Bells, Section: "Coldbeck", Train: "2P07",
			Bells: []block.Bell{received("1"), sent("1"), received("3-1"), sent("3-1")}},
		{Seq: 26, At: at(11, 12), Kind: block.Note, Text: "the hour may be left out, as in the paper book"},
		{Seq: 27, At: at(13, 58), Kind: block.DutyOff, Subject: "A. Fell"},
		{Seq: 28, At: at(14, 5), Written: at(14, 20), Kind: block.Note, Text: "copied from the rough sheet"},
	} {
		i := 0
		for i < len(evs)-1 && evs[i].Seq != want.Seq {
			i++
		}
		if d := cmp.Diff(want, evs[i]); d != "" {
			t.Errorf("line %d (-want +got):\n%s", want.Seq, d)
		}
	}
}

func TestCompileRefusesTablesThatCannotBeWalked(t *testing.T) {
	for name, forms := range map[string][]Form{
		"same kind twice":   {{Kind: block.Note, Pattern: "note TEXT"}, {Kind: block.Note, Pattern: "remark TEXT"}},
		"unknown slot":      {{Kind: block.Note, Pattern: "note THING"}},
		"prefix of other":   {{Kind: block.FogOn, Pattern: "fog on"}, {Kind: block.FogOff, Pattern: "fog on again"}},
		"other as prefix":   {{Kind: block.FogOn, Pattern: "fog on again"}, {Kind: block.FogOff, Pattern: "fog on"}},
		"two slots":         {{Kind: block.FogOn, Pattern: "fog PLACE on"}, {Kind: block.FogOff, Pattern: "fog LINE off"}},
		"bare name part":    {{Kind: block.FogOn, Pattern: "fog on [TEXT] [PLACE]"}},
		"part of two words": {{Kind: block.FogOn, Pattern: "fog on [at the PLACE]"}},
	} {
		if _, _, err := compile([]Group{{"", forms}}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestHelpNamesEveryKindOnce(t *testing.T) {
	seen := map[block.Kind]bool{}
	for _, g := range Groups {
		for _, f := range g.Forms {
			if seen[f.Kind] {
				t.Errorf("%s: twice", f.Pattern)
			}
			seen[f.Kind] = true
		}
	}
	if len(seen) != block.Kinds-1 {
		t.Errorf("%d kinds, want %d", len(seen), block.Kinds-1)
	}
	for _, line := range strings.Split(HelpText(), "\n") {
		if len(line) >= 100 {
			t.Errorf("help line too long: %s", line)
		}
	}
}

func london(t testing.TB) *time.Location {
	loc, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	return loc
}
