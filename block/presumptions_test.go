package block_test

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
	bookreading "fairhand/register/reading"
)

// presumption is a book in which a step may have been left out, so that the danger
// found meanwhile stands no more at its end; and how it cannot have been: by what is
// booked as well, or by other times. Entries have the minute after the hour.
type presumption struct {
	name   string
	method rulebook.Method
	may    string // the book, with / between entries
	also   string // what makes it false; an entry of the same minute goes behind
	not    string // or the whole book in which it is
	rule   rulebook.RuleID
	box    func(*block.Box)
	says   rulebook.RuleID // what is said of the slip; a step not booked where it is not set
}

// presumptions has one row for each way in which a step not booked is presumed, and
// each way in which the book shows that it was not made before.
var presumptions = []presumption{
	{name: "out of section sent, and it is booked afterwards", method: rulebook.Absolute, rule: rulebook.AcceptedSectionOccupied,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/10 West <1 >1 <3-1 >3-1 train 1A02/12 West <2 >2/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02",
		also: "25 West >1 <1 >2-1 <2-1 train 1A01"},
	{name: "out of section sent, and the train had not arrived", method: rulebook.Absolute, rule: rulebook.AcceptedSectionOccupied,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/10 West <1 >1 <3-1 >3-1 train 1A02/12 West <2 >2/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/10 West <1 >1 <3-1 >3-1 train 1A02/11 train 1A01 arrived at Platform complete/12 West <2 >2/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02"},
	{name: "out of section sent, and the train went on later", method: rulebook.Absolute, rule: rulebook.AcceptedSectionOccupied,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/07 East >1 <1 >3-1 <3-1 train 1A01/08 train 1A01 passed complete/08 East >2 <2 train 1A01/10 West <1 >1 <3-1 >3-1 train 1A02/12 West <2 >2/14 East <1 >1 <2-1 >2-1 train 1A01/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/07 East >1 <1 >3-1 <3-1 train 1A01/10 West <1 >1 <3-1 >3-1 train 1A02/11 train 1A01 passed complete/11 East >2 <2 train 1A01/12 West <2 >2/14 East <1 >1 <2-1 >2-1 train 1A01/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02"},
	{name: "arrival and out of section both", method: rulebook.Absolute, rule: rulebook.AcceptedSectionOccupied,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/10 West <1 >1 <3-1 >3-1 train 1A02/12 West <2 >2/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/10 West <1 >1 <3-1 >3-1 train 1A02/12 West <2 >2/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02"},
	{name: "out of section received, and it is booked afterwards", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/12 East >2 <2 train 1A02/19 East <1 >1 <2-1 >2-1 train 1A02",
		also: "25 East <1 >1 <2-1 >2-1 train 1A01"},
	{name: "out of section received, unnamed, and one for each booked", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2/10 East >1 <1 >3-1 <3-1 train 1A02/12 East >2 <2/19 East <1 >1 <2-1 >2-1",
		also: "25 East <1 >1 <2-1 >2-1"},
	{name: "out of section received, in less than a train can run", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/12 East >2 <2 train 1A02/19 East <1 >1 <2-1 >2-1 train 1A02",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/04 East >1 <1 >3-1 <3-1 train 1A02/06 East >2 <2 train 1A02/11 East <1 >1 <2-1 >2-1 train 1A02"},
	{name: "the same where no running time is known", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection, box: noRunning,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/05 East >1 <1 >3-1 <3-1 train 1A02/06 East >2 <2 train 1A02/11 East <1 >1 <2-1 >2-1 train 1A02",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/04 East >1 <1 >3-1 <3-1 train 1A02/06 East >2 <2 train 1A02/11 East <1 >1 <2-1 >2-1 train 1A02"},
	{name: "the same by the runs that the book shows", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection, box: noRunning,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/05 East >1 <1 >3-1 <3-1 train 1A02/06 East >2 <2 train 1A02/11 East <1 >1 <2-1 >2-1 train 1A02",
		not: "00 East >1 <1 >3-1 <3-1 train 1A00/02 East >2 <2 train 1A00/11 East <1 >1 <2-1 >2-1 train 1A00/20 East >1 <1 >3-1 <3-1 train 1A01/22 East >2 <2 train 1A01/25 East >1 <1 >3-1 <3-1 train 1A02/26 East >2 <2 train 1A02/35 East <1 >1 <2-1 >2-1 train 1A02"},
	{name: "out of section received, and the train then comes back from there", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2/20 East >1 <1 >3-1 <3-1 train 1A02/22 train 1A02 departed for East/22 East >2 <2/29 East <1 >1 <2-1 >2-1 train 1A02",
		also: "25 train 1A01 arrived at Platform from East complete"},
	{name: "an arrival, and it is booked afterwards", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 West >1 <1 >2-1 <2-1 train 1A01/10 West <1 >1 <3-1 >3-1 train 1A02/12 West <2 >2/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02",
		also: "14 train 1A01 arrived at Platform complete"},
	{name: "an arrival, in less than a train can run", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 West >1 <1 >2-1 <2-1 train 1A01/10 West <1 >1 <3-1 >3-1 train 1A02/12 West <2 >2/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/04 West >1 <1 >2-1 <2-1 train 1A01/10 West <1 >1 <3-1 >3-1 train 1A02/12 West <2 >2/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02"},
	{name: "an arrival, and out of section came after line clear for the next", method: rulebook.Absolute, rule: rulebook.AcceptedSectionOccupied,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/09 West >1 <1 >2-1 <2-1 train 1A01/10 West <1 >1 <3-1 >3-1 train 1A02/12 West <2 >2/15 East >1 <1 >3-1 <3-1 train 1A01/16 train 1A01 departed for East/16 East >2 <2 train 1A01/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02/22 East <1 >1 <2-1 >2-1 train 1A01",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/10 West <1 >1 <3-1 >3-1 train 1A02/11 West >1 <1 >2-1 <2-1 train 1A01/12 West <2 >2/15 East >1 <1 >3-1 <3-1 train 1A01/16 train 1A01 departed for East/16 East >2 <2 train 1A01/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02/22 East <1 >1 <2-1 >2-1 train 1A01"},
	{name: "cancelling, and it is booked afterwards", method: rulebook.Absolute, rule: rulebook.AcceptedTwice,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/05 West <1 >1 <3-1 >3-1 train 1A02/07 West <2 >2 train 1A02/13 train 1A02 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A02",
		also: "20 West <1 >1 <3-5 >3-5 train 1A01"},
	{name: "cancelling, and the train comes", method: rulebook.Absolute, rule: rulebook.AcceptedTwice,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/05 West <1 >1 <3-1 >3-1 train 1A02/07 West <2 >2 train 1A02/13 train 1A02 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A02",
		also: "20 West <2 >2 train 1A01"},
	{name: "cancelling sent, and the train goes", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/05 East >1 <1 >3-1 <3-1 train 1A02/07 East >2 <2 train 1A02/14 East <1 >1 <2-1 >2-1 train 1A02",
		also: "20 train 1A01 departed for East"},
	{name: "obstruction removed, and it is booked afterwards", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked,
		may:  "00 West >1 <1 >2-4 <2-4/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A01",
		also: "20 West >1 <1 >2-1-2 <2-1-2"},
	{name: "obstruction removed, and it is booked afterwards as 2-1", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked,
		may:  "00 West >1 <1 >2-4 <2-4/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A01",
		also: "20 West >1 <1 >2-1 <2-1"},
	{name: "obstruction removed, and it is booked as 2-1 before the train comes", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked,
		may:  "00 West >1 <1 >2-4 <2-4/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A01",
		also: "06 West >1 <1 >2-1 <2-1"},
	{name: "obstruction removed, and it is booked as 2-1 with the train in section", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked,
		may:  "00 West >1 <1 >3-3 <3-3/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A01",
		also: "09 West >1 <1 >2-1 <2-1"},
	{name: "obstruction removed there, and it is booked afterwards", method: rulebook.Absolute, rule: rulebook.OfferedWhileBlocked,
		may:  "00 East <1 >1 <3-3 >3-3/05 East >1 <1 >3-1 <3-1 train 1A01/07 East >2 <2 train 1A01/14 East <1 >1 <2-1 >2-1 train 1A01",
		also: "20 East <1 >1 <2-1 >2-1"},
	{name: "obstruction removed there, and it is booked as 2-1 before the train goes", method: rulebook.Absolute, rule: rulebook.OfferedWhileBlocked,
		may:  "00 East <1 >1 <3-3 >3-3/05 East >1 <1 >3-1 <3-1 train 1A01/07 East >2 <2 train 1A01/14 East <1 >1 <2-1 >2-1 train 1A01",
		also: "06 East <1 >1 <2-1 >2-1"},
	{name: "an obstruction cleared, and that is booked afterwards", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked,
		may:  "00 obstruct \"Down\" West \"tree\"/00 West >6 <6/03 West >1 <1 >2-1-2 <2-1-2/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A01",
		also: "20 clear \"Down\" West"},
	{name: "by message, a report of arrival, and it is made afterwards", method: rulebook.Absolute, rule: rulebook.AcceptedSectionOccupied,
		may:  "00 West working by message \"bells failed\"/01 message to West \"line clear for 1A01\"/08 train 1A01 arrived at Platform from West complete/10 message to West \"line clear for 1A02\"/18 train 1A02 arrived at Platform from West complete/19 message to West \"1A02 arrived complete\"",
		also: "12 message to West \"1A01 arrived complete\""},
	{name: "by message, a report of arrival, of a train found complete later", method: rulebook.Absolute, rule: rulebook.AcceptedSectionOccupied,
		may: "00 West working by message \"bells failed\"/01 message to West \"line clear for 1A01\"/08 train 1A01 arrived at Platform from West complete/10 message to West \"line clear for 1A02\"/18 train 1A02 arrived at Platform from West complete/19 message to West \"1A02 arrived complete\"",
		not: "00 West working by message \"bells failed\"/01 message to West \"line clear for 1A01\"/08 train 1A01 arrived at Platform from West no-tail-lamp/09 message to West \"1A01 no tail lamp, stop all trains\"/10 message to West \"line clear for 1A02\"/14 train 1A01 entire/18 train 1A02 arrived at Platform from West complete/19 message to West \"1A02 arrived complete\""},
	{name: "shunt withdrawn, and it is booked afterwards", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection, box: shuntAllowed,
		may:  "00 East >1 <1 >3-3-2 <3-3-2/05 East >1 <1 >3-1 <3-1 train 1A01/07 East >2 <2 train 1A01/14 East <1 >1 <2-1 >2-1 train 1A01",
		also: "20 East >1 <1 >8 <8"},
	{name: "shunt withdrawn, and it is booked before the train goes", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection, box: shuntAllowed,
		may:  "00 East >1 <1 >3-3-2 <3-3-2/05 East >1 <1 >3-1 <3-1 train 1A01/07 East >2 <2 train 1A01/14 East <1 >1 <2-1 >2-1 train 1A01",
		also: "06 East >1 <1 >8 <8"},
	{name: "obstruction removed, and it is booked before the train comes", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked,
		may:  "00 West >6 <6/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A01",
		also: "06 West >1 <1 >2-1-2 <2-1-2"},
	{name: "shunting token replaced, and it is booked before the train comes", method: rulebook.Token, rule: rulebook.OpposingAcceptance,
		may: "00 West >1 <1 >5-2 <5-2/00 West token 1 out/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2 train 1A01/13 train 1A01 arrived at Platform complete/14 West token 4 in/14 West >1 <1 >2-1 <2-1 train 1A01",
		not: "00 West >1 <1 >5-2 <5-2/00 West token 1 out/05 West <1 >1 <3-1 >3-1 train 1A01/06 West token 1 in/06 West >1 <1 >2-5 <2-5/07 West <2 >2 train 1A01/13 train 1A01 arrived at Platform complete/14 West token 4 in/14 West >1 <1 >2-1 <2-1 train 1A01"},
	{name: "token: out of section received, and it is booked afterwards", method: rulebook.Token, rule: rulebook.OfferedBeforeOutOfSection,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/00 East token 1 out/00 East token 1 to train 1A01/02 train 1A01 departed for East/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/10 East token 2 out/10 East token 2 to train 1A02/12 train 1A02 departed for East/12 East >2 <2 train 1A02/19 East <1 >1 <2-1 >2-1 train 1A02",
		also: "25 East <1 >1 <2-1 >2-1 train 1A01"},
	{name: "token: out of section received, in less than a train can run", method: rulebook.Token, rule: rulebook.OfferedBeforeOutOfSection,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/00 East token 1 out/00 East token 1 to train 1A01/02 train 1A01 departed for East/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/10 East token 2 out/10 East token 2 to train 1A02/12 train 1A02 departed for East/12 East >2 <2 train 1A02/19 East <1 >1 <2-1 >2-1 train 1A02",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/00 East token 1 out/00 East token 1 to train 1A01/02 train 1A01 departed for East/02 East >2 <2 train 1A01/04 East >1 <1 >3-1 <3-1 train 1A02/04 East token 2 out/04 East token 2 to train 1A02/05 train 1A02 departed for East/05 East >2 <2 train 1A02/19 East <1 >1 <2-1 >2-1 train 1A02"},
	{name: "token: out of section sent, and it is booked afterwards", method: rulebook.Token, rule: rulebook.AcceptedSectionOccupied,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/08 West token 4 from train 1A01/09 West token 4 in/12 West <1 >1 <3-1 >3-1 train 1A02/13 West <2 >2/19 train 1A02 arrived at Platform complete/19 West token 5 from train 1A02/20 West token 5 in/20 West >1 <1 >2-1 <2-1 train 1A02",
		also: "25 West >1 <1 >2-1 <2-1 train 1A01"},
	{name: "token: arrival, token and out of section all", method: rulebook.Token, rule: rulebook.AcceptedSectionOccupied,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/08 West token 4 from train 1A01/09 West token 4 in/12 West <1 >1 <3-1 >3-1 train 1A02/13 West <2 >2/19 train 1A02 arrived at Platform complete/19 West token 5 from train 1A02/20 West token 5 in/20 West >1 <1 >2-1 <2-1 train 1A02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/12 West <1 >1 <3-1 >3-1 train 1A02/13 West <2 >2/19 train 1A02 arrived at Platform complete/19 West token 5 from train 1A02/20 West token 5 in/20 West >1 <1 >2-1 <2-1 train 1A02"},
	{name: "token put in, and it is booked afterwards", method: rulebook.Token, rule: rulebook.OutOfSectionTokenNotIn,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/08 West token 4 from train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/12 West <1 >1 <3-1 >3-1 train 1A02/13 West <2 >2/19 train 1A02 arrived at Platform complete/19 West token 5 from train 1A02/20 West token 5 in/20 West >1 <1 >2-1 <2-1 train 1A02",
		also: "25 West token 4 in"},
	{name: "token put in, and it is booked before the next comes", method: rulebook.Token, rule: rulebook.OutOfSectionTokenNotIn,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/08 West token 4 from train 1A01/09 West >1 <1 >2-1 <2-1 train 1A01/12 West <1 >1 <3-1 >3-1 train 1A02/13 West <2 >2/19 train 1A02 arrived at Platform complete/19 West token 5 from train 1A02/20 West token 5 in/20 West >1 <1 >2-1 <2-1 train 1A02",
		also: "10 West token 4 in"},
	{name: "out of section sent, the train offered back, and it is booked afterwards", method: rulebook.Token, rule: rulebook.OfferedBeforeOutOfSection,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/08 West token 4 from train 1A01/09 West token 4 in/12 West >1 <1 >3-1 <3-1 train 1A01/12 West token 4 out/12 West token 4 to train 1A01/14 train 1A01 departed for West/14 West >2 <2 train 1A01/21 West <1 >1 <2-1 >2-1 train 1A01",
		also: "13 West >1 <1 >2-1 <2-1 train 1A01"},
	{name: "tokenless: opposing, out of section received and booked afterwards", method: rulebook.Tokenless, rule: rulebook.OpposingAcceptance,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2 train 1A01/10 East <1 >1 <3-1 >3-1 train 1A02/12 East <2 >2/18 train 1A02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1 train 1A02",
		also: "25 East <1 >1 <2-1 >2-1 train 1A01"},
	{name: "tokenless: opposing, in less than a train can run", method: rulebook.Tokenless, rule: rulebook.OpposingAcceptance,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2 train 1A01/10 East <1 >1 <3-1 >3-1 train 1A02/12 East <2 >2/18 train 1A02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1 train 1A02",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 train 1A01 departed for East/02 East >2 <2 train 1A01/04 East <1 >1 <3-1 >3-1 train 1A02/06 East <2 >2/12 train 1A02 arrived at Platform complete/13 East >1 <1 >2-1 <2-1 train 1A02"},
	{name: "tokenless: out of section sent, and the train had not arrived", method: rulebook.Tokenless, rule: rulebook.AcceptedSectionOccupied,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/10 West <1 >1 <3-1 >3-1 train 1A02/12 West <2 >2/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/10 West <1 >1 <3-1 >3-1 train 1A02/12 West <2 >2/18 train 1A02 arrived at Platform complete/19 West >1 <1 >2-1 <2-1 train 1A02"},
	{name: "staff given up, and it is booked afterwards", method: rulebook.StaffAndTicket, rule: rulebook.StaffElsewhere,
		may:  "00 West staff away/00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1 train 1A01/12 West >1 <1 >3-1 <3-1 train 1A02/12 West staff to train 1A02/14 train 1A02 departed for West/14 West >2 <2 train 1A02/21 West <1 >1 <2-1 >2-1 train 1A02",
		also: "16 West staff from train 1A01"},
	{name: "staff: out of section sent, and it is booked afterwards", method: rulebook.StaffAndTicket, rule: rulebook.OpposingAcceptance,
		may:  "00 West staff away/00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/08 West staff from train 1A01/12 West >1 <1 >3-1 <3-1 train 1A02/12 West staff to train 1A02/14 train 1A02 departed for West/14 West >2 <2 train 1A02/21 West <1 >1 <2-1 >2-1 train 1A02",
		also: "25 West >1 <1 >2-1 <2-1 train 1A01"},
	{name: "permissive: out of section received, and it is booked afterwards", method: rulebook.Permissive, rule: rulebook.PermissiveTooMany, box: roomForOne,
		may:  "00 East >1 <1 >3-2 <3-2 train 6K01/02 train 6K01 departed for East/02 East >2 <2 train 6K01/10 East >1 <1 >3-2 <3-2 train 6K02/12 train 6K02 warned/12 train 6K02 departed for East/12 East >2 <2 train 6K02/19 East <1 >1 <2-1 >2-1 train 6K02",
		also: "25 East <1 >1 <2-1 >2-1 train 6K01"},
	{name: "obstruction removed, and it is booked after two trains", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked,
		may:  "00 West >1 <1 >3-3 <3-3/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A01/20 West <1 >1 <3-1 >3-1 train 1A02/22 West <2 >2/28 train 1A02 arrived at Platform complete/29 West >1 <1 >2-1 <2-1 train 1A02",
		also: "40 West >1 <1 >2-1-2 <2-1-2"},
	{name: "an obstruction cleared for which single line working was over the other line", method: rulebook.Absolute, rule: rulebook.ObstructionDangerNotRemoved,
		may: "00 obstruct \"Down\" East \"tree\"/00 East >6 <6 line Down/05 East working by pilot \"A. Pell\" over Up/10 East >1 <1 >2-1-2 <2-1-2 line Down/11 East working normal/13 East >1 <1 >3-1 <3-1 train 1A01/15 train 1A01 departed for East/15 East >2 <2/22 East <1 >1 <2-1 >2-1",
		not: "00 obstruct \"Down\" East \"tree\"/00 East >6 <6 line Down/05 East working by pilot \"A. Pell\" over Up/10 East >1 <1 >2-1-2 <2-1-2 line Down/11 East working normal"},
	{name: "obstruction danger of no line, and single line working over the line that is free", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance, says: rulebook.NothingToRemove,
		may: "00 obstruct \"Down\" East \"tree\"/00 East >6 <6/05 East working by pilot \"A. Pell\" over Up form 7/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East \"A. Pell riding\"/12 East >2 <2/19 East <1 >1 <2-1 >2-1/30 clear \"Down\" East/31 East >1 <1 >2-1-2 <2-1-2/32 East working normal/33 East >1 <1 >2-1-2 <2-1-2",
		not: "00 East >6 <6/05 East working by pilot \"A. Pell\" over Up form 7/10 East >1 <1 >3-1 <3-1 train 1A01/12 train 1A01 departed for East \"A. Pell riding\"/12 East >2 <2/19 East <1 >1 <2-1 >2-1/20 East >1 <1 >2-1-2 <2-1-2"},
	{name: "out of section received, and the next but one offered with the next in the section", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/20 East >1 <1 >3-1 <3-1 train 1A02/22 East >2 <2 train 1A02/29 East <1 >1 <2-1 >2-1 train 1A02/30 East >1 <1 >3-1 <3-1 train 1A03/32 East >2 <2 train 1A03/39 East <1 >1 <2-1 >2-1 train 1A03",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/20 East >1 <1 >3-1 <3-1 train 1A02/22 East >2 <2 train 1A02/25 East >1 <1 >3-1 <3-1 train 1A03/29 East <1 >1 <2-1 >2-1 train 1A02/32 East >2 <2 train 1A03/39 East <1 >1 <2-1 >2-1 train 1A03"},
	{name: "out of section received, and two trains towards one another since", method: rulebook.Tokenless, rule: rulebook.OpposingAcceptance,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/20 East <1 >1 <3-1 >3-1 train 1B02/22 East <2 >2/28 train 1B02 arrived at Platform complete/29 East >1 <1 >2-1 <2-1 train 1B02/30 East >1 <1 >3-1 <3-1 train 1A03/32 East >2 <2 train 1A03/39 East <1 >1 <2-1 >2-1 train 1A03",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/20 East <1 >1 <3-1 >3-1 train 1B02/22 East <2 >2/25 East >1 <1 >3-1 <3-1 train 1A03/28 train 1B02 arrived at Platform complete/29 East >1 <1 >2-1 <2-1 train 1B02/32 East >2 <2 train 1A03/39 East <1 >1 <2-1 >2-1 train 1A03"},
	{name: "out of section sent of a train that went on, and it is booked afterwards", method: rulebook.Absolute, rule: rulebook.AcceptedSectionOccupied,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/07 East >1 <1 >3-1 <3-1 train 1A01/08 train 1A01 passed for East complete/08 East >2 <2/14 East <1 >1 <2-1 >2-1/20 West <1 >1 <3-1 >3-1 train 1A02/22 West <2 >2/28 train 1A02 arrived at Platform complete/29 West >1 <1 >2-1 <2-1",
		also: "25 West >1 <1 >2-1 <2-1"},
	{name: "out of section sent before the train came, with another accepted", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived,
		may: "00 train 9Z01 moved to Yard/00 West <1 >1 <4 >4/02 West <2 >2/07 West >1 <1 >2-1 <2-1/08 West <1 >1 <3-1 >3-1/10 West <2 >2/16 train 1A02 arrived at Platform complete/17 West >1 <1 >2-1 <2-1",
		not: "00 train 9Z01 moved to Yard/00 West <1 >1 <4 >4/02 West <2 >2/07 West >1 <1 >2-1 <2-1/07 West <1 >1 <3-1 >3-1/08 train 1A01 arrived at Platform complete/13 West <2 >2/19 train 1A02 arrived at Platform complete/20 West >1 <1 >2-1 <2-1"},
	{name: "an offer under the name of the train that is offered next", method: rulebook.Absolute, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1B02/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/15 East <1 >1 <2-1 >2-1/20 West <1 >1 <3-1 >3-1 train 1B02/22 West <2 >2/28 train 1B02 arrived at Platform complete/29 West >1 <1 >2-1 <2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >4 <4 train 1B02/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/15 East <1 >1 <2-1 >2-1"},
	{name: "an offer under a name that is of none, of the description of the train that goes", method: rulebook.Absolute, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1B02/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/15 East <1 >1 <2-1 >2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1B02/08 train 1A01 passed for East complete/08 East >2 <2/09 West >1 <1 >2-1 <2-1/15 East <1 >1 <2-1 >2-1/20 train 1B02 moved to Platform/22 East >1 <1 >3-1 <3-1 train 1B02/24 train 1B02 departed for East/24 East >2 <2"},
	{name: "out of section under the name of the train that comes the other way", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/05 East <1 >1 <3-1 >3-1 train 1B02/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1 train 1B02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/05 East <1 >1 <3-1 >3-1 train 1B02/06 West >1 <1 >2-1 <2-1 train 1B02/08 train 1A01 arrived at Platform complete"},
	{name: "train entering section under another name than the departure", method: rulebook.Absolute, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/05 East <1 >1 <3-1 >3-1 train 1B02/08 train 1A01 passed for East complete/08 East >2 <2 train 1B02/09 West >1 <1 >2-1 <2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/05 train 2Z01 departed for East/05 East >2 <2 train 2Z01/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1"},
	{name: "out of section sent, and the box closed with the train on its way", method: rulebook.Absolute, rule: rulebook.ClosedWhileSignalled,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/20 West >1 <1 >7-5-5 <7-5-5/20 box closed/30 box open/30 West >1 <1 >5-5-5 <5-5-5/31 West <1 >1 <3-1 >3-1 train 1A02/33 West <2 >2/39 train 1A02 arrived at Platform complete/40 West >1 <1 >2-1 <2-1 train 1A02",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/20 West >1 <1 >7-5-5 <7-5-5/20 box closed/30 box open/30 West >1 <1 >5-5-5 <5-5-5/31 West <1 >1 <3-1 >3-1 train 1A02/33 West <2 >2/39 train 1A02 arrived at Platform complete/40 West >1 <1 >2-1 <2-1 train 1A02"},
	{name: "obstruction removed there, and not what had run away", method: rulebook.Absolute, rule: rulebook.OfferedWhileBlocked,
		may: "00 East <6 >6/05 East >1 <1 >3-1 <3-1 train 1A01/07 East >2 <2 train 1A01/14 East <1 >1 <2-1 >2-1 train 1A01",
		not: "00 East <2-5-5 >2-5-5/05 East >1 <1 >3-1 <3-1 train 1A01/07 East >2 <2 train 1A01/14 East <1 >1 <2-1 >2-1 train 1A01"},
	{name: "obstruction removed, and not what runs away to here", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked,
		may: "00 West >6 <6/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A01",
		not: "00 West <4-5-5 >4-5-5/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A01"},
	{name: "obstruction removed, and what obstructed the line is booked still there", method: rulebook.Absolute, rule: rulebook.AcceptedWhileBlocked,
		may: "00 West >6 <6/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A01",
		not: "00 obstruct \"Down\" West \"tree\"/00 West >6 <6/05 West <1 >1 <3-1 >3-1 train 1A01/07 West <2 >2/13 train 1A01 arrived at Platform complete/14 West >1 <1 >2-1 <2-1 train 1A01"},
	{name: "out of section received, and it is booked after two trains", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may:  "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/12 East >2 <2 train 1A02/19 East <1 >1 <2-1 >2-1 train 1A02/20 East >1 <1 >3-1 <3-1 train 1A03/22 East >2 <2 train 1A03/29 East <1 >1 <2-1 >2-1 train 1A03",
		also: "35 East <1 >1 <2-1 >2-1 train 1A01"},
	{name: "a shunt's return, and it is booked afterwards", method: rulebook.Absolute, rule: rulebook.ShuntNotBack, box: shuntAllowed,
		may:  "00 East >1 <1 >3-3-2 <3-3-2 train 0Z01/01 train 0Z01 departed for East/04 East >1 <1 >8 <8 train 0Z01/05 East >1 <1 >3-1 <3-1 train 1A01/07 East >2 <2 train 1A01/14 East <1 >1 <2-1 >2-1 train 1A01",
		also: "06 train 0Z01 arrived at Platform from East complete"},
	{name: "out of section received, of a train that came there without tail lamp", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/10 East >1 <1 >3-1 <3-1 train 1A02/12 East >2 <2 train 1A02/19 East <1 >1 <2-1 >2-1 train 1A02",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/08 East <4-5 >4-5/10 East >1 <1 >3-1 <3-1 train 1A02/12 East >2 <2 train 1A02/19 East <1 >1 <2-1 >2-1 train 1A02"},
	{name: "train entering section with its arrows turned, and its own as well", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance, says: rulebook.TrainNameDiffers,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West >2 <2/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1",
		also: "03 West <2 >2"},
	{name: "train entering section at the wrong box, and its own as well", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance, says: rulebook.TrainNameDiffers,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 East <2 >2/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1",
		also: "03 West <2 >2"},
	{name: "train entering section with its arrows turned", method: rulebook.Token, rule: rulebook.EnteredWithoutAcceptance, says: rulebook.TrainNameDiffers,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West >2 <2/08 train 1A01 arrived at Platform complete/09 West token 4 in/09 West >1 <1 >2-1 <2-1",
		also: "03 West <2 >2"},
	{name: "an offer with its arrows turned, and the train does not come", method: rulebook.Tokenless, rule: rulebook.EnteredWithoutAcceptance, says: rulebook.TrainNameDiffers,
		may: "00 West >1 <1 >3-1 <3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1",
		not: "00 West >1 <1 >3-1 <3-1 train 1A01/02 West <2 >2"},
	{name: "out of section received with its arrows turned, and booked again", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived, says: rulebook.TrainNameDiffers,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West >1 <1 >3-1 <3-1 train 1B01/03 train 1B01 departed for West/03 West >2 <2/04 West <2 >2/10 West >1 <1 >2-1 <2-1/12 train 1A01 arrived at Platform complete/13 West >1 <1 >2-1 <2-1",
		also: "11 West <1 >1 <2-1 >2-1"},
	{name: "an offer with its arrows turned, behind one of ours", method: rulebook.Absolute, rule: rulebook.OfferedBeforeOutOfSection, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/02 East >1 <1 >3-1 <3-1 train 1A01/04 East >1 <1 >3-1 <3-1 train 1B02/05 train 1A01 passed for East complete/05 East >2 <2/06 West >1 <1 >2-1 <2-1/08 East <2 >2/08 West >1 <1 >3-1 <3-1 train 1B02/14 train 1B02 passed for West complete/14 West >2 <2/15 East >1 <1 >2-1 <2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/02 East >1 <1 >3-1 <3-1 train 1A01/04 East >1 <1 >3-1 <3-1 train 1B02/05 train 1A01 passed for East complete/05 East >2 <2/06 West >1 <1 >2-1 <2-1/08 train 1B02 departed for East/08 East >2 <2"},
	{name: "an offer against the wrong box, whose line is free", method: rulebook.Absolute, rule: rulebook.EnteredWithoutAcceptance, says: rulebook.TrainNameDiffers,
		may:  "00 East <1 >1 <3-1 >3-1 train 1A01/03 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1A01/09 train 1A01 passed for East complete/09 East >2 <2/10 West >1 <1 >2-1 <2-1/14 East <1 >1 <2-1 >2-1/16 East <1 >1 <3-1 >3-1 train 1B02/18 East <2 >2/24 train 1B02 arrived at Platform complete",
		also: "04 East <2 >2"},
	{name: "an offer against the wrong box, where another was accepted", method: rulebook.Absolute, rule: rulebook.AcceptedTwice, says: rulebook.TrainNameDiffers,
		may: "00 East <1 >1 <3-1 >3-1 train 1B02/02 East <1 >1 <3-1 >3-1 train 1A01/03 East <2 >2/03 West >1 <1 >3-1 <3-1 train 1B02/05 West <2 >2/05 East >1 <1 >3-1 <3-1 train 1A01/09 train 1B02 passed for West complete/09 West >2 <2/10 East >1 <1 >2-1 <2-1/11 train 1A01 passed for East complete/11 East >2 <2/12 West >1 <1 >2-1 <2-1",
		not: "00 East <1 >1 <3-1 >3-1 train 1B02/02 East <1 >1 <3-1 >3-1 train 1A01/03 East <2 >2/03 West >1 <1 >3-1 <3-1 train 1B02/05 West <2 >2/09 train 1B02 passed for West complete/09 West >2 <2/10 East >1 <1 >2-1 <2-1/11 East <2 >2/18 train 1A01 arrived at Platform from East complete"},
	{name: "an offer against the wrong box, shown by the token", method: rulebook.Token, rule: rulebook.TokenOutWithoutRelease, says: rulebook.TrainNameDiffers,
		may:  "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West token 4 in/09 West >1 <1 >2-1 <2-1/10 West >1 <1 >3-1 <3-1 train 1A01/11 East token 1 out/12 train 1A01 departed for East/12 East >2 <2/20 East <1 >1 <2-1 >2-1",
		also: "11 West token 1 out"},
	{name: "an offer under the name of the train that comes the other way", method: rulebook.Absolute, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may: "00 East <1 >1 <3-1 >3-1 train 1B02/01 West <1 >1 <3-1 >3-1 train 1A01/02 East <2 >2/02 West >1 <1 >3-1 <3-1 train 1B02/03 West <2 >2/03 East >1 <1 >3-1 <3-1 train 1B02/08 train 1B02 passed for West complete/08 West >2 <2/09 East >1 <1 >2-1 <2-1/09 train 1A01 passed for East complete/09 East >2 <2/10 West >1 <1 >2-1 <2-1",
		not: "00 East <1 >1 <3-1 >3-1 train 1B02/02 East <2 >2/08 train 1B02 arrived at Platform complete/09 East >1 <1 >2-1 <2-1/10 West <1 >1 <3-1 >3-1 train 1A01/12 West <2 >2/13 East >1 <1 >3-1 <3-1 train 1B02/18 train 1A01 passed for East complete/18 East >2 <2"},
	{name: "out of section received with its arrows turned, with another accepted, and booked again", method: rulebook.Absolute, rule: rulebook.OutOfSectionTrainNotArrived, says: rulebook.TrainNameDiffers,
		may:  "00 West >1 <1 >3-1 <3-1 train 1B01/02 train 1B01 departed for West/02 West >2 <2/07 West <1 >1 <3-1 >3-1 train 1A01/09 West >1 <1 >2-1 <2-1/10 West <2 >2/16 train 1A01 arrived at Platform complete/17 West >1 <1 >2-1 <2-1",
		also: "11 West <1 >1 <2-1 >2-1"},
	{name: "out of section received, and the box closed meanwhile", method: rulebook.Absolute, rule: rulebook.ClosedWhileSignalled,
		may: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/20 East >1 <1 >7-5-5 <7-5-5/20 box closed/30 box open/30 East >1 <1 >5-5-5 <5-5-5/31 East >1 <1 >3-1 <3-1 train 1A02/33 East >2 <2 train 1A02/40 East <1 >1 <2-1 >2-1 train 1A02",
		not: "00 East >1 <1 >3-1 <3-1 train 1A01/02 East >2 <2 train 1A01/03 East >1 <1 >7-5-5 <7-5-5/03 box closed/30 box open/30 East >1 <1 >5-5-5 <5-5-5/31 East >1 <1 >3-1 <3-1 train 1A02/33 East >2 <2 train 1A02/40 East <1 >1 <2-1 >2-1 train 1A02"},
	{name: "a departure under another's name, which goes its own way", method: rulebook.Absolute, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1/10 East <1 >1 <3-1 >3-1 train 1B02/12 East <2 >2/18 train 1B02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1/20 East >1 <1 >3-1 <3-1 train 1A01/20 West >1 <1 >3-1 <3-1 train 1B02/22 train 1B02 departed for East/22 East >2 <2/24 train 1B02 departed for West/24 West >2 <2/30 East <1 >1 <2-1 >2-1/31 West <1 >1 <2-1 >2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1/10 East <1 >1 <3-1 >3-1 train 1B02/12 East <2 >2/18 train 1B02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1/20 East >1 <1 >3-1 <3-1 train 1A01/20 West >1 <1 >3-1 <3-1 train 1B02/22 train 1B02 departed for East/22 East >2 <2/30 East <1 >1 <2-1 >2-1"},
	{name: "token: a departure under another's name, which goes its own way", method: rulebook.Token, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West token 4 in/09 West >1 <1 >2-1 <2-1/10 East <1 >1 <3-1 >3-1 train 1B02/12 East <2 >2/18 train 1B02 arrived at Platform complete/19 East token 4 in/19 East >1 <1 >2-1 <2-1/20 East >1 <1 >3-1 <3-1 train 1A01/20 East token 1 out/20 West >1 <1 >3-1 <3-1 train 1B02/20 West token 1 out/22 train 1B02 departed for East/22 East >2 <2/24 train 1B02 departed for West/24 West >2 <2/30 East <1 >1 <2-1 >2-1/31 West <1 >1 <2-1 >2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West token 4 in/09 West >1 <1 >2-1 <2-1/10 East <1 >1 <3-1 >3-1 train 1B02/12 East <2 >2/18 train 1B02 arrived at Platform complete/19 East token 4 in/19 East >1 <1 >2-1 <2-1/20 East >1 <1 >3-1 <3-1 train 1A01/20 East token 1 out/20 West >1 <1 >3-1 <3-1 train 1B02/20 West token 1 out/22 train 1B02 departed for East/22 East >2 <2/30 East <1 >1 <2-1 >2-1"},
	{name: "a departure under another's name, the bell under its own", method: rulebook.Absolute, rule: rulebook.WrongTrainEntered, says: rulebook.TrainNameDiffers,
		may: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1/10 East <1 >1 <3-1 >3-1 train 1B02/12 East <2 >2/18 train 1B02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1/20 East >1 <1 >3-1 <3-1 train 1A01/20 West >1 <1 >3-1 <3-1 train 1B02/22 train 1B02 departed for East/22 East >2 <2 train 1A01/24 train 1B02 departed for West/24 West >2 <2/30 East <1 >1 <2-1 >2-1/31 West <1 >1 <2-1 >2-1",
		not: "00 West <1 >1 <3-1 >3-1 train 1A01/02 West <2 >2/08 train 1A01 arrived at Platform complete/09 West >1 <1 >2-1 <2-1/10 East <1 >1 <3-1 >3-1 train 1B02/12 East <2 >2/18 train 1B02 arrived at Platform complete/19 East >1 <1 >2-1 <2-1/20 East >1 <1 >3-1 <3-1 train 1A01/20 West >1 <1 >3-1 <3-1 train 1B02/22 train 1B02 departed for East/22 East >2 <2 train 1A01"},
}

func noRunning(b *block.Box) {
	for i := range b.Sections {
		b.Sections[i].Running = [rulebook.ClassCount]block.Time{}
	}
}

func roomForOne(b *block.Box) {
	for i := range b.Sections {
		b.Sections[i].Trains, b.Sections[i].Source = 1, "instruction 4"
	}
}

func shuntAllowed(b *block.Box) {
	for i := range b.Sections {
		b.Sections[i].Allow = []string{"shunt-ahead"}
	}
}

// TestPresumptions: a step that may have been left out answers the danger that it explains;
// one shown not to have been made before leaves it standing, and is not missing where booked.
func TestPresumptions(t *testing.T) {
	for _, p := range slices.Concat(presumptions, unbelled, authorities, onOneTrain, unnamed, otherWorking, misplaces) {
		t.Run(p.method.String()+", "+p.name, func(t *testing.T) {
			false_ := p.not
			if false_ == "" {
				false_ = p.may + "/" + p.also
			}
			for i, text := range [...]string{p.may, false_} {
				found := p.found(t, text)
				danger := slices.ContainsFunc(found, func(f block.Finding) bool {
					grave := f.Severity == rulebook.Danger
					return f.Answered == 0 && (i == 0 && grave || f.Rule == p.rule && (grave || p.rule != p.says))
				})
				was := slices.ContainsFunc(found, func(f block.Finding) bool { return f.Rule == p.rule })
				missing := slices.ContainsFunc(found, func(f block.Finding) bool { return f.Rule == cmp.Or(p.says, rulebook.StepNotBooked) && f.Answered == 0 })
				switch {
				case !was && i == 1:
					t.Errorf("%s is not found at all in\n%s", p.rule, text)
				case danger == (i == 0):
					t.Errorf("%s stands: %v, in\n%s", p.rule, danger, text)
				case i == 0 && !missing:
					t.Errorf("no step is said to be missing in\n%s", text)
				case i == 1 && p.also != "" && missing:
					t.Errorf("a step is said to be missing that is booked, in\n%s", text)
				default:
					continue
				}
				for _, f := range found {
					t.Logf("%d %s %s answered %d: %s", f.Seq, f.Severity, f.Rule, f.Answered, f.Text)
				}
			}
		})
	}
}

// found is everything found of a book as the program reads it, with what was answered later.
func (p *presumption) found(t *testing.T, text string) []block.Finding {
	t.Helper()
	b := slipBox(t, p.method)
	if p.box != nil {
		p.box(b)
		if err := b.Prepare(); err != nil {
			t.Fatal(err)
		}
	}
	lines := strings.Split(text, "/")
	slices.SortStableFunc(lines, func(a, b string) int { return strings.Compare(a[:2], b[:2]) })
	var book []bookreading.Entry
	for i, l := range lines {
		minute, err := strconv.Atoi(l[:2])
		if err != nil {
			t.Fatal(fmt.Errorf("%q begins with no minute: %w", l, err))
		}
		e := bookreading.Entry{Event: reading(t, l[3:])}
		e.Event.At, e.Event.Seq = clock+block.Time(minute)*block.Minute, int64(i+1)
		book = append(book, e)
	}
	return asRead(t, b, book)
}
