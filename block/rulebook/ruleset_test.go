package rulebook

import (
	"fmt"
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
	for _, name := range RuleSetNames() {
		if r := RuleSetNamed(name); r.Title == "" || !published(r.Source) || len(r.Methods) == 0 {
			t.Errorf("%s: title %q, source %q, methods %v", name, r.Title, r.Source, r.Methods)
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
		}
	}
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
			for m := range MethodCount {
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
			if !m.Is().ByBell && m.Is().Offers {
				continue // by words, which every set has
			}
			for _, means := range need {
				if !m.Is().Entering && means == Entering {
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
			"CountersHandedOver": r.CountersHandedOver, "FollowInterval": r.StaffFollow == FollowInterval,
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
