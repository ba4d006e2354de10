package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"
	"fairhand/register/measure"
)

func (p *program) rulesCommand() *cobra.Command {
	var diagram string
	cmd := &cobra.Command{
		Use:   "rules [ID]",
		Short: "List the rules Fairhand looks for, or read one out",
		Long: `List the rules Fairhand looks for, the dangerous ones first. With the ID of a rule,
read it out: what was done or left undone, what can come of it, what to do, and on
what it rests.`,
		Args: args(0, 1, "ID"),
		RunE: func(cmd *cobra.Command, given []string) error {
			if cmd.Flags().Changed("diagram") {
				return p.diagram(diagram, len(given) > 0 || p.js)
			}
			rules := rulebook.Rules()
			if len(given) > 0 {
				r, err := ruleNamed(given[0])
				if err != nil {
					return err
				}
				rules = []rulebook.Rule{r}
			}
			here := p.ruleSetHere(cmd)
			switch {
			case p.js:
				for _, r := range rules {
					if err := p.json(ruleAsJSON(r)); err != nil {
						return err
					}
				}
			case len(given) > 0:
				p.readOutRule(rules[0], here)
			default:
				p.listRules(rules)
			}
			return nil
		},
		ValidArgsFunction: func(_ *cobra.Command, given []string, begun string) ([]string, cobra.ShellCompDirective) {
			var out []string
			for _, r := range rulebook.Rules() {
				if len(given) == 0 && strings.HasPrefix(string(r.ID), begun) {
					out = append(out, string(r.ID)+"\t"+r.What)
				}
			}
			return out, cobra.ShellCompDirectiveNoFileComp
		},
	}
	cmd.Flags().StringVar(&diagram, "diagram", "", "draw the states of a METHOD: "+strings.Join(rulebook.Methods(), ", "))
	_ = cmd.RegisterFlagCompletionFunc("diagram", cobra.FixedCompletions(rulebook.Methods(), cobra.ShellCompDirectiveNoFileComp))
	return p.withJSON(" a rule", cmd)
}

// diagram prints the states of a method of working as a graph.
func (p *program) diagram(method string, more bool) error {
	m, ok := rulebook.MethodNamed(method)
	switch {
	case more:
		return usagef("--diagram is of a method of working; it goes with no rule and no --json")
	case ok:
		_, err := p.out.WriteString(block.Diagram(m))
		return err
	}
	return meant(usagef("there is no method of working %q", method), method, rulebook.Methods(), "known are "+strings.Join(rulebook.Methods(), ", "))
}

func ruleNamed(id string) (rulebook.Rule, error) {
	r, ok := rulebook.RuleNamed(rulebook.RuleID(id))
	if ok {
		return r, nil
	}
	ids := each.Of(rulebook.Rules(), func(r rulebook.Rule) string { return string(r.ID) })
	return r, meant(usagef("there is no rule %q", id), id, ids, "fairhand rules lists them all")
}

// ruleSetHere is the name of the rule set of the box directory, "" when there is
// no box to ask: the rules can be read without one.
func (p *program) ruleSetHere(cmd *cobra.Command) string {
	file, err := p.loadBox(cmd, "")
	if err != nil {
		return ""
	}
	return file.Box.Rules.Name
}

func (p *program) listRules(rules []rulebook.Rule) {
	width := measure.Widest(each.Of(rules, func(r rulebook.Rule) string { return string(r.ID) })...)
	for s := rulebook.Danger + 1; s > 0; s-- {
		fmt.Fprintf(p.out, "%s\n", s-1)
		for _, r := range rules {
			if r.Severity == s-1 {
				fmt.Fprintf(p.out, "  %-*s  %s\n", width, r.ID, r.What)
			}
		}
		if s > 1 {
			fmt.Fprintln(p.out)
		}
	}
}

func (p *program) readOutRule(r rulebook.Rule, here string) {
	fmt.Fprintf(p.out, "%s (%s)\n\n%s\n\nWhy:        %s\nWhat to do: %s\nReference:  %s\n", r.ID, r.Severity, r.What, r.Why, r.Do, r.Ref)
	if r.RefSingle != "" {
		fmt.Fprintf(p.out, "On single lines: %s\n", r.RefSingle)
	}
	for _, name := range rulebook.RuleSetNames() {
		clause := rulebook.RuleSetNamed(name).Clauses[r.ID]
		if clause == "" {
			continue
		}
		mark := ""
		if name == here {
			mark = " (the rule set of this box)"
		}
		fmt.Fprintf(p.out, "In %s%s: %s\n", name, mark, clause)
	}
}

type ruleJSON struct {
	ID        string            `json:"rule-id"`
	Severity  string            `json:"severity"`
	What      string            `json:"what"`
	Why       string            `json:"why"`
	Do        string            `json:"do"`
	Reference string            `json:"reference"`
	Clauses   map[string]string `json:"clauses"` // by rule set
}

func ruleAsJSON(r rulebook.Rule) ruleJSON {
	out := ruleJSON{string(r.ID), r.Severity.String(), r.What, r.Why, r.Do, r.Ref, map[string]string{}}
	for _, name := range rulebook.RuleSetNames() {
		if c := rulebook.RuleSetNamed(name).Clauses[r.ID]; c != "" {
			out.Clauses[name] = c
		}
	}
	return out
}
