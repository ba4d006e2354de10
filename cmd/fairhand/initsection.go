package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
)

// sections asks for the neighbouring boxes, one at least.
func (a *asking) sections() error {
	a.say("\nThe neighbouring boxes, one after another; an empty answer ends the list.\n")
	for {
		var s boxfile.SectionDescription
		n := len(a.box.Sections) + 1
		taken := func(name string) error {
			if slices.ContainsFunc(a.box.Sections, func(o boxfile.SectionDescription) bool { return o.Neighbour == name }) {
				return fmt.Errorf("%s is on the list already", name)
			}
			return nil
		}
		err := a.fill(field{question{ask: fmt.Sprintf("Neighbouring box %d", n), about: "sections.neighbour", required: n == 1, check: taken}, &s.Neighbour})
		if err != nil || s.Neighbour == "" {
			return err
		}
		if err := a.section(&s); err != nil {
			return err
		}
		a.box.Sections = append(a.box.Sections, s)
	}
}

func (a *asking) section(s *boxfile.SectionDescription) error {
	var methods []string
	for _, m := range rulebook.RuleSetNamed(a.box.Rules).Methods {
		methods = append(methods, m.String())
	}
	err := a.fill(
		field{question{ask: "How is the section to " + s.Neighbour + " worked", about: "sections.method", choices: methods, required: true}, &s.Method},
		field{question{ask: "Is a train going to " + s.Neighbour + " an up or a down train", about: "sections.towards", choices: []string{"up", "down"}}, &s.Towards},
	)
	if err == nil {
		err = a.lines(s)
	}
	if err == nil {
		err = a.clearing(s)
	}
	if err == nil {
		err = a.running(s)
	}
	if err != nil {
		return err
	}
	method, _ := rulebook.MethodNamed(s.Method)
	switch {
	case method.Is().Carries == rulebook.CarriesToken:
		return a.tokens(s)
	case !method.Is().Single:
		yes, err := a.yes("May trains from "+s.Neighbour+" be accepted under restriction (warning)?", "sections.allow", false)
		if yes {
			s.Allow = []string{rulebook.Allowances[0].Name}
		}
		return err
	}
	return nil
}

// onSection judges an answer about a section that has all it must have.
func (a *asking) onSection(s *boxfile.SectionDescription, set func(t *boxfile.SectionDescription, answer string)) func(string) error {
	return a.judged(func(t *boxfile.Description, answer string) {
		trial := *s
		set(&trial, answer)
		t.Sections = append(slices.Clone(a.box.Sections), trial)
	})
}

// lines asks for the lines of a section: the one of a single line, or those on
// which trains go away and those on which they come.
func (a *asking) lines(s *boxfile.SectionDescription) error {
	method, _ := rulebook.MethodNamed(s.Method)
	asks, about := []struct{ ask, way, fallback string }{{"Name of the single line", "", "Single"}}, "sections.lines.single"
	if !method.Is().Single {
		away, from := "Up Main", "Down Main"
		if s.Towards == "down" {
			away, from = from, away
		}
		about = "sections.lines.name"
		asks = []struct{ ask, way, fallback string }{
			{"Line on which trains go to " + s.Neighbour + " (several with commas)", "out", away},
			{"Line on which trains come from " + s.Neighbour + " (several with commas)", "in", from},
		}
	}
	for _, q := range asks {
		add := func(t *boxfile.SectionDescription, answer string) {
			t.Lines = slices.Clone(t.Lines)
			for name := range strings.SplitSeq(answer, ",") {
				t.Lines = append(t.Lines, boxfile.LineDescription{Name: strings.TrimSpace(name), Way: q.way})
			}
		}
		answer, err := a.ask(question{ask: q.ask, about: about, fallback: q.fallback, check: a.onSection(s, add)})
		if err != nil {
			return err
		}
		add(s, answer)
	}
	return nil
}

// clearing asks for the clearing point, and twice about one that no train could
// be stopped in.
func (a *asking) clearing(s *boxfile.SectionDescription) error {
	const least = 50 // yards or metres: far below the 440 yards of common practice
	check := a.onSection(s, func(t *boxfile.SectionDescription, v string) { t.ClearingPoint = boxfile.Number(v) })
	for {
		answer, err := a.ask(question{ask: "Clearing point beyond the home signal, as 440 (yards) or 400 m; empty for that of the rule set", about: "sections.clearing-point", check: check})
		if err != nil {
			return err
		}
		keep := true
		if n, unit := 0, ""; answer != "" {
			if fmt.Sscanf(answer, "%d%s", &n, &unit); n < least {
				keep, err = a.yes(fmt.Sprintf("The clearing point is really only %s?", answer), "sections.improbable", false)
			}
		}
		if err != nil {
			return err
		}
		if keep {
			s.ClearingPoint = boxfile.Number(answer)
			return nil
		}
	}
}

// running asks for the running times that are not those of the rule set.
func (a *asking) running(s *boxfile.SectionDescription) error {
	for _, class := range []string{"passenger", "freight"} {
		add := func(t *boxfile.SectionDescription, answer string) {
			t.RunningMinutes = append(slices.Clone(t.RunningMinutes), boxfile.Pair{Name: class, Value: boxfile.Number(answer)})
		}
		answer, err := a.ask(question{ask: "Longest regular running time of a " + class + " train in minutes; empty when not known", about: "sections.running-minutes", check: a.onSection(s, add)})
		if err != nil {
			return err
		}
		if answer != "" {
			add(s, answer)
		}
	}
	return nil
}

func (a *asking) tokens(s *boxfile.SectionDescription) error {
	var t boxfile.TokensDescription
	var low string
	on := func(set func(t *boxfile.TokensDescription, v string)) func(string) error {
		return a.onSection(s, func(trial *boxfile.SectionDescription, v string) {
			tokens := t
			if tokens.Here == "" {
				tokens.Here = "none"
			}
			set(&tokens, v)
			trial.Tokens = &tokens
		})
	}
	err := a.fill(
		field{question{ask: "Numbers of all the tokens of the section, such as 1-12", about: "sections.tokens.charge", required: true, check: on(func(t *boxfile.TokensDescription, v string) { t.Charge = v })}, &t.Charge},
		field{question{ask: "Those of them in your instrument now, such as 1-6, or none", about: "sections.tokens.here", required: true, check: on(func(t *boxfile.TokensDescription, v string) { t.Here = v })}, &t.Here},
		field{question{ask: "Tell the technician when no more are left than", about: "sections.tokens.low-stock", fallback: "0", check: wholeNumber}, &low},
	)
	t.LowStock, _ = strconv.Atoi(low)
	s.Tokens = &t
	return err
}

func wholeNumber(s string) error {
	if n, err := strconv.Atoi(s); err != nil || n < 0 {
		return fmt.Errorf("%q is no whole number; write it in figures, such as 3", s)
	}
	return nil
}
