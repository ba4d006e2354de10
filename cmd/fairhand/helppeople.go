package main

import (
	"cmp"
	"strings"

	"fairhand/block"
	"fairhand/register/each"
	"fairhand/register/measure"
)

const peopleHelp = `Who may do what in the book is said by the roles of box.yaml. What somebody puts his name to against his
role is written all the same, and found: not-qualified.

%ROLES%

A trainee signs on under a signaller who is on duty and stays answerable:

  duty on "L. Marsh" under "A. Fell"

A disconnection that is open is countersigned by each relief: countersign NUMBER NAME. With
countersign: [transfers, corrections] in box.yaml a relief countersigns those of the others as well. It is another
hand than the writer's, and stands under one entry; the writer's own is found, and counts for none.

With pins: true in box.yaml whoever signs on gives a PIN with his name, once a turn; later in the
turn the name alone is enough. Whoever signs or countersigns in the turn of another gives his as well. The entry then says
by-pin, which stands only where the PIN was checked: the desk asks for it by itself, and fairhand log for a LINE that
ends so. fairhand pin NAME sets one, and so does p at the desk.
Nobody is locked out: a PIN that is forgotten is passed over, and duty-without-pin or signed-without-pin stands in the
book; after a wrong one the next waits, twice as long each time, a minute at most.

L at the desk locks it, and so does lock-after: MINUTES without a key; the line goes on being shown.
The name of somebody on duty unlocks it, or his PIN.

What this proves, and what not. A name in the book is what was typed. A PIN says that somebody knew it: it
may have been seen, told or guessed, and who has the files of the box can try all PINs of four figures in
hours, or write entries with other programs. Neither is a proof of identity. What is
proved is that entries were not changed afterwards (fairhand verify), by whose box they were sealed
(fairhand seal), and that the record of a PIN is the one that the register names. A box without PINs says so on
its pages.`

// peopleReference is the help on people, with the roles that block knows.
func peopleReference() string {
	signs := map[block.Kind]string{block.DutyOn: "signs on", block.Sign: "examines and signs the book", block.Countersign: "countersigns", block.PINReset: "lets a PIN be set anew"}
	rows := each.Of(block.Roles, func(r block.Role) []string {
		words := each.Joined(r.May, ", ", func(k block.Kind) string { return signs[k] })
		if r.Under {
			words += " under a signaller"
		}
		return []string{"  " + r.Name, cmp.Or(words, "is named in entries of others")}
	})
	return strings.Replace(peopleHelp, "%ROLES%", strings.Join(measure.Table(rows), "\n"), 1)
}
