package audit

import (
	"cmp"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// ruleTally counts the findings of one rule and keeps the first of them, those
// that nobody explained before all others.
type ruleTally struct {
	limit              int
	severity           rulebook.Severity
	count, unexplained int64
	ref                string
	details            []Finding
}

func (t *ruleTally) add(f *block.Finding, turn string, remarks []Remark, sub subject) {
	t.count++
	t.severity = max(t.severity, f.Severity)
	if len(remarks) == 0 {
		t.unexplained++
	}
	d := Finding{
		Entry: f.Seq, At: sub.moment(f.At), Severity: f.Severity.String(), Turn: turn, Section: f.Section, Line: f.Line, Train: f.Train,
		Text: f.Text, Expected: f.Expected, Rests: orEmpty(f.Rests), Remarks: orEmpty(remarks),
	}
	switch {
	case len(t.details) < t.limit:
		t.details = append(t.details, d)
	case len(remarks) == 0:
		for i := len(t.details) - 1; i >= 0; i-- {
			if len(t.details[i].Remarks) > 0 {
				t.details[i] = d
				return
			}
		}
	}
}

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
	ids := make([]rulebook.RuleID, 0, len(rules))
	for id := range rules {
		ids = append(ids, id)
	}
	slices.SortFunc(ids, func(a, b rulebook.RuleID) int {
		return cmp.Or(worse(rules[a].unexplained, rules[b].unexplained, rules[a].severity, rules[b].severity), cmp.Compare(a, b))
	})
	out := []RuleReport{}
	for _, id := range ids {
		t := rules[id]
		rule, _ := rulebook.RuleNamed(id)
		slices.SortStableFunc(t.details, func(a, b Finding) int {
			return cmp.Or(cmp.Compare(min(len(a.Remarks), 1), min(len(b.Remarks), 1)), cmp.Compare(a.Entry, b.Entry))
		})
		out = append(out, RuleReport{
			Rule: string(id), Severity: t.severity.String(), What: rule.What, Count: t.count, Unexplained: t.unexplained,
			Reference: t.ref, Details: orEmpty(t.details), Beyond: t.count - int64(len(t.details)),
		})
	}
	return out
}
