package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"fairhand/block"
	"fairhand/export"
	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/calendar"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// What becomes of a volume stands in the book as a remark: its name, one of these states,
// and why. volumeNote writes it and noteOfVolume reads it; there are no others.
const (
	volumeWords = `archive volume `
	held        = "held"
	released    = "released"
	removed     = "removed"
)

func volumeNote(v volumeJSON) string {
	return volumeWords + filepath.Base(v.File) + " " + v.State + ": " + v.Reason
}

// noteOfVolume gives the volume and its state by a line of the book; none for most.
func noteOfVolume(line string) (name, state string) {
	_, text, _ := strings.Cut(line, ` note "`+volumeWords)
	name, text, _ = strings.Cut(text, " ")
	state, _, _ = strings.Cut(text, ":")
	return name, state
}

// noteVolume writes into the book what becomes of a volume. Where the computer's clock is
// in doubt nothing is written, and so no volume goes by a wrong date.
func noteVolume(book *register.Book, v *volumeJSON) (line string, err error) {
	e, err := book.Log(block.Event{Kind: block.Note, At: book.Now(), Text: volumeNote(*v)})
	v.Entry = e.Seq
	return e.Line, err
}

// archiveHoldCommand holds a volume, or releases it; the book has an entry of both.
func (p *program) archiveHoldCommand(hold bool) *cobra.Command {
	name, state, short := "hold", held, "Keep a volume from going, whatever its age"
	if !hold {
		name, state, short = "release", released, "Let a volume that was held go when its time has come"
	}
	return p.withJSON("", &cobra.Command{
		Use: name + " FILE REASON", Short: short, Args: args(2, 2, "the FILE and the REASON"),
		RunE: func(cmd *cobra.Command, given []string) error {
			mark := given[0] + holdEnding
			info, err := os.Lstat(given[0])
			if err == nil && !info.Mode().IsRegular() {
				err = fmt.Errorf("%s: %w, and no volume", given[0], bounded.ErrNoFile)
			}
			if err != nil {
				return err
			}
			_, err = os.Lstat(mark)
			if marked := err == nil; marked == hold {
				return fmt.Errorf("%s: the volume is %s already", given[0], state)
			}
			book, _, err := p.openBook(cmd, false)
			if err != nil {
				return err
			}
			defer book.Close()
			p.underAlarms(cmd.Context(), book)
			told := volumeJSON{File: given[0], State: state, Reason: given[1]}
			line, err := noteVolume(book, &told)
			if err != nil {
				return err
			}
			if hold {
				err = export.Put(mark, false, []byte(given[1]+"\n"))
			} else {
				err = os.Remove(mark)
			}
			return cmp.Or(err, p.tell(told, "entry %d: %s\n", told.Entry, line))
		},
	})
}

func (p *program) archiveDueCommand() *cobra.Command {
	var dir volumes
	var keep int
	var remove bool
	cmd := &cobra.Command{
		Use: "due", Short: "Say which volumes may go, and which are held", Args: args(0, 0, ""),
		RunE: func(cmd *cobra.Command, given []string) error {
			if keep < 1 {
				return usagef("--keep %d: a volume is kept for a year at least", keep)
			}
			return p.onBook(!remove, func(_ *cobra.Command, _ []string, book *register.Book, opt options) error {
				err := p.sealsFit(book.Dir, book.Store())
				var byBook map[string]int64
				if err == nil {
					byBook, err = heldByBook(cmd.Context(), book.Store())
				}
				if err != nil {
					return err
				}
				return p.due(book, dir.in(opt.Dir), byBook, keep, remove)
			})(cmd, given)
		},
	}
	dir.flag(cmd)
	cmd.Flags().IntVar(&keep, "keep", 10, "years for which a volume is kept after the end of its own")
	cmd.Flags().BoolVar(&remove, "remove", false, "remove those that may go")
	return p.withJSON(" a volume", cmd)
}

// heldByBook gives the volumes that are held by the entries of the book, with the last
// entry that says so: a mark beside a volume is easily taken away. The entries are proved;
// that they are as they were sealed the caller asks, since one who alters them may be
// after a volume.
func heldByBook(ctx context.Context, st *store.Store) (map[string]int64, error) {
	notes := volumeNotes{}
	for rows, err := range st.EachProved(1, st.Tail().Seq) {
		if err = errors.Join(err, ctx.Err()); err != nil {
			return nil, err
		}
		for i := range rows {
			notes.take(&rows[i])
		}
	}
	return notes.held(), nil
}

// volumeNotes are the last entries of the book about its volumes, by their names.
type volumeNotes map[string]volumeEntry

type volumeEntry struct {
	seq  int64
	held bool
}

// take takes an entry of the book, in any order.
func (n volumeNotes) take(r *store.Row) {
	switch name, state := noteOfVolume(r.Line); state {
	case held, released, removed:
		if r.Seq > n[name].seq {
			n[name] = volumeEntry{r.Seq, state == held}
		}
	}
}

// held are those that the book holds, and by which entry.
func (n volumeNotes) held() map[string]int64 {
	by := map[string]int64{}
	for name, last := range n {
		if last.held {
			by[name] = last.seq
		}
	}
	return by
}

// unheld are the alarms of volumes that are held by the book and are not in a folder, or
// have no mark there.
func unheld(dir string, byBook map[string]int64) (list []sheet.Alarm) {
	for _, name := range slices.Sorted(maps.Keys(byBook)) {
		path := filepath.Join(dir, name)
		_, gone := os.Lstat(path)
		_, unmarked := os.Lstat(path + holdEnding)
		switch {
		case gone != nil:
			list = append(list, sheet.Alarm{Stamp: "HELD VOLUME GONE", Text: fmt.Sprintf("entry %d holds %s, which is not in %s: find it, or a copy of it; -o names the folder where volumes are kept elsewhere", byBook[name], name, dir)})
		case errors.Is(unmarked, fs.ErrNotExist):
			list = append(list, sheet.Alarm{Stamp: "HOLD TAKEN AWAY", Text: fmt.Sprintf("%s%s is gone, and entry %d holds the volume: fairhand archive hold puts a mark there again, and release lets the volume go", path, holdEnding, byBook[name])})
		}
	}
	return list
}

// yearOf is the year of the last entry of a volume; 0 for one that cannot be read.
func yearOf(path string) int {
	st, err := store.OpenReadOnly(path)
	if err != nil {
		return 0
	}
	defer st.Close()
	rows, err := st.Range(st.Tail().Seq, st.Tail().Seq)
	if err != nil || len(rows) == 0 {
		return 0
	}
	return rows[0].Day.Year()
}

// yearNamed is the year by whose name a volume goes, and whether it goes by one.
func yearNamed(path string) (year int, is bool) {
	of, named := strings.CutPrefix(volumeStem(strings.ToLower(filepath.Base(path))), volumePrefix)
	year, err := strconv.Atoi(of)
	return year, named && err == nil
}

func (p *program) due(book *register.Book, dir string, byBook map[string]int64, keep int, remove bool) error {
	now := calendar.In(book.Now(), book.Location())
	wrong := unheld(dir, byBook)
	for _, path := range volumesIn(dir) {
		stem := volumeStem(path)
		year, is := yearNamed(path)
		if !is {
			continue
		}
		until := time.Date(year+keep, time.December, 31, 0, 0, 0, 0, now.Location())
		told := volumeJSON{File: path, Until: until.Format(time.DateOnly)}
		reason, unmarked := bounded.File(path+holdEnding, bounded.Small)
		said := "may go since " + told.Until
		switch {
		case !errors.Is(unmarked, fs.ErrNotExist):
			told.State, told.Reason = held, strings.TrimSpace(string(reason))
			said = "HELD: " + told.Reason
		case byBook[filepath.Base(path)] > 0:
			told.State, told.Entry = held, byBook[filepath.Base(path)]
			said = fmt.Sprintf("HELD by entry %d", told.Entry)
		case yearOf(path) != year:
			told.State, said = "kept", "kept; it is not known to be of "+strconv.Itoa(year)
			wrong = append(wrong, sheet.Alarm{Stamp: "NOT THE VOLUME OF ITS NAME", Text: fmt.Sprintf("%s cannot be read, or its last entry is of another year than %d: fairhand archive check says more", path, year)})
		case !now.After(until.AddDate(0, 0, 1)):
			told.State, said = "kept", "kept until "+told.Until
		case !remove:
			told.State = "may-go"
		default:
			told.State, told.Reason = removed, "its time was over on "+told.Until
			said = removed + "; " + told.Reason
			if _, err := noteVolume(book, &told); err != nil {
				return err
			}
			for _, ending := range volumeEndings {
				if err := os.Remove(stem + ending); err != nil && !errors.Is(err, fs.ErrNotExist) {
					return err
				}
			}
		}
		if err := p.tell(told, "%s: %s\n", path, said); err != nil {
			return err
		}
	}
	if wrong != nil {
		return withHint(&export.AlarmError{Alarms: wrong}, "no such volume goes")
	}
	return nil
}
