package block_test

import (
	"fmt"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
)

// What a rule set declares, and what a box file allows, needs or sets, is read
// somewhere: with it changed, some book of the clauses is judged otherwise.

// knob is one thing that can be set, and what sets it otherwise in a box that is
// then prepared again; false where the box has nothing to change.
type knob struct {
	name string
	turn func(b *block.Box) bool
}

// notJudged are the fields that nothing is found by, with what they are for.
var notJudged = map[string]string{
	"RuleSet.Name": "a name", "RuleSet.Title": "words", "RuleSet.Source": "words", "RuleSet.ClearingPointSource": "words",
	"RuleSet.Methods": "held to by the box file", "RuleSet.Codes": "each row has tests of its own", "RuleSet.Limits": "turned one by one",
	"RuleSet.Abroad": "words", "RuleSet.Clauses": "words", "RuleSet.RoundUp": "how times are shown: the box's rounding, when its file sets none",
	"Section.Neighbour": "a name", "Section.Method": "the machine", "Section.Lines": "the lines", "Section.Tokens": "the tokens",
	"Section.Allow": "turned one by one", "Section.Needs": "turned one by one",
	"Section.Source": "words, and the severity of rules that wait for a source",
	"Place.Name":     "a name", "Gear.Name": "a name", "Signal.Name": "a name", "Crossing.Name": "a name", "Person.Name": "a name",
	"Box.Railway": "a name", "Box.Name": "a name", "Box.Rounding": "how times are shown", "Box.LockAfter": "the desk's own lock",
	"Box.Rules": "turned one by one", "Box.Limits": "turned one by one", "Box.Sections": "turned one by one", "Box.Places": "turned one by one",
	"Box.Gear": "turned one by one", "Box.Crossings": "turned one by one", "Box.People": "turned one by one",
	"Box.Signals": "turned one by one", "Box.Civil": "the clock's, and not in the box file; tests of its own",
}

// instead is what a word of a box is turned to where it cannot be left out.
var instead = map[string]func(b *block.Box) []string{
	"Crossing.Section":     func(b *block.Box) []string { return neighbours(b) },
	"Crossing.Place":       func(b *block.Box) []string { return placesOf(b) },
	"Crossing.Kind":        func(*block.Box) []string { return block.CrossingKinds },
	"Crossing.ReportClear": func(*block.Box) []string { return block.ReportClearWords },
}

func neighbours(b *block.Box) (out []string) {
	for _, s := range b.Sections {
		out = append(out, s.Neighbour)
	}
	return out
}

func placesOf(b *block.Box) (out []string) {
	for _, p := range b.Places {
		out = append(out, p.Name)
	}
	return out
}

func knobs() []knob {
	list := rulesKnobs()
	for n, w := range rulebook.LimitWords {
		for how, v := range map[string]rulebook.Seconds{"shorter": 1, "longer": 1000 * 60 * rulebook.Minute} {
			list = append(list, knob{"limit " + w.Key + " " + how, func(b *block.Box) bool { b.Limits[n].Value = v; return true }})
		}
	}
	for _, o := range rulebook.Allowances {
		list = append(list, optionKnob("allow ", o.Name, func(s *block.Section) *[]string { return &s.Allow }))
	}
	for _, o := range rulebook.Conditions {
		list = append(list, optionKnob("needs ", o.Name, func(s *block.Section) *[]string { return &s.Needs }))
	}
	list = append(list, fieldKnobs("Section", func(b *block.Box) []block.Section { return b.Sections })...)
	list = append(list, fieldKnobs("Place", func(b *block.Box) []block.Place { return b.Places })...)
	list = append(list, fieldKnobs("Gear", func(b *block.Box) []block.Gear { return b.Gear })...)
	list = append(list, fieldKnobs("Signal", func(b *block.Box) []block.Signal { return b.Signals })...)
	list = append(list, fieldKnobs("Crossing", func(b *block.Box) []block.Crossing { return b.Crossings })...)
	list = append(list, fieldKnobs("Person", func(b *block.Box) []block.Person { return b.People })...)
	return append(list, boxKnobs()...)
}

// rulesKnobs are the habits of a rule set.
func rulesKnobs() (list []knob) {
	for i := range reflect.TypeFor[rulebook.RuleSet]().NumField() {
		f := reflect.TypeFor[rulebook.RuleSet]().Field(i)
		name := "RuleSet." + f.Name
		if notJudged[name] != "" {
			continue
		}
		list = append(list, knob{name, func(b *block.Box) bool {
			rules := *b.Rules
			switch v := reflect.ValueOf(&rules).Elem().Field(i); v.Kind() {
			case reflect.Bool:
				v.SetBool(!v.Bool())
			case reflect.Uint8: // how trains follow
				v.SetUint(1 - v.Uint())
			default: // a distance
				v.SetInt(v.Int() * 3)
				for s := range b.Sections {
					b.Sections[s].ClearingPoint = 0
				}
			}
			b.Rules = &rules
			return true
		}})
	}
	return list
}

// boxKnobs leave out what a box file says of the box itself.
func boxKnobs() (list []knob) {
	for i := range reflect.TypeFor[block.Box]().NumField() {
		f := reflect.TypeFor[block.Box]().Field(i)
		name := "Box." + f.Name
		if !f.IsExported() || notJudged[name] != "" {
			continue
		}
		list = append(list, knob{name + " left out", func(b *block.Box) bool {
			v := reflect.ValueOf(b).Elem().Field(i)
			if f.Name == "ClockCheck" {
				v.SetInt(-1)
				return true
			}
			changed := !v.IsZero()
			v.SetZero()
			return changed
		}})
	}
	return list
}

// optionKnob takes a word of a list away where it is and puts it where it is not.
func optionKnob(what, name string, list func(*block.Section) *[]string) knob {
	return knob{what + name, func(b *block.Box) bool {
		for i := range b.Sections {
			words := list(&b.Sections[i])
			if at := slices.Index(*words, name); at >= 0 {
				*words = slices.Delete(slices.Clone(*words), at, at+1)
			} else {
				*words = append(slices.Clone(*words), name)
			}
		}
		return true
	}}
}

// fieldKnobs leave each field of a part of the box out.
func fieldKnobs[T any](part string, of func(*block.Box) []T) (list []knob) {
	for i := range reflect.TypeFor[T]().NumField() {
		field := reflect.TypeFor[T]().Field(i)
		name := part + "." + field.Name
		if notJudged[name] != "" || !field.IsExported() {
			continue
		}
		list = append(list, knob{name + " left out", func(b *block.Box) (changed bool) {
			parts := of(b)
			for k := range parts {
				v := reflect.ValueOf(&parts[k]).Elem().Field(i)
				if v.IsZero() {
					continue
				}
				was := v.Interface()
				if v.SetZero(); instead[name] != nil {
					for _, w := range instead[name](b) {
						if w != was.(string) {
							v.SetString(w)
						}
					}
				}
				changed = changed || !reflect.DeepEqual(v.Interface(), was)
			}
			return changed
		}})
	}
	return list
}

// judged is one book of the clauses, read, and what is found in it.
type judged struct {
	box   *block.Box
	book  []block.Event
	found string
}

func everyClause(t *testing.T) []*judged {
	t.Helper()
	var all []*judged
	files, err := filepath.Glob("testdata/clauses/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal(len(files), err)
	}
	for _, path := range files {
		for _, c := range readClauses(t, path) {
			for _, b := range c.books {
				all = append(all, readJudged(t, b))
			}
		}
	}
	return all
}

func readJudged(t *testing.T, b clauseBook) *judged {
	t.Helper()
	file, err := boxfile.Load(filepath.Join("testdata/clauses/boxes", b.box+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	j := &judged{box: file.Box}
	if j.book, err = notation.ParseAll(strings.NewReader("date 2026-05-05\n"+strings.Join(b.lines, "\n")+"\n"), file.Location); err != nil {
		t.Fatal(err)
	}
	for i := range j.book {
		j.book[i].Seq = int64(i + 1)
	}
	j.found = j.play(file.Box)
	return j
}

func (j *judged) play(b *block.Box) string {
	var out strings.Builder
	run := block.NewRunner(b, block.NewState(b))
	for i := range j.book {
		ev := j.book[i]
		for _, f := range run.Step(&ev) {
			fmt.Fprintln(&out, f.Seq, f.Rule, f.Severity)
		}
	}
	for _, f := range run.Finish() {
		fmt.Fprintln(&out, f.Seq, f.Rule, f.Severity)
	}
	for _, m := range block.Live(b, run.Look()) {
		fmt.Fprintln(&out, m)
	}
	return out.String()
}

// turned is what is found with the knob turned; ok is false where it changes nothing
// of the box, or makes a box that is none.
func (j *judged) turned(k knob) (found string, ok bool) {
	b := *j.box
	b.Sections, b.Places, b.Gear = slices.Clone(b.Sections), slices.Clone(b.Places), slices.Clone(b.Gear)
	b.Signals, b.Crossings, b.People = slices.Clone(b.Signals), slices.Clone(b.Crossings), slices.Clone(b.People)
	if !k.turn(&b) || b.Prepare() != nil {
		return "", false
	}
	return j.play(&b), true
}

// TestEveryKnobTurns walks over every habit, limit, allowance and condition, and what
// else a box file says of its sections, places and gear.
func TestEveryKnobTurns(t *testing.T) {
	if testing.Short() {
		t.Skip("every clause with everything changed")
	}
	books := everyClause(t)
	turns := map[string]bool{}
	for _, k := range knobs() {
		name := strings.TrimSuffix(strings.TrimSuffix(k.name, " shorter"), " longer")
		if turns[name] {
			continue
		}
		turns[name] = slices.ContainsFunc(books, func(j *judged) bool {
			found, ok := j.turned(k)
			return ok && found != j.found
		})
	}
	for name, ok := range turns {
		if !ok {
			t.Errorf("%s is declared and changes nothing in any book of the clauses", name)
		}
	}
	t.Logf("%d things that can be set, %d books", len(turns), len(books))
}
