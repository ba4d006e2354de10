package interview

import (
	"slices"

	"fairhand/block"
	"fairhand/register/boxfile"
)

// crossings asks for the level crossings worked or supervised from the box.
func (a *interview) crossings() error {
	a.intro("The level crossings whose users telephone you, whose keepers you tell, or that you work; an empty answer ends the list.")
	return a.each(question{ask: "Level crossing", about: "crossings.name", check: oneName, set: func(b *boxfile.Description, v string) {
		b.Crossings = append(b.Crossings, boxfile.CrossingDescription{Name: v})
	}}, a.crossing)
}

func (a *interview) crossing(string) error {
	err := a.all(
		question{ask: "How is it worked", about: "crossings.kind", choices: block.CrossingKinds, required: true,
			set: func(b *boxfile.Description, v string) { last(b.Crossings).Kind = v }},
		question{ask: "The neighbour in whose section it lies, or the place at your box", about: "crossings.section", required: true,
			set: func(b *boxfile.Description, v string) {
				c := last(b.Crossings)
				c.Section, c.Place = "", v
				if slices.ContainsFunc(b.Sections, func(s boxfile.SectionDescription) bool { return s.Neighbour == v }) {
					c.Section, c.Place = v, ""
				}
			}})
	if err != nil {
		return err
	}
	section := last(a.box.Crossings).Section
	if section == "" {
		return nil
	}
	minutes := func(from, says string) question {
		return question{ask: "Least minutes in which a train gets there after " + says + "; empty when not known", about: "crossings.minutes-from",
			set: func(b *boxfile.Description, v string) {
				c := last(b.Crossings)
				c.MinutesFrom = append(slices.Clone(c.MinutesFrom), boxfile.Pair{Name: from, Value: boxfile.Number(v)})
			}}
	}
	return a.all(minutes(block.FromHere, "it leaves here"), minutes(section, "it enters the section at "+section))
}
