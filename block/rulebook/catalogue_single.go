package rulebook

// The ids of the rules below. Scripts depend on their values: none is changed or dropped.
const (
	TokenOutWithoutRelease     RuleID = "token-out-without-release"
	TokenAlreadyOut            RuleID = "token-already-out"
	TokenNumberDiffers         RuleID = "token-number-differs"
	TokenWrongSection          RuleID = "token-wrong-section"
	TokenNotInInstrument       RuleID = "token-not-in-instrument"
	TokenDrawnBeforeClosed     RuleID = "token-drawn-before-closed"
	TokenLostOrDamaged         RuleID = "token-lost-or-damaged"
	EnteredWithoutToken        RuleID = "entered-without-token"
	TokenIssuedBeforeSurrender RuleID = "token-issued-before-surrender"
	TrainOnShuntToken          RuleID = "train-on-shunt-token"
	TokenNotTold               RuleID = "token-not-told"
	WorkedWithTokenLost        RuleID = "worked-with-token-lost"

	TokenInBeforeArrival   RuleID = "token-in-before-arrival"
	TokenInAtSendingEnd    RuleID = "token-in-at-sending-end"
	OutOfSectionTokenNotIn RuleID = "out-of-section-token-not-in"
	TokenCancelledWhileOut RuleID = "token-cancelled-while-out"

	TokenCountDiffers    RuleID = "token-count-differs"
	TokenLowStock        RuleID = "token-low-stock"
	ShuntReleaseNotAsked RuleID = "shunt-release-not-asked"

	TicketWithoutStaff RuleID = "ticket-without-staff"
	StaffElsewhere     RuleID = "staff-elsewhere"

	LoopSignalEarly         RuleID = "loop-signal-early"
	AuthorityBeforeCrossing RuleID = "authority-before-crossing"

	RefusedWithoutReason RuleID = "refused-without-reason"

	CounterResetTrainInSection RuleID = "counter-reset-train-in-section"
	CounterNotProved           RuleID = "counter-not-proved"
	SectionFreedNoTrain        RuleID = "section-freed-no-train"
	ShuntKeyTrainSignalled     RuleID = "shunt-key-train-signalled"
	TrainNumberMissing         RuleID = "train-number-missing"
	WrongTrainReported         RuleID = "wrong-train-reported"
	PrivateNumberMissing       RuleID = "private-number-missing"
	PrivateNumberRepeated      RuleID = "private-number-repeated"
	NumberNotInWords           RuleID = "number-not-in-words"
	InquiryNumberDiffers       RuleID = "inquiry-number-differs"
	TicketNotRecovered         RuleID = "ticket-not-recovered"
	TicketNoLineClear          RuleID = "ticket-no-line-clear"
	TicketNumberDiffers        RuleID = "ticket-number-differs"
	PaperTicketMissing         RuleID = "paper-ticket-missing"

	PilotMissing                 RuleID = "pilot-missing"
	PilotFormMissing             RuleID = "pilot-form-missing"
	WorkingChangedTrainSignalled RuleID = "working-changed-train-signalled"
	AcceptedBothWays             RuleID = "accepted-both-ways"
	CancelledTrainNotHeld        RuleID = "cancelled-train-not-held"
	CancellingNotSent            RuleID = "cancelling-not-sent"
	FollowingIntervalShort       RuleID = "following-interval-short"
	TokenHandedOn                RuleID = "token-handed-on"
	ShutInNotReported            RuleID = "shut-in-not-reported"
	SharedSectionTokenOut        RuleID = "shared-section-token-out"
)

// singleRules are the rules of single lines: tokens, staffs, tickets, crossing
// loops, private numbers and pilot working.
var singleRules = []Rule{
	// Tokens out.
	{ID: TokenOutWithoutRelease, Severity: Danger, Ref: inManual + "3.2(A) and 8.1(e)" + inBooks,
		What: "A token was drawn with no release from the other end.",
		Why:  "The instrument has failed, or a train may be allowed in that nobody accepted.",
		Do:   "Give the token to nobody. Treat the instrument as failed, work by message or pilot, and send for the technician."},
	{ID: TokenAlreadyOut, Severity: Danger, Ref: refTokens,
		What: "A second token was drawn while one of the section was out.",
		Why:  "Two trains could each hold a token for the same line.",
		Do:   "Let no train go. Find both tokens, and treat the instruments as failed until they are accounted for."},
	{ID: TokenNumberDiffers, Severity: Danger, Ref: inGeneral + "14.12(2)(a)" + inBooks,
		What: "The token that came back is not the one that went out.",
		Why:  "The token that went out is still somewhere, perhaps on a train.",
		Do:   "Give no out of section. Find the token that was issued."},
	{ID: TokenWrongSection, Severity: Danger, Ref: refAbermule,
		What: "The token handled does not belong to this section.",
		Why:  "The train has the token of another section and no authority for this one.",
		Do:   "Stop the train. Read the names on the token, and do not put it in this instrument."},
	{ID: TokenNotInInstrument, Severity: Danger, Ref: inManual + "7.7" + inBooks,
		What: "The token drawn was not in that instrument by the record.",
		Why:  "The record of the tokens is wrong, and with it the proof that only one is out.",
		Do:   "Read the number again. Count the tokens at both ends before any train goes."},
	{ID: TokenDrawnBeforeClosed, Severity: Danger, Ref: inManual + "3.8(b) and 3.9(a)" + inBooks,
		What: "A token was drawn after the last one was put back but before the section was closed by bell.",
		Why:  "The instrument allows it, the book does not: the last train is not yet out of section.",
		Do:   "Put the token back. Book an out of section you left unwritten; if none was given, close the section by bell and ask again."},
	{ID: TokenLostOrDamaged, Severity: Danger, Ref: inManual + "3.16(e)(iii) and 8.2" + inBooks,
		What: "A token recorded lost or damaged was issued to a train.",
		Why:  "It may not be read rightly, or its twin is in use elsewhere. It is no authority.",
		Do:   "Take it back and stop the train. Keep the token apart for the technician."},
	{ID: EnteredWithoutToken, Severity: Danger, Ref: inGeneral + "6.06" + inBooks,
		What: "A train entered the section and no token is booked out.",
		Why:  "Nothing keeps another train from being let in against it.",
		Do:   "Stop the train if you can, and tell the other end. Release no token until the train is found."},
	{ID: TokenIssuedBeforeSurrender, Severity: Irregular, Ref: inGeneral + "14.12(1)(c)" + inBooks,
		What: "A token for the next section was given before the incoming one was given up.",
		Why:  "With two tokens in hand the wrong one can go on with the train.",
		Do:   "Take the incoming token first, and put it in its instrument."},
	{ID: TrainOnShuntToken, Severity: Danger, Ref: inGeneral + "6.06 (no train without line clear)" + inBooks,
		What: "A train was sent away on a token released for shunting.",
		Why:  "The other end gave it for a shunt, and does not expect a train.",
		Do:   "Stop the train. Put the token back, and ask for line clear in the regular way."},

	{ID: TokenNotTold, Severity: Irregular, Ref: inManual + "3.2(A)" + inBooks,
		What: "A train entered the section and the number of its token had not been told.",
		Why:  "The token that comes in cannot be compared with the one that went out.",
		Do:   "Ask the other end for the number, and book it."},
	{ID: WorkedWithTokenLost, Severity: Danger, Ref: inManual + "8.1(l) and 3.16(f)" + inBooks,
		What: "The instruments were worked with a token of the section lost.",
		Why:  "Whoever finds the token may take it for his authority to go.",
		Do:   "Suspend the instruments and work by message until the lost token is dealt with."},

	// Tokens in.
	{ID: TokenInBeforeArrival, Severity: Danger, Ref: refAylesbury,
		What: "The token was put in before the train was booked complete.",
		Why:  "The instruments are free while part of the train may be in the section.",
		Do:   "Release nothing. See the train complete and clear of the line first."},
	{ID: TokenInAtSendingEnd, Severity: Danger, Ref: inGeneral + "14.12(2)(c)" + inBooks,
		What: "The token was put back at the sending end while the train is booked in the section.",
		Why:  "The instruments are free and the train is out on the line without a token, or its return was not booked.",
		Do:   "Find the train. If it has come back complete, book its return, then close the section."},
	{ID: OutOfSectionTokenNotIn, Severity: Danger, Ref: refAbermule,
		What: "Out of section was given before the token was put in.",
		Why:  "The token may still be on the train, or about to go forward with it.",
		Do:   "Put the token in its instrument now, and look at its number and names."},
	{ID: TokenCancelledWhileOut, Severity: Danger, Ref: inManual + "3.3(A)" + inBooks,
		What: "The train was cancelled while its token is still out.",
		Why:  "Whoever holds the token still has authority to go.",
		Do:   "Get the token back into the instrument. Let nothing go the other way until it is in."},

	// Tokens counted.
	{ID: TokenCountDiffers, Severity: Danger, Ref: inManual + "7.7" + inBooks,
		What: "The tokens in both instruments, out and in custody do not make up the charge.",
		Why:  "A token is missing, or there is one too many: two could be out at once.",
		Do:   "Release nothing. Count at both ends with the other signaller, number by number."},
	{ID: TokenLowStock, Severity: Advice, Ref: "Tablet regulations, Swindon 1890, clause 36, http://swindon-cricklade-railway.org/rules8.php",
		What: "Few tokens are left in this instrument.",
		Why:  "When the last has gone no train can be sent from this end.",
		Do:   "Advise the technician to transfer tokens."},
	{ID: ShuntReleaseNotAsked, Severity: Irregular, Ref: FromMemory,
		What: "Token replaced was sent with no token released for shunting.",
		Why:  "The other end may think that a shunt was under way.",
		Do:   "Agree with the other end what is out, and book it."},

	// Staff and ticket, one-train working.
	{ID: TicketWithoutStaff, Severity: Danger, Ref: refRomney,
		What: "A ticket was issued and the staff is not here.",
		Why:  "The staff at the other end may bring a train against this one.",
		Do:   "Stop the train, and take the ticket back. Issue nothing unless the staff is in your hands."},
	{ID: StaffElsewhere, Severity: Danger, Ref: inGeneral + "12.08, Subsidiary Rule 13.03.1.4" + inBooks,
		What: "A train was let into the section and the staff is not where it would have to be.",
		Why:  "The staff, or its absence from its place, is the proof that the line is occupied.",
		Do:   "Stop the train. Find the staff before anything moves on the section."},

	// Crossing loops.
	{ID: LoopSignalEarly, Severity: Danger,
		What: "The home signal was cleared for the second train before the first was at a stand.",
		Why:  "If the first overruns the loop the two meet.",
		Do:   "Put the signal back to danger. Clear it when the first train is at a stand and clear inside.",
		Ref:  "Tablet regulations, Swindon 1890, clause 3, http://swindon-cricklade-railway.org/rules2.php; " + inGeneral + "3.47" + inBooks},
	{ID: AuthorityBeforeCrossing, Severity: Danger, Ref: inGeneral + "14.11(4)" + inBooks,
		What: "A train waiting to cross was given its authority before the other had arrived complete and clear.",
		Why:  "The driver may start into a section that the other train has not left.",
		Do:   "Take the authority back until the whole of the other train is in and clear."},

	// Refusing.
	{ID: RefusedWithoutReason, Severity: Irregular, Ref: inManual + "5.1(c)" + inBooks,
		What: "Line clear was refused and no reason booked.",
		Why:  "Whoever reads the book, or takes it over, cannot tell what stands in the way of the train.",
		Do:   "Ask or tell why, and book it at both stations."},

	// Private numbers.
	{ID: CounterResetTrainInSection, Severity: Danger, Ref: inManualB + "reset of the axle counter" + inBooks,
		What: "The axle counter was reset with a train still booked in the section.",
		Why:  "The counter now shows the section free, and the next train would be let in upon that one.",
		Do:   "Let nothing into the section. Find the train with the other station, and have its arrival booked complete first."},
	{ID: CounterNotProved, Severity: Irregular, Ref: "Subsidiary Rule (South Central Railway) 3.68.8" + inBooks,
		What: "The axle counter was reset without the assurance of both ends.",
		Why:  "Each station knows only what came to it, and what it sent.",
		Do:   "Exchange the last train each way with the other station, with a private number, and book it."},
	{ID: SectionFreedNoTrain, Severity: Danger, Ref: inManualB + "3.5(A), failures" + inBooks,
		What: "The section was shown free with line clear given and no train booked through it.",
		Why:  "Either a train has run that is in no book, or the counter counts wrongly.",
		Do:   "Ask the other station what has run. Suspend the counter until it has been proved."},
	{ID: ShuntKeyTrainSignalled, Severity: Danger, Ref: inManualB + "1.4" + inBooks,
		What: "The shunt key was taken out with a train signalled on the section.",
		Why:  "A shunt and a train would be let into one section.",
		Do:   "Stop the shunt and put the key back. Let the train come in or have it cancelled first."},
	{ID: TrainNumberMissing, Severity: Irregular, Ref: "Block Working Manual, annexure on paper line clear, 1.1(e) and (f)" + inBooks,
		What: "A spoken message has no train number, or one that is cut short.",
		Why:  "Two stations may each think of another train, and nothing in the book shows which was meant.",
		Do:   "Ask again with the whole number, and book it."},
	{ID: WrongTrainReported, Severity: Danger, Ref: refAndria,
		What: "Another train was reported arrived than the one in the section.",
		Why:  "The train in the section is still there, and the next would be let in behind or against it.",
		Do:   "Let nothing into the section. Ask the other station which train it means, and have it reported again by its number."},
	{ID: PrivateNumberMissing, Severity: Irregular, Ref: inManual + "3.9(d) and 3.12(d)" + inBooks,
		What: "Consent was given without a private number.",
		Why:  "Nothing shows that it was the right person who consented, and to which train.",
		Do:   "Ask the other station for the number, and book it."},
	{ID: NumberNotInWords, Severity: Irregular, Ref: "Block Working Manual, annexure on paper line clear, 1.2(c)" + inBooks,
		What: "The private number of a consent on paper is not written in words, or the words say another.",
		Why:  "A figure misheard or misread lets the wrong consent pass for the right one.",
		Do:   "Have the number said again figure by figure, and write it both ways."},
	{ID: InquiryNumberDiffers, Severity: Irregular, Ref: "Block Working Manual, annexure on paper line clear, 1.2(a) and (b)" + inBooks,
		What: "An inquiry on paper is not the next of its day, or the reply or the other book does not have its number.",
		Why:  "By the number both ends know that they speak of the same inquiry and that none is lost.",
		Do:   "Compare the last number with the other end, and have the reply quote it."},
	{ID: PrivateNumberRepeated, Severity: Irregular, Ref: inManual + "3.22" + inBooks,
		What: "The same private number was given twice running, or used again after cancelling.",
		Why:  "An old consent can be taken for a new one.",
		Do:   "Ask for a fresh number before the train goes."},

	{ID: TicketNotRecovered, Severity: Danger, Ref: "Block Working Manual, annexure on paper line clear, 1.8 and 1.10" + inBooks,
		What: "A train was cancelled with its paper ticket still in the driver's hands.",
		Why:  "The ticket is his authority: he may go on it after the other station has been told that he will not.",
		Do:   "Get the ticket back and cancel it. Then tell the other station."},
	{ID: TicketNoLineClear, Severity: Danger, Ref: "Block Working Manual, annexure on paper line clear, 1.2 and 1.4" + inBooks,
		What: "A paper ticket was issued with no line clear for the train.",
		Why:  "The driver has an authority for a section that the other station has not given.",
		Do:   "Take the ticket back and stop the train. Ask for line clear, and book the number told with it."},
	{ID: PaperTicketMissing, Severity: Danger, Ref: "Block Working Manual Part A 8.5 to 8.9, and annexure on paper line clear, 1.4" + inBooks,
		What: "A train went over a section worked by message and no token, ticket or pilot is booked with it.",
		Why:  "The driver has nothing in his hands that says the section is his.",
		Do:   "Stop the train if you can, and tell the other end. Hand each driver his paper ticket first, and book its number."},
	{ID: TicketNumberDiffers, Severity: Irregular, Ref: "General Rules (India) 14.25(2)" + inBooks,
		What: "A paper ticket is not the next of its book.",
		Why:  "A ticket that is missing from the series may be in a driver's hands.",
		Do:   "Find the tickets between, and book those that were spoilt as cancelled."},

	// Pilot working.
	{ID: PilotMissing, Severity: Danger,
		What: "A train went under pilot working with no pilot booked with it or having sent it.",
		Why:  "The pilot is the token: without him another train may be on the line.",
		Do:   "Stop the train. Find the pilot before anything else is sent.",
		Ref:  "Great Southern Railways Rule Book 1933, rules 191 and 192, https://trainweb.us/i3/gsr_rules/r189-208.htm; " + inGeneral + "11.01 and 11.04" + inBooks},
	{ID: PilotFormMissing, Severity: Irregular, Ref: "Tablet regulations, Swindon 1890, clause 23; " + inGeneral + "11.02 and Subsidiary Rule 11.02.1" + inBooks,
		What: "A train was sent under single line working and the form that appoints the pilot was not booked as held here.",
		Why:  "Both boxes hold it, so that each knows the one man without whom nothing is let on the line.",
		Do:   "Send nothing more until the form is signed at both ends; book its number."},
	{ID: WorkingChangedTrainSignalled, Severity: Danger,
		What: "The way of working was changed with a train on the line or accepted for it.",
		Why:  "Its driver goes by the working that was, while others are let go by the new one.",
		Do:   "Let nothing go. Have that train run through and reported in, or cancelled, and then change the working.",
		Ref:  "Great Southern Railways Rule Book 1933, rules 190 and 191, https://trainweb.us/i3/gsr_rules/r189-208.htm; Subsidiary Rule (India) 11.05.10" + inBooks},
	{ID: AcceptedBothWays, Severity: Danger, Ref: inGeneral + "8.03 note" + inBooks,
		What: "Trains were accepted towards the loop from both sides at once where this place is not allowed it.",
		Why:  "If both overrun they meet in the loop.",
		Do:   "Hold both home signals at danger; let in the second only when the first is at a stand in the loop."},
	{ID: CancelledTrainNotHeld, Severity: Danger, Ref: inGeneral + "14.22" + inBooks,
		What: "A train was let go against one that was cancelled, and no message says that the other is held.",
		Why:  "The driver of the train cancelled may still think that he can go.",
		Do:   "Stop the train if you can. Have it told in a message that the other is held and will be, and book that."},
	{ID: CancellingNotSent, Severity: Irregular, Ref: inManual + "3.3(A)" + inBooks,
		What: "A token was put back for a train that is not to go and cancelling was not sent.",
		Why:  "The other end still holds the section for a train that is not coming.",
		Do:   "Send cancelling now."},
	{ID: FollowingIntervalShort, Severity: Danger, Ref: inGeneral + "12.03" + inBooks,
		What: "A train followed another under staff and ticket before the interval was past.",
		Why:  "It may run into the train in front, which has no protection behind it.",
		Do:   "Stop it if you can; tell the driver where the train in front is."},
	{ID: TokenHandedOn, Severity: Danger, Ref: refAbermule + "; " + inManual + "3.21" + inBooks,
		What: "The token a train came with was handed out again without being put in.",
		Why:  "It is no authority for the next section, and the section it came from is not closed.",
		Do:   "Take the token back and stop the train. Put it in its instrument, close the section, and draw the token of the section ahead."},
	{ID: ShutInNotReported, Severity: Danger, Ref: refAylesbury + "; " + inManual + "3.5" + inBooks,
		What: "A token was put into the instrument at a siding with no train reported inside, clear of the running line.",
		Why:  "The section would be free with a train still on it.",
		Do:   "Do not let another train in. Have the train's position reported by its crew, points normal and locked."},
	{ID: SharedSectionTokenOut, Severity: Danger,
		What: "A token was released or drawn while one is out of another section over the same rails.",
		Why:  "Two trains would each have a token for the same line.",
		Do:   "Put the token back and do not send the train.",
		Ref:  "Ffestiniog Railway, train control, http://www.liquisearch.com/ffestiniog_railway/train_operation_since_1955/train_control_and_regulation; applied here by inference"},
}
