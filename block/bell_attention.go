package block

import "fairhand/block/rulebook"

// attention checks call attention before a code that needs it.
func (st *step) attention(i int, row *rulebook.CodeRow, bell Bell) {
	c := st.editCircuit(i)
	ok := c.Ready && c.ReadyMe == bell.Sent
	if row.NoAttention {
		switch row.Means {
		case rulebook.ObstructionDanger, rulebook.RunawayRight, rulebook.RunawayWrong:
			if ok && bell.Sent && c.ReadyAt == st.e.At {
				st.note(rulebook.CallAttentionNeedless, st.e.Section, st.e.Train, string(row.Code)+" at once, without call attention")
			}
		}
		return
	}
	if !ok && st.b.Booking == BookExchanges {
		st.note(rulebook.CallAttentionOmitted, st.e.Section, st.e.Train, "1 and its answer before "+string(row.Code))
	}
	if row.Means != rulebook.WrongDescription {
		c.Ready = false
	}
}

// authorised checks codes that only some boxes may use.
func (st *step) authorised(i int, row *rulebook.CodeRow) {
	s := &st.b.Sections[i]
	if row.Means == rulebook.TrainApproaching && !s.Allows("train-approaching") {
		st.note(rulebook.CodeNotAuthorised, st.e.Section, st.e.Train, "this box's instructions to authorise "+string(row.Code))
	}
}
