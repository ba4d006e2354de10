// Package pins keeps by what the PINs of a box's people are known: a file beside the
// register, for its owner only, from which no PIN can be read. The register has the
// SHA-256 of each record in an entry, so that one put in by hand is told.
//
// A PIN hinders one who sits down at the desk of another. It is no proof of who
// somebody is, and four figures withstand nobody for long who has a copy of the file.
package pins

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"

	"fairhand/block"
	"fairhand/register/bounded"
	"fairhand/register/each"
	"fairhand/register/internal/dear"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// FileName is the file in the directory of a box.
const FileName = "pins.json"

// Misfit stamps the alarm of a record that is not the one the register names.
const Misfit = "PIN RECORD DOES NOT FIT"

// Bounds of a PIN in characters, and of the file.
const (
	Least   = 4
	Most    = 64
	maxFile = 1 << 20
)

// ErrMisfit: the file has no record of the digest that the register gives.
var ErrMisfit = errors.New("the PIN kept in " + FileName + " is not the one that the register names")

// Record is by what one PIN is known: Argon2id with its parameters (RFC 9106).
type Record struct {
	Name    string `json:"name"`
	Salt    []byte `json:"salt"` // 128 bits
	Time    uint32 `json:"time"` // passes
	Memory  uint32 `json:"memory"`
	Threads uint8  `json:"threads"`
	Hash    []byte `json:"argon2id"`
}

// Check refuses what cannot be a PIN.
func Check(pin string) error {
	if n := utf8.RuneCountInString(pin); n < Least || n > Most || strings.TrimSpace(pin) != pin {
		return fmt.Errorf("a PIN has %d to %d characters, and no space at its ends", Least, Most)
	}
	return nil
}

// New makes the record of a PIN, which keeps what it costs to try one.
func New(name, pin string) (*Record, error) {
	if err := Check(pin); err != nil {
		return nil, err
	}
	r := &Record{Name: name, Salt: make([]byte, 16), Time: dear.Passes, Memory: dear.KiB, Threads: dear.Threads}
	if _, err := rand.Read(r.Salt); err != nil {
		return nil, fmt.Errorf("making the record of a PIN: %w", err)
	}
	r.Hash = r.key(pin)
	return r, nil
}

// usable says whether the record can be tried at all: Argon2 breaks off at numbers that
// make no sense, and takes any memory that it is told to.
func (r *Record) usable() bool {
	return r.Time >= 1 && r.Time <= 1000 && r.Threads >= 1 && r.Memory <= 1<<20
}

func (r *Record) key(pin string) []byte {
	return argon2.IDKey([]byte(pin), r.Salt, r.Time, r.Memory, r.Threads, 32)
}

// Fits says whether it is the record of a PIN.
func (r *Record) Fits(pin string) bool { return subtle.ConstantTimeCompare(r.key(pin), r.Hash) == 1 }

// Digest is the SHA-256 of the record, in hex, as the register has it.
func (r *Record) Digest() string {
	text, _ := json.Marshal(r) // of such a struct it cannot fail
	return store.Digest(string(text))
}

// Load reads the records of a box directory; none where there is no file.
func Load(dir string) ([]Record, error) {
	path := filepath.Join(dir, FileName)
	text, err := bounded.File(path, maxFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var list []Record
	if err == nil {
		err = json.Unmarshal(text, &list)
	}
	for i := range list {
		if err == nil && !list[i].usable() {
			err = fmt.Errorf("the record of %q was not made by this program", list[i].Name)
		}
	}
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read; fairhand pin NAME sets PINs anew: %w", path, err)
	}
	return list, nil
}

// Save puts the records of a box directory in the place of those there: all of them
// or none, readable by their owner only.
func Save(dir string, list []Record) error {
	text, err := json.MarshalIndent(list, "", " ")
	if err != nil {
		return err
	}
	// the entry that follows names what is under the name
	if err := store.Replace(filepath.Join(dir, FileName), 0o600, append(text, '\n')); err != nil {
		return fmt.Errorf("keeping PINs: %w", err)
	}
	return nil
}

// Of finds the record that the register names.
func Of(list []Record, known block.PIN) *Record {
	return each.First(list, func(r *Record) bool { return r.Name == known.Name && r.Digest() == known.Digest })
}

// InForce leaves of some records those that a register names.
func InForce(list []Record, known []block.PIN) []Record {
	return slices.DeleteFunc(slices.Clone(list), func(r Record) bool {
		return !slices.ContainsFunc(known, func(p block.PIN) bool { return p.Name == r.Name && p.Digest == r.Digest() })
	})
}

// Compare compares the file of a box directory with what the register names: an
// alarm for each PIN whose record is gone or another.
func Compare(dir string, known []block.PIN) []sheet.Alarm {
	if len(known) == 0 {
		return nil
	}
	list, err := Load(dir)
	if err != nil {
		return []sheet.Alarm{{Stamp: Misfit, Text: err.Error()}}
	}
	var out []sheet.Alarm
	for _, p := range known {
		if Of(list, p) == nil {
			out = append(out, sheet.Alarm{Stamp: Misfit, Text: fmt.Sprintf("%s has another record of %s, or none, than entry %d says: it was changed by hand; fairhand pin sets another, and ask who has had the file", FileName, p.Name, p.Seq)})
		}
	}
	return out
}
