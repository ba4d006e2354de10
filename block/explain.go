package block

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// finding begins a finding of a rule on the present event.
func (st *step) finding(id rulebook.RuleID) Finding {
	r, _ := rulebook.RuleNamed(id)
	return Finding{Rule: id, Severity: r.Severity, Seq: st.e.Seq, At: st.e.At, Section: st.e.Section, Line: st.e.Line, Train: st.e.Train, Expected: r.Do}
}

// add puts a finding with the others.
func (st *step) add(f Finding) *Finding {
	st.found = append(st.found, st.complete(f))
	return &st.found[len(st.found)-1]
}

// complete gives a finding its words and the source of its rule.
func (st *step) complete(f Finding) Finding {
	r, _ := rulebook.RuleNamed(f.Rule)
	i := st.b.SectionIndex(f.Section)
	f.Ref = st.b.Rules.Cite(r, i >= 0 && st.b.Sections[i].Method.Is().Single)
	if r.Ordered && i >= 0 && st.b.Sections[i].Source != "" {
		f.Ref, f.Severity = st.b.Sections[i].Source, rulebook.Danger
	}
	if f.Text == "" {
		f.Text = strings.TrimSuffix(r.What, ".")
	}
	f.Text = words(f.Text, st.with(f.Section), f.Train)
	return f
}

// note raises a rule on the present event with what was expected instead.
func (st *step) note(id rulebook.RuleID, section, train, expected string) *Finding {
	return st.noteSaying(id, section, train, "", expected)
}

// noteSaying is note in the words of what was done.
func (st *step) noteSaying(id rulebook.RuleID, section, train, says, expected string) *Finding {
	f := st.finding(id)
	f.Section, f.Train, f.Expected = cmp.Or(section, f.Section), cmp.Or(train, f.Train), cmp.Or(expected, f.Expected)
	f.Text, f.Rests = says, []int64{st.e.Seq}
	return st.add(f)
}

// wouldBreak is the finding, not raised, that there would be if what the entry is taken to
// show were not so.
func (st *step) wouldBreak(id rulebook.RuleID, section, line, train string) Finding {
	f := st.finding(id)
	f.Section, f.Line, f.Train, f.Rests = section, line, train, []int64{st.e.Seq}
	return st.complete(f)
}

// find raises a rule broken by an act on a line.
func (d *action) find(id rulebook.RuleID, expected string) { d.findSaying(id, "", expected) }

// findSaying is find in the words of the act that was done.
func (d *action) findSaying(id rulebook.RuleID, says, expected string) {
	if d.saidAlready(id) {
		return
	}
	f := d.finding(id)
	f.Section = d.section().Neighbour
	f.Line = d.lineName()
	if d.train != nil {
		f.Train = d.train.Label(d.b)
	}
	f.Expected = cmp.Or(expected, f.Expected)
	if s := d.ls().Seq; s != 0 && s != d.e.Seq {
		f.Rests = append(f.Rests, s)
	}
	if id == rulebook.OutOfSectionTailLampNotSeen && d.train.PlaceSeq != 0 {
		f.Rests = append(f.Rests, d.train.PlaceSeq) // its arrival, without a word of the lamp
	}
	f.Rests = append(f.Rests, d.e.Seq)
	if f.Text = says; says == "" {
		f.Text = d.asDone(id)
	}
	said := d.add(f)
	said.Text += d.because(id)
	switch need := d.unmet(); {
	case id == rulebook.EnteringTwice && d.dir == Inward && d.e.Train == "" && !d.section().Method.Is().Follows:
		d.perhapsTwo(rulebook.EnteredWithoutAcceptance, "", *said, "line clear given by this box before the train enters")
	case id == rulebook.AcceptedConverging:
		d.rests(said, d.coming(d.converges))
	case id == rulebook.OutOfGaugeOpposed:
		d.rests(said, d.beside())
	case id == rulebook.AcceptedBothWays:
		d.rests(said, d.coming(oneLine))
	case id == rulebook.AcceptedConditionUnmet && need != "foot-of-gradient":
		d.rests(said, d.forward())
	}
	for _, t := range d.s.Trains {
		met := t.occupies(d.line) || t.accepted(d.line) && id != rulebook.EnteredWithoutAcceptance
		if id == rulebook.AcceptedSectionOccupied && d.section().Method.Is().Follows && !t.leg(d.dir).Falsely {
			continue // they follow one another: it is not against those there
		}
		if (tooMany[id] || permissive[id] || id == rulebook.ShuntNotBack || id == rulebook.EnteredWithoutAcceptance) && (d.train == nil || t.ID != d.train.ID) && met {
			d.against = append(d.against, foundOver{id, d.line, t.ID})
		}
	}
}

// asDone are the words of a rule, with the act that was done where it names both that break it.
func (d *action) asDone(id rulebook.RuleID) string {
	r, _ := rulebook.RuleNamed(id)
	what := strings.TrimSuffix(r.What, ".")
	for _, act := range [...]string{"given", "sent"} {
		done := "received"
		if d.mine {
			done = act
		}
		what = strings.Replace(what, act+" or received", done, 1)
	}
	return what
}

// saidAlready says whether this event has the same finding already, or one
// that says more of the same fact; a lesser one is taken back.
func (d *action) saidAlready(id rulebook.RuleID) bool {
	for i, f := range d.found {
		if f.Rule == id && f.Section == d.section().Neighbour && f.Line == d.lineName() && f.Seq == d.e.Seq {
			return true
		}
		// An offer that should not have been made and was then accepted is one
		// fault: ours, whichever of the two we did.
		if f.Seq == d.e.Seq && (f.Rule == rulebook.OfferedBeforeOutOfSection || f.Rule == rulebook.OfferedWhileBlocked) && d.act.By() == rulebook.Advance {
			if !d.mine && id != rulebook.OpposingAcceptance {
				return true
			}
			d.found = append(d.found[:i:i], d.found[i+1:]...)
			return false
		}
	}
	return false
}

// foundNow is the place of what this entry was found to break; -1 for nothing of that rule.
func (st *step) foundNow(id rulebook.RuleID) int {
	return slices.IndexFunc(st.found, func(f Finding) bool { return f.Rule == id && f.Seq == st.e.Seq })
}

// words is a finding in plain words: what was done, by which train, where.
func words(text, section, train string) string {
	return text + So(train != "", ": "+train) + So(section != "", " ("+section+")")
}

// because adds the fact a finding rests on.
func (d *action) because(id rulebook.RuleID) string {
	switch id {
	case rulebook.AcceptedClearingPointFouled, rulebook.OutOfSectionClearingPointFouled:
		only := 0
		if id == rulebook.OutOfSectionClearingPointFouled && d.train != nil {
			only = d.train.ID
		}
		if t := d.fouling(only); t != nil {
			return "; " + t.Label(d.b) + " stands at " + t.Place
		}
	case rulebook.AcceptedConditionUnmet:
		return "; " + optionWords(rulebook.Conditions, d.unmet())
	case rulebook.AcceptedSectionOccupied, rulebook.OfferedBeforeOutOfSection, rulebook.EnteredWithoutAcceptance:
		t := d.s.occupied(d.line)
		if t == nil && id == rulebook.AcceptedSectionOccupied {
			t = d.lostTrain()
		}
		if t != nil && (d.train == nil || t.ID != d.train.ID) {
			return "; " + t.Label(d.b) + " is not out of section"
		}
	case rulebook.TokenAlreadyOut, rulebook.TokenNumberDiffers, rulebook.OutOfSectionTokenNotIn:
		if n := d.tokens().Out; n != 0 {
			return "; token " + strconv.Itoa(n) + " is out"
		}
	}
	return ""
}

func optionWords(list []rulebook.Option, name string) string {
	for _, o := range list {
		if o.Name == name {
			return o.Words
		}
	}
	return name
}

// expectedOf says what was expected in place of an act that its row is against. A train
// that has gone without line clear is past what may come next on a line without it.
func (d *action) expectedOf(row *Row) string {
	who := d.with(d.section().Neighbour)
	given := d.ls().Phase.lineClear()
	switch {
	case given && (row.Rule == rulebook.AcceptedTwice || row.Rule == rulebook.OpposingAcceptance):
		return "one of the two trains cancelled, and that acknowledged, before either goes"
	case given && row.Rule == rulebook.BlockingBackTrainSignalled:
		return "the train accepted cancelled first, and that acknowledged; obstruction danger, if it may have gone"
	case row.Rule != rulebook.EnteredWithoutAcceptance:
		return d.expectedHere()
	case d.dir == Outward:
		return "line clear from " + who + " before the train goes: stop it if it can be stopped, ask " + who + " whether he gave line clear, and book what was done"
	}
	return "line clear given by this box before the train enters: stop what it could meet, ask " + who + " what he sends, and book what was done"
}

// expectedHere says what may regularly come next on the line. What waits for a
// condition is told with it; what needs another train or an instruction, and a
// way out such as cancelling, is named only where it is open.
func (d *action) expectedHere() string {
	out, now := d.firstOf(), "next on this line (now: "+d.ls().Phase.String()+"): "
	if out != "" {
		return now + out
	}
	for a := Act(0); a < actCount; a++ {
		r := d.machine().Row(d.ls().Phase, false, a)
		if r == nil || r.Rule != "" || a == ActDanger || a == ActRefuse || r.To == r.From && a != ActRestore && a != ActDraw {
			continue
		}
		first := d.unmetBy(r)
		if first != "" && a != ActOut && a != ActUnblock && a != ActReplaced {
			continue
		}
		out += So(out != "", ", or ") + a.String() + first
	}
	return So(out != "", now+out)
}

// firstOf tells what is to come before anything else on the line: the train in the
// section, and the token that is out, each in the order in which it is done.
func (d *action) firstOf() string {
	token := So(d.byToken() && d.tokens().Out != 0, "token put in, then ")
	t := d.s.occupied(d.line)
	switch {
	case d.ls().Phase == ShuntReleased && token != "":
		return token + ActReplaced.String()
	case d.ls().Phase != InSection || t == nil || d.section().Method.Is().Follows:
		return ""
	case dirOn(t, d.line, true) == Outward && !t.Returned && t.Back:
		return "wait until " + t.Label(d.b) + ", which assisted, is back"
	case dirOn(t, d.line, true) == Outward && !t.Returned:
		return "wait for train out of section from " + d.with(d.section().Neighbour) + ", for " + t.Label(d.b)
	case !t.clearOfSection() && !t.Returned:
		return "wait until " + t.Label(d.b) + " has arrived complete; then " + token + ActOut.String()
	}
	return token + ActOut.String() + d.unmetBy(d.machine().Row(InSection, false, ActOut))
}

// unmetBy tells the conditions of a row that do not hold for the train the line
// has, in words that follow the act.
func (d *action) unmetBy(r *Row) string {
	next := *d
	next.act, next.dir = r.Act, d.ls().Dir
	next.mine = (r.Act.By() == rulebook.Advance) == (next.dir == Inward)
	next.train = cmp.Or(d.s.occupied(d.line), d.s.Train(d.ls().Train))
	first := ""
	for i := range r.Guards {
		g := &r.Guards[i]
		if g.Rule == rulebook.TokenNotInInstrument || g.Rule == rulebook.TokenNumberDiffers {
			continue // which number it will be nobody has said
		}
		if (!g.Mine || next.mine) && !g.holds(&next) {
			first += ", " + g.Name
		}
	}
	if first == "" {
		return ""
	}
	return " (first: " + first[2:] + ")"
}

// explain strikes off the findings of an entry that has been explained, and what was found
// not done with them: the remark says what has become of it. What was due at once is no remark's.
func (st *step) explain() {
	st.strike("", func(p *Pending) bool { return p.Undone() && p.Seq == st.e.Target && !dutyOf[p.Rule].atOnce }, false)
	if slices.ContainsFunc(st.s.Open, func(f *Finding) bool { return f.Seq == st.e.Target }) {
		st.s.Open = slices.DeleteFunc(slices.Clone(st.s.Open), func(f *Finding) bool { return f.Seq == st.e.Target })
	}
}

// remember keeps what was found until somebody explains it.
func (st *step) remember() {
	var kept []*Finding
	for _, f := range st.found {
		if f.Severity != rulebook.Advice {
			kept = append(kept, &f)
		}
	}
	if len(kept) == 0 {
		return
	}
	all := slices.Concat(st.s.Open, kept) // copied once: other states share the list
	st.s.Open = all[max(0, len(all)-maxOpen):]
}

// correction raises a correction nobody has signed: no one on duty.
func (st *step) correction() {
	if st.s.DutyKnown && len(st.s.OnDuty) == 0 {
		st.note(rulebook.CorrectionUnsigned, "", "", "whoever corrects an entry signed on")
	}
	st.unsigned()
}
