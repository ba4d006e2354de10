package interview

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
)

// sections asks for the neighbouring boxes, one at least.
func (a *interview) sections() error {
	a.intro("The neighbouring boxes, one after another; an empty answer ends the list.")
	taken := func(name string) error {
		if slices.ContainsFunc(a.box.Sections, func(o boxfile.SectionDescription) bool { return o.Neighbour == name }) {
			return fmt.Errorf("%s is on the list already", name)
		}
		return nil
	}
	return a.each(question{ask: "Neighbouring box", about: "sections.neighbour", required: true, check: taken, set: func(b *boxfile.Description, v string) {
		b.Sections = append(b.Sections, boxfile.SectionDescription{Neighbour: v})
	}}, a.section)
}

// each asks for the rows of a list, the first of which may be required, until an empty
// answer to the question for a name ends it: rest asks for what else there is to know of
// the row described last.
func (a *interview) each(named question, rest func(name string) error) error {
	for n := 1; ; n++ {
		q := named
		q.ask, q.required = fmt.Sprintf("%s %d", named.ask, n), named.required && n == 1
		name, err := a.ask(q)
		if err != nil || name == "" {
			return err
		}
		if err := rest(name); err != nil {
			return err
		}
	}
}

// toSection puts an answer into the section that is being described.
func toSection(set func(s *boxfile.SectionDescription, answer string)) func(*boxfile.Description, string) {
	return func(b *boxfile.Description, answer string) { set(last(b.Sections), answer) }
}

func (a *interview) section(name string) error {
	var methods []string
	for _, m := range rulebook.RuleSetNamed(a.box.Rules).Methods {
		if !m.Is().Piloted {
			methods = append(methods, m.String())
		}
	}
	err := a.all(
		question{ask: "How is the section to " + name + " worked", about: "sections.method", choices: methods, required: true,
			set: toSection(func(s *boxfile.SectionDescription, v string) { s.Method = v })},
		question{ask: "Is a train going to " + name + " an up or a down train; empty when neither", about: "sections.towards", choices: []string{"up", "down"},
			set: toSection(func(s *boxfile.SectionDescription, v string) { s.Towards = v })},
	)
	if err == nil {
		err = a.runningLines(last(a.box.Sections))
	}
	m, _ := rulebook.MethodNamed(last(a.box.Sections).Method)
	if err == nil && !m.Is().Described { // no train is accepted there
		err = a.clearing()
	}
	if err == nil {
		err = a.all(runningQuestions()...)
	}
	if err != nil {
		return err
	}
	s := last(a.box.Sections)
	switch {
	case m.Is().Described:
		return a.unoffered("Are trains described there by bell or telephone (no: by a train describer)?")
	case !m.Is().ByBell && m.Is().Entering && len(s.Lines) > 1:
		return a.unoffered("Are trains offered there (no: they are only reported)?")
	case m.Is().Carries == rulebook.CarriesStaff:
		return a.all(question{ask: "Where is the staff now: here, or away (at the other end); empty when not known", about: "sections.staff",
			set: toSection(func(s *boxfile.SectionDescription, v string) { s.Staff = v })})
	case m.Is().Follows:
		return a.all(
			question{ask: "How many trains may be in the section at once; empty when that is not laid down", about: "sections.trains", check: wholeNumber,
				set: toSection(func(s *boxfile.SectionDescription, v string) { s.Trains = boxfile.Number(v) })},
			question{ask: "The instruction by which trains follow one another there, such as box instructions 14; empty for none", about: "sections.source",
				set: toSection(func(s *boxfile.SectionDescription, v string) { s.Source = v })},
		)
	case m.Is().Carries == rulebook.CarriesToken:
		return a.all(tokenQuestions()...)
	case m.Is().ByBell && m.Is().Entering && !m.Is().Single:
		yes, err := a.yes("May trains from "+name+" be accepted under restriction (warning)?", "sections.allow", false)
		if yes {
			s.Allow = []string{rulebook.Allowances[0].Name}
		}
		return err
	}
	return nil
}

// unoffered asks whether trains are told of before they go, and notes where they are not.
func (a *interview) unoffered(ask string) error {
	yes, err := a.yes(ask, "sections.offer", true)
	if !yes && err == nil {
		last(a.box.Sections).Offer = new(bool)
	}
	return err
}

// runningLines asks for the lines of a section: the one of a single line, or those on
// which trains go away and those on which they come.
func (a *interview) runningLines(s *boxfile.SectionDescription) error {
	m, _ := rulebook.MethodNamed(s.Method)
	if m.Over(true) != m.Over(false) {
		single, err := a.yes("Is the line to "+s.Neighbour+" single?", "sections.lines.single", true)
		if err != nil {
			return err
		}
		m = m.Over(single)
	}
	return a.all(lineQuestions(s, m.Is().Single)...)
}

func lineQuestions(s *boxfile.SectionDescription, single bool) []question {
	lines := func(way string) func(*boxfile.Description, string) {
		return toSection(func(s *boxfile.SectionDescription, answer string) {
			s.Lines = slices.Clone(s.Lines)
			for name := range strings.SplitSeq(answer, ",") {
				s.Lines = append(s.Lines, boxfile.LineDescription{Name: strings.TrimSpace(name), Way: way})
			}
		})
	}
	if single {
		return []question{{ask: "Name of the single line", about: "sections.lines.single", fallback: "Single", set: lines("")}}
	}
	away, from := "Up Main", "Down Main"
	if s.Towards == "down" {
		away, from = from, away
	}
	return []question{
		{ask: "Line on which trains go to " + s.Neighbour + " (several with commas)", about: "sections.lines.name", fallback: away, set: lines("out")},
		{ask: "Line on which trains come from " + s.Neighbour + " (several with commas)", about: "sections.lines.name", fallback: from, set: lines("in")},
	}
}

// clearing asks for the clearing point, and twice about one that no train could
// be stopped in.
func (a *interview) clearing() error {
	const least = 50 // yards or metres: far below the 440 yards of common practice
	q := question{ask: "Clearing point beyond the home signal, as 440 (yards) or 400 m; empty for that of the rule set", about: "sections.clearing-point",
		set: toSection(func(s *boxfile.SectionDescription, v string) { s.ClearingPoint = boxfile.Number(v) })}
	for {
		answer, err := a.ask(q)
		n, unit := least, ""
		if answer != "" {
			n = 0
			fmt.Sscanf(answer, "%d%s", &n, &unit)
		}
		if err != nil || n >= least {
			return err
		}
		keep, err := a.yes(fmt.Sprintf("The clearing point is really only %s?", answer), "sections.improbable", false)
		if err != nil || keep {
			return err
		}
		last(a.box.Sections).ClearingPoint = ""
	}
}

// runningQuestions ask for the running times that are not those of the rule set.
func runningQuestions() (out []question) {
	for _, class := range []string{"passenger", "freight"} {
		out = append(out, question{ask: "Longest regular running time of a " + class + " train in minutes; empty when not known", about: "sections.running-minutes",
			set: toSection(func(s *boxfile.SectionDescription, v string) {
				s.RunningMinutes = append(slices.Clone(s.RunningMinutes), boxfile.Pair{Name: class, Value: boxfile.Number(v)})
			})})
	}
	return out
}

func tokenQuestions() []question {
	to := func(set func(t *boxfile.TokensDescription, v string)) func(*boxfile.Description, string) {
		return toSection(func(s *boxfile.SectionDescription, v string) {
			var t boxfile.TokensDescription
			if s.Tokens != nil {
				t = *s.Tokens
			}
			set(&t, v)
			s.Tokens = &t
		})
	}
	return []question{
		{ask: "Numbers of all the tokens of the section, such as 1-12", about: "sections.tokens.charge", required: true, set: to(func(t *boxfile.TokensDescription, v string) { t.Charge = v })},
		{ask: "Those of them in your instrument now, such as 1-6, or none", about: "sections.tokens.here", required: true, set: to(func(t *boxfile.TokensDescription, v string) { t.Here = v })},
		{ask: "Tell the technician when no more are left than", about: "sections.tokens.low-stock", fallback: "0", check: wholeNumber, set: to(func(t *boxfile.TokensDescription, v string) { t.LowStock, _ = strconv.Atoi(v) })},
	}
}

func wholeNumber(s string) error {
	if n, err := strconv.Atoi(s); err != nil || n < 0 {
		return fmt.Errorf("%q is no whole number; write it in figures, such as 3", s)
	}
	return nil
}
