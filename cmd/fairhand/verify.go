package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/register"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/pins"
	"fairhand/register/seal"
	"fairhand/register/sheet"
	"fairhand/register/store"
	"fairhand/register/watch"
)

func (p *program) verifyCommand() *cobra.Command {
	var exportFile string
	var dir volumes
	cmd := &cobra.Command{
		Use:   "verify [FILE]",
		Short: "Prove that the register is whole and unchanged",
		Long: `Prove that the register is whole and unchanged: every entry is sealed and tied to
the one before it, every line can be read and says the same moment as the record
beside it, and the rules can be replayed over them all. FILE is a backup to prove
instead, which is compared with no seals, or a volume, with the seal beside it. Each description of the box that it was worked under is proved and the days of
it replayed by it; one kept by an earlier version has none, and box.yaml serves.

The seals do not protect the end of the register: whoever removes the last entries
leaves a shorter, sound one. Keep the number and hash that verify prints, and
compare; fairhand seal does it with a signature. Each seal in the box directory is
compared with the register: one that ends before a seal has lost entries, and one that
fits no longer was made anew. So is each copy in the folder of the option copies, and
each volume of a year, with its seal, its name and the holds in the book; they are proved
from their first entry to their last too.

With --export FILE say whether a day that was exported agrees with the register. Of one
in JSON each entry and hash is compared, the head, what follows from them, and the seal
when it carries one, and what differs is named. One in any other form but parquet is made
anew of the register, up to the entry that it names at its foot, and must be the same to the
byte; the first place that is not is named. Saved by a spreadsheet, or drawn by another
version of the program, it cannot be proved so.`,
		Args: args(0, 1, "FILE"),
		RunE: func(cmd *cobra.Command, given []string) error {
			readsAll()
			switch {
			case exportFile != "" && (p.js || len(given) > 0):
				return usagef("--export compares an export with the register of the box directory; it goes with no other")
			case exportFile != "":
				return p.verifyExport(cmd, exportFile)
			}
			return p.verify(cmd, given, dir)
		},
	}
	dir.flag(cmd)
	cmd.Flags().StringVar(&exportFile, "export", "", "day exported, to compare with the register")
	return p.withJSON("", cmd)
}

// verify proves the register of the box directory with what lies beside it, or a file alone.
func (p *program) verify(cmd *cobra.Command, given []string, dir volumes) error {
	path, box, err := p.registerFile(cmd, given)
	if err != nil {
		return err
	}
	notes := volumeNotes{}
	v, err := register.Verify(cmd.Context(), path, box, notes.take, p.progress())
	if cmd.Context().Err() != nil {
		return err
	}
	opt, oerr := p.options(cmd)
	if oerr != nil {
		return oerr
	}
	beside := &beside{lies: len(given) == 0, folder: opt.Copies, archive: dir.in(opt.Dir), notes: notes}
	err = beside.faultsOf(cmd.Context(), path, v, err)
	if err != nil {
		return err
	}
	if p.js {
		return p.json(verifiedAsJSON(path, v, beside))
	}
	p.sayVerified(path, v, beside)
	return nil
}

// compared is an export that was filed, in whichever form.
type compared interface {
	Compare(export.Evidence) (string, error)
}

// filed reads an export of a day that was filed.
func filed(path string) (compared, error) {
	day, err := export.ReadFiled(path)
	if !errors.Is(err, export.ErrSchema) {
		return day, err
	}
	page, err := export.ReadPage(path)
	if errors.Is(err, export.ErrNoHead) {
		return nil, withHint(err, "an export of a day is proved, in each form but parquet, as fairhand export wrote it. Another report (audit, handover),\nor a PDF of an earlier version, is made anew from the register and compared with it: fairhand help proof")
	}
	return page, err
}

// verifyExport compares an export with the register of the box directory.
func (p *program) verifyExport(cmd *cobra.Command, path string) error {
	file, err := filed(path)
	if err != nil {
		return err
	}
	reg, err := p.openChain(cmd)
	if err != nil {
		return err
	}
	defer reg.Close()
	told, err := file.Compare(export.Evidence{Register: reg.Store, Dir: reg.dir, Prove: reg.prove, Day: func(date calendar.Day, last int64) (*register.Day, error) {
		book, err := openDir(reg.dir, true)
		if err != nil {
			return nil, err
		}
		defer book.Close()
		day, err := book.LoadDayUpTo(cmd.Context(), date, last)
		if err == nil {
			p.withTimetable(day, book)
			sealDay(reg.dir, day, reg.Store)
		}
		return day, err
	}})
	fmt.Fprint(p.out, told)
	if _, page := file.(*export.FiledPage); page && errors.Is(err, export.ErrDiffers) {
		return withHint(err, "it was edited, or saved by another program; or, with reason, another version of the program drew it, or the\ntimetable was changed since. Make it anew (fairhand export --up-to N, in the same form) and lay the two side by\nside; an export in JSON names each entry that differs")
	}
	return err
}

// beside is what the register proved is compared with, and what came of it.
type beside struct {
	lies    bool        // it is the register of the box; else a backup, or a volume
	folder  string      // of copies, empty for none
	archive string      // folder of volumes
	notes   volumeNotes // of the book, about them

	seals   seal.Found
	copies  watch.Compared
	volumes int
	far     []sheet.Alarm
}

// faultsOf is all that was found of a register and that takes its worth from it, each
// with what to do next: whoever altered one thing may have left another. A backup is
// compared with no seals (it may be older), no PINs and no copies; a volume with its own seal.
func (b *beside) faultsOf(ctx context.Context, path string, v register.Verified, err error) error {
	faults := several{err,
		keptStates(path, v.Forged, "is not what the entries come to: it was changed by hand or by another program",
			"no entry is touched by it, and no page or figure of a past day rests on it; the desk makes it\nanew. Ask who has had the file"),
		keptStates(path, v.Unfit, "is damaged, or is of another entry than the one that stands there",
			"the state is made again from the entries; what damaged it may be the disk: make a backup to\nanother one now. If the entries were made anew under it, only seals and copies tell"),
	}
	if !b.lies {
		if err == nil {
			b.seals.Key, err = sealedVolume(path)
			faults = append(faults, notTheOne(err))
		}
		return faults.orNil()
	}
	if misfit := pins.Compare(filepath.Dir(path), v.PINs); err == nil && len(misfit) > 0 {
		faults = append(faults, withHint(&export.AlarmError{Alarms: misfit}, "nobody signs on by that PIN until fairhand pin NAME --reset-by NAME has set it anew"))
	}
	st, serr := store.OpenReadOnly(path)
	if serr != nil {
		if err == nil {
			faults = append(faults, serr)
		}
		return faults.orNil()
	}
	b.seals, serr = seal.CheckBeside(filepath.Dir(path), st)
	faults = append(faults, notTheOne(serr))
	b.copies = (&watch.Copies{Dir: b.folder}).Compare(ctx, st, true)
	held := b.notes.held()
	if err != nil { // the entries may be sound all the same; else it is told that they are not
		held, _ = heldByBook(ctx, st)
	}
	volumes, unfit := volumesBeside(ctx, filepath.Dir(path), b.archive, st, held, watch.Damage)
	if other := slices.Concat(b.copies.Alarms, unfit, watch.Saved(st)); len(other) > 0 {
		faults = append(faults, &export.AlarmError{Alarms: other})
	}
	b.volumes, b.far = volumes, watch.OnNetwork(st.Network())
	return append(faults, st.Close()).orNil()
}

// registerFile is the register to prove: the file given, or that of the box
// directory with its box file.
func (p *program) registerFile(cmd *cobra.Command, given []string) (string, *boxfile.File, error) {
	if len(given) > 0 {
		return given[0], nil, nil
	}
	opt, err := p.options(cmd)
	if err != nil {
		return "", nil, err
	}
	box, err := p.loadBox(cmd, "")
	return filepath.Join(opt.Dir, register.RegisterName), box, err
}

// progress tells how far a proof is and how long it will take, on a terminal only
// and once it has taken a second.
func (p *program) progress() func(done, total int64) { return p.progressOf("entries proved") }

// progressOf is progress with something else than entries done.
func (p *program) progressOf(what string) func(done, total int64) {
	if !terminal(p.stderr) {
		return nil
	}
	var begun time.Time
	told := false
	return func(done, total int64) {
		if begun.IsZero() {
			begun = time.Now()
		}
		took := time.Since(begun)
		switch {
		case done >= total && told:
			fmt.Fprint(p.stderr, "\r\x1b[K")
			begun, told = time.Time{}, false
		case done < total && done > 0 && took >= time.Second:
			left := time.Duration(float64(took) * float64(total-done) / float64(done))
			fmt.Fprintf(p.stderr, "\r%d of %d %s, about %d s more\x1b[K", done, total, what, int(left.Seconds()+1))
			told = true
		}
	}
}

func (p *program) sayVerified(path string, v register.Verified, b *beside) {
	fmt.Fprintf(p.out, "%s: the register of %s, %s\n", path, v.Meta.Box, v.Meta.Railway)
	if v.Entries == 0 {
		fmt.Fprintln(p.out, "no entries yet; nothing is damaged")
		return
	}
	fmt.Fprintf(p.out, "%d entries, %s to %s, whole and unchanged; %d corrected\n", v.Entries, v.FirstDay, v.LastDay, v.Corrected)
	if v.Replayed {
		fmt.Fprintf(p.out, "every line read and replayed: %d findings, %d of them dangerous\n", v.Findings, v.Danger)
	} else {
		fmt.Fprintln(p.out, "every line read; not replayed, for want of the box file")
	}
	switch n := len(v.Descriptions); {
	case n == 0:
		fmt.Fprintln(p.out, "no description of the box is kept in it; box.yaml as it is now serves, and the next entry keeps it")
	case v.BoxChanged:
		fmt.Fprintf(p.out, "box.yaml is not the description in force (%s): it comes into force with the next entry\n", inForce(v.Descriptions[n-1].Entry))
	default:
		fmt.Fprintf(p.out, "descriptions of the box kept in it and proved: %d; in force: %s\n", n, inForce(v.Descriptions[n-1].Entry))
	}
	fmt.Fprint(p.out, b.saySeals())
	switch {
	case b.folder == "":
	case b.copies.Missing != nil:
		fmt.Fprintf(p.out, "no copy was compared, since their folder cannot be looked at: %v\n", b.copies.Missing)
	case b.copies.Fit == 0:
		fmt.Fprintf(p.out, "no copy of it lies in %s\n", b.folder)
	default:
		fmt.Fprintf(p.out, "copies of it in %s: %d; each is whole and ends with an entry that it has\n", b.folder, b.copies.Fit)
	}
	if b.volumes > 0 {
		fmt.Fprintf(p.out, "volumes of it in %s: %d; each is whole, sealed, and ends with an entry that it has\n", b.archive, b.volumes)
	}
	for _, a := range b.far {
		fmt.Fprintln(p.out, a)
	}
	fmt.Fprintf(p.out, "last entry %d, hash %s\n", v.Tail.Seq, v.Tail.Hash)
	if b.lies {
		fmt.Fprint(p.out, filesHere(runtime.GOOS, filepath.Dir(path)))
	}
}

// saySeals is what the seals beside a register prove, and by which key. A backup
// is compared with none, and that is said: it may have been made anew from an entry on.
func (b *beside) saySeals() string {
	text := "a seal lies beside it, and it fits\n"
	switch n := b.seals.Seals; {
	case !b.lies && b.seals.Key == "":
		return "no seal was compared with this file, so nothing here tells one made anew from an\nentry on: fairhand restore compares a copy, fairhand archive check a volume\n"
	case b.lies && n == 0:
		return "no seal lies beside it, so nothing here tells a register all of which was made\nanew: fairhand help proof\n"
	case n > 1:
		text = fmt.Sprintf("%d seals lie beside it, and it fits each of them\n", n)
	}
	return text + fmt.Sprintf("signed with the key %s,\nwhich lies there too: compare it with what others were told of it (fairhand help\nproof), or check by their copy: fairhand seal check FILE --key COPY\n", b.seals.Key)
}

// inForce names the description of an entry.
func inForce(entry int64) string {
	if entry == 0 {
		return "that with which the register began"
	}
	return fmt.Sprintf("that of entry %d", entry)
}

// keptStates is the error of states kept after some entries, of which there may be none:
// what is wrong with them, and what to do next.
func keptStates(path string, seqs []int64, wrong, hint string) error {
	if len(seqs) == 0 {
		return nil
	}
	return withHint(fmt.Errorf("%s: the state kept after entry %s %s", path, joined(seqs), wrong), "%s", hint)
}

// joined lists some numbers, and says how many there are more.
func joined(seqs []int64) string {
	const most = 8
	text := register.Numbers(seqs[:min(len(seqs), most)], ", ")
	if more := len(seqs) - most; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

type verifiedJSON struct {
	File      string `json:"file"`
	Railway   string `json:"railway"`
	Box       string `json:"box"`
	Entries   int64  `json:"entries"`
	FirstDay  string `json:"first-day"`
	LastDay   string `json:"last-day"`
	Corrected int    `json:"corrected"`
	Replayed  bool   `json:"replayed"`
	Findings  int    `json:"findings"`
	Danger    int    `json:"danger"`
	Last      int64  `json:"last"`
	Hash      string `json:"hash"`
	Described int64  `json:"described"`         // entry that brought in the description in force; 0: the register began with it, -1: none is kept
	Changed   bool   `json:"box-changed"`       // box.yaml is another, and comes into force with the next entry
	Seals     int    `json:"seals,omitempty"`   // in the box directory, all of which fit
	Key       string `json:"key,omitempty"`     // fingerprint of the public key beside them, by which they hold
	Copies    int    `json:"copies,omitempty"`  // in the folder of the option, each of which ends with an entry of the register
	Volumes   int    `json:"volumes,omitempty"` // of closed years in the folder archive, each of which is sealed and ends with an entry of the register
}

func verifiedAsJSON(path string, v register.Verified, b *beside) verifiedJSON {
	out := verifiedJSON{
		File: path, Railway: v.Meta.Railway, Box: v.Meta.Box, Entries: v.Entries, Corrected: v.Corrected,
		Replayed: v.Replayed, Findings: v.Findings, Danger: v.Danger, Last: v.Tail.Seq, Hash: v.Tail.Hash.String(), Described: -1, Changed: v.BoxChanged,
	}
	out.Seals, out.Key, out.Copies, out.Volumes = b.seals.Seals, b.seals.Key, b.copies.Fit, b.volumes
	if n := len(v.Descriptions); n > 0 {
		out.Described = v.Descriptions[n-1].Entry
	}
	if v.Entries > 0 {
		out.FirstDay, out.LastDay = v.FirstDay.String(), v.LastDay.String()
	}
	return out
}
