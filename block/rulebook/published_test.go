package rulebook

import (
	"maps"
	"slices"
	"strings"
	"testing"
)

// The codes sent without call attention. Later: RSSB TS1 2.2 as quoted in the
// study cards. Early: the starred codes of britishrailways.info, 6 by
// signalbox.org ch. 9, and 2-2-2, which like 3-5-5 answers an offer (from
// memory). Indian: no list found; Block Working Manual Part A 3.2 calls
// attention before 2, 3 and 4; 6 as everywhere.
func TestNoAttentionListsAreThosePublished(t *testing.T) {
	want := map[string][]Code{
		"british-later":  {"1-1-6", "1-2", "2", "2-5-5", "3-5-5", "4-5-5", "6"},
		"british-early":  {"2", "2-2", "2-2-2", "3-5-5", "6"},
		"indian-general": {"6"},
	}
	for _, r := range ruleSets {
		got := map[Code]bool{}
		for _, row := range r.Codes {
			if row.Means == CallAttention && !row.NoAttention {
				t.Errorf("%s: call attention would need call attention", r.Name)
			}
			if row.Means == CallAttention {
				continue
			}
			if before, ok := got[row.Code]; ok && before != row.NoAttention {
				t.Errorf("%s: rows of %s differ on call attention", r.Name, row.Code)
			}
			got[row.Code] = row.NoAttention
		}
		maps.DeleteFunc(got, func(_ Code, free bool) bool { return !free })
		if list := slices.Sorted(maps.Keys(got)); !slices.Equal(list, want[r.Name]) {
			t.Errorf("%s: without call attention %v, want %v", r.Name, list, want[r.Name])
		}
	}
}

// Where the publishedRows were read.
const (
	letters = "igg.org.uk letter classes"
	early   = "britishrailways.info early list"
	cards   = "GERT8000 study cards"
	block   = "signalbox.org Block system"
	wiki    = "Railway block code"
	indian  = "General Rules (India) 14.05"
)

// publishedRows are published tables, row by row, with the method each is read for.
var publishedRows = []struct {
	set    *RuleSet
	method Method
	code   Code
	means  Meaning
	class  Class
	from   Side
	source string
}{
	{&britishEarly, Absolute, "4", Offer, Passenger, Rear, letters},
	{&britishEarly, Absolute, "3-1", Offer, Passenger, Rear, letters},
	{&britishEarly, Absolute, "1-3", Offer, Passenger, Rear, letters},
	{&britishEarly, Absolute, "3-1-3", Offer, Passenger, Rear, letters},
	{&britishEarly, Absolute, "1-3-1", Offer, Freight, Rear, letters},
	{&britishEarly, Absolute, "3-1-1", Offer, Freight, Rear, letters},
	{&britishEarly, Absolute, "2-2-1", Offer, EmptyStock, Rear, letters},
	{&britishEarly, Absolute, "5", Offer, Freight, Rear, letters},
	{&britishEarly, Absolute, "1-2-2", Offer, Freight, Rear, letters},
	{&britishEarly, Absolute, "4-1", Offer, Freight, Rear, letters},
	{&britishEarly, Absolute, "3-2", Offer, Freight, Rear, letters},
	{&britishEarly, Absolute, "1-4", Offer, Freight, Rear, letters},
	{&britishEarly, Absolute, "3", Offer, Freight, Rear, letters},
	{&britishEarly, Absolute, "1-2", Offer, Freight, Rear, letters},
	{&britishEarly, Absolute, "2-3", Offer, LightEngine, Rear, letters},
	{&britishEarly, Absolute, "2-1-3", EngineArrived, AnyClass, Advance, letters},
	{&britishEarly, Absolute, "6-2", LongInSection, AnyClass, Either, letters},
	{&britishEarly, Absolute, "2-1-2", Offer, Trolley, Rear, early},
	{&britishEarly, Absolute, "2", Entering, AnyClass, Rear, early},
	{&britishEarly, Absolute, "2-1", OutOfSection, AnyClass, Advance, early},
	{&britishEarly, Absolute, "2-1", ObstructionRemoved, AnyClass, Advance, early},
	{&britishEarly, Absolute, "2-2", AssistingInRear, AnyClass, Rear, early},
	{&britishEarly, Absolute, "2-4", BlockBackInside, AnyClass, Advance, early},
	{&britishEarly, Absolute, "3-3", BlockBackOutside, AnyClass, Advance, early},
	{&britishEarly, Absolute, "3-5-5", Restricted, AnyClass, Advance, early},
	{&britishEarly, Absolute, "6", ObstructionDanger, AnyClass, Advance, early},
	{&britishEarly, Absolute, "7", StopAndExamine, AnyClass, Either, early},
	{&britishEarly, Absolute, "9", NoTailLampAhead, AnyClass, Rear, early},
	{&britishEarly, Absolute, "4-5", NoTailLampRear, AnyClass, Advance, early},
	{&britishEarly, Absolute, "5-5", DividedTrain, AnyClass, Rear, early},
	{&britishEarly, Absolute, "1-5-5", ShuntForFollowing, AnyClass, Rear, early},
	{&britishEarly, Absolute, "3-3-2", ShuntAhead, AnyClass, Rear, block},
	{&britishEarly, Absolute, "8", ShuntWithdrawn, AnyClass, Rear, block},
	{&britishEarly, Token, "6", ObstructionDanger, AnyClass, Either, early},
	{&britishEarly, Token, "2-1", OutOfSection, AnyClass, Advance, early},

	{&britishLater, Absolute, "4", Offer, Passenger, Rear, wiki},
	{&britishLater, Absolute, "3-1", Offer, Passenger, Rear, wiki},
	{&britishLater, Absolute, "3-1-1", Offer, Freight, Rear, wiki},
	{&britishLater, Absolute, "2-2-1", Offer, EmptyStock, Rear, wiki},
	{&britishLater, Absolute, "4-1", Offer, Freight, Rear, wiki},
	{&britishLater, Absolute, "3", Offer, Freight, Rear, wiki},
	{&britishLater, Absolute, "2-3", Offer, LightEngine, Rear, wiki},
	{&britishLater, Absolute, "2", Entering, AnyClass, Rear, cards},
	{&britishLater, Absolute, "2-1", OutOfSection, AnyClass, Advance, cards},
	{&britishLater, Absolute, "2-1-2", ObstructionRemoved, AnyClass, Advance, cards},
	{&britishLater, Absolute, "3-5", Cancelling, AnyClass, Rear, cards},
	{&britishLater, Absolute, "3-5-5", Restricted, AnyClass, Advance, cards},
	{&britishLater, Absolute, "2-4", BlockBackInside, AnyClass, Advance, cards},
	{&britishLater, Absolute, "3-3", BlockBackOutside, AnyClass, Advance, cards},
	{&britishLater, Absolute, "2-3-3", WrongDirection, AnyClass, Rear, cards},
	{&britishLater, Absolute, "5-2", ClearOfSection, AnyClass, Either, cards},
	{&britishLater, Absolute, "6", ObstructionDanger, AnyClass, Advance, cards},
	{&britishLater, Absolute, "1-1-6", Police, AnyClass, Either, cards},
	{&britishLater, Absolute, "1-2", Telephone, AnyClass, Either, cards},
	{&britishLater, Absolute, "9", NoTailLampAhead, AnyClass, Rear, cards},
	{&britishLater, Absolute, "4-5", NoTailLampRear, AnyClass, Advance, cards},
	{&britishLater, Absolute, "4-5-5", RunawayRight, AnyClass, Rear, cards},
	{&britishLater, Absolute, "2-5-5", RunawayWrong, AnyClass, Advance, cards},
	{&britishLater, Absolute, "3-3-2", ShuntAhead, AnyClass, Rear, block},
	{&britishLater, Absolute, "8", ShuntWithdrawn, AnyClass, Rear, block},
	{&britishLater, Absolute, "5-5-5", Opening, AnyClass, Either, block},
	{&britishLater, Absolute, "7-5-5", Closing, AnyClass, Either, block},
	{&britishLater, Absolute, "16", Testing, AnyClass, Either, wiki},
	{&britishLater, Token, "5-2", ReleaseToken, AnyClass, Either, wiki},
	{&britishLater, Token, "2-5", TokenReplaced, AnyClass, Either, wiki},

	{&indianGeneral, Token, "1", CallAttention, AnyClass, Either, indian},
	{&indianGeneral, Token, "2", Offer, AnyClass, Rear, indian},
	{&indianGeneral, Absolute, "3", Entering, AnyClass, Rear, "Dungri-Valsad p. 17"},
	{&indianGeneral, Token, "3", Entering, AnyClass, Rear, indian},
	{&indianGeneral, Token, "4", OutOfSection, AnyClass, Advance, indian},
	{&indianGeneral, Token, "4", ObstructionRemoved, AnyClass, Advance, indian},
	{&indianGeneral, Token, "5", Cancelling, AnyClass, Either, indian},
	{&indianGeneral, Token, "6", ObstructionDanger, AnyClass, Either, indian},
	{&indianGeneral, Token, "6", NotClear, AnyClass, Advance, "Block Working Manual Part A 5.1"},
	{&indianGeneral, Token, "6-1", StopAndExamine, AnyClass, Either, indian},
	{&indianGeneral, Token, "6-2", NoTailLampAhead, AnyClass, Rear, indian},
	{&indianGeneral, Token, "6-2", NoTailLampRear, AnyClass, Advance, indian},
	{&indianGeneral, Token, "6-3", DividedTrain, AnyClass, Either, indian},
	{&indianGeneral, Token, "6-4", RunawayWrong, AnyClass, Either, indian},
	{&indianGeneral, Absolute, "6-4", RunawayWrong, AnyClass, Advance, indian},
	{&indianGeneral, Absolute, "6-5", RunawayRight, AnyClass, Rear, indian},
	{&indianGeneral, Token, "16", Testing, AnyClass, Either, indian},
}

func TestPublishedTables(t *testing.T) {
	for _, c := range publishedRows {
		rows := rowsFor(c.set, c.method, c.code)
		i := slices.IndexFunc(rows, func(row CodeRow) bool { return row.Means == c.means })
		if i < 0 {
			t.Errorf("%s %s under %s: meaning %d of %s not among %v", c.set.Name, c.code, c.method, c.means, c.source, rows)
			continue
		}
		if rows[i].Class != c.class || rows[i].From != c.from {
			t.Errorf("%s %s: class %v from %d, want %v from %d (%s)", c.set.Name, c.code, rows[i].Class, rows[i].From, c.class, c.from, c.source)
		}
		if rows[i].Source == FromMemory || rows[i].Source == CommonPractice {
			t.Errorf("%s %s is published (%s) and the row says %q", c.set.Name, c.code, c.source, rows[i].Source)
		}
	}
}

// General Rules (India) 14.05 is a closed list: nothing else is a bell signal
// there, and 6-5 is for double lines only.
func TestIndianListIsClosed(t *testing.T) {
	list := []Code{"1", "16", "2", "3", "4", "5", "6", "6-1", "6-2", "6-3", "6-4", "6-5"}
	got := map[Code]bool{}
	for _, row := range indianGeneral.Codes {
		got[row.Code] = true
	}
	if codes := slices.Sorted(maps.Keys(got)); !slices.Equal(codes, list) {
		t.Errorf("codes %v, want %v", codes, list)
	}
	for _, m := range []Method{Token, StaffAndTicket, OneTrain, Tokenless} {
		if rows := rowsFor(&indianGeneral, m, "6-5"); len(rows) > 0 {
			t.Errorf("6-5 is in force under %s", m)
		}
	}
	if len(rowsFor(&indianGeneral, Absolute, "6")) != 1 {
		t.Error("6 refuses a train on single lines only (Manual Part A 5.1)")
	}
}

// The same beats mean different things by book and by method: what the sources
// disagree on is kept apart and never smoothed over.
func TestConflictsAreCarriedNotMerged(t *testing.T) {
	e, l, in := &britishEarly, &britishLater, &indianGeneral
	for _, c := range []struct {
		conflict string
		set      *RuleSet
		method   Method
		code     Code
		want     []Meaning // all meanings, in the order of the table
	}{
		{"cancelling is 3-5 (study cards, signalbox.org ch. 8)", l, Absolute, "3-5", []Meaning{Cancelling}},
		{"4-3 as cancelling has one unconfirmed list only", e, Absolute, "4-3", nil},
		{"4-3 as cancelling has one unconfirmed list only", l, Absolute, "4-3", nil},
		{"cancelling is 5 (General Rules 14.05), a freight offer in Britain", in, Token, "5", []Meaning{Cancelling}},
		{"cancelling is 5 (General Rules 14.05), a freight offer in Britain", e, Absolute, "5", []Meaning{Offer}},
		{"obstruction removed is 2-1 (signalbox.org ch. 9)", e, Absolute, "2-1", []Meaning{OutOfSection, ObstructionRemoved}},
		{"obstruction removed is 2-1-2 (study cards) or 2-1 (signalbox.org ch. 9): both", l, Absolute, "2-1", []Meaning{OutOfSection, ObstructionRemoved}},
		{"obstruction removed is 2-1-2 (study cards)", l, Absolute, "2-1-2", []Meaning{ObstructionRemoved}},
		{"2-1-2 is a trolley in a tunnel (britishrailways.info)", e, Absolute, "2-1-2", []Meaning{Offer}},
		{"obstruction removed is 4 (General Rules 14.05)", in, Absolute, "4", []Meaning{OutOfSection, ObstructionRemoved}},
		{"4 offers an express in Britain", l, Absolute, "4", []Meaning{Offer}},
		{"1-2 is branch freight (igg.org.uk)", e, Absolute, "1-2", []Meaning{Offer}},
		{"1-2 is the telephone (TS1 2.2)", l, Absolute, "1-2", []Meaning{Telephone}},
		{"5-2 is release token on a token line (Railway block code)", l, Token, "5-2", []Meaning{ReleaseToken}},
		{"5-2 is train clear of section on absolute block (study cards)", l, Absolute, "5-2", []Meaning{ClearOfSection}},
		{"5-2 is a token line's only in the early book", e, Absolute, "5-2", nil},
		{"3-3 blocks back; as a token release it is Irish only", e, Token, "3-3", []Meaning{BlockBackOutside}},
		{"2 enters in Britain, offers in India", e, Token, "2", []Meaning{Entering}},
		{"2 enters in Britain, offers in India", in, Token, "2", []Meaning{Offer}},
		{"3 offers in Britain, enters in India", l, Token, "3", []Meaning{Offer}},
		{"3 offers in Britain, enters in India", in, Token, "3", []Meaning{Entering}},
		{"6-2 is a late train in Britain, no tail lamp in India", l, Absolute, "6-2", []Meaning{LongInSection}},
		{"6-2 is a late train in Britain, no tail lamp in India", in, Absolute, "6-2", []Meaning{NoTailLampAhead, NoTailLampRear}},
		{"6 refuses a train in India and never in Britain", in, Token, "6", []Meaning{ObstructionDanger, NotClear}},
		{"6 refuses a train in India and never in Britain", e, Token, "6", []Meaning{ObstructionDanger}},
		{"2-2-2 is line clear to clearing point (Great Western), not the Southern trolley", e, Absolute, "2-2-2", []Meaning{ClearToClearingPoint}},
		{"2-2-2 is in no later list read", l, Absolute, "2-2-2", nil},
		{"9 to the box in advance, 4-5 to the box in rear (study cards)", l, Absolute, "9", []Meaning{NoTailLampAhead}},
	} {
		if got := meaningsOf(c.set, c.method, c.code); !slices.Equal(got, c.want) {
			t.Errorf("%s: %s %s under %s means %v, want %v", c.conflict, c.set.Name, c.code, c.method, got, c.want)
		}
	}
}

// Beats whose train changed with the letter classes: the row says what the older
// list had, because 1-2-2 was a train stopping in the section.
func TestLetterTableSaysWhatTheOlderOneHad(t *testing.T) {
	for code, older := range map[Code]string{"5": "perishables", "1-2-2": "stop in section", "1-4": "perishables", "4-1": "through goods"} {
		rows := rowsFor(&britishEarly, Absolute, code)
		if len(rows) != 1 || !strings.Contains(rows[0].Source, older) {
			t.Errorf("%s: %v does not say that the older list had %q", code, rows, older)
		}
	}
}

// Renamed in the current book (TS1 2.2): the beats stayed.
func TestRunawayIsRenamedInTheLaterBook(t *testing.T) {
	for _, code := range []Code{"4-5-5", "2-5-5"} {
		for _, m := range []Method{Absolute, Token} {
			e, l := rowsFor(&britishEarly, m, code), rowsFor(&britishLater, m, code)
			if len(e) != 1 || len(l) != 1 || e[0].Means != l[0].Means {
				t.Fatalf("%s under %s: %v and %v", code, m, e, l)
			}
			if !strings.Contains(e[0].Words, "running away") || !strings.Contains(l[0].Words, "without authority") {
				t.Errorf("%s: %q and %q", code, e[0].Words, l[0].Words)
			}
		}
	}
}
