package seal

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fairhand/register/bounded"
	"fairhand/register/store"
)

// SignatureEnding is what the name of a seal's signature has more than that of
// the seal; ssh-keygen gives it.
const SignatureEnding = ".sig"

// FileName is the name, in the directory of a box, of the seal of an entry.
func FileName(entry int64) string { return fmt.Sprintf("seal-%d.txt", entry) }

// Reasons for which a register is not the one that a seal is about. Test with
// errors.Is.
var (
	// ErrOtherwise: the entry is there and has another hash than when it was sealed.
	ErrOtherwise = errors.New("the register is not the one that was sealed")
	// ErrRemoved: the register ends before the entry that was sealed.
	ErrRemoved = errors.New("entries that were sealed are no longer there")

	// ErrIncomplete: of a seal of a volume something was taken away, which makes no copy of it.
	ErrIncomplete = errors.New("a part of its seal is not there")

	// ErrExchanged: the public key is not the half of the private one beside it.
	ErrExchanged = errors.New("one of them was exchanged")
)

// Register is what a seal is compared with: a store.Store, whose entries the caller has
// proved.
type Register interface {
	Meta() store.Meta
	Tail() store.Tail
	HeadAt(entry int64) (store.Head, error)
}

// ClockStep is by how much a clock may have gone back between an entry and the seal over it:
// as far as nobody is asked about it.
const ClockStep = 5 * time.Minute

// Fits compares a statement with the register that it should be about: nil, or
// ErrOtherwise, ErrRemoved, a seal of another box, or one signed anew over the same entry
// with another day, another description or a time before the entry was written; or what
// kept that from being read. The number with which the turn begins stays the word of whoever
// sealed: the hash is over all entries before it too.
func (s Statement) Fits(of Register) error {
	is, err := s.fits(of)
	if written := time.Unix(is.Recorded, 0); err == nil && s.At.Before(written.Add(-ClockStep)) {
		err = fmt.Errorf("it is signed anew, or by a wrong clock: it says that it was sealed %s, and entry %d was written %s", s.At.UTC().Format(stampForm), s.Last, written.UTC().Format(stampForm))
	}
	return err
}

// FitsVolume is Fits for the seal of a volume, which is made when the register has gone on:
// its last entry may have been written by a clock that was set right after it.
func (s Statement) FitsVolume(of Register) error {
	_, err := s.fits(of)
	return err
}

func (s Statement) fits(of Register) (is store.Head, err error) {
	meta, tail := of.Meta(), of.Tail().Seq
	if meta.Box != s.Box || meta.Railway != s.Railway {
		return is, fmt.Errorf("it is a seal of %s, %s, and the register is of %s, %s", s.Box, s.Railway, meta.Box, meta.Railway)
	}
	if s.Last > tail {
		return is, fmt.Errorf("%w: the register ends with entry %d; entry %d and those before it were there and have been removed", ErrRemoved, tail, s.Last)
	}
	is, err = of.HeadAt(s.Last)
	switch {
	case err != nil:
	case is.Hash != s.Hash:
		err = fmt.Errorf("%w: entry %d had the hash %s and has %s", ErrOtherwise, s.Last, s.Hash, is.Hash)
	case is.Day != s.Day:
		err = fmt.Errorf("it is signed anew over another day: entry %d is of %s, and the seal says %s", s.Last, is.Day, s.Day)
	case s.Description != "" && s.Description != is.Described:
		err = fmt.Errorf("one of them was exchanged: the seal is of the description %.16s of the box, and in force with entry %d was %.16s", s.Description, s.Last, cmp.Or(is.Described, "none"))
	}
	return is, err
}

// Named refuses a file whose name is that of the seal of another entry; of other names
// nothing is said.
func (s Statement) Named(path string) error {
	if name := filepath.Base(path); isSealName(name) && !strings.EqualFold(name, FileName(s.Last)) {
		return fmt.Errorf("it is the seal of entry %d under the name of another", s.Last)
	}
	return nil
}

// Beside is a seal that lies in the directory of a box.
type Beside struct {
	Path      string
	Statement Statement
	Signed    bool // the signature beside it holds, by the public key beside it
}

// FindBeside reads every seal-N.txt of a directory, in the order of their
// entries. One that cannot be read, whose signature does not hold or is missing
// is told in the error, with its name; the others are given all the same. Where
// no public key lies beside them no signature is verified: Signed is false, and that
// is told once, since whoever took the key away may have written the seals anew.
func FindBeside(dir string) ([]Beside, error) {
	list, _, err := findBeside(dir)
	return list, err
}

// findBeside is FindBeside, with the public key; nil where none can be read.
func findBeside(dir string) ([]Beside, *Public, error) {
	public, err := PublicBeside(dir)
	keyless, exchanged := errors.Is(err, os.ErrNotExist), errors.Is(err, ErrExchanged)
	var faults []error
	switch {
	case exchanged:
		faults = append(faults, err)
	case err != nil && !keyless:
		return nil, nil, err
	}
	files, err := os.ReadDir(dir)
	if err != nil {
		return nil, nil, fmt.Errorf("looking for seals: %w", err)
	}
	var list []Beside
	for _, f := range files {
		if of := strings.TrimSuffix(f.Name(), filepath.Ext(f.Name())); strings.EqualFold(f.Name(), of+SignatureEnding) && isSealName(of) {
			if _, err := os.Lstat(filepath.Join(dir, of)); errors.Is(err, os.ErrNotExist) {
				faults = append(faults, fmt.Errorf("%s: the seal that it signs is not there any more", filepath.Join(dir, f.Name())))
			}
		}
		if !isSealName(f.Name()) {
			continue
		}
		path := filepath.Join(dir, f.Name())
		text, err := bounded.File(path, bounded.Small)
		var s Statement
		if err == nil && keyless {
			s, err = ParseStatement(string(text))
		} else if err == nil {
			var signature []byte
			if signature, err = bounded.File(path+SignatureEnding, bounded.Small); err == nil {
				s, err = public.Read(string(text), string(signature))
			}
		}
		if err == nil {
			err = s.Named(path)
		}
		if err != nil {
			faults = append(faults, fmt.Errorf("%s: %w", path, err))
			continue
		}
		list = append(list, Beside{path, s, !keyless})
	}
	if keyless && len(list) > 0 {
		faults = append(faults, fmt.Errorf("%s is not there: whose the seals beside the register are cannot be told", filepath.Join(dir, KeyName+".pub")))
	}
	slices.SortFunc(list, func(a, b Beside) int { return cmp.Compare(a.Statement.Last, b.Statement.Last) })
	if keyless {
		return list, nil, errors.Join(faults...)
	}
	return list, &public, errors.Join(faults...)
}

// Found is what lies beside a register.
type Found struct {
	Seals int
	Key   string // fingerprint of the public key that they hold by
}

// CheckBeside compares a register with every seal of a directory. The error has
// a line for each that does not fit or cannot be read.
func CheckBeside(dir string, of Register) (Found, error) {
	list, public, err := findBeside(dir)
	found := Found{Seals: len(list)}
	if public != nil {
		found.Key = public.Fingerprint()
	}
	return found, errors.Join(err, CheckAll(list, of))
}

// CheckAll compares a register with seals. The error has a line for each that does not fit.
func CheckAll(list []Beside, of Register) error {
	var faults []error
	for _, b := range list {
		if err := b.Statement.Fits(of); err != nil {
			faults = append(faults, fmt.Errorf("%s: %w", b.Path, err))
		}
	}
	return errors.Join(faults...)
}

// OfVolume is the seal over an archive volume, whose name without its ending is stem,
// and the public key beside it, by which its signature holds. Where nothing of a seal is
// there errors.Is of the error and fs.ErrNotExist; where only some of it is, ErrIncomplete.
func OfVolume(stem string) (s Statement, public Public, err error) {
	text, err := bounded.File(stem+".txt", bounded.Small)
	signature, err2 := bounded.File(stem+".txt"+SignatureEnding, bounded.Small)
	public, err3 := LoadPublic(stem + ".pub")
	if errors.Is(err, os.ErrNotExist) && errors.Is(err2, os.ErrNotExist) && errors.Is(err3, os.ErrNotExist) {
		return s, public, err
	}
	if err = errors.Join(err, err2, err3); errors.Is(err, os.ErrNotExist) {
		return s, public, fmt.Errorf("%w: %v", ErrIncomplete, err)
	} else if err != nil {
		return s, public, err
	}
	s, err = public.Read(string(text), string(signature))
	return s, public, err
}

// isSealName says whether a file is named as FileName names it, or would pass for it: in
// capitals, as some folders give names back, or with zeros before the number.
func isSealName(name string) bool {
	number, of := strings.CutPrefix(strings.ToLower(name), "seal-")
	number, is := strings.CutSuffix(number, ".txt")
	return of && is && number != "" && strings.Trim(number, "0123456789") == ""
}
