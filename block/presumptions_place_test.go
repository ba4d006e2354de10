package block_test

import (
	"fairhand/block"
	"fairhand/block/rulebook"
)

// Of two entries of a train one is written of another box, or with its arrows turned, and only
// later ones tell which: what is done meanwhile where the train may be is a danger until then.
const (
	eitherBox   = "00 East <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2 train 1A01/"
	cameByWest  = "/05 East >1 <1 >3-1 <3-1 train 1A01/08 train 1A01 passed for East complete/08 East >2 <2 train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/14 East <1 >1 <2-1 >2-1 train 1A01"
	cameByEast  = "/05 West >1 <1 >3-1 <3-1 train 1A01/08 train 1A01 passed for West complete/08 West >2 <2 train 1A01/09 East >1 <1 >2-1 <2-1 train 1A01/14 West <1 >1 <2-1 >2-1 train 1A01"
	eitherWay   = "00 East <1 >1 <3-1 >3-1 train 1A01/02 East >2 <2 train 1A01/"
	wentByEast  = "/09 East <1 >1 <2-1 >2-1 train 1A01"
	stayedHere  = "/08 train 1A01 arrived at Platform complete/09 East >1 <1 >2-1 <2-1 train 1A01"
	stoppedWest = "/08 train 1A01 arrived at Platform complete/09 West token 4 in/09 West >1 <1 >2-1 <2-1 train 1A01"
	stoppedEast = "/08 train 1A01 arrived at Platform complete/09 East token 4 in/09 East >1 <1 >2-1 <2-1 train 1A01"
	opposed     = "00 train 1A01 moved to Platform/01 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/20 East <1 >1 <3-1 >3-1 train 1A02/30 East <2 >2/40 train 1A02 arrived at Yard complete/41 East >1 <1 >2-1 <2-1"
)

var misplaces = []presumption{
	{name: "a train from either box, and men go on the line from one", method: rulebook.Absolute, rule: rulebook.BlockageTrainInSection, says: rulebook.TrainNameDiffers,
		may: eitherBox + "04 blockage Up towards East party \"J. Wray\" number 11 repeated" + cameByWest,
		not: eitherBox + "04 blockage Up towards East party \"J. Wray\" number 11 repeated" + cameByEast},
	{name: "a train from either box, and another is accepted", method: rulebook.Absolute, rule: rulebook.AcceptedSectionOccupied, says: rulebook.TrainNameDiffers,
		may: eitherBox + "04 East <1 >1 <4 >4 train 1B02" + cameByWest,
		not: eitherBox + "04 East <1 >1 <4 >4 train 1B02" + cameByEast},
	{name: "a train from either box, and another is accepted, unnamed", method: rulebook.Absolute, rule: rulebook.AcceptedSectionOccupied, says: rulebook.TrainNameDiffers,
		may: eitherBox + "04 East <1 >1 <4 >4" + cameByWest,
		not: eitherBox + "04 East <1 >1 <4 >4" + cameByEast},
	{name: "a train from either box, and leave to cross is given", method: rulebook.Absolute, rule: rulebook.CrossingTrainApproaching, says: rulebook.TrainNameDiffers, box: lane,
		may: eitherBox + "03 crossing \"Mill Lane\" asked \"cows\" for 4/03 crossing \"Mill Lane\" may cross/04 crossing \"Mill Lane\" clear" + cameByWest,
		not: eitherBox + "03 crossing \"Mill Lane\" asked \"cows\" for 4/03 crossing \"Mill Lane\" may cross/04 crossing \"Mill Lane\" clear" + cameByEast},
	{name: "a train from either box, and one goes out against it", method: rulebook.Token, rule: rulebook.OpposingAcceptance, says: rulebook.TrainNameDiffers,
		may: eitherBox + "03 train 1B02 moved to Yard/04 East >1 <1 >3-1 <3-1 train 1B02" + stoppedWest,
		not: eitherBox + "03 train 1B02 moved to Yard/04 East >1 <1 >3-1 <3-1 train 1B02" + stoppedEast},
	{name: "a train that goes or comes, and another is accepted", method: rulebook.Absolute, rule: rulebook.AcceptedSectionOccupied, says: rulebook.TrainNameDiffers,
		may: eitherWay + "04 East <1 >1 <4 >4 train 1B02" + wentByEast,
		not: eitherWay + "04 East <1 >1 <4 >4 train 1B02" + stayedHere},
	{name: "a train that goes or comes, and men go on the line", method: rulebook.Absolute, rule: rulebook.BlockageTrainInSection, says: rulebook.TrainNameDiffers,
		may: eitherWay + "04 blockage Up towards East party \"J. Wray\" number 11 repeated" + wentByEast,
		not: eitherWay + "04 blockage Up towards East party \"J. Wray\" number 11 repeated" + stayedHere},
	{name: "out of section with its arrows turned, of a train that one was accepted against", method: rulebook.Tokenless, rule: rulebook.OpposingAcceptance,
		may: opposed,
		not: opposed + "/22 East >1 <1 >2-1 <2-1"},
	{name: "out of section with its arrows turned, of a train that another followed", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: followed(""),
		not: followed("15 East >1 <1 >2-1 <2-1/")},
	{name: "the same by its name", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: followed(""),
		not: followed("15 East >1 <1 >2-1 <2-1 train 1A01/")},
	{name: "a passing under the name of the next, which comes before the first is out", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection, says: rulebook.TrainNameDiffers,
		may: nextsName + "/14 East <1 >1 <2-1 >2-1 train 1A01/15 East >1 <1 >3-1 <3-1 train 1A03" + goesNext,
		not: nextsName + "/13 East >1 <1 >3-1 <3-1 train 1A03/14 East <1 >1 <2-1 >2-1 train 1A01" + goesNext},
	{name: "a passing under the name of the next, where trains are only reported", method: rulebook.ByTelephone, rule: rulebook.EnteredWithoutAcceptance, says: rulebook.TrainNameDiffers, box: onlyReported,
		may: "00 West <entering train 1A01/08 train 1A03 passed for East complete/08 East >entering train 1A01/08 West >arrived train 1A01/12 West <entering train 1A03/16 East <arrived train 1A01/20 train 1A03 passed for East complete/20 East >entering train 1A03/20 West >arrived train 1A03/28 East <arrived train 1A03",
		not: "00 West <entering train 1A01/08 train 1A03 passed for East complete/08 East >entering train 1A01/08 West >arrived train 1A01/12 West <entering train 1A03/20 train 1A03 passed for East complete/20 East >entering train 1A03/20 West >arrived train 1A03/22 East <arrived train 1A01/28 East <arrived train 1A03"},
	{name: "entering section under the name of the next, which is let in unwarned", method: rulebook.Permissive, rule: rulebook.PermissiveNotWarned, says: rulebook.TrainNameDiffers, box: instructed,
		may: nextFollows("25 train 6K03 warned/"),
		not: nextFollows("")},
	{name: "unnamed: entering section, and one was accepted against the train", method: rulebook.Token, rule: rulebook.OpposingAcceptance, says: rulebook.EnteringNotSent,
		may: "00 West <1 >1 <3-1 >3-1/03 East <1 >1 <3-1 >3-1/05 East <2 >2" + crossed + "/13 West >1 <1 >3-1 <3-1/13 West token 1 out",
		not: "00 West <1 >1 <3-1 >3-1/03 East <1 >1 <3-1 >3-1/05 East <2 >2/10 West >1 <1 >3-1 <3-1/10 West token 1 out" + crossed},
	{name: "unnamed: a train is accepted before the one that was offered on has come", method: rulebook.Absolute, rule: rulebook.AcceptedTwice,
		may: offeredOn + "/16 West <1 >1 <4 >4",
		not: offeredOn + "/13 West <1 >1 <4 >4"},
	{name: "out of section received, and the box ahead asks where the train is", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: followed(""),
		not: followed("15 message from East \"where is 1A01?\"/")},
	{name: "out of section under a name that nobody has, and then under its own", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/12 East >2 <2 train 1A02/17 East <1 >1 <2-1 >2-1 train 1X77",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/12 East >2 <2 train 1A02/17 East <1 >1 <2-1 >2-1 train 1X77/19 East <1 >1 <2-1 >2-1 train 1A02"},
	{name: "its offer, and it was refused by an entry of the other box", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2 train 1A01/08 train 1A01 passed for East complete/08 East >2 <2 train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/15 East <1 >1 <2-1 >2-1 train 1A01",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2 train 1A01/05 West >1 <1 >3-1 <refuse train 1A01/08 train 1A01 passed for East complete/08 East >2 <2 train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/15 East <1 >1 <2-1 >2-1 train 1A01"},
	{name: "out of section by its name, written of the other box", method: rulebook.Tokenless, rule: rulebook.OpposingAcceptance,
		may: opposed,
		not: opposed + "/22 West <1 >1 <2-1 >2-1 train 1A01"},
	{name: "out of section that names no train, written of the other box", method: rulebook.Tokenless, rule: rulebook.OpposingAcceptance,
		may: opposed,
		not: opposed + "/22 West <1 >1 <2-1 >2-1"},
	{name: "an offer written of the box for which another is on its way, which is followed later", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection, says: rulebook.TrainNameDiffers,
		may: offerAstray + "/45 East <1 >1 <2-1 >2-1 train 6A01" + follows,
		not: offerAstray + "/55 East <1 >1 <2-1 >2-1 train 6A01" + follows},
	{name: "token: the beats of entering sent for those of out of section", method: rulebook.Token, rule: rulebook.EnteredWithoutAcceptance, says: rulebook.TrainNameDiffers,
		may: hasCome + "/12 West token 4 in/12 West >2 <2 train 1A01" + nextIn,
		not: hasCome + "/12 West token 4 in/12 West >2 <2 train 1A01/12 train 1A01 departed for West" + nextIn},
	{name: "token: the beats of entering sent, and out of section of that train received", method: rulebook.Token, rule: rulebook.EnteredWithoutAcceptance, says: rulebook.TrainNameDiffers,
		may: hasCome + "/12 West token 4 in/12 West >2 <2 train 1A01" + nextIn,
		not: hasCome + "/12 West token 4 in/12 West >2 <2 train 1A01/21 West <1 >1 <2-1 >2-1 train 1A01" + nextIn},
	{name: "token: the beats of entering received for those of out of section", method: rulebook.Token, rule: rulebook.EnteredWithoutAcceptance, says: rulebook.TrainNameDiffers,
		may: hasGone + "/11 West <2 >2 train 1B02" + nextIn,
		not: hasGone + "/11 West <2 >2 train 1B02/20 train 1B02 arrived at Platform from West complete" + nextIn},
	{name: "obstruction removed, and line clear was got with the obstruction there", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance,
		may: "00 obstruct Down East \"tree\"/00 East >6 <6 line Down/05 clear Down East/06 East >1 <1 >4 <4 train 1A01/08 train 1A01 departed for East/08 East >2 <2 train 1A01/15 East <1 >1 <2-1 >2-1 train 1A01",
		not: "00 obstruct Down East \"tree\"/00 East >6 <6 line Down/04 East >1 <1 >4 <4 train 1A01/05 clear Down East/08 train 1A01 departed for East/08 East >2 <2 train 1A01/15 East <1 >1 <2-1 >2-1 train 1A01"},
}

// offeredOn is a train, not belled in, behind one of which out of section is not booked.
const offeredOn = "00 West <1 >1 <3-1 >3-1/02 West <2 >2/03 East >1 <1 >3-1 <3-1/06 train 1A00 passed for East complete/06 East >2 <2/08 West <1 >1 <3-1 >3-1/11 East <1 >1 <2-1 >2-1/11 East >1 <1 >3-1 <3-1" +
	"/14 train 1A01 passed for East complete/14 East >2 <2/15 West >1 <1 >2-1 <2-1/18 West <2 >2/20 East <1 >1 <2-1 >2-1/24 train 1B02 arrived at Platform complete/25 West >1 <1 >2-1 <2-1"

// crossed is two trains that cross here, the first not belled in.
const crossed = "/11 train 1A01 arrived at Platform complete/12 West token 4 in/12 West >1 <1 >2-1 <2-1/14 train 1B02 arrived at Yard complete/15 East token 4 in/15 East >1 <1 >2-1 <2-1/19 train 1B02 departed for West/19 West >2 <2/28 West <1 >1 <2-1 >2-1"

const (
	nextsName = "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2 train 1A01/03 East >1 <1 >3-1 <3-1 train 1A01/08 train 1A03 passed for East complete/08 East >2 <2 train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/10 West <1 >1 <3-1 >3-1 train 1A03/12 West <2 >2 train 1A03"
	goesNext  = "/18 train 1A03 passed for East complete/18 East >2 <2 train 1A03/19 West >1 <1 >2-1 <2-1 train 1A03/24 East <1 >1 <2-1 >2-1 train 1A03"
)

// nextFollows is a train belled in under the name of the next, which goes out behind it.
func nextFollows(warned string) string {
	return "00 West <1 >1 <3-2 >3-2 train 6K01/02 West <2 >2 train 6K03/04 West <1 >1 <3-2 >3-2 train 6K03/06 West <2 >2 train 6K03/10 train 6K01 arrived at Yard complete/11 West >1 <1 >2-1 <2-1 train 6K01/14 train 6K03 arrived at Yard complete/15 West >1 <1 >2-1 <2-1 train 6K03" +
		"/20 East >1 <1 >3-2 <3-2 train 6K01/22 train 6K01 departed for East/22 East >2 <2 train 6K01/24 East >1 <1 >3-2 <3-2 train 6K03/" + warned + "26 train 6K03 departed for East/26 East >2 <2 train 6K03/32 East <1 >1 <2-1 >2-1 train 6K01/36 East <1 >1 <2-1 >2-1 train 6K03"
}

func onlyReported(b *block.Box) {
	for i := range b.Sections {
		b.Sections[i].OnlyReported = true
	}
}

const (
	// offerAstray is a train that goes to West, the offer of it written of East, for which another is away.
	offerAstray = "00 train 6A01 moved to Yard/01 East >1 <1 >5 <5 train 6A01/02 train 6A01 departed for East/02 East >2 <2 train 6A01/10 East <1 >1 <3-1 >3-1 train 1B02/12 East <2 >2 train 1B02/13 East >1 <1 >3-1 <3-1 train 1B02" +
		"/18 train 1B02 passed for West complete/18 West >2 <2 train 1B02/19 East >1 <1 >2-1 <2-1 train 1B02/24 West <1 >1 <2-1 >2-1 train 1B02"
	follows = "/46 train 1A03 moved to Platform/50 East >1 <1 >3-1 <3-1 train 1A03/52 train 1A03 departed for East/52 East >2 <2 train 1A03/59 East <1 >1 <2-1 >2-1 train 1A03"
)

// A train that has come here, and one that has gone; and one that comes after either.
const (
	hasCome = "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2 train 1A01/11 train 1A01 arrived at Platform complete"
	hasGone = "00 train 1B02 moved to Platform/00 West >1 <1 >3-1 <3-1 train 1B02/00 West token 1 out/02 train 1B02 departed for West/02 West >2 <2 train 1B02"
	nextIn  = "/30 West <1 >1 <3-1 >3-1 train 1A03/32 West <2 >2 train 1A03/41 train 1A03 arrived at Yard complete/42 West token 5 in/42 West >1 <1 >2-1 <2-1 train 1A03"
)
