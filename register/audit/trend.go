package audit

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/sheet"
)

// Period is a week or a month of the days asked for.
type Period struct {
	Kind       string     `json:"kind"` // week or month
	Name       string     `json:"name"` // 2026-W19 (ISO 8601), 2026-05
	Entries    int64      `json:"entries"`
	Trains     int64      `json:"trains"` // rows opened
	Severities []Severity `json:"severities"`
	Rules      []Counted  `json:"rules"`
}

// Counted is how often something was found.
type Counted struct {
	Name        string `json:"name"`
	Count       int64  `json:"count"`
	Unexplained int64  `json:"unexplained"`
}

// Place is a section with what was found there.
type Place struct {
	Section    string     `json:"section"` // empty for what concerns no section
	Severities []Severity `json:"severities"`
	Rules      []Counted  `json:"rules"`
}

// trend counts by period and by section.
type trend struct {
	zone    *time.Location
	periods map[[2]string]*group
	places  map[string]*group

	day calendar.Day // last asked for, and its periods
	in  [2]*group
}

type group struct {
	entries, trains int64
	tally
}

func newTrend(zone *time.Location) trend {
	return trend{zone: zone, periods: map[[2]string]*group{}, places: map[string]*group{}}
}

// at is what a map has for a key, made when it is first asked for.
func at[K comparable, T any](m map[K]*T, key K) *T {
	x := m[key]
	if x == nil {
		x = new(T)
		m[key] = x
	}
	return x
}

// of are the periods of a register day.
func (t *trend) of(day calendar.Day) [2]*group {
	if day != t.day {
		date := day.Midnight(time.UTC)
		year, week := date.ISOWeek()
		t.day, t.in = day, [2]*group{at(t.periods, [2]string{"week", fmt.Sprintf("%04d-W%02d", year, week)}), at(t.periods, [2]string{"month", date.Format("2006-01")})}
	}
	return t.in
}

func (t *trend) entry(day calendar.Day, trains int64) {
	for _, g := range t.of(day) {
		g.entries++
		g.trains += trains
	}
}

func (t *trend) found(f *block.Finding, explained bool) {
	for _, g := range t.of(calendar.Of(f.At, t.zone)) {
		g.found(f, explained)
	}
	at(t.places, f.Section).found(f, explained)
}

// listed is a list of what a map has, in an order; never nil.
func listed[K comparable, V, T any](m map[K]V, of func(K, V) T, order func(a, b T) int) []T {
	out := make([]T, 0, len(m))
	for k, v := range m {
		out = append(out, of(k, v))
	}
	slices.SortFunc(out, order)
	return out
}

func (g *group) counted() []Counted {
	return listed(g.rules, func(id rulebook.RuleID, c *ruleCount) Counted { return Counted{string(id), c.count, c.unexplained} },
		func(a, b Counted) int { return cmp.Or(cmp.Compare(b.Count, a.Count), cmp.Compare(a.Name, b.Name)) })
}

func (t *trend) report() ([]Period, []Place) {
	periods := listed(t.periods, func(key [2]string, g *group) Period {
		return Period{key[0], key[1], g.entries, g.trains, g.sum.report(), g.counted()}
	}, func(a, b Period) int { return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Name, b.Name)) })
	places := listed(t.places, func(name string, g *group) Place { return Place{name, g.sum.report(), g.counted()} },
		func(a, b Place) int { return cmp.Compare(a.Section, b.Section) })
	return periods, places
}

// trends are the tables by month, by week and by section. A report of less than a
// month has the weeks only, one of less than a week neither.
func (r *Report) trends() sheet.Section {
	s := sheet.Section{Key: "trend", Title: "By time and place"}
	unexplained := sheet.Column{Share: 12, Head: "Unexplained", Short: "unexplained", Right: true, Number: true}
	table := func(name string, columns ...sheet.Column) *sheet.Table {
		return &sheet.Table{Name: name, Columns: append(append(columns, severityColumns...), unexplained)}
	}
	row := func(list []Severity, begins ...string) sheet.Row {
		_, left := summed(list)
		return cells(append(append(begins, counts(list)...), number(left))...)
	}
	for _, kind := range []string{"month", "week"} {
		t := table("By "+kind, sheet.Column{Share: 14, Head: "By " + kind}, sheet.Column{Share: 9, Head: "Entries", Short: "entries", Right: true, Number: true},
			sheet.Column{Share: 8, Head: "Trains", Short: "trains", Right: true, Number: true})
		for _, p := range r.Periods {
			if p.Kind == kind {
				t.Rows = append(t.Rows, row(p.Severities, p.Name, number(p.Entries), number(p.Trains)))
			}
		}
		if len(t.Rows) > 1 {
			s.Parts = append(s.Parts, t)
		}
	}
	if len(r.Sections) > 1 {
		t := table("By section", sheet.Column{Share: 31, Head: "By section"})
		t.Rows = each.Of(r.Sections, func(p Place) sheet.Row { return row(p.Severities, cmp.Or(p.Section, "no section")) })
		s.Parts = append(s.Parts, t)
	}
	return s
}
