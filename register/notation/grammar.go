package notation

import "fairhand/block"

// form is the one grammar row of a kind: how its line reads after the clock
// time. Parsing, formatting, completion and the help text all come from it.
//
// Words in lower case stand for themselves. Words in capitals are slots, each
// tied to one field of block.Event. A part in square brackets may be left out;
// parts of one bracket stand or fall together. An optional part is written
// back exactly when its (first) slot is not empty.
type form struct {
	kind    block.Kind
	pattern string
	says    string // one line of help
}

// forms lists every kind. Kinds that begin with SECTION are told apart by the
// word after it; all others by their first word or words.
var forms = []form{
	{block.Bells, "SECTION BELLS [train TRAIN] [line LINE] [pn PN] [TEXT]", "bell signals: < received, > sent"},

	{block.TokenOut, "SECTION token NUMBER out [FAR] [train TRAIN] [TEXT]", "token drawn (there: at the far end)"},
	{block.TokenIn, "SECTION token NUMBER in [FAR] [TEXT]", "token put into the instrument"},
	{block.TokenToTrain, "SECTION token NUMBER to train TRAIN [TEXT]", "token handed to the driver"},
	{block.TokenFromTrain, "SECTION token NUMBER from train TRAIN [TEXT]", "token given up by the driver"},
	{block.TokenMovedHere, "SECTION token NUMBER moved here [TEXT]", "technician put the token into our instrument"},
	{block.TokenMovedAway, "SECTION token NUMBER moved away [TEXT]", "technician put the token into the far instrument"},
	{block.TokenTaken, "SECTION token NUMBER taken [TEXT]", "token in the technician's custody"},
	{block.TokenLost, "SECTION token NUMBER lost [TEXT]", "token lost"},
	{block.TokenFound, "SECTION token NUMBER found [TEXT]", "lost token found"},
	{block.TokenDamaged, "SECTION token NUMBER damaged [TEXT]", "token damaged, out of use"},
	{block.TokenCount, "SECTION count NUMBER [there OTHER] [TEXT]", "tokens counted in the instruments"},

	{block.StaffHere, "SECTION staff here [TEXT]", "train staff is here"},
	{block.StaffAway, "SECTION staff away [TEXT]", "train staff is at the other end"},
	{block.StaffToTrain, "SECTION staff to train TRAIN [TEXT]", "staff handed to the driver"},
	{block.StaffFromTrain, "SECTION staff from train TRAIN [TEXT]", "staff given up by the driver"},
	{block.TicketToTrain, "SECTION ticket NUMBER to train TRAIN [TEXT]", "ticket issued"},
	{block.TicketFromTrain, "SECTION ticket NUMBER from train TRAIN [TEXT]", "ticket given up"},
	{block.TicketCancelled, "SECTION ticket NUMBER cancelled [TEXT]", "ticket cancelled"},

	{block.Indicator, "SECTION indicator SUBJECT [line LINE] [TEXT]", "block indicator: line-clear, train-on-line, normal"},
	{block.WorkingMessage, "SECTION working by message [TEXT]", "bells or instrument failed: block worked by message"},
	{block.WorkingPilot, "SECTION working by pilot SUBJECT [TEXT]", "worked by pilot"},
	{block.WorkingNormal, "SECTION working normal [TEXT]", "normal working resumed"},

	{block.TrainArrived, "train TRAIN arrived [at PLACE] [from FROM] [PROOF] [TEXT]", "train arrived"},
	{block.TrainPassed, "train TRAIN passed [at PLACE] [for SECTION] [line LINE] [PROOF] [TEXT]", "train passed"},
	{block.TrainDeparted, "train TRAIN departed [for SECTION] [line LINE] [TEXT]", "train departed"},
	{block.TrainMoved, "train TRAIN moved to PLACE [TEXT]", "train shunted to another place here"},
	{block.TrainDivided, "train TRAIN divided [TEXT]", "train divided"},
	{block.TrainEntire, "train TRAIN entire [TEXT]", "train found complete"},
	{block.TrainPutAway, "train TRAIN put away [TEXT]", "train put away here, clear of the running lines"},
	{block.TrainOff, "train TRAIN will not run [TEXT]", "train will not run"},
	{block.TrainRenamed, "train TRAIN renamed SUBJECT [TEXT]", "train has another name from now on"},
	{block.TrainWarned, "train TRAIN warned [TEXT]", "driver warned or cautioned"},

	{block.SignalOff, "signal SUBJECT off [TEXT]", "signal cleared"},
	{block.SignalOn, "signal SUBJECT on [TEXT]", "signal restored to danger"},
	{block.ReminderOn, "reminder on SUBJECT [TEXT]", "reminder placed"},
	{block.ReminderOff, "reminder off SUBJECT [TEXT]", "reminder lifted"},
	{block.Obstruct, "obstruct LINE SECTION [TEXT]", "obstruction within the clearing point or on the section"},
	{block.ObstructClear, "clear LINE SECTION [TEXT]", "obstruction gone"},
	{block.MessageTo, "message to SUBJECT [answers TARGET] [TEXT]", "message sent, verbatim"},
	{block.MessageFrom, "message from SUBJECT [answers TARGET] [TEXT]", "message received, verbatim"},
	{block.Failure, "failure SUBJECT [TEXT]", "equipment failed"},
	{block.Restored, "restored SUBJECT [TEXT]", "equipment working again"},
	{block.Disconnected, "disconnected SUBJECT [TEXT]", "gear disconnected"},
	{block.Reconnected, "reconnected SUBJECT [TEXT]", "gear reconnected and tested"},
	{block.Clamped, "clamped SUBJECT [TEXT]", "points clamped"},
	{block.Unclamped, "unclamped SUBJECT [TEXT]", "clamp removed"},
	{block.Blockage, "blockage LINE [towards SECTION] [TEXT]", "line blockage taken"},
	{block.BlockageUp, "blockage-up LINE [towards SECTION] [TEXT]", "line blockage given up"},
	{block.Posted, "posted SUBJECT at PLACE [TEXT]", "hand- or fogsignaller posted"},
	{block.Withdrawn, "withdrawn SUBJECT at PLACE [TEXT]", "hand- or fogsignaller withdrawn"},
	{block.FogOn, "fog on [TEXT]", "fog or falling snow"},
	{block.FogOff, "fog off [TEXT]", "fog or snow lifted"},
	{block.Note, "note TEXT", "remark across the page"},
	{block.Correct, "correct TARGET TEXT", "the line that stands instead of entry TARGET"},
	{block.DutyOn, "duty on SUBJECT [TEXT]", "signed on"},
	{block.DutyOff, "duty off SUBJECT [TEXT]", "signed off"},
	{block.ClockRight, "clock right [TEXT]", "clock checked and right"},
	{block.ClockSlow, "clock slow NUMBER [TEXT]", "clock checked, minutes slow"},
	{block.ClockFast, "clock fast NUMBER [TEXT]", "clock checked, minutes fast"},
	{block.BoxOpen, "box open [TEXT]", "box opened"},
	{block.BoxClosed, "box closed [TEXT]", "box closed"},
	{block.BoxSwitchedIn, "box switched in [TEXT]", "box switched in"},
	{block.BoxSwitchedOut, "box switched out [TEXT]", "box switched out"},
	{block.Visit, "visit SUBJECT [TEXT]", "visit to the box"},
	{block.Sign, "sign SUBJECT [TEXT]", "book examined and signed"},
	{block.Countersign, "countersign TARGET SUBJECT [TEXT]", "entry countersigned"},
	{block.Explain, "explain TARGET TEXT", "remark on what was found about entry TARGET"},
	{block.Carried, "carried SUBJECT [TEXT]", "handed over and accepted by the relief"},
	{block.Queried, "queried SUBJECT [TEXT]", "handed over and questioned by the relief"},
	{block.Transcribed, "transcribed TEXT", "entries from here on are copied from this source"},
	{block.SealMark, "seal SUBJECT TEXT", "words of a sealed head, ours or a neighbour's"},
}
