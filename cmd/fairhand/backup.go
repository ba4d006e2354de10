package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"fairhand/register"
	"fairhand/register/sheet"
	"fairhand/register/store"
	"fairhand/register/watch"
)

// copiedJSON is a register copied or put back, for programs.
type copiedJSON struct {
	File    string        `json:"file"` // that was written
	Entries int64         `json:"entries"`
	Last    int64         `json:"last"`              // number of the last entry
	Hash    string        `json:"hash"`              // of the last entry
	From    string        `json:"from,omitempty"`    // backup that was put back
	Kept    string        `json:"kept,omitempty"`    // file that the register before it was kept as
	Box     string        `json:"box,omitempty"`     // box file that was made of the description in it
	Removed int           `json:"removed,omitempty"` // older copies that went
	Alarms  []sheet.Alarm `json:"alarms,omitempty"`
}

func (p *program) backupCommand() *cobra.Command {
	return p.withJSON("", &cobra.Command{
		Use:   "backup [FILE]",
		Short: "Copy the register, and prove the copy",
		Long: `Copy the register to FILE, which must not exist, and prove the copy. The register may
be in use meanwhile: no entry waits for the copy, however slow the stick, and Ctrl-C
stops it. FILE appears under its name only when it is whole, on disk and proved. Never
copy register.db with other tools while an entry may be written: they can take half
of one.

Without FILE the copy goes into the folder of the option copies, as at the end of each
turn, under a name with the time, with the page of the last day as PDF beside it. Of
the copies there those of the last 14 days are kept, and before that the last of each
month. A folder that is missing or full is told, with exit code 3; so is, as an alarm, a
copy there with entries that the register does not have, which then stays.`,
		Args: args(0, 1, "the FILE to write"),
		RunE: func(cmd *cobra.Command, given []string) error {
			if len(given) == 0 {
				return p.onBook(true, p.copy)(cmd, given)
			}
			reg, err := p.openChain(cmd)
			if err != nil {
				return err
			}
			defer reg.Close()
			if err := ownName(given[0]); err != nil {
				return err
			}
			report, err := reg.Backup(cmd.Context(), given[0], p.progress())
			if errors.Is(err, store.ErrDamaged) {
				return withHint(err, "fairhand -C %s salvage DIR makes in DIR what can still be proved", shellWord(reg.dir))
			}
			if err != nil {
				return err
			}
			alarms := watch.Seals(reg.dir, reg.Store)
			told := copiedJSON{File: given[0], Entries: report.Entries, Last: report.Tail.Seq, Hash: report.Tail.Hash.String(), Alarms: alarms}
			return cmp.Or(p.tell(told, saidCopied, told.File, told.Entries, told.Last, told.Hash), alarmed(alarms))
		},
	})
}

const saidCopied = "%s: %d entries copied and proved\nlast entry %d, hash %s\n"

// copy makes a copy in the folder that the options name.
func (p *program) copy(cmd *cobra.Command, _ []string, book *register.Book, opt options) error {
	if opt.Copies == "" {
		return withHint(usagef("no FILE is given, and the option copies names no folder"), "fairhand backup FILE, or --copies DIR")
	}
	made, err := copiesTo(opt.Copies).Make(cmd.Context(), book.Reader, time.Unix(int64(book.Now()), 0), p.progress())
	if errors.Is(err, context.Canceled) || errors.Is(err, store.ErrDamaged) {
		return err
	}
	if err != nil {
		fmt.Fprintln(p.out, watch.Amiss(err))
		return errFindings
	}
	alarms := append(watch.Seals(opt.Dir, book.Store()), made.Misfit...)
	told := copiedJSON{File: made.Path, Entries: made.Entries, Last: made.Tail.Seq, Hash: made.Tail.Hash.String(), Removed: made.Removed, Alarms: alarms}
	err = p.tell(told, saidCopied, told.File, told.Entries, told.Last, told.Hash)
	if made.Removed > 0 && !p.js {
		fmt.Fprintf(p.out, "%d older copies were removed\n", made.Removed)
	}
	return cmp.Or(err, alarmed(alarms))
}
