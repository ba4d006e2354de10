package interview

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/each"
)

// crossings asks for the level crossings worked or supervised from the box.
func (a *interview) crossings() error {
	a.intro("The level crossings whose users telephone you, whose keepers you tell, or that you work; an empty answer ends the list.")
	return a.each(question{ask: "Level crossing", about: "crossings.name", check: oneName, set: func(b *boxfile.Description, v string) {
		b.Crossings = append(b.Crossings, boxfile.CrossingDescription{Name: v})
	}}, a.crossing)
}

// ofCrossing puts an answer into the crossing described last.
func ofCrossing(set func(*boxfile.CrossingDescription, string)) func(*boxfile.Description, string) {
	return func(b *boxfile.Description, v string) { set(last(b.Crossings), v) }
}

func (a *interview) crossing(name string) error {
	where := append(a.neighbours(), each.Of(a.box.Places, func(p boxfile.PlaceDescription) string { return p.Name })...)
	err := a.all(
		question{ask: "How is it worked", about: "crossings.kind", choices: block.CrossingKinds, required: true,
			set: ofCrossing(func(c *boxfile.CrossingDescription, v string) { c.Kind = v })},
		question{ask: "The neighbour in whose section it lies, or the place at your box", about: "crossings.section", required: true, choices: where,
			set: ofCrossing(func(c *boxfile.CrossingDescription, v string) {
				c.Section, c.Place = "", v
				if slices.Contains(a.neighbours(), v) {
					c.Section, c.Place = v, ""
				}
			})})
	if err != nil {
		return err
	}
	if section := last(a.box.Crossings).Section; section != "" {
		if err := a.all(minutesTo(block.FromHere, "it leaves here"), minutesTo(section, "it enters the section at "+section)); err != nil {
			return err
		}
	}
	if err := a.guards(); err != nil {
		return err
	}
	switch last(a.box.Crossings).Kind {
	case block.UserWorked:
		return a.all(
			question{ask: "Which users are to report clear", about: "crossings.report-clear", choices: block.ReportClearWords, fallback: block.ReportClearWords[0],
				titles: []string{"those with a large, low or slow vehicle, or animals", "everybody"},
				set:    ofCrossing(func(c *boxfile.CrossingDescription, v string) { c.ReportClear = v })},
			question{ask: "Its telephone, as it is named when it fails", about: "crossings.telephone", fallback: name + " telephone", check: oneName,
				set: func(b *boxfile.Description, v string) {
					b.Gear = append(b.Gear, boxfile.GearDescription{Name: v, Kind: "crossing-telephone", Crossing: name})
				}})
	case block.KeeperCrossing:
		err := a.all(question{ask: "When is the keeper told of a train", about: "crossings.told-before", choices: block.ToldBeforeWords,
			titles: []string{"before line clear is given or got", "before the signals are taken off", "as soon as it has gone"},
			set:    ofCrossing(func(c *boxfile.CrossingDescription, v string) { c.ToldBefore = v })})
		if err != nil {
			return err
		}
		last(a.box.Crossings).PrivateNumbers, err = a.yes("Are private numbers exchanged with the keeper?", "crossings.private-numbers", false)
		return err
	}
	return nil
}

// minutesTo asks how soon a train can be at the crossing after a report of it.
func minutesTo(from, says string) question {
	return question{ask: "Least minutes in which a train gets there after " + says + "; empty when not known", about: "crossings.minutes-from",
		set: ofCrossing(func(c *boxfile.CrossingDescription, v string) {
			c.MinutesFrom = append(slices.Clone(c.MinutesFrom), boxfile.Pair{Name: from, Value: boxfile.Number(v)})
		})}
}

// guards asks for the signals that keep trains from the crossing, of those described.
func (a *interview) guards() error {
	names := each.Of(a.box.Signals, func(s boxfile.SignalDescription) string { return s.Name })
	if len(names) == 0 {
		return nil
	}
	return a.all(question{ask: "Signals that keep trains from it (" + strings.Join(names, ", ") + "), several with commas; empty for none", about: "crossings.protected-by",
		check: func(v string) error {
			for _, n := range listed(v) {
				if !slices.Contains(names, n) {
					return fmt.Errorf("%q is no signal of those described: %s", n, strings.Join(names, ", "))
				}
			}
			return nil
		},
		set: ofCrossing(func(c *boxfile.CrossingDescription, v string) { c.ProtectedBy = listed(v) })})
}

// listed is an answer of several names with commas.
func listed(answer string) (names []string) {
	for n := range strings.SplitSeq(answer, ",") {
		if n = strings.TrimSpace(n); n != "" {
			names = append(names, n)
		}
	}
	return names
}

// neighbours are the boxes described.
func (a *interview) neighbours() []string {
	return each.Of(a.box.Sections, func(s boxfile.SectionDescription) string { return s.Neighbour })
}
