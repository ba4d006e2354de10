package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/register/boxfile"
)

// asking is the box described so far.
type asking struct {
	*asker
	box boxfile.Description
}

// describe asks for everything, from the beginning.
func (a *asking) describe() error {
	a.box = boxfile.Description{}
	for _, part := range []func() error{a.heading, a.sections, a.places, a.people} {
		if err := part(); err != nil {
			return err
		}
	}
	return nil
}

// field is a question whose answer fills a text of the description.
type field struct {
	question
	into *string
}

func (a *asking) fill(fields ...field) error {
	for _, f := range fields {
		answer, err := a.ask(f.question)
		if err != nil {
			return err
		}
		*f.into = answer
	}
	return nil
}

func (a *asking) heading() error {
	d := &a.box
	names := block.RuleSetNames()
	titles := make([]string, len(names))
	for i, name := range names {
		titles[i] = block.RuleSetNamed(name).Title
	}
	return a.fill(
		field{question{ask: "Rule set the box works under", about: "rules", choices: names, titles: titles, required: true}, &d.Rules},
		field{question{ask: "Name of the railway", about: "railway", check: a.judged(func(t *boxfile.Description, s string) { t.Railway = s })}, &d.Railway},
		field{question{ask: "Name of this signal box", about: "box", required: true, check: a.judged(func(t *boxfile.Description, s string) { t.Box = s })}, &d.Box},
		field{question{ask: "Time zone of the clock", about: "timezone", fallback: systemZone(), check: checkZone}, &d.Timezone},
		field{question{ask: "Time of the daily clock check, such as 09:00, or none", about: "clock-check", fallback: "none", check: a.judged(func(t *boxfile.Description, s string) { t.ClockCheck = noneEmpty(s) })}, &d.ClockCheck},
	)
}

// judged lets the box file's own reading judge an answer: in a box that is
// complete but for it, and in the one described so far.
func (a *asking) judged(set func(trial *boxfile.Description, answer string)) func(string) error {
	return func(answer string) error {
		trial := a.box
		if trial.Box == "" {
			trial.Box = "Box"
		}
		trial.ClockCheck = noneEmpty(trial.ClockCheck)
		if len(trial.Sections) == 0 {
			way := boxfile.LineDescription{Name: "Line"}
			method := block.RuleSetNamed(trial.Rules).Methods[0]
			if !method.Single() {
				way.Way = "out"
			}
			trial.Sections = []boxfile.SectionDescription{{Neighbour: "Neighbour", Method: method.String(), Lines: []boxfile.LineDescription{way}}}
		}
		set(&trial, answer)
		err := boxfile.Write(io.Discard, trial)
		var faults *boxfile.Faults
		if errors.As(err, &faults) && len(faults.List) > 0 {
			return errors.New(faults.List[0].Text)
		}
		return err
	}
}

func noneEmpty(s string) string {
	if strings.EqualFold(s, "none") {
		return ""
	}
	return s
}

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
	for _, m := range block.RuleSetNamed(a.box.Rules).Methods {
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
	switch s.Method {
	case block.Token.String():
		return a.tokens(s)
	case block.Absolute.String():
		yes, err := a.yes("May trains from "+s.Neighbour+" be accepted under restriction (warning)?", "sections.allow", false)
		if yes {
			s.Allow = []string{block.Allowances[0].Name}
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
	single := s.Method != block.Absolute.String()
	asks, about := []struct{ ask, way, fallback string }{{"Name of the single line", "", "Single"}}, "sections.lines.single"
	if !single {
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

// places asks for the places where trains stand.
func (a *asking) places() error {
	a.say("\nThe places of your station where a train can stand: platforms, loops, yards;\nan empty answer ends the list.\n")
	for {
		var p boxfile.PlaceDescription
		named := a.judged(func(t *boxfile.Description, v string) {
			t.Places = append(slices.Clone(a.box.Places), boxfile.PlaceDescription{Name: v})
		})
		err := a.fill(field{question{ask: fmt.Sprintf("Place %d", len(a.box.Places)+1), about: "places.name", check: named}, &p.Name})
		if err != nil || p.Name == "" {
			return err
		}
		if err := a.place(&p); err != nil {
			return err
		}
		a.box.Places = append(a.box.Places, p)
	}
}

func (a *asking) place(p *boxfile.PlaceDescription) error {
	var holds string
	if err := a.fill(field{question{ask: "How many trains does it hold; 0 for no limit", about: "places.holds", fallback: "1", check: wholeNumber}, &holds}); err != nil {
		return err
	}
	p.Holds, _ = strconv.Atoi(holds)
	var err error
	if p.Siding, err = a.yes("Does it lie clear of the running lines?", "places.siding", false); err != nil || p.Siding {
		return err
	}
	for _, s := range a.box.Sections {
		add := func(t *boxfile.PlaceDescription, v string) {
			t.BeyondHome = append(slices.Clone(t.BeyondHome), boxfile.Pair{Name: s.Neighbour, Value: boxfile.Number(v)})
		}
		check := a.judged(func(t *boxfile.Description, v string) {
			trial := *p
			add(&trial, v)
			t.Places = append(slices.Clone(a.box.Places), trial)
		})
		answer, err := a.ask(question{ask: "How far beyond the home signal for trains from " + s.Neighbour + ", as 440 (yards) or 400 m; empty when not on their way", about: "places.beyond-home", check: check})
		if err != nil {
			return err
		}
		if answer != "" {
			add(p, answer)
		}
	}
	return nil
}

// people asks who is named in the book.
func (a *asking) people() error {
	a.say("\nThe people who are named in the book; an empty answer ends the list.\n")
	for {
		var who boxfile.PersonDescription
		named := a.judged(func(t *boxfile.Description, v string) {
			t.People = append(slices.Clone(a.box.People), boxfile.PersonDescription{Name: v, Role: boxfile.Roles[0]})
		})
		err := a.fill(field{question{ask: fmt.Sprintf("Person %d", len(a.box.People)+1), about: "people.name", check: named}, &who.Name})
		if err != nil || who.Name == "" {
			return err
		}
		if err := a.fill(field{question{ask: "What is " + who.Name + " (" + strings.Join(boxfile.Roles, ", ") + ")", about: "people.role", fallback: boxfile.Roles[0], choices: boxfile.Roles, unlisted: true}, &who.Role}); err != nil {
			return err
		}
		a.box.People = append(a.box.People, who)
	}
}

// checkZone knows the zones of the time zone database.
func checkZone(name string) error {
	if _, err := time.LoadLocation(name); err != nil || strings.EqualFold(name, "local") {
		return fmt.Errorf("there is no time zone %q; write it as Europe/London or Asia/Kolkata, or UTC", name)
	}
	return nil
}

// systemZone is the zone of the computer's clock where it can be told, else UTC.
func systemZone() string {
	name := os.Getenv("TZ")
	if link, err := os.Readlink("/etc/localtime"); name == "" && err == nil {
		_, name, _ = strings.Cut(link, "zoneinfo/")
	}
	if name == "" || checkZone(name) != nil {
		return "UTC"
	}
	return name
}
