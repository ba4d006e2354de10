package block

import (
	"slices"

	"fairhand/block/rulebook"
)

var tokensIn = Guard{
	Name: "no token out", Rule: rulebook.TokenAlreadyOut, For: withToken,
	Expected: "every token of the section in the instruments first",
	holds: func(d *action) bool { // by message, one that a train brought is kept here
		ts := d.tokens()
		return ts.Out == 0 || ts.OutBy == Inward && d.s.Circuits[d.ref().section].Message && d.s.occupied(d.line) == nil
	},
}

var tokensCount = Guard{
	Name: "no token in the technician's custody", Rule: rulebook.TokenCountDiffers, For: withToken, Mine: true,
	Expected: "the technician's transfer closed and the count at both ends agreed first",
	holds:    func(d *action) bool { return d.tokens().Count(TokenInCustody) == 0 },
}

// noneLost: with a token lost the instruments are suspended, where the rule set
// says so, until other working is begun, the token is found or the technician has
// put the instruments right.
var noneLost = Guard{
	Name: "no token of the section lost", Rule: rulebook.WorkedWithTokenLost, For: withToken, Mine: true,
	Expected: "working by message, or the token found, or the instruments put right and the tokens counted",
	holds:    func(d *action) bool { return !d.tokens().Lost },
}

// numberTold: the number of the token drawn at the far end is told before its train
// enters, where the rule set has it told.
var numberTold = Guard{
	Name: "the number of its token told", Rule: rulebook.TokenNotTold, For: withToken,
	Expected: "the number of the token drawn at the other end, booked before the train enters",
	holds: func(d *action) bool {
		return !d.b.Rules.TellTokenNumber || d.dir == Outward || byMessage.holds(d) || len(d.section().Tokens.Charge) == 0 || d.tokens().Out != 0 || !d.ls().Phase.lineClear()
	},
}

var noTokenOut = Guard{
	Name: "no token out already", Rule: rulebook.TokenAlreadyOut, Replaces: true,
	Expected: "at most one token of a section out",
	holds:    func(d *action) bool { return d.tokens().Out == 0 },
}

var numberHere = Guard{
	Name: "number in that instrument", Rule: rulebook.TokenNotInInstrument,
	Expected: "a number that the book shows in that instrument",
	holds: func(d *action) bool {
		switch w := d.lies(d.number); w {
		case TokenGone, TokenUnfit, TokenRecovered, TokenOutOf: // another guard says so; or it is not of the section
			return true
		default:
			return w == d.instrument() || d.strayed()
		}
	},
}

var tokenFit = Guard{
	Name: "token fit for use", Rule: rulebook.TokenLostOrDamaged,
	Expected: "a lost, found or damaged token kept by and not issued",
	holds: func(d *action) bool {
		w := d.lies(d.number)
		return w != TokenGone && w != TokenUnfit && w != TokenRecovered || !slices.Contains(d.section().Tokens.Charge, d.number)
	},
}

// lineClearGiven: a release given under obstruction danger is found when it is
// given; the token drawn on it is drawn on a release.
var lineClearGiven = Guard{
	Name:  "line clear given for it",
	holds: func(d *action) bool { return d.train != nil && d.train.accepted(d.line) },
}

var tokenBooked = Guard{
	Name: "token booked out", Rule: rulebook.EnteredWithoutToken, For: withToken, Mine: true,
	Expected: "the token drawn and its number recorded before the train enters",
	holds: func(d *action) bool { // one with another section's token is told of by tokenWithTrain
		return d.tokens().Out != 0 || byMessage.holds(d) || d.act == ActDepart && d.wrongToken()
	},
}

// wrongToken says whether the train is recorded with a token that is not of
// this section.
func (d *action) wrongToken() bool {
	t := d.train
	return t != nil && t.Carries.Any && t.Carries.Section != d.ref().section
}

var tokenWithTrain = Guard{
	Name: "token of this section with the train", Rule: rulebook.TokenWrongSection, For: withToken, Mine: true, Replaces: true,
	Expected: "the token of this section in the driver's hands",
	holds:    func(d *action) bool { return !d.wrongToken() },
}

var tokenOfSection = Guard{
	Name: "token of this section with the train", Rule: rulebook.TokenWrongSection, For: withToken, Mine: true,
	Expected: "the token of this section in the driver's hands",
	holds:    func(d *action) bool { return !d.wrongToken() },
}

var noOpposing = Guard{
	Name: "no authority for an opposing train", Rule: rulebook.OpposingAcceptance, Mine: true,
	Says:     "A train was let onto the single line against one that has it",
	Expected: "no train let in against one that has the section",
	holds: func(d *action) bool {
		p := d.ls().Phase
		return !p.lineClear() && p != InSection || toAssist.holds(d)
	},
}

var tokenBack = Guard{
	Name: "token in the instrument", Rule: rulebook.OutOfSectionTokenNotIn, For: withToken, Mine: true,
	Expected: "the token put into the instrument first",
	holds: func(d *action) bool {
		if d.act == ActOut && (d.train == nil || d.dir == Outward && !d.train.Returned || d.dir == Inward && !d.train.clearOfSection()) {
			return true // not arrived says it all
		}
		if d.tokens().Out != 0 {
			return d.keptHere()
		}
		// The far box need not tell us the number it drew; our own book must
		// still show the token of a train that came here put in.
		return d.act != ActOut || d.dir != Inward || d.train == nil || d.train.In.TokenIn || len(d.section().Tokens.Charge) == 0 ||
			!d.train.In.HasToken && (byMessage.holds(d) || d.e.Kind == MessageTo && d.train.In.Accepted == 0) || d.keptHere()
	},
}

// keptHere says whether the token that is out is kept out of an instrument that does not work, or is lost,
// where a train is reported by message: that of this one, which was belled in, or of one before,
// and this one came without.
func (d *action) keptHere() bool {
	t, said := d.train, d.e.Kind == MessageTo || d.code != nil && d.code.Code.Spoken()
	if d.dir != Inward || !said || t == nil || !d.s.Circuits[d.ref().section].Message && !d.tokens().Lost {
		return false
	}
	return t.In.Accepted != 0 || t.In.Token == 0 && !t.In.HasToken && t.ID != d.tokens().Train
}

var tokenBackFirst = Guard{
	Name: "token back before cancelling", Rule: rulebook.TokenCancelledWhileOut, For: withToken,
	Expected: "the token back in the instrument before cancelling",
	holds: func(d *action) bool {
		out := d.ls().Phase == InSection && (d.train == nil || !d.train.Returned) // it has not come back: that says it all
		return out || d.tokens().Out == 0
	},
}

var restoreAfterArrival = Guard{
	Name: "train arrived before its token goes in", Rule: rulebook.TokenInBeforeArrival,
	Expected: "the train recorded arrived and complete before the token is put in",
	holds: func(d *action) bool {
		t := d.s.occupied(d.line)
		return d.dir != Inward || d.far || t == nil || t.clearOfSection()
	},
}

var restoreAfterReturn = Guard{
	Name: "train away in the section", Rule: rulebook.TokenInAtSendingEnd,
	Expected: "the token put in at the other end, or the return of the train recorded first",
	holds: func(d *action) bool {
		t := d.s.occupied(d.line)
		return d.dir != Outward || d.far || t == nil || t.Returned
	},
}

var numberOut = Guard{
	Name: "the number that is out", Rule: rulebook.TokenNumberDiffers,
	Expected: "the same number put in as was taken out",
	holds: func(d *action) bool {
		if t := d.train; t != nil && d.dir == Inward && !t.In.TokenIn && t.In.Token != 0 && t.In.Token != d.number {
			return false
		}
		stays := slices.ContainsFunc(d.s.Trains, func(t *Train) bool { // that stands here was handed it, and another went on its line clear
			return t.Where == Here && t.Out.Line == d.line && t.Out.HasToken && t.Out.Token == d.number && t.Out.Entered == 0
		})
		out := d.tokens().Out
		return out != 0 && out == d.number || out == 0 && (d.untold() || d.cameUnbooked() || d.lateIn() || d.lost(d.number) && !d.b.Rules.SuspendedOnLoss || stays)
	},
}

// lost says whether a token is lost, or was and is not yet in an instrument again.
func (d *action) lost(number int) bool {
	w := d.lies(number)
	return slices.Contains(d.section().Tokens.Charge, number) && (w == TokenGone || w == TokenRecovered)
}

// lostIts says whether a train came here without the token of the section, which is lost.
func (st *step) lostIts(t *Train) bool {
	return t.In.Token != 0 && !t.In.TokenIn && st.online(t.In.Line).lost(t.In.Token)
}

// notPutBack: a token put back is not drawn again on the same release; the
// release is first given up by cancelling or token replaced.
var notPutBack = Guard{
	Name: "release not used already", Rule: rulebook.TokenDrawnBeforeClosed, Replaces: true,
	Expected: "cancelling or token replaced, and a new release",
	holds:    func(d *action) bool { return !d.ls().TokenBack },
}

// whereDrawn says whether a token goes back at the end the release was given to.
func (d *action) whereDrawn() bool { return (d.ls().Dir == Inward) == d.far }

// sameEnd: a token drawn and not used goes back where it was drawn.
var sameEnd = Guard{
	Name: "put back where it was drawn", Rule: rulebook.TokenInBeforeArrival,
	Expected: "the token put back at the end where it was drawn, or its train booked here first",
	holds:    (*action).whereDrawn,
}

var sameEndShunt = Guard{
	Name: "put back where it was drawn", Rule: rulebook.TokenInAtSendingEnd,
	Expected: "the token put back at the end where it was drawn",
	holds:    (*action).whereDrawn,
}

// drawnForShunt: token replaced answers a token that was drawn; a release not
// used is given up by cancelling.
var drawnForShunt = Guard{
	Name: "a token drawn on the release", Rule: rulebook.ShuntReleaseNotAsked, Mine: true,
	Expected: "cancelling, for a release that was not used",
	holds: func(d *action) bool {
		return d.ls().TokenBack || d.tokens().Out != 0 || len(d.section().Tokens.Charge) == 0
	},
}

// shuntedOut: the train that went on a token released for shunting is back with it. Where its
// departure was booked as a shunt, it was no train sent away.
var shuntedOut = Guard{
	Name: "the train that went on the release back, and its token in",
	holds: func(d *action) bool {
		t := d.s.occupied(d.line)
		return t != nil && t.Returned && d.tokens().Out == 0 && d.sentOnShunt(t) != nil
	},
}

// sentOnShunt is the finding that a train was sent away on a token released for shunting.
func (d *action) sentOnShunt(t *Train) *Finding {
	return d.s.open(func(f *Finding) bool {
		return f.Rule == rulebook.TrainOnShuntToken && f.Section == d.section().Neighbour && f.Train == t.Label(d.b)
	})
}

// otherEnd: out of section comes from the end that has the train.
var otherEnd = Guard{
	Name: "the train at the end that gives it", Rule: rulebook.OutOfSectionNoTrain, For: onSingle,
	Expected: "out of section from the end that has the train",
	holds: func(d *action) bool {
		return d.mine || d.train == nil || !d.train.Returned && (d.dir == Outward || !d.train.clearOfSection())
	},
}
