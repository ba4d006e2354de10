package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// action is an act being done on a line: what the guards look at.
type action struct {
	*step
	act    Act
	line   int
	dir    Dir
	mine   bool   // done by this box
	train  *Train // nil when it concerns none, or none could be told
	code   *rulebook.CodeRow
	number int  // token
	far    bool // token, at the far end
	repeat bool // the bell repeats one not yet answered
	moved  bool // taken from where it was written to where it was awaited: not once more
}

func (d *action) ref() lineRef        { return d.b.lines[d.line] }
func (d *action) section() *Section   { return &d.b.Sections[d.ref().section] }
func (d *action) ls() *LineState      { return d.s.Lines[d.line] }
func (d *action) tokens() *TokenState { return &d.s.Tokens[d.ref().section] }
func (d *action) staff() *StaffState  { return &d.s.Staffs[d.ref().section] }
func (d *action) lineName() string    { return d.b.lineAt(d.line).Name }
func (d *action) machine() *Machine   { return d.b.machine(d.ref().section) }

// onLine is where a duty of the line itself lies.
func (d *action) onLine() Pending { return Pending{Section: d.ref().section, Line: d.line} }

// instrument is the one a token is drawn from: the far end's when the release
// in force was given to it.
func (d *action) instrument() TokenPlace {
	return endOf(d.far || d.act == ActDraw && d.dir == Inward && d.released())
}

// released says whether a token may be drawn on the line.
func (d *action) released() bool {
	p := d.ls().Phase
	return p.lineClear() || p == ShuntReleased
}

// untold says whether a token now put in may be the one the far box drew
// without our having its number.
func (d *action) untold() bool {
	i := slices.Index(d.section().Tokens.Charge, d.number)
	in := d.ls().Phase == InSection || d.ls().Phase == Obstructed && d.s.occupied(d.line) != nil
	return d.dir == Inward && in && i >= 0 && (d.tokens().Where[i] == TokenAway || d.tokens().Where[i] == TokenAtSiding)
}

// stranger says whether the train named, or one that passed on its way there, is neither in the
// section nor accepted for it.
func (d *action) stranger() bool {
	if d.train == nil && d.e.Train == "" {
		t := d.s.occupied(d.line)
		return t != nil && (t.Returned || d.dir == Inward && t.clearOfSection())
	}
	if d.train == nil || d.train.Returned && d.dir == Outward {
		return true // a train that came back has used its line clear
	}
	return (d.e.Train != "" || d.train.Where == PassedHere && d.train.leg(d.dir).Section < 0) && !d.train.occupies(d.line) && !d.train.accepted(d.line)
}

// blockaded says whether a line blockage is in force on the line, or single line
// working over the other.
func (d *action) blockaded() bool {
	return d.shut() || d.held(func(*LineBlockage) bool { return true })
}

// peopled says whether people may be on the line, or single line working is over the other
// for what no obstruction booked on this one tells.
func (d *action) peopled() bool {
	return d.shut() && !d.obstructed() || d.held((*LineBlockage).peopled)
}

func (d *action) shut() bool { return d.b.lineAt(d.line).Way == Shut }

func (d *action) held(by func(*LineBlockage) bool) bool {
	return first(d.s.Blockages, func(k *LineBlockage) bool { return d.under(k) && by(k) }) != nil
}

// under says whether a blockage keeps trains from the line: one of its own, or of the section
// over the same rails.
func (d *action) under(k *LineBlockage) bool {
	return k.Over(d.lineName(), d.ref().section) || !k.GivenUp && k.Section >= 0 && d.sameRails(k.Section)
}

// obstructed says whether an obstruction is recorded on the line or within its
// clearing point.
func (d *action) obstructed() bool { return first(d.s.Obstructions, d.isOn) != nil }

func (d *action) isOn(o *Obstruction) bool {
	return o.Line == d.lineName() && o.Section == d.ref().section
}

// fouling finds a train that stands within the clearing point of the line,
// other than one that is still in this section itself; with only set, just
// that train counts.
func (d *action) fouling(only int) *Train {
	if d.b.lineAt(d.line).Way == Out {
		return nil
	}
	inside := d.act == ActAccept && d.ls().Phase == InSection // out of the section or not, it stands there
	return firstTrain(d.s.Trains, func(t *Train) bool {
		counts := t.ID == only || only == 0 && (inside && t != d.train || !t.occupies(d.line))
		return t.Place != "" && t.Where == Here && counts && d.s.fouls(d.b, t.Place, d.line)
	})
}

// fouls says whether a train at a place is within the clearing point of a line.
// Source of the comparison: a quarter mile beyond the home signal must be clear,
// so 440 yards of 440 is clear and 439 is not.
func (st *State) fouls(b *Box, place string, line int) bool {
	p := b.PlaceNamed(place)
	if p == nil {
		return false
	}
	r := b.lines[line]
	s := st.section(b, r.section)
	return slices.ContainsFunc(p.Fouls, func(f Foul) bool {
		return f.Section == s.Neighbour && (f.Line == "" || f.Line == s.Lines[r.line].Name)
	}) || slices.ContainsFunc(p.BeyondHome, func(h BeyondHome) bool { return h.Section == s.Neighbour && h.Distance < s.ClearingPoint })
}

// lostTrain finds a train given out of section here on this line without ever having
// been recorded as arrived, or as come back.
func (d *action) lostTrain() *Train {
	return firstTrain(d.s.Trains, func(t *Train) bool {
		return d.s.doubtOf(d.line, t.ID, StepReturn) != nil || t.In.Line == d.line && t.In.Falsely && t.In.open() && !t.clearOfSection() && t.Where != Unaccounted
	})
}

// unmet names the first condition of this box on acceptance that does not hold.
func (d *action) unmet() string {
	for _, need := range d.section().Needs {
		if need == "forward-section-clear" && len(d.forward()) > 0 || need == "foot-of-gradient" && !d.runningLineClear() ||
			need == "fog-double-block" && d.s.Fog && d.s.FogLeft == 0 && len(d.forward()) > 0 {
			return need
		}
	}
	return ""
}

// forward is what is in the sections ahead, away from this one, that a train in the same
// direction would go into.
func (d *action) forward() []inWay {
	ahead := func(i int) bool {
		w, to := d.b.lineAt(i).Way, d.b.sectionOf(i)
		return to != d.ref().section && w != In && w != Shut && !d.sameSide(to)
	}
	over := d.onLines(ahead)
	for i := range d.b.lines {
		if p := d.s.Lines[i].Phase; ahead(i) && d.s.occupied(i) == nil && p != Normal && p != Offered && !(p == Accepted && d.s.Lines[i].Dir == Outward) {
			over = append(over, inWay{})
		}
	}
	return over
}

// do puts an act through the machine: findings, what it changes, and the phase
// it leads to. It reports whether the act was regular.
func (d *action) do(a Act) bool {
	if d.act = a; a == ActOut && (d.toldAfterLamp() || d.outTwice()) {
		return true
	}
	fresh := d.train == nil || !d.train.occupies(d.line) // let in, it was not there before
	if len(d.s.Presumed) > 0 && d.doneAfterAll(a) && a != ActEnter && a != ActDepart {
		return true
	}
	if len(d.s.Doubts) > 0 && (d.late() || d.madeLate()) {
		if a == ActUnblock {
			d.behind(true)
		}
		return true
	}
	if k := d.miscoded(); k != nil {
		return d.asMeant(k)
	}
	d.before()
	ls := d.ls()
	opposed := d.section().Method.Is().Single && ls.Phase != Normal && ls.Dir != d.dir
	row := d.machine().Row(ls.Phase, opposed, a)
	if row == nil {
		return true
	}
	if opposed && a == ActOut {
		// Sent by the box in rear itself: it concerns the train it let go.
		d.dir = ls.Dir
		if t := d.s.occupied(d.line); t != nil {
			d.train = t
		}
	}
	regular := d.judge(row) || d.namelessHere(a)
	if !regular && !d.moved {
		d.cameOnIt()
		d.ranThrough()
		if d.misplaced() || d.removedElsewhere() {
			return false
		}
	}
	unsaid := !regular && d.mayBeAccepted()
	to := d.leadsTo(row, regular)
	d.behind(regular)
	if f := effects[a]; f != nil {
		f(d, regular)
	}
	d.alongWith(fresh, unsaid)
	d.enter(to, regular || to != stay)
	d.inVain(regular)
	if len(d.s.Doubts) > 0 {
		d.after(row, regular)
	}
	return regular
}

// behind keeps how the line is blocked back behind the train that is let in, or is going away,
// until it is clear again.
func (d *action) behind(regular bool) {
	ls := d.ls()
	to := ls.Behind
	switch a := d.act; {
	case a == ActUnblock, a == ActAccept, a == ActLineNowClear && d.train != nil:
		to = Normal
	case a == ActAcceptRestricted && ls.Phase == BlockedInside:
		to = BlockedInside
	case regular && ls.Phase == InSection && (a == ActBlockInside || a == ActBlockOutside):
		to = BlockedOutside
	}
	if to != ls.Behind {
		d.editLine(d.line).Behind = to
	}
}

// after takes what the act shows to have been made before.
func (d *action) after(row *Row, regular bool) {
	if regular || d.act != ActOut {
		d.gaveClear()
	}
	switch {
	case d.act == ActEnter && d.train != nil:
		d.otherRan()
	case d.act == ActCancel:
		d.asBeforeIt()
	}
	if d.act == ActOut && row.Rule == "" && d.train != nil {
		d.shownClear()
	}
	if regular && (d.act == ActDraw || d.act == ActEnter || d.act == ActDepart) {
		d.tokensShown()
	}
}

// leadsTo is the phase after the act, with what the book still shows on the line put in
// doubt or aside where the act is against it.
func (d *action) leadsTo(row *Row, regular bool) Phase {
	if !regular && (breaches[row.Rule]&explained != 0 || d.crowded()) {
		d.doubtful()
	}
	if !regular && (row.Rule != "" || (d.act == ActEnter || d.act == ActDepart) && d.foundNow(rulebook.EnteredWithoutAcceptance) >= 0) {
		if next, ok := d.standAside(); ok {
			return next
		}
	}
	if row.Rule != "" && regular && row.Regular != Normal {
		return row.Regular
	}
	return row.To
}

// before puts what the act shows of others into the picture first.
func (d *action) before() {
	if len(d.s.Doubts) > 0 {
		d.goneOn()
		d.emptyAgain()
	}
	switch d.act {
	case ActOffer:
		d.hereToGo()
	case ActAccept, ActAcceptRestricted:
		d.backAgain()
		d.acceptedAnew()
	case ActEnter, ActDepart, ActDraw:
		d.offerTurned()
		d.acceptedAfterAll()
	case ActOut:
		d.presumeEntering()
		d.inFrontOfOne()
	case ActUnblock, ActShuntBack:
		d.begunUnsaid()
	}
}

// breaks says whether the row itself is against the regulations as things stand.
func (d *action) breaks(row *Row) bool {
	if row.Rule == "" || len(row.Unless) == 0 {
		return row.Rule != ""
	}
	return slices.ContainsFunc(row.Unless, func(g Guard) bool { return !g.holds(d) })
}

// failing lists the guards of the row that do not hold.
func (d *action) failing(row *Row) (out []*Guard) {
	asked := row.asked[0]
	if d.mine {
		asked = row.asked[1]
	}
	for _, g := range asked {
		if !g.holds(d) {
			out = append(out, g)
		}
	}
	return out
}

// judge raises what an act breaks and says whether it was regular.
func (d *action) judge(row *Row) bool {
	broken, replaced := d.breaks(row), false
	failing := d.failing(row)
	for _, g := range failing {
		replaced = replaced || g.Replaces
		d.findSaying(g.Rule, g.Says, g.Expected)
	}
	if broken && !replaced {
		d.findSaying(row.Rule, row.Says, d.expectedOf(row))
	}
	return !broken && len(failing) == 0
}

// enter puts the line into a phase.
func (d *action) enter(to Phase, turn bool) {
	was := d.ls().Phase
	if to == settled {
		d.settle(d.line)
		return
	}
	if to == stay {
		return
	}
	ls := d.editLine(d.line)
	if was != to {
		ls.Since, ls.Seq = d.e.At, d.e.Seq
		ls.TokenBack, ls.Danger, ls.Shunts = false, DangerUnanswered, ""
		if to.shunting() {
			ls.Shunts = d.e.Train
		}
	}
	ls.Phase, ls.Runaway = to, to == Obstructed && (ls.Runaway || d.act == ActDanger && d.code != nil && d.code.Means != rulebook.ObstructionDanger)
	if turn && d.section().Method.Is().Single && to != Normal && (was == Normal || was == Offered || to == Offered || was.Blocked() && !to.Blocked()) {
		ls.Dir = d.dir
	}
}

// settle gives a line the phase that the trains on it make.
func (st *step) settle(line int) {
	ls := st.editLine(line)
	was, offered := ls.Phase, st.s.Train(ls.Train)
	how := st.b.Sections[st.b.lines[line].section].Method.Is()
	if how.Described {
		return // what is described and what is on it are no phase of the line
	}
	if how.Follows && was == Offered && offered != nil && offered.leg(ls.Dir).Offered != 0 {
		return // of the train behind
	}
	ls.Phase, ls.Train, ls.Shunts = Normal, 0, ""
	for _, t := range st.s.Trains {
		if t.occupies(line) {
			if ls.Phase == Normal {
				ls.Phase = InSection
			}
			if how.Single {
				ls.Dir = dirOn(t, line, true)
			}
			if !how.Follows {
				break
			}
		}
		if t.accepted(line) && (ls.Phase == Normal || how.Follows) {
			ls.Phase, ls.Train = Accepted, t.ID
			dir := dirOn(t, line, false)
			if t.leg(dir).Restricted {
				ls.Phase = RestrictedLC
			}
			if how.Single {
				ls.Dir = dir
			}
		}
	}
	if ls.Phase == Normal && ls.Behind != Normal {
		ls.Phase = ls.Behind // no signal has ended that: signalbox.org, Block system ch. 3
	}
	if ls.Phase != was {
		ls.Since, ls.Seq = st.e.At, st.e.Seq
		ls.TokenBack, ls.Danger, ls.Runaway = false, DangerUnanswered, false
	}
}
