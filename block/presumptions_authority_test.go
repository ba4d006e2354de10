package block_test

import (
	"fairhand/block"
	"fairhand/block/rulebook"
)

// authorities are presumptions about what lets a train go: line clear, tokens, tickets and
// the pilot; and about names and reports.
var authorities = []presumption{
	{name: "by word: an arrival of a train then sent back, and it comes afterwards", method: rulebook.ByTelephoneSingle, rule: rulebook.OutOfSectionTrainNotArrived,
		may:  "00 West <offer >accept train 1A01/02 West <entering train 1A01/10 West >arrived train 1A01/12 West >offer <accept train 1A01/14 train 1A01 departed for West/14 West >entering train 1A01/22 West <arrived train 1A01",
		also: "13 train 1A01 arrived at Platform from West complete"},
	{name: "permissive: arrivals booked by each other's name, and by its own alone", hidden: true, method: rulebook.Permissive, rule: rulebook.OutOfSectionTrainNotArrived, says: rulebook.TrainNameDiffers, box: instructed,
		may: "00 West <1 >1 <3-2 >3-2 train 6K01/02 West <2 >2 train 6K01/04 West <1 >1 <3-2 >3-2 train 6K02/06 West <2 >2 train 6K02/12 train 6K02 arrived at Platform complete/13 West >1 <1 >2-1 <2-1 train 6K01/18 train 6K01 arrived at Yard complete/19 West >1 <1 >2-1 <2-1 train 6K02",
		not: "00 West <1 >1 <3-2 >3-2 train 6K01/02 West <2 >2 train 6K01/04 West <1 >1 <3-2 >3-2 train 6K02/06 West <2 >2 train 6K02/12 train 6K01 arrived at Platform complete/13 West >1 <1 >2-1 <2-1 train 6K02/18 train 6K02 arrived at Yard complete/19 West >1 <1 >2-1 <2-1 train 6K01"},
	{name: "permissive: an arrival, and it is booked when the next has come", method: rulebook.Permissive, rule: rulebook.OutOfSectionTrainNotArrived, box: instructed,
		may:  "00 West <1 >1 <3-2 >3-2 train 6K01/02 West <2 >2 train 6K01/04 West <1 >1 <3-2 >3-2 train 6K02/06 West <2 >2 train 6K02/13 West >1 <1 >2-1 <2-1 train 6K01/18 train 6K02 arrived at Yard complete/19 West >1 <1 >2-1 <2-1 train 6K02",
		also: "14 train 6K01 arrived at Platform complete"},
	{name: "token drawn, and the other box says that it came without", method: rulebook.Token, rule: rulebook.EnteredWithoutToken,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1/20 East <1 >1 <3-1 >3-1 train 1A02/20 East token 1 out there/22 East <2 >2/28 train 1A02 arrived at Platform complete/29 East token 1 in/29 East >1 <1 >2-1 <2-1",
		also: "11 message from East \"1A01 came without token\""},
	{name: "token drawn, and told so before out of section", method: rulebook.Token, rule: rulebook.EnteredWithoutToken,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1",
		also: "05 message from East \"1A01 has no token\""},
	{name: "token drawn, and the driver has that of the other section", hidden: true, method: rulebook.Token, rule: rulebook.TokenWrongSection,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/00 West token 4 out there/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 East >1 <1 >3-1 <3-1 train 1A01/09 West token 4 to train 1A01/10 train 1A01 departed for East/10 East >2 <2/19 East <1 >1 <2-1 >2-1"},
	{name: "the offer out and line clear, and the other box knows of none", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/15 East <1 >1 <2-1 >2-1",
		also: "16 message from East \"you sent 1A01 without line clear\""},
	{name: "the offer out and line clear, and the train was offered when it had gone", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/15 East <1 >1 <2-1 >2-1",
		also: "10 East >1 <1 >3-1 <3-1"},
	{name: "the offer out and line clear, unnamed, behind a train in section", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance,
		may: "00 East >2 <2/09 East <1 >1 <2-1 >2-1",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/04 train 1A02 departed for East/04 East >2 <2 train 1A02/09 East <1 >1 <2-1 >2-1 train 1A01/15 East <1 >1 <2-1 >2-1"},
	{name: "the offer in and line clear, unnamed, and the train passed the signal", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance,
		may:  "00 West <2 >2/07 train 1A01 arrived at Platform from West complete/08 West >1 <1 >2-1 <2-1",
		also: "01 message from West \"1A01 passed my starter at danger, coming to you\""},
	{name: "line clear in words", method: rulebook.ByTelephone, rule: rulebook.EnteredWithoutAcceptance,
		may:  "00 East >offer train 1A01/02 train 1A01 departed for East/02 East >entering train 1A01/10 East <arrived train 1A01",
		also: "01 East <refuse train 1A01"},
	{name: "line clear in words, and the train came unannounced", method: rulebook.ByTelephoneSingle, rule: rulebook.EnteredWithoutAcceptance,
		may:  "00 East >offer train 1A01/02 train 1A01 departed for East/02 East >entering train 1A01/10 East <arrived train 1A01",
		also: "12 message from East \"1A01 came unannounced\""},
	{name: "the offer and line clear, and the token is drawn first", method: rulebook.Token, rule: rulebook.TokenOutWithoutRelease,
		may: "00 East token 1 out/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1",
		not: "00 East token 1 out/01 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1"},
	{name: "a token told by a number that the section has not, and it comes", hidden: true, method: rulebook.Token, rule: rulebook.TokenNumberDiffers, says: rulebook.TokenWrongSection,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/01 West token 62 out there/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West token 4 in/09 West >1 <1 >2-1 <2-1/12 West <1 >1 <3-1 >3-1 train 1A02/13 West token 5 out there/14 West <2 >2",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/01 West token 62 out there/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West token 1 in"},
	{name: "a token drawn by a number of the other section, which a train has brought", hidden: true, method: rulebook.Token, rule: rulebook.TokenWrongSection, says: rulebook.TokenWrongSection, box: ownNumbers,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/01 East token 4 out/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 East >1 <1 >3-1 <3-1 train 1A01/09 East token 4 out/10 train 1A01 departed for East/10 East >2 <2"},
	{name: "a token drawn by a number of the other section, and that one handed over", hidden: true, method: rulebook.Token, rule: rulebook.TokenNotInInstrument, says: rulebook.TokenWrongSection, box: ownNumbers,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/01 East token 2 out/01 East token 12 to train 1A01/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1/20 East <1 >1 <3-1 >3-1 train 1A02/20 East token 12 out there/21 East <2 >2/28 train 1A02 arrived at Platform complete/29 East token 12 in/29 East >1 <1 >2-1 <2-1",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/01 East token 2 out/01 East token 15 to train 1A01/02 train 1A01 departed for East/02 East >2 <2"},
	{name: "a passing with train entering section, and it is booked afterwards", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/04 East >1 <1 >3-1 <3-1 train 1A01/08 West >1 <1 >2-1 <2-1/12 East <1 >1 <2-1 >2-1",
		also: "09 train 1A01 passed for East complete"},
	{name: "the pilot's ride, and he was gone before", method: rulebook.Absolute, rule: rulebook.PilotMissing,
		may: "00 East working by pilot \"T. Hale\" over Down form 3/01 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1/12 East <1 >1 <3-1 >3-1 train 1A02/13 East <2 >2/20 train 1A02 arrived at Platform from East complete \"T. Hale riding\"/20 East >1 <1 >2-1 <2-1",
		not: "00 East working by pilot \"T. Hale\" over Down form 3/01 East >1 <1 >3-1 <3-1 train 1A00/02 train 1A00 departed for East \"T. Hale riding\"/02 East >2 <2/10 East <1 >1 <2-1 >2-1/11 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East/12 East >2 <2/20 East <1 >1 <2-1 >2-1/21 East <1 >1 <3-1 >3-1 train 1A02/23 East <2 >2/30 train 1A02 arrived at Platform from East complete \"T. Hale riding\"/30 East >1 <1 >2-1 <2-1"},
	{name: "the pilot's ride, and he goes from here afterwards", method: rulebook.Absolute, rule: rulebook.PilotMissing,
		may: "00 East working by pilot \"T. Hale\" over Down form 3/01 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1/12 East <1 >1 <3-1 >3-1 train 1A02/13 East <2 >2/20 train 1A02 arrived at Platform from East complete \"T. Hale riding\"/20 East >1 <1 >2-1 <2-1",
		not: "00 East working by pilot \"T. Hale\" over Down form 3/01 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1/11 East >1 <1 >3-1 <3-1 train 1A03/12 train 1A03 departed for East \"T. Hale riding\"/12 East >2 <2/18 East <1 >1 <2-1 >2-1/20 East <1 >1 <3-1 >3-1 train 1A02/21 East <2 >2/28 train 1A02 arrived at Platform from East complete \"T. Hale riding\"/28 East >1 <1 >2-1 <2-1"},
	{name: "a train that stood here went on the line clear of another, which goes later", hidden: true, method: rulebook.Absolute, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may:  "00 train 1A01 moved to Platform/01 East >1 <1 >3-1 <3-1 train 1A02/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1",
		also: "20 train 1A02 moved to Platform/21 East >1 <1 >3-1 <3-1 train 1A02/22 train 1A02 departed for East/22 East >2 <2"},
	{name: "a paper ticket handed out, and another gives it up", method: rulebook.Token, rule: rulebook.PaperTicketMissing, box: indian,
		may: "00 East working by message \"failed\"/01 East >offer <accept train 1A01 pn 12 inquiry 1 words \"one two\"/02 train 1A01 departed for East/02 East >entering train 1A01/10 East <arrived train 1A01/12 East ticket 5 from train 1A01",
		not: "00 East working by message \"failed\"/01 East >offer <accept train 1A01 pn 12 inquiry 1 words \"one two\"/02 train 1A01 departed for East/02 East >entering train 1A01/10 East <arrived train 1A01/12 East ticket 5 from train 1A09"},
	{name: "arrived said, by its own figures turned, and by another figure", method: rulebook.ByTelephoneSingle, rule: rulebook.WrongTrainReported, says: rulebook.TrainNameDiffers,
		may: "01 East >offer <accept train 1A12/02 train 1A12 departed for East/02 East >entering train 1A12/10 East <arrived train 1A21/12 East >offer <accept train 1A05/14 train 1A05 departed for East/14 East >entering train 1A05/21 East <arrived train 1A05",
		not: "01 East >offer <accept train 1A12/02 train 1A12 departed for East/02 East >entering train 1A12/10 East <arrived train 1A19/12 East >offer <accept train 1A05/14 train 1A05 departed for East/14 East >entering train 1A05/21 East <arrived train 1A05"},
	{name: "arrived said, by a number much like its own", method: rulebook.Absolute, rule: rulebook.WrongTrainReported, says: rulebook.TrainNameDiffers,
		may: "00 East working by message \"failed\"/01 East >offer <accept train 1A12/02 train 1A12 departed for East/02 East >entering train 1A12/10 East <arrived train 1A21/11 East working normal/12 East >1 <1 >3-1 <3-1 train 1A05/14 train 1A05 departed for East/14 East >2 <2/21 East <1 >1 <2-1 >2-1",
		not: "00 East working by message \"failed\"/01 East >offer <accept train 1A12/02 train 1A12 departed for East/02 East >entering train 1A12/10 East <arrived train 5Z09/11 East working normal/12 East >1 <1 >3-1 <3-1 train 1A05/14 train 1A05 departed for East/14 East >2 <2/21 East <1 >1 <2-1 >2-1"},
	{name: "tokenless: opposing, in more than half the time a train takes", method: rulebook.Tokenless, rule: rulebook.OpposingAcceptance,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2 train 1A01/07 East <1 >1 <3-1 >3-1 train 1A02/12 East <2 >2/18 train 1A02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1 train 1A02",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2 train 1A01/06 East <1 >1 <3-1 >3-1 train 1A02/12 East <2 >2/18 train 1A02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1 train 1A02"},
	{name: "the offer out and line clear, which was given and cancelled", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/15 East <1 >1 <2-1 >2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/05 East >1 <1 >3-1 <3-1 train 1A01/07 East >1 <1 >3-5 <3-5 train 1A01/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/15 East <1 >1 <2-1 >2-1"},
	{name: "the offer out and line clear, and the offer was not answered", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/15 East <1 >1 <2-1 >2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/05 East >1 <1 >3-1 train 1A01/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/15 East <1 >1 <2-1 >2-1"},
	{name: "the offer in and line clear, unnamed, and another was taken as cancelled", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance,
		may: "00 West <2 >2/07 train 1A01 arrived at Platform from West complete/08 West >1 <1 >2-1 <2-1",
		not: "00 West <1 >1 <3-1 >3-1/05 West <1 >1 <4 >4/07 West <2 >2/11 train 1A01 arrived at Platform from West complete/12 West >1 <1 >2-1 <2-1/20 West <2 >2/24 train 1A02 arrived at Platform from West complete/25 West >1 <1 >2-1 <2-1"},
	{name: "the offer in and line clear, of an engine that nobody accepted", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance,
		may: "00 West <2 >2/07 train 1A01 arrived at Platform from West complete/08 West >1 <1 >2-1 <2-1",
		not: "00 West <2 >2 train 0B01/07 train 0B01 arrived at Platform from West complete/08 West >1 <1 >2-1 <2-1 train 0B01"},
	{name: "token drawn, and it is drawn when the train has gone", method: rulebook.Token, rule: rulebook.EnteredWithoutToken,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/10 East <1 >1 <2-1 >2-1",
		also: "04 East token 1 out"},
	{name: "the token put in at a siding, and the train was not yet inside", method: rulebook.Token, rule: rulebook.OpposingAcceptance, box: quarry,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/00 East token 1 out/02 train 1A01 departed for East/02 East >2 <2/08 train 1A01 moved to Quarry \"clear inside\"/12 East <1 >1 <3-1 >3-1 train 1A02/14 East <2 >2/20 train 1A02 arrived at Platform complete/20 East token 4 in/20 East >1 <1 >2-1 <2-1/30 East <1 >1 <3-1 >3-1 train 1A01/31 East token 1 out at Quarry train 1A01/32 East <2 >2/40 train 1A01 arrived at Platform complete/40 East token 1 in/40 East >1 <1 >2-1 <2-1",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/00 East token 1 out/02 train 1A01 departed for East/02 East >2 <2/12 East <1 >1 <3-1 >3-1 train 1A02/13 train 1A01 moved to Quarry \"clear inside\"/14 East <2 >2/20 train 1A02 arrived at Platform complete/20 East token 4 in/20 East >1 <1 >2-1 <2-1"},
	{name: "the token drawn at a siding, and another comes", hidden: true, method: rulebook.Token, rule: rulebook.TokenNumberDiffers, box: quarry,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/00 East token 1 out/02 train 1A01 departed for East/02 East >2 <2/08 train 1A01 moved to Quarry \"clear inside\"/08 East token 1 in at Quarry/30 East <1 >1 <3-1 >3-1 train 1A01/32 East <2 >2/40 train 1A01 arrived at Platform complete/40 East token 1 in/40 East >1 <1 >2-1 <2-1",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/00 East token 1 out/02 train 1A01 departed for East/02 East >2 <2/08 train 1A01 moved to Quarry \"clear inside\"/08 East token 1 in at Quarry/30 East <1 >1 <3-1 >3-1 train 1A01/32 East <2 >2/40 train 1A01 arrived at Platform complete/40 East token 2 in"},
	{name: "the departure of a train that comes back, and it had no staff", hidden: true, method: rulebook.OneTrain, rule: rulebook.EnteredWithoutAcceptance,
		may: "00 West staff here/00 train 1A01 moved to Platform/01 West staff to train 1A01/20 train 1A01 arrived at Platform from West complete/21 West staff from train 1A01",
		not: "00 West staff here/00 train 1A01 moved to Platform/20 train 1A01 arrived at Platform from West complete"},
	{name: "a warning booked to the train that went, and it is that one's", hidden: true, method: rulebook.Permissive, rule: rulebook.PermissiveNotWarned, says: rulebook.TrainNameDiffers, box: instructed,
		may: "00 East >1 <1 >3-2 <3-2 train 6K01/02 train 6K01 departed for East/02 East >2 <2 train 6K01/04 train 6K02 moved to Yard/05 East >1 <1 >3-2 <3-2 train 6K02/06 train 6K01 warned/07 train 6K02 departed for East/07 East >2 <2 train 6K02",
		not: "00 East >1 <1 >3-2 <3-2 train 6K01/01 train 6K01 warned/02 train 6K01 departed for East/02 East >2 <2 train 6K01/04 train 6K02 moved to Yard/05 East >1 <1 >3-2 <3-2 train 6K02/07 train 6K02 departed for East/07 East >2 <2 train 6K02"},
	{name: "line clear given to a name with its figures turned, and to another", hidden: true, method: rulebook.Token, rule: rulebook.TokenWrongSection, says: rulebook.TrainNameDiffers,
		may: "00 train 1A12 moved to Platform/01 East >1 <1 >3-1 <3-1 train 1A21/02 East token 1 out/02 East token 1 to train 1A12/03 train 1A12 departed for East/03 East >2 <2",
		not: "00 train 1A12 moved to Platform/01 East >1 <1 >3-1 <3-1 train 1B09/02 East token 1 out/02 East token 1 to train 1A12/03 train 1A12 departed for East/03 East >2 <2"},
	{name: "by message: arrived said, and it is said afterwards", method: rulebook.Absolute, rule: rulebook.SectionNotProvedClear,
		may:  "00 East working by message \"failed\"/01 East >offer <accept train 1A01/02 train 1A01 departed for East/02 East >entering train 1A01/11 East working normal/12 East >1 <1 >3-1 <3-1 train 1A02/14 train 1A02 departed for East/14 East >2 <2/21 East <1 >1 <2-1 >2-1",
		also: "25 East <1 >1 <2-1 >2-1 train 1A01"},
}

func ownNumbers(b *block.Box) {
	b.Sections[1].Tokens = block.Tokens{Charge: []int{11, 12, 13, 14, 15, 16}, Here: []int{11, 12, 13}}
}

func quarry(b *block.Box) {
	b.Places = append(b.Places, block.Place{Name: "Quarry", Siding: true, InSection: "East"})
}

func instructed(b *block.Box) {
	for i := range b.Sections {
		b.Sections[i].Source = "instruction 4"
	}
}

func indian(b *block.Box) { b.Rules = rulebook.RuleSetNamed("indian-general") }
