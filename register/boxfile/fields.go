package boxfile

import (
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"

	"go.yaml.in/yaml/v3"
)

// The readers of plain values, each told where the value goes.

// value reads by one of the decoder's ways, and leaves what a fault was found in as it was.
func value[T, V any](read func(d *decoder, n *yaml.Node, key string) (V, bool), at func(*T) *V) reader[T] {
	return func(d *decoder, n *yaml.Node, key string, to *T) {
		if v, ok := read(d, n, key); ok {
			*at(to) = v
		}
	}
}

func text[T any](at func(*T) *string) reader[T] { return value((*decoder).text, at) }

func number[T any](at func(*T) *int) reader[T] { return value((*decoder).count, at) }

func flag[T any](at func(*T) *bool) reader[T] { return value((*decoder).flag, at) }

func minutes[T any](at func(*T) *block.Time) reader[T] { return value((*decoder).minutes, at) }

// constant reads a word of a list that is in the order of its constants, of which those
// before the first known one are not written.
func constant[T any, C ~uint8](words []string, first C, at func(*T) *C) reader[T] {
	return func(d *decoder, n *yaml.Node, key string, to *T) {
		w, _ := d.word(n, key, words[first:])
		*at(to) = ofWord[C](w, words)
	}
}

func word[T any](known []string, at func(*T) *string) reader[T] {
	return func(d *decoder, n *yaml.Node, key string, to *T) { *at(to), _ = d.word(n, key, known) }
}

func words[T any](known []string, at func(*T) *[]string) reader[T] {
	return func(d *decoder, n *yaml.Node, key string, to *T) { *at(to) = d.texts(n, key, known) }
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

func readRules(d *decoder, n *yaml.Node, key string, f *draft) {
	if w, ok := d.word(n, key, rulebook.RuleSetNames()); ok {
		f.box.Rules = rulebook.RuleSetNamed(w)
	}
}

func readMethod(d *decoder, n *yaml.Node, key string, s *sectionDraft) {
	w, _ := d.word(n, key, rulebook.Methods())
	s.Method, _ = rulebook.MethodNamed(w)
}

func readMethods(d *decoder, n *yaml.Node, key string, c *codeDraft) {
	for _, w := range d.texts(n, key, rulebook.Methods()) {
		m, _ := rulebook.MethodNamed(w)
		c.Methods = append(c.Methods, m)
	}
}

func readWay(d *decoder, n *yaml.Node, key string, l *lineDraft) {
	w, _ := d.word(n, key, wayWords)
	l.Way, l.given = ofWord[block.Way](w, wayWords), true
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
