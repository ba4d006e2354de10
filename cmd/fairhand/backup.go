package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"fairhand/block"
	"fairhand/export"
	"fairhand/register"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/seal"
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
		fmt.Fprintf(p.out, "%s: %v\n", watch.NoCopy, err)
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

func (p *program) restoreCommand() *cobra.Command {
	var older bool
	cmd := &cobra.Command{
		Use:   "restore FILE",
		Short: "Put a backup in the place of the register",
		Long: `Put FILE, a backup, in the place of the register of the box directory. Before anything
is touched FILE is proved: its chain from the first entry to the last, that every line
can be read and replayed with the box file, that it is of this box, and that it fits
each seal in the directory. The file that is there is kept under another name,
register-before-TIME.db. A directory without box.yaml gets the description in force with
the last entry of FILE: a copy is enough to begin anew on another computer.

A backup that ends before a seal or before the present register is refused: what came
after it would be lost; so is one that has other entries than the present register, while
that can be read. --older takes it all the same.`,
		Args: args(1, 1, "the FILE to restore"),
		RunE: func(cmd *cobra.Command, given []string) error {
			box, outOf, err := p.boxOrKept(cmd, given[0])
			if err != nil {
				return err
			}
			v, err := register.Verify(cmd.Context(), given[0], box, p.progress())
			if err != nil {
				return err
			}
			told, err := p.restore(cmd.Context(), given[0], filepath.Dir(box.Path), older)
			if err != nil {
				return err
			}
			told.Last, told.Hash = v.Tail.Seq, v.Tail.Hash.String()
			if outOf {
				told.Box = box.Path
				if err := export.Create(box.Path, false, writes([]byte(box.Text))); err != nil {
					return err
				}
			}
			err = p.tell(told, "%s: %d entries restored from %s and proved\nlast entry %d, hash %s\n", told.File, told.Entries, told.From, told.Last, told.Hash)
			if told.Kept != "" && !p.js {
				fmt.Fprintf(p.out, "the file that was there is kept: %s\n", told.Kept)
			}
			if outOf && !p.js {
				fmt.Fprintf(p.out, "%s is made of the description in force with its last entry\n", box.Path)
			}
			return err
		},
	}
	cmd.Flags().BoolVar(&older, "older", false, "take a backup that ends before a seal or before the present register, or has other entries")
	return p.withJSON("", cmd)
}

// restore puts a copy that is proved in the place of the register in dir, and keeps what
// was there.
func (p *program) restore(ctx context.Context, file, dir string, older bool) (told copiedJSON, err error) {
	from, err := store.OpenReadOnly(file)
	if err != nil {
		return told, err
	}
	defer from.Close()
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return told, err
	}
	if err := mayRestore(dir, from, older); err != nil {
		return told, err
	}
	told.File, told.From = filepath.Join(dir, register.RegisterName), file
	_, lost := os.Lstat(told.File)
	kept := filepath.Join(dir, time.Now().Format("register-before-20060102-150405.db"))
	report, err := from.Replace(ctx, told.File, kept, p.progress())
	if lost == nil && err == nil {
		told.Kept = kept
	}
	told.Entries = report.Entries
	return told, err
}

// mayRestore refuses a backup that does not fit the seals of the box, and, unless
// it may be older, one after which there were entries.
func mayRestore(dir string, from *store.Store, older bool) error {
	const hint = "--older puts it back all the same: write again from paper what came after its last entry"
	_, err := seal.CheckBeside(dir, from.Meta(), from.Tail().Seq, from.HashAt)
	if errors.Is(err, seal.ErrOtherwise) || err != nil && !errors.Is(err, seal.ErrRemoved) {
		return notTheOne(err)
	}
	if err != nil && !older {
		return withHint(err, hint)
	}
	path := filepath.Join(dir, register.RegisterName)
	present, err := store.OpenReadOnly(path)
	if err != nil {
		return nil // lost, or damaged: that is what the backup is for
	}
	defer present.Close()
	if there, have := present.Tail().Seq, from.Tail().Seq; there > have && !older {
		return withHint(fmt.Errorf("%s ends with entry %d, and %s with entry %d: entries %d to %d would be lost",
			from.Path(), have, path, there, have+1, there), hint)
	}
	last := min(present.Tail().Seq, from.Tail().Seq)
	was, err := present.HashAt(last)
	if is, ferr := from.HashAt(last); err == nil && ferr == nil && was != is && !older {
		if _, damage := present.Verify(nil); damage != nil {
			return nil // that is what the backup is for
		}
		return withHint(fmt.Errorf("%s has another entry %d than %s: one of them was made anew", from.Path(), last, path),
			"compare both with paper, seals and other copies. --older puts it back all the same; the file that is there is kept")
	}
	return nil
}

const salvageLong = `Make in DIR, which must be new or empty, what can still be had from a damaged register;
the register itself is only read and stays as it is:

  ` + salvagedName + `   the entries from the first to the last that is proved without a gap, a
               sound register that verify and restore take
  ` + remainsName + `  every entry after that which can be read, in the notation, each marked as
               proved with those around it or as not proved
  ` + register.RegisterName + `  a new volume, to go on writing in; its first entry says which register it
               continues and names its last proved entry and hash
  ` + register.BoxFileName + `     the description of the box, copied

Where every entry is proved, only ` + salvagedName + ` is made: fairhand restore puts it back.
Where the heading was changed, or the first description of the box, and box.yaml is not
that description either, ` + salvagedName + ` is not made, and all that can be read is remains.`

const (
	salvagedName = watch.SavedName
	remainsName  = "remains.txt"
)

func (p *program) salvageCommand() *cobra.Command {
	return p.withJSON("", &cobra.Command{
		Use:   "salvage DIR",
		Short: "Save from a damaged register what can be proved, and go on",
		Long:  salvageLong,
		Args:  args(1, 1, "the DIR to make it in"),
		RunE: func(cmd *cobra.Command, given []string) error {
			box, _, err := p.boxOrKept(cmd, "")
			if err != nil {
				return err
			}
			if err := checkNewDir(given[0]); err != nil {
				return err
			}
			if err := os.MkdirAll(given[0], 0o700); err != nil {
				return err
			}
			return p.salvage(cmd, box, given[0])
		},
	})
}

// salvagedJSON is what was saved from a damaged register, for programs.
type salvagedJSON struct {
	File    string             `json:"file"` // with the entries from 1 to last
	Last    int64              `json:"last"` // entry that is proved without a gap
	Hash    string             `json:"hash"`
	Remains string             `json:"remains,omitempty"` // file with what can be read after that
	Rest    []salvagedRestJSON `json:"rest"`
	Goes    string             `json:"goes-on,omitempty"` // register to go on writing in
}

type salvagedRestJSON struct {
	First  int64 `json:"first"`
	Last   int64 `json:"last"`
	Proved bool  `json:"proved"` // of one chain: a seal or a printed hash of its last entry proves it
}

func (p *program) salvage(cmd *cobra.Command, box *boxfile.File, dir string) error {
	path := filepath.Join(filepath.Dir(box.Path), register.RegisterName)
	remains := filepath.Join(dir, remainsName)
	f, err := os.OpenFile(remains, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	defer f.Close()
	w := &remainsWriter{to: f}
	got, err := store.Salvage(cmd.Context(), path, filepath.Join(dir, salvagedName), box.Text, w.entry)
	if err = errors.Join(err, w.err, f.Sync(), f.Close()); err != nil { // closed here: Windows removes no open file
		return err
	}
	told := salvagedJSON{File: filepath.Join(dir, salvagedName), Last: got.Proved.Seq, Hash: got.Proved.Hash.String(), Rest: []salvagedRestJSON{}}
	misfit := sealsOfSaved(filepath.Dir(box.Path), told.File, got)
	if len(got.Rest) == 0 {
		return cmp.Or(p.tell(told, "%s: entries 1 to %d are proved, %s\nnothing is left after them; put them back with\n  fairhand -C %s restore %s\n",
			told.File, told.Last, told.Hash, shellWord(filepath.Dir(box.Path)), shellWord(told.File)), os.Remove(remains), misfit)
	}
	if err := continueVolume(box, dir, got); err != nil {
		return err
	}
	told.Remains, told.Goes = remains, filepath.Join(dir, register.RegisterName)
	if got.Headless {
		told.File = ""
	}
	if p.js {
		for _, piece := range got.Rest {
			told.Rest = append(told.Rest, salvagedRestJSON{piece.From, piece.To, piece.Proved})
		}
		return cmp.Or(p.json(told), misfit)
	}
	if got.Headless {
		fmt.Fprintf(p.out, "the heading is not what the entries begin with, also with box.yaml as the first description of the box: no entry is proved\nfrom the beginning; where box.yaml as it was first is kept elsewhere, put it here and salvage anew\n%s: what can be read\n", remains)
	} else {
		fmt.Fprintf(p.out, "%s: entries 1 to %d are proved, %s\n%s: what can be read after that\n", told.File, told.Last, told.Hash, remains)
	}
	for _, piece := range got.Rest {
		what := fmt.Sprintf("entries %d to %d", piece.From, piece.To)
		if piece.From == piece.To {
			what = fmt.Sprintf("entry %d", piece.From)
		}
		said := "cannot be proved"
		if piece.Proved {
			said = fmt.Sprintf("of one chain: a seal or a printed hash of entry %d proves it", piece.To)
		}
		fmt.Fprintf(p.out, "  %s: %s\n", what, said)
	}
	fmt.Fprintf(p.out, "%s: a new volume, which says what it continues\n  fairhand -C %s\n", told.Goes, shellWord(dir))
	return misfit
}

// sealsOfSaved compares what was saved, where there is any, with the seals beside the
// damaged register, but for those of what can be read only behind the damage: a chain may
// be sound that was made anew, and one that was cut short has nothing behind its end.
func sealsOfSaved(dir, saved string, got store.Salvaged) error {
	st, err := store.OpenReadOnly(saved)
	if err != nil {
		return nil
	}
	defer st.Close()
	read := st.Tail().Seq
	if n := len(got.Rest); n > 0 {
		read = got.Rest[n-1].To
	}
	list, err := seal.FindBeside(dir)
	reached := slices.DeleteFunc(list, func(b seal.Beside) bool { return b.Statement.Last > st.Tail().Seq && b.Statement.Last <= read })
	if err = errors.Join(err, seal.CheckAll(reached, st.Meta(), st.Tail().Seq, st.HashAt)); err == nil {
		return nil
	}
	return &export.AlarmError{Alarms: []sheet.Alarm{{Stamp: sheet.SealMisfit, Text: err.Error()}}}
}

// continueVolume makes the register that is written on in, with its first entry.
func continueVolume(box *boxfile.File, dir string, got store.Salvaged) error {
	if err := export.Create(filepath.Join(dir, register.BoxFileName), false, writes([]byte(box.Text))); err != nil {
		return err
	}
	book, err := register.Create(dir, register.Options{})
	if err != nil {
		return err
	}
	defer book.Close()
	last := got.Rest[len(got.Rest)-1].To
	text := fmt.Sprintf("Continues the register of %s begun %s, found damaged: entries 1 to %d are proved, hash %s; it went to entry %d",
		got.Meta.Box, calendar.Of(got.Meta.Created, book.Location()), got.Proved.Seq, got.Proved.Hash, last)
	if got.Headless {
		text = fmt.Sprintf("Continues a register of %s found damaged in its heading: no entry is proved from the beginning; it went to entry %d", box.Box.Name, last)
	}
	_, err = book.Log(block.Event{At: book.Now(), Kind: block.Note, Text: text})
	return err
}

// remainsWriter writes entries that stand after damage, in the notation.
type remainsWriter struct {
	to  *os.File
	day calendar.Day
	err error
}

func (w *remainsWriter) entry(r *store.Row, proved bool) error {
	if r.Day != w.day {
		w.day = r.Day
		fmt.Fprintf(w.to, "date %s\n", r.Day)
	}
	mark := "NOT PROVED"
	if proved {
		mark = "proved with those around it"
	}
	line := r.Line
	if !utf8.ValidString(line) || strings.ContainsFunc(line, func(c rune) bool { return !unicode.IsGraphic(c) }) {
		line = "# " + strconv.Quote(line) // of a damaged file: nothing raw
	}
	_, w.err = fmt.Fprintf(w.to, "# entry %d, %s; written %s by %q, hash %s\n%s\n", r.Seq, mark,
		calendar.Stamp(r.Recorded, time.UTC), r.Writer, r.Hash, line)
	return w.err
}
