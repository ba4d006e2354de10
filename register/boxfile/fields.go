package boxfile

import (
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"

	"go.yaml.in/yaml/v3"
)

// The readers of plain values, each told where the value goes.

func text[T any](at func(*T) *string) reader[T] {
	return func(d *decoder, n *yaml.Node, key string, to *T) { *at(to), _ = d.text(n, key) }
}

func word[T any](known []string, at func(*T) *string) reader[T] {
	return func(d *decoder, n *yaml.Node, key string, to *T) { *at(to), _ = d.word(n, key, known) }
}

func words[T any](known []string, at func(*T) *[]string) reader[T] {
	return func(d *decoder, n *yaml.Node, key string, to *T) { *at(to) = d.texts(n, key, known) }
}

func number[T any](at func(*T) *int) reader[T] {
	return func(d *decoder, n *yaml.Node, key string, to *T) { *at(to), _ = d.count(n, key) }
}

func flag[T any](at func(*T) *bool) reader[T] {
	return func(d *decoder, n *yaml.Node, key string, to *T) { *at(to), _ = d.flag(n, key) }
}

func tokens[T any](at func(*T) *[]int) reader[T] {
	return func(d *decoder, n *yaml.Node, key string, to *T) { *at(to) = d.tokens(n, key) }
}

// distance reads a clearing point, where 0 would silently mean the rule set's.
func distance[T any](at func(*T) *rulebook.Distance) reader[T] {
	return func(d *decoder, n *yaml.Node, key string, to *T) {
		v, ok := d.distance(n, key)
		if ok && v == 0 {
			d.fault(n, "%s must be more than 0; leave the key out to take the rule set's", key)
		}
		*at(to) = v
	}
}

// The readers of values with a meaning of their own.

func readZone(d *decoder, n *yaml.Node, key string, f *draft) {
	if z, ok := d.zone(n, key); ok {
		f.zone = z
	}
}

func readRules(d *decoder, n *yaml.Node, key string, f *draft) {
	if w, ok := d.word(n, key, rulebook.RuleSetNames()); ok {
		f.box.Rules = rulebook.RuleSetNamed(w)
	}
}

func readClockCheck(d *decoder, n *yaml.Node, key string, f *draft) {
	if t, ok := d.clock(n, key); ok {
		f.box.ClockCheck = t
	}
}

func readBooking(d *decoder, n *yaml.Node, key string, f *draft) {
	w, _ := d.word(n, key, bookingWords)
	f.box.Booking = ofWord[block.Booking](w, bookingWords)
}

func readMethod(d *decoder, n *yaml.Node, key string, s *sectionDraft) {
	w, _ := d.word(n, key, rulebook.Methods())
	s.Method, _ = rulebook.MethodNamed(w)
}

func readMethods(d *decoder, n *yaml.Node, key string, c *codeDraft) {
	c.Methods = methodsOf(d.texts(n, key, rulebook.Methods()))
}

func readWay(d *decoder, n *yaml.Node, key string, l *lineDraft) {
	w, _ := d.word(n, key, wayWords)
	l.Way, l.given = ofWord[block.Way](w, wayWords), true
}

func readSide(d *decoder, n *yaml.Node, key string, c *codeDraft) {
	w, _ := d.word(n, key, sideWords)
	c.From = ofWord[rulebook.Side](w, sideWords)
}

func readMeaning(d *decoder, n *yaml.Node, key string, c *codeDraft) {
	w, _ := d.word(n, key, meaningWords[1:])
	c.Means = ofWord[rulebook.Meaning](w, meaningWords)
}

func readClass(d *decoder, n *yaml.Node, key string, c *codeDraft) {
	if w, ok := d.word(n, key, classWords()); ok {
		c.Class = classes[slices.Index(classWords(), w)]
	}
	c.classed = true
}

func readBeats(d *decoder, n *yaml.Node, key string, c *codeDraft) {
	v, ok := d.text(n, key)
	if !ok {
		return
	}
	code, err := rulebook.ParseCode(v)
	if err != nil {
		d.fault(n, "%s: %v", key, err)
	}
	c.Code = code
}

func readTokens(d *decoder, n *yaml.Node, key string, s *sectionDraft) {
	at := tokenGroup.fill(d, n, &s.Tokens)
	if s.Tokens.Charge == nil && at["charge"] != nil && at["charge"].Value == "none" {
		d.fault(at["charge"], "charge: no tokens; leave %s out where there are none", key)
	}
	for _, t := range s.Tokens.Here {
		if s.Tokens.Charge != nil && !slices.Contains(s.Tokens.Charge, t) {
			d.fault(at["here"], "here: token %d is not on the charge list", t)
		}
	}
}

func readBeyondHome(d *decoder, n *yaml.Node, key string, p *placeDraft) {
	p.beyond = d.beyondHome(n, key)
}

// beyondHome reads distances by neighbour.
func (d *decoder) beyondHome(n *yaml.Node, key string) []located[block.BeyondHome] {
	return byName(d, n, key, "a distance by neighbour, such as {Name: 440}", func(name string, v *yaml.Node) (block.BeyondHome, bool) {
		dist, ok := d.distance(v, key)
		return block.BeyondHome{Section: name, Distance: dist}, ok
	})
}

func readMinutesFrom(d *decoder, n *yaml.Node, key string, c *crossingDraft) {
	c.from = byName(d, n, key, "minutes by box, such as {here: 2, Name: 3}", func(name string, v *yaml.Node) (block.MinutesFrom, bool) {
		t, ok := d.minutes(v, key)
		return block.MinutesFrom{Box: name, Time: t}, ok
	})
}

// byName reads a mapping whose keys are names.
func byName[T any](d *decoder, n *yaml.Node, key, says string, read func(string, *yaml.Node) (T, bool)) (out []located[T]) {
	if n.Kind != yaml.MappingNode {
		d.fault(n, "%s must give %s", key, says)
		return nil
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name, ok := d.text(n.Content[i], key)
		v, okToo := read(name, n.Content[i+1])
		if ok && okToo {
			out = append(out, located[T]{v: v, node: n.Content[i]})
		}
	}
	return out
}

// readFouls reads a list whose items are a section's name or a mapping.
func readFouls(d *decoder, n *yaml.Node, key string, p *placeDraft) {
	if n.Kind != yaml.SequenceNode {
		d.fault(n, "%s must be a list of neighbours' names, such as [Name]", key)
		return
	}
	for _, c := range n.Content {
		l := located[block.Foul]{node: c}
		if c.Kind == yaml.MappingNode {
			l.at = foulGroup.fill(d, c, &l.v)
		} else if name, ok := d.text(c, key); ok {
			l.v.Section = name
		}
		p.fouls = append(p.fouls, l)
	}
}
