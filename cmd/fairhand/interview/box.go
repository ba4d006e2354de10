package interview

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
	"fairhand/register/each"
)

// describe asks for everything, from the beginning.
func (a *interview) describe() error {
	a.box = boxfile.Description{}
	for _, part := range []func() error{a.heading, a.sections, a.places, a.signals, a.gear, a.crossings, a.people, a.timetable} {
		if err := part(); err != nil {
			return err
		}
	}
	return nil
}

func (a *interview) heading() error {
	names := rulebook.RuleSetNames()
	titles := each.Of(names, func(name string) string { return rulebook.RuleSetNamed(name).Title })
	return a.all(
		question{ask: "Rule set the box works under", about: "rules", choices: names, titles: titles, required: true, set: func(b *boxfile.Description, v string) { b.Rules = v }},
		question{ask: "Name of the railway", about: "railway", set: func(b *boxfile.Description, v string) { b.Railway = v }},
		question{ask: "Name of this signal box", about: "box", required: true, set: func(b *boxfile.Description, v string) { b.Box = v }},
		question{ask: "Time zone of the clock", about: "timezone", fallback: systemZone(), check: checkZone, set: func(b *boxfile.Description, v string) { b.Timezone = v }},
		question{ask: "Time of the daily clock check, such as 09:00, or none", about: "clock-check", fallback: "none", set: func(b *boxfile.Description, v string) {
			if !strings.EqualFold(v, "none") {
				b.ClockCheck = v
			}
		}},
	)
}

// try lets the box file's own reading judge an answer: in the box described so far,
// completed by what has not been asked yet.
func (a *interview) try(set func(b *boxfile.Description, answer string), answer string) error {
	trial := a.box
	trial.Sections, trial.Places, trial.People = slices.Clone(trial.Sections), slices.Clone(trial.Places), slices.Clone(trial.People)
	trial.Crossings, trial.Signals, trial.Gear = slices.Clone(trial.Crossings), slices.Clone(trial.Signals), slices.Clone(trial.Gear)
	set(&trial, answer)
	complete(&trial)
	err := boxfile.Write(io.Discard, trial)
	if faults, ok := errors.AsType[*boxfile.Faults](err); ok && len(faults.List) > 0 {
		return errors.New(faults.List[0].Text)
	}
	return err
}

// complete fills in what a box must have.
func complete(b *boxfile.Description) {
	b.Box = cmp.Or(b.Box, "Box")
	if len(b.Sections) == 0 {
		b.Sections = []boxfile.SectionDescription{{Neighbour: "Neighbour"}}
	}
	for i := range b.Sections {
		s := &b.Sections[i]
		s.Method = cmp.Or(s.Method, rulebook.RuleSetNamed(b.Rules).Methods[0].String())
		if len(s.Lines) == 0 {
			s.Lines = []boxfile.LineDescription{{Name: "Line"}}
			if m, _ := rulebook.MethodNamed(s.Method); !m.Is().Single {
				s.Lines[0].Way = "out"
			}
		}
		if s.Tokens != nil && s.Tokens.Here == "" {
			s.Tokens = &boxfile.TokensDescription{Charge: s.Tokens.Charge, Here: "none"}
		}
	}
	for i := range b.Signals {
		s := &b.Signals[i]
		s.Kind, s.Section = cmp.Or(s.Kind, boxfile.SignalKinds[0]), cmp.Or(s.Section, b.Sections[0].Neighbour)
		for j := range b.Sections {
			if o := &b.Sections[j]; o.Neighbour == s.Section {
				s.Line = cmp.Or(s.Line, o.Lines[0].Name)
			}
		}
	}
	for i := range b.Crossings {
		c := &b.Crossings[i]
		c.Kind = cmp.Or(c.Kind, block.CrossingKinds[0])
		if c.Place == "" {
			c.Section = cmp.Or(c.Section, b.Sections[0].Neighbour)
		}
	}
	for i := range b.Gear {
		b.Gear[i].Kind = cmp.Or(b.Gear[i].Kind, boxfile.GearKinds[0])
	}
	for i := range b.People {
		b.People[i].Role = cmp.Or(b.People[i].Role, boxfile.Roles[0])
	}
}

// last is the item of a list that the questions are about.
func last[T any](list []T) *T { return &list[len(list)-1] }

// places asks for the places where trains stand.
func (a *interview) places() error {
	a.intro("The places of your station where a train can stand: platforms, loops, yards; an empty answer ends the list. A place less far beyond a home signal than the clearing point (440 yards) is watched: a train that stands there keeps line clear from being given at that signal, and wants blocking back.")
	return a.each(question{ask: "Place", about: "places.name", check: oneName, set: func(b *boxfile.Description, v string) {
		b.Places = append(b.Places, boxfile.PlaceDescription{Name: v})
	}}, a.place)
}

func (a *interview) place(string) error {
	err := a.all(question{ask: "How many trains does it hold; 0 for no limit", about: "places.holds", fallback: "1", check: wholeNumber, set: func(b *boxfile.Description, v string) {
		last(b.Places).Holds, _ = strconv.Atoi(v)
	}})
	if err != nil {
		return err
	}
	p := last(a.box.Places)
	if p.Siding, err = a.yes("Does it lie clear of the running lines?", "places.siding", false); err != nil || p.Siding {
		return err
	}
	for _, s := range a.box.Sections {
		err := a.all(question{ask: "How far beyond the home signal for trains from " + s.Neighbour + ", as 440 (yards) or 400 m; empty when not on their way", about: "places.beyond-home", set: func(b *boxfile.Description, v string) {
			p := last(b.Places)
			p.BeyondHome = append(slices.Clone(p.BeyondHome), boxfile.Pair{Name: s.Neighbour, Value: boxfile.Number(v)})
		}})
		if err != nil {
			return err
		}
	}
	return nil
}

// people asks who is named in the book, and by what they sign on.
func (a *interview) people() (err error) {
	if err = a.named(); err == nil && len(a.box.People) > 0 {
		a.box.PINs, err = a.yes("Does who signs on give a PIN with the name?", "pins", false)
	}
	return err
}

func (a *interview) named() error {
	a.intro("The people who are named in the book; an empty answer ends the list.")
	return a.each(question{ask: "Person", about: "people.name", check: oneName, set: func(b *boxfile.Description, v string) {
		b.People = append(b.People, boxfile.PersonDescription{Name: v})
	}}, func(name string) error {
		return a.all(question{ask: "What is " + name, about: "people.role", fallback: boxfile.Roles[0], choices: boxfile.Roles,
			set: func(b *boxfile.Description, v string) { last(b.People).Role = v }})
	})
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
