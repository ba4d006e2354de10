package block

import "fairhand/block/rulebook"

// attention checks call attention before a code that needs it.
func (st *step) attention(c *BellState, row *rulebook.CodeRow, bell Bell) {
	ok := c.Ready && c.ReadyMe == bell.Sent
	if row.NoAttention {
		if acts[row.Means].given == ActDanger && ok && bell.Sent && c.ReadyAt == st.e.At {
			st.note(rulebook.CallAttentionNeedless, st.e.Section, st.e.Train, string(row.Code)+" at once, without call attention")
		}
		return
	}
	if !ok && st.b.Booking == BookExchanges {
		st.note(rulebook.CallAttentionOmitted, st.e.Section, st.e.Train, "1 and its answer before "+string(row.Code))
	}
	if row.Means != rulebook.WrongDescription {
		c.Ready, c.ReadyMe, c.ReadyAt = false, false, 0
	}
}

// unasked strikes off the answer awaited on a bell: it has come, or nobody waits for it. It
// says whether it was awaited still.
func (st *step) unasked(i int) bool {
	st.unanswered = false
	return st.strike(rulebook.NotAcknowledged, func(p *Pending) bool { return p.Section == i }, false)
}

// lost raises a signal not acknowledged, on its own entry, when another is given in its stead.
func (st *step) lost(i int, asked *Asked) {
	if !st.unasked(i) && st.e.At > asked.At+st.b.Limit(rulebook.AnswerAfter) {
		return // found when its time was up
	}
	f := st.finding(rulebook.NotAcknowledged)
	f.Seq, f.At, f.Line, f.Train, f.Rests = asked.Seq, asked.At, "", "", []int64{asked.Seq, st.e.Seq}
	if t := st.s.Train(asked.Train); t != nil {
		f.Train = t.Label(st.b)
	}
	who := "this box"
	if f.Section = st.b.Sections[i].Neighbour; asked.Sent {
		who = "the other box"
	}
	f.Expected = "the code " + string(asked.Code) + " repeated by " + who + " before another signal"
	st.add(f)
}

// repeated says whether a signal is one given before and not acknowledged, with
// attention called again or not: it waits for its answer as before and does nothing
// new. Source: C. Feather, Signal box bell codes; NPR 736: a signal is repeated until
// it is acknowledged.
func (st *step) repeated(i int, c *BellState, asked *Asked, bell Bell) bool {
	waits := asked
	if !asked.Open || asked.Means == rulebook.CallAttention {
		waits = &c.Again
	}
	if !waits.Open || waits.Void || !mustAnswer(waits.Means) || st.b.lookup(i, bell.Code, rulebook.CallAttention) != nil {
		return false
	}
	given, again := *waits, c.Again
	if again.Open && again.Sent != bell.Sent {
		return false // his own signal first: this one is still to be given again, and owed an answer
	}
	c.Again = Asked{}
	switch same := given.Sent == bell.Sent && given.Code == bell.Code; {
	case same && !st.ofNext(&given):
		c.Asked, c.Ready = given, false
		return true
	case same:
		st.lost(i, &given)
	case again.Open:
		st.lost(i, &again)
	}
	return false
}

// ofNext says whether train out of section, given again, is of the next of several in the section:
// by its name, or where none is told, when the time for the answer was up.
func (st *step) ofNext(given *Asked) bool {
	t := st.s.occupied(given.Line)
	switch {
	case given.Means != rulebook.OutOfSection || t == nil:
		return false
	case st.e.Train != "":
		return st.e.Train == t.Name
	}
	return st.e.At > given.At+st.b.Limit(rulebook.AnswerAfter)
}
