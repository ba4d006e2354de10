package boxfile

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"fairhand/register/each"
)

// What a box has come by, a person, a place or a signal, may be put into its file in a
// line of words, as at a desk. It becomes a row at the end of its list; everything else
// in the file stays letter by letter.

// Addition is a sort of row that may be put into the file so: what comes after its word
// are the values of its keys, in their order.
type Addition struct {
	Word    string // "person"
	Keys    []string
	Least   int // how many of them are given at least
	Says    string
	Example string
	list    string // the key of the list
}

// Additions are the sorts of rows.
var Additions = []Addition{
	{"person", []string{"name", "role"}, 2, "somebody who is to be named in the book", `new person "B. Newman" signaller`, "people"},
	{"gear", []string{"name", "kind"}, 2, "equipment that may fail or be taken out of use", `new gear "Points 8" points`, "gear"},
	{"place", []string{"name", "holds"}, 1, "a place where a train can stand, and how many it holds", `new place "Down Loop" 1`, "places"},
	{"signal", []string{"name", "kind", "section", "line"}, 3, "a signal that the book may name", `new signal "Up Starting" section Stangill "Up Main"`, "signals"},
}

// Form is how a line that adds such a row is written.
func (a *Addition) Form() string {
	words := []string{"new", a.Word}
	for i, k := range a.Keys {
		k = strings.ToUpper(k)
		if i >= a.Least {
			k = "[" + k + "]"
		}
		words = append(words, k)
	}
	return strings.Join(words, " ")
}

// AdditionOf is the sort of row that a line adds; nil for a line that adds none.
func AdditionOf(line string) *Addition {
	words := strings.Fields(line)
	if len(words) < 2 || words[0] != "new" {
		return nil
	}
	return each.First(Additions, func(a *Addition) bool { return a.Word == words[1] })
}

// With is the file with a row of that sort, its values in the order of the keys. The
// error is a *Faults when the row does not fit the box.
func (f *File) With(a *Addition, values []string) (*File, error) {
	if len(values) < a.Least || len(values) > len(a.Keys) {
		return nil, fmt.Errorf("a new %s is written %s, such as %s", a.Word, a.Form(), a.Example)
	}
	row := &yaml.Node{Kind: yaml.MappingNode, Style: yaml.FlowStyle}
	for i, v := range values {
		key, value := &yaml.Node{}, &yaml.Node{}
		key.SetString(a.Keys[i])
		value.SetString(v)
		row.Content = append(row.Content, key, value)
	}
	text, err := yaml.Marshal(row)
	if err != nil {
		return nil, fmt.Errorf("the row of a new %s: %w", a.Word, err)
	}
	return Decode(strings.NewReader(inserted(f.Text, a.list, strings.TrimSpace(string(text)))), f.Path)
}

// inserted is a box file's text with a row at the end of one of its lists, which is
// begun when the file has none.
func inserted(text, list, row string) string {
	ending := "\n"
	if strings.Contains(text, "\r\n") {
		ending = "\r\n"
	}
	if !strings.HasSuffix(text, "\n") {
		text += ending
	}
	n := listed(text, list)
	if n == nil {
		return text + list + ":" + ending + "  - " + row + ending
	}
	lines := strings.SplitAfter(text, "\n")
	end := n.Line // lines are counted from 1: this is the one behind
	if len(n.Content) > 0 {
		end = n.Content[len(n.Content)-1].Line
	}
	if n.Style&yaml.FlowStyle != 0 {
		return bracketed(text, len(strings.Join(lines[:end-1], "")), list, row, len(n.Content))
	}
	dash := strings.Repeat(" ", n.Column-1)
	for at := end; at < len(lines); at++ {
		if l := lines[at]; strings.HasPrefix(l, dash+" ") {
			end = at + 1
		} else if strings.TrimSpace(l) != "" {
			break
		}
	}
	return strings.Join(lines[:end], "") + dash + "- " + row + ending + strings.Join(lines[end:], "")
}

// listed is a list of a box file's text; nil when the file has none.
func listed(text, list string) *yaml.Node {
	var doc yaml.Node
	if yaml.Unmarshal([]byte(text), &doc) != nil || len(doc.Content) == 0 {
		return nil
	}
	top := doc.Content[0].Content
	for i := 0; i+1 < len(top); i += 2 {
		if top[i].Value == list {
			return top[i+1]
		}
	}
	return nil
}

// bracketed puts the row before the bracket that ends a list of n rows: the first from
// where its last row begins behind which the list has one row more.
func bracketed(text string, from int, list, row string, n int) string {
	if n > 0 {
		row = ", " + row
	}
	for i := from; i < len(text); i++ {
		if text[i] != ']' {
			continue
		}
		longer := text[:i] + row + text[i:]
		if l := listed(longer, list); l != nil && len(l.Content) == n+1 {
			return longer
		}
	}
	return text
}
