package block

import "slices"

var tokensIn = Guard{
	Name: "no token out", Rule: "token-already-out",
	Expected: "every token of the section in the instruments first",
	holds:    func(d *deed) bool { return d.tokens().Out == 0 },
}

var tokensCount = Guard{
	Name: "no token in the technician's custody", Rule: "token-count-differs", Mine: true,
	Expected: "the technician's transfer closed and the count at both ends agreed first",
	holds:    func(d *deed) bool { return d.tokens().Count(TokenInCustody) == 0 },
}

var noTokenOut = Guard{
	Name: "no token out already", Rule: "token-already-out", Replaces: true,
	Expected: "at most one token of a section out",
	holds:    func(d *deed) bool { return d.tokens().Out == 0 },
}

var numberHere = Guard{
	Name: "number in that instrument", Rule: "token-not-in-instrument",
	Expected: "a number that the book shows in that instrument",
	holds: func(d *deed) bool {
		i := slices.Index(d.section().Tokens.Charge, d.number)
		if i < 0 {
			return len(d.section().Tokens.Charge) == 0
		}
		w := d.tokens().Where[i]
		if w == TokenGone || w == TokenUnfit || w == TokenRecovered || w == TokenOutOf {
			return true // another guard says so
		}
		return w == d.instrument()
	},
}

var tokenFit = Guard{
	Name: "token fit for use", Rule: "token-lost-or-damaged",
	Expected: "a lost, found or damaged token kept by and not issued",
	holds: func(d *deed) bool {
		i := slices.Index(d.section().Tokens.Charge, d.number)
		if i < 0 {
			return true
		}
		w := d.tokens().Where[i]
		return w != TokenGone && w != TokenUnfit && w != TokenRecovered
	},
}

var tokenBooked = Guard{
	Name: "token booked out", Rule: "entered-without-token", Mine: true,
	Expected: "the token drawn and its number recorded before the train enters",
	holds:    func(d *deed) bool { return d.tokens().Out != 0 },
}

var tokenWithTrain = Guard{
	Name: "token of this section with the train", Rule: "token-wrong-section", Mine: true, Replaces: true,
	Expected: "the token of this section in the driver's hands",
	holds:    func(d *deed) bool { return !d.wrongToken() },
}

var tokenOfSection = Guard{
	Name: "token of this section with the train", Rule: "token-wrong-section", Mine: true,
	Expected: "the token of this section in the driver's hands",
	holds:    func(d *deed) bool { return !d.wrongToken() },
}

var noOpposing = Guard{
	Name: "no authority for an opposing train", Rule: "opposing-acceptance", Mine: true,
	Expected: "no train let in against one that has the section",
	holds: func(d *deed) bool {
		p := d.ls().Phase
		return p != Accepted && p != RestrictedLC && p != InSection
	},
}

var tokenBack = Guard{
	Name: "token in the instrument", Rule: "out-of-section-token-not-in", Mine: true,
	Expected: "the token put into the instrument first",
	holds: func(d *deed) bool {
		if d.act == ActOut && (d.train == nil || d.dir == Outward && !d.train.Returned || d.dir == Inward && !d.train.clearOfSection()) {
			return true // not arrived says it all
		}
		if d.tokens().Out != 0 {
			return false
		}
		// The far box need not tell us the number it drew; our own book must
		// still show the token of a train that came here put in.
		return d.act != ActOut || d.dir != Inward || d.train == nil || d.train.In.TokenIn || len(d.section().Tokens.Charge) == 0
	},
}

var tokenBackFirst = Guard{
	Name: "token back before cancelling", Rule: "token-cancelled-while-out",
	Expected: "the token back in the instrument before cancelling",
	holds:    func(d *deed) bool { return d.tokens().Out == 0 },
}

var restoreAfterArrival = Guard{
	Name: "train arrived before its token goes in", Rule: "token-in-before-arrival",
	Expected: "the train recorded arrived and complete before the token is put in",
	holds: func(d *deed) bool {
		if d.dir != Inward || d.far {
			return true
		}
		t := d.s.occupied(d.line)
		return t == nil || t.clearOfSection()
	},
}

var restoreAfterReturn = Guard{
	Name: "train away in the section", Rule: "token-in-at-sending-end",
	Expected: "the token put in at the other end, or the return of the train recorded first",
	holds: func(d *deed) bool {
		if d.dir != Outward || d.far {
			return true
		}
		t := d.s.occupied(d.line)
		return t == nil || t.Returned
	},
}

var numberOut = Guard{
	Name: "the number that is out", Rule: "token-number-differs",
	Expected: "the same number put in as was taken out",
	holds: func(d *deed) bool {
		out := d.tokens().Out
		return out != 0 && out == d.number || out == 0 && d.untold()
	},
}
