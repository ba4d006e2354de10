package block_test

import (
	"fairhand/block"
	"fairhand/block/rulebook"
)

// otherWorking are presumptions about working by pilot and by message: that it began, and
// that it ended.
var otherWorking = []presumption{
	{name: "single line working begun, and neither is its end booked", method: rulebook.Absolute, rule: rulebook.EnteredWhileBlocked,
		may:  "00 obstruct Down East \"tree\"/00 East <6 >6 line Down/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East \"T. Hale riding\"/12 East >2 <2/20 East <1 >1 <2-1 >2-1/30 clear Down East/31 East <1 >1 <2-1 >2-1 line Down",
		also: "40 East >1 <1 >3-1 <3-1 train 1A03/42 train 1A03 departed for East/42 East >2 <2/50 East <1 >1 <2-1 >2-1"},
	{name: "single line working ended, and the pilot rides again", method: rulebook.Absolute, rule: rulebook.PilotMissing,
		may: "00 obstruct Down East \"tree\"/00 East <6 >6 line Down/05 East working by pilot \"T. Hale\" over Up form 3/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East \"T. Hale riding\"/12 East >2 <2/20 East <1 >1 <2-1 >2-1/22 East <1 >1 <3-1 >3-1 train 1B02/24 East <2 >2/30 train 1B02 arrived at Platform complete \"T. Hale riding\"/31 East >1 <1 >2-1 <2-1/32 clear Down East/33 East <1 >1 <2-1 >2-1 line Down/40 East >1 <1 >3-1 <3-1 train 1A03/42 train 1A03 departed for East/42 East >2 <2/43 East <1 >1 <3-1 >3-1 train 1B04/45 East <2 >2/50 East <1 >1 <2-1 >2-1 train 1A03/52 train 1B04 arrived at Platform complete/53 East >1 <1 >2-1 <2-1",
		not: "00 obstruct Down East \"tree\"/00 East <6 >6 line Down/05 East working by pilot \"T. Hale\" over Up form 3/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East \"T. Hale riding\"/12 East >2 <2/20 East <1 >1 <2-1 >2-1/22 East <1 >1 <3-1 >3-1 train 1B02/24 East <2 >2/30 train 1B02 arrived at Platform complete \"T. Hale riding\"/31 East >1 <1 >2-1 <2-1/32 clear Down East/33 East <1 >1 <2-1 >2-1 line Down/40 East >1 <1 >3-1 <3-1 train 1A03/42 train 1A03 departed for East/42 East >2 <2/50 East <1 >1 <2-1 >2-1 train 1A03/52 East >1 <1 >3-1 <3-1 train 1A05/53 train 1A05 departed for East \"T. Hale riding\"/53 East >2 <2"},
	{name: "single line working ended, and the line is not free", method: rulebook.Absolute, rule: rulebook.PilotMissing,
		may: "00 obstruct Down East \"tree\"/00 East <6 >6 line Down/05 East working by pilot \"T. Hale\" over Up form 3/12 clear Down East/13 East <1 >1 <2-1 >2-1 line Down/20 East >1 <1 >3-1 <3-1 train 1A03/22 train 1A03 departed for East/22 East >2 <2/30 East <1 >1 <2-1 >2-1 train 1A03",
		not: "00 obstruct Down East \"tree\"/00 East <6 >6 line Down/05 East working by pilot \"T. Hale\" over Up form 3/20 East >1 <1 >3-1 <3-1 train 1A03/22 train 1A03 departed for East/22 East >2 <2/30 East <1 >1 <2-1 >2-1 train 1A03"},
	{name: "by pilot: begun, and it is booked afterwards", method: rulebook.Token, rule: rulebook.EnteredWithoutAcceptance, box: withPilot,
		may:  "00 failure \"East instrument\"/02 train 1A01 departed for East \"T. Hale riding\"/10 message from East \"1A01 arrived complete\"/20 train 1B02 arrived at Platform from East complete \"T. Hale riding\"/21 message to East \"1B02 arrived complete\"/30 restored \"East instrument\"/31 East working normal",
		also: "15 East working by pilot \"T. Hale\""},
	{name: "by pilot: begun, and he is not named", method: rulebook.Token, rule: rulebook.EnteredWithoutAcceptance, box: withPilot,
		may: "00 failure \"East instrument\"/02 train 1A01 departed for East \"T. Hale riding\"/10 message from East \"1A01 arrived complete\"",
		not: "00 failure \"East instrument\"/02 train 1A01 departed for East/10 message from East \"1A01 arrived complete\""},
	{name: "by pilot: begun, on the line clear of another", method: rulebook.Token, rule: rulebook.EnteredWithoutAcceptance, box: withPilot,
		may: "00 failure \"East instrument\"/02 train 1A01 departed for East \"T. Hale riding\"/10 message from East \"1A01 arrived complete\"",
		not: "00 East <1 >1 <3-1 >3-1 train 1B02/01 failure \"East instrument\"/02 train 1A01 departed for East \"T. Hale riding\""},
	{name: "by pilot: ended, and he comes back", method: rulebook.Token, rule: rulebook.TokenNumberDiffers, box: withPilot,
		may: "00 failure \"East instrument\"/01 East working by pilot \"T. Hale\"/02 train 1A01 departed for East \"T. Hale riding\"/10 message from East \"1A01 arrived complete\"/20 restored \"East instrument\"/21 East <1 >1 <3-1 >3-1 train 1B02/23 East <2 >2/30 train 1B02 arrived at Platform complete/31 East token 4 in/31 East >1 <1 >2-1 <2-1",
		not: "00 failure \"East instrument\"/01 East working by pilot \"T. Hale\"/02 train 1A01 departed for East \"T. Hale riding\"/10 message from East \"1A01 arrived complete\"/21 East <1 >1 <3-1 >3-1 train 1B02/23 East <2 >2/30 train 1B02 arrived at Platform complete/31 East token 4 in/31 East >1 <1 >2-1 <2-1"},
	{name: "by message: begun, with the instrument out", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance,
		may: "00 failure \"East instrument\"/01 message from East \"line clear for 1A01\"/02 train 1A01 departed for East/10 message from East \"1A01 arrived complete\"/20 restored \"East instrument\"/21 East working normal",
		not: "01 message from East \"line clear for 1A01\"/02 train 1A01 departed for East/10 message from East \"1A01 arrived complete\""},
	{name: "by pilot: where he is, of one booked with him that has his ticket", method: rulebook.Token, rule: rulebook.PilotMissing,
		may: "00 East working by pilot \"T. Hale\"/01 East ticket 1 to train 1A01/02 train 1A01 departed for East \"T. Hale riding\"/10 message from East \"1A01 arrived complete\"/12 train 1A03 departed for East/20 message from East \"1A03 arrived complete\"/30 train 1B02 arrived at Platform from East complete \"T. Hale riding\"/31 message to East \"1B02 arrived complete\"",
		not: "00 East working by pilot \"T. Hale\"/02 train 1A01 departed for East \"T. Hale riding\"/10 message from East \"1A01 arrived complete\"/12 train 1A03 departed for East/20 message from East \"1A03 arrived complete\"/30 train 1B02 arrived at Platform from East complete \"T. Hale riding\"/31 message to East \"1B02 arrived complete\""},
	{name: "line clear given here for a train that brings a token", method: rulebook.Token, rule: rulebook.EnteredWithoutAcceptance,
		may: "00 West <2 >2 train 1A01/08 train 1A01 arrived at Platform complete/09 West token 4 in/09 West >1 <1 >2-1 <2-1 train 1A01",
		not: "00 West <2 >2 train 1A01/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1 train 1A01"},
	{name: "by message: line clear, and the other box says that it had none", method: rulebook.Absolute, rule: rulebook.WorkingByMessageNoMessage,
		may: "00 East working by message/02 train 1A01 departed for East/10 message from East \"1A01 arrived complete\"",
		not: "00 East working by message/02 train 1A01 departed for East/05 message from East \"1A01 past my home signal, why?\"/10 message from East \"1A01 arrived complete\""},
	{name: "by message: line clear, and it was refused", method: rulebook.Absolute, rule: rulebook.WorkingByMessageNoMessage,
		may: "00 East working by message/02 train 1A01 departed for East/10 message from East \"1A01 arrived complete\"",
		not: "00 East working by message/01 message from East \"line not clear for 1A01\"/02 train 1A01 departed for East/10 message from East \"1A01 arrived complete\""},
	{name: "by message: the report of an arrival, and normal working before it can have come", method: rulebook.Absolute, rule: rulebook.SectionNotProvedClear,
		may: "00 East working by message/01 message from East \"line clear for 1A01\"/02 train 1A01 departed for East/20 East working normal/21 East >1 <1 >3-1 <3-1 train 1A02/22 train 1A02 departed for East/22 East >2 <2/30 East <1 >1 <2-1 >2-1",
		not: "00 East working by message/01 message from East \"line clear for 1A01\"/02 train 1A01 departed for East/05 East working normal/21 East >1 <1 >3-1 <3-1 train 1A02/22 train 1A02 departed for East/22 East >2 <2/30 East <1 >1 <2-1 >2-1"},
	{name: "axle counter by message: the report of an arrival, and the reset before it can have come", method: rulebook.AxleCounter, rule: rulebook.CounterResetTrainInSection, box: indian,
		may: "00 East working by message/01 East >offer <accept train 1A01 pn 21/02 East ticket 1 to train 1A01/02 train 1A01 departed for East/20 East counter reset pn 22/20 East working normal/21 East >offer <accept train 1A02 pn 23/22 train 1A02 warned/22 train 1A02 departed for East/32 East indicator free",
		not: "00 East working by message/01 East >offer <accept train 1A01 pn 21/02 East ticket 1 to train 1A01/02 train 1A01 departed for East/05 East counter reset pn 22/05 East working normal/21 East >offer <accept train 1A02 pn 23/22 train 1A02 warned/22 train 1A02 departed for East/32 East indicator free"},
	{name: "out of section received, and single line working begun meanwhile", method: rulebook.Absolute, rule: rulebook.WorkingChangedTrainSignalled,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/20 East working by pilot \"T. Hale\" over Down form 3/21 East >1 <1 >3-1 <3-1 train 1A02/22 train 1A02 departed for East \"T. Hale riding\"/22 East >2 <2/30 East <1 >1 <2-1 >2-1",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/04 East working by pilot \"T. Hale\" over Down form 3/21 East >1 <1 >3-1 <3-1 train 1A02/22 train 1A02 departed for East \"T. Hale riding\"/22 East >2 <2/30 East <1 >1 <2-1 >2-1"},
	{name: "the end of an alarm, and it is booked afterwards", method: rulebook.TrackCircuit, rule: rulebook.SignalledDuringAlarm,
		may:  "00 East <6 >6/05 message from East \"cattle off, line clear\"/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East",
		also: "20 East proved clear"},
	{name: "the end of an alarm, and what stopped trains is there still", method: rulebook.TrackCircuit, rule: rulebook.SignalledDuringAlarm,
		may: "00 East <6 >6/05 message from East \"cattle off, line clear\"/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East",
		not: "00 East <6 >6/05 message from East \"cattle off, line clear\"/07 message from East \"cattle on the line again\"/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East"},
	{name: "the end of an alarm, under another box that has none", method: rulebook.TrackCircuit, rule: rulebook.SignalledDuringAlarm, says: rulebook.EndedNotBegun,
		may: "00 East <6 >6/05 West proved clear \"East panel: cattle off\"/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East",
		not: "00 East <6 >6/05 West proved clear \"cattle off\"/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East"},
	{name: "the lifting of fog, and it lifts only afterwards", method: rulebook.Absolute, rule: rulebook.AcceptedConditionUnmet, box: inFog,
		may:  "00 fog on/01 posted \"L. Barr\" at \"Down Home\"/05 withdrawn \"L. Barr\" at \"Down Home\"/10 West <1 >1 <3-1 >3-1 train 1A01/12 West <2 >2/13 East >1 <1 >3-1 <3-1 train 1A01/18 train 1A01 passed for East complete/18 East >2 <2/19 West >1 <1 >2-1 <2-1/20 West <1 >1 <4 >4 train 1B03",
		also: "30 fog off"},
	{name: "the lifting of fog, with one posted still", method: rulebook.Absolute, rule: rulebook.AcceptedConditionUnmet, box: inFog,
		may: "00 fog on/01 posted \"L. Barr\" at \"Down Home\"/05 withdrawn \"L. Barr\" at \"Down Home\"/10 West <1 >1 <3-1 >3-1 train 1A01/12 West <2 >2/13 East >1 <1 >3-1 <3-1 train 1A01/18 train 1A01 passed for East complete/18 East >2 <2/19 West >1 <1 >2-1 <2-1/20 West <1 >1 <4 >4 train 1B03",
		not: "00 fog on/01 posted \"L. Barr\" at \"Down Home\"/02 posted \"M. Dunn\" at \"Up Home\"/05 withdrawn \"L. Barr\" at \"Down Home\"/10 West <1 >1 <3-1 >3-1 train 1A01/12 West <2 >2/13 East >1 <1 >3-1 <3-1 train 1A01/18 train 1A01 passed for East complete/18 East >2 <2/19 West >1 <1 >2-1 <2-1/20 West <1 >1 <4 >4 train 1B03"},
}

func inFog(b *block.Box) {
	b.Sections[0].Needs, b.Sections[0].Towards, b.Sections[1].Towards = []string{"fog-double-block"}, "up", "down"
}

func withPilot(b *block.Box) { b.People = []block.Person{{Name: "T. Hale", Role: "pilot"}} }
