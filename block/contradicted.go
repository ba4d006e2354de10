package block

import (
	"cmp"
	"slices"

	"fairhand/block/rulebook"
)

// Presumption is what the book was said to lack, kept with the breaches that this
// answered. A later entry may show that the step was made only then, and then they
// stand again: two trains in a section, or opposing trains on one line, are never
// presumed away.
type Presumption struct {
	Line     int
	Crossing int   `json:",omitempty"` // its number + 1, where the step is one at a level crossing
	Seq      int64 // entry that said so
	At       Time
	Name     string // of the train, empty where it is about none
	By       string `json:",omitempty"` // the train whose out of section showed it, which the entry named otherwise
	Unnamed  bool   `json:",omitempty"` // the name is what the book knows it by
	Away     bool   `json:",omitempty"` // it was out of the section that it left for
	Over     bool   `json:",omitempty"` // another has gone over the line and left it: only its name can tell of this one
	Token    int    // number of the token, 0 for none or unknown
	Steps    []Step
	Said     Answer    // step-not-booked
	Found    []Finding // the breaches that it answered: none where the book shows that it came too late for them
}

// presumed keeps what a presumption answers.
func (st *step) presumed(o *Doubt, t *Train, said *Finding, steps []Step, answers []Answer) {
	p := Presumption{Line: o.Line, Name: said.Train, Unnamed: t != nil && t.Name == "", Away: t != nil && t.Helps == 0 && t.Out.Line == o.Line && slices.Contains(steps, StepOut), Token: o.Token, Steps: steps, Said: *said.answer()}
	if t := st.s.Train(o.Train); t != nil && t.In.Line == o.Line && slices.Contains(steps, StepTokenIn) {
		p.Token = t.In.Token
	}
	if by := st.act.train; st.act.act == ActOut && by != nil && st.e.Train != "" && by.Name != st.e.Train {
		p.By = by.Name
	}
	p.Found, st.taken = st.taken, nil
	doubted := false
	for _, f := range st.s.Open {
		if breaches[f.Rule] == 0 && !resting[f.Rule] {
			continue
		}
		if slices.Contains(answers, *f.answer()) {
			p.Found = append(p.Found, *f)
		}
		doubted = doubted || slices.Contains(o.Found, *f.answer())
	}
	if len(p.Found) > 0 || doubted {
		st.presumption(p)
	}
}

// presumption keeps one that this entry shows; its time is that of the entry where none is given.
func (st *step) presumption(p Presumption) {
	p.Seq, p.At = st.e.Seq, cmp.Or(p.At, st.e.At)
	st.s.Presumed = append(slices.Clip(st.s.Presumed), p)
}

// perhapsTwo keeps what is dangerous should there have been two trains where it is said that
// an entry names one otherwise, or tells of it twice: name is of the train that has yet to be
// booked, "" where nobody named it.
func (st *step) perhapsTwo(rule rulebook.RuleID, name string, said Finding, expected string) {
	p := Presumption{Line: st.lineOf(&said), At: said.At, Name: name, Unnamed: name == "", Said: *said.answer()}
	r, _ := rulebook.RuleNamed(rule)
	said.Rule, said.Severity, said.Train, said.Text, said.Expected = rule, r.Severity, st.e.Train, "", expected
	p.Found = []Finding{st.complete(said)}
	st.presumption(p)
}

// twoAfterAll lets such a danger stand, and says whether there is one.
func (st *step) twoAfterAll(match func(*Presumption) bool) bool {
	return st.contradict(func(p *Presumption) bool { return len(p.Steps) == 0 && match(p) })
}

// contradict lets stand again what the first presumption that matches answered, and says whether
// there is one.
func (st *step) contradict(match func(*Presumption) bool) bool {
	p := first(st.s.Presumed, match)
	if p != nil {
		st.contradicted(p)
	}
	return p != nil
}

// wentToo lets the danger stand when a train of the first name goes by itself. One
// that comes under it was away under it.
func (d *action) wentToo() {
	another := func(p *Presumption) bool { return !p.Unnamed && p.Name == d.train.Name && p.Said.Seq < d.train.Opened }
	if d.dir == Inward {
		d.endPresumptions(func(p *Presumption) bool { return len(p.Steps) == 0 && another(p) })
	}
	for d.twoAfterAll(another) {
	}
}

// presumedFor is how long a presumption can be contradicted where no train has gone
// over the line since, in seconds.
const presumedFor = 12 * 60 * 60

// made are the steps that an act shows to be made with it.
var made = [actCount][]Step{
	ActOut: {StepOut, StepPassage, StepReturn}, ActKeyIn: {StepWithdrawn}, ActCancel: {StepCancel}, ActEnter: {StepCancel}, ActDepart: {StepCancel},
	ActUnblock: {StepRemoval, StepClear}, ActShuntBack: {StepWithdrawn, StepOut}, ActRestore: {StepTokenIn},
}

// afterAll finds the presumption that an act contradicts: of the train named, which has
// no other use of the line; or, where none is named and none is there that it could be
// of, of the last. One of the minute of the entry that showed the step is that entry
// written twice.
func (d *action) afterAll(a Act) *Presumption {
	for i := len(d.s.Presumed) - 1; i >= 0; i-- {
		p := &d.s.Presumed[i]
		returned := a == ActOut && slices.Contains(p.Steps, StepReturn)
		if p.Line != d.line || returned && d.mine || !slices.ContainsFunc(made[a], func(s Step) bool { return slices.Contains(p.Steps, s) }) {
			continue // a train that came back is given out here: given out there, it ran through
		}
		switch t := d.s.TrainNamed(d.e.Train); {
		case a == ActUnblock && !d.ls().Phase.Blocked() || a == ActShuntBack && d.ls().Phase != Shunting || a == ActKeyIn && d.ls().Phase != ShuntKeyOut:
			return p
		case ends[a] != StepNone:
		case a == ActRestore:
			if p.Token == d.number && !d.isOut() {
				return p
			}
		case d.e.Train != "":
			// A train that goes back over the line is not in it by the leg it came by.
			back := a == ActOut && d.mine && t != nil && t.Out.Line == d.line && !t.In.open() && !t.Returned
			if d.e.Train == p.Name && (t == nil || !t.on(d.line) || back) || d.e.Train == p.By && t == nil {
				return p
			}
		case a == ActOut && d.e.At > p.At && !p.Over && d.nobodys():
			return p
		}
	}
	return nil
}

// ranThrough takes out of section received, of a train whose return here might be presumed, as
// saying that it ran through: it did not return.
func (d *action) ranThrough() {
	if d.act != ActOut || d.mine || d.foundNow(rulebook.OutOfSectionNoTrain) < 0 {
		return
	}
	d.endDoubts(func(o *Doubt) bool {
		t := d.s.Train(o.Train)
		return o.Step == StepReturn && o.Line == d.line && t != nil && (d.e.Train == t.Name || d.e.Train == "" && d.s.occupied(d.line) == nil)
	})
}

// nobodys says whether an out of section that names no train is of none in the section: there
// is none, or only one that has not arrived here.
func (d *action) nobodys() bool {
	t := d.s.occupied(d.line)
	return t == nil && d.train == nil || t != nil && d.mine && d.dir == Inward && t.In.Line == d.line && !t.clearOfSection()
}

// doneAfterAll takes an act that contradicts presumptions, and says whether it does.
func (d *action) doneAfterAll(a Act) (any bool) {
	for p := d.afterAll(a); p != nil; p = d.afterAll(a) {
		d.contradicted(p)
		any = true
	}
	if p := d.outAside(a); !any && p != nil {
		d.contradicted(p)
		any = true
	}
	return any
}

// outAside finds the presumption that a train was out of a section where it is given out by name
// of another box, or with the arrows turned, and is signalled nowhere any more: it was there until now.
func (d *action) outAside(a Act) *Presumption {
	if a != ActOut || d.e.Train == "" {
		return nil
	}
	if t := d.s.TrainNamed(d.e.Train); t != nil && (t.In.open() || t.Out.open()) {
		return nil
	}
	return first(d.s.Presumed, func(p *Presumption) bool {
		return p.Name == d.e.Train && !p.Unnamed && p.Line != d.line && slices.Contains(p.Steps, StepOut)
	})
}

// contradicted lets stand again what a presumption answered, which an entry now
// shows to have been wrong: what it took as not booked is booked.
func (st *step) contradicted(p *Presumption) {
	k := *p
	st.endPresumptions(func(o *Presumption) bool { return o == p })
	st.answered([]Answer{k.Said})
	for _, f := range k.Found {
		if slices.Contains(k.Steps, StepCancel) && st.act.act != ActCancel {
			f.Text += "; " + cmp.Or(k.Name, "that train") + " was not cancelled: it came or went afterwards"
			st.standAgain(f)
			continue
		}
		f.Text += "; " + stepsIn(k.Steps)
		switch {
		case slices.Contains(k.Steps, StepBegun) && st.e.Kind != WorkingPilot && st.e.Kind != WorkingMessage:
			f.Text += " is not booked, nor the end of it"
		case k.Said == (Answer{}) && slices.Contains(k.Steps, StepPilot):
			f.Text += " is booked, and he comes back only now"
		case len(k.Steps) == 0 && st.e.Kind == TrainArrived:
			f.Text += cmp.Or(k.Name, st.e.Train) + " came afterwards"
		case len(k.Steps) == 0:
			f.Text += cmp.Or(k.Name, st.e.Train, "a train") + " went afterwards"
		case k.Name != "" && k.Name != f.Train:
			f.Text += " of " + k.Name
			fallthrough
		default:
			f.Text += " came only afterwards"
		}
		st.standAgain(f)
	}
}

// standAgain lets a finding stand that rests on the entry in hand too.
func (st *step) standAgain(f Finding) {
	f.Rests = append(slices.Clip(f.Rests), st.e.Seq)
	st.again = append(st.again, f)
}

// runOver drops what was presumed of a line that a train let in since has gone over
// and left: another out of section is of a later one, unless it names the train. Where a
// token was shows when it is next drawn, and a block ends whenever that is booked.
func (d *action) runOver(l *Leg) {
	lasts := func(s Step) bool {
		return s == StepTokenIn || s == StepRemoval || s == StepClear || s == StepWithdrawn || s >= StepReport
	}
	var kept []Presumption
	for _, p := range d.s.Presumed {
		over := p.Line == d.line && p.At < l.Accepted && !slices.ContainsFunc(p.Steps, lasts)
		if named := p.Name != "" && !p.Unnamed && p.Name != d.train.Name; over && !named {
			continue
		}
		p.Over = p.Over || over
		kept = append(kept, p)
	}
	d.s.Presumed = kept
}

// endPresumptions drops what no entry can contradict any more.
func (st *step) endPresumptions(match func(*Presumption) bool) {
	st.s.Presumed = left(st.s.Presumed, match)
}

// cameAfterAll takes the arrival or passing of a train, at its time, that was taken to
// have come before; unnamed is set for one that nothing else brought. Its out of section
// may follow.
func (st *step) cameAfterAll(unnamed bool) bool {
	p := first(st.s.Presumed, func(p *Presumption) bool {
		from := st.e.From == "" || st.b.sectionOf(p.Line) == st.b.SectionIndex(st.e.From)
		if unnamed && p.Unnamed && len(p.Steps) == 0 {
			return from
		}
		// It may have come on a line clear that was thought cancelled.
		came := func(s Step) bool { return s == StepArrival || s == StepPassage || s == StepCancel }
		if p.Unnamed != unnamed || !slices.ContainsFunc(p.Steps, came) {
			return false
		}
		if unnamed {
			return from
		}
		t := st.s.TrainNamed(st.e.Train)
		return p.Name == st.e.Train && (t == nil || t.PlaceSeq == 0 && t.Opened <= p.Seq && !(t.In.open() && t.In.Line != p.Line)) // and not offered again since
	})
	if p == nil {
		return false
	}
	k := *p
	st.contradicted(p)
	k.Name, k.Unnamed, k.Steps, k.Said, k.Found = st.e.Train, false, []Step{StepOut}, Answer{}, nil
	st.s.Presumed = append(st.s.Presumed, k)
	return true
}

// Same says whether it is the finding of the same thing.
func (f *Finding) Same(g *Finding) bool { return f.answer().Of(g) }

// MayStandAgain says whether a later entry may still show that a finding answered
// was right.
func (s *State) MayStandAgain(f *Finding) bool {
	return slices.ContainsFunc(s.Presumed, func(p Presumption) bool {
		return p.Said.Of(f) || slices.ContainsFunc(p.Found, func(g Finding) bool { return g.Same(f) })
	})
}
