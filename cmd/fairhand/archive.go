package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/seal"
	"fairhand/register/sheet"
	"fairhand/register/store"
	"fairhand/register/watch"
)

const archiveLong = `Close a year into an archive volume, hold volumes, and say which may go.

  fairhand archive close 2026           once the year is over: makes the volume and seals it
  fairhand archive check FILE           proves it alone, and together with the register
  fairhand archive hold FILE REASON     it may not go, such as while an inquiry runs
  fairhand archive release FILE REASON  it may go again when its time has come
  fairhand archive due [--remove]       which volumes may go by --keep, and which are held

A volume is a register of its own: all entries up to the last of its year, as they stand
in the register, whose hash is that of the entry in the register that goes on. Beside it
lie the seal over it, the public key and the description of the box. The register itself
keeps every entry. Holds, releases and removals are entries of the book. How long volumes are kept
is the railway's to say; --keep is in years after the end of the year.`

// The names of a volume of a year and of what lies beside it.
const (
	archiveDir   = "archive"
	volumePrefix = "archive-"
	holdEnding   = ".hold"
)

// volumeEndings are those of a volume and of what lies beside it, of one stem.
var volumeEndings = []string{register.VolumeEnding, ".txt", ".txt" + seal.SignatureEnding, ".pub", register.BoxEnding}

func volumeStem(path string) string { return strings.TrimSuffix(path, register.VolumeEnding) }

// volumes is the folder of the volumes as a flag says; empty for that of the box.
type volumes string

func (v *volumes) flag(cmd *cobra.Command) {
	cmd.Flags().StringVarP((*string)(v), "output", "o", "", "folder of the volumes, instead of "+archiveDir+" in the box directory")
}

func (v *volumes) in(box string) string {
	return cmp.Or(string(*v), filepath.Join(box, archiveDir))
}

func (p *program) archiveCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use: "archive", Short: "Close a year into a sealed volume; hold volumes, and say which may go", Long: archiveLong,
		Args: func(cmd *cobra.Command, _ []string) error {
			return withHint(usagef("archive: what to do is missing"), "it has close, check, hold, release and due; fairhand help archive")
		},
		RunE: func(*cobra.Command, []string) error { return nil },
	}
	cmd.AddCommand(p.archiveCloseCommand(), p.archiveCheckCommand(), p.archiveHoldCommand(true), p.archiveHoldCommand(false), p.archiveDueCommand())
	return cmd
}

// volumeJSON is a volume and what was done with it, for programs.
type volumeJSON struct {
	File   string `json:"file"`
	State  string `json:"state"` // closed, proved, held, released, kept, may-go, removed
	Box    string `json:"box,omitempty"`
	First  int64  `json:"first,omitempty"` // entry of the year
	Last   int64  `json:"last,omitempty"`  // entry of the volume
	Hash   string `json:"hash,omitempty"`
	Key    string `json:"key,omitempty"`    // fingerprint
	Joined bool   `json:"joined,omitempty"` // the register was there to be compared, and goes on from it
	Entry  int64  `json:"entry,omitempty"`  // of the book, that says so
	Reason string `json:"reason,omitempty"` // for which it is held or released
	Until  string `json:"until,omitempty"`  // last day of its time
}

func (p *program) archiveCloseCommand() *cobra.Command {
	var dir volumes
	cmd := &cobra.Command{
		Use: "close YEAR", Short: "Make the sealed volume of a year that is over", Args: args(1, 1, "the YEAR"),
		RunE: func(cmd *cobra.Command, given []string) error {
			year, err := strconv.Atoi(given[0])
			if err != nil || year < 1800 || year > 9999 {
				return usagef("%q is no year; write it as 2026", given[0])
			}
			return p.onBook(true, func(cmd *cobra.Command, _ []string, book *register.Book, opt options) error {
				return p.closeYear(cmd, book, year, dir.in(opt.Dir))
			})(cmd, given)
		},
	}
	dir.flag(cmd)
	return p.withJSON("", cmd)
}

func (p *program) closeYear(cmd *cobra.Command, book *register.Book, year int, dir string) error {
	if doubt := book.ClockDoubt(); doubt != nil { // a year ahead it would close the half of one
		return doubt
	}
	if now := calendar.In(book.Now(), book.Location()); now.Year() <= year {
		return fmt.Errorf("%d is not over: it is %s", year, now.Format("2 January 2006"))
	}
	if err := book.Prove(cmd.Context()); err != nil {
		return err
	}
	if err := p.sealsFit(book.Dir, book.Store()); err != nil {
		return err
	}
	first, last, err := book.Store().SpanOf(calendar.Day(year*10000+101), calendar.Day(year*10000+1231))
	if err == nil && last == 0 {
		err = fmt.Errorf("%w in %d", register.ErrNoEntries, year)
	}
	if err != nil {
		return err
	}
	key, err := seal.LoadKey(book.Dir, p.passphrase)
	if err != nil {
		return withHint(err, "a volume is sealed: fairhand seal key makes the key")
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	path := filepath.Join(dir, fmt.Sprintf("%s%d%s", volumePrefix, year, register.VolumeEnding))
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%s: %d is closed, and its volume is never overwritten", path, year)
	}
	if err := sealVolume(book, key, path, first, last); err != nil {
		return err
	}
	report, err := book.Store().Volume(cmd.Context(), path, last, p.progress())
	if err != nil {
		return err
	}
	told := volumeJSON{File: path, State: "closed", Box: book.Box().Name, First: first, Last: last, Hash: report.Tail.Hash.String(), Key: key.Public.Fingerprint()}
	return p.tell(told, "%s: entries 1 to %d, %d to %d of them of %d, sealed with key %s\nlast entry %d, hash %s\n",
		path, last, first, last, year, told.Key, report.Tail.Seq, told.Hash)
}

// sealVolume writes what lies beside a volume: description, key, signature, statement. The
// volume itself comes last: under its name it is whole, and what lies there without one is
// of a closing that was killed, and is used or written anew.
func sealVolume(book *register.Book, key *seal.Key, path string, first, last int64) error {
	rows, err := book.Store().Range(last, last)
	if err != nil || len(rows) == 0 {
		return fmt.Errorf("the last entry of the volume: %w", errors.Join(err, fs.ErrNotExist))
	}
	stem := volumeStem(path)
	if was, by, err := seal.OfVolume(stem); err == nil && was.Last == last && was.Hash == rows[0].Hash && by.Fingerprint() == key.Public.Fingerprint() {
		return nil
	} else if _, there := os.Lstat(stem + ".txt"); there == nil {
		return fmt.Errorf("%s.txt is there, and is no seal of the volume that would be made: move it to another folder, and ask who has had this one", stem)
	}
	s := seal.Of(book.Store().Meta(), first, store.Tail{Seq: last, Hash: rows[0].Hash}, rows[0].Day, time.Unix(int64(book.Now()), 0))
	s.Description = keptDigest(book, last)
	text, signature, err := signed(key, s)
	if err != nil {
		return err
	}
	for _, f := range []struct{ ending, text string }{
		{register.BoxEnding, book.File().Text}, {".pub", key.Public.Line() + "\n"}, {".txt" + seal.SignatureEnding, signature}, {".txt", text},
	} {
		if err := export.Put(stem+f.ending, true, []byte(f.text)); err != nil {
			return err
		}
	}
	return nil
}

func (p *program) archiveCheckCommand() *cobra.Command {
	return p.withJSON("", &cobra.Command{
		Use: "check FILE", Short: "Prove a volume, alone and with the register", Args: args(1, 1, "the FILE"),
		RunE: func(cmd *cobra.Command, given []string) error {
			stem := volumeStem(given[0])
			box, err := boxfile.Load(stem + register.BoxEnding)
			if err != nil {
				return err
			}
			v, err := register.Verify(cmd.Context(), given[0], box, nil, p.progress())
			if err != nil {
				return err
			}
			s, public, err := volumeSealed(given[0])
			if err != nil {
				return err
			}
			told := volumeJSON{File: given[0], State: "proved", Box: v.Meta.Box, Last: v.Tail.Seq, Hash: v.Tail.Hash.String(), Key: public.Fingerprint()}
			if told.Joined, err = p.volumeWithRegister(cmd, given[0], v, s, public); err != nil {
				return err
			}
			with := "no register to compare it with; -C DIR names its box directory"
			if told.Joined {
				with = fmt.Sprintf("the register goes on from it: entry %d is the same in both", v.Tail.Seq)
			}
			if v.BoxChanged {
				with += fmt.Sprintf("\n%s is not the description in force with that entry, and judges none: those kept in the volume do", stem+register.BoxEnding)
			}
			return p.tell(told, "%s: entries 1 to %d of %s proved, and sealed with key %s\n%s\n", told.File, told.Last, told.Box, told.Key, with)
		},
	})
}

// volumeSealed compares a volume with the seal beside it and with its name, and gives what
// that says and the key by which it holds.
func volumeSealed(path string) (s seal.Statement, public seal.Public, err error) {
	st, err := store.OpenReadOnly(path)
	if err != nil {
		return s, public, err
	}
	defer st.Close()
	stem := volumeStem(path)
	s, public, err = seal.OfVolume(stem)
	if err == nil {
		err = s.FitsVolume(st)
	}
	if tail := st.Tail().Seq; err == nil && s.Last != tail {
		err = fmt.Errorf("the seal is of entry %d and the volume ends with entry %d", s.Last, tail)
	}
	if err == nil {
		err = sealedAfterYear(s, st.Meta().Zone)
	}
	if year, is := yearNamed(path); err == nil && is && year != s.Day.Year() {
		err = fmt.Errorf("it is the volume of %d under the name of %d", s.Day.Year(), year)
	}
	if err != nil {
		err = fmt.Errorf("%s.txt: %w", stem, err)
	}
	return s, public, err
}

// lacksOfYear refuses a volume that ends before its year: that has not all entries of it
// that were in the register when it was sealed. What was written late since is in none.
func lacksOfYear(st *store.Store, s seal.Statement) error {
	from := calendar.Day(s.Day.Year() * 10000)
	_, last, err := st.SpanOf(from+101, from+1231)
	if err != nil {
		return err
	}
	for rows, err := range st.EachProved(s.Last+1, last) {
		if err != nil {
			return err
		}
		for i := range rows {
			if r := &rows[i]; r.Day.Year() == s.Day.Year() && r.Recorded < s.At.Add(-seal.ClockStep).Unix() {
				return fmt.Errorf("it ends with entry %d, and entry %d of the register is of %s and was written before it was sealed: it has not all of its year", s.Last, r.Seq, r.Day)
			}
		}
	}
	return nil
}

// sealedVolume compares a file with the seal of a volume where one lies beside it, and
// gives the key by which that holds; empty for a copy without one.
func sealedVolume(path string) (key string, err error) {
	_, public, err := volumeSealed(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	return public.Fingerprint(), err
}

// byBoxKey refuses the seal of a volume that was made with another key than that of the box
// in a directory.
func byBoxKey(dir, path string, public seal.Public) error {
	if own, err := seal.LoadPublic(filepath.Join(dir, seal.KeyName+".pub")); err == nil && own.Fingerprint() != public.Fingerprint() {
		return fmt.Errorf("%s: the volume is sealed with the key %s; that of the box is %s", path, public.Fingerprint(), own.Fingerprint())
	}
	return nil
}

// volumesBeside proves the volumes in a folder and compares them with their seals and the
// key of the box, their names, the register, which has the entry that each ends with, and
// the holds in it. Where they are kept elsewhere, and none is held, there is none. The
// entries of one are proved by prove.
func volumesBeside(ctx context.Context, box, folder string, st *store.Store, byBook map[string]int64, prove func(path string) error) (fit int, list []sheet.Alarm) {
	list = unheld(folder, byBook)
	for _, path := range volumesIn(folder) {
		if ctx.Err() != nil {
			break
		}
		if why := misfitOfVolume(box, path, st, prove); why != nil {
			list = append(list, sheet.Alarm{Stamp: "A VOLUME DOES NOT FIT", Text: why.Error()})
			continue
		}
		fit++
	}
	return fit, list
}

// volumesIn are the files of a folder that go by the name of a volume, in their order;
// another system may have given the names back in capitals.
func volumesIn(folder string) (paths []string) {
	files, _ := os.ReadDir(folder) // where there is none there is no volume
	for _, f := range files {
		if strings.EqualFold(filepath.Ext(f.Name()), register.VolumeEnding) && strings.HasPrefix(strings.ToLower(f.Name()), volumePrefix) {
			paths = append(paths, filepath.Join(folder, f.Name()))
		}
	}
	return paths
}

// misfitOfVolume is what is wrong with a volume beside the register of a box; nil for nothing.
func misfitOfVolume(box, path string, st *store.Store, prove func(path string) error) error {
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() {
		return cmp.Or(err, fmt.Errorf("%s: %w but a link or a folder: put the volume there itself", path, bounded.ErrNoFile))
	}
	s, public, err := volumeSealed(path)
	if err == nil {
		err = byBoxKey(box, path, public)
	}
	if err == nil {
		if err = lacksOfYear(st, s); err != nil {
			err = fmt.Errorf("%s: %w", path, err)
		}
	}
	if err != nil {
		return err
	}
	if _, why := watch.Misfit(st, path); why != "" {
		return errors.New(why)
	}
	return prove(path)
}

// sealedAfterYear refuses the seal of a day for that of a volume: under it a copy of the
// register that ends within the year would pass for the whole of it.
func sealedAfterYear(s seal.Statement, zone string) error {
	loc, err := time.LoadLocation(zone)
	if year := s.Day.Year(); err == nil && s.At.In(loc).Year() <= year {
		err = fmt.Errorf("the seal is of %s, before %d was over: it is no seal of a volume, which has all of its year", s.At.In(loc).Format(time.DateOnly), year)
	}
	return err
}

// volumeWithRegister compares a volume with the register that goes on, where there is
// one, and says whether there is.
func (p *program) volumeWithRegister(cmd *cobra.Command, path string, v register.Verified, s seal.Statement, public seal.Public) (bool, error) {
	opt, err := p.options(cmd)
	if err != nil {
		return false, err
	}
	if _, err := os.Stat(filepath.Join(opt.Dir, register.RegisterName)); err != nil {
		return false, nil
	}
	reg, err := p.openChain(cmd)
	if err != nil {
		return false, err
	}
	defer reg.Close()
	if err := byBoxKey(reg.dir, path, public); err != nil {
		return true, err
	}
	var hash store.Hash
	if err := reg.prove(v.Tail.Seq, func(r *store.Row) { hash = r.Hash }); err != nil {
		return true, err
	}
	if hash != v.Tail.Hash {
		return true, notTheOne(fmt.Errorf("%w: entry %d has the hash %s in the volume and %s in the register", seal.ErrOtherwise, v.Tail.Seq, v.Tail.Hash, hash))
	}
	if err := lacksOfYear(reg.Store, s); err != nil {
		return true, fmt.Errorf("%s: %w", path, err)
	}
	return true, nil
}
