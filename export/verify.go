package export

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/calendar"
	"fairhand/register/seal"
	"fairhand/register/store"
)

// ErrSchema is the error of a text that is no JSON export of this schema.
var ErrSchema = errors.New("no export in JSON of the form " + SchemaJSON)

// Filed is a JSON export that is compared with its register. It is read by the
// types that write it.
type Filed struct {
	path    string
	text    []byte
	day     jsonDay
	members map[string]json.RawMessage
	faults  []string
}

// ReadFiled reads a JSON export. The error is ErrSchema, that of the file, or says
// that the export was made from a book without hashes.
func ReadFiled(path string) (*Filed, error) {
	text, err := bounded.File(path, bounded.Export)
	if err != nil {
		return nil, err
	}
	f := &Filed{path: path, text: text}
	if err := errors.Join(json.Unmarshal(text, &f.day), json.Unmarshal(text, &f.members)); err != nil || f.day.Schema != SchemaJSON {
		return nil, fmt.Errorf("%s is %w", path, ErrSchema)
	}
	if f.day.Head.Hash == "" || f.day.Head.Entry < 1 {
		return nil, fmt.Errorf("%s was made from a book in notation: it has no hashes to compare", path)
	}
	return f, nil
}

// Evidence is what an export is compared with.
type Evidence struct {
	Register *store.Store
	Dir      string // of the box, with its public key
	// Prove proves the entries up to last and hands each to look.
	Prove func(last int64, look func(*store.Row)) error
	// Day gives a day as the register told it when it ended with entry last, with what a
	// page of it is drawn with. It is asked when every entry agrees.
	Day func(day calendar.Day, last int64) (*register.Day, error)
}

// sealsFit says of the first seal beside the register that it does not fit it.
func (e *Evidence) sealsFit() error {
	_, err := seal.CheckBeside(e.Dir, e.Register)
	if err != nil {
		return fmt.Errorf("the register does not fit a seal beside it: %w", err)
	}
	return nil
}

// Compare says in some lines how the export agrees with the register; the error
// names what does not agree, or what kept it from being compared.
func (f *Filed) Compare(with Evidence) (string, error) {
	if m := with.Register.Meta(); m.Box != f.day.Box || m.Railway != f.railway() {
		return "", fmt.Errorf("%s is of %s, %s, and %s is the register of %s, %s", f.path, f.day.Box, f.day.Railway, with.Register.Path(), m.Box, m.Railway)
	}
	if err := f.compareEntries(with.Prove); err != nil {
		return "", err
	}
	sealed := f.compareSeal(with.Dir, with.Register)
	if err := with.sealsFit(); err != nil {
		f.add("%v", err)
	}
	if err := f.disagreement(); err != nil {
		return "", err
	}
	if err := errors.Join(f.compareDerived(with.Day), f.disagreement()); err != nil {
		return "", err
	}
	return fmt.Sprintf("%s: %s of %s agrees with the register\nevery entry up to %d proved; %d entries, line by line and hash by hash\ntrains, findings and all else are what the register gave with that entry\n%s\n",
		f.path, f.day.Date, f.day.Box, f.day.Head.Entry, len(f.day.Entries)+len(f.day.Later), sealed), nil
}

// railway is that of the box as the register has it, by its own name where it has none.
func (f *Filed) railway() string { return cmp.Or(f.day.Railway, f.day.Box) }

func (f *Filed) add(format string, args ...any) {
	f.faults = append(f.faults, fmt.Sprintf(format, args...))
}

// disagreement is the error of what was found so far: a line for each, the first
// of them when there are many.
func (f *Filed) disagreement() error {
	const most = 20
	list := f.faults
	if len(list) == 0 {
		return nil
	}
	if len(list) > most {
		list = append(list[:most:most], fmt.Sprintf("and %d more", len(list)-most))
	}
	return fmt.Errorf("%s does not agree with the register:\n  %s", f.path, strings.Join(list, "\n  "))
}

// compareEntries proves the register up to the export's head and compares each
// entry; one of the day that the export has not is found too.
func (f *Filed) compareEntries(prove func(last int64, look func(*store.Row)) error) error {
	told := map[int64]*jsonEntry{}
	for _, list := range [][]jsonEntry{f.day.Entries, f.day.Later} {
		for i := range list {
			if told[list[i].Entry] != nil {
				f.add("entry %d stands in it twice", list[i].Entry)
			}
			told[list[i].Entry] = &list[i]
		}
	}
	hashes := map[int64]string{}
	err := prove(f.day.Head.Entry, func(r *store.Row) {
		if r.Seq == f.day.Head.Entry || r.Seq == f.day.Last.Entry {
			hashes[r.Seq] = r.Hash.String()
		}
		switch x := told[r.Seq]; {
		case x != nil:
			f.compareEntry(x, r)
			delete(told, r.Seq)
		case r.Day.String() == f.day.Date:
			f.add("entry %d of that day is not in it: %s", r.Seq, r.Line)
		}
	})
	if err != nil {
		return err
	}
	for _, seq := range slices.Sorted(maps.Keys(told)) {
		f.add("entry %d is not in the register so far", seq)
	}
	for _, h := range []jsonHead{f.day.Last, f.day.Head} {
		if hashes[h.Entry] != h.Hash {
			f.add("it was read up to entry %d with the hash %s; the register has %s", h.Entry, h.Hash, hashes[h.Entry])
		}
	}
	return nil
}

func (f *Filed) compareEntry(x *jsonEntry, r *store.Row) {
	for _, c := range []struct{ name, export, register string }{
		{"line", x.Line, r.Line},
		{"writer", x.Writer, r.Writer},
		{"time", inUTC(x.At), time.Unix(r.At, 0).UTC().Format(time.RFC3339)},
		{"time of writing", inUTC(x.Recorded), time.Unix(r.Recorded, 0).UTC().Format(time.RFC3339)},
		{"hash before it", x.Previous, r.Prev.String()},
		{"hash", x.Hash, r.Hash.String()},
	} {
		if c.export != c.register {
			f.add("entry %d, %s: %q in the export, %q in the register", x.Entry, c.name, c.export, c.register)
		}
	}
}

// inUTC gives a moment of the export without its zone; what is none as it is.
func inUTC(text string) string {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return text
	}
	return t.UTC().Format(time.RFC3339)
}

// compareSeal looks at the seal of an export, and says what it is worth.
func (f *Filed) compareSeal(dir string, of seal.Register) string {
	e := &f.day
	if e.Seal == nil {
		return "it carries no seal"
	}
	public, err := seal.ParsePublic(e.Seal.PublicKey)
	if err != nil {
		f.add("its public key: %v", err)
		return ""
	}
	s, err := public.Read(e.Seal.Statement, e.Seal.Signature)
	if err != nil {
		f.add("its seal: %v", err)
		return ""
	}
	about := jsonHead{s.Last, s.Hash.String()}
	if s.Box != e.Box || s.Railway != f.railway() || about != e.Head && about != e.Last {
		f.add("its seal is of entry %d of %s with the hash %s, which is neither its last entry nor its day's", s.Last, s.Box, s.Hash)
	} else if err := s.Fits(of); err != nil {
		f.add("its seal: %v", err)
	}
	own, err := seal.LoadPublic(filepath.Join(dir, seal.KeyName+".pub"))
	switch {
	case errors.Is(err, os.ErrNotExist):
		return "its seal holds, with a key that this box directory does not know: " + public.Fingerprint()
	case err != nil:
		f.add("the public key of the box: %v", err)
	case own.Fingerprint() != public.Fingerprint():
		f.add("it is sealed with the key %s; that of the box is %s", public.Fingerprint(), own.Fingerprint())
	}
	return "its seal holds, with the key of the box: " + public.Fingerprint()
}

// compareDerived makes the export again, of the entries there were then, and compares
// what does not stand in the register itself: trains, findings, turns.
func (f *Filed) compareDerived(dayOf func(calendar.Day, int64) (*register.Day, error)) error {
	date, err := calendar.Parse(f.day.Date)
	if err != nil {
		return fmt.Errorf("the date of the export: %w", err)
	}
	day, err := dayOf(date, f.day.Head.Entry)
	if err != nil {
		return err
	}
	day.Seal = nil
	if x := f.day.Seal; x != nil { // compared already
		day.Seal = &register.DaySeal{Statement: x.Statement, Signature: x.Signature, PublicKey: x.PublicKey}
	}
	var again bytes.Buffer
	if err := writeJSON(&again, day); err != nil {
		return err
	}
	if sameJSON(f.text, again.Bytes()) {
		return nil
	}
	var then map[string]json.RawMessage
	if err := json.Unmarshal(again.Bytes(), &then); err != nil {
		return err
	}
	maps.DeleteFunc(then, func(key string, is json.RawMessage) bool {
		same := sameJSON(f.members[key], is)
		delete(f.members, key)
		return same
	})
	maps.Copy(then, f.members)
	if len(then) == 0 { // of two, readers take the one or the other
		f.add("a key stands in it twice, or in another order than this program writes")
		return nil
	}
	f.add("its entries are those of the register; what this program makes of them is another: %s", strings.Join(slices.Sorted(maps.Keys(then)), ", "))
	return nil
}

// sameJSON compares two values apart from blanks.
func sameJSON(a, b json.RawMessage) bool {
	var x, y bytes.Buffer
	return len(a) > 0 && json.Compact(&x, a) == nil && json.Compact(&y, b) == nil && bytes.Equal(x.Bytes(), y.Bytes())
}
