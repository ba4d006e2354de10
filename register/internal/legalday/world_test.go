package legalday

import (
	"fmt"
	"math/rand/v2"
	"slices"
)

// tick is the step of the simulation; a book is written in minutes.
const tick = 20

// The hours of the box: it opens before the first train and takes none after the
// last; what is on hand then is worked out.
const (
	opens     = 5*3600 + 40*Minute
	firstSeen = 6 * 3600
	midnight  = 24 * 3600
)

// track is one line of one section, and what holds it.
type track struct {
	name   string
	train  *train   // signalled on it, from its acceptance to its out of section
	within []*train // those in it, where trains follow one another
	shut   string   // why no train may be signalled, "" for open
	doubt  bool     // the train in it has passed without tail lamp
}

// section is the line to one neighbour.
type section struct {
	name, method string
	way
	in, out   *track // one and the same on a single line
	tokens    []int  // in our instrument
	away      []int  // in the far one
	staff     bool   // the staff is here
	ticket    int    // last ticket issued
	short     bool   // one end runs out of tokens: the technician is called
	shunting  string // train out on a shunt
	lent      int    // token out for a shunt
	farTicket int    // last ticket the far end issued
	message   bool   // bells failed: worked by message
	pilot     bool   // a pilot goes with each train
	bothWays  bool   // single line working: bells and a pilot, over one line of the two
	pilotHere bool
	released  bool // its release is used and not restored
	releases  int  // uses of its release
	frameOut  bool
	signalOut bool   // its section signal has failed
	examining bool   // the line from here is to be examined
	examine   *train // by this train
	interval  bool   // trains follow by the clock: no bells, India's staff and ticket
}

func (s *section) single() bool { return !s.double }
func (s *section) belled() bool {
	return s.method != "one-train" && !s.message && (!s.pilot || s.bothWays) && !s.interval
}
func (s *section) idle() bool {
	return s.in.free() && s.out.free()
}

// train is a train on hand, or one that the neighbour has and will offer.
type train struct {
	name, code string
	at         string   // place where it stands, "" when it stands nowhere here
	coming     *section // signalled from it, until out of section
	going      *section // where it goes, until out of section there
	brought    int      // token it came with, until that is in the instrument
	drawn      int      // token drawn for it to go with
	given      bool     // what it came with is given up
	held       bool     // it is not to go yet
	doubtful   bool     // passed without tail lamp, not yet found complete
	lampOut    bool     // passed with its tail lamp out
	stop       bool     // to be stopped here and examined
	hears      bool     // something must be told before it goes
	helper     string   // engine that assists it over the section it goes by
	helperBack bool
	caution    string // what its driver must be told before it goes
}

// world is the box at work.
type world struct {
	o         *Options
	c         codes
	rng       *rand.Rand
	now       int
	sections  []*section
	trains    []*train
	agents    []*agent
	refused   []string // trains offered and not taken yet
	reminders []string // what they are on
	parts     []string // parts of trains and engines that stand in the Yard
	pointsOut bool     // wound by hand and clamped
	acts      []Act
	serial    int
	rings     int // exchanges of bells so far
	pn        int
	open      bool
	closing   bool // nothing new is signalled: the box is to switch out
	last      bool // no more trains are taken: the day ends
	pilotOut  bool // the shunting engine stands within a clearing point
	busy      int  // agents at work
	onDuty    int  // index in people
	ended     bool
}

// agent is somebody with a list of things to do: a train with its crew, or the
// signaller with something else than trains.
type agent struct {
	steps []step
	due   int // when the next step may be tried
	until int // when it gives up, if its first step could not be done
	begun bool
}

// step is done when it is due and when allows it.
type step struct {
	min, max int // seconds after the step before
	when     func() bool
	do       func()
}

// then adds a step; nil for when is always.
func (a *agent) then(min, max int, when func() bool, do func()) *agent {
	a.steps = append(a.steps, step{min, max, when, do})
	return a
}

// start sets an agent to work at a time.
func (w *world) start(at int, a *agent) {
	a.due, a.until = at, at+40*Minute
	if len(a.steps) > 0 {
		w.agents = append(w.agents, a)
	}
}

// turn lets an agent do what it can; false when it has ended.
func (w *world) turn(a *agent) bool {
	for a.due <= w.now {
		if len(a.steps) == 0 {
			return false
		}
		s := a.steps[0]
		if s.when != nil && !s.when() {
			return a.begun || w.now < a.until
		}
		a.begun, a.steps = true, a.steps[1:]
		s.do()
		if len(a.steps) == 0 {
			return false
		}
		next := a.steps[0]
		a.due = w.now + w.between(next.min, next.max)
	}
	return true
}

func (w *world) between(min, max int) int {
	if max <= min {
		return min
	}
	return min + w.rng.IntN(max-min+1)
}

func (w *world) chance(oneIn int) bool { return w.rng.IntN(oneIn) == 0 }

// lastSeen is when the last train is taken.
func (o *Options) lastSeen() int {
	if o.Last == 0 {
		return 21 * 3600
	}
	return o.Last * 3600
}

// again is added to the seed of a day that does not come to its end, which is worked anew: one
// of some hundred thousand.
const again = 1 << 40

// Make works one day.
func Make(o Options) *Day {
	w := &world{o: &o, c: codeBooks[o.Rules], rng: rand.New(rand.NewPCG(o.Seed, 1905)), now: opens}
	for i, m := range o.Methods {
		n := neighbours[i]
		s := &section{name: n.name, method: m, way: ways[m], in: &track{name: n.in}, out: &track{name: n.out}}
		if s.single() {
			s.in = &track{name: "Single"}
			s.out = s.in
		}
		s.interval = o.Rules == "indian-general" && m == "staff-and-ticket"
		for k := range 6 {
			s.tokens, s.away = append(s.tokens, 20*i+1+k), append(s.away, 20*i+7+k)
		}
		w.sections = append(w.sections, s)
	}
	w.begin()
	w.timetable()
	for ; w.now < midnight && !w.ended; w.now += tick {
		w.rng.Shuffle(len(w.agents), func(i, j int) { w.agents[i], w.agents[j] = w.agents[j], w.agents[i] })
		running := w.agents
		w.agents, w.busy = nil, len(running)
		running = slices.DeleteFunc(running, func(a *agent) bool { return !w.turn(a) })
		w.agents = append(running, w.agents...)
	}
	if !w.ended && o.Seed < again { // each platform full of trains that want in where another comes out
		o.Seed += again
		return Make(o)
	} else if !w.ended {
		panic(fmt.Sprintf("legal day %+v does not come to its end: %d agents left\n%s", o, len(w.agents), w.state()))
	}
	if o.Habit == EachBell && o.Seed%2 == 1 {
		w.acts = crossed(w.acts)
	}
	for i := range w.acts {
		w.acts[i].At += o.shift()
	}
	return &Day{Options: o, BoxFile: o.boxFile(), Acts: w.acts}
}

// book writes an entry that names its train in its own words, or none.
func (w *world) book(k Kind, s *section, t *train, body string, a ...any) {
	act := Act{Kind: k, At: w.now, Body: fmt.Sprintf(body, a...)}
	if s != nil {
		act.Section = s.name
	}
	if t != nil {
		act.Train, act.Name = t.name, t.name
	}
	w.acts = append(w.acts, act)
}

// named says whether an entry of a bell or token names its train.
func (w *world) named(k Kind) bool {
	switch w.o.Naming {
	case NameAll:
		return true
	case NameOffers:
		return k == OfferIn || k == OfferOut || k == ShuntBell
	}
	return false
}

// staffed: one staff is the authority, alone or with tickets.
func (s *section) staffed() bool { return s.method == "staff-and-ticket" || s.method == "one-train" }

// state tells where everything stands, for a day that does not end.
func (w *world) state() string {
	out := fmt.Sprintf("open %v closing %v\n", w.open, w.closing)
	for _, s := range w.sections {
		for _, tr := range []*track{s.in, s.out} {
			out += fmt.Sprintf("%s %s: %+v %q\n", s.name, tr.name, tr.train, tr.shut)
		}
	}
	for _, t := range w.trains {
		out += fmt.Sprintf("%+v\n", *t)
	}
	return out
}
