package block

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"fairhand/block/rulebook"
)

var update = flag.Bool("update", false, "write the golden files of the matrices again")

// actsOf lists the acts a method knows: those with a row anywhere.
func actsOf(mc *Machine) []Act {
	var out []Act
	for a := Act(0); a < actCount; a++ {
		if slices.ContainsFunc(mc.Rows, func(r Row) bool { return r.Act == a }) {
			out = append(out, a)
		}
	}
	return out
}

// ways are the directions in which an act can be done in a phase: against the
// direction in force only on a single line that has one.
func ways(m rulebook.Method, p Phase) []bool {
	if m.Is().Single && p != Normal {
		return []bool{false, true}
	}
	return []bool{false}
}

// TestMatrix holds the matrix of every method to its golden file: what every
// act means in every phase. A cell nobody decided fails.
func TestMatrix(t *testing.T) {
	for m := range rulebook.MethodCount {
		t.Run(lineOf(m), func(t *testing.T) {
			mc := machines[m]()
			for _, p := range mc.phases {
				for _, opposed := range ways(m, p) {
					for _, a := range actsOf(mc) {
						if mc.Row(p, opposed, a) == nil {
							t.Errorf("%s, %s%s: not decided", p, a, against(opposed))
						}
					}
				}
			}
			name, got := "testdata/matrix_"+lineOf(m)+".txt", matrix(mc)
			if *update {
				if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(name)
			if err != nil {
				t.Fatalf("%v; write it with go test ./block -run TestMatrix -update", err)
			}
			if got != string(want) {
				t.Errorf("%s differs from the rows; look at the difference and write it again with -update\n%s", name, got)
			}
		})
	}
}

// NameOver is lineOf, for the tests outside of the package.
var NameOver = lineOf

// lineOf is the word of a method, and the kind of line where it may be over either.
func lineOf(m rulebook.Method) string {
	if m.Is().Single && m.Over(false) != m {
		return m.String() + "-single"
	}
	return m.String()
}

func against(opposed bool) string {
	if opposed {
		return " (against the direction in force)"
	}
	return ""
}

// matrix writes a machine as text: a table to look over, then every cell in words.
func matrix(mc *Machine) string {
	var b strings.Builder
	acts := actsOf(mc)
	fmt.Fprintf(&b, "Working by %s: what each act means in each phase of a line.\n\n", lineOf(mc.Method))
	b.WriteString("ok regular; ok? regular on conditions; -- regular and without effect; D danger, I irregular, A advice; D/ok as D unless excused\n")
	if mc.Method.Is().Single {
		b.WriteString("A row marked < is the act of the other direction than the one in force.\n")
	}
	b.WriteByte('\n')
	for i, a := range acts {
		fmt.Fprintf(&b, "%4s = %s, by the box %s\n", column(i), a, [...]string{"at either end", "in rear", "in advance"}[a.By()])
	}
	b.WriteString("\nIn every phase:\n")
	for _, a := range acts {
		for _, g := range inEveryPhase[a] {
			if !g.For.of(mc.Method) {
				continue
			}
			rule, _ := rulebook.RuleNamed(g.Rule)
			fmt.Fprintf(&b, "  %-30s needs %s, else %s %s\n", a, g.Name, strings.ToUpper(rule.Severity.String()), g.Rule)
		}
	}
	fmt.Fprintf(&b, "\n%-30s", "")
	for i := range acts {
		fmt.Fprintf(&b, "%-5s", column(i))
	}
	b.WriteByte('\n')
	for _, p := range mc.phases {
		for _, opposed := range ways(mc.Method, p) {
			line := fmt.Sprintf("%-30s", p.String()+map[bool]string{true: " <"}[opposed])
			for _, a := range acts {
				line += fmt.Sprintf("%-5s", mark(mc.Row(p, opposed, a)))
			}
			b.WriteString(strings.TrimRight(line, " ") + "\n")
		}
	}
	for _, p := range mc.phases {
		for _, opposed := range ways(mc.Method, p) {
			fmt.Fprintf(&b, "\n%s%s\n", strings.ToUpper(p.String()), against(opposed))
			for _, a := range acts {
				b.WriteString(inWords(mc.Row(p, opposed, a), p, a))
			}
		}
	}
	return b.String()
}

// column is the letter of an act in the table.
func column(i int) string { return string(rune('a' + i)) }

// mark is a cell of the table.
func mark(r *Row) string {
	switch {
	case r == nil:
		return "?"
	case r.Rule == "" && len(r.Guards) > 0:
		return "ok?"
	case r.Rule == "" && (r.To == stay || r.To == r.From):
		return "--"
	case r.Rule == "":
		return "ok"
	}
	rule, _ := rulebook.RuleNamed(r.Rule)
	m := strings.ToUpper(rule.Severity.String()[:1])
	if len(r.Unless) > 0 {
		m += "/ok"
	}
	return m
}

// inWords is a cell in words.
func inWords(r *Row, from Phase, a Act) string {
	if r == nil {
		return fmt.Sprintf("  %-30s not decided\n", a)
	}
	to := ""
	switch {
	case r.To == settled:
		to = "then as the trains on the line stand"
	case r.To == stay || r.To == from:
		to = "the phase stays"
	default:
		to = "leads to " + r.To.String()
	}
	line := fmt.Sprintf("  %-30s ", a)
	if r.Rule == "" {
		line += "regular; " + to
	} else {
		rule, _ := rulebook.RuleNamed(r.Rule)
		line += fmt.Sprintf("%s %s; %s", strings.ToUpper(rule.Severity.String()), r.Rule, to)
		if len(r.Unless) > 0 {
			line += "; regular if " + guardNames(r.Unless)
			if r.Regular != Normal {
				line += ", then " + r.Regular.String()
			}
		}
	}
	line += "\n"
	for _, g := range r.Guards {
		rule, _ := rulebook.RuleNamed(g.Rule)
		line += fmt.Sprintf("  %-30s   needs %s, else %s %s", "", g.Name, strings.ToUpper(rule.Severity.String()), g.Rule)
		if g.Replaces && r.Rule != "" {
			line += " instead"
		}
		line += "\n"
	}
	return line
}

func guardNames(list []Guard) string {
	var names []string
	for _, g := range list {
		names = append(names, g.Name)
	}
	return strings.Join(names, " and ")
}

// TestRowsAreUsed finds rows that decide no cell of any method: shadowed by
// another, or for a phase or direction that cannot be.
func TestRowsAreUsed(t *testing.T) {
	for _, list := range [][]Row{blockRows, oneTrainRows, counterRows} {
		for i, r := range list {
			if !slices.ContainsFunc(machines[:], func(mc func() *Machine) bool {
				return slices.ContainsFunc(mc().Rows, func(o Row) bool {
					return o.From == r.From && o.Act == r.Act && o.Opposed == r.Opposed && o.Both == r.Both && o.For == r.For
				})
			}) {
				t.Errorf("row %d decides no cell: from %d, %s%s", i, r.From, r.Act, against(r.Opposed))
			}
		}
	}
}

// TestPhasesAreReached finds phases that no chain of acts leads to from normal.
// Where a row leaves the phase to the trains on the line, any of the four that
// trains make may follow.
func TestPhasesAreReached(t *testing.T) {
	for m := range rulebook.MethodCount {
		mc := machines[m]()
		reached := map[Phase]bool{Normal: true}
		for grown := true; grown; {
			grown = false
			for p := range reached {
				for _, q := range leadsTo(mc, p) {
					grown = grown || !reached[q]
					reached[q] = true
				}
			}
		}
		for _, p := range mc.phases {
			if !reached[p] {
				t.Errorf("%s: no act leads to %s", m, p)
			}
		}
		for p := range reached {
			if !slices.Contains(mc.phases, p) {
				t.Errorf("%s: %s is reached and not among its phases", m, p)
			}
		}
	}
}

func leadsTo(mc *Machine, p Phase) []Phase {
	var out []Phase
	for _, opposed := range ways(mc.Method, p) {
		for a := Act(0); a < actCount; a++ {
			r := mc.Row(p, opposed, a)
			switch {
			case r == nil || r.To == stay:
			case r.To == settled:
				out = append(out, Normal, InSection)
			default:
				out = append(out, r.To)
			}
			if r != nil && len(r.Unless) > 0 && r.Regular != Normal {
				out = append(out, r.Regular)
			}
		}
	}
	return out
}

// TestNextHasItsSignal holds that where a method has an offer, train entering section or the end of
// a block as a next step, every rule set that covers it has the signal, which the desk then offers.
func TestNextHasItsSignal(t *testing.T) {
	for _, name := range rulebook.RuleSetNames() {
		set := rulebook.RuleSetNamed(name)
		for m, made := range machines {
			if !set.Covers(rulebook.Method(m)) {
				continue
			}
			mc := made()
			b := &Box{Rules: set, Sections: []Section{{Neighbour: "B", Method: mc.Method, Lines: []Line{{Name: "Line"}}}}, lines: []lineRef{{0, 0}}}
			b.prepareCodes()
			for act, means := range map[Act]rulebook.Meaning{ActOffer: rulebook.Offer, ActEnter: rulebook.Entering, ActUnblock: rulebook.ObstructionRemoved} {
				next := slices.ContainsFunc(mc.Rows, func(r Row) bool { return r.Act == act && r.Rule == "" })
				if next && b.codeFor(0, means, rulebook.AnyClass) == nil {
					t.Errorf("%s, %s: no signal for %s", name, mc.Method, act)
				}
			}
		}
	}
}
