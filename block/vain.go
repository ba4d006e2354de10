package block

// Vain is an offer, or a request for a token, that was against the regulations as the book
// stands, so that nothing came of it. Cancelling is of it, and of no train that is on the line.
type Vain struct {
	Seq   int64  // its entry, 0 for none
	Train string // the train that it names
	Sent  bool   // by this box
}

// inVain keeps an offer that does not stand, until something else is done on the line.
func (d *action) inVain(regular bool) {
	if p := d.ls().Phase; (d.act == ActOffer || d.act == ActAskRelease) && !regular && p != Offered && p != ShuntAsked {
		d.editLine(d.line).Vain = Vain{d.e.Seq, d.e.Train, d.mine}
	} else if d.ls().Vain.Seq != 0 {
		d.editLine(d.line).Vain = Vain{}
	}
}

// cancelsVain says whether an act is the cancelling of the offer on a line that did not stand.
func (st *step) cancelsVain(line int, a Act, sent bool) bool {
	v := st.s.Lines[line].Vain
	return v.Seq != 0 && (a == ActCancel || a == ActRedescribe) && v.Sent == sent && (st.e.Train == "" || v.Train == "" || st.e.Train == v.Train)
}

// cancelledVain is cancelsVain of an act that is done: the offer is no more.
func (st *step) cancelledVain(line int, a Act, sent bool) bool {
	if !st.cancelsVain(line, a, sent) {
		return false
	}
	st.editLine(line).Vain = Vain{}
	return true
}
