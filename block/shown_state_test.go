package block_test

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"fairhand/block"
	"fairhand/register/notation"
)

// fact is one thing that stands after an entry: of what, which, and how. Of a list of
// which is no list of fields, each element is one, and how is empty.
type fact struct{ of, which, how string }

// shown is what stands after an entry.
type shown struct {
	b     *block.Box
	s     *block.State
	loc   *time.Location
	next  []block.Expectation
	facts []fact
	had   map[[2]string]bool
	has   map[string]bool
}

// unsaid are the fields of a state that are told otherwise, or move with every entry.
var unsaid = []string{"Now", "LastAt", "LastSeq", "Begun", "First", "NextID", "Touched", "Answers", "Open"}

func shownNow(b *block.Box, s *block.State, loc *time.Location, found []block.Finding) *shown {
	n := &shown{b: b, s: s, loc: loc, had: make(map[[2]string]bool, 128), has: map[string]bool{}}
	n.next = block.Expected(b, s)
	for _, e := range n.next {
		who, asks := "<", ""
		if e.Mine {
			who = ">"
		}
		for _, a := range []struct {
			asks bool
			what string
		}{{e.AskCode, " beats?"}, {e.AskTrain, " train?"}, {e.AskNumber, " number?"}, {e.Untold, " untold"}, {e.AskPN, " private number?"}, {e.AskCall, " call?"}, {e.AskProof, " complete?"}} {
			asks += block.So(a.asks, a.what)
		}
		n.add(who, e.Label, asks+"  "+notation.FormatBody(e.Event)+block.So(e.Clears != "", "  ("+e.Clears+")"))
	}
	for _, l := range block.Live(b, s) {
		n.add("relief", l.Name, fmt.Sprintf("(%d)%s%s %s", l.Seq, block.So(l.Tick, " tick"), block.So(l.Owed, " owed"), strings.TrimPrefix(l.Text, l.Name+": ")))
	}
	for _, d := range block.Due(b, s, s.Now+24*60*block.Minute) {
		n.add("due", strings.Join(block.WordsOf(d.Where, d.Train, d.Text), ", "), n.clock(d.Due)+block.So(d.Awaited, " awaited"))
	}
	for i := range b.Crossings {
		if words, grave, _ := block.CrossingSays(b, s, i, s.Now); words != "" {
			n.add("at", b.Crossings[i].Name, words+block.So(grave, "!"))
		}
	}
	for i := range found {
		f := &found[i]
		what := fmt.Sprintf("%d %s %s", f.Seq, f.Rule, f.Line)
		if s.MayAnswer(f) {
			n.add("may be answered", what, "")
		}
		if s.MayStandAgain(f) {
			n.add("may stand again", what, "")
		}
	}
	v := reflect.ValueOf(s).Elem()
	for _, f := range exported(v.Type()) {
		if !slices.Contains(unsaid, f.Name) {
			n.field("box", f.Name, v.Field(f.Index[0]))
		}
	}
	return n
}

func (n *shown) add(of, which, how string) {
	n.facts = append(n.facts, fact{of, which, how})
	n.had[[2]string{of, which}], n.has[of] = true, true
}

// inTurn writes what is expected, in its order.
func (n *shown) inTurn(out *strings.Builder) {
	for _, e := range n.next {
		fmt.Fprintf(out, "   in turn %+.4g %s%s\n", float64(e.Wanted-n.s.Now)/float64(block.Minute), e.Label, block.So(e.Act != block.NoAct, " ("+e.Act.String()+")"))
	}
}

// since writes what came, and what went, after another moment.
func (n *shown) since(out *strings.Builder, before *shown) {
	was := make(map[fact]bool, len(before.facts))
	for _, f := range before.facts {
		was[f] = true
	}
	var of []string
	changed := map[string][]string{}
	note := func(what, words string) {
		if changed[what] == nil {
			of = append(of, what)
		}
		changed[what] = append(changed[what], words)
	}
	for _, f := range n.facts {
		if !was[f] {
			note(f.of, strings.TrimSpace(f.which+" "+f.how))
		}
	}
	for _, f := range before.facts {
		if !n.had[[2]string{f.of, f.which}] && !strings.HasPrefix(f.which, "closed ") && (n.has[f.of] || !strings.HasPrefix(f.of, "train ")) {
			note(f.of, "no "+short(f.which))
		}
	}
	for _, what := range of {
		sep := "; "
		if what == "<" || what == ">" {
			sep = "\n   " + what + " "
		}
		fmt.Fprintf(out, "   %s %s\n", what, strings.Join(changed[what], sep))
	}
}

// short is enough of what went to know it by.
func short(what string) string {
	if words := strings.Fields(what); len(words) > 6 {
		return strings.Join(words[:6], " ") + " ..."
	}
	return what
}

// field adds what a field of something comes to.
func (n *shown) field(of, name string, v reflect.Value) {
	if v.Kind() == reflect.Struct && v.IsZero() {
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		n.field(of, name, v.Elem())
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[block.CarriedToken]() {
			if c := v.Interface().(block.CarriedToken); !c.Any && c.Number == 0 {
				return
			}
		}
		n.fields(of, name+".", v)
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			n.element(of, name, i, v.Index(i))
		}
	default:
		if how := n.word(name, v); how != "" {
			n.add(of, name, how)
		}
	}
}

func (n *shown) fields(of, under string, v reflect.Value) {
	for _, f := range exported(v.Type()) {
		x := v.Field(f.Index[0])
		if f.Name == "ID" || f.Name == "Name" || f.Name != "Section" && f.Name != "Line" && x.Kind() != reflect.Array && x.IsZero() {
			continue // the first section, and the first line, are 0 and told
		}
		n.field(of, under+f.Name, x)
	}
}

var exportedOf sync.Map // by type: a book asks for the same few after each entry

func exported(t reflect.Type) []reflect.StructField {
	if known, ok := exportedOf.Load(t); ok {
		return known.([]reflect.StructField)
	}
	fields := slices.DeleteFunc(reflect.VisibleFields(t), func(f reflect.StructField) bool { return !f.IsExported() || len(f.Index) > 1 })
	exportedOf.Store(t, fields)
	return fields
}

// element adds one of a list: of what has a name its fields, of anything else the whole.
func (n *shown) element(of, list string, i int, v reflect.Value) {
	v = reflect.Indirect(v)
	switch v.Type() {
	case reflect.TypeFor[block.Train]():
		name := n.train(int(v.FieldByName("ID").Int()))
		if list == "Closed" {
			n.add(of, "closed "+name, "")
			return
		}
		n.fields("train "+name, "", v)
		return
	case reflect.TypeFor[block.LineState]():
		n.fields(n.line(i), "", v)
		return
	case reflect.TypeFor[block.CrossingState]():
		n.fields(n.b.Crossings[i].Name, "", v)
		return
	}
	if v.Kind() == reflect.Struct && slices.Contains([]string{"Bells", "Circuits", "Tokens", "Staffs"}, list) {
		n.fields(n.b.Sections[i].Neighbour, "", v)
		return
	}
	if words := n.words(list, v); words != "" {
		if strings.HasPrefix(list, "Where") {
			words = strconv.Itoa(i+1) + " " + words
		}
		n.add(of, list+" "+words, "")
	}
}

// words tells a value whole.
func (n *shown) words(name string, v reflect.Value) string {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return ""
		}
		return n.words(name, v.Elem())
	case reflect.Struct:
		var parts []string
		for _, f := range exported(v.Type()) {
			if w := n.words(f.Name, v.Field(f.Index[0])); w != "" {
				parts = append(parts, f.Name+" "+w)
			}
		}
		return strings.Join(parts, " ")
	case reflect.Slice, reflect.Array:
		var parts []string
		for i := range v.Len() {
			parts = append(parts, n.words(name, v.Index(i)))
		}
		return strings.Join(block.WordsOf(parts...), ", ")
	}
	return n.word(name, v)
}

// word tells a value that is one, "" for none.
func (n *shown) word(name string, v reflect.Value) string {
	if s, ok := v.Interface().(fmt.Stringer); ok && !v.IsZero() {
		return s.String()
	}
	name = name[strings.LastIndex(name, ".")+1:]
	switch v.Kind() {
	case reflect.Bool:
		return block.So(v.Bool(), "yes")
	case reflect.String:
		return v.String()
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		i := v.Int()
		switch {
		case v.Type() == reflect.TypeFor[block.Time]():
			return n.clock(block.Time(i))
		case name == "Train" || name == "Helps" || name == "PartOf":
			return n.train(int(i))
		case name == "Section":
			return n.section(int(i))
		case name == "Line":
			return n.line(int(i))
		case i == 0:
			return ""
		}
		return strconv.FormatInt(i, 10)
	}
	if v.IsZero() {
		return ""
	}
	return fmt.Sprint(v.Interface())
}

// clock is a moment as the book has it, and a length of time in minutes.
func (n *shown) clock(at block.Time) string {
	switch when := time.Unix(int64(at), 0).In(n.loc); {
	case at == 0:
		return ""
	case at < 24*60*block.Minute:
		return fmt.Sprintf("%.3gmin", float64(at)/float64(block.Minute))
	case at%block.Minute != 0:
		return when.Format("15:04:05")
	default:
		return when.Format("15:04")
	}
}

func (n *shown) train(id int) string {
	if id == 0 {
		return ""
	}
	for _, t := range slices.Concat(n.s.Trains, n.s.Closed) {
		if t.ID == id {
			return cmp.Or(t.Name, "#"+strconv.Itoa(id))
		}
	}
	return "#" + strconv.Itoa(id)
}

func (n *shown) section(i int) string {
	if i < 0 || i >= len(n.b.Sections) {
		return ""
	}
	return n.b.Sections[i].Neighbour
}

func (n *shown) line(i int) string {
	for _, l := range n.b.Lines() {
		if l.Index == i {
			return n.b.Sections[l.Section].Neighbour + " " + l.Line.Name
		}
	}
	return ""
}
