package main

import (
	"strings"

	"fairhand/export"
	"fairhand/register"
	"fairhand/register/seal"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// alarmsOf is what takes the worth from whatever is printed of a register: damage
// that was met, and seals in its directory that it does not fit.
func alarmsOf(book *register.Book) []sheet.Alarm {
	var list []sheet.Alarm
	if a := book.Alarm(); a != nil {
		list = append(list, *a)
	}
	return append(list, sealAlarms(book.Dir, book.Store())...)
}

// sealAlarms compares a register with the seals in its directory.
func sealAlarms(dir string, st *store.Store) []sheet.Alarm {
	var list []sheet.Alarm
	if _, err := seal.CheckBeside(dir, st.Meta(), st.Tail().Seq, st.HashAt); err != nil {
		for line := range strings.Lines(err.Error()) {
			list = append(list, sheet.Alarm{Stamp: sheet.SealMisfit, Text: strings.TrimSuffix(line, "\n")})
		}
	}
	return list
}

// alarmed ends a command that has printed under alarms.
func alarmed(list []sheet.Alarm) error {
	if len(list) == 0 {
		return nil
	}
	return withHint(&export.AlarmError{Alarms: list}, "what was printed says so across itself; fairhand verify says more, fairhand help restore\nand fairhand help salvage say how it goes on")
}
