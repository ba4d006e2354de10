package audit

import (
	"cmp"
	"maps"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
)

// tally counts what was found, of a turn, a person, a period or a section.
type tally struct {
	sum   tallies
	rules map[rulebook.RuleID]*ruleCount
}

type ruleCount struct {
	severity           rulebook.Severity // the gravest
	count, unexplained int64
	left, told         []int64 // of a turn: entries unexplained and explained
	turns              int64   // of a person: in which it was found
	turn               *duty   // the last of them
}

func (t *tally) found(f *block.Finding, explained bool) *ruleCount {
	t.sum.add(f.Severity, explained)
	if t.rules == nil {
		t.rules = map[rulebook.RuleID]*ruleCount{}
	}
	r := at(t.rules, f.Rule)
	r.add(f, explained)
	return r
}

func (r *ruleCount) add(f *block.Finding, explained bool) {
	r.count++
	r.severity = max(r.severity, f.Severity)
	if !explained {
		r.unexplained++
	}
}

func broken(id rulebook.RuleID, r *ruleCount) SinceRule {
	return SinceRule{string(id), r.severity.String(), r.count, r.unexplained}
}

// since gives the counts by rule, in the order for reading.
func (t *tally) since() []SinceRule {
	return listed(t.rules, broken, func(a, b SinceRule) int {
		x, y := t.rules[rulebook.RuleID(a.Rule)], t.rules[rulebook.RuleID(b.Rule)]
		return cmp.Or(worse(a.Unexplained, b.Unexplained, x.severity, y.severity), cmp.Compare(a.Rule, b.Rule))
	})
}

// ruleTally counts the findings of one rule and keeps the first of them, those
// that nobody explained before all others, and of them roots first.
type ruleTally struct {
	ruleCount
	limit         int
	follow, roots int64 // roots: of the unexplained
	ref           string
	details       []Finding
}

func (t *ruleTally) add(f *block.Finding, turn string, remarks []Remark, sub subject) {
	t.ruleCount.add(f, len(remarks) > 0)
	if f.Root != 0 {
		t.follow++
	}
	if len(remarks) == 0 {
		t.roots += 1 - min(f.Root, 1)
	}
	d := sub.finding(f, turn, remarks)
	if len(t.details) < t.limit {
		t.details = append(t.details, d)
		return
	}
	least := 0 // of those kept, the last
	for i := range t.details {
		if t.details[i].rank() >= t.details[least].rank() {
			least = i
		}
	}
	if d.rank() < t.details[least].rank() {
		t.details[least] = d
	}
}

// finding is a finding as the report tells it.
func (s subject) finding(f *block.Finding, turn string, remarks []Remark) Finding {
	return Finding{
		Rule: string(f.Rule), Entry: f.Seq, At: s.moment(f.At), Severity: f.Severity.String(), Turn: turn, Section: f.Section, Line: f.Line, Train: f.Train,
		Text: f.Text, Expected: f.Expected, Rests: orEmpty(f.Rests), Remarks: orEmpty(remarks), Root: f.Root, Answered: f.Answered,
	}
}

// rank orders findings of a rule for reading: what nobody has explained first, and
// what follows from another entry behind its like.
func (f *Finding) rank() int { return 2*min(len(f.Remarks), 1) + int(min(f.Root, 1)) }

// orEmpty makes a list that is not null in JSON.
func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// worse orders rules for reading: something unexplained first, then by severity.
func worse(aLeft, bLeft int64, a, b rulebook.Severity) int {
	return cmp.Or(-cmp.Compare(min(aLeft, 1), min(bLeft, 1)), -cmp.Compare(a, b))
}

func rulesReport(rules map[rulebook.RuleID]*ruleTally) []RuleReport {
	ids := slices.SortedFunc(maps.Keys(rules), func(a, b rulebook.RuleID) int {
		x, y := rules[a], rules[b]
		return cmp.Or(worse(x.unexplained, y.unexplained, x.severity, y.severity), -cmp.Compare(min(x.roots, 1), min(y.roots, 1)), cmp.Compare(a, b))
	})
	return each.Of(ids, func(id rulebook.RuleID) RuleReport {
		t := rules[id]
		rule, _ := rulebook.RuleNamed(id)
		slices.SortStableFunc(t.details, func(a, b Finding) int {
			return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(a.Entry, b.Entry))
		})
		return RuleReport{
			Rule: string(id), Severity: t.severity.String(), What: rule.What, Count: t.count, Unexplained: t.unexplained, Follow: t.follow,
			Reference: t.ref, Details: orEmpty(t.details), Beyond: t.count - int64(len(t.details)),
		}
	})
}
