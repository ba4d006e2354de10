package block_test

import "fairhand/block/rulebook"

// unnamed are presumptions about trains that no bell names, or that one names by another.
var unnamed = []presumption{
	{name: "unnamed: an arrival, then it departs under its name, and another arrives", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived,
		may:  "00 train 1Z99 moved to Yard/00 West <1 >1 <3-1 >3-1/02 West <2 >2/09 West >1 <1 >2-1 <2-1/10 East >1 <1 >3-1 <3-1/12 train 1A01 departed for East/12 East >2 <2/20 East <1 >1 <2-1 >2-1",
		also: "14 train 1A05 arrived at Platform complete"},
	{name: "unnamed: an arrival, then it departs under its name, and another arrives from there", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived,
		may:  "00 train 1Z99 moved to Yard/00 West <1 >1 <3-1 >3-1/02 West <2 >2/09 West >1 <1 >2-1 <2-1/10 East >1 <1 >3-1 <3-1/12 train 1A01 departed for East/12 East >2 <2/20 East <1 >1 <2-1 >2-1",
		also: "14 train 1A05 arrived at Platform from West complete"},
	{name: "unnamed: an arrival, and it departs sooner than it can have come", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived,
		may: "00 train 1Z99 moved to Yard/00 West <1 >1 <3-1 >3-1/02 West <2 >2/09 West >1 <1 >2-1 <2-1/10 East >1 <1 >3-1 <3-1/12 train 1A01 departed for East/12 East >2 <2/20 East <1 >1 <2-1 >2-1",
		not: "00 train 1Z99 moved to Yard/00 West <1 >1 <3-1 >3-1/02 West <2 >2/04 West >1 <1 >2-1 <2-1/10 East >1 <1 >3-1 <3-1/12 train 1A01 departed for East/12 East >2 <2/20 East <1 >1 <2-1 >2-1"},
	{name: "unnamed: an arrival, and the train that departs stood here", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived,
		may: "00 train 1Z99 moved to Yard/00 West <1 >1 <3-1 >3-1/02 West <2 >2/09 West >1 <1 >2-1 <2-1/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East/12 East >2 <2/20 East <1 >1 <2-1 >2-1",
		not: "00 train 1Z99 moved to Yard/00 West <1 >1 <3-1 >3-1/01 train 1A01 moved to Platform/02 West <2 >2/09 West >1 <1 >2-1 <2-1/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East/12 East >2 <2/20 East <1 >1 <2-1 >2-1"},
	{name: "unnamed: an arrival, and the next to come is from the other box", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived,
		may: "00 train 1Z99 moved to Yard/00 West <1 >1 <3-1 >3-1/01 East <1 >1 <5 >5/02 West <2 >2/03 East <2 >2/09 West >1 <1 >2-1 <2-1/11 train 6A02 arrived at Yard complete/12 East >1 <1 >2-1 <2-1/13 East >1 <1 >3-1 <3-1/14 train 1A01 departed for East/14 East >2 <2/22 East <1 >1 <2-1 >2-1",
		not: "00 train 1Z99 moved to Yard/00 West <1 >1 <3-1 >3-1/01 East <1 >1 <5 >5/02 West <2 >2/03 East <2 >2/09 West >1 <1 >2-1 <2-1/11 train 1A01 arrived at Platform complete/13 train 6A02 arrived at Yard complete/13 East >1 <1 >2-1 <2-1/13 East >1 <1 >3-1 <3-1/14 train 1A01 departed for East/14 East >2 <2/22 East <1 >1 <2-1 >2-1"},
	{name: "unnamed: an arrival, and the relief is told of no train that has left", hidden: true, method: rulebook.Absolute, rule: rulebook.HandoverIncomplete,
		may: "00 duty on \"A. Signaller\"/00 West <1 >1 <3-1 >3-1/02 West <2 >2/09 West >1 <1 >2-1 <2-1/10 East >1 <1 >3-1 <3-1/12 train 1A01 departed for East/12 East >2 <2/20 East <1 >1 <2-1 >2-1/30 duty off \"A. Signaller\"/30 duty on \"B. Relief\"/55 West <1 >1 <3-1 >3-1",
		not: "00 duty on \"A. Signaller\"/00 West <1 >1 <3-1 >3-1/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1/30 duty off \"A. Signaller\"/30 duty on \"B. Relief\"/55 West <1 >1 <3-1 >3-1"},
	{name: "unnamed: entering section, and out of section sent with another train in from the other box", hidden: true, method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived, says: rulebook.EnteringNotSent,
		may: "00 train 1Z99 moved to Yard/00 West <1 >1 <3-1 >3-1/01 East <1 >1 <5 >5/02 East <2 >2/11 train 1A01 arrived at Platform complete/12 West >1 <1 >2-1 <2-1/14 train 6A02 arrived at Yard complete/15 East >1 <1 >2-1 <2-1",
		not: "00 train 1Z99 moved to Yard/00 West <1 >1 <3-1 >3-1/01 East <1 >1 <5 >5/02 East <2 >2/11 train 1A01 arrived at Platform complete/12 West >1 <1 >2-1 <2-1/14 West <2 >2/15 East >1 <1 >2-1 <2-1/22 train 6A02 arrived at Yard complete/23 West >1 <1 >2-1 <2-1"},
	{name: "offered under the name of the train before, which has left, and which is here again", hidden: true, method: rulebook.Absolute, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A00/02 West <2 >2 train 1A00/03 East >1 <1 >3-1 <3-1 train 1A00/08 train 1A00 passed for East complete/08 East >2 <2 train 1A00/09 West >1 <1 >2-1 <2-1 train 1A00/16 East <1 >1 <2-1 >2-1 train 1A00/20 West <1 >1 <3-1 >3-1 train 1A01/22 West <2 >2 train 1A01/23 East >1 <1 >3-1 <3-1 train 1A00/28 train 1A01 passed for East complete/28 East >2 <2 train 1A01/29 West >1 <1 >2-1 <2-1 train 1A01/36 East <1 >1 <2-1 >2-1 train 1A01",
		not: "00 West <1 >1 <3-1 >3-1 train 1A00/02 West <2 >2 train 1A00/03 East >1 <1 >3-1 <3-1 train 1A00/08 train 1A00 passed for East complete/08 East >2 <2 train 1A00/09 West >1 <1 >2-1 <2-1 train 1A00/16 East <1 >1 <2-1 >2-1 train 1A00/17 train 1A00 moved to Yard/20 West <1 >1 <3-1 >3-1 train 1A01/22 West <2 >2 train 1A01/23 East >1 <1 >3-1 <3-1 train 1A00/28 train 1A01 passed for East complete/28 East >2 <2 train 1A01/29 West >1 <1 >2-1 <2-1 train 1A01/36 East <1 >1 <2-1 >2-1 train 1A01"},
	{name: "offered back under the name of the train that then goes on, and long before that is offered on", hidden: true, method: rulebook.Absolute, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2 train 1A01/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1 train 1A01/10 East <1 >1 <3-1 >3-1 train 1A02/12 East <2 >2 train 1A02/20 train 1A02 arrived at Yard complete/21 East >1 <1 >2-1 <2-1 train 1A02/30 East >1 <1 >3-1 <3-1 train 1A02/30 West >1 <1 >3-1 <3-1 train 1A02/42 train 1A01 departed for East/42 East >2 <2 train 1A01/43 train 1A02 departed for West/43 West >2 <2 train 1A02/50 East <1 >1 <2-1 >2-1 train 1A01/51 West <1 >1 <2-1 >2-1 train 1A02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2 train 1A01/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1 train 1A01/10 East <1 >1 <3-1 >3-1 train 1A02/12 East <2 >2 train 1A02/20 train 1A02 arrived at Yard complete/21 East >1 <1 >2-1 <2-1 train 1A02/30 East >1 <1 >3-1 <3-1 train 1A02/40 West >1 <1 >3-1 <3-1 train 1A02/42 train 1A01 departed for East/42 East >2 <2 train 1A01/43 train 1A02 departed for West/43 West >2 <2 train 1A02/50 East <1 >1 <2-1 >2-1 train 1A01/51 West <1 >1 <2-1 >2-1 train 1A02"},
}
