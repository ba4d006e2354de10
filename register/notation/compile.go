package notation

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"fairhand/block"
	"fairhand/register/each"
)

// node is a point in the required beginning of the entries. From it lead
// words, or one slot, or both (after a section: bells or a word); at its end
// stands the rule that has been recognised.
type node struct {
	words []edge
	slot  *slot
	then  *node // after slot
	// reserved are the words that could come after slot: a name must be quoted
	// if it is one of them, so that a forgotten name is noticed.
	reserved []string
	rule     *rule
	byWord   map[string]*node // the same as words, of the root: it has many
}

type edge struct {
	word string
	next *node
	says string // help, when only one form lies behind
}

// rule is a compiled form.
type rule struct {
	Form
	head []element
	tail []part
	// reserved are the words that begin a part, and "written".
	reserved []string
	fields   uint32 // bit set of the fields the form has
	counts   bool   // has OTHER, which is -1 unless given
}

// element is a word or, when word is empty, a slot of the required beginning.
type element struct {
	word string
	slot *slot
	at   *node // where the element leads from
}

// part is an optional part: [word SLOT] or [SLOT].
type part struct {
	word string
	slot *slot
}

// quoted tells whether the part may begin with a quoted text: of two such parts
// the first text in the line belongs to the first.
func (t *part) quoted() bool {
	return t.word == "" && (t.slot.value == valueText || t.slot.value == valueName)
}

const (
	wordDate    = "date"
	wordWritten = "written"
)

// grammar is the compiled table.
type grammar struct {
	root  *node
	rules *[block.Kinds]*rule
}

// compiled gives the table, compiled when it is first asked for. A mistake in the
// table is a mistake in the program, found the first time anything is read.
var compiled = sync.OnceValue(func() *grammar {
	root, rules, err := compile(Groups)
	if err != nil {
		panic("notation: grammar table: " + err.Error())
	}
	root.byWord = make(map[string]*node, len(root.words))
	for _, e := range root.words {
		root.byWord[e.word] = e.next
	}
	return &grammar{root, rules}
})

func compile(groups []Group) (*node, *[block.Kinds]*rule, error) {
	root, rules := new(node), new([block.Kinds]*rule)
	for _, g := range groups {
		for _, f := range g.Forms {
			if rules[f.Kind] != nil {
				return nil, nil, fmt.Errorf("%q: the kind has a form already", f.Pattern)
			}
			r, err := newRule(f)
			if err == nil {
				err = r.plant(root)
			}
			if err != nil {
				return nil, nil, fmt.Errorf("%q: %w", f.Pattern, err)
			}
			rules[f.Kind] = r
		}
	}
	reserve(root)
	root.reserved = append(root.reserved, wordDate)
	return root, rules, nil
}

// newRule splits a pattern into the required beginning and the parts.
func newRule(f Form) (*rule, error) {
	r := &rule{Form: f}
	head, rest, _ := strings.Cut(f.Pattern, " [")
	for _, w := range strings.Fields(head) {
		e := element{word: w}
		if s, err := slotFor(w); err != nil {
			return nil, err
		} else if s != nil {
			e.word, e.slot = "", s
			r.has(s)
		}
		r.head = append(r.head, e)
	}
	if rest == "" {
		r.reserved = []string{wordWritten}
		return r, nil
	}
	for _, text := range strings.Split(strings.TrimSuffix(rest, "]"), "] [") {
		p := part{}
		words := strings.Fields(text)
		if len(words) == 2 {
			p.word, words = words[0], words[1:]
		}
		s, err := slotFor(words[0])
		if err != nil || s == nil || len(words) != 1 {
			return nil, fmt.Errorf("part [%s] is neither [SLOT] nor [word SLOT]", text)
		}
		if named := s.value == valueName && len(r.tail) == 0; p.word == "" && !named && s.value != valueChoice && s.value != valueText {
			return nil, fmt.Errorf("part [%s] cannot be told from the parts beside it", text)
		}
		p.slot = s
		r.has(s)
		r.tail = append(r.tail, p)
		if p.word != "" {
			r.reserved = append(r.reserved, p.word)
		} else {
			r.reserved = append(r.reserved, s.words...)
		}
	}
	r.reserved = append(r.reserved, wordWritten)
	return r, nil
}

func (r *rule) has(s *slot) {
	r.fields |= 1 << s.field
	r.counts = r.counts || s.field == fieldOther
	if s.value == valueSpan {
		r.fields |= 1 << fieldOther
	}
}

func slotFor(word string) (*slot, error) {
	if word != strings.ToUpper(word) {
		return nil, nil
	}
	s := each.First(slots, func(s *slot) bool { return s.word == word })
	if s == nil {
		return nil, fmt.Errorf("no slot %s", word)
	}
	return s, nil
}

// plant adds the required beginning of the rule to the tree.
func (r *rule) plant(root *node) error {
	at := root
	for i := range r.head {
		e := &r.head[i]
		e.at = at
		switch {
		case at.rule != nil:
			return fmt.Errorf("begins with all of %q", at.rule.Pattern)
		case e.slot == nil:
			at = at.child(e.word, r.Says)
		case at.slot == nil:
			at.slot, at.then = e.slot, new(node)
			at = at.then
		case at.slot == e.slot:
			at = at.then
		default:
			return fmt.Errorf("%s where another form has %s", e.slot.word, at.slot.word)
		}
	}
	if at.rule != nil || at.slot != nil || len(at.words) > 0 {
		return fmt.Errorf("is the beginning of another form")
	}
	at.rule = r
	return nil
}

// after is the node to which a word leads, nil for none.
func (n *node) after(word string) *node {
	if n.byWord != nil {
		return n.byWord[word]
	}
	for i := range n.words {
		if n.words[i].word == word {
			return n.words[i].next
		}
	}
	return nil
}

// child is the node after word, made if it is new.
func (n *node) child(word, says string) *node {
	for i := range n.words {
		if n.words[i].word == word {
			n.words[i].says = ""
			return n.words[i].next
		}
	}
	next := new(node)
	n.words = append(n.words, edge{word, next, says})
	return next
}

// reserve fills in the reserved words of every slot below n.
func reserve(n *node) {
	for _, e := range n.words {
		reserve(e.next)
	}
	if n.slot == nil {
		return
	}
	if n.then.rule != nil {
		n.reserved = slices.Clone(n.then.rule.reserved)
	}
	n.reserved = append(n.reserved, edgeWords(n.then.words)...)
	reserve(n.then)
}
