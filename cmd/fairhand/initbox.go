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

	"fairhand/block/rulebook"
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
	names := rulebook.RuleSetNames()
	titles := make([]string, len(names))
	for i, name := range names {
		titles[i] = rulebook.RuleSetNamed(name).Title
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
			method := rulebook.RuleSetNamed(trial.Rules).Methods[0]
			if !method.Is().Single {
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
