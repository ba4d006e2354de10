package block_test

import (
	"fairhand/block"
	"fairhand/block/rulebook"
)

// onOneTrain are presumptions about what rests on a train: the other dangers of an entry
// that may be explained, and those that a step explains beside its own.
var onOneTrain = []presumption{
	{name: "out of section sent, and the train stands within the clearing point", method: rulebook.Absolute, rule: rulebook.AcceptedClearingPointFouled, box: homeStand,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/20 West <1 >1 <3-1 >3-1 train 1A02/22 West <2 >2/28 train 1A02 arrived at Yard complete/29 West >1 <1 >2-1 <2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/15 train 1A01 moved to Neck/20 West <1 >1 <3-1 >3-1 train 1A02/22 West <2 >2/28 train 1A02 arrived at Yard complete/29 West >1 <1 >2-1 <2-1"},
	{name: "out of section sent, in fog, and the section beyond has a train", method: rulebook.Absolute, rule: rulebook.AcceptedConditionUnmet, box: doubleBlock,
		may: "00 fog on/01 West <1 >1 <3-1 >3-1/02 West <2 >2/03 East >1 <1 >3-1 <3-1/08 train 1A01 passed for East complete/08 East >2 <2/15 East <1 >1 <2-1 >2-1/20 West <1 >1 <3-1 >3-1/22 West <2 >2/28 train 1A02 arrived at Platform complete/29 West >1 <1 >2-1 <2-1",
		not: "00 fog on/01 West <1 >1 <3-1 >3-1/02 West <2 >2/03 East >1 <1 >3-1 <3-1/08 train 1A01 passed for East complete/08 East >2 <2/12 West <1 >1 <3-1 >3-1/15 East <1 >1 <2-1 >2-1/22 West <2 >2/28 train 1A02 arrived at Platform complete/29 West >1 <1 >2-1 <2-1"},
	{name: "out of section sent of a train that went on, and the box closed with another in the section", method: rulebook.Absolute, rule: rulebook.ClosedWhileSignalled,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/08 train 1A01 passed for East complete/08 East >2 <2/15 East <1 >1 <2-1 >2-1/20 West >1 <1 >7-5-5 <7-5-5/20 East >1 <1 >7-5-5 <7-5-5/20 box closed/30 box open/30 West >1 <1 >5-5-5 <5-5-5/31 West <1 >1 <3-1 >3-1 train 1A02/33 West <2 >2/39 train 1A02 arrived at Platform complete/40 West >1 <1 >2-1 <2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/08 train 1A01 passed for East complete/08 East >2 <2/12 West >1 <1 >3-1 <3-1 train 1B02/14 train 1B02 departed for West/14 West >2 <2/15 East <1 >1 <2-1 >2-1/17 West >1 <1 >7-5-5 <7-5-5/21 West <1 >1 <2-1 >2-1/30 West >1 <1 >5-5-5 <5-5-5/31 West <1 >1 <3-1 >3-1 train 1A02/33 West <2 >2/39 train 1A02 arrived at Platform complete/40 West >1 <1 >2-1 <2-1"},
	{name: "permissive: out of section received, in less than two thirds of its time", method: rulebook.Permissive, rule: rulebook.PermissiveNotWarned, box: instructed,
		may: "00 East >1 <1 >3-2 <3-2 train 6K01/02 train 6K01 departed for East/02 East >2 <2/05 East >1 <1 >3-2 <3-2 train 6K02/07 train 6K02 departed for East/07 East >2 <2/13 East <1 >1 <2-1 >2-1 train 6K02",
		not: "00 East >1 <1 >3-2 <3-2 train 6K01/02 train 6K01 departed for East/02 East >2 <2/04 East >1 <1 >3-2 <3-2 train 6K02/06 train 6K02 departed for East/06 East >2 <2/13 East <1 >1 <2-1 >2-1 train 6K02"},
	{name: "out of section received, line clear given in fog meanwhile", method: rulebook.Absolute, rule: rulebook.AcceptedConditionUnmet, box: doubleBlock,
		may:  "00 fog on/01 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/20 West <1 >1 <3-1 >3-1 train 1A02/22 West <2 >2/23 East >1 <1 >3-1 <3-1 train 1A02/28 train 1A02 passed for East complete/28 East >2 <2/29 West >1 <1 >2-1 <2-1/35 East <1 >1 <2-1 >2-1",
		also: "21 East <1 >1 <2-1 >2-1"},
	{name: "out of section received, in fog, in less than its regular time", method: rulebook.Absolute, rule: rulebook.AcceptedConditionUnmet, box: doubleBlock,
		may: "00 fog on/01 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/15 West <1 >1 <3-1 >3-1 train 1A02/22 West <2 >2/23 East >1 <1 >3-1 <3-1 train 1A02/28 train 1A02 passed for East complete/28 East >2 <2/29 West >1 <1 >2-1 <2-1/35 East <1 >1 <2-1 >2-1",
		not: "00 fog on/01 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/12 West <1 >1 <3-1 >3-1 train 1A02/22 West <2 >2/23 East >1 <1 >3-1 <3-1 train 1A02/28 train 1A02 passed for East complete/28 East >2 <2/29 West >1 <1 >2-1 <2-1/35 East <1 >1 <2-1 >2-1"},
	{name: "out of section received, a release used meanwhile", method: rulebook.Absolute, rule: rulebook.ReleaseTrainInSection, box: release,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/11 released \"Down Release\" sealed counter 41-42 told Control \"circuit did not clear\"/20 East >1 <1 >3-1 <3-1 train 1A02/22 train 1A02 departed for East/22 East >2 <2/30 East <1 >1 <2-1 >2-1",
		also: "14 East <1 >1 <2-1 >2-1"},
	{name: "a passing, with a converging train accepted before out of section and after it", method: rulebook.Absolute, rule: rulebook.AcceptedConverging, box: junction,
		may: "00 West <1 >1 <4 >4 train 1A01/02 West <2 >2/08 West >1 <1 >2-1 <2-1 train 1A01/10 East <1 >1 <3-1 >3-1 train 1B02/12 East <2 >2/18 train 1B02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1/30 West <1 >1 <4 >4 train 1A03/32 West <2 >2/38 train 1A03 arrived at Yard complete/39 West >1 <1 >2-1 <2-1",
		not: "00 West <1 >1 <4 >4 train 1A01/02 West <2 >2/09 West >1 <1 >2-1 <2-1 train 1A01/08 East <1 >1 <3-1 >3-1 train 1B02/12 East <2 >2/18 train 1B02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1/30 West <1 >1 <4 >4 train 1A03/32 West <2 >2/38 train 1A03 arrived at Yard complete/39 West >1 <1 >2-1 <2-1"},
	{name: "counter: cancelling, and the section is shown free before the opposing train goes in", method: rulebook.AxleCounterSingle, rule: rulebook.OpposingAcceptance,
		may: "00 train 1A01 moved to Platform/01 East >offer <accept train 1A01 pn 52/08 East <offer >accept train 1A02 pn 41/16 East <entering train 1A02/24 train 1A02 arrived at Yard complete/24 East indicator free",
		not: "00 train 1A01 moved to Platform/01 East >offer <accept train 1A01 pn 52/08 East <offer >accept train 1A02 pn 41/14 East indicator free/16 East <entering train 1A02/24 train 1A02 arrived at Yard complete/24 East indicator free"},
	{name: "out of section received, leave to cross given meanwhile", method: rulebook.Absolute, rule: rulebook.CrossingTrainApproaching, box: lane,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/11 crossing \"Mill Lane\" asked \"cows\" for 4/12 crossing \"Mill Lane\" may cross/16 crossing \"Mill Lane\" clear/20 East >1 <1 >3-1 <3-1 train 1A02/22 train 1A02 departed for East/22 East >2 <2/30 East <1 >1 <2-1 >2-1",
		also: "17 East <1 >1 <2-1 >2-1"},
	{name: "out of section received, an out-of-gauge load accepted meanwhile", method: rulebook.Absolute, rule: rulebook.OutOfGaugeOpposed,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/12 East <1 >1 <2-6-3 >2-6-3 train 8X01/14 East <2 >2/24 train 8X01 arrived at Yard complete/25 East >1 <1 >2-1 <2-1/30 East >1 <1 >3-1 <3-1 train 1A03/32 train 1A03 departed for East/32 East >2 <2/39 East <1 >1 <2-1 >2-1",
		also: "13 East <1 >1 <2-1 >2-1"},
	{name: "out of section sent, and people are on the line when the next is accepted", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 blockage Down towards West party \"J. Wray\" number 1 repeated/15 party \"J. Wray\" clear Down towards West number 1/15 blockage-up Down towards West/20 West <1 >1 <3-1 >3-1 train 1A02/22 West <2 >2/28 train 1A02 arrived at Platform complete/29 West >1 <1 >2-1 <2-1 train 1A02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 blockage Down towards West party \"J. Wray\" number 1 repeated/20 West <1 >1 <3-1 >3-1 train 1A02/21 party \"J. Wray\" clear Down towards West number 1/21 blockage-up Down towards West/22 West <2 >2/28 train 1A02 arrived at Platform complete/29 West >1 <1 >2-1 <2-1 train 1A02"},
	{name: "the giving up of a blockage, all clear of it, and it is booked afterwards", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked,
		may:  "00 blockage Down towards West party \"J. Wray\" number 1 repeated/03 party \"J. Wray\" clear Down towards West number 1/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1",
		also: "20 blockage-up Down towards West"},
	{name: "the move of a train from within the clearing point, and its crew speaks from there", method: rulebook.Absolute, rule: rulebook.OutOfSectionClearingPointFouled, box: homeStand,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Neck complete/12 West >1 <1 >2-1 <2-1 train 1A01/15 West <1 >1 <3-1 >3-1 train 1A02/17 West <2 >2/18 East >1 <1 >3-1 <3-1 train 1A02/23 train 1A02 passed for East complete/23 East >2 <2/24 West >1 <1 >2-1 <2-1 train 1A02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Neck complete/12 West >1 <1 >2-1 <2-1 train 1A01/15 West <1 >1 <3-1 >3-1 train 1A02/16 train 1A01 detained line Down by \"J. Wray\" signed/17 West <2 >2/18 East >1 <1 >3-1 <3-1 train 1A02/23 train 1A02 passed for East complete/23 East >2 <2/24 West >1 <1 >2-1 <2-1 train 1A02"},
	{name: "a train under another name, and under one that was refused", method: rulebook.Absolute, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <4 >4 train 1A33/07 West <2 >2 train 2B35/12 train 2B35 arrived at Platform complete/13 West >1 <1 >2-1 <2-1",
		not: "00 West <1 >1 <4 >4 train 1A33/05 West <1 >1 <3-1 >refuse train 2B35 \"1A33 first\"/07 West <2 >2 train 2B35/12 train 2B35 arrived at Platform complete/13 West >1 <1 >2-1 <2-1"},
	{name: "token: an arrival, and the token is put in after out of section", method: rulebook.Token, rule: rulebook.OutOfSectionTrainNotArrived,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/09 West token 4 in/09 West >1 <1 >2-1 <2-1 train 1A01/12 East >1 <1 >3-1 <3-1 train 1A01/12 East token 1 out/14 train 1A01 departed for East/14 East >2 <2/21 East <1 >1 <2-1 >2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/09 West >1 <1 >2-1 <2-1 train 1A01/11 West token 4 in/12 East >1 <1 >3-1 <3-1 train 1A01/12 East token 1 out/14 train 1A01 departed for East/14 East >2 <2/21 East <1 >1 <2-1 >2-1"},
	{name: "out of section received, and the train comes back from the section", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: followed(""),
		not: followed("15 train 1A01 arrived at Platform from East complete/")},
	{name: "out of section received, and its crew speaks from the section", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: followed(""),
		not: followed("15 train 1A01 detained line Down by \"J. Wray\" telephone/")},
	{name: "out of section received, and the box it went to has it still", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: followed(""),
		not: followed("15 message from East \"1A01 standing at my home signal, 1A02 stopped behind it\"/")},
	{name: "out of section received, and it is told as long in section", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: followed(""),
		not: followed("15 East >1 <1 >6-2 <6-2 train 1A01/")},
	{name: "out of section received, and one is told as long in section before the next goes", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/12 East >2 <2 train 1A02/19 East <1 >1 <2-1 >2-1 train 1A02",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/11 East >1 <1 >6-2 <6-2/12 East >2 <2 train 1A02/19 East <1 >1 <2-1 >2-1 train 1A02"},
	{name: "out of section received, and it is told as divided", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: followed(""),
		not: followed("15 East <1 >1 <5-5 >5-5 train 1A01/")},
	{name: "tokenless: out of section received, and the train is pushed back", method: rulebook.Tokenless, rule: rulebook.OpposingAcceptance,
		may: "00 train 1A01 moved to Platform/01 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/20 East <1 >1 <3-1 >3-1 train 1A02/22 East <2 >2/32 train 1A02 arrived at Yard complete/33 East >1 <1 >2-1 <2-1",
		not: "00 train 1A01 moved to Platform/01 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/20 East <1 >1 <3-1 >3-1 train 1A02/22 East <2 >2/25 train 1A01 arrived at Platform from East \"propelled back\"/32 train 1A02 arrived at Yard complete/33 East >1 <1 >2-1 <2-1"},
	{name: "obstruction removed, and the vehicle stood there yet", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked, box: homeStand,
		may: "00 West >1 <1 >2-4 <2-4/01 train 0P01 moved to Neck/08 train 0P01 moved to Yard/10 West <1 >1 <3-1 >3-1 train 1A01/12 West <2 >2/18 train 1A01 arrived at Platform complete/19 West >1 <1 >2-1 <2-1",
		not: "00 West >1 <1 >2-4 <2-4/01 train 0P01 moved to Neck/10 West <1 >1 <3-1 >3-1 train 1A01/11 train 0P01 moved to Yard/12 West <2 >2/18 train 1A01 arrived at Platform complete/19 West >1 <1 >2-1 <2-1"},
	{name: "a passing, with a converging train accepted before the train was belled on", method: rulebook.Absolute, rule: rulebook.AcceptedConverging, box: junction,
		may: "00 West <1 >1 <4 >4 train 1A01/02 West <2 >2/03 East >1 <1 >4 <4 train 1A01/08 East >2 <2 train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/10 East <1 >1 <3-1 >3-1 train 1B02/12 East <2 >2/13 East <1 >1 <2-1 >2-1 train 1A01/18 train 1B02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1",
		not: "00 West <1 >1 <4 >4 train 1A01/02 West <2 >2/03 East >1 <1 >4 <4 train 1A01/07 East <1 >1 <3-1 >3-1 train 1B02/08 East >2 <2 train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/12 East <2 >2/13 East <1 >1 <2-1 >2-1 train 1A01/18 train 1B02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1"},
	{name: "counter: an arrival, and the section is shown free after line clear for the other", method: rulebook.AxleCounterSingle, rule: rulebook.OpposingAcceptance,
		may: "00 East <offer >accept train 1A01 pn 11/02 East <entering train 1A01/10 East indicator free/12 train 1B02 moved to Yard/13 East >offer <accept train 1B02 pn 12/14 train 1B02 departed for East/22 East indicator free",
		not: "00 East <offer >accept train 1A01 pn 11/02 East <entering train 1A01/05 train 1B02 moved to Yard/06 East >offer <accept train 1B02 pn 12/10 East indicator free/14 train 1B02 departed for East/22 East indicator free"},
	{name: "one train under two names, and the first stays here", method: rulebook.Absolute, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2 train 1A01/03 East >1 <1 >3-1 <3-1 train 1A01/08 train 1X09 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2 train 1A01/03 East >1 <1 >3-1 <3-1 train 1A01/08 train 1X09 passed for East complete/08 East >2 <2/09 train 1A01 arrived at Platform complete/10 West >1 <1 >2-1 <2-1"},
	{name: "entering twice for one train, and a second comes", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance, says: rulebook.EnteringTwice,
		may: "00 West <1 >1 <3-1 >3-1/02 West <2 >2/04 West <2 >2/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1",
		not: "00 West <1 >1 <3-1 >3-1/02 West <2 >2/04 West <2 >2/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1/11 train 1B02 arrived at Yard complete/12 West >1 <1 >2-1 <2-1"},
	{name: "a passing written for the box that the train came from, with another in that section", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/04 East <1 >1 <3-1 >3-1 train 1B02/06 East <2 >2 train 1B02/07 West >1 <1 >3-1 <3-1 train 1B02/08 train 1A01 passed for East complete/08 East >2 <2 train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/13 train 1B02 passed for East complete/13 West >2 <2 train 1B02/14 East >1 <1 >2-1 <2-1 train 1B02/15 East <1 >1 <2-1 >2-1 train 1A01/16 East >1 <1 >3-1 <3-1 train 1A02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/04 East <1 >1 <3-1 >3-1 train 1B02/06 East <2 >2 train 1B02/07 West >1 <1 >3-1 <3-1 train 1B02/08 train 1A01 passed for East complete/08 East >2 <2 train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/13 train 1B02 passed for East complete/13 West >2 <2 train 1B02/14 East >1 <1 >2-1 <2-1 train 1B02/16 East >1 <1 >3-1 <3-1 train 1A02/17 East <1 >1 <2-1 >2-1 train 1A01"},
	{name: "out of section by the name of another with its arrows turned, and its own comes later", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/04 East <1 >1 <3-1 >3-1 train 1B02/06 East <2 >2 train 1B02/07 West >1 <1 >3-1 <3-1 train 1B02/08 train 1A01 passed for East complete/08 East >2 <2 train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/13 train 1B02 passed for West complete/13 West >2 <2 train 1B02/14 East <1 >1 <2-1 >2-1 train 1B02/15 East <1 >1 <2-1 >2-1 train 1A01/16 East >1 <1 >3-1 <3-1 train 1A02/20 West <1 >1 <2-1 >2-1 train 1B02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/04 East <1 >1 <3-1 >3-1 train 1B02/06 East <2 >2 train 1B02/07 West >1 <1 >3-1 <3-1 train 1B02/08 train 1A01 passed for East complete/08 East >2 <2 train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/13 train 1B02 passed for West complete/13 West >2 <2 train 1B02/14 East <1 >1 <2-1 >2-1 train 1B02/16 East >1 <1 >3-1 <3-1 train 1A02/17 East <1 >1 <2-1 >2-1 train 1A01/20 West <1 >1 <2-1 >2-1 train 1B02"},
	{name: "out of section received, sooner than the second can run", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: followed(""),
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/12 East >2 <2 train 1A02/13 East <1 >1 <2-1 >2-1 train 1A02"},
	{name: "out of section received, and then that of the first with its figures turned", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: "00 East >1 <1 >3-1 <3-1 train 1A21/02 East >2 <2 train 1A21/10 East >1 <1 >3-1 <3-1 train 1B35/12 East >2 <2 train 1B35/19 East <1 >1 <2-1 >2-1 train 1B35",
		not: "00 East >1 <1 >3-1 <3-1 train 1A21/02 East >2 <2 train 1A21/10 East >1 <1 >3-1 <3-1 train 1B35/12 East >2 <2 train 1B35/15 East <1 >1 <2-1 >2-1 train 1A12/19 East <1 >1 <2-1 >2-1 train 1B35"},
}

func homeStand(b *block.Box) {
	b.Places = append(b.Places, block.Place{Name: "Neck", Fouls: []block.Foul{{Section: "West"}}})
}

func release(b *block.Box) {
	b.Gear = append(b.Gear, block.Gear{Name: "Down Release", Kind: "release", Section: "East"})
}

func junction(b *block.Box) { b.Sections[0].Converges = []string{"East"} }

func lane(b *block.Box) {
	b.Crossings = append(b.Crossings, block.Crossing{Name: "Mill Lane", Kind: block.UserWorked, Section: "East"})
}

func doubleBlock(b *block.Box) { b.Sections[0].Needs = []string{"fog-double-block"} }

// followed is a train that follows another of which out of section is not booked, and what
// is booked meanwhile.
func followed(meanwhile string) string {
	return "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/12 East >2 <2 train 1A02/" + meanwhile + "19 East <1 >1 <2-1 >2-1 train 1A02"
}
