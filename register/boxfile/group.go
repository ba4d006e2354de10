package boxfile

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"fairhand/register/each"
)

// reader takes the value of a key into what is being described.
type reader[T any] func(d *decoder, n *yaml.Node, key string, to *T)

// field is one key of a mapping: the only place that knows it.
type field[T any] struct {
	name string
	must bool
	says string // one line of explanation, without a full stop
	read reader[T]
}

// group is the keys of one kind of mapping.
type group[T any] struct {
	path   string // "" at the top level, else such as sections.lines
	fields []field[T]
}

// located is a value with the nodes it was read from.
type located[T any] struct {
	v    T
	node *yaml.Node
	at   map[string]*yaml.Node // value by key
}

// where is the node of a key's value, or the whole when the key is left out.
func (l *located[T]) where(key string) *yaml.Node {
	if n := l.at[key]; n != nil {
		return n
	}
	return l.node
}

// decoder gathers the faults of one file.
type decoder struct {
	faults Faults
	known  []Key // all keys, to say where a misplaced one belongs
}

func (d *decoder) fault(n *yaml.Node, format string, a ...any) {
	d.faults.List = append(d.faults.List, Fault{n.Line, fmt.Sprintf(format, a...)})
}

// title is how faults name the group.
func (g *group[T]) title() string {
	if g.path == "" {
		return "at the top level"
	}
	return "in " + g.path[strings.LastIndexByte(g.path, '.')+1:]
}

// fill reads a mapping. What it can read it does, so that one fault does not
// hide the others.
func (g *group[T]) fill(d *decoder, n *yaml.Node, to *T) (at map[string]*yaml.Node) {
	at = map[string]*yaml.Node{}
	if n.Kind != yaml.MappingNode {
		d.fault(n, "%s: write keys with values here, such as %q", strings.TrimPrefix(g.title(), "in "), g.fields[0].name+": ...")
		return at
	}
	first := map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		f := g.field(key)
		switch line := first[key.Value]; {
		case f == nil:
			d.fault(key, "unknown key %q %s; %s", key.Value, g.title(), g.instead(d, key.Value))
		case line > 0:
			d.fault(key, "key %q is given twice %s, first on line %d; keep one", key.Value, g.title(), line)
		default:
			first[key.Value], at[key.Value] = key.Line, value
			f.read(d, value, f.name, to)
		}
	}
	for i := range g.fields {
		if f := &g.fields[i]; f.must && at[f.name] == nil {
			d.fault(n, "key %q is missing %s: %s", f.name, g.title(), f.says)
		}
	}
	return at
}

func (g *group[T]) field(key *yaml.Node) *field[T] {
	return each.First(g.fields, func(f *field[T]) bool { return key.Kind == yaml.ScalarNode && f.name == key.Value })
}

// instead says what an unknown key may have been meant for.
func (g *group[T]) instead(d *decoder, word string) string {
	names := each.Of(g.fields, func(f field[T]) string { return f.name })
	if Nearest(word, names) == "" {
		for _, k := range d.known {
			if k.Name() == word {
				if up := k.Group(); up != "" {
					return fmt.Sprintf("it belongs under %s", up)
				}
				return "it belongs at the top level"
			}
		}
	}
	return suggest(word, names)
}

// list reads a list of mappings.
func (g *group[T]) list(d *decoder, n *yaml.Node, key string) []located[T] {
	if n.Kind != yaml.SequenceNode {
		d.fault(n, "%s must be a list; begin each item with %q", key, "- "+g.fields[0].name+":")
		return nil
	}
	items := make([]located[T], len(n.Content))
	for i, c := range n.Content {
		items[i].node = c
		items[i].at = g.fill(d, c, &items[i].v)
	}
	return items
}

// keys lists the group for the reference.
func (g *group[T]) keys() []Key {
	return each.Of(g.fields, func(f field[T]) Key {
		return Key{Path: strings.TrimPrefix(g.path+"."+f.name, "."), Required: f.must, Says: f.says}
	})
}

// values takes the plain values out of their located forms.
func values[T any](ls []located[T]) []T {
	if len(ls) == 0 {
		return nil
	}
	return each.Of(ls, func(l located[T]) T { return l.v })
}
