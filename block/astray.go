package block

import (
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// Astray is an offer, or its answer, that was found to be one too many on its line. Should a
// train go elsewhere whose offer is not booked, the two are one: it, or the one before it that
// has the line clear there, is written against the other box, or with its arrows turned.
type Astray struct {
	Line         int
	At           Time
	Name, Before string // as the two are written: "" for a bell that names no train
	Code         rulebook.Code
	Offered      Time // the one before, 0 where that is in the section
	Found        Answer
}

// tooMany notes an offer that the act was found to be one too many.
func (d *action) tooMany() {
	i := slices.IndexFunc(d.found, func(f Finding) bool { return f.Seq == d.e.Seq && tooMany[f.Rule] })
	if i < 0 || d.act != ActOffer && d.act != ActAccept {
		return
	}
	d.s.Astray = left(d.s.Astray, func(k *Astray) bool { return d.e.At-k.At > astrayFor || k.Found.Seq == d.e.Seq })
	k := Astray{Line: d.line, At: d.e.At, Name: d.e.Train, Found: *d.found[i].answer()}
	if d.code != nil && d.code.Means == rulebook.Offer {
		k.Code = d.code.Code
	}
	if t := d.s.Train(d.ls().Train); t != nil && t.accepted(d.line) {
		l := t.leg(dirOn(t, d.line, false))
		if k.Offered = l.Offered; !l.Assumed {
			k.Before = t.Name
		}
	}
	d.s.Astray = append(slices.Clip(d.s.Astray), k)
}

// astrayFor is how long after its offer a train may go on it. Common practice.
const astrayFor = 30 * Minute

// astray finds the offer that a train went on whose line clear is not booked, and says in
// place of that where it is written. No train went on it there without being found to.
func (st *step) astray(o *Doubt, t *Train, steps []Step, f *Finding, text *string) []Answer {
	if t == nil || steps[0] != StepAccepted {
		return nil
	}
	l := &t.Out
	if t.In.Line == o.Line && t.In.open() {
		l = &t.In
	}
	ofIt := func(name string, code rulebook.Code) bool {
		return name == t.Name || name == "" && (code == t.Code || code == "" || t.Code == "")
	}
	k := first(st.s.Astray, func(k *Astray) bool {
		late := k.Offered != 0 && k.Offered <= l.Entered && ofIt(k.Before, k.Code)
		return k.Line != o.Line && (late || k.At <= l.Entered && ofIt(k.Name, k.Code)) && !st.wentOnIt(k)
	})
	if k == nil {
		return nil
	}
	was := *k
	st.s.Astray = left(st.s.Astray, func(k *Astray) bool { return *k == was })
	f.Rule, f.Expected = rulebook.TrainNameDiffers, "the offer and its answer written where they were given: correct that entry"
	f.Rests = append([]int64{was.Found.Seq}, f.Rests...)
	*text = misplacedWords("the offer", st.b.Sections[st.b.lines[was.Line].section].Neighbour, st.b.Sections[st.b.lines[o.Line].section].Neighbour, t.Label(st.b))
	o.Said = slices.ContainsFunc(st.s.Open, func(g Finding) bool {
		return g.Rule == f.Rule && g.Train == t.Label(st.b) && strings.HasPrefix(g.Text, *text)
	})
	return []Answer{was.Found}
}

// wentOnIt says whether a train was signalled on the line since that had no line clear, or
// was one too many.
func (st *step) wentOnIt(k *Astray) bool {
	return slices.ContainsFunc(st.s.Open, func(f Finding) bool {
		return (f.Rule == rulebook.EnteredWithoutAcceptance || f.Rule == rulebook.EnteringTwice) && f.At >= k.At && st.lineOf(&f) == k.Line
	})
}

// onceOffered takes an offer that repeats that of the train now out of section, of its
// minute and its description, as that one written twice: no other came on it.
func (d *action) onceOffered(t *Train, l *Leg) {
	k := first(d.s.Astray, func(k *Astray) bool {
		return k.Line == l.Line && k.At == l.Offered && k.Offered == k.At && k.Name == "" && k.Before == "" && k.Code == t.Code && !d.wentOnIt(k)
	})
	if k == nil {
		return
	}
	was := *k
	d.s.Astray = left(d.s.Astray, func(k *Astray) bool { return *k == was })
	d.answered([]Answer{was.Found})
	f := d.note(rulebook.AcceptedTwice, d.section().Neighbour, t.Label(d.b), "the exchange written once: correct the one that is too many")
	f.Severity, f.Text = rulebook.Irregular, words("The offer is written twice, and one train came", d.section().Neighbour, t.Label(d.b))
	f.Rests = []int64{was.Found.Seq, d.e.Seq}
}
