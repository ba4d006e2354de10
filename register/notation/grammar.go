package notation

import (
	"strings"

	"fairhand/block"
)

// Form is the one grammar row of a kind: how its line reads after the clock
// time. Parsing, formatting, completion and the help text all come from it.
//
// Words in lower case stand for themselves. Words in capitals are slots, each
// tied to one field of block.Event (see slot.go). What must be there comes
// first; then the parts that may be left out, each in square brackets: one
// slot, or one word and one slot. A part is written back exactly when its slot
// is not empty. Parts are written in the order given and read in any order. The remark,
// [TEXT], that all but a few may have at their end is not in the row.
type Form struct {
	Kind    block.Kind
	Pattern string
	Says    string // one line of help
	Example string // a body that uses the form, with every part that matters
}

// Group is a heading of the help text and the forms under it.
type Group struct {
	Title string
	Forms []Form
}

// Groups lists every kind once, for all of that. Forms that begin with SECTION are told apart
// by the word after it; all others by their first word or words. compile.go
// refuses a table that cannot be walked word by word.
var Groups = remarked([]Group{
	{"Bells", []Form{
		{block.Bells, "SECTION BELLS [train TRAIN] [line LINE] [inquiry INQUIRY] [pn PN] [words WORDS]", "bells, or words said (offer, accept, refuse, arrived): < to us, > by us", `Coldbeck >offer <accept train 2P07 line Single inquiry 3 pn 41 words "four one"`},
	}},
	{"Tokens", []Form{
		{block.TokenOut, "SECTION token TOKEN out [FAR] [at PLACE] [train TRAIN]", "token drawn (there: at the far end; at: at a siding)", "Coldbeck token 7 out there train 2P07"},
		{block.TokenIn, "SECTION token TOKEN in [FAR] [at PLACE]", "token put into the instrument (there: at the far end; at: at a siding)", `Coldbeck token 7 in at "Quarry Siding"`},
		{block.TokenToTrain, "SECTION token TOKEN to train TRAIN", "token handed to the driver", "Coldbeck token 7 to train 2P07"},
		{block.TokenFromTrain, "SECTION token TOKEN from train TRAIN", "token given up by the driver", "Coldbeck token 7 from train 2P07"},
		{block.TokenMovedHere, "SECTION token TOKEN moved here", "technician put the token into our instrument", "Coldbeck token 9 moved here"},
		{block.TokenMovedAway, "SECTION token TOKEN moved away", "technician put the token into the far instrument", "Coldbeck token 9 moved away"},
		{block.TokenTaken, "SECTION token TOKEN taken", "token in the technician's custody", "Coldbeck token 9 taken"},
		{block.TokenLost, "SECTION token TOKEN lost", "token lost", "Coldbeck token 9 lost"},
		{block.TokenFound, "SECTION token TOKEN found", "lost token found", "Coldbeck token 9 found"},
		{block.TokenDamaged, "SECTION token TOKEN damaged", "token damaged, out of use", `Coldbeck token 9 damaged "bent"`},
		{block.TokenCount, "SECTION count NUMBER [there OTHER]", "tokens counted in the instruments", "Coldbeck count 6 there 5"},
	}},
	{"Staff and ticket", []Form{
		{block.StaffHere, "SECTION staff here", "train staff is here", "Stangill staff here"},
		{block.StaffAway, "SECTION staff away", "train staff is at the other end", "Stangill staff away"},
		{block.StaffToTrain, "SECTION staff to train TRAIN", "staff handed to the driver", "Stangill staff to train 2P07"},
		{block.StaffFromTrain, "SECTION staff from train TRAIN", "staff given up by the driver", "Stangill staff from train 2P07"},
		{block.TicketToTrain, "SECTION ticket TICKET to train TRAIN", "ticket issued", "Stangill ticket 14 to train 2P05"},
		{block.TicketFromTrain, "SECTION ticket TICKET from train TRAIN", "ticket given up", "Stangill ticket 14 from train 2P05"},
		{block.TicketCancelled, "SECTION ticket TICKET cancelled", "ticket cancelled", "Stangill ticket 14 cancelled"},
	}},
	{"Instruments and working", []Form{
		{block.Indicator, "SECTION indicator INDICATION [line LINE]", "block indicator: line-clear, train-on-line, normal, free, occupied", `Saltgarth indicator line-clear line "Up Main"`},
		{block.CounterReset, "SECTION counter reset [line LINE] [pn PN]", "axle counter reset, with the other end's assurance", `Birch counter reset pn 52 "last trains 5610 and 5611"`},
		{block.ShuntKeyTaken, "SECTION shunt-key out [line LINE]", "shunt key taken out of the panel", "Birch shunt-key out"},
		{block.ShuntKeyBack, "SECTION shunt-key in [line LINE]", "shunt key put back", "Birch shunt-key in"},
		{block.SectionToExamine, "SECTION to be examined [line LINE]", "line to be examined by the next train", `Coldbeck to be examined line Single "rough ride, driver of 2P07"`},
		{block.SectionExamined, "SECTION examined clear [line LINE] [train TRAIN]", "line examined, and clear", "Coldbeck examined clear line Single train 2P11"},
		{block.WorkingMessage, "SECTION working by message", "bells or instrument failed: block worked by message", "Coldbeck working by message"},
		{block.WorkingPilot, "SECTION working by pilot PERSON [over LINE] [form FORM]", "worked by pilot; over a line: single line working", `Saltgarth working by pilot "T. Hale" over "Up Main" form 3`},
		{block.WorkingNormal, "SECTION working normal", "normal working resumed", "Coldbeck working normal"},
		{block.ProvedClear, "SECTION proved clear [line LINE]", "section proved clear: ends a doubt", `Coldbeck proved clear line Single "told by R. Garth, tokens 6 and 6"`},
	}},
	{"Trains", []Form{
		{block.TrainArrived, "train TRAIN arrived [at PLACE] [from FROM] [PROOF]", "train arrived", `train 2P07 arrived at "Platform 1" from Coldbeck complete`},
		{block.TrainPassed, "train TRAIN passed [at PLACE] [for SECTION] [line LINE] [PROOF]", "train passed", `train 6K20 passed at "Down Main" for Saltgarth line "Up Main" no-tail-lamp`},
		{block.TrainDeparted, "train TRAIN departed [for SECTION] [line LINE]", "train departed", `train 2P07 departed for Saltgarth line "Up Main"`},
		{block.TrainMoved, "train TRAIN moved to PLACE", "train shunted to another place here", "train 6K20 moved to Yard"},
		{block.TrainDivided, "train TRAIN divided [leaving REAR]", "train divided; the name of its rear part", "train 6K20 divided leaving 6K20R"},
		{block.TrainEntire, "train TRAIN entire", "train found complete", "train 6K20 entire"},
		{block.TrainPutAway, "train TRAIN put away", "train put away here, clear of the running lines", "train 6K20 put away"},
		{block.TrainOff, "train TRAIN will not run", "train will not run", "train 2P11 will not run"},
		{block.TrainRenamed, "train TRAIN renamed NEWNAME", "train has another name from now on", "train 2P11 renamed 5P11"},
		{block.TrainWarned, "train TRAIN warned", "driver warned or cautioned", "train 6K20 warned"},
		{block.TrainAuthorised, "train TRAIN authorised past GEAR", "driver authorised past a signal at danger", `train 6K20 authorised past "Up Starting"`},
		{block.TrainJoined, "train TRAIN joined to WITH", "train is part of another from here on", "train 2P11 joined to 2P13"},
		{block.EngineDetached, "train TRAIN detached ENGINE", "engine taken off, a train of its own", "train 6K20 detached 0K20"},
		{block.TrainAssists, "train TRAIN assists WITH [RETURNS]", "engine assists a train (returns: comes back)", "train 0B01 assists 6K20 returns"},
		{block.TrainDetained, "train TRAIN detained [line LINE] [by PERSON] [SPOKEN]", "crew of a train at a signal: who, how it spoke", `train 6K20 detained line "Up Main" by "J. Wray" signed`},
		{block.TrainExamined, "train TRAIN examined RESULT", "train stopped and examined: fit or not", `train 6K20 examined fit "door shut"`},
		{block.TrainToHear, "train TRAIN must hear TEXT", "message that must reach the train", `train 6K20 must hear "stop at Mill Lane"`},
		{block.TrainHeard, "train TRAIN heard", "the message delivered", "train 6K20 heard"},
	}},
	{"Signals, reminders and obstructions", []Form{
		{block.SignalOff, "signal GEAR off", "signal cleared", `signal "Up Starting" off`},
		{block.SignalOn, "signal GEAR on", "signal restored to danger", `signal "Up Starting" on`},
		{block.ReminderOn, "reminder on GEAR", "reminder placed", `reminder on "Lever 5" "2F03 standing"`},
		{block.ReminderOff, "reminder off GEAR", "reminder lifted", `reminder off "Lever 5"`},
		{block.Obstruct, "obstruct LINE SECTION", "obstruction within the clearing point or on the section", `obstruct "Down Main" Saltgarth "wagon foul"`},
		{block.ObstructClear, "clear LINE SECTION", "obstruction gone", `clear "Down Main" Saltgarth`},
	}},
	{"Level crossings", []Form{
		{block.CrossingAsked, "crossing CROSSING asked [WHAT] [for MINUTES] [LARGE]", "the user rang: what is to cross, and how long it will take", `crossing "Mill Lane" asked "tractor and trailer" for 4 large`},
		{block.CrossingMayCross, "crossing CROSSING may cross", "permission to cross given", `crossing "Mill Lane" may cross`},
		{block.CrossingWait, "crossing CROSSING wait", "the user told to wait", `crossing "Mill Lane" wait "2K14 due"`},
		{block.CrossingClear, "crossing CROSSING clear", "the user reports clear and the gates shut", `crossing "Mill Lane" clear`},
		{block.CrossingNotHeard, "crossing CROSSING not heard", "a call that could not be understood", `crossing "Mill Lane" not heard`},
		{block.CrossingDown, "crossing CROSSING down", "barriers or gates closed to the road", `crossing "Station Road" down`},
		{block.CrossingUp, "crossing CROSSING up", "barriers or gates opened to the road", `crossing "Station Road" up`},
		{block.CrossingTold, "crossing CROSSING told [train TRAIN] [pn PN]", "keeper told of a train", `crossing "LC 21" told train 5610 pn 14`},
		{block.CrossingShut, "crossing CROSSING closed [train TRAIN] [pn PN]", "keeper's assurance that the gates are across the road", `crossing "LC 21" closed train 5610 pn 37`},
		{block.CrossingPast, "crossing CROSSING past [train TRAIN] [pn PN]", "train reported past the crossing", `crossing "LC 21" past train 5610`},
		{block.CrossingMayOpen, "crossing CROSSING may open [pn PN]", "keeper given leave to open to the road", `crossing "LC 21" may open pn 52`},
		{block.CrossingGatesOpen, "crossing CROSSING gates open", "gates found or reported open", `crossing "Mill Lane" gates open "driver of 2K14"`},
		{block.CrossingGatesShut, "crossing CROSSING gates shut", "gates shut since", `crossing "Mill Lane" gates shut`},
		{block.CrossingObstructed, "crossing CROSSING obstructed", "crossing obstructed", `crossing "Mill Lane" obstructed "trailer fast on the rails"`},
		{block.CrossingUnobstructed, "crossing CROSSING unobstructed", "crossing free again", `crossing "Mill Lane" unobstructed`},
		{block.CrossingAttended, "crossing CROSSING attended [PERSON]", "attendant has taken duty", `crossing "Mill Lane" attended "J. Wray"`},
		{block.CrossingUnattended, "crossing CROSSING unattended", "attendant has given up duty", `crossing "Mill Lane" unattended`},
		{block.CrossingLocal, "crossing CROSSING local", "local control taken", `crossing "Station Road" local`},
		{block.CrossingRemote, "crossing CROSSING remote", "local control given up", `crossing "Station Road" remote`},
		{block.CrossingSecured, "crossing CROSSING secured", "crossing locked out of use", `crossing "Mill Lane" secured`},
		{block.CrossingUnsecured, "crossing CROSSING unsecured", "crossing in use again", `crossing "Mill Lane" unsecured`},
		{block.TrainCautioned, "train TRAIN cautioned for CROSSING", "driver told to approach and pass the crossing at caution", `train 2K14 cautioned for "Mill Lane"`},
	}},
	{"Messages", []Form{
		{block.MessageTo, "message to PARTY [answers TARGET]", "message sent, verbatim", `message to Control answers 17 "Coldbeck crossing locked"`},
		{block.MessageFrom, "message from PARTY [answers TARGET]", "message received, verbatim", `message from Control answers 18 "noted"`},
	}},
	{"Equipment and the line", []Form{
		{block.Failure, "failure GEAR", "equipment failed", `failure "Lever 12" "lamp out"`},
		{block.Restored, "restored GEAR", "equipment repaired, working again", `restored "Lever 12"`},
		{block.Disconnected, "disconnected GEAR", "gear disconnected", `disconnected "Points 9"`},
		{block.Reconnected, "reconnected GEAR", "gear reconnected and tested", `reconnected "Points 9"`},
		{block.Clamped, "clamped GEAR", "points clamped", `clamped "Points 9"`},
		{block.Unclamped, "unclamped GEAR", "clamp removed", `unclamped "Points 9"`},
		{block.PointsSet, "points GEAR set LIE", "points set: normal, reverse", `points "Points 9" set reverse`},
		{block.PointsLocked, "points GEAR locked", "points locked", `points "Points 9" locked`},
		{block.PointsWound, "points GEAR wound LIE", "points wound by hand, without their locking", `points "Points 9" wound normal`},
		{block.RouteSet, "route ROUTE set [train TRAIN]", "route set and locked", `route "Up Main to Yard" set train 6K20`},
		{block.RouteReleased, "route ROUTE released", "route released", `route "Up Main to Yard" released`},
		{block.FrameOut, "ground-frame GEAR out [train TRAIN]", "ground frame released", "ground-frame Quarry out train 6K20"},
		{block.FrameIn, "ground-frame GEAR in", "ground frame locked again", "ground-frame Quarry in"},
		{block.Released, "released GEAR RELEASE [for SECTION] [line LINE] [counter COUNTER] [told TOLD]", "a release used: which it is, its counter before and after, who was told, the cause", `released "Up Release" sealed counter 41-42 told Control "circuit failed"`},
		{block.CounterRead, "counter GEAR reads READING", "what the counter of a release shows", `counter "Up Release" reads 42`},
		{block.Blockage, "blockage LINE [towards SECTION] [party WHO] [number AUTHORITY] [REPEATED]", "line blockage taken", `blockage "Down Main" towards Saltgarth party "J. Wray" number 17 repeated`},
		{block.BlockageUp, "blockage-up LINE [towards SECTION]", "line blockage given up", `blockage-up "Down Main" towards Saltgarth`},
		{block.PartyOn, "party WHO on LINE [towards SECTION] [number AUTHORITY] [REPEATED]", "a further party on a line that is blocked", `party "B. Wood" on "Down Main" towards Saltgarth number 17 repeated`},
		{block.PartyClear, "party WHO clear LINE [towards SECTION] [number AUTHORITY]", "a party reports clear of the line, for itself alone", `party "B. Wood" clear "Down Main" towards Saltgarth number 17`},
		{block.KeyOut, "SECTION occupation-key out [to WHO]", "occupation key taken: the section is closed to trains", `Coldbeck occupation-key out to "J. Wray"`},
		{block.KeyIn, "SECTION occupation-key in", "occupation key given up", "Coldbeck occupation-key in"},
	}},
	{"Fog and hand signalling", []Form{
		{block.Posted, "posted PERSON at PLACE", "hand- or fogsignaller posted", `posted "L. Barr" at "Down Distant"`},
		{block.Withdrawn, "withdrawn PERSON at PLACE", "hand- or fogsignaller withdrawn", `withdrawn "L. Barr" at "Down Distant"`},
		{block.FogOn, "fog on", "fog or falling snow", "fog on"},
		{block.FogOff, "fog off", "fog or snow lifted", "fog off"},
	}},
	{"The book", []Form{
		{block.Note, "note TEXT", "remark across the page", `note "relief is late"`},
		{block.Correct, "correct TARGET TEXT", "the line that stands instead of entry TARGET", `correct 41 "10:43 Coldbeck <2 >2"`},
	}},
	{"Duty, clock and box", []Form{
		{block.DutyOn, "duty on PERSON [under SIGNALLER] [BYPIN]", "signed on; a trainee under a signaller; by-pin where the PIN was checked", `duty on "L. Marsh" under "A. Fell" by-pin`},
		{block.DutyOff, "duty off PERSON", "signed off", `duty off "A. Fell"`},
		{block.PINSet, "pin set PERSON VERIFIER", "somebody's PIN, by the SHA-256 of the record that knows it; the program writes it", `pin set "A. Fell" 3c4e1a`},
		{block.PINReset, "pin reset PERSON VERIFIER [by WHO]", "the same, without the PIN that was; the program writes it", `pin reset "A. Fell" 5d6f2b by "R. Garth"`},
		{block.ClockRight, "clock right", "clock checked and right", "clock right"},
		{block.ClockSlow, "clock slow MINUTES", "clock checked, minutes slow", "clock slow 2"},
		{block.ClockFast, "clock fast MINUTES", "clock checked, minutes fast; clock set after it where the times then go back", "clock fast 1"},
		{block.ClockSet, "clock set", "a clock was set or wrong: time goes on from here; by the program, or who copies a book", "clock set"},
		{block.ClockConfirmed, "clock confirmed", "the computer's clock was asked about and is right; the program writes it", "clock confirmed"},
		{block.BoxOpen, "box open", "box opened", "box open"},
		{block.BoxClosed, "box closed", "box closed", "box closed"},
		{block.BoxSwitchedIn, "box switched in", "box switched in", "box switched in"},
		{block.BoxSwitchedOut, "box switched out", "box switched out", "box switched out"},
	}},
	{"Examination and handover", []Form{
		{block.Visit, "visit PERSON", "visit to the box", `visit "R. Garth"`},
		{block.Sign, "sign PERSON [BYPIN]", "book examined and signed", `sign "R. Garth"`},
		{block.Countersign, "countersign TARGET PERSON [BYPIN]", "entry countersigned", `countersign 41 "R. Garth"`},
		{block.Explain, "explain TARGET TEXT", "remark on what was found about entry TARGET", `explain 41 "bell repeated at the neighbour's request"`},
		{block.Carried, "carried MATTER", "handed over and accepted by the relief", `carried "6K20 in the yard"`},
		{block.Queried, "queried MATTER", "handed over and questioned by the relief", `queried "token 9"`},
		{block.Transcribed, "transcribed TEXT", "entries from here on are copied from this source", `transcribed "paper book 12, page 40"`},
		{block.Transcript, "transcribed to here", "what was copied from another source ends; entries from here on are written as things happen", "transcribed to here"},
		{block.SealMark, "seal PARTY TEXT", "words of a sealed head, ours or a neighbour's", `seal Coldbeck "amber heron quiet lantern"`},
		{block.Described, "box described DIGEST", "the box's description in force from here on; the program writes it when box.yaml has changed", `box described 9f86d081884c7d65 "late-after 10, was 3"`},
	}},
})

// remarked gives every form that says nothing in words of its own the remark that may
// stand at its end.
func remarked(list []Group) []Group {
	for _, g := range list {
		for i := range g.Forms {
			if f := &g.Forms[i]; !strings.Contains(f.Pattern, "TEXT") {
				f.Pattern += " [TEXT]"
			}
		}
	}
	return list
}
