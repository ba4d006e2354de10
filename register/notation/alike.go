package notation

import "fairhand/block"

// Alike are other words by which the form is looked for.
func (f *Form) Alike() string { return alike[f.Kind] }

// alike are other words under which a signaller looks for a kind of entry, beside those of
// its form and of what it says. They find it; they are no part of the notation.
var alike = map[block.Kind]string{
	block.TokenOut:       "tablet withdrawn taken out drawn",
	block.TokenIn:        "tablet restored returned replaced back",
	block.TokenToTrain:   "tablet given",
	block.TokenFromTrain: "tablet collected received",
	block.TokenMovedHere: "tablet transferred balance linesman",
	block.TokenMovedAway: "tablet transferred balance linesman",
	block.TokenTaken:     "tablet withdrawn linesman",
	block.TokenLost:      "tablet missing mislaid",
	block.TokenFound:     "tablet recovered",
	block.TokenDamaged:   "tablet broken",
	block.TokenCount:     "tablets checked how many",
	block.StaffToTrain:   "given shown",
	block.StaffFromTrain: "collected received",
	block.TicketToTrain:  "given",

	block.Indicator:        "needle commutator pegged dropped block occupied",
	block.CounterReset:     "axle reset",
	block.SectionToExamine: "examination inspect line animals rough ride",
	block.SectionExamined:  "inspected examination",
	block.WorkingMessage:   "telephone phone failed fails bells speaking token tablet cannot be got released",
	block.WorkingPilot:     "pilotman single line working wrong line",
	block.WorkingNormal:    "ordinary resumed withdrawn restored",
	block.ProvedClear:      "confirmed verified section empty",

	block.TrainArrived:    "came in stopped standing tail lamp complete station",
	block.TrainPassed:     "through went by tail lamp complete",
	block.TrainDeparted:   "left started away gone",
	block.TrainMoved:      "shunted set back siding loop platform clear of main",
	block.TrainDivided:    "split parted broken away uncoupled",
	block.TrainEntire:     "tail lamp found complete",
	block.TrainPutAway:    "terminated ends finished stabled berthed disposed siding shed sidings done",
	block.TrainOff:        "cancelled not running withdrawn",
	block.TrainRenamed:    "headcode description number changed name",
	block.TrainWarned:     "caution driver slow told",
	block.TrainAuthorised: "signal passed at danger spad talked by hand signalled flagged",
	block.TrainJoined:     "attached coupled combined",
	block.EngineDetached:  "locomotive uncoupled light engine run round",
	block.TrainAssists:    "banker banking pilot engine assisting helped rescue",
	block.TrainDetained:   "waiting standing stopped stands at signal rule 55 telephone crew",
	block.TrainExamined:   "stop and examine hot box door load shifted",
	block.TrainToHear:     "tell driver deliver message caution",
	block.TrainHeard:      "told driver delivered",

	block.SignalOff:     "pulled lowered proceed",
	block.SignalOn:      "replaced put back danger",
	block.ReminderOn:    "lever collar appliance put on",
	block.ReminderOff:   "lever collar appliance taken off removed",
	block.Obstruct:      "emergency blocked fouled derailed derailment tree landslip vehicle",
	block.ObstructClear: "removed line clear again",

	block.CrossingAsked:    "telephone user farmer permission animals vehicle call",
	block.CrossingMayCross: "yes allowed leave given",
	block.CrossingWait:     "refused no not now",
	block.CrossingClear:    "user across over rang back",

	block.MessageTo:   "phone telephone told rang control advised reported asked overdue missing train not come",
	block.MessageFrom: "phone telephone heard told rang control advised",

	block.Failure:      "broken defective defect fault out of order lamp failed fails token tablet instrument will not release cannot be got barriers gates telephone phone dead stuck",
	block.Restored:     "mended fixed right in order",
	block.Disconnected: "technician linesman taken out of use",
	block.Reconnected:  "technician linesman back in use",
	block.Clamped:      "scotched clipped padlocked",
	block.PointsWound:  "cranked handle",
	block.Released:     "emergency release sealed plunger broken seal",
	block.Blockage:     "possession protection engineers work gang line block permanent way",
	block.BlockageUp:   "possession given back handed back clear finished",
	block.PartyOn:      "gang workers permanent way men on line",
	block.PartyClear:   "gang workers permanent way men off line",
	block.KeyOut:       "trolley permanent way gang",
	block.KeyIn:        "trolley permanent way gang returned",

	block.Posted:    "flagman detonators handsignalman fogman",
	block.Withdrawn: "flagman handsignalman fogman relieved",
	block.FogOn:     "mist weather snow visibility",
	block.FogOff:    "mist weather snow cleared",

	block.Note:    "remark remarks comment write anything weather occurrence",
	block.Correct: "mistake wrong error change alter",

	block.DutyOn:         "sign on book on relief take over",
	block.DutyOff:        "sign off book off relieved go home",
	block.ClockRight:     "time signal check watch",
	block.ClockSlow:      "time signal check watch",
	block.ClockFast:      "time signal check watch",
	block.BoxSwitchedIn:  "open in circuit",
	block.BoxSwitchedOut: "close out of circuit",

	block.Visit:    "inspector manager official called visitor",
	block.Sign:     "inspector signature",
	block.Explain:  "reason answer finding",
	block.SealMark: "head words code",
}
