package boxfile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/each"

	"go.yaml.in/yaml/v3"
)

// check holds the parts of a file against each other. Box.Prepare checks much
// of this again, but only here the lines are known.
func (d *decoder) check(f *draft) {
	unique(d, f.sections, "neighbour", "neighbour")
	unique(d, f.places, "name", "place")
	unique(d, f.signals, "name", "signal")
	unique(d, f.gear, "name", "gear")
	unique(d, f.crossings, "name", "crossing")
	unique(d, f.people, "name", "person")
	for i := range f.sections {
		d.checkSection(f, &f.sections[i])
	}
	for i := range f.places {
		d.checkPlace(f, &f.places[i].v)
	}
	for i := range f.signals {
		d.checkSignal(f, &f.signals[i])
	}
	for i := range f.gear {
		g := &f.gear[i]
		if g.v.Section != "" {
			d.sectionOf(f, g.where("section"), "gear", g.v.Section)
		}
		d.oneOf(g.where("place"), "gear", g.v.Place, "place of this box", namesOf(f.places, "name"))
		d.oneOf(g.where("crossing"), "gear", g.v.Crossing, "crossing of this box", namesOf(f.crossings, "name"))
		if g.v.Crossing == "" && g.v.Kind == "crossing-telephone" {
			d.fault(g.node, "gear %q: name the crossing whose telephone it is with the key \"crossing\"", g.v.Name)
		}
	}
	for i := range f.crossings {
		d.checkCrossing(f, &f.crossings[i])
	}
	for i := range f.codes {
		d.checkCode(f, i)
	}
}

// named lists the names a list gives under key, those that are faulty left out.
func named[T any](ls []located[T], key string) (names []*yaml.Node) {
	for i := range ls {
		if n := ls[i].at[key]; n != nil && n.Kind == yaml.ScalarNode && n.Value != "" {
			names = append(names, n)
		}
	}
	return names
}

func namesOf[T any](ls []located[T], key string) []string {
	return each.Of(named(ls, key), func(n *yaml.Node) string { return n.Value })
}

// unique refuses a name given twice, also when only its capitals differ: on the
// page the two could not be told apart.
func unique[T any](d *decoder, ls []located[T], key, what string) {
	names := named(ls, key)
	for i, n := range names {
		alike := func(o *yaml.Node) bool { return strings.EqualFold(o.Value, n.Value) }
		if first := slices.IndexFunc(names, alike); first < i {
			d.fault(n, "%s %q is given twice, first on line %d", what, n.Value, names[first].Line)
		}
	}
}

func (d *decoder) checkSection(f *draft, l *located[sectionDraft]) {
	s := &l.v
	unique(d, s.lines, "name", "line")
	if s.Neighbour != "" && s.Neighbour == f.box.Name {
		d.fault(l.where("neighbour"), "neighbour %q is this box itself; name the box at the other end", s.Neighbour)
	}
	if n := l.at["lines"]; n != nil && n.Kind == yaml.SequenceNode && len(s.lines) == 0 {
		d.fault(n, "lines: a section has at least one line")
	}
	m := l.at["method"]
	if m == nil || !slices.Contains(rulebook.Methods(), m.Value) {
		return // the rest depends on the method
	}
	s.Method = s.Method.Over(!slices.ContainsFunc(s.lines, func(l located[lineDraft]) bool { return l.v.Way != block.Both }))
	if r := f.box.Rules; r != nil && !r.Covers(s.Method) {
		d.fault(m, "method %q is not covered by rule set %s", m.Value, r.Name)
	}
	how, alone := s.Method.Is(), "trains follow one another under method permissive alone; leave it out"
	for _, row := range [...]struct {
		key   string
		fits  bool
		words string
	}{
		{"offer", !s.OnlyReported || !how.Single && how.Offers && (!how.ByBell || how.Described),
			"trains are only reported by telephone over a double line, or shown by a train describer on one worked by track circuit; leave it out"},
		{"trains", how.Follows, alone},
		{"source", how.Follows, alone},
		{"staff", how.Carries == rulebook.CarriesStaff, "there is no staff under method " + s.Method.String() + "; leave it out"},
		{"tokens", how.Carries != rulebook.CarriesNothing, "not used under method " + s.Method.String() + "; leave them out"},
	} {
		if n := l.at[row.key]; n != nil && !row.fits {
			d.fault(n, "%s: %s", row.key, row.words)
		}
	}
	for i := range s.lines {
		d.checkWay(s, &s.lines[i])
	}
}

// checkWay holds the way of a line against the method of its section.
func (d *decoder) checkWay(s *sectionDraft, l *located[lineDraft]) {
	of := fmt.Sprintf("line %q to %s", l.v.Name, s.Neighbour)
	switch v, single := l.v.Way, s.Method.Is().Single; {
	case single && v != block.Both:
		d.fault(l.where("way"), "%s: trains of both ways use a line worked by %s; leave way out", of, s.Method)
	case !single && !l.v.given:
		d.fault(l.node, "%s: way is missing; write out (away from this box) or in (towards it)", of)
	case !single && v == block.Both && l.where("way").Value == v.String():
		d.fault(l.where("way"), "%s: under method %s way is out (away from this box) or in (towards it)", of, s.Method)
	}
}

// sectionOf finds the section of a neighbour's name, and faults one that is
// not there.
func (d *decoder) sectionOf(f *draft, n *yaml.Node, what, name string) *sectionDraft {
	if s := each.First(f.sections, func(s *located[sectionDraft]) bool { return s.v.Neighbour == name }); s != nil {
		return &s.v
	}
	// With no neighbours at all that is the fault, and it has been reported.
	if names := namesOf(f.sections, "neighbour"); len(names) > 0 {
		d.oneOf(n, what, name, "neighbour of this box", names)
	}
	return nil
}

// lineOf checks a line's name against its section.
func (d *decoder) lineOf(s *sectionDraft, n *yaml.Node, what, name string) {
	d.oneOf(n, what, name, "line of the section to "+s.Neighbour, namesOf(s.lines, "name"))
}

// oneOf faults a name that is given and is none of a list.
func (d *decoder) oneOf(n *yaml.Node, what, name, of string, names []string) {
	if name != "" && !slices.Contains(names, name) {
		d.fault(n, "%s: %q is no %s; %s", what, name, of, suggest(name, names))
	}
}

// checkBeyond checks distances by neighbour.
func (d *decoder) checkBeyond(f *draft, beyond []located[block.BeyondHome]) {
	for i, b := range beyond {
		if slices.ContainsFunc(beyond[:i], func(o located[block.BeyondHome]) bool { return o.v.Section == b.v.Section }) {
			d.fault(b.node, "beyond-home: %q is given twice; keep one", b.v.Section)
		}
		d.sectionOf(f, b.node, "beyond-home", b.v.Section)
	}
}

func (d *decoder) checkPlace(f *draft, p *placeDraft) {
	d.checkBeyond(f, p.beyond)
	for i := range p.fouls {
		l := &p.fouls[i]
		if slices.ContainsFunc(p.fouls[:i], func(o located[block.Foul]) bool { return o.v == l.v }) {
			d.fault(l.node, "fouls: %q is given twice; keep one", l.v.Section)
		}
		if s := d.sectionOf(f, l.where("section"), "fouls", l.v.Section); s != nil {
			d.lineOf(s, l.where("line"), "fouls", l.v.Line)
		}
	}
}

// checkSignal also fills in the line where the section has only one.
func (d *decoder) checkSignal(f *draft, l *located[block.Signal]) {
	s := d.sectionOf(f, l.where("section"), "signals", l.v.Section)
	if s == nil {
		return
	}
	switch {
	case l.at["line"] != nil:
		d.lineOf(s, l.where("line"), "signals", l.v.Line)
	case len(s.lines) == 1:
		l.v.Line = s.lines[0].v.Name
	default:
		d.fault(l.node, "signal %q: line is missing; the section to %s has several: %s", l.v.Name, s.Neighbour, strings.Join(namesOf(s.lines, "name"), ", "))
	}
}

// checkCode settles what a code means and refuses one that could not be told
// from an earlier one.
func (d *decoder) checkCode(f *draft, i int) {
	l := &f.codes[i]
	c := &l.v
	switch {
	case l.at["signal"] != nil:
		if c.classed && c.Means != rulebook.Offer && c.Means != rulebook.MeansNothing {
			d.fault(l.where("class"), "class belongs to a code that offers a train; leave it out, or signal out")
		}
		if c.Words == "" && l.at["means"] == nil && c.Means != rulebook.MeansNothing {
			c.Words = strings.ReplaceAll(meaningWords[c.Means], "-", " ")
		}
	case c.classed:
		c.Means = rulebook.Offer
	default:
		c.Means = rulebook.LocalSignal
	}
	if l.at["signal"] == nil && l.at["means"] == nil {
		d.fault(l.node, "code %s: say in words what it means with the key \"means\"", c.Code)
	}
	c.Source = cmp.Or(c.Source, source)
	for j := range f.codes[:i] {
		if o := &f.codes[j].v; c.Code != "" && o.Code == c.Code && o.Means == c.Means && sides(o.From, c.From) && overlap(o.Methods, c.Methods) {
			d.fault(l.where("beats"), "code %s is given twice with the same effect, first on line %d", c.Code, f.codes[j].where("beats").Line)
			return
		}
	}
}

// sides says whether two codes may come from the same box.
func sides(a, b rulebook.Side) bool { return a == b || a == rulebook.Either || b == rulebook.Either }

// overlap says whether two lists of methods have one in common; none is all.
func overlap(a, b []rulebook.Method) bool {
	return len(a) == 0 || len(b) == 0 || slices.ContainsFunc(a, func(m rulebook.Method) bool { return slices.Contains(b, m) })
}
