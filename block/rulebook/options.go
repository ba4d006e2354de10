package rulebook

// Option is something a box file may list under allow or needs.
type Option struct {
	Name, Words, Source string
}

// Allowances are the words known under allow.
var Allowances = []Option{
	{"restricted-acceptance", "trains may be accepted with the clearing point obstructed (3-5-5)", "J. Hinson, Block system ch. 5"},
	{"shunt-ahead", "shunting into the forward section (3-3-2, withdrawn 8)", "J. Hinson, Block system ch. 8"},
	{"shunt-as-train", "a shunt into the section is signalled as a train and cancelled when back", "J. Hinson, Block system ch. 8"},
	{"both-ways", "trains from both directions may be accepted at the crossing loop at once", "General Rules (India) 8.03 note; local instruction"},
	{"alternative-clearing-point", "facing points may be set for another route whose clearing point is clear", "J. Hinson, Block system ch. 4"},
	{"block-back-occupied", "blocking back while a train is going away in the section", "from memory: check your rule book"},
	{"accept-after-refusal", "a train refused by word of mouth may be accepted later without a new offer", "train reporting as described, https://farallon.dk/dokuwiki/doku.php?id=jernbaner:zugmeldung"},
	{"train-approaching", "the box in rear sends train approaching (1-2-1)", "from memory: check your rule book"},
}

// Conditions are the words known under needs.
var Conditions = []Option{
	{"forward-section-clear", "the section beyond must be clear as well (double block)", "Knowle and Dorridge, 15 August 1963: Regulation 4A"},
	{"foot-of-gradient", "the running line between the home signals must be clear", "New Lynn, 28 May 1913: instruction 4(b), evidence in AJHR 1913 I-6a"},
	{"non-stopping-clear", "for a train that does not stop here the running line must be clear", "New Lynn, 28 May 1913: instruction 4(b), evidence in AJHR 1913 I-6a"},
	{"fog-double-block", "in fog the section beyond must be clear as well", "Southern Railway fog signalling notes (SREmG)"},
}
