package tui

import "testing"

// The names of the box need no quotes at the desk; the line is written with them.
func TestNamesNeedNoQuotes(t *testing.T) {
	for typed, want := range map[string]string{
		"Hallow Road <1 >1 <31 >31 train 2P41":              `"Hallow Road" <1 >1 <3-1 >3-1 train 2P41`,
		"message to Slate Halt \"Hold Hallow Road trains\"": `message to "Slate Halt" "Hold Hallow Road trains"`,
		"failure Mossend token instrument \"no release\"":   `failure "Mossend token instrument" "no release"`,
		"duty on R. Howe": `duty on "R. Howe"`,
		"blockage Down Main towards Hallow Road \"J. Wray\"": `blockage "Down Main" towards "Hallow Road" "J. Wray"`,
		"crossing Sandpit Lane asked \"tractor\" for 4":      `crossing "Sandpit Lane" asked "tractor" for 4`,
		"train 6K20 moved to Goods Yard":                     `train 6K20 moved to "Goods Yard"`,
		`"Hallow Road" <1`:                                   `"Hallow Road" <1`,
		"disconnected Points 4 P. Kell \"test\"":             "",
	} {
		r := newRig(t, "junction.yaml", 80, 24, Options{})
		n := len(r.log(duty...).at("10:00").lines())
		r.press("e", typed, "Enter")
		if r.desk.model.doubted != "" {
			r.press("Enter")
		}
		if want == "" {
			r.wrote(n).want("Not written.")
			continue
		}
		if r.wrote(n + 1); r.last() != "10:00 "+want {
			t.Errorf("%q wrote %q, want %q", typed, r.last(), want)
		}
	}
}

// A correction that cannot be read is a slip of the hand, as in any line: it is pointed at, and
// nobody is sent to write it on paper. What an entry was corrected to stays legible when that
// is corrected in its turn, and is typed over as the line that it is.
func TestCorrectingACorrection(t *testing.T) {
	r := newRig(t, "junction.yaml", 80, 24, Options{})
	r.log(duty...).log(`09:55 "Hallow Road" <1 >1 <3-1 >3-1 train 2P41`).at("10:00").press("r", "c", "Ctrl-U", "09:54 Hallow <<", "Enter").
		want("Not written. column").want("^ here").want("CORRECT ENTRY 3").wrote(3)
	r.press("Ctrl-U", `09:54 Hallow Road <1 >1 <3-1 >3-1 train 2P41`, "Enter").wrote(4)
	r.press("r", "c").want(`instead: 09:54 "Hallow Road" <1 >1 <3-1 >3-1 train 2P41`).press("Enter").want("Nothing changed").
		press("Ctrl-U", `09:53 "Hallow Road" <1 >1 <3-1 >3-1 train 2P41`, "Enter").wrote(5)
	r.press("r").want(`4 10:00 correct 3: 09:54 "Hallow Road"`).want(`5 10:00 correct 4: 09:53 "Hallow Road"`)
}
