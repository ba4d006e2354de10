package gather

import (
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/registertest"
)

// line is a collection for the questions, with what its boxes say of themselves.
type line struct {
	*testing.T
	w       *world
	out     string
	dirs    []string
	reports []*audit.Report // of each box, as fairhand audit --json prints it
}

// made makes the registers of a line, and that of the box of the demonstration, whose
// book has late entries, corrections and tokens.
func made(t *testing.T, o worldOptions) *line {
	l := &line{T: t, w: newWorld(o), out: filepath.Join(t.TempDir(), "out")}
	dir := t.TempDir()
	l.dirs = l.w.makeAll(t, dir)
	box, book := registertest.Demo(t, "../..")
	b, err := registertest.Make(dir, box, book)
	if err != nil {
		t.Fatal(err)
	}
	b.Close()
	l.dirs = append(l.dirs, dir)
	return l
}

// TestSQL: every question is answered the same by every engine, and as the audit of each
// box, the comparison of neighbours or the working of the line has it.
func TestSQL(t *testing.T) {
	l := made(t, worldOptions{boxes: 5, days: 4, every: 60, careless: 3})
	run(t, l.out, l.dirs...)
	l.questions()
}

func (l *line) questions() {
	l.reports = make([]*audit.Report, len(l.dirs))
	inParallel(2, len(l.dirs), nil, func(i int) { l.reports[i] = auditOf(l.T, l.dirs[i]) })
	want := map[string][]string{
		"clocks": l.clocks(), "dangers": l.dangers(), "findings": l.findings(), "occupation": l.occupation(), "people": l.people(),
		"people_rules": l.peopleRules(), "running": l.running(), "slowest": l.slowest(), "unexamined": l.unexamined(), "way": l.way(),
	}
	var first map[string]*answer
	for _, e := range Engines() {
		l.Run(e, func(t *testing.T) {
			got := ask(t, e, l.out, questions(t))
			for _, name := range Queries() {
				rows := got[name].lines()
				t.Logf("%s: %d rows in %d ms", name, len(rows)-1, got[name].MS)
				if first != nil && !slices.Equal(rows, first[name].lines()) {
					t.Errorf("%s is answered otherwise than by %s", name, Engines()[0])
				}
				if len(want[name]) == 0 {
					t.Errorf("%s: nothing to compare with", name)
				}
				var widest map[int]float64
				switch rows = rows[1:]; name {
				case "occupation":
					rows = busiest(t, rows)
				case "running":
					// What each pair of clocks is known by is wrong by a little for each train, and that adds
					// up along the line as the errors of measurements that know nothing of each other: the
					// quickest and the slowest of many trains by 1 s over 5 boxes, 9 over 201, the mean by 0.1.
					far := 0.7 * math.Sqrt(float64(len(l.dirs)))
					rows, widest = nearly(rows, want[name], 5, map[int]float64{5: far, 6: 0.5, 7: far})
				case "way":
					rows, widest = nearly(rows, want[name], 8, map[int]float64{8: 3, 9: 0.1})
				}
				if len(widest) > 0 {
					t.Logf("%s: at most so far from the line as it was worked, by column: %v", name, widest)
				}
				compareLines(t, name, rows, want[name])
			}
			if first == nil {
				first = got
			}
		})
	}
}

// compareLines wants the rows of an answer to be those worked out by other means, in any
// order: the order is that of the question.
func compareLines(t *testing.T, name string, got, want []string) {
	t.Helper()
	got, want = slices.Sorted(slices.Values(got)), slices.Sorted(slices.Values(want))
	if slices.Equal(got, want) {
		return
	}
	for i := range max(len(got), len(want)) {
		g, w := "nothing", "nothing"
		if i < len(got) {
			g = got[i]
		}
		if i < len(want) {
			w = want[i]
		}
		if g != w {
			t.Errorf("%s: %d rows, want %d; row %d is\n%s, want\n%s", name, len(got), len(want), i, g, w)
			return
		}
	}
}

// row is a row of an answer as text.
func row(values ...any) string {
	var out []string
	for _, v := range values {
		switch x := v.(type) {
		case float64:
			out = append(out, number(fmt.Sprint(x)))
		case *float64:
			if x == nil {
				out = append(out, "null")
				continue
			}
			out = append(out, number(fmt.Sprint(*x)))
		default:
			out = append(out, fmt.Sprint(v))
		}
	}
	return strings.Join(out, "|")
}

// places rounds as the questions do: engines do not agree on halves.
func places(x float64, n int) float64 {
	p := math.Pow(10, float64(n))
	return math.Floor(x*p+0.5) / p
}

// each goes through the findings of all boxes that stand.
func (l *line) each(do func(r *audit.Report, f *audit.Finding)) {
	for _, r := range l.reports {
		for _, rule := range r.Rules {
			if rule.Beyond > 0 {
				l.Fatal("the audit does not tell every finding")
			}
			for i := range rule.Details {
				do(r, &rule.Details[i])
			}
		}
	}
}

// tally counts by a key.
type tally map[string][3]int

func (c tally) add(key string, f *audit.Finding) {
	n := c[key]
	n[0]++
	if len(f.Remarks) == 0 {
		n[1]++
	}
	if f.Root != 0 {
		n[2]++
	}
	c[key] = n
}

func (l *line) findings() (out []string) {
	c := tally{}
	l.each(func(r *audit.Report, f *audit.Finding) { c.add(row(r.Railway, r.Box, f.Severity, f.Rule), f) })
	for k, n := range c {
		out = append(out, row(k, n[0], n[1], n[2]))
	}
	return out
}

func (l *line) dangers() (out []string) {
	c, boxes := tally{}, map[string]map[string]bool{}
	l.each(func(r *audit.Report, f *audit.Finding) {
		key := row(f.Severity, f.Rule, f.At.Date()[:8]+"01")
		if c.add(key, f); boxes[key] == nil {
			boxes[key] = map[string]bool{}
		}
		boxes[key][r.Box] = true
	})
	for k, n := range c {
		out = append(out, row(k, n[0], n[1], n[2], len(boxes[k])))
	}
	return out
}

// people sums up what the audits of the boxes say of each person.
func (l *line) people() (out []string) {
	all := map[string]*audit.Person{}
	left := map[string]int64{}
	severity := map[string]int64{}
	for _, r := range l.reports {
		for _, p := range r.People {
			a := all[p.Name]
			if a == nil {
				a = &audit.Person{Name: p.Name}
				all[p.Name] = a
			}
			a.Turns, a.Entries, a.Late, a.Corrected, a.Trains = a.Turns+p.Turns, a.Entries+p.Entries, a.Late+p.Late, a.Corrected+p.Corrected, a.Trains+p.Trains
			for _, s := range p.Severities {
				severity[p.Name+s.Severity] += s.Count
				left[p.Name] += s.Unexplained
			}
		}
	}
	for name, a := range all {
		var rate *float64
		if a.Trains > 0 {
			x := places(1000*float64(severity[name+"danger"])/float64(a.Trains), 1)
			rate = &x
		}
		out = append(out, row(name, a.Turns, a.Entries, a.Late, a.Corrected, a.Trains,
			severity[name+"danger"], severity[name+"irregular"], severity[name+"advice"], left[name], rate))
	}
	if all["C. Lax"] == nil || all["A. Fell"].Late+all["R. Howe"].Late == 0 {
		l.Error("nobody was careless or late: nothing is tried")
	}
	return out
}

func (l *line) peopleRules() (out []string) {
	type key struct{ person, rule, severity string }
	counts, trains := map[key][2]int64{}, map[string]int64{}
	for _, r := range l.reports {
		for _, p := range r.People {
			trains[p.Name] += p.Trains
			for _, x := range p.Rules {
				k := key{p.Name, x.Rule, x.Severity}
				counts[k] = [2]int64{counts[k][0] + x.Count, counts[k][1] + x.Unexplained}
			}
		}
	}
	for k, n := range counts {
		if trains[k.person] > 0 {
			out = append(out, row(k.person, k.rule, k.severity, n[0], n[1], places(1000*float64(n[0])/float64(trains[k.person]), 1)))
		}
	}
	return out
}

func (l *line) slowest() (out []string) {
	waits, left := map[string][]float64{}, map[string]int{}
	l.each(func(r *audit.Report, f *audit.Finding) {
		key := row(r.Railway, r.Box, f.Turn)
		switch {
		case f.Severity == "advice":
		case len(f.Remarks) == 0:
			left[key]++
		default:
			left[key] += 0
			waits[key] = append(waits[key], float64(f.Remarks[0].At.Time-f.At.Time))
		}
	})
	for key, n := range left {
		w := waits[key]
		if len(w) == 0 {
			out = append(out, row(key, 0, n, "null", "null"))
			continue
		}
		sum := 0.0
		for _, x := range w {
			sum += x
		}
		out = append(out, row(key, len(w), n, places(sum/float64(len(w))/60, 1), places(slices.Max(w)/60, 1)))
	}
	return out
}

func (l *line) unexamined() (out []string) {
	for i, r := range l.reports {
		day, by := "null", "null"
		covered := map[string]int64{} // by day, up to which entry it was examined
		days, before := l.days(i), ""
		for _, s := range r.Keeping.Signatures {
			from, to := before, s.At.Date()
			if name, ok := strings.CutPrefix(s.Text, "examined 2"); ok {
				from, to = "2"+name, "2"+name // the world signs for one day
			}
			for _, d := range days {
				if from <= d && d <= to {
					covered[d] = s.Entry
				}
			}
			day, by, before = s.At.Date(), s.Name, s.At.Date()
		}
		open, entries := map[string]bool{}, 0
		for j, d := range days {
			if int64(j+1) > covered[d] {
				open[d], entries = true, entries+1
			}
		}
		if int64(len(open)) != r.Signed.UnexaminedCount {
			l.Errorf("%s: %d days not examined, and %d by its audit", r.Box, len(open), r.Signed.UnexaminedCount)
		}
		if entries > 0 {
			out = append(out, row(r.Railway, r.Box, day, by, len(open), entries, slices.Max(slices.Collect(maps.Keys(open)))))
		}
	}
	return out
}

// days are the days of a register's entries, in their order.
func (l *line) days(i int) (out []string) {
	b, err := register.Open(l.dirs[i], register.Options{ReadOnly: true})
	if err != nil {
		l.Fatal(err)
	}
	defer b.Close()
	for rows, err := range b.Store().Each(1) {
		if err != nil {
			l.Fatal(err)
		}
		for j := range rows {
			out = append(out, rows[j].Day.String())
		}
	}
	return out
}
