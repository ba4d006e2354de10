package boxfile

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// changesTold is how many changes are told one by one.
const changesTold = 12

// Changes tells in words what one description says otherwise than another: each key
// with what it says now and what it said before.
func Changes(old, now *File) string {
	was, is := told(old.Text), told(now.Text)
	var words []string
	for _, k := range is.keys {
		before, had := was.values[k]
		switch {
		case !had:
			words = append(words, strings.TrimSuffix(k+" "+is.values[k], " ")+", was not given")
		case before != is.values[k]:
			words = append(words, fmt.Sprintf("%s %s, was %s", k, is.values[k], before))
		}
	}
	for _, k := range was.keys {
		if _, has := is.values[k]; !has {
			words = append(words, strings.TrimSuffix(k+" no longer given, was "+was.values[k], ", was "))
		}
	}
	if n := len(words) - changesTold; n > 0 {
		words = append(words[:changesTold], fmt.Sprintf("and %d more", n))
	}
	if len(words) == 0 {
		return "only its comments, its order or its layout"
	}
	return strings.Join(words, "; ")
}

// flat is a description as keys in words, each with its value.
type flat struct {
	keys   []string
	values map[string]string
}

func told(text string) *flat {
	f := &flat{values: map[string]string{}}
	var doc yaml.Node
	if yaml.Unmarshal([]byte(text), &doc) == nil {
		f.walk("", &doc)
	}
	return f
}

// walk notes what a node says under the words that lead to it.
func (f *flat) walk(at string, n *yaml.Node) {
	switch n.Kind {
	case yaml.DocumentNode:
		f.walk(at, n.Content[0])
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			f.walk(strings.TrimSpace(at+" "+n.Content[i].Value), n.Content[i+1])
		}
	case yaml.SequenceNode:
		var plain []string
		for _, c := range n.Content {
			if c.Kind == yaml.MappingNode {
				f.item(at, c)
			} else {
				plain = append(plain, c.Value)
			}
		}
		if len(plain) > 0 || len(n.Content) == 0 {
			f.add(at, "["+strings.Join(plain, ", ")+"]")
		}
	default:
		f.add(at, n.Value)
	}
}

func (f *flat) add(key, value string) {
	if _, twice := f.values[key]; !twice {
		f.keys = append(f.keys, key)
	}
	f.values[key] = strings.Join(strings.Fields(value), " ")
}

// item notes what one of a list says under the name by which it is known, and of one that
// has nothing but its name, that.
func (f *flat) item(at string, n *yaml.Node) {
	rest := *n
	for i := 0; i+1 < len(n.Content); i += 2 {
		if slices.Contains([]string{"neighbour", "name", "beats", "section"}, n.Content[i].Value) {
			at = strings.TrimSpace(at + " " + n.Content[i+1].Value)
			rest.Content = slices.Delete(slices.Clone(n.Content), i, i+2)
			break
		}
	}
	if f.walk(at, &rest); len(rest.Content) == 0 {
		f.add(at, "")
	}
}
