package block

import (
	"cmp"
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// Words said between the boxes where nothing is belled. A word does at once what
// it means: there is no repetition to wait for.

// says says whether a signal is one that section i is worked by: words where
// nothing is belled, bells elsewhere; a bell that changes nothing on the line may
// be rung everywhere.
func (b *Box) says(i int, row *rulebook.CodeRow) bool {
	how := b.Sections[i].Method.Is()
	if row.Code.Spoken() {
		return spoken.of(b.Sections[i].Method)
	}
	does := acts[row.Means] != signalling{}
	known := func(r Row) bool { return r.Act == acts[row.Means].given || r.Act == acts[row.Means].acknowledged }
	if how.Described && does && !slices.ContainsFunc(b.machine(i).Rows, known) {
		return false
	}
	return how.ByBell || !how.Offers || !does
}

// wording judges once, for all words of an entry, whether words are in place and
// whether they name the train.
func (st *step) wording(i int) {
	for k := range st.e.Bells {
		bell := &st.e.Bells[k]
		if !bell.Code.Spoken() {
			continue
		}
		row := st.b.lookup(i, bell.Code, rulebook.MeansNothing)
		c, how := &st.s.Circuits[i], st.b.Sections[i].Method.Is()
		if row.Means == rulebook.NotClear && how.Offers && how.ByBell && !how.Described && !c.unbelled() {
			return // nothing was said: an offer not acknowledged is refused. Source: signalbox.org, Block system ch. 3
		}
		if !st.b.says(i, row) && !c.unbelled() {
			st.unfit(i, row)
		}
		if full := st.wholeName(i); st.e.Train == "" || full != st.e.Train {
			st.note(rulebook.TrainNumberMissing, st.e.Section, st.e.Train, "the whole number of the train in every message")
			st.readAs(inTrain, full)
		}
		return
	}
}

// unfit raises a signal that the section is not worked by: that it is worked otherwise is
// one matter. Words go on as they began, and are said once.
func (st *step) unfit(i int, row *rulebook.CodeRow) {
	expected := "working by message booked from the minute it began, or a bell"
	if !row.Code.Spoken() {
		expected = "words: the section is worked by " + st.b.Sections[i].Method.String()
		if st.b.Sections[i].Method.Is().Described {
			expected = "nothing of the kind: on a section worked by track circuit trains are only described"
		}
	}
	root := st.foundBefore(rulebook.CodeNotAuthorised, st.e.Section, st.e.At-presumedFor)
	if root != 0 && row.Code.Spoken() {
		return
	}
	f := st.note(rulebook.CodeNotAuthorised, st.e.Section, st.e.Train, expected)
	if f.Line, f.Root = st.e.Line, root; row.Code.Spoken() {
		f.Text = words("Trains are worked in words, and working by message is not booked as begun", f.Section, f.Train)
	}
}

// foundBefore is the entry at which a rule was first found broken in a section since a
// moment, 0 for none.
func (st *step) foundBefore(rule rulebook.RuleID, section string, since Time) int64 {
	f := st.s.open(func(f *Finding) bool {
		return f.Rule == rule && f.Section == section && f.Root == 0 && f.At >= since && f.Seq != st.e.Seq
	})
	if f == nil {
		return 0
	}
	return f.Seq
}

// wholeName is the name of the train with section i to do whose name is cut short
// in the entry; that of the entry when there is none.
func (st *step) wholeName(i int) string {
	name := st.e.Train
	if name == "" || st.s.TrainNamed(name) != nil {
		return name
	}
	if t := firstTrain(st.s.Trains, func(t *Train) bool {
		return (t.In.Section == i || t.Out.Section == i || t.Where == Here) && len(name) < len(t.Name) && (strings.HasSuffix(t.Name, name) || strings.HasPrefix(t.Name, name))
	}); t != nil {
		return t.Name
	}
	return name
}

// say does what a word means.
func (st *step) say(i int, bell Bell) {
	asked := st.s.Bells[i].Asked
	if asked.Means == rulebook.Offer || asked.Means == rulebook.ReleaseToken {
		st.editBell(i).Asked = Asked{} // what was rung is now talked about
	}
	row := st.b.lookup(i, bell.Code, rulebook.MeansNothing)
	a := cmp.Or(acts[row.Means].given, acts[row.Means].acknowledged)
	if asks := a == ActOffer || a == ActAccept || a == ActRefuse; asks && st.s.Circuits[i].Message && !st.s.Circuits[i].Worded {
		st.editCircuit(i).Worded = true
	}
	line, dir := st.where(i, row, bell, a)
	if a == ActRefuse {
		line = st.refuses(asked, bell, line, dir)
	}
	if st.cancelledVain(line, a, bell.Sent) {
		return
	}
	d := st.begin(line, dir, bell.Sent)
	d.code = row
	if a == ActOut && d.otherReported() {
		return
	}
	st.lapseOffer(line, a)
	d.inquiry(a)
	d.train = d.attribute(a)
	d.crossed()
	d.do(a)
}

// crossed has the offer stand that is accepted where one of the other box has crossed it: the
// first acceptance decides which of the two trains runs. Source: Warngau, 8 June 1975; OeBB V3,
// 1962, par. 214.
func (d *action) crossed() {
	if t, ls := d.train, d.ls(); d.act != ActAccept || ls.Phase != Offered || ls.Dir == d.dir || t == nil {
		return
	} else if l := t.leg(d.dir); l.Line == d.line && l.offeredOnly() {
		ls = d.editLine(d.line)
		ls.Dir, ls.Train = d.dir, t.ID
	}
}

// otherReported raises the report of another train than the one in section, which
// then is not shown clear of it. Should it show later that it was, by a name a letter
// from its own, that was said here.
func (d *action) otherReported() bool {
	in := d.s.occupied(d.line)
	if in == nil || in.Name == "" || d.e.Train == "" || in.also(d.e.Train) {
		return false
	}
	t := d.s.TrainNamed(d.e.Train)
	seen := in.In.Line == d.line && in.clearOfSection()
	if t != nil && (t == in || t.shownIn(d.line)) || t == nil && (misspelt(d.e.Train, in.Name) || seen && Miswritten(d.e.Train, in.Name)) {
		return false // its name is miswritten: by a letter, or that it is clear was seen here
	}
	d.findSaying(rulebook.WrongTrainReported, "Another train was reported arrived than the one in the section, or its name is miswritten",
		"the arrival of "+in.Name+", by its whole number")
	if t == nil && alike(in.Name, d.e.Train) {
		d.doubt(d.line, in, StepOut)
		d.ownDoubts()[len(d.s.Doubts)-1].Said = true
	}
	return true
}

// refusedBefore: the train offered and refused is accepted later without a new
// offer, where the box's instructions have it so. Source: train reporting as
// described at farallon.dk, "now train (number) yes".
var refusedBefore = Guard{
	Name: "train refused before, and to be accepted without a new offer",
	holds: func(d *action) bool {
		return d.train != nil && d.section().Allows("accept-after-refusal") && d.train.leg(d.dir).Line == d.line && d.train.leg(d.dir).offeredOnly()
	},
}

// onlyReported: on a double line worked by telephone trains may be reported
// alone. Source: OeBB V3, 1962, par. 213.
var onlyReported = Guard{
	Name:  "trains only reported on this line, or allowed by message or pilot",
	holds: func(d *action) bool { return d.section().OnlyReported || byMessage.holds(d) },
}

// ByWord says whether section i is worked by words and not by bells.
func (b *Box) ByWord(i int) bool { return spoken.of(b.Sections[i].Method) }

// guessedName stands for the number of a train that will be told, and is to be
// written over.
const guessedName = "next train"

// numbered asks for the private number that goes with line clear given in words.
func (x *expecting) numbered(e *Expectation, d *action) {
	if d.wantsNumber() {
		e.AskPN, e.Event.PN = true, "0"
	}
	x.inquired(e, d)
}

// answerNext expects the answer to a train offered in words.
func (x *expecting) answerNext(d action) {
	t := x.s.Train(d.ls().Train)
	if d.ls().Phase != Offered || t == nil || !x.b.ByWord(d.ref().section) {
		return
	}
	means, words := rulebook.LineClear, " accepts "
	e := Expectation{Act: d.act, Mine: d.mine, Wanted: d.ls().Since}
	if d.act == ActRefuse {
		means, words, e.Wanted = rulebook.NotClear, " refuses ", x.s.Now+laterOffer-1
	}
	e.Event = x.bellEvent(&d, x.b.codeFor(d.ref().section, means, rulebook.AnyClass), t)
	if d.act == ActAccept {
		x.numbered(&e, &d)
	}
	x.inquired(&e, &d)
	e.Label = d.section().Neighbour + words + t.Label(x.b)
	if d.mine {
		e.Label = map[Act]string{ActAccept: "accept ", ActRefuse: "refuse "}[d.act] + t.Label(x.b) + " from " + d.section().Neighbour
	}
	x.offer(e)
}

// AlarmByWord is what the box that trains come from is told of an obstruction where no
// bell tells it: over a section worked by words, or by message while its bells are out.
// Source: the messages replace the bells, which have no other way there; common practice.
func (s *State) AlarmByWord(b *Box, i int) (e Event, ok bool) {
	if i < 0 || !b.ByWord(i) && !s.Circuits[i].unbelled() {
		return e, false
	}
	return Event{Kind: MessageTo, Subject: b.Sections[i].Neighbour, Text: "Obstruction danger. Stop all trains."}, true
}

// alarms expects that message as long as it is due.
func (x *expecting) alarms() {
	for _, p := range x.s.Pending {
		if p.Rule != rulebook.ObstructionDangerNotSent {
			continue
		}
		if e, ok := x.s.AlarmByWord(x.b, p.Section); ok {
			x.offer(Expectation{Event: e, Mine: true, Wanted: p.At, Label: "tell " + e.Subject + " of the obstruction"})
		}
	}
}
