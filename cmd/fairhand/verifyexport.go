package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/register/seal"
	"fairhand/register/store"
)

// exported is what a JSON export says that a register can be asked about.
type exported struct {
	Schema  string          `json:"schema"`
	Railway string          `json:"railway"`
	Box     string          `json:"box"`
	Date    string          `json:"date"`
	Last    exportedHead    `json:"last_entry_of_day"`
	Head    exportedHead    `json:"last_entry_of_register"`
	Seal    *exportedSeal   `json:"seal"`
	Entries []exportedEntry `json:"entries"`
	Later   []exportedEntry `json:"later_corrections"`
}

type exportedHead struct {
	Entry int64  `json:"entry"`
	Hash  string `json:"hash"`
}

type exportedSeal struct {
	Statement string `json:"statement"`
	Signature string `json:"signature"`
	PublicKey string `json:"public_key"`
}

type exportedEntry struct {
	Entry    int64     `json:"entry"`
	At       time.Time `json:"at"`
	Recorded time.Time `json:"recorded"`
	Writer   string    `json:"writer"`
	Line     string    `json:"line"`
	Previous string    `json:"previous_hash"`
	Hash     string    `json:"hash"`
}

// exportFaults are the ways in which an export disagrees with the register.
type exportFaults struct {
	path string
	list []string
}

func (f *exportFaults) add(format string, args ...any) {
	f.list = append(f.list, fmt.Sprintf(format, args...))
}

// Error gives a line for each, the first of them when there are many.
func (f *exportFaults) Error() string {
	const most = 20
	list := f.list
	if len(list) > most {
		list = append(slices.Clone(list[:most]), fmt.Sprintf("and %d more", len(f.list)-most))
	}
	return f.path + " does not agree with the register:\n  " + strings.Join(list, "\n  ")
}

// verifyExport compares a JSON export with the register of the box directory.
func (p *program) verifyExport(cmd *cobra.Command, path string) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	var e exported
	if err := json.Unmarshal(text, &e); err != nil || e.Schema != export.SchemaJSON {
		return withHint(fmt.Errorf("%s is no export in JSON of the form %s", path, export.SchemaJSON), "fairhand export --format json makes one; only these hold every entry with its hash")
	}
	if e.Head.Hash == "" || e.Head.Entry < 1 {
		return fmt.Errorf("%s was made from a book in notation: it has no hashes to compare", path)
	}
	reg, err := p.openChain(cmd)
	if err != nil {
		return err
	}
	defer reg.Close()
	faults := &exportFaults{path: path}
	if m := reg.Meta(); m.Box != e.Box || m.Railway != e.Railway {
		return fmt.Errorf("%s is of %s, %s, and %s is the register of %s, %s", path, e.Box, e.Railway, reg.Path(), m.Box, m.Railway)
	}
	if err := reg.compareEntries(&e, faults); err != nil {
		return err
	}
	sealed := reg.compareSeal(&e, faults)
	if len(faults.list) > 0 {
		return faults
	}
	derived, err := p.compareDerived(cmd, text, &e, faults)
	if err != nil {
		return err
	}
	if len(faults.list) > 0 {
		return faults
	}
	fmt.Fprintf(p.out, "%s: %s of %s agrees with the register\nevery entry up to %d proved; %d entries, line by line and hash by hash\n%s\n%s\n",
		path, e.Date, e.Box, e.Head.Entry, len(e.Entries)+len(e.Later), derived, sealed)
	return nil
}

// compareEntries proves the register up to the export's head and compares each
// entry; one of the day that the export has not is found too.
func (c *chain) compareEntries(e *exported, faults *exportFaults) error {
	told := map[int64]*exportedEntry{}
	for _, list := range [][]exportedEntry{e.Entries, e.Later} {
		for i := range list {
			if told[list[i].Entry] != nil {
				faults.add("entry %d stands in it twice", list[i].Entry)
			}
			told[list[i].Entry] = &list[i]
		}
	}
	hashes := map[int64]string{}
	err := c.prove(e.Head.Entry, func(r *store.Row) {
		if r.Seq == e.Head.Entry || r.Seq == e.Last.Entry {
			hashes[r.Seq] = r.Hash.String()
		}
		switch x := told[r.Seq]; {
		case x != nil:
			x.compare(r, faults)
			delete(told, r.Seq)
		case r.Day.String() == e.Date:
			faults.add("entry %d of that day is not in it: %s", r.Seq, r.Line)
		}
	})
	if err != nil {
		return err
	}
	for _, seq := range slices.Sorted(maps.Keys(told)) {
		faults.add("entry %d is not in the register so far", seq)
	}
	for _, h := range []exportedHead{e.Last, e.Head} {
		if hashes[h.Entry] != h.Hash {
			faults.add("it was read up to entry %d with the hash %s; the register has %s", h.Entry, h.Hash, hashes[h.Entry])
		}
	}
	return nil
}

func (x *exportedEntry) compare(r *store.Row, faults *exportFaults) {
	for _, f := range []struct{ name, export, register string }{
		{"line", x.Line, r.Line},
		{"writer", x.Writer, r.Writer},
		{"time", x.At.UTC().Format(time.RFC3339), time.Unix(r.At, 0).UTC().Format(time.RFC3339)},
		{"time of writing", x.Recorded.UTC().Format(time.RFC3339), time.Unix(r.Recorded, 0).UTC().Format(time.RFC3339)},
		{"hash before it", x.Previous, r.Prev.String()},
		{"hash", x.Hash, r.Hash.String()},
	} {
		if f.export != f.register {
			faults.add("entry %d, %s: %q in the export, %q in the register", x.Entry, f.name, f.export, f.register)
		}
	}
}

// compareSeal looks at the seal of an export, and says what it is worth.
func (c *chain) compareSeal(e *exported, faults *exportFaults) string {
	if e.Seal == nil {
		return "it carries no seal"
	}
	public, err := seal.ParsePublic(e.Seal.PublicKey)
	if err != nil {
		faults.add("its public key: %v", err)
		return ""
	}
	s, err := verifiedStatement(public, e.Seal.Statement, e.Seal.Signature)
	if err != nil {
		faults.add("its seal: %v", err)
		return ""
	}
	about := exportedHead{s.Last, s.Hash.String()}
	if s.Box != e.Box || s.Railway != e.Railway || about != e.Head && about != e.Last {
		faults.add("its seal is of entry %d of %s with the hash %s, which is neither its last entry nor its day's", s.Last, s.Box, s.Hash)
	}
	own, err := seal.LoadPublic(filepath.Join(c.dir, seal.KeyName+".pub"))
	switch {
	case errors.Is(err, os.ErrNotExist):
		return "its seal holds, with a key that this box directory does not know: " + public.Fingerprint()
	case err != nil:
		faults.add("the public key of the box: %v", err)
	case own.Fingerprint() != public.Fingerprint():
		faults.add("it is sealed with the key %s; that of the box is %s", public.Fingerprint(), own.Fingerprint())
	}
	return "its seal holds, with the key of the box: " + public.Fingerprint()
}

// compareDerived makes the export again and compares what does not stand in the
// register itself: trains, findings, turns. Entries written since may have
// changed them, with reason; that is said and is no disagreement.
func (p *program) compareDerived(cmd *cobra.Command, text []byte, e *exported, faults *exportFaults) (string, error) {
	book, _, err := p.openBook(cmd, true)
	if err != nil {
		return "", err
	}
	defer book.Close()
	date, err := parseDay(e.Date)
	if err != nil {
		return "", fmt.Errorf("the date of the export: %w", err)
	}
	day, err := book.LoadDay(cmd.Context(), date)
	if err != nil {
		return "", err
	}
	var again bytes.Buffer
	if err := export.Write(&again, "json", day); err != nil {
		return "", err
	}
	var was, is map[string]json.RawMessage
	if err := errors.Join(json.Unmarshal(text, &was), json.Unmarshal(again.Bytes(), &is)); err != nil {
		return "", err
	}
	var differ []string
	for _, key := range slices.Sorted(maps.Keys(is)) {
		if key != "last_entry_of_register" && !sameJSON(was[key], is[key]) {
			differ = append(differ, key)
		}
		delete(was, key)
	}
	delete(was, "seal")
	differ = append(differ, slices.Sorted(maps.Keys(was))...)
	switch {
	case len(differ) == 0:
		return "trains, findings and all else are what the register gives", nil
	case day.Head.Seq != e.Head.Entry:
		return fmt.Sprintf("not compared, since the register has gone on from entry %d to %d: %s", e.Head.Entry, day.Head.Seq, strings.Join(differ, ", ")), nil
	}
	faults.add("its entries are those of the register; what this program makes of them is another: %s", strings.Join(differ, ", "))
	return "", nil
}

// sameJSON compares two values apart from blanks.
func sameJSON(a, b json.RawMessage) bool {
	var x, y bytes.Buffer
	return len(a) > 0 && json.Compact(&x, a) == nil && json.Compact(&y, b) == nil && bytes.Equal(x.Bytes(), y.Bytes())
}
