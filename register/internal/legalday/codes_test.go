package legalday

// codes are the beats of a rule set for what a day has in it. They are written
// here again, from the published tables, and not taken from package block: a
// generator that asks what it tests proves nothing.
type codes struct {
	offers                                                     [][2]string // beats, first letter of the reporting number
	enter, clear, cancel, removed, danger, lampAhead, lampRear string
	blockIn, blockOut, shunt, shuntBack                        string
	bank                                                       string
	redescribe                                                 string
	open, close                                                string
	release, replaced                                          string
	enterCalled                                                bool // call attention before train entering section
	bankCalled                                                 bool
	private                                                    bool // private number with every consent
}

// codeBooks: British rows from the block code tables (Wikipedia, Railway block
// code; RSSB TS1 2.2 as in study cards; the early British Railways list), Indian
// rows from General Rules 14.05 and Block Working Manual Part A 2.3 and 3.2.
var codeBooks = map[string]codes{
	"british-later": {
		offers: [][2]string{{"4", "1"}, {"3-1", "2"}, {"3-1-1", "4"}, {"2-2-1", "5"}, {"5", "6"}, {"4-1", "7"}, {"3-2", "8"}, {"2-3", "0"}},
		enter:  "2", clear: "2-1", cancel: "3-5", removed: "2-1-2", danger: "6", lampAhead: "9", lampRear: "4-5",
		blockIn: "2-4", blockOut: "3-3", shunt: "3-3-2", shuntBack: "8", bank: "2-2", bankCalled: true, redescribe: "5-3",
		open: "5-5-5", close: "7-5-5", release: "5-2", replaced: "2-5",
	},
	"british-early": {
		offers: [][2]string{{"4", "A"}, {"3-1", "B"}, {"2-2-1", "C"}, {"5", "D"}, {"3-2", "F"}, {"2-3", "G"}, {"1-4", "H"}, {"3", "K"}},
		enter:  "2", clear: "2-1", cancel: "3-5", removed: "2-1", danger: "6", lampAhead: "9", lampRear: "4-5",
		blockIn: "2-4", blockOut: "3-3", shunt: "3-3-2", shuntBack: "8", bank: "2-2", redescribe: "5-3",
		open: "5-5-5", close: "7-5-5", release: "5-2", replaced: "2-5",
	},
	"indian-general": {
		offers: [][2]string{{"2", "1"}, {"2", "5"}, {"2", "G"}},
		enter:  "3", enterCalled: true, clear: "4", cancel: "5", removed: "4", danger: "6", lampAhead: "6-2", lampRear: "6-2", private: true,
	},
}
