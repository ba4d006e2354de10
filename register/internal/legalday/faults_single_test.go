package legalday

import (
	"fmt"
	"strings"

	"fairhand/block/rulebook"
)

// tokenFaults are faults of token working.
var tokenFaults = []Fault{
	{"token drawn with no release", "Severn Valley notes; Block Working Manual Part A 3.2, 8.1(e)", ids{rulebook.TokenOutWithoutRelease}, atLoop,
		func(e *edit) bool {
			i := e.alone(ClearIn, "")
			return e.put(i, e.ours(i, "out"), e.ours(i, "in"))
		}},
	{"second token drawn", "GWR electric token apparatus 1936", ids{rulebook.TokenAlreadyOut}, atLoop,
		func(e *edit) bool {
			i := e.pickIf(TokenOut, "token", func(i int) bool { return e.other(i) > 0 })
			return i >= 0 && e.put(i, fmt.Sprintf("$S token %d out", e.other(i)), fmt.Sprintf("$S token %d in", e.other(i)))
		}},
	{"another token came back", "General Rules (India) 14.12(2)(a)", ids{rulebook.TokenNumberDiffers}, atLoop,
		func(e *edit) bool {
			i := e.pickIf(TokenIn, "token", func(i int) bool { return e.next(i, ClearIn) < 0 && e.other(i) > 0 && e.received(i) })
			return i >= 0 && e.put(i-1, fmt.Sprintf("%s token %d in", e.Acts[i].Section, e.other(i)))
		}},
	{"token of the other section put in", "Block Working Manual Part A 8.1(m); Abermule 1921", ids{rulebook.TokenWrongSection}, atLoop,
		func(e *edit) bool {
			i := e.pickIf(TokenIn, "token", e.received)
			return i >= 0 && e.put(i-1, fmt.Sprintf("%s token %d in", e.Acts[i].Section, (numberOf(e.Acts[i].Body)+20)%40))
		}},
	{"left with no token", "General Rules (India) 6.06", ids{rulebook.EnteredWithoutToken}, atLoop,
		func(e *edit) bool {
			i := e.acceptedOut("token")
			k, j := e.next(i, TokenOut), e.next(i, EnterOut)
			if k < 0 || j < 0 {
				return false
			}
			if h := e.next(i, TokenHand); h > 0 && h < j {
				return false
			}
			return e.drop(k, k, j)
		}},
	{"out of section before the token is in", "Severn Valley notes; Abermule 1921", ids{rulebook.OutOfSectionTokenNotIn}, atLoop,
		func(e *edit) bool {
			i := e.pickIf(ClearIn, "token", func(i int) bool { return e.lastIn(i) >= 0 && e.at(e.lastIn(i)) })
			return e.move(i, e.lastIn(i))
		}},
	{"token in before the train is complete", "RAIB 13/2008, Aylesbury", ids{rulebook.TokenInBeforeArrival}, atLoop,
		func(e *edit) bool {
			i := e.pick(ClearIn, "token", "")
			a := e.before(i, Arrived)
			if h := e.find(i, -1, func(a *Act) bool { return a.Kind == TokenHand }); h > a {
				return false
			}
			return e.move(e.lastIn(i), a)
		}},
	{"line clear given both ways", "Block Working Manual Part A 3.9(c), 3.12(c)", ids{rulebook.OpposingAcceptance}, atLoop,
		func(e *edit) bool { return e.put(e.acceptedOut("token"), accept, cancelled) }},
	{"line clear given against a train on the way", "Block Working Manual Part A 3.12", ids{rulebook.OpposingAcceptance}, atLoop,
		func(e *edit) bool { return e.put(e.pick(EnterOut, "token", ""), accept, cancelled) }},
	{"accepted with one accepted", "Block Working Manual Part A 3.12(b)", ids{rulebook.AcceptedTwice}, atLoop,
		func(e *edit) bool { return e.put(e.acceptedIn("token"), accept, cancelled) }},
	{"offered before out of section, token", "Block Working Manual Part A 3.8(b), 3.9(a)", ids{rulebook.OfferedBeforeOutOfSection}, atLoop,
		func(e *edit) bool { return e.put(e.pick(EnterOut, "token", ""), offer) }},
	{"token put back with the train away", "General Rules (India) 14.12(2)(c)", ids{rulebook.TokenInAtSendingEnd}, atLoop,
		func(e *edit) bool {
			i := e.acceptedOut("token")
			k := e.next(i, TokenOut)
			return k >= 0 && e.put(e.next(i, EnterOut), fmt.Sprintf("$S token %d in", numberOf(e.Acts[k].Body)))
		}},
	{"cancelled with the token out", "Block Working Manual Part A 3.3(A)", ids{rulebook.TokenCancelledWhileOut}, atLoop,
		func(e *edit) bool {
			i := e.pick(CancelOut, "token", "")
			k := e.lastIn(i)
			if k < 0 {
				return false
			}
			in := e.Acts[k].Body
			e.write(i, in)
			return e.drop(k, k, i)
		}},
	{"token put back, cancelling not sent", "Block Working Manual Part A 3.3(A)", ids{rulebook.CancellingNotSent, rulebook.OfferedBeforeOutOfSection}, atLoop,
		func(e *edit) bool {
			i := e.pick(CancelOut, "token", "")
			return e.drop(i, e.lastIn(i), e.next(i, OfferOut))
		}},
	{"token drawn before the section is closed", "Block Working Manual Part A 3.8(b); token-line table, W-38", ids{rulebook.TokenDrawnBeforeClosed}, atLoop,
		func(e *edit) bool {
			i := e.pickIf(TokenIn, "token", e.received)
			return i >= 0 && e.put(i, e.Acts[i].Section+fmt.Sprintf(" token %d out", numberOf(e.Acts[i].Body)), e.Acts[i].Body)
		}},
	{"a train on a shunting token", "token-line table, W-39", ids{rulebook.TrainOnShuntToken, rulebook.EnteredWithoutAcceptance}, atLoop,
		func(e *edit) bool {
			return e.put(e.shuntDrawn(), "train 0W09 departed for $S", `train 0W09 arrived at Yard from $S complete`)
		}},
	{"offered with a shunting token out", "Railway block code; trade notes SL-43", ids{rulebook.OfferedBeforeOutOfSection}, atLoop,
		func(e *edit) bool { return e.put(e.shuntDrawn(), offer) }},
	{"token replaced, none released", "trade notes SL-44", ids{rulebook.ShuntReleaseNotAsked}, atLoop,
		func(e *edit) bool { return e.put(e.alone(ClearIn, ""), "$S >1 <1 >2-5 <2-5") }},
	{"token replaced before it is in", "token-line table, W-06", nil, atLoop,
		func(e *edit) bool {
			i := e.pick(ShuntBell, "token", ">2-5")
			return e.move(i, e.find(i, -1, func(a *Act) bool { return a.Kind == TokenIn }))
		}},
	{"the token a train came with handed on", "Abermule 1921; Block Working Manual Part A 3.21", ids{rulebook.TokenHandedOn}, atLoop,
		func(e *edit) bool {
			i := e.pick(TokenHand, "token", " from train ")
			return i >= 0 && e.put(i, fmt.Sprintf("$S token %d to train $X", numberOf(e.Acts[i].Body)), e.Acts[i].Line()[6:])
		}},
	{"a damaged token drawn", "Block Working Manual Part A 3.16(e)(iii)", ids{rulebook.TokenLostOrDamaged}, atLoop,
		func(e *edit) bool {
			i := e.acceptedOut("token")
			k := e.next(i, TokenOut)
			if k < 0 {
				return false
			}
			e.ahead(i, fmt.Sprintf(`$S token %d damaged "bent"`, numberOf(e.Acts[k].Body)))
			return e.due(k+1, e.next(k+1, EnterOut))
		}},
	{"tokens do not tally", "tablet regulations 1890, clause 36; Block Working Manual Part A 7.7", ids{rulebook.TokenCountDiffers}, atLoop,
		func(e *edit) bool { return e.put(e.alone(ClearIn, ""), "$S count 12 there 5") }},
	{"accepted with a token in the technician's hands", "trade notes SL-31", ids{rulebook.TokenCountDiffers}, atLoop,
		func(e *edit) bool {
			i := e.acceptedIn("token")
			w := e.ours(i, "taken")
			if i < 0 || w == "" {
				return false
			}
			back := e.ours(i, "moved here")
			e.write(e.next(i, ClearIn), back)
			e.ahead(i, w)
			return e.due(i+1, i+1)
		}},
	{"drawn with a token in the technician's hands", "trade notes SL-31", ids{rulebook.TokenCountDiffers}, atLoop,
		func(e *edit) bool {
			i := e.acceptedOut("token")
			w := e.ours(i, "taken")
			if i < 0 || w == "" {
				return false
			}
			back := e.ours(i, "moved here")
			e.write(e.next(i, ClearOut), back)
			e.ahead(i, w)
			return e.due(i+1, e.next(i+1, EnterOut))
		}},
	{"blocked back with line clear given, token", "tablet regulations 1890, clause 3", ids{rulebook.BlockingBackTrainSignalled}, atLoop,
		func(e *edit) bool {
			return e.put(e.acceptedIn("token"), "$S >1 <1 >3-3 <3-3", "$S >1 <1 >$removed <$removed")
		}},
	{"arrived with no entering, token", "token-line table, W-36", ids{rulebook.EnteringNotSent}, atLoop,
		func(e *edit) bool {
			i := e.pick(EnterIn, "token", "")
			return e.drop(i, i-1, e.next(i, ClearIn))
		}},
	{"out of section before the train is here, token", "General Rules (India) 14.10", ids{rulebook.OutOfSectionTrainNotArrived}, atLoop,
		func(e *edit) bool { return e.clearedBefore("token") }},
	{"tested with a train accepted", "Block Working Manual Part A 7.3", ids{rulebook.TestingWhileSignalled}, atLoop,
		func(e *edit) bool { return e.put(e.acceptedIn("token"), "$S >1 <1 >16 <16") }},
	{"next token given before the one in hand is given up", "General Rules (India) 14.12(1)(c)", ids{rulebook.TokenIssuedBeforeSurrender}, atIndian,
		func(e *edit) bool {
			i := e.pickIf(TokenHand, "token", func(i int) bool { return strings.Contains(e.Acts[i].Body, " to train") })
			k := e.findTrain(i, -1, func(a *Act) bool { return a.Kind == TokenHand && strings.Contains(a.Body, " from train") })
			return e.move(i, k)
		}},
}

// shuntDrawn is the drawing of a token that was released for shunting.
func (e *edit) shuntDrawn() int {
	return e.pickIf(TokenOut, "token", func(i int) bool { return e.Acts[i].Train == "" })
}

// received: the token put in is one a train came with.
func (e *edit) received(i int) bool {
	j := e.find(i, 1, func(a *Act) bool { return a.Kind == ClearIn || a.Kind == CancelOut || a.Kind == OfferOut })
	return j >= 0 && e.Acts[j].Kind == ClearIn && e.Acts[j].At-e.Acts[i].At < 2*Minute
}

// lastIn is the last token put in before i.
func (e *edit) lastIn(i int) int {
	return e.find(i, -1, func(a *Act) bool { return a.Kind == TokenIn })
}

// at says whether the entry belongs to a train here.
func (e *edit) at(i int) bool { return e.received(i) }

// findTrain is find about the same train, whatever the section.
func (e *edit) findTrain(i, way int, is func(*Act) bool) int {
	if i < 0 {
		return -1
	}
	for j := i + way; j >= 0 && j < len(e.Acts); j += way {
		if e.Acts[j].Train == e.Acts[i].Train && is(&e.Acts[j]) {
			return j
		}
	}
	return -1
}

func numberOf(body string) int {
	_, rest, _ := strings.Cut(body, " token ")
	n := 0
	fmt.Sscan(rest, &n)
	return n
}

// other is a token that lies in our instrument at entry i: the last put in there
// and not spoken of since; 0 for none.
func (e *edit) other(i int) int {
	if i < 0 {
		return 0
	}
	spoken := map[int]bool{}
	for j := i; j >= 0; j-- {
		a := &e.Acts[j]
		n := numberOf(a.Body)
		if a.Section != e.Acts[i].Section || n == 0 || spoken[n] {
			continue
		}
		if a.Kind == TokenIn && j < i {
			return n
		}
		spoken[n] = true
	}
	return 0
}

// ours is an entry about such a token, "" when there is none.
func (e *edit) ours(i int, words string) string {
	n := e.other(i)
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("%s token %d %s", e.Acts[i].Section, n, words)
}

// staffFaults are faults with staffs, tickets and without tokens, and those of
// the Indian books.
var staffFaults = []Fault{
	{"ticket with the staff away", "General Rules (India) 12.01(b); Romney Sands 2019", ids{rulebook.TicketWithoutStaff}, atStaff,
		func(e *edit) bool {
			return e.put(e.pick(StaffHand, "staff-and-ticket", " to train "), "$S ticket 77 to train 0W09", "$S ticket 77 cancelled")
		}},
	{"left with neither staff nor ticket", "General Rules (India) 12.01", ids{rulebook.StaffElsewhere}, atStaff,
		func(e *edit) bool {
			i := e.pick(TicketHand, "staff-and-ticket", " to train ")
			return e.drop(i, i, e.next(i, EnterOut))
		}},
	{"accepted with the staff here", "General Rules (India) 12.08", ids{rulebook.StaffElsewhere}, atStaff,
		func(e *edit) bool {
			i := e.pick(StaffHand, "staff-and-ticket", " from train ")
			return e.put(e.next(i, ClearIn), accept, cancelled)
		}},
	{"next train on a ticket before out of section", "Victoria, safeworking overview", ids{rulebook.OfferedBeforeOutOfSection}, atStaff,
		func(e *edit) bool {
			i := e.pick(TicketHand, "staff-and-ticket", " to train ")
			return e.put(e.next(i, EnterOut), offer)
		}},
	{"second train with the staff away", "Subsidiary Rule 13.03.1.4", ids{rulebook.EnteredWithoutAcceptance, rulebook.StaffElsewhere}, atBranch,
		func(e *edit) bool { return e.put(e.pick(Departed, "one-train", ""), "train 0W09 departed for $S") }},
	{"both ways, tokenless", "Block Working Manual Part B 3.9, 3.10", ids{rulebook.OpposingAcceptance}, atTokenless,
		func(e *edit) bool { return e.put(e.acceptedOut("tokenless"), accept, cancelled) }},
	{"out of section before the train is here, tokenless", "Block Working Manual Part B 8.1", ids{rulebook.OutOfSectionTrainNotArrived}, atTokenless,
		func(e *edit) bool { return e.clearedBefore("tokenless") }},
	{"cancelled after entering, tokenless", "Block Working Manual Part B 3.3", ids{rulebook.CancelledAfterEntering}, atTokenless,
		func(e *edit) bool {
			return e.put(e.pick(EnterOut, "tokenless", ""), "$S >1 <1 >$cancel <$cancel train $X")
		}},
	{"shunting ahead where it is not allowed", "signalbox.org ch. 8: only where authorised", ids{rulebook.ShuntNotAuthorised}, atTokenless,
		func(e *edit) bool {
			return e.put(e.alone(ClearIn, "Saltgarth"), "$S >1 <1 >3-3-2 <3-3-2 train 0W09", "$S >1 <1 >8 <8 train 0W09")
		}},
	{"consent with no private number", "Block Working Manual Part A 3.12(d)", ids{rulebook.PrivateNumberMissing}, atIndian,
		func(e *edit) bool {
			i := e.acceptedIn("token")
			if i < 0 {
				return false
			}
			e.Acts[i].Tail = ""
			return e.due(i, i)
		}},
	{"private number used again", "Block Working Manual Part A 3.22", ids{rulebook.PrivateNumberRepeated}, atIndian,
		func(e *edit) bool {
			i := e.acceptedIn("token")
			k := e.find(i, -1, func(a *Act) bool { return strings.Contains(a.Tail, " pn ") })
			if k < 0 {
				return false
			}
			e.Acts[i].Tail = e.Acts[k].Tail
			return e.due(i, i)
		}},
	{"a train let go against one cancelled and not told to be held", "General Rules (India) 14.22", ids{rulebook.CancelledTrainNotHeld}, atIndian,
		func(e *edit) bool {
			i := e.pick(Message, "token", "is held and will be")
			next := e.find(i, 1, func(a *Act) bool { return a.Kind == EnterIn || a.Kind == EnterOut || a.Kind == Departed })
			if next < 0 || (e.Acts[next].Kind == EnterIn) == strings.Contains(e.Acts[i].Body, " from ") {
				return false
			}
			return e.drop(i, next, next)
		}},
	{"worked on with a token lost", "Block Working Manual Part A 8.1(l)", ids{rulebook.WorkedWithTokenLost}, atIndian,
		func(e *edit) bool {
			i := e.alone(ClearIn, "")
			k := e.find(i, -1, func(a *Act) bool { return a.Kind == TokenIn })
			if k < 0 {
				return false
			}
			n := numberOf(e.Acts[k].Body)
			return e.put(i, fmt.Sprintf("$S token %d lost", n), accept+" pn 10", cancelled, fmt.Sprintf("$S token %d found", n))
		}},
	{"number of a token drawn there not told", "Block Working Manual Part A 3.2(A)", ids{rulebook.TokenNotTold}, atIndian,
		func(e *edit) bool {
			i := e.pick(TokenFar, "token", "")
			return e.drop(i, i, e.find(i, 1, func(a *Act) bool { return a.Kind == EnterIn }))
		}},
	{"both sides accepted towards the loop", "General Rules (India) 8.03 note", ids{rulebook.AcceptedBothWays}, atIndian,
		func(e *edit) bool {
			i := e.acceptedIn("token")
			if i < 0 {
				return false
			}
			far := neighbours[0].name
			if e.Acts[i].Section == far {
				far = neighbours[1].name
			}
			return !e.busy(far, i) && e.put(i, far+" <1 >1 <2 >2 train 9W99 pn 10", far+" <1 >1 <5 >5 train 9W99")
		}},
	{"refused and no reason booked", "Block Working Manual Part A 5.1(c)", ids{rulebook.RefusedWithoutReason}, atIndian,
		func(e *edit) bool {
			i := e.pick(OfferIn, "token", "refused")
			if i < 0 {
				return false
			}
			e.Acts[i].Tail = ""
			return e.due(i, i)
		}},
	{"no tail lamp, station in rear not told", "Block Working Manual Part A 5.7", ids{rulebook.TailLampNotReported}, atIndian,
		func(e *edit) bool {
			i := e.pick(LampBell, "token", ">6-2")
			return e.drop(i, i-6, e.next(i, ClearIn))
		}},
}

// busy says whether anything is signalled on a section at entry i.
func (e *edit) busy(section string, i int) bool {
	for j := i; j >= 0; j-- {
		if e.Acts[j].Section == section {
			return !e.idleAfter(j)
		}
	}
	return false
}
