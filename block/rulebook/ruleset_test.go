package rulebook

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
)

// rowsFor lists the rows of a set with a code in force under a method.
func rowsFor(r *RuleSet, m Method, code Code) []CodeRow {
	var rows []CodeRow
	for _, row := range r.Codes {
		if row.Code == code && row.On(m) {
			rows = append(rows, row)
		}
	}
	return rows
}

// meaningsOf lists what a code means in a set under a method.
func meaningsOf(r *RuleSet, m Method, code Code) []Meaning {
	var ms []Meaning
	for _, row := range rowsFor(r, m, code) {
		ms = append(ms, row.Means)
	}
	return ms
}

// published says whether a source names something that can be looked up, or is
// one of the two phrases allowed instead.
func published(source string) bool {
	return source == "common practice" || source == "from memory: check your rule book" || strings.Contains(source, "://")
}

func TestRuleSetsAreNamedAndDescribed(t *testing.T) {
	want := map[string][]Method{
		"british-early":  {Absolute, Token, StaffAndTicket, OneTrain},
		"british-later":  {Absolute, Token, StaffAndTicket, OneTrain, Tokenless},
		"indian-general": {Absolute, Token, StaffAndTicket, OneTrain, Tokenless},
	}
	for name, methods := range want {
		r := RuleSetNamed(name)
		if r == nil {
			t.Errorf("no rule set %s", name)
			continue
		}
		if r.Title == "" || !published(r.Source) {
			t.Errorf("%s: title %q, source %q", name, r.Title, r.Source)
		}
		if !slices.Equal(r.Methods, methods) {
			t.Errorf("%s covers %v, want %v", name, r.Methods, methods)
		}
	}
}

func TestEveryRowIsCompleteAndSourced(t *testing.T) {
	for _, r := range ruleSets {
		for _, row := range r.Codes {
			where := fmt.Sprintf("%s %s %q", r.Name, row.Code, row.Words)
			if c, err := ParseCode(string(row.Code)); err != nil || c != row.Code {
				t.Errorf("%s: code reads as %q, %v", where, c, err)
			}
			if row.Means == MeansNothing || row.Means >= MeaningCount {
				t.Errorf("%s: no meaning", where)
			}
			if row.Words == "" {
				t.Errorf("%s: no words", where)
			}
			if !published(row.Source) {
				t.Errorf("%s: source %q", where, row.Source)
			}
			for _, m := range row.Methods {
				if !slices.Contains(methodsKnown(), m) {
					t.Errorf("%s: method %d", where, m)
				}
			}
		}
	}
}

func methodsKnown() []Method {
	return []Method{Absolute, Token, StaffAndTicket, OneTrain, Tokenless}
}

func TestNoCodeHasOneMeaningTwice(t *testing.T) {
	type key struct {
		method Method
		code   Code
		means  Meaning
	}
	for _, r := range ruleSets {
		seen := map[key]bool{}
		for _, row := range r.Codes {
			for _, m := range methodsKnown() {
				k := key{m, row.Code, row.Means}
				if row.On(m) && seen[k] {
					t.Errorf("%s: %s %q stands twice under %s", r.Name, row.Code, row.Words, m)
				}
				seen[k] = seen[k] || row.On(m)
			}
		}
	}
}

// Without these a section cannot be worked by bell at all. Train entering is not
// needed on tokenless block, where the instrument shows it (General Rules
// (India) 14.05 note 2).
func TestEveryMethodHasItsNecessaryCodes(t *testing.T) {
	need := []Meaning{CallAttention, Offer, Entering, OutOfSection, ObstructionRemoved, Cancelling, ObstructionDanger, NoTailLampAhead, NoTailLampRear, Testing}
	for _, r := range ruleSets {
		for _, m := range r.Methods {
			for _, means := range need {
				if m == Tokenless && means == Entering {
					continue
				}
				if !slices.ContainsFunc(r.Codes, func(row CodeRow) bool { return row.Means == means && row.On(m) }) {
					t.Errorf("%s under %s has no code for meaning %d", r.Name, m, means)
				}
			}
		}
	}
}

// One Indian code serves every class (General Rules 14.05); every British offer
// says what kind of train it is for.
func TestOffersNameTheirClass(t *testing.T) {
	for _, r := range ruleSets {
		offers := 0
		for _, row := range r.Codes {
			if row.Means != Offer {
				if row.Class != AnyClass {
					t.Errorf("%s %s %q is no offer and has a class", r.Name, row.Code, row.Words)
				}
				continue
			}
			offers++
			if (row.Class == AnyClass) != (r == &indianGeneral) {
				t.Errorf("%s %s %q: class %v", r.Name, row.Code, row.Words, row.Class)
			}
			if row.From != Rear {
				t.Errorf("%s %s %q: an offer is made by the box in rear", r.Name, row.Code, row.Words)
			}
		}
		if r == &indianGeneral && offers != 1 {
			t.Errorf("%s has %d offers, want the one of General Rules 14.05", r.Name, offers)
		}
	}
}

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

// Published tables, row by row, with the method each is read for.
func TestPublishedTables(t *testing.T) {
	const (
		letters = "igg.org.uk letter classes"
		early   = "britishrailways.info early list"
		cards   = "GERT8000 study cards"
		block   = "signalbox.org Block system"
		wiki    = "Railway block code"
		indian  = "General Rules (India) 14.05"
	)
	e, l, in := &britishEarly, &britishLater, &indianGeneral
	for _, c := range []struct {
		set    *RuleSet
		method Method
		code   Code
		means  Meaning
		class  Class
		from   Side
		source string
	}{
		{e, Absolute, "4", Offer, Passenger, Rear, letters},
		{e, Absolute, "3-1", Offer, Passenger, Rear, letters},
		{e, Absolute, "1-3", Offer, Passenger, Rear, letters},
		{e, Absolute, "3-1-3", Offer, Passenger, Rear, letters},
		{e, Absolute, "1-3-1", Offer, Freight, Rear, letters},
		{e, Absolute, "3-1-1", Offer, Freight, Rear, letters},
		{e, Absolute, "2-2-1", Offer, EmptyStock, Rear, letters},
		{e, Absolute, "5", Offer, Freight, Rear, letters},
		{e, Absolute, "1-2-2", Offer, Freight, Rear, letters},
		{e, Absolute, "4-1", Offer, Freight, Rear, letters},
		{e, Absolute, "3-2", Offer, Freight, Rear, letters},
		{e, Absolute, "1-4", Offer, Freight, Rear, letters},
		{e, Absolute, "3", Offer, Freight, Rear, letters},
		{e, Absolute, "1-2", Offer, Freight, Rear, letters},
		{e, Absolute, "2-3", Offer, LightEngine, Rear, letters},
		{e, Absolute, "2-1-3", EngineArrived, AnyClass, Advance, letters},
		{e, Absolute, "6-2", LongInSection, AnyClass, Either, letters},
		{e, Absolute, "2-1-2", Offer, Trolley, Rear, early},
		{e, Absolute, "2", Entering, AnyClass, Rear, early},
		{e, Absolute, "2-1", OutOfSection, AnyClass, Advance, early},
		{e, Absolute, "2-1", ObstructionRemoved, AnyClass, Advance, early},
		{e, Absolute, "2-2", AssistingInRear, AnyClass, Rear, early},
		{e, Absolute, "2-4", BlockBackInside, AnyClass, Advance, early},
		{e, Absolute, "3-3", BlockBackOutside, AnyClass, Advance, early},
		{e, Absolute, "3-5-5", Restricted, AnyClass, Advance, early},
		{e, Absolute, "6", ObstructionDanger, AnyClass, Advance, early},
		{e, Absolute, "7", StopAndExamine, AnyClass, Either, early},
		{e, Absolute, "9", NoTailLampAhead, AnyClass, Rear, early},
		{e, Absolute, "4-5", NoTailLampRear, AnyClass, Advance, early},
		{e, Absolute, "5-5", DividedTrain, AnyClass, Rear, early},
		{e, Absolute, "1-5-5", ShuntForFollowing, AnyClass, Rear, early},
		{e, Absolute, "3-3-2", ShuntAhead, AnyClass, Rear, block},
		{e, Absolute, "8", ShuntWithdrawn, AnyClass, Rear, block},
		{e, Token, "6", ObstructionDanger, AnyClass, Either, early},
		{e, Token, "2-1", OutOfSection, AnyClass, Advance, early},

		{l, Absolute, "4", Offer, Passenger, Rear, wiki},
		{l, Absolute, "3-1", Offer, Passenger, Rear, wiki},
		{l, Absolute, "3-1-1", Offer, Freight, Rear, wiki},
		{l, Absolute, "2-2-1", Offer, EmptyStock, Rear, wiki},
		{l, Absolute, "4-1", Offer, Freight, Rear, wiki},
		{l, Absolute, "3", Offer, Freight, Rear, wiki},
		{l, Absolute, "2-3", Offer, LightEngine, Rear, wiki},
		{l, Absolute, "2", Entering, AnyClass, Rear, cards},
		{l, Absolute, "2-1", OutOfSection, AnyClass, Advance, cards},
		{l, Absolute, "2-1-2", ObstructionRemoved, AnyClass, Advance, cards},
		{l, Absolute, "3-5", Cancelling, AnyClass, Rear, cards},
		{l, Absolute, "3-5-5", Restricted, AnyClass, Advance, cards},
		{l, Absolute, "2-4", BlockBackInside, AnyClass, Advance, cards},
		{l, Absolute, "3-3", BlockBackOutside, AnyClass, Advance, cards},
		{l, Absolute, "2-3-3", WrongDirection, AnyClass, Rear, cards},
		{l, Absolute, "5-2", ClearOfSection, AnyClass, Either, cards},
		{l, Absolute, "6", ObstructionDanger, AnyClass, Advance, cards},
		{l, Absolute, "1-1-6", Police, AnyClass, Either, cards},
		{l, Absolute, "1-2", Telephone, AnyClass, Either, cards},
		{l, Absolute, "9", NoTailLampAhead, AnyClass, Rear, cards},
		{l, Absolute, "4-5", NoTailLampRear, AnyClass, Advance, cards},
		{l, Absolute, "4-5-5", RunawayRight, AnyClass, Rear, cards},
		{l, Absolute, "2-5-5", RunawayWrong, AnyClass, Advance, cards},
		{l, Absolute, "3-3-2", ShuntAhead, AnyClass, Rear, block},
		{l, Absolute, "8", ShuntWithdrawn, AnyClass, Rear, block},
		{l, Absolute, "5-5-5", Opening, AnyClass, Either, block},
		{l, Absolute, "7-5-5", Closing, AnyClass, Either, block},
		{l, Absolute, "16", Testing, AnyClass, Either, wiki},
		{l, Token, "5-2", ReleaseToken, AnyClass, Either, wiki},
		{l, Token, "2-5", TokenReplaced, AnyClass, Either, wiki},

		{in, Token, "1", CallAttention, AnyClass, Either, indian},
		{in, Token, "2", Offer, AnyClass, Rear, indian},
		{in, Absolute, "3", Entering, AnyClass, Rear, "Dungri-Valsad p. 17"},
		{in, Token, "3", Entering, AnyClass, Rear, indian},
		{in, Token, "4", OutOfSection, AnyClass, Advance, indian},
		{in, Token, "4", ObstructionRemoved, AnyClass, Advance, indian},
		{in, Token, "5", Cancelling, AnyClass, Either, indian},
		{in, Token, "6", ObstructionDanger, AnyClass, Either, indian},
		{in, Token, "6", NotClear, AnyClass, Advance, "Block Working Manual Part A 5.1"},
		{in, Token, "6-1", StopAndExamine, AnyClass, Either, indian},
		{in, Token, "6-2", NoTailLampAhead, AnyClass, Rear, indian},
		{in, Token, "6-2", NoTailLampRear, AnyClass, Advance, indian},
		{in, Token, "6-3", DividedTrain, AnyClass, Either, indian},
		{in, Token, "6-4", RunawayWrong, AnyClass, Either, indian},
		{in, Absolute, "6-4", RunawayWrong, AnyClass, Advance, indian},
		{in, Absolute, "6-5", RunawayRight, AnyClass, Rear, indian},
		{in, Token, "16", Testing, AnyClass, Either, indian},
	} {
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
		{"obstruction removed is 2-1-2 (study cards)", l, Absolute, "2-1", []Meaning{OutOfSection}},
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

func TestLimitsAreSetAndSourced(t *testing.T) {
	for _, r := range ruleSets {
		for n, limit := range r.Limits {
			if limit.Value <= 0 || !published(limit.Source) {
				t.Errorf("%s %s: %d s, source %q", r.Name, LimitWords[n].Says, limit.Value, limit.Source)
			}
		}
	}
}

func TestPublishedLimits(t *testing.T) {
	for _, c := range []struct {
		source  string
		got     Limit
		minutes Seconds
	}{
		{"rule 55(a), Great Southern Railways 1933: within three minutes in clear weather", britishEarly.Limits[Detained], 3},
		{"current driver rules: within two minutes", britishLater.Limits[Detained], 2},
		{"current driver rules: then every five minutes", britishLater.Limits[DetainedAgain], 5},
		{"General Rules (India) 6.04: ten minutes, passenger", indianGeneral.Limits[OverduePass], 10},
		{"General Rules (India) 6.04: twenty minutes, goods", indianGeneral.Limits[OverdueFreight], 20},
		{"General Rules (India) 12.03: fifteen minutes between trains", indianGeneral.Limits[TicketInterval], 15},
		{"Block Working Manual Part A 8.5(a): five minutes' calling", indianGeneral.Limits[AnswerAfter], 5},
		{"The Train Register Book: 9.0 am, or 10.0 if missed", britishLater.Limits[ClockCheckGrace], 60},
	} {
		if c.got.Value != c.minutes*Minute || !strings.Contains(c.got.Source, "://") {
			t.Errorf("%s: %d s from %q", c.source, c.got.Value, c.got.Source)
		}
	}
}

// Clearing point: signalbox.org ch. 3 (quarter of a mile); General Rules (India)
// 8.01(2) (400 m, two-aspect). 440 yards are 402.336 m by definition of the yard.
func TestClearingPoints(t *testing.T) {
	for _, c := range []struct {
		set  *RuleSet
		want Distance
	}{{&britishEarly, 402336}, {&britishLater, 402336}, {&indianGeneral, 400000}} {
		if c.set.ClearingPoint != c.want || !published(c.set.ClearingPointSource) {
			t.Errorf("%s: %d mm from %q, want %d", c.set.Name, c.set.ClearingPoint, c.set.ClearingPointSource, c.want)
		}
	}
}

// The Manual has private numbers (3.22), the token number told (3.2 step 7),
// restoring by both ends (3.2 steps 27 and 28), a count after each movement
// (7.7a), a refusal with its reason (5.1c); the General Rules round up (14.07(3))
// and let a train follow at an interval (12.03). The British key token goes back
// in without the other end (Great Western 1936) and staff and ticket follows the
// block.
func TestHabits(t *testing.T) {
	for _, r := range ruleSets {
		indian := r == &indianGeneral
		for name, habit := range map[string]bool{
			"PrivateNumbers": r.PrivateNumbers, "TellTokenNumber": r.TellTokenNumber, "HeldAfterCancelling": r.HeldAfterCancelling,
			"AtOnceInFog": !r.DetainedAtOnceInFog, "RoundUp": r.RoundUp, "RefuseNeedsReason": r.RefuseNeedsReason,
			"FollowInterval": r.StaffFollow == FollowInterval,
		} {
			if habit != indian {
				t.Errorf("%s: %s is %t", r.Name, name, habit)
			}
		}
	}
}

func TestClausesBelongToRules(t *testing.T) {
	for _, r := range ruleSets {
		if len(r.Clauses) == 0 {
			t.Errorf("%s gives no clauses", r.Name)
		}
		for id, clause := range r.Clauses {
			if _, ok := RuleNamed(id); !ok {
				t.Errorf("%s gives a clause for %s, which is no rule", r.Name, id)
			}
			if strings.TrimSpace(clause) == "" {
				t.Errorf("%s: clause for %s is empty", r.Name, id)
			}
		}
	}
}
