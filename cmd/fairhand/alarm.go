package main

import (
	"context"
	"fmt"
	"slices"
	"time"

	"fairhand/export"
	"fairhand/register"
	"fairhand/register/sheet"
	"fairhand/register/watch"
)

// standBefore is how long the desk and the commands that write wait for the proof of the register,
// which takes less of most; a desk goes on without it, says so, and proves it behind.
var standBefore = 300 * time.Millisecond

// alarmsOf is what takes the worth from whatever is printed of a register: damage
// that was met, and seals in its directory that it does not fit.
func alarmsOf(book *register.Book) []sheet.Alarm {
	var list []sheet.Alarm
	if a := book.Alarm(); a != nil {
		list = append(list, *a)
	}
	return append(list, watch.Seals(book.Dir, book.Store())...)
}

// standing are the alarms of a register that is to be written in, proved for as long as
// nobody waits.
func standing(ctx context.Context, book *register.Book) []sheet.Alarm {
	book.Stand(ctx, standBefore)
	return slices.Concat(book.StandsOn(), alarmsOf(book))
}

// underAlarms tells, before something is written, what takes the worth from the register.
func (p *program) underAlarms(ctx context.Context, book *register.Book) {
	for _, a := range append(standing(ctx, book), watch.OnNetwork(book.Store().Network())...) {
		fmt.Fprintf(p.notes, "fairhand: %s\n", a)
	}
}

// alarmed ends a command that has printed under alarms.
func alarmed(list []sheet.Alarm) error {
	if len(list) == 0 {
		return nil
	}
	return withHint(&export.AlarmError{Alarms: list}, "what was printed says so across itself; fairhand verify says more, fairhand help restore\nand fairhand help salvage say how it goes on")
}
