package boxfile

import (
	"fmt"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
)

// Key is one key of box.yaml for the reference.
type Key struct {
	Path     string // from the top level, such as sections.lines.name
	Required bool
	Says     string // one line of explanation
}

// Name is the key itself, Group the keys above it ("" at the top level).
func (k Key) Name() string { return k.Path[strings.LastIndexByte(k.Path, '.')+1:] }

// Group is the path of the keys above, "" at the top level.
func (k Key) Group() string { return k.Path[:max(strings.LastIndexByte(k.Path, '.'), 0)] }

// Keys lists every key of box.yaml, each group after the key that holds it.
func Keys() []Key {
	below := map[string][]Key{}
	for _, ks := range [][]Key{
		sectionGroup.keys(), lineGroup.keys(), tokenGroup.keys(), runningGroup.keys(), placeGroup.keys(), foulGroup.keys(),
		signalGroup.keys(), gearGroup.keys(), crossingGroup.keys(), personGroup.keys(), codeGroup.keys(), limitGroup.keys(),
	} {
		below[ks[0].Group()] = ks
	}
	var keys []Key
	var add func([]Key)
	add = func(ks []Key) {
		for _, k := range ks {
			keys = append(keys, k)
			add(below[k.Path])
		}
	}
	add(topGroup.keys())
	return keys
}

// Reference is Keys as text, one line a key, indented as in the file.
func Reference() string {
	var b strings.Builder
	for _, k := range Keys() {
		indent := strings.Repeat("  ", strings.Count(k.Path, "."))
		mark := ""
		if k.Required {
			mark = " (required)"
		}
		fmt.Fprintf(&b, "%-24s %s%s\n", indent+k.Name()+":", k.Says, mark)
	}
	return b.String()
}

// draft is a box file as read, before its parts are checked against each other.
type draft struct {
	box       block.Box
	zone      *time.Location
	timetable string
	limits    rulebook.Limits // those given have a Source
	sections  []located[sectionDraft]
	places    []located[placeDraft]
	signals   []located[block.Signal]
	gear      []located[block.Gear]
	crossings []located[crossingDraft]
	people    []located[block.Person]
	codes     []located[codeDraft]
}

type sectionDraft struct {
	block.Section
	lines []located[lineDraft]
}

type lineDraft struct {
	block.Line
	given bool // way is in the file
}

type placeDraft struct {
	block.Place
	beyond []located[block.BeyondHome]
	fouls  []located[block.Foul]
}

type crossingDraft struct {
	block.Crossing
	from   []located[block.MinutesFrom]
	beyond []located[block.BeyondHome]
}

type codeDraft struct {
	rulebook.CodeRow
	classed bool // class is in the file
}

var topGroup = group[draft]{"", []field[draft]{
	{"railway", false, "name of the railway, for the heading of the book", text(func(f *draft) *string { return &f.box.Railway })},
	{"box", true, "name of this signal box", text(func(f *draft) *string { return &f.box.Name })},
	{"timezone", false, "zone of the clock in the box, such as Europe/London; UTC when left out", value((*decoder).zone, func(f *draft) **time.Location { return &f.zone })},
	{"rules", true, "rule set the box works under: " + strings.Join(rulebook.RuleSetNames(), ", "), readRules},
	{"rounding", false, "how times are shown: " + strings.Join(calendar.Roundings, ", ") + "; when left out, as the rule set has it", word(calendar.Roundings, func(f *draft) *string { return &f.box.Rounding })},
	{"clock-check", false, "local time of the daily clock check, such as \"09:00\"; none when left out", value((*decoder).clock, func(f *draft) *block.Time { return &f.box.ClockCheck })},
	{"booking", false, "what is booked of bells: exchanges (with attention and answers; when left out) or signals only: an offer then counts as accepted, at no time that is told, unless it is booked as refused", constant(bookingWords, 0, func(f *draft) *block.Booking { return &f.box.Booking })},
	{"sections", true, "list of the block sections, one for each neighbouring box", func(d *decoder, n *yaml.Node, key string, f *draft) { f.sections = sectionGroup.list(d, n, key) }},
	{"places", false, "list of the places within station limits where a train can stand", func(d *decoder, n *yaml.Node, key string, f *draft) { f.places = placeGroup.list(d, n, key) }},
	{"signals", false, "list of the signals the book may name", func(d *decoder, n *yaml.Node, key string, f *draft) { f.signals = signalGroup.list(d, n, key) }},
	{"gear", false, "list of the equipment that failures and disconnections may name", func(d *decoder, n *yaml.Node, key string, f *draft) { f.gear = gearGroup.list(d, n, key) }},
	{"crossings", false, "list of the level crossings worked or supervised from this box", func(d *decoder, n *yaml.Node, key string, f *draft) { f.crossings = crossingGroup.list(d, n, key) }},
	{"people", false, "list of those who may be named in the book", func(d *decoder, n *yaml.Node, key string, f *draft) { f.people = personGroup.list(d, n, key) }},
	{"pins", false, "true when who signs on gives a PIN with the name; set with fairhand pin NAME", flag(func(f *draft) *bool { return &f.box.PINs })},
	{"lock-after", false, "minutes without a key after which the desk locks itself; 0 or left out for never", minutes(func(f *draft) *block.Time { return &f.box.LockAfter })},
	{"countersign", false, "list of what another hand countersigns beside disconnections: " + strings.Join(block.Seconds, ", "), words(block.Seconds, func(f *draft) *[]string { return &f.box.Second })},
	{"codes", false, "list of bell codes this box has beside those of the rule set", func(d *decoder, n *yaml.Node, key string, f *draft) { f.codes = codeGroup.list(d, n, key) }},
	{"limits", false, "times allowed in minutes, where this box differs from the rule set", func(d *decoder, n *yaml.Node, _ string, f *draft) { limitGroup.fill(d, n, &f.limits) }},
	{"timetable", false, "file with the timetable, beside box.yaml, such as weekday.csv", text(func(f *draft) *string { return &f.timetable })},
}}

var sectionGroup = group[sectionDraft]{"sections", []field[sectionDraft]{
	{"neighbour", true, "name of the box at the other end of the section", text(func(s *sectionDraft) *string { return &s.Neighbour })},
	{"method", true, "how the section is worked: " + strings.Join(rulebook.Methods(), ", "), readMethod},
	{"lines", true, "list of the running lines of the section", func(d *decoder, n *yaml.Node, key string, s *sectionDraft) { s.lines = lineGroup.list(d, n, key) }},
	{"towards", false, "direction of a train going to this neighbour: up or down", word(towardsWords, func(s *sectionDraft) *string { return &s.Towards })},
	{"clearing-point", false, "distance beyond the home signal, yards as 440 or metres as \"400 m\"; the rule set's when left out", distance(func(s *sectionDraft) *rulebook.Distance { return &s.ClearingPoint })},
	{"allow", false, "list of what this box's instructions authorise: " + strings.Join(optionWords(rulebook.Allowances), ", "), words(optionWords(rulebook.Allowances), func(s *sectionDraft) *[]string { return &s.Allow })},
	{"needs", false, "list of conditions on accepting a train: " + strings.Join(optionWords(rulebook.Conditions), ", "), words(optionWords(rulebook.Conditions), func(s *sectionDraft) *[]string { return &s.Needs })},
	{"tokens", false, "the tokens (tablets, staffs) of the section", readTokens},
	{"staff", false, "where the staff is when the book begins: here, or away (at the other end); not known when left out", constant(staffWords, 1, func(s *sectionDraft) *block.StaffPlace { return &s.Staff })},
	{"running-minutes", false, "longest regular running time in minutes, by class of train", func(d *decoder, n *yaml.Node, _ string, s *sectionDraft) { runningGroup.fill(d, n, &s.Section) }},
	{"shares", false, "list of the neighbours whose token section lies over the same rails (long and short sections)", words(nil, func(s *sectionDraft) *[]string { return &s.Shares })},
	{"converges", false, "list of the neighbours whose trains need the same line within the clearing point as trains from this one", words(nil, func(s *sectionDraft) *[]string { return &s.Converges })},
	{"offer", false, "false where trains are only reported and not offered, by telephone over a double line, or described by a train describer on one worked by track circuit; true when left out", func(d *decoder, n *yaml.Node, key string, s *sectionDraft) {
		offer, ok := d.flag(n, key)
		s.OnlyReported = ok && !offer
	}},
	{"trains", false, "most trains in the section at once, where a train may follow another (permissive)", number(func(s *sectionDraft) *int { return &s.Trains })},
	{"source", false, "the instruction by which trains follow one another here; with it what is against it is a danger", text(func(s *sectionDraft) *string { return &s.Source })},
	{"long-section", false, "list of the boxes beyond, reached when a box between is switched out", words(nil, func(s *sectionDraft) *[]string { return &s.LongSection })},
	{"long-running-minutes", false, "running-minutes while the section is worked with a box beyond; running-minutes when left out", func(d *decoder, n *yaml.Node, _ string, s *sectionDraft) {
		var long block.Section
		runningGroup.fill(d, n, &long)
		s.LongRunning = long.Running
	}},
	{"long-clearing-point", false, "clearing-point while the section is worked with a box beyond; clearing-point when left out", distance(func(s *sectionDraft) *rulebook.Distance { return &s.LongClearing })},
}}

var lineGroup = group[lineDraft]{"sections.lines", []field[lineDraft]{
	{"name", true, "name of the line", text(func(l *lineDraft) *string { return &l.Name })},
	{"way", false, "out (away from this box) or in (towards it); left out or both on a single line", readWay},
}}

var tokenGroup = group[block.Tokens]{"sections.tokens", []field[block.Tokens]{
	{"charge", true, "every token on the charge list: \"1-12\", \"1-6,9\" or a list of numbers", tokens(func(t *block.Tokens) *[]int { return &t.Charge })},
	{"here", true, "tokens in our instrument when the book begins, written as charge, or none", tokens(func(t *block.Tokens) *[]int { return &t.Here })},
	{"low-stock", false, "advise the technician when our instrument falls to this many; 0 or left out for never", number(func(t *block.Tokens) *int { return &t.LowStock })},
}}

var runningGroup = group[block.Section]{"sections.running-minutes", runningFields()}

func runningFields() []field[block.Section] {
	fields := make([]field[block.Section], len(classes))
	for i, c := range classes {
		says := "minutes for the class " + c.String()
		if c == rulebook.AnyClass {
			says = "minutes for a train whose class is not known"
		}
		fields[i] = field[block.Section]{classWord(c), false, says, minutes(func(s *block.Section) *block.Time { return &s.Running[c] })}
	}
	return fields
}

var placeGroup = group[placeDraft]{"places", []field[placeDraft]{
	{"name", true, "name of the place", text(func(p *placeDraft) *string { return &p.Name })},
	{"holds", false, "how many trains it holds; 0 or left out for no limit", number(func(p *placeDraft) *int { return &p.Holds })},
	{"beyond-home", false, "distance beyond a section's home signal, as neighbour: distance", func(d *decoder, n *yaml.Node, key string, p *placeDraft) { p.beyond = d.beyondHome(n, key) }},
	{"fouls", false, "list of sections whose clearing point a train here fouls; a section, or section and line", readFouls},
	{"at-signal", false, "true when a train standing here is detained at a signal", flag(func(p *placeDraft) *bool { return &p.AtSignal })},
	{"in-section", false, "neighbour in whose section this siding lies, with a token instrument of its own", text(func(p *placeDraft) *string { return &p.InSection })},
	{"starter-for", false, "neighbour whose section signal a train standing here waits at", text(func(p *placeDraft) *string { return &p.StarterFor })},
	{"siding", false, "true when it lies clear of the running lines", flag(func(p *placeDraft) *bool { return &p.Siding })},
}}

var foulGroup = group[block.Foul]{"places.fouls", []field[block.Foul]{
	{"section", true, "neighbour's name", text(func(f *block.Foul) *string { return &f.Section })},
	{"line", false, "the one line it matters for; every line when left out", text(func(f *block.Foul) *string { return &f.Line })},
}}

var signalGroup = group[block.Signal]{"signals", []field[block.Signal]{
	{"name", true, "name of the signal", text(func(s *block.Signal) *string { return &s.Name })},
	{"section", true, "neighbour's name of the section it belongs to", text(func(s *block.Signal) *string { return &s.Section })},
	{"line", false, "line it protects; may be left out where the section has one line", text(func(s *block.Signal) *string { return &s.Line })},
	{"kind", true, "section (controls entry to the section), home or distant", word(SignalKinds, func(s *block.Signal) *string { return &s.Kind })},
}}

var gearGroup = group[block.Gear]{"gear", []field[block.Gear]{
	{"name", true, "name of the equipment", text(func(g *block.Gear) *string { return &g.Name })},
	{"kind", true, "what it is: " + strings.Join(GearKinds, ", "), word(GearKinds, func(g *block.Gear) *string { return &g.Kind })},
	{"section", false, "neighbour's name of the section whose trains or block it serves; all when left out, but points and ground frames are judged only with it", text(func(g *block.Gear) *string { return &g.Section })},
	{"place", false, "place it belongs to", text(func(g *block.Gear) *string { return &g.Place })},
	{"crossing", false, "level crossing it belongs to", text(func(g *block.Gear) *string { return &g.Crossing })},
}}

var crossingGroup = group[crossingDraft]{"crossings", []field[crossingDraft]{
	{"name", true, "name of the level crossing, as the book has it", text(func(c *crossingDraft) *string { return &c.Name })},
	{"kind", true, "how it is worked: " + strings.Join(block.CrossingKinds, ", "), word(block.CrossingKinds, func(c *crossingDraft) *string { return &c.Kind })},
	{"section", false, "neighbour in whose section it lies; this or place", text(func(c *crossingDraft) *string { return &c.Section })},
	{"place", false, "place at the box where it lies: every train that passes or leaves there crosses it; this or section", text(func(c *crossingDraft) *string { return &c.Place })},
	{"minutes-from", false, "least running time in minutes from a box's last report of a train to the crossing, as {here: 2, Name: 3}", readMinutesFrom},
	{"protected-by", false, "list of the signals that keep trains from it", words(nil, func(c *crossingDraft) *[]string { return &c.ProtectedBy })},
	{"large-after", false, "minutes from which a movement counts as large; 3 when left out", minutes(func(c *crossingDraft) *block.Time { return &c.LargeAfter })},
	{"report-clear", false, "which users are to report clear: " + strings.Join(block.ReportClearWords, " or ") + "; large-only when left out", word(block.ReportClearWords, func(c *crossingDraft) *string { return &c.ReportClear })},
	{"told-before", false, "when the keeper is told of a train: before " + strings.Join(block.ToldBeforeWords, ", ") + " (departure: at once after it)", word(block.ToldBeforeWords, func(c *crossingDraft) *string { return &c.ToldBefore })},
	{"private-numbers", false, "true when private numbers are exchanged with the keeper", flag(func(c *crossingDraft) *bool { return &c.PrivateNumbers })},
	{"beyond-home", false, "distance beyond a section's home signal when it lies within a clearing point, as neighbour: distance", func(d *decoder, n *yaml.Node, key string, c *crossingDraft) { c.beyond = d.beyondHome(n, key) }},
}}

var personGroup = group[block.Person]{"people", []field[block.Person]{
	{"name", true, "name as written in the book", text(func(p *block.Person) *string { return &p.Name })},
	{"role", true, "what they are: " + strings.Join(Roles, ", "), word(Roles, func(p *block.Person) *string { return &p.Role })},
}}

var codeGroup = group[codeDraft]{"codes", []field[codeDraft]{
	{"beats", true, "the beats in groups, such as 3-1-2", readBeats},
	{"means", false, "what it means in your own words; required unless signal is given", text(func(c *codeDraft) *string { return &c.Words })},
	{"class", false, "class of train it offers: " + strings.Join(classWords(), ", "), readClass},
	{"signal", false, "what it does to the block; when left out, offer with a class, else local (nothing)", constant(meaningWords, 1, func(c *codeDraft) *rulebook.Meaning { return &c.Means })},
	{"from", false, "whose signal it is: rear, advance or either (when left out)", constant(sideWords, 0, func(c *codeDraft) *rulebook.Side { return &c.From })},
	{"methods", false, "list of the methods where it holds; all when left out", readMethods},
	{"no-call-attention", false, "true when it is sent without call attention", flag(func(c *codeDraft) *bool { return &c.NoAttention })},
	{"source", false, "the instruction it rests on; box.yaml when left out", text(func(c *codeDraft) *string { return &c.Source })},
}}

var limitGroup = group[rulebook.Limits]{"limits", limitFields()}

func limitFields() []field[rulebook.Limits] {
	var fields []field[rulebook.Limits]
	for i, w := range rulebook.LimitWords {
		fields = append(fields, field[rulebook.Limits]{w.Key, false, "minutes: " + w.Says, func(d *decoder, n *yaml.Node, key string, l *rulebook.Limits) {
			if t, ok := d.minutes(n, key); ok {
				l[i] = rulebook.Limit{Value: rulebook.Seconds(t), Source: source}
			}
		}})
	}
	return fields
}

// source stands beside what a box file sets without naming its own source.
const source = "box.yaml"
