package notation

import "fairhand/block"

// form is the one grammar row of a kind: how its line reads after the clock
// time. Parsing, formatting, completion and the help text all come from it.
//
// Words in lower case stand for themselves. Words in capitals are slots, each
// tied to one field of block.Event (see slot.go). What must be there comes
// first; then the parts that may be left out, each in square brackets: one
// slot, or one word and one slot. A part is written back exactly when its slot
// is not empty. Parts are written in the order given and read in any order.
type form struct {
	kind    block.Kind
	pattern string
	says    string // one line of help
	example string // a body that uses the form, with every part that matters
}

// group is a heading of the help text and the forms under it.
type group struct {
	title string
	forms []form
}

// groups lists every kind once. Forms that begin with SECTION are told apart
// by the word after it; all others by their first word or words. compile.go
// refuses a table that cannot be walked word by word.
var groups = []group{
	{"Bells", []form{
		{block.Bells, "SECTION BELLS [train TRAIN] [line LINE] [pn PN] [TEXT]", "bell signals: < received, > sent",
			"Coldbeck <1 >1 <3-1 >3-1 train 2P07 line Single pn 41"},
	}},
	{"Tokens", []form{
		{block.TokenOut, "SECTION token TOKEN out [FAR] [at PLACE] [train TRAIN] [TEXT]", "token drawn (there: at the far end; at: at a siding)",
			"Coldbeck token 7 out there train 2P07"},
		{block.TokenIn, "SECTION token TOKEN in [FAR] [at PLACE] [TEXT]", "token put into the instrument (there: at the far end; at: at a siding)",
			`Coldbeck token 7 in at "Quarry Siding"`},
		{block.TokenToTrain, "SECTION token TOKEN to train TRAIN [TEXT]", "token handed to the driver",
			"Coldbeck token 7 to train 2P07"},
		{block.TokenFromTrain, "SECTION token TOKEN from train TRAIN [TEXT]", "token given up by the driver",
			"Coldbeck token 7 from train 2P07"},
		{block.TokenMovedHere, "SECTION token TOKEN moved here [TEXT]", "technician put the token into our instrument",
			"Coldbeck token 9 moved here"},
		{block.TokenMovedAway, "SECTION token TOKEN moved away [TEXT]", "technician put the token into the far instrument",
			"Coldbeck token 9 moved away"},
		{block.TokenTaken, "SECTION token TOKEN taken [TEXT]", "token in the technician's custody",
			"Coldbeck token 9 taken"},
		{block.TokenLost, "SECTION token TOKEN lost [TEXT]", "token lost",
			"Coldbeck token 9 lost"},
		{block.TokenFound, "SECTION token TOKEN found [TEXT]", "lost token found",
			"Coldbeck token 9 found"},
		{block.TokenDamaged, "SECTION token TOKEN damaged [TEXT]", "token damaged, out of use",
			`Coldbeck token 9 damaged "bent"`},
		{block.TokenCount, "SECTION count NUMBER [there OTHER] [TEXT]", "tokens counted in the instruments",
			"Coldbeck count 6 there 5"},
	}},
	{"Staff and ticket", []form{
		{block.StaffHere, "SECTION staff here [TEXT]", "train staff is here",
			"Stangill staff here"},
		{block.StaffAway, "SECTION staff away [TEXT]", "train staff is at the other end",
			"Stangill staff away"},
		{block.StaffToTrain, "SECTION staff to train TRAIN [TEXT]", "staff handed to the driver",
			"Stangill staff to train 2P07"},
		{block.StaffFromTrain, "SECTION staff from train TRAIN [TEXT]", "staff given up by the driver",
			"Stangill staff from train 2P07"},
		{block.TicketToTrain, "SECTION ticket TICKET to train TRAIN [TEXT]", "ticket issued",
			"Stangill ticket 14 to train 2P05"},
		{block.TicketFromTrain, "SECTION ticket TICKET from train TRAIN [TEXT]", "ticket given up",
			"Stangill ticket 14 from train 2P05"},
		{block.TicketCancelled, "SECTION ticket TICKET cancelled [TEXT]", "ticket cancelled",
			"Stangill ticket 14 cancelled"},
	}},
	{"Instruments and working", []form{
		{block.Indicator, "SECTION indicator INDICATION [line LINE] [TEXT]", "block indicator: line-clear, train-on-line, normal",
			`Saltgarth indicator line-clear line "Up Main"`},
		{block.WorkingMessage, "SECTION working by message [TEXT]", "bells or instrument failed: block worked by message",
			"Coldbeck working by message"},
		{block.WorkingPilot, "SECTION working by pilot PERSON [TEXT]", "worked by pilot",
			`Coldbeck working by pilot "T. Hale"`},
		{block.WorkingNormal, "SECTION working normal [TEXT]", "normal working resumed",
			"Coldbeck working normal"},
		{block.ProvedClear, "SECTION proved clear [line LINE] [TEXT]", "section proved clear: ends a doubt",
			`Coldbeck proved clear line Single "told by R. Garth, tokens 6 and 6"`},
	}},
	{"Trains", []form{
		{block.TrainArrived, "train TRAIN arrived [at PLACE] [from FROM] [PROOF] [TEXT]", "train arrived",
			`train 2P07 arrived at "Platform 1" from Coldbeck complete`},
		{block.TrainPassed, "train TRAIN passed [at PLACE] [for SECTION] [line LINE] [PROOF] [TEXT]", "train passed",
			`train 6K20 passed at "Down Main" for Saltgarth line "Up Main" no-tail-lamp`},
		{block.TrainDeparted, "train TRAIN departed [for SECTION] [line LINE] [TEXT]", "train departed",
			`train 2P07 departed for Saltgarth line "Up Main"`},
		{block.TrainMoved, "train TRAIN moved to PLACE [TEXT]", "train shunted to another place here",
			"train 6K20 moved to Yard"},
		{block.TrainDivided, "train TRAIN divided [TEXT]", "train divided",
			"train 6K20 divided"},
		{block.TrainEntire, "train TRAIN entire [TEXT]", "train found complete",
			"train 6K20 entire"},
		{block.TrainPutAway, "train TRAIN put away [TEXT]", "train put away here, clear of the running lines",
			"train 6K20 put away"},
		{block.TrainOff, "train TRAIN will not run [TEXT]", "train will not run",
			"train 2P11 will not run"},
		{block.TrainRenamed, "train TRAIN renamed NEWNAME [TEXT]", "train has another name from now on",
			"train 2P11 renamed 5P11"},
		{block.TrainWarned, "train TRAIN warned [TEXT]", "driver warned or cautioned",
			"train 6K20 warned"},
	}},
	{"Signals, reminders and obstructions", []form{
		{block.SignalOff, "signal GEAR off [TEXT]", "signal cleared",
			`signal "Up Starting" off`},
		{block.SignalOn, "signal GEAR on [TEXT]", "signal restored to danger",
			`signal "Up Starting" on`},
		{block.ReminderOn, "reminder on GEAR [TEXT]", "reminder placed",
			`reminder on "Lever 5" "2F03 standing"`},
		{block.ReminderOff, "reminder off GEAR [TEXT]", "reminder lifted",
			`reminder off "Lever 5"`},
		{block.Obstruct, "obstruct LINE SECTION [TEXT]", "obstruction within the clearing point or on the section",
			`obstruct "Down Main" Saltgarth "wagon foul"`},
		{block.ObstructClear, "clear LINE SECTION [TEXT]", "obstruction gone",
			`clear "Down Main" Saltgarth`},
	}},
	{"Messages", []form{
		{block.MessageTo, "message to PARTY [answers TARGET] [TEXT]", "message sent, verbatim",
			`message to Control answers 17 "Coldbeck crossing locked"`},
		{block.MessageFrom, "message from PARTY [answers TARGET] [TEXT]", "message received, verbatim",
			`message from Control answers 18 "noted"`},
	}},
	{"Equipment and the line", []form{
		{block.Failure, "failure GEAR [TEXT]", "equipment failed",
			`failure "Lever 12" "lamp out"`},
		{block.Restored, "restored GEAR [TEXT]", "equipment working again",
			`restored "Lever 12"`},
		{block.Disconnected, "disconnected GEAR [TEXT]", "gear disconnected",
			`disconnected "Points 9"`},
		{block.Reconnected, "reconnected GEAR [TEXT]", "gear reconnected and tested",
			`reconnected "Points 9"`},
		{block.Clamped, "clamped GEAR [TEXT]", "points clamped",
			`clamped "Points 9"`},
		{block.Unclamped, "unclamped GEAR [TEXT]", "clamp removed",
			`unclamped "Points 9"`},
		{block.Blockage, "blockage LINE [towards SECTION] [TEXT]", "line blockage taken",
			`blockage "Down Main" towards Saltgarth "person in charge J. Wray"`},
		{block.BlockageUp, "blockage-up LINE [towards SECTION] [TEXT]", "line blockage given up",
			`blockage-up "Down Main" towards Saltgarth`},
	}},
	{"Fog and hand signalling", []form{
		{block.Posted, "posted PERSON at PLACE [TEXT]", "hand- or fogsignaller posted",
			`posted "L. Barr" at "Down Distant"`},
		{block.Withdrawn, "withdrawn PERSON at PLACE [TEXT]", "hand- or fogsignaller withdrawn",
			`withdrawn "L. Barr" at "Down Distant"`},
		{block.FogOn, "fog on [TEXT]", "fog or falling snow",
			"fog on"},
		{block.FogOff, "fog off [TEXT]", "fog or snow lifted",
			"fog off"},
	}},
	{"The book", []form{
		{block.Note, "note TEXT", "remark across the page",
			`note "relief is late"`},
		{block.Correct, "correct TARGET TEXT", "the line that stands instead of entry TARGET",
			`correct 41 "10:43 Coldbeck <2 >2"`},
	}},
	{"Duty, clock and box", []form{
		{block.DutyOn, "duty on PERSON [TEXT]", "signed on",
			`duty on "A. Fell"`},
		{block.DutyOff, "duty off PERSON [TEXT]", "signed off",
			`duty off "A. Fell"`},
		{block.ClockRight, "clock right [TEXT]", "clock checked and right",
			"clock right"},
		{block.ClockSlow, "clock slow MINUTES [TEXT]", "clock checked, minutes slow",
			"clock slow 2"},
		{block.ClockFast, "clock fast MINUTES [TEXT]", "clock checked, minutes fast",
			"clock fast 1"},
		{block.BoxOpen, "box open [TEXT]", "box opened",
			"box open"},
		{block.BoxClosed, "box closed [TEXT]", "box closed",
			"box closed"},
		{block.BoxSwitchedIn, "box switched in [TEXT]", "box switched in",
			"box switched in"},
		{block.BoxSwitchedOut, "box switched out [TEXT]", "box switched out",
			"box switched out"},
	}},
	{"Examination and handover", []form{
		{block.Visit, "visit PERSON [TEXT]", "visit to the box",
			`visit "R. Garth"`},
		{block.Sign, "sign PERSON [TEXT]", "book examined and signed",
			`sign "R. Garth"`},
		{block.Countersign, "countersign TARGET PERSON [TEXT]", "entry countersigned",
			`countersign 41 "R. Garth"`},
		{block.Explain, "explain TARGET TEXT", "remark on what was found about entry TARGET",
			`explain 41 "bell repeated at the neighbour's request"`},
		{block.Carried, "carried MATTER [TEXT]", "handed over and accepted by the relief",
			`carried "6K20 in the yard"`},
		{block.Queried, "queried MATTER [TEXT]", "handed over and questioned by the relief",
			`queried "token 9"`},
		{block.Transcribed, "transcribed TEXT", "entries from here on are copied from this source",
			`transcribed "paper book 12, page 40"`},
		{block.SealMark, "seal PARTY TEXT", "words of a sealed head, ours or a neighbour's",
			`seal Coldbeck "amber heron quiet lantern"`},
	}},
}
