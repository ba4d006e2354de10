package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/register"
	"fairhand/register/seal"
	"fairhand/register/store"
)

func (p *program) restoreCommand() *cobra.Command {
	var older bool
	cmd := &cobra.Command{
		Use:   "restore FILE",
		Short: "Put a backup in the place of the register",
		Long: `Put FILE, a backup, in the place of the register of the box directory. Before anything
is touched FILE is proved: its chain from the first entry to the last, that every line
can be read and replayed with the box file, that it is of this box, and that it fits
each seal in the directory, and a volume the seal beside it. The file that is there is kept under another name,
register-before-TIME.db. A directory without box.yaml gets the description in force with
the last entry of FILE: a copy is enough to begin anew on another computer.

A backup that ends before a seal or before the present register is refused: what came
after it would be lost; so is one that has other entries than the present register, as far as
that is proved. --older takes it all the same.`,
		Args: args(1, 1, "the FILE to restore"),
		RunE: func(cmd *cobra.Command, given []string) error {
			box, outOf, err := p.boxOrKept(cmd, given[0])
			if err != nil {
				return err
			}
			v, err := register.Verify(cmd.Context(), given[0], box, nil, p.progress())
			if err != nil {
				return err
			}
			if _, err := sealedVolume(given[0]); err != nil {
				return notTheOne(err)
			}
			told, err := p.restore(cmd.Context(), given[0], filepath.Dir(box.Path), older)
			if err != nil {
				return err
			}
			told.Last, told.Hash = v.Tail.Seq, v.Tail.Hash.String()
			if outOf {
				told.Box = box.Path
				if err := export.Put(box.Path, false, []byte(box.Text)); err != nil {
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
	_, err := seal.CheckBeside(dir, from)
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
	proved := int64(0) // of the damaged one, for which the backup is, what stands before the damage
	for rows, err := range present.EachProved(1, min(present.Tail().Seq, from.Tail().Seq)) {
		if err != nil {
			break
		}
		proved = rows[len(rows)-1].Seq
	}
	was, err := present.HashAt(proved)
	if is, ferr := from.HashAt(proved); proved > 0 && err == nil && ferr == nil && was != is && !older {
		return withHint(fmt.Errorf("%s has another entry %d than %s: one of them was made anew", from.Path(), proved, path),
			"compare both with paper, seals and other copies. --older puts it back all the same; the file that is there is kept")
	}
	return nil
}
