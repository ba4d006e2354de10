package main

import (
	"cmp"
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
	"fairhand/register/each"
	"fairhand/register/seal"
	"fairhand/register/sheet"
	"fairhand/register/store"
	"fairhand/register/watch"
)

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
	told := salvagedJSON{File: filepath.Join(dir, salvagedName), Last: got.Proved.Seq, Hash: got.Proved.Hash.String(),
		Rest: each.Of(got.Rest, func(r store.Piece) salvagedRestJSON { return salvagedRestJSON{r.From, r.To, r.Proved} })}
	misfit := sealsOfSaved(filepath.Dir(box.Path), told.File, got)
	if len(got.Rest) == 0 {
		if fault := watch.Damage(path); fault != nil { // such as of a copy that was taken while it was written
			fmt.Fprintf(p.notes, "fairhand: %v\n  every entry that can be reached is proved; whether others stood behind entry %d this file does not tell: compare with paper, seals and copies\n", fault, got.Proved.Seq)
		}
		return cmp.Or(p.tell(told, "%s: entries 1 to %d are proved, %s\nnothing is left after them; put them back with\n  fairhand -C %s restore %s\n",
			told.File, told.Last, told.Hash, shellWord(filepath.Dir(box.Path)), shellWord(told.File)), os.Remove(remains), misfit)
	}
	if err := placeContinued(box, dir, got); err != nil {
		return err
	}
	told.Remains, told.Goes = remains, filepath.Join(dir, register.RegisterName)
	if got.Headless {
		told.File = ""
	}
	if p.js {
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
	if err = errors.Join(err, seal.CheckAll(reached, st)); err == nil {
		return nil
	}
	return &export.AlarmError{Alarms: []sheet.Alarm{{Stamp: sheet.SealMisfit, Text: err.Error()}}}
}

// placeContinued makes the register that is written on in, in a folder of its own, so that
// no box is there before its first entry says what it continues.
func placeContinued(box *boxfile.File, dir string, got store.Salvaged) error {
	making := filepath.Join(dir, "new")
	if err := os.Mkdir(making, 0o700); err != nil {
		return err
	}
	if err := continueVolume(box, making, got); err != nil {
		return err
	}
	for _, name := range []string{register.RegisterName, register.BoxFileName} {
		if err := os.Rename(filepath.Join(making, name), filepath.Join(dir, name)); err != nil {
			return err
		}
	}
	_ = os.Remove(making) // it is empty
	return nil
}

// continueVolume makes the register that is written on in, with its first entry.
func continueVolume(box *boxfile.File, dir string, got store.Salvaged) error {
	if err := export.Put(filepath.Join(dir, register.BoxFileName), false, []byte(box.Text)); err != nil {
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
