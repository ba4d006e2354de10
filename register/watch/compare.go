package watch

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"fairhand/register/pattern"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// Compared is what came of comparing a register with the copies of it.
type Compared struct {
	Fit     int             // copies that end with an entry of the register
	Alarms  []sheet.Alarm   // one for each of the others
	Missing error           // why the folder cannot be looked at: then none was compared
	whole   map[string]bool // those that fit: whether they were proved
}

// Compare compares a register with the copies of it: an alarm for each that cannot be
// read, and for each that ends with an entry which the register has otherwise or no more.
// One that was put back to what it was before, its seals with it, or made anew by who has
// the key, shows by them alone. With all each is proved too, from its first entry to its
// last; without, what was found when it was proved before is told.
func (c *Copies) Compare(ctx context.Context, st *store.Store, all bool) Compared {
	out := Compared{whole: map[string]bool{}}
	var files []os.DirEntry
	files, out.Missing = c.list(st.Meta().Box)
	for _, f := range files {
		path := filepath.Join(c.Dir, f.Name())
		alarm := sheet.Alarm{Stamp: CopyUnread, Text: path + " is no file but a link, a folder or a device. Nothing is restored from it: make another copy, and ask who has had the folder"}
		if f.Type().IsRegular() {
			stamp, why := Misfit(st, path)
			known := false
			if why == "" {
				var damage error
				known, damage = c.proofs.damage(path, all && ctx.Err() == nil)
				stamp, why = CopyDamaged, damagedCopy(damage)
			}
			if why == "" {
				out.Fit++
				out.whole[f.Name()] = known
				continue
			}
			alarm = sheet.Alarm{Stamp: stamp, Text: why}
		}
		out.Alarms = append(out.Alarms, alarm)
	}
	return out
}

// damagedCopy says what is the matter with a copy that is not whole; nothing of one that is.
func damagedCopy(damage error) string {
	if damage == nil {
		return ""
	}
	return fmt.Sprintf("%v. Nothing is restored from it but what salvage proves; make another copy, and look at the stick or who has had it", damage)
}

// proveNext proves the newest copy that was not proved yet, and gives the alarm about it.
func (c *Copies) proveNext(st *store.Store) *sheet.Alarm {
	files, _ := c.list(st.Meta().Box)
	for _, f := range slices.Backward(files) {
		path := filepath.Join(c.Dir, f.Name())
		if known, _ := c.proofs.damage(path, false); known || !f.Type().IsRegular() {
			continue
		}
		if _, unfit := Misfit(st, path); unfit != "" { // Compare tells that
			continue
		}
		if damage := c.proofs.Damage(path); damage != nil {
			return &sheet.Alarm{Stamp: CopyDamaged, Text: damagedCopy(damage)}
		}
		break
	}
	return nil
}

// list is what has the name of a copy of a box, in the order of their names.
func (c *Copies) list(box string) ([]os.DirEntry, error) {
	if c.Dir == "" {
		return nil, nil
	}
	files, err := os.ReadDir(c.Dir)
	return slices.DeleteFunc(files, func(f os.DirEntry) bool {
		_, is := copiedAt(f.Name(), prefixOf(box), time.UTC)
		return !is
	}), err
}

// Misfit says in what a copy is not of a register as it is; empty for nothing, also for a
// copy of the volume before this one.
func Misfit(st *store.Store, path string) (stamp, why string) {
	c, err := store.OpenReadOnly(path)
	if err != nil {
		return CopyUnread, fmt.Sprintf("%v. Make another copy, and look at the stick or who has had it", err)
	}
	defer c.Close()
	end := c.Tail()
	hash, err := st.HashAt(end.Seq)
	switch last := st.Tail().Seq; {
	case end.Seq == 0 && last == 0:
		return "", ""
	case end.Seq == 0:
		return CopyUnread, path + " has no entries: nothing is restored from it. Make another copy, and look who has had the folder"
	case c.Meta().Genesis() != st.Meta().Genesis():
		if continues(st, c) {
			return "", ""
		}
		why = " is of another register of this box, which this one does not show that it continues"
	case end.Seq > last:
		why = fmt.Sprintf(" ends with entry %d, and the register with entry %d", end.Seq, last)
	case err == nil && hash != end.Hash:
		why = fmt.Sprintf(" has another entry %d, its last, than the register", end.Seq)
	default:
		return "", ""
	}
	return CopyMisfit, path + why + ". The register was put back to an earlier one or made anew; compare both, and move that copy to another folder when it is settled"
}

// continued is how a volume begins that was made of a damaged one.
var continued = pattern.Late(`entries 1 to (\d+) are proved, hash ([0-9a-f]{64})`)

// lastProved is the entry of a damaged volume, and its hash, that a register says at its
// beginning to continue from; 0 where it continues none.
func lastProved(st *store.Store) (seq int64, hash string) {
	rows, err := st.Range(1, 3)
	for i := range rows {
		if m := continued().FindStringSubmatch(rows[i].Line); err == nil && m != nil {
			seq, _ = strconv.ParseInt(m[1], 10, 64)
			return seq, m[2]
		}
	}
	return 0, ""
}

// SavedName is what was saved of a damaged volume, beside the one that continues it.
const SavedName = "earlier.db"

func saved(st *store.Store) (*store.Store, error) {
	return store.OpenReadOnly(filepath.Join(filepath.Dir(st.Path()), SavedName))
}

// continues says whether a register continues another, by an entry which that one has. A
// copy that ends before that entry is shown to be of it by what was saved: the words alone
// are soon written at the beginning of a register that was made anew.
func continues(st, before *store.Store) bool {
	seq, want := lastProved(st)
	if end := before.Tail(); seq > end.Seq {
		c, err := saved(st)
		if err != nil {
			return false
		}
		defer c.Close()
		before, seq, want = c, end.Seq, end.Hash.String()
	}
	hash, err := before.HashAt(seq)
	return seq > 0 && err == nil && hash.String() == want
}

// Saved compares what was saved of a damaged volume, where it lies beside the one that
// continues it, with what that says of its end.
func Saved(st *store.Store) []sheet.Alarm {
	seq, hash := lastProved(st)
	if seq == 0 {
		return nil
	}
	c, err := saved(st)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return []sheet.Alarm{{Stamp: CopyUnread, Text: err.Error()}}
	}
	defer c.Close()
	if end := c.Tail(); end.Seq != seq || end.Hash.String() != hash {
		return []sheet.Alarm{{Stamp: CopyMisfit, Text: fmt.Sprintf("%s ends with entry %d, hash %s, and the register that continues it says entry %d, hash %s: one of them was changed since", c.Path(), end.Seq, end.Hash, seq, hash)}}
	}
	return nil
}
