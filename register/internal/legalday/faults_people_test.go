package legalday

import (
	"fmt"
	"strings"

	"fairhand/block/rulebook"
)

// peopleFaults are faults of who signs, and for whom.
var peopleFaults = []Fault{
	{"relief signs on without the PIN", "49 CFR 245.205(c)(2)", ids{rulebook.DutyWithoutPIN}, atPINsAllDay,
		func(e *edit) bool { i := e.pick(Duty, "", " by-pin"); return e.change(i, " by-pin", "", i) }},
	{"trainee alone at the desk", "TS1 1.3", ids{rulebook.NotQualified}, atPINs,
		aside(`duty on "L. Marsh" by-pin`, `duty off "L. Marsh"`)},
	{"trainee under somebody who is not on duty", "TS1 1.3", ids{rulebook.NotQualified}, atPINs,
		aside(`duty on "L. Marsh" under "R. Howe" by-pin`, `duty off "L. Marsh"`)},
	{"trainee left alone", "TS1 1.3", ids{rulebook.NotQualified}, atPINs,
		aside(`duty on "L. Marsh" under "A. Fell" by-pin`, `duty off "A. Fell"`, `duty on "A. Fell" by-pin`, `duty off "L. Marsh"`)},
	{"worked by one whom the box does not list", "London & North Eastern form 1009/1", ids{rulebook.NotQualified}, atPINs,
		aside(`duty on "N. Body" by-pin`, `duty off "N. Body"`)},
	{"countersigned by own hand", "Great Southern Railways 1933, rule 77(a)", ids{rulebook.CountersignedByOwnHand}, atPINs,
		disconnected(`countersign $N "A. Fell"`)},
	{"countersigned by one whom the box does not list", "Great Southern Railways 1933, rule 77(a)", ids{rulebook.NotQualified}, atPINs,
		disconnected(`countersign $N "N. Body" by-pin`)},
	{"countersigned by a trainee", "Great Southern Railways 1933, rule 77(a)", ids{rulebook.NotQualified}, atPINs,
		disconnected(`countersign $N "L. Marsh" by-pin`)},
	{"countersigned in another's turn without the PIN", "21 CFR 11.200(a)(1)", ids{rulebook.SignedWithoutPIN}, atPINs,
		disconnected(`countersign $N "R. Howe"`)},
	{"book examined without the PIN", "21 CFR 11.200(a)(1)", ids{rulebook.SignedWithoutPIN}, atPINs, aside(`sign "R. Garth"`)},
	{"book examined by its own signaller", "common practice", ids{rulebook.NotQualified}, atPINs, aside(`sign "A. Fell"`)},
	{"book examined by one whom the box does not list", "common practice", ids{rulebook.NotQualified}, atPINs, aside(`sign "N. Body" by-pin`)},
	{"PIN let be anew by a signaller", "common practice", ids{rulebook.NotQualified}, atPINs,
		aside(`pin reset "R. Howe" 2c3d by "A. Fell"`)},
	{"PIN let be anew by one whom the box does not list", "common practice", ids{rulebook.NotQualified}, atPINs,
		aside(`pin reset "R. Howe" 2c3d by "N. Body"`)},
	{"PIN let be anew by nobody", "common practice", ids{rulebook.NotQualified}, atPINs, aside(`pin reset "R. Howe" 2c3d`)},
}

// aside writes entries of people only, in the minute of some bell.
func aside(lines ...string) func(*edit) bool {
	return func(e *edit) bool { return e.put(e.pick(ClearIn, "", ""), lines...) }
}

// disconnected takes gear out of use and in again, with entries about it ($N) in
// between that somebody signs.
func disconnected(lines ...string) func(*edit) bool {
	return func(e *edit) bool {
		i := e.pick(ClearIn, "", "")
		all := append([]string{`disconnected "Points 5" "lever 5"`}, lines...)
		for k := range all {
			all[k] = strings.ReplaceAll(all[k], "$N", fmt.Sprint(i+2)) // entries are numbered from one
		}
		return e.put(i, append(all, `reconnected "Points 5"`)...)
	}
}
