package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

func (st *step) obstruct() {
	i := st.b.SectionIndex(st.e.Section)
	st.s.Obstructions = append(slices.Clone(st.s.Obstructions), Obstruction{Line: st.e.Line, Section: i, Text: st.e.Text, At: st.e.At, Seq: st.e.Seq})
	if i < 0 {
		return
	}
	l := st.lineFor(i, Inward, NoAct)
	if st.b.lineAt(l).Way == Out {
		return // obstruction danger is the signal of the box trains run to; ours is to send none
	}
	if !st.s.Lines[l].Phase.Blocked() {
		st.owe(rulebook.ObstructionDangerNotSent, Pending{Section: i, Line: l})
	}
}

func (st *step) obstructClear() {
	i := st.b.SectionIndex(st.e.Section)
	is := func(o *Obstruction) bool { return o.Line == st.e.Line && o.Section == i }
	booked := first(st.s.Obstructions, is) != nil
	if p := st.presumedOver(); p != nil && !booked {
		st.contradicted(p)
	}
	st.s.Obstructions = left(slices.Clone(st.s.Obstructions), is)
	if !booked && len(st.s.Obstructions) == 1 {
		st.s.Obstructions[0].Removed = true // which may have been meant
	}
	for l, ln := range st.b.linesOf(i) {
		if booked && ln.Name == st.e.Line {
			st.editLine(l).Stood = st.e.At
		}
	}
}

// takesOut are the entries that put gear out of use with a reason, as GearState.Why has it.
var takesOut = [...]Kind{Failure, Released, Disconnected}

func (st *step) gear() {
	s := st.s
	s.Gear = slices.Clone(s.Gear)
	i := slices.IndexFunc(s.Gear, func(g GearState) bool { return g.Name == st.e.Subject })
	if i < 0 {
		s.Gear = append(s.Gear, GearState{Name: st.e.Subject, At: st.e.At, Seq: st.e.Seq})
		i = len(s.Gear) - 1
	}
	g := &s.Gear[i]
	if why := slices.Index(takesOut[:], st.e.Kind); why >= 0 && st.e.Text != g.Why[why] {
		g.Why[why] = strings.Join(WordsOf(g.Why[why], st.e.Text), "; ") // what failed is told until it is back
	}
	switch st.e.Kind {
	case Failure:
		g.Failed = true
	case Restored:
		g.Failed, g.Released, g.Why[0], g.Why[1] = false, false, "", ""
		st.s.Laid = left(st.s.Laid, func(o *Laid) bool { return o.Kind == PointsWound && o.Name == g.Name }) // worked from the frame again
		for k := range st.s.Circuits {
			if st.s.Circuits[k].unbelled() && st.gearOf(g.Name, k) {
				st.editCircuit(k).Repaired = true
			}
		}
	case Released:
		g.Released = true
		g.At, g.Seq = st.e.At, st.e.Seq
	case Disconnected:
		g.Disconnected, g.Signed, g.By = true, nil, st.s.Writer()
		g.At, g.Seq = st.e.At, st.e.Seq
	case Reconnected:
		g.Disconnected, g.Why[2] = false, ""
	case Clamped:
		g.Clamped = true
	case Unclamped:
		g.Clamped = false
	}
	g.Text = strings.Join(slices.Compact(WordsOf(g.Why[0], g.Why[1], g.Why[2])), "; ")
	if !g.Failed && !g.Disconnected && !g.Clamped && !g.Released {
		s.Gear = slices.Delete(s.Gear, i, i+1)
	}
}

func (st *step) posted() {
	st.s.FogLeft = 0
	st.contradict(ofFog) // it had not lifted
	st.s.Posts = append(slices.Clone(st.s.Posts), Post{st.e.Subject, st.e.Place, st.e.At, st.e.Seq})
}

// fog takes fog as come or lifted. Lifting only now, it was presumed too soon.
func (st *step) fog() {
	if st.s.Fog, st.s.FogLeft = st.e.Kind == FogOn, 0; !st.s.Fog {
		st.contradict(ofFog) // it had not
	}
	st.endPresumptions(ofFog)
}

func ofFog(p *Presumption) bool { return slices.Contains(p.Steps, StepFog) }

func (st *step) withdrawn() {
	was := len(st.s.Posts)
	st.s.Posts = slices.DeleteFunc(slices.Clone(st.s.Posts), func(p Post) bool { return p.Name == st.e.Subject && p.Place == st.e.Place })
	if st.s.Fog && was > 0 && len(st.s.Posts) == 0 {
		st.s.FogLeft = st.e.At
	}
}

func (st *step) working(i int) {
	if st.singleLine(i) {
		return
	}
	c := st.editCircuit(i)
	if st.e.Kind == WorkingNormal && c.Message {
		st.keptIn(i)
		st.leftUnreported(i)
	}
	if st.e.Kind == WorkingNormal && (c.Message || c.Pilot != "") {
		for l, ln := range st.b.linesOf(i) {
			if c.Over != "" && !ln.bySingle() {
				continue
			}
			if t := st.s.occupied(l); t != nil {
				f := st.noteSaying(rulebook.SectionNotProvedClear, st.e.Section, t.Label(st.b), resumedUnreported, reportedFirst)
				f.Line, f.Ref = ln.Name, st.b.Rules.Cite(rulebook.Rule{Ref: rulebook.Resumed}, true)
			} else if t := st.acceptedOn(l); t != nil && c.Over != "" {
				st.noteSaying(rulebook.WorkingChangedTrainSignalled, st.e.Section, t.Label(st.b), "Normal working was resumed with a train accepted over the line used both ways",
					"the train accepted run through or cancelled before normal working is resumed")
			}
		}
	}
	if c.Message = st.e.Kind == WorkingMessage; !c.Message || c.Over == "" {
		c.Pilot = ""
		st.pilotAt(i, PilotUnknown)
		st.leaveSingle(i)
	}
	c.Told, c.Given, c.Heard, c.Worded, c.Why, c.Begun, c.Repaired, c.Otherwise = nil, nil, nil, false, "", 0, false, Otherwise{}
	if st.e.Kind == WorkingPilot {
		c.Pilot = st.e.Subject
	}
	if c.unbelled() {
		c.Why, c.Begun = st.e.Text, st.e.Seq
	}
	st.unring(i)
	for _, t := range slices.Clone(st.s.Trains) {
		if st.e.Kind != WorkingNormal && t.In.Section == i && t.In.open() && t.clearOfSection() && (st.lostIts(t) || t.In.Told) {
			st.touch(t).In.OutOf = st.e.At // told in words, with no token to put in
			st.settle(t.In.Line)
		}
	}
	if st.s.Tokens[i].Lost {
		st.editToken(i).Lost = false
	}
	for l := range st.b.linesOf(i) {
		if p := st.s.Lines[l].Phase; p == Offered || p == ShuntAsked || p == CounterDoubt && c.Message {
			st.settle(l) // no answer will come by bell; nor does the lamp count of a counter suspended
		}
	}
}

// signal follows the section signals the box file names.
func (st *step) signal() {
	k := slices.IndexFunc(st.b.Signals, func(g Signal) bool { return g.Name == st.e.Subject })
	if k < 0 {
		return
	}
	g := &st.b.Signals[k]
	if g.Kind == "home" {
		st.homeOff(g)
		return
	}
	if g.Kind != sectionSignal {
		return
	}
	l := st.b.lineThat(st.b.SectionIndex(g.Section), func(l int) bool {
		ln := st.b.lineAt(l)
		return (g.Line == "" || ln.Name == g.Line) && ln.Way != In
	})
	if l < 0 {
		return
	}
	ls := st.editLine(l)
	if ls.IsOff = st.e.Kind == SignalOff; !ls.IsOff {
		return
	}
	d := st.begin(l, Outward, true)
	switch {
	case d.goesWithout():
	case d.section().Method.Is().Described:
		d.find(rulebook.SignalledDuringAlarm, alarmOver.Expected)
		d.underAlarm()
	case !d.section().Method.Is().Offers:
		d.find(rulebook.SignalOffTwice, "the train in the section back and complete before the signal is cleared again")
	case !ls.Phase.lineClear() || ls.Dir != Outward:
		if d.byReport() {
			d.doubtful()
		}
		d.find(rulebook.SignalOffWithoutLineClear, "line clear from "+g.Section+" before the section signal is cleared")
	case d.aheadOf(ls):
		d.find(rulebook.SignalTrainAhead, "the train standing at the signal sent or moved away first")
	case ls.SignalOff > 0:
		d.find(rulebook.SignalOffTwice, "one clearing of the section signal for each line clear")
	case ls.Phase == RestrictedLC && d.train != nil && !d.train.Warned:
		d.findSaying(rulebook.TrainNotWarned, "The section signal was cleared for a train accepted under the warning arrangement, with no warning of its driver booked", "the driver warned before the section signal is cleared")
	}
	ls.SignalOff++
}

// goesWithout says whether a train may leave for a free section with no line clear in
// hand: one only described or reported, one by message or a pilot, the one train of a
// branch; behind another, by staff and ticket with the interval past. What is so of the
// train is so of the signal that lets it go.
func (d *action) goesWithout() bool {
	if d.ls().Phase == InSection && withStaff.of(d.section().Method) {
		return followsByInterval.holds(d) && intervalPast.holds(d)
	}
	return d.ls().Phase == Normal && !d.breaks(d.machine().Row(Normal, false, ActDepart))
}

// indicator compares the block indicator, where the book notes it, with the
// bells exchanged.
func (st *step) indicator(i int) {
	if st.e.Subject == "free" || st.e.Subject == "occupied" {
		st.counterShows(i)
		return
	}
	l := st.lineShown(i)
	ls := st.editLine(l)
	was := ls.Indicator
	ls.Indicator = st.e.Subject
	d := st.begin(l, ls.Dir, true)
	d.train = st.s.Train(ls.Train)
	clear := ls.Phase.lineClear()
	held := ls.Phase != Normal && ls.Phase != Offered && !clear
	switch st.e.Subject {
	case "line-clear":
		ls.Shown = true
		st.bringOnLine(rulebook.IndicatorNotLineClear, l)
		if !clear && ls.Phase != Offered { // with the acknowledgement, in either order
			d.find(rulebook.LineClearNotAccepted, "an offer acknowledged before line clear is shown")
		}
	case "train-on-line":
		d.shownEarly(clear)
	case "normal":
		st.bringOnLine(rulebook.IndicatorNotNormal, l)
		if clear && was == "line-clear" {
			d.find(rulebook.LineClearWithdrawn, "train entering section, cancelling or obstruction danger before line clear is taken away")
		}
		if t := st.s.occupied(l); held && (t == nil || !t.clearOfSection() || ls.Phase == Obstructed) {
			d.find(rulebook.IndicatorNotTrainOnLine, "train on line shown until train out of section")
		}
	}
}

// shownEarly raises the indicator at train on line with nothing in the section. It
// keeps trains out, so that it is no danger: with line clear given, entering was not
// booked; with nothing signalled, it protects what nobody has booked.
func (d *action) shownEarly(clear bool) {
	before := len(d.found)
	switch {
	case clear:
		d.findSaying(rulebook.LineClearWithdrawn, "The indicator was put to train on line with line clear given and no train entering booked", "train entering section received before the indicator is put to train on line")
	case d.ls().Phase == Normal && !d.blockaded() && !d.obstructed():
		d.findSaying(rulebook.IndicatorNotNormal, "The indicator stands at train on line with no train booked in the section", "the train, the blockage or the obstruction booked for which it is there")
	}
	for i := before; i < len(d.found); i++ {
		d.found[i].Severity = rulebook.Irregular
	}
}

// aheadOf says whether a train other than the one accepted stands at the
// section signal and would take it.
func (d *action) aheadOf(ls *LineState) bool {
	d.train = d.s.Train(ls.Train)
	return d.starterFree() != nil
}

// instrumentUsed raises bells worked with an instrument that is recorded as
// disconnected and not yet handed back. Source: General Rules (India) 14.03 and
// Subsidiary Rule 3.51.6: the signed reconnection is the authority to resume.
func (st *step) instrumentUsed(i int) {
	c := &st.s.Circuits[i]
	if c.unbelled() {
		return
	}
	for _, g := range st.s.Gear {
		known := st.b.gearNamed(g.Name)
		if !g.Disconnected || known == nil || known.Kind != "instrument" || known.Section != st.b.Sections[i].Neighbour {
			continue
		}
		for _, bell := range st.e.Bells {
			if bell.Code.Spoken() {
				continue // by no instrument
			}
			if row := st.b.lookup(i, bell.Code, rulebook.MeansNothing); row != nil && (row.Means == rulebook.Testing || row.Means == rulebook.CallAttention || row.Means == rulebook.Telephone) {
				continue
			}
			st.note(rulebook.WorkedBeforeReconnection, st.e.Section, st.e.Train, "the reconnection of "+g.Name+" signed, or working by message")
			return
		}
	}
}

// lineShown tells which line of section i an indicator noted without a line
// belongs to: the first on which it would be right, else the one worked from here.
func (st *step) lineShown(i int) int {
	if st.e.Line == "" {
		for l := range st.b.linesOf(i) {
			ls := st.s.Lines[l]
			clear := ls.Phase.lineClear() || ls.Phase == Offered
			idle := ls.Phase == Normal && ls.Indicator != "" && ls.Indicator != "normal"
			if st.e.Subject == "line-clear" && clear || st.e.Subject == "normal" && idle || st.e.Subject == "train-on-line" && !clear && ls.Phase != Normal {
				return l
			}
		}
	}
	return st.lineFor(i, Inward, NoAct)
}
