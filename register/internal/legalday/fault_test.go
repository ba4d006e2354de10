package legalday

import (
	"math/rand/v2"
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// Fault is a regulation really broken on an otherwise legal day, with what it is
// against and the rules that may say so.
type Fault struct {
	Name   string
	Source string            // publication and clause, in our own words
	Rules  []rulebook.RuleID // that may name it; none: any finding will do
	Box    Options
	make   func(e *edit) bool
}

type ids = []rulebook.RuleID

// Faults lists every fault, those of the absolute block first.
func Faults() []Fault {
	return slices.Concat(acceptingFaults, enteringFaults, clearingFaults, tokenFaults, staffFaults, methodFaults, furtherFaults, otherFaults, bookFaults, peopleFaults, presumedFaults)
}

// On breaks the rule on a copy of the day. The finding is due on one of the
// entries from first to last; ok is false when the day has no place for it.
func (f Fault) On(d *Day, rng *rand.Rand) (broken *Day, first, last int, ok bool) {
	c := *d
	c.Acts = slices.Clone(d.Acts)
	e := &edit{Day: &c, rng: rng, first: -1}
	ok = f.make(e)
	return e.Day, e.first, e.last, ok && e.first >= 0
}

// The boxes the faults are made at.
var (
	atDouble     = Options{Rules: "british-later", Methods: []string{"absolute", "absolute"}, Last: 11}
	atEarly      = Options{Rules: "british-early", Methods: []string{"absolute", "absolute"}, Last: 11}
	atLoop       = Options{Rules: "british-later", Methods: []string{"token", "token"}, Last: 11}
	atStaff      = Options{Rules: "british-later", Methods: []string{"absolute", "staff-and-ticket"}, Last: 11}
	atBranch     = Options{Rules: "british-later", Methods: []string{"absolute", "one-train"}, Last: 11}
	atTokenless  = Options{Rules: "british-later", Methods: []string{"absolute", "tokenless"}, Last: 11}
	atIndian     = Options{Rules: "indian-general", Methods: []string{"token", "token"}, Last: 11}
	atFullDay    = Options{Rules: "british-later", Methods: []string{"absolute", "absolute"}}
	atTimed      = Options{Rules: "british-later", Methods: []string{"absolute", "absolute"}, Last: 11, Running: true}
	atMessage    = Options{Rules: "british-later", Methods: []string{"absolute", "absolute"}, Last: 11, Message: true}
	atPilot      = Options{Rules: "british-later", Methods: []string{"token", "token"}, Last: 11, Pilot: true}
	atPINs       = Options{Rules: "british-later", Methods: []string{"token", "token"}, Last: 11, PINs: true}
	atPINsAllDay = Options{Rules: "british-later", Methods: []string{"token", "token"}, PINs: true}
	atSingleLine = Options{Rules: "british-later", Methods: []string{"absolute", "absolute"}, Last: 11, Single: true}
)

// edit is a day on which a fault is being made.
type edit struct {
	*Day
	rng         *rand.Rand
	first, last int // entries on which the finding is due
}

// pick finds an entry of a kind, somewhere in the busy part of the day: on a
// section worked by the method ("" for any), its words holding the given ones.
func (e *edit) pick(k Kind, method, words string) int {
	return e.pickIf(k, method, func(i int) bool { return strings.Contains(e.Acts[i].Line(), words) })
}

func (e *edit) pickIf(k Kind, method string, also func(i int) bool) int {
	var at []int
	for i := range e.Acts {
		a := &e.Acts[i]
		if a.Kind == k && a.At > 6*3600+1200 && (method == "" || e.method(a.Section) == method) && also(i) {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		return -1
	}
	return at[e.rng.IntN(len(at))]
}

func (e *edit) method(section string) string {
	for i, m := range e.Options.Methods {
		if neighbours[i].name == section {
			return m
		}
	}
	return ""
}

// next is the next entry of the kind after i about the same train and section;
// -1 for none.
func (e *edit) next(i int, k Kind) int {
	return e.find(i, 1, func(a *Act) bool { return a.Kind == k && a.Train == e.Acts[i].Train })
}

// before is the last one before i.
func (e *edit) before(i int, k Kind) int {
	return e.find(i, -1, func(a *Act) bool { return a.Kind == k && a.Train == e.Acts[i].Train })
}

func (e *edit) find(i, way int, is func(*Act) bool) int {
	if i < 0 {
		return -1
	}
	for j := i + way; j >= 0 && j < len(e.Acts); j += way {
		if e.Acts[j].Section == e.Acts[i].Section && is(&e.Acts[j]) {
			return j
		}
	}
	return -1
}

// put writes further entries after entry i, in its minute: the finding is due on
// one of them. $S is the neighbour of entry i, $X its train, $in and $out the
// lines, other words with $ the beats of the rule set.
func (e *edit) put(i int, lines ...string) bool {
	if i < 0 {
		return false
	}
	e.first, e.last = i+1, i+len(lines)
	e.write(i, lines...)
	return true
}

// write is put without a say about where the finding is due; ahead is write
// before entry i.
func (e *edit) write(i int, lines ...string) {
	e.Acts = slices.Insert(e.Acts, i+1, e.entries(i, lines)...)
}

func (e *edit) ahead(i int, lines ...string) {
	e.Acts = slices.Insert(e.Acts, i, e.entries(i, lines)...)
}

// entries are lines as of the section, train and minute of entry i.
func (e *edit) entries(i int, lines []string) []Act {
	a, c := e.Acts[i], codeBooks[e.Options.Rules]
	in, out := "Single", "Single"
	for k, m := range e.Options.Methods {
		if neighbours[k].name == a.Section && m == "absolute" {
			in, out = neighbours[k].in, neighbours[k].out
		}
	}
	words := strings.NewReplacer("$S", a.Section, "$X", a.Train, "$in", quote(in), "$out", quote(out), "$offer", c.offers[1][0],
		"$clear", c.clear, "$cancel", c.cancel, "$removed", c.removed, "$danger", c.danger)
	var more []Act
	for _, l := range lines {
		more = append(more, Act{Kind: Remark, Section: a.Section, At: a.At, Body: words.Replace(l)})
	}
	return more
}

// due says between which entries the finding is due.
func (e *edit) due(first, last int) bool {
	e.first, e.last = first, last
	return first >= 0 && last >= first
}

// drop leaves an entry out, because what it told was not done: the finding is due
// by entry last at the latest (an index before the entry is taken out), and not
// before entry from.
func (e *edit) drop(i, from, last int) bool {
	if i < 0 || last < 0 {
		return false
	}
	e.Acts = slices.Delete(e.Acts, i, i+1)
	if last > i {
		last--
	}
	if from > i {
		from--
	}
	return e.due(from, last)
}

// move does entry i before entry to, in its minute: the finding is due there.
func (e *edit) move(i, to int) bool {
	if i < 0 || to < 0 || to > i {
		return false
	}
	a := e.Acts[i]
	a.At = e.Acts[to].At
	e.Acts = slices.Insert(slices.Delete(e.Acts, i, i+1), to, a)
	return e.due(to, to)
}

// change writes other words in an entry: the finding is due on it, or by last.
func (e *edit) change(i int, old, now string, last int) bool {
	if i < 0 || last < i || !strings.Contains(e.Acts[i].Body+e.Acts[i].Tail, old) {
		return false
	}
	e.Acts[i].Body = strings.Replace(e.Acts[i].Body, old, now, 1)
	e.Acts[i].Tail = strings.Replace(e.Acts[i].Tail, old, now, 1)
	return e.due(i, last)
}
