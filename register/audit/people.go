package audit

import (
	"cmp"
	"fmt"
	"math"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/sheet"
)

// Person is what the turns of one person come to. Findings that follow from
// another are not counted: one slip must not look like ten.
type Person struct {
	Name       string       `json:"name"`    // empty for entries with nobody signed on
	Trainee    bool         `json:"trainee"` // whose work the signaller answers for under whom he signed on
	Turns      int64        `json:"turns"`
	Entries    int64        `json:"entries"`
	Late       int64        `json:"late"`
	Corrected  int64        `json:"corrections"`
	Trains     int64        `json:"trains"` // rows opened
	Severities []Severity   `json:"severities"`
	Rules      []PersonRule `json:"rules"` // beyond chance first
}

// PersonRule is how often a person broke a rule, beside the others.
type PersonRule struct {
	SinceRule
	Turns   int64   `json:"turns"` // in which it was found
	Rate    float64 `json:"per_thousand_trains"`
	Low     float64 `json:"low"` // between low and high in 95 of 100 cases of chance alone
	High    float64 `json:"high"`
	Others  float64 `json:"others_per_thousand"`
	Chance  float64 `json:"chance"` // of so many or more, were all alike
	Beyond  bool    `json:"beyond_chance"`
	Reports float64 `json:"once_in_reports"` // so many or more fall to some person, were all alike, once in so many such reports
}

// beyondChance is how rare a count must be, were all persons alike, to be told as
// that person's own: once in a thousand audits, shared among all that are compared
// (common practice of many comparisons). That reckons with slips that come one by one:
// those of one turn may have one cause, so that turnsLeast turns must have some (common
// practice). What chance brings to somebody once in rarelyFrom reports is told with that.
const (
	beyondChance = 0.001
	rarelyFrom   = 20
	turnsLeast   = 3
)

// reportsMost is told for once in more reports than anybody reads.
const reportsMost = 1e9

// persons counts what the report tells of people.
type persons map[string]*personTally

type personTally struct {
	Person
	tally
	turn *duty // the last
}

func (p persons) of(name string) *personTally {
	t := at(p, name)
	t.Name = name
	return t
}

// found counts a finding of a turn that is a root.
func (p persons) found(turn *duty, f *block.Finding, explained bool) {
	if f.Root != 0 {
		return
	}
	if r := p.of(turn.Name).found(f, explained); r.turn != turn {
		r.turn = turn
		r.turns++
	}
}

// report compares each person with all others, rule by rule.
func (p persons) report() []Person {
	totals, trains, compared := map[rulebook.RuleID]int64{}, int64(0), 0
	for _, t := range p {
		trains += t.Trains
		for id, r := range t.tally.rules {
			totals[id] += r.count
			compared++
		}
	}
	return listed(p, func(_ string, t *personTally) Person {
		person := t.Person
		person.Severities = t.sum.report()
		person.Rules = listed(t.tally.rules, func(id rulebook.RuleID, r *ruleCount) PersonRule {
			return compareOne(id, r, t.Trains, totals[id]-r.count, trains-t.Trains, compared)
		}, func(a, b PersonRule) int {
			return cmp.Or(cmp.Compare(a.Chance, b.Chance), cmp.Compare(b.Count, a.Count), cmp.Compare(a.Rule, b.Rule))
		})
		return person
	}, func(a, b Person) int {
		_, leftA := summed(a.Severities)
		_, leftB := summed(b.Severities)
		return cmp.Or(cmp.Compare(a.rarest(), b.rarest()), cmp.Compare(leftB, leftA), cmp.Compare(a.Name, b.Name))
	})
}

// rarest is the least chance of the person's rules that are told, 1 for none.
func (p *Person) rarest() float64 {
	for i := range p.Rules {
		if p.Rules[i].rare() {
			return p.Rules[i].Chance
		}
	}
	return 1
}

// rare says whether a count is told beside the person.
func (x *PersonRule) rare() bool { return x.Reports >= rarelyFrom && x.Turns >= turnsLeast }

func compareOne(id rulebook.RuleID, r *ruleCount, trains, others, otherTrains int64, compared int) PersonRule {
	x := PersonRule{SinceRule: broken(id, r), Turns: r.turns, Chance: 1}
	if trains == 0 {
		return x
	}
	per := 1000 / float64(trains)
	low, high := poisson95(r.count)
	x.Rate, x.Low, x.High = float64(r.count)*per, low*per, high*per
	if otherTrains == 0 {
		return x
	}
	x.Others = float64(others) * 1000 / float64(otherTrains)
	x.Chance = atLeast(r.count, r.count+others, float64(trains)/float64(trains+otherTrains))
	x.Reports = min(1/(x.Chance*float64(compared)), reportsMost)
	x.Beyond = x.Chance*float64(compared) < beyondChance && x.Turns >= turnsLeast
	return x
}

// poisson95 is between what true means a count lies in 95 of 100 cases: Byar's
// approximation (N. E. Breslow and N. E. Day, Statistical Methods in Cancer
// Research, volume II, 1987, section 2.3; from memory, and compared with the exact
// limits in the tests).
func poisson95(n int64) (low, high float64) {
	const z = 1.96
	limit := func(n, sign float64) float64 {
		return n * math.Pow(1-1/(9*n)+sign*z/(3*math.Sqrt(n)), 3)
	}
	if n > 0 {
		low = limit(float64(n), -1)
	}
	return low, limit(float64(n+1), 1)
}

// atLeast is the chance that k or more of n findings fall to somebody who has the
// share p of the trains: the tail of the binomial distribution.
func atLeast(k, n int64, p float64) float64 {
	if k <= 0 {
		return 1
	}
	lg := func(x int64) float64 { v, _ := math.Lgamma(float64(x + 1)); return v }
	sum := 0.0
	for i := k; i <= n; i++ {
		term := math.Exp(lg(n) - lg(i) - lg(n-i) + float64(i)*math.Log(p) + float64(n-i)*math.Log1p(-p))
		sum += term
		if term < sum*1e-12 {
			break
		}
	}
	return min(sum, 1)
}

func (r *Report) people() sheet.Section {
	t := &sheet.Table{Name: "People", Columns: []sheet.Column{{Share: 22, Head: "On duty", Short: " "}, {Share: 7, Head: "Turns", Short: "turns", Right: true, Number: true},
		{Share: 9, Head: "Entries", Short: "entries", Right: true, Number: true}, {Share: 8, Head: "Trains", Short: "trains", Right: true, Number: true}}}
	t.Columns = append(t.Columns, severityColumns...)
	rates := &sheet.Table{Name: "People by rule", Columns: []sheet.Column{{Share: 20, Head: "On duty"}, {Share: 34, Head: "Rule"}, {Share: 10, Head: "Severity"},
		{Share: 8, Head: "Count", Number: true}, {Share: 12, Head: "Unexplained", Number: true}, {Share: 20, Head: "Per 1,000 trains", Number: true}, {Share: 10, Head: "At least", Number: true},
		{Share: 10, Head: "At most", Number: true}, {Share: 20, Head: "Others per 1,000", Number: true}, {Share: 14, Head: "Beyond chance"}}}
	for i := range r.People {
		p := &r.People[i]
		name := register.OnDuty(p.Name)
		if p.Trainee {
			name += ", trainee"
		}
		row := cells(append([]string{name, number(p.Turns), number(p.Entries), number(p.Trains)}, counts(p.Severities)...)...)
		for _, x := range p.Rules {
			if x.rare() {
				row.Under = append(row.Under, sheet.Line{In: 2, Text: x.words()})
			}
			beyond := "no"
			if x.Beyond {
				beyond = "yes"
			}
			rates.Rows = append(rates.Rows, cells(register.OnDuty(p.Name), x.Rule, x.Severity, number(x.Count), number(x.Unexplained),
				fmt.Sprintf("%.1f", x.Rate), fmt.Sprintf("%.1f", x.Low), fmt.Sprintf("%.1f", x.High), fmt.Sprintf("%.1f", x.Others), beyond))
		}
		t.Rows = append(t.Rows, row)
	}
	return sheet.Section{Key: "people", Title: "People", Parts: []sheet.Part{t,
		sheet.Say("Findings that follow from another are not counted here. A person is named beyond chance where, if all were alike, so many would fall to one of them once in a thousand such reports, and in three turns or more: what goes wrong in one may have one cause; rarely by chance, where that is once in twenty or more. Nothing else in this table is more than luck may bring. It is a reason to ask, and no proof of anything.")},
		Data: []*sheet.Table{rates}}
}

func (x *PersonRule) words() string {
	head, luck := "beyond chance", ""
	if !x.Beyond {
		head, luck = "rarely by chance", fmt.Sprintf("; so many fall to one of them by chance once in %.0f such reports", x.Reports)
	}
	return fmt.Sprintf("%s: %s, %d in %d turns: %.1f in 1,000 trains (%.1f to %.1f); all others %.1f%s", head, x.Rule, x.Count, x.Turns, x.Rate, x.Low, x.High, x.Others, luck)
}
