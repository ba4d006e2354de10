package legalday

import (
	"fmt"
	"strings"
)

// Habit is how much of a bell exchange is written, and on how many lines.
type Habit uint8

// The habits of booking that registers show.
const (
	Exchange Habit = iota // call attention, signal and answers on one line
	EachBell              // each bell on a line of its own
	Signals               // the signal alone, as in most printed registers
)

// Naming is which entries of bells name their train.
type Naming uint8

// The habits of naming.
const (
	NameAll    Naming = iota // every bell
	NameOffers               // the offer alone: the columns of a row do the rest
	NameNone                 // no bell; only arrivals, departures and passings
)

// Options is which box is worked, and how its book is kept.
type Options struct {
	Rules     string   // rule set of the box
	Methods   []string // method of the section to each neighbour, two or three
	Habit     Habit
	Naming    Naming
	BellsOnly bool // departures are told by train entering section alone
	Message   bool // sections are worked by message for a while
	Pilot     bool // or by pilot
	Single    bool // or one line of a double line is used both ways
	Releases  bool // releases are used
	PINs      bool // signing on asks for a PIN
	Further   bool // trains made up, points, parties, examinations
	Crossing  bool // a user-worked crossing in the first section, on double line
	Running   bool // the box file has the running times
	Quiet     bool // no incidents: trains only
	Night     bool // the twelve hours of the other half of the clock, over midnight
	Last      int  // hour of the last train, 21 when 0
	Seed      uint64
}

// Variant is a set of options under a name of its own.
type Variant struct {
	Name string
	Options
}

// Variants lists every way of working the tests try: each method and rule set,
// two and three sections, double and single lines, and the ways of booking.
func Variants() []Variant {
	var out []Variant
	add := func(name, rules, methods string, edit func(*Options)) {
		o := Options{Rules: rules, Methods: strings.Fields(methods)}
		if edit != nil {
			edit(&o)
		}
		out = append(out, Variant{name, o})
	}
	for _, l := range layouts {
		for _, rules := range l.rules {
			add(rules+" "+l.name, rules, l.methods, nil)
		}
	}
	for _, l := range methodLayouts {
		for _, rules := range l.rules {
			add(rules+" "+l.name, rules, l.methods, nil)
		}
	}
	add("british-later double, releases", "british-later", layouts[0].methods, func(o *Options) { o.Releases = true })
	for _, l := range []layout{layouts[0], layouts[2], layouts[3]} {
		for _, rules := range everySet {
			add(rules+" "+l.name+", further entries", rules, l.methods, func(o *Options) { o.Further = true })
		}
	}
	for _, rules := range []string{"british-early", "british-later"} {
		add(rules+" double, single line working", rules, layouts[0].methods, func(o *Options) { o.Single = true })
	}
	add("british-later double and token, single line working", "british-later", layouts[2].methods, func(o *Options) { o.Single = true })
	for _, b := range bookings {
		for _, l := range []layout{layouts[0], layouts[2], layouts[3]} {
			add("british-later "+l.name+", "+b.name, "british-later", l.methods, b.edit)
		}
	}
	for _, rules := range later {
		add(rules+" double and token, over midnight", rules, layouts[2].methods, func(o *Options) { o.Night = true })
	}
	add("british-early double, bells not named", "british-early", "absolute absolute", bookings[3].edit)
	add("indian-general loop, bells not named", "indian-general", "token token", bookings[3].edit)
	bare := bookings[6]
	add("british-early double, "+bare.name, "british-early", layouts[0].methods, bare.edit)
	for _, rules := range everySet {
		add(rules+" double, double and token, "+bare.name, rules, layouts[4].methods, bare.edit)
	}
	add("indian-general tokenless, "+bare.name, "indian-general", "absolute tokenless", bare.edit)
	return out
}

// shift is what the hours of the day are put later by.
func (o *Options) shift() int {
	if o.Night {
		return midnight / 2
	}
	return 0
}

type layout struct {
	name, methods string
	rules         []string
}

var (
	everySet = []string{"british-early", "british-later", "indian-general"}
	later    = []string{"british-later", "indian-general"}
)

// layouts are the boxes worked. Tokenless block came after the period of the
// early set; staff and ticket is worked by block in the British sets, by interval in the
// Indian one.
var layouts = []layout{
	{"double", "absolute absolute", everySet},
	{"three double", "absolute absolute absolute", everySet},
	{"double and token", "absolute token", everySet},
	{"loop", "token token", everySet},
	{"double, double and token", "absolute absolute token", everySet},
	{"staff and ticket", "absolute staff-and-ticket", everySet},
	{"one train", "absolute one-train", everySet},
	{"tokenless", "absolute tokenless", later},
	{"tokenless loop", "tokenless tokenless", later},
}

// methodLayouts are boxes with the further methods, on one side or on both.
var methodLayouts = []layout{
	{"telephone", "telephone telephone/double", everySet},
	{"double and telephone", "absolute telephone", everySet},
	{"axle counter", "axle-counter axle-counter/double", []string{"indian-general"}},
	{"token and axle counter", "token axle-counter", []string{"indian-general"}},
	{"permissive", "permissive absolute", []string{"british-early", "british-later"}},
	{"permissive, both sides", "permissive permissive", []string{"british-later"}},
	{"track circuit", "absolute track-circuit", []string{"british-later"}},
	{"track circuit, both sides", "track-circuit track-circuit", []string{"british-later"}},
	{"track circuit and telephone", "track-circuit telephone", []string{"british-later"}},
}

var bookings = []struct {
	name string
	edit func(*Options)
}{
	{"each bell a line", func(o *Options) { o.Habit = EachBell }},
	{"signals only", func(o *Options) { o.Habit = Signals }},
	{"offers named", func(o *Options) { o.Naming = NameOffers }},
	{"bells not named", func(o *Options) { o.Naming = NameNone }},
	{"departures by bell", func(o *Options) { o.BellsOnly = true }},
	{"departures by bell, offers named", func(o *Options) { o.BellsOnly, o.Naming = true, NameOffers }},
	{"departures by bell, bells not named", func(o *Options) { o.BellsOnly, o.Naming = true, NameNone }},
	{"running times known", func(o *Options) { o.Running = true }},
	{"by message", func(o *Options) { o.Message = true }},
	{"by pilot", func(o *Options) { o.Pilot = true }},
	{"with PINs", func(o *Options) { o.PINs = true }},
}

// neighbours are the boxes around ours, and the lines to each as the direction
// of the first two makes them: Up runs from Coldbeck to Saltgarth.
var neighbours = [3]struct{ name, towards, in, out string }{
	{"Coldbeck", "down", "Up", "Down"},
	{"Saltgarth", "up", "Down", "Up"},
	{"Thorsay", "up", "Branch Down", "Branch Up"},
}

// boxFile writes the description of the box. The instructions allow what the
// published rules leave to them: restricted acceptance, shunting ahead, both
// ways at the loop.
func (o *Options) boxFile() string {
	var b, signals strings.Builder
	frames := ""
	fmt.Fprintf(&b, "railway: Thrackley Vale Railway\nbox: Ennerholme\ntimezone: UTC\nrules: %s\nclock-check: %q\n", o.Rules, clock(o.shift()+9*3600))
	if o.Habit == Signals {
		b.WriteString("booking: signals\n")
	}
	b.WriteString("sections:\n")
	for i, m := range o.Methods {
		n := neighbours[i]
		fmt.Fprintf(&b, "  - neighbour: %s\n    method: %s\n    towards: %s\n", n.name, strings.TrimSuffix(m, "/double"), n.towards)
		b.WriteString(ways[m].lines(n.in, n.out))
		if m == "absolute" {
			b.WriteString("    allow: [restricted-acceptance, shunt-ahead]\n")
		}
		if ways[m].most > 0 {
			fmt.Fprintf(&b, "    trains: %d\n    source: box instructions 14\n", ways[m].most)
		}
		if o.Running {
			b.WriteString("    running-minutes: {passenger: 6, freight: 6}\n")
		}
		if m == "token" {
			fmt.Fprintf(&b, "    tokens: {charge: \"%d-%d\", here: \"%d-%d\"}\n", 20*i+1, 20*i+12, 20*i+1, 20*i+6)
		}
	}
	b.WriteString("places:\n  - {name: Platform 1, holds: 1}\n  - {name: Platform 2, holds: 1}\n  - {name: Loop, holds: 1}\n  - {name: Yard, holds: 40, siding: true}\n")
	for i, m := range o.Methods {
		if m == "absolute" {
			fmt.Fprintf(&b, "  - {name: %s home, holds: 1, fouls: [%s]}\n", neighbours[i].name, neighbours[i].name)
		}
	}
	for i, m := range o.Methods {
		if m == "absolute" && o.Further {
			fmt.Fprintf(&b, "  - {name: %s home signal, holds: 1, at-signal: true, fouls: [%s]}\n", neighbours[i].name, neighbours[i].name)
			frames += fmt.Sprintf("  - {name: %s frame, kind: ground-frame, section: %s}\n", neighbours[i].name, neighbours[i].name)
		}
	}
	for i, m := range o.Methods {
		if n := neighbours[i]; m == "absolute" {
			fmt.Fprintf(&signals, "  - {name: %s starting, section: %s, line: %s, kind: section}\n", n.name, n.name, n.out)
		}
	}
	if signals.Len() > 0 {
		b.WriteString("signals:\n" + signals.String())
	}
	if o.Crossing {
		n := neighbours[0]
		fmt.Fprintf(&b, "crossings:\n  - {name: Mill Lane, kind: user-worked, section: %s, minutes-from: {here: 2, %s: 3}, protected-by: [%s starting]}\n", n.name, n.name, n.name)
	}
	b.WriteString("gear:\n  - {name: Points 5, kind: points}\n" + frames + "people:\n")
	for _, p := range people {
		fmt.Fprintf(&b, "  - {name: %s, role: signaller}\n", p)
	}
	b.WriteString("  - {name: R. Garth, role: inspector}\n  - {name: T. Hale, role: pilot}\n")
	if o.PINs {
		b.WriteString("  - {name: L. Marsh, role: trainee}\npins: true\n")
	}
	return b.String()
}

var people = []string{"A. Fell", "R. Howe", "S. Gray"}

// Neighbours are the names of the boxes around, in the order of Methods.
func Neighbours() []string {
	var out []string
	for _, n := range neighbours {
		out = append(out, n.name)
	}
	return out
}
